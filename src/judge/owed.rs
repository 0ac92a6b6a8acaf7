//! What of the evidence is owed: features that were asked for and not read, and readings that a later step has overtaken. Only which; what is said of
//! them is the affair of `rules/evidence`, what is to be done of `next`.

use crate::calc::is_claim;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::model::manual::{Feature, Named, Step, Target};
use crate::model::names::named;

use super::case::Case;
use super::procedure::{holds, in_play};

/// Every latest reading that a later step has overtaken, with the event that did; claims of derived features are not evidence.
pub fn stale_readings<'c>(case: &'c Case<'_>) -> impl Iterator<Item = (&'c Instance, &'c Reading, usize)> {
    case.job
        .instances
        .iter()
        .enumerate()
        .filter_map(move |(number, instance)| {
            let overtaker = case.overtaken.get(number).copied().flatten()?;
            let (_, latest) = case.latest(instance)?;
            let derived = instance.feature.is_some_and(|f| case.is_derived(f));
            let no_evidence = case.is_left(instance) || (derived && is_claim(latest));
            (!no_evidence).then_some((instance, latest, overtaker))
        })
}

/// A feature that the manual asks for and that was not read.
pub struct Owed<'a> {
    /// Which.
    pub id: FeatureId,
    /// The feature.
    pub feature: &'a Feature,
    /// What was not read of it: its name, with part and place.
    pub absent: Vec<String>,
    /// Who asks for it.
    pub by: OwedBy<'a>,
}

/// Who asks for a reading.
#[derive(Clone, Copy)]
pub enum OwedBy<'a> {
    /// The manual, at a stage; an empty key is any.
    Required(&'a str),
    /// A step.
    Step(&'a Step),
}

/// Readings that the manual asks for and that are not there, each feature once.
pub fn owed_readings<'a>(case: &Case<'a>) -> Vec<Owed<'a>> {
    let mut list: Vec<Owed<'a>> = Vec::new();
    let is_told = |list: &[Owed<'_>], id: FeatureId| list.iter().any(|owed| owed.id == id);
    // With no manual named, the shelf stands ready but asks for nothing.
    if !case.job.manuals.is_empty() {
        for (id, feature) in case.rules.book.features.iter().enumerate() {
            for stage in &feature.required {
                let absent = absent(case, id, feature, None, Some(stage));
                if !absent.is_empty() && !is_told(&list, id) {
                    let by = OwedBy::Required(stage);
                    list.push(Owed {
                        id,
                        feature,
                        absent,
                        by,
                    });
                }
            }
        }
    }
    for (_, procedure) in in_play(case) {
        for step in &procedure.steps {
            let is_due = || {
                let mut conditions = step.owed_if.iter().chain(&step.only_if);
                conditions.all(|condition| holds(case, condition, None))
            };
            let was_named = || {
                let mut done = case.done.iter();
                done.any(|(_, d)| case.step(d).is_some_and(|t| t.name.key == step.name.key))
            };
            if !((!step.optional && is_due()) || was_named()) {
                continue;
            }
            let was_done = case
                .done
                .iter()
                .any(|(_, done)| case.step(done).is_some_and(|s| std::ptr::eq(s, step)));
            let until = if was_done { step.until.as_slice() } else { &[] };
            for target in step.reads.iter().chain(until) {
                let Some(id) = case.rules.book.feature(&target.feature) else {
                    continue;
                };
                let Some(feature) = case.rules.book.features.get(id) else {
                    continue;
                };
                let absent = absent(case, id, feature, Some(target), None);
                if !absent.is_empty() && !is_told(&list, id) {
                    let by = OwedBy::Step(step);
                    list.push(Owed {
                        id,
                        feature,
                        absent,
                        by,
                    });
                }
            }
        }
    }
    list
}

/// The names of what was not read: the feature at each part and place that is expected.
pub fn absent(
    case: &Case<'_>,
    id: FeatureId,
    feature: &Feature,
    target: Option<&Target>,
    stage: Option<&str>,
) -> Vec<String> {
    let was_read = |part: Option<&str>, place: Option<&str>| {
        case.instances_at(id, part, place)
            .flat_map(|i| &i.readings)
            .filter_map(|index| case.job.readings.get(*index))
            // A line without a figure has a finding of its own.
            .any(|r| {
                (!r.points.is_empty() || r.kind == ReadingKind::NoFigure)
                    && stage.is_none_or(|s| s.is_empty() || case.stage(r.event).key == s)
            })
    };
    let worked = |part: Option<&str>, place: Option<&str>| {
        case.is_derived(id)
            && case
                .finals
                .iter()
                .any(|f| f.id == id && f.part == part && f.place == place && f.result.is_ok())
    };
    expected(feature, target)
        .into_iter()
        .filter(|(part, place)| !was_read(*part, *place) && !worked(*part, *place))
        .map(|(part, place)| named(&feature.name.name, part, place))
        .collect()
}

/// Each part and place a feature is expected at, narrowed to a target.
pub fn expected<'a>(feature: &'a Feature, target: Option<&'a Target>) -> Vec<(Option<&'a str>, Option<&'a str>)> {
    let narrow = |listed: &'a [Named], wanted: Option<&'a String>| -> Vec<Option<&'a str>> {
        match wanted {
            Some(wanted) => vec![Some(wanted.as_str())],
            None if listed.is_empty() => vec![None],
            None => listed.iter().map(|n| Some(n.key.as_str())).collect(),
        }
    };
    let parts = narrow(&feature.parts, target.and_then(|t| t.part.as_ref()));
    let places = narrow(&feature.places, target.and_then(|t| t.place.as_ref()));
    parts
        .iter()
        .flat_map(|part| places.iter().map(move |place| (*part, *place)))
        .collect()
}
