//! What was measured by some point of a job, and whether that still held there.

use crate::calc::{Scope, work};
use crate::judge::case::Case;
use crate::judge::owed::expected;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Reading, Word};
use crate::model::manual::{Feature, Target};
use crate::model::names::named;
use crate::quantity::Verdict;

/// Something that is measured, or worked out, at one part and place of a feature, as it stood before an event.
pub struct Measured {
    /// The feature with its part and place; of what is worked out, what is lacking for it.
    pub name: String,
    /// The event of its last reading, or of the latest that it is worked out from.
    pub at: Option<usize>,
    /// Whether it was read, or could be worked out.
    pub is_known: bool,
    /// Whether nothing disturbed it between its reading and the event.
    pub is_fresh: bool,
    /// What its limit made of it; `None` where it has none, or was not read.
    pub verdict: Option<Verdict>,
}

impl Measured {
    /// Whether it may be built on.
    pub fn is_good(&self) -> bool {
        self.is_known && self.is_fresh && self.verdict != Some(Verdict::Out)
    }
}

/// Each part and place of what a step reads, as it stood before an event.
pub fn measured(case: &Case<'_>, targets: &[Target], event: usize) -> Vec<Measured> {
    let book = &case.rules.book;
    let mut list = Vec::new();
    for target in targets {
        let Some((id, feature)) = book
            .feature(&target.feature)
            .and_then(|id| Some((id, book.features.get(id)?)))
        else {
            continue;
        };
        for (part, place) in places(case, id, feature, target, event) {
            let name = named(&feature.name.name, part, place);
            let last = last_before(case, id, part, place, event);
            if case.is_derived(id) && last.is_none() {
                list.extend(worked(case, id, (part, place), event, name));
                continue;
            }
            list.push(Measured {
                name,
                at: last.map(|(_, reading)| reading.event),
                is_known: last.is_some(),
                is_fresh: last
                    .is_some_and(|(instance, reading)| !case.disturbed_between(id, instance, reading.event, event)),
                verdict: last.and_then(|(_, reading)| case.verdict_of(reading)),
            });
        }
    }
    list
}

/// The parts and places that are asked about: those that the manual lists, or else every one that was read before the event.
fn places<'c>(
    case: &'c Case<'_>,
    id: FeatureId,
    feature: &'c Feature,
    target: &'c Target,
    event: usize,
) -> Vec<(Option<&'c str>, Option<&'c str>)> {
    let listed = expected(feature, Some(target));
    if listed != [(None, None)] {
        return listed;
    }
    let was_read = |instance: &&Instance| {
        let mut readings = instance
            .readings
            .iter()
            .filter_map(|index| case.job.readings.get(*index));
        readings.any(|reading| reading.event < event && !reading.points.is_empty())
    };
    let read: Vec<(Option<&str>, Option<&str>)> = case
        .instances_at(id, None, None)
        .filter(was_read)
        .filter(|instance| !case.is_left(instance))
        .map(|instance| {
            let key = |word: &'c Option<Word>| word.as_ref().map(|word| word.key.as_str());
            (key(&instance.part), key(&instance.place))
        })
        .collect();
    if read.is_empty() { listed } else { read }
}

/// A derived feature as it stood before an event; `None` where it is not defined so.
fn worked(
    case: &Case<'_>,
    id: FeatureId,
    at: (Option<&str>, Option<&str>),
    event: usize,
    name: String,
) -> Option<Measured> {
    let scope = Scope {
        before: Some(event),
        part: at.0,
        place: at.1,
        left: &case.left,
        supposed: None,
    };
    let result = work(case.rules, case.job, &case.by_feature, id, scope)?;
    let feature = case.rules.book.features.get(id)?;
    let Ok(worked) = result else {
        return Some(Measured {
            name,
            at: None,
            is_known: false,
            is_fresh: false,
            verdict: None,
        });
    };
    let inputs = || worked.inputs.iter().filter_map(|index| case.job.readings.get(*index));
    let is_fresh = inputs().all(|reading| {
        case.instance(reading).is_none_or(|instance| {
            let disturbed = |feature| case.disturbed_between(feature, instance, reading.event, event);
            !instance.feature.is_some_and(disturbed)
        })
    });
    let limit = inputs()
        .map(|reading| reading.event)
        .max()
        .and_then(|latest| feature.limit_at(case.stage(latest)));
    let acceptance = case.rules.book.acceptance(feature).unwrap_or(case.settings.decide);
    let decided = limit.and_then(|limit| worked.decide(&limit.band, acceptance));
    Some(Measured {
        name,
        at: inputs().map(|reading| reading.event).max(),
        is_known: true,
        is_fresh,
        verdict: decided.map(|(decision, _)| decision.verdict),
    })
}

/// The last reading of a feature at a part and place before an event.
fn last_before<'c>(
    case: &Case<'c>,
    id: FeatureId,
    part: Option<&str>,
    place: Option<&str>,
    event: usize,
) -> Option<(&'c Instance, &'c Reading)> {
    case.instances_at(id, part, place)
        .filter_map(|i| {
            i.readings
                .iter()
                .filter_map(|index| case.job.readings.get(*index))
                .rfind(|r| r.event < event && !r.points.is_empty())
                .map(|r| (i, r))
        })
        .max_by_key(|(_, reading)| reading.event)
}
