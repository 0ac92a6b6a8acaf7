//! What a later step does to an earlier reading: pressing, truing and honing leave what was measured before proving nothing.

use super::case::Case;
use crate::calc::Rulebook;
use crate::model::Job;
use crate::model::book::{FeatureId, StepId};
use crate::model::job::{Done, EventKind, Instance};
use crate::model::manual::Target;
use crate::model::names::place_within;

impl<'a> Case<'a> {
    /// The latest event that disturbed an instance after its latest reading.
    pub(super) fn overtaker(&self, instance: &Instance) -> Option<usize> {
        let (_, latest) = self.latest(instance)?;
        let feature = instance.feature?;
        self.disturbed_after(feature, instance, latest.event)
    }

    /// The last event after `event` that disturbs this feature at this part and place.
    pub fn disturbed_after(&self, feature: FeatureId, instance: &Instance, event: usize) -> Option<usize> {
        self.disturbers(feature, instance)
            .filter_map(|disturber| {
                let last = disturber.events.iter().rev().take_while(|d| d.event > event);
                last.into_iter().find(|d| d.is_on(instance)).map(|d| d.event)
            })
            .max()
    }

    /// Whether something between two events disturbs this feature at this part and place.
    pub fn disturbed_between(&self, feature: FeatureId, instance: &Instance, from: usize, to: usize) -> bool {
        self.disturbers(feature, instance).any(|disturber| {
            disturber
                .after(from)
                .take_while(|d| d.event < to)
                .any(|d| d.is_on(instance))
        })
    }

    /// Every step that disturbs this feature at this part and place after an event: the first time it was done since, in order.
    pub fn overtakers(&self, feature: FeatureId, instance: &Instance, event: usize) -> Vec<usize> {
        let mut list: Vec<usize> = self
            .disturbers(feature, instance)
            .filter_map(|disturber| disturber.after(event).find(|d| d.is_on(instance)).map(|d| d.event))
            .collect();
        list.sort_unstable();
        list.dedup();
        list
    }

    /// The steps whose `disturbs` holds this part and place.
    fn disturbers<'c>(&'c self, feature: FeatureId, instance: &'c Instance) -> impl Iterator<Item = &'c Disturber<'a>> {
        let list = self.disturbers.get(feature).map_or(&[][..], Vec::as_slice);
        list.iter().filter(move |disturber| {
            let Target { part, place, .. } = disturber.target;
            let of_part = part
                .as_ref()
                .is_none_or(|part| instance.part.as_ref().is_some_and(|p| p.key == *part));
            let at_place = place
                .as_ref()
                .is_none_or(|place| instance.place.as_ref().is_some_and(|p| place_within(&p.key, place)));
            of_part && at_place
        })
    }
}

/// A step that disturbs a feature.
pub(super) struct Disturber<'a> {
    /// The step.
    step: StepId,
    /// What the manual says it disturbs.
    target: &'a Target,
    /// Each time it was done, in order.
    events: Vec<Disturbance<'a>>,
}

impl<'a> Disturber<'a> {
    /// Each time it was done after an event.
    fn after(&self, event: usize) -> impl Iterator<Item = &Disturbance<'a>> {
        let from = self.events.partition_point(|d| d.event <= event);
        self.events.get(from..).unwrap_or_default().iter()
    }
}

/// One time a step was done that disturbs a feature.
struct Disturbance<'a> {
    event: usize,
    /// The only parts or places it was done on: keys; empty means all.
    only: Vec<&'a str>,
}

impl Disturbance<'_> {
    /// Whether it was done on this part and place too.
    fn is_on(&self, instance: &Instance) -> bool {
        self.only.is_empty() || self.only.iter().any(|name| is_at(instance, name))
    }
}

fn is_at(instance: &Instance, wanted: &str) -> bool {
    let part = instance.part.as_ref().is_some_and(|p| p.key == wanted);
    part || instance.place.as_ref().is_some_and(|p| place_within(&p.key, wanted))
}

/// For each feature, the steps that disturb it and when they were done. What is undone is disturbed once more.
pub(super) fn disturbers<'a>(job: &'a Job, rules: &'a Rulebook, by_feature: &[Vec<usize>]) -> Vec<Vec<Disturber<'a>>> {
    let mut all: Vec<Vec<Disturber<'a>>> = rules.book.features.iter().map(|_| Vec::new()).collect();
    let moved = job
        .events
        .iter()
        .enumerate()
        .filter_map(|(number, event)| match &event.kind {
            EventKind::Did(done) | EventKind::Undid(done) => Some((number, done)),
            _ => None,
        });
    for (event, done) in moved {
        let Some((id, step)) = done.step.and_then(|id| rules.book.step(id).map(|step| (id, step))) else {
            continue;
        };
        let named = only_of(done);
        for target in &step.disturbs {
            let Some(feature) = rules.book.feature(&target.feature) else {
                continue;
            };
            let Some(list) = all.get_mut(feature) else { continue };
            // Words that are no part and no place of the feature (`on centres`) say nothing of it.
            let instances = by_feature.get(feature).map_or(&[][..], Vec::as_slice);
            let is_known = |name: &&str| {
                instances
                    .iter()
                    .filter_map(|index| job.instances.get(*index))
                    .any(|instance| is_at(instance, name))
            };
            let disturbance = Disturbance {
                event,
                only: named.iter().copied().filter(is_known).collect(),
            };
            match list.iter_mut().find(|d| d.step == id && std::ptr::eq(d.target, target)) {
                Some(known) => known.events.push(disturbance),
                None => list.push(Disturber {
                    step: id,
                    target,
                    events: vec![disturbance],
                }),
            }
        }
    }
    all
}

/// What the ticks `on …`, `of …` and `at …` of a step name.
pub fn only_of(done: &Done) -> Vec<&str> {
    done.said
        .iter()
        .filter_map(|said| {
            ["on ", "of ", "at "]
                .iter()
                .find_map(|word| said.key.strip_prefix(word))
        })
        .collect()
}
