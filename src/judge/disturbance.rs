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

    /// The first event from one on, and before another, that disturbs this feature at this part and place.
    pub(super) fn first_disturbed(
        &self,
        feature: FeatureId,
        instance: &Instance,
        from: usize,
        to: usize,
    ) -> Option<usize> {
        self.disturbers(feature, instance)
            .filter_map(|disturber| {
                let start = disturber.events.partition_point(|d| d.event < from);
                let mut events = disturber.events.get(start..).unwrap_or_default().iter();
                events.find(|d| d.event >= to || d.is_on(instance)).map(|d| d.event)
            })
            .filter(|event| *event < to)
            .min()
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

    /// The clause by which an event disturbs this feature at this part and place: what the manual says there, in which manual, and the feature it goes
    /// through, where this one only rests on that.
    pub fn disturbing(
        &self,
        feature: FeatureId,
        instance: &Instance,
        event: usize,
    ) -> Option<(&'a Target, usize, Option<FeatureId>)> {
        let is_it = |disturber: &&Disturber<'a>| {
            let mut events = disturber.events.iter();
            events.any(|d| d.event == event && d.is_on(instance))
        };
        let disturber = self.disturbers(feature, instance).find(is_it)?;
        Some((disturber.target, disturber.target.manual, disturber.through))
    }

    /// The last event after another that disturbs a derived feature itself, at a part and place: what it was worked from proves nothing any more, even
    /// where no single reading of it was named.
    pub fn disturbed_sum(
        &self,
        feature: FeatureId,
        part: Option<&str>,
        place: Option<&str>,
        after: usize,
    ) -> Option<usize> {
        let list = self.disturbers.get(feature).map_or(&[][..], Vec::as_slice);
        let is_of = |wanted: &Option<String>, own: Option<&str>| match (wanted, own) {
            (Some(wanted), Some(own)) => place_within(own, wanted),
            _ => true,
        };
        let here = |d: &&Disturbance<'_>| {
            d.only.is_empty() || part.is_none() || d.only.iter().any(|name| part == Some(*name) || place == Some(*name))
        };
        list.iter()
            .filter(|disturber| disturber.through.is_none())
            .filter(|disturber| is_of(&disturber.target.part, part) && is_of(&disturber.target.place, place))
            .filter_map(|disturber| disturber.after(after).filter(here).map(|d| d.event).last())
            .max()
    }

    /// The steps whose `disturbs` holds this part and place.
    fn disturbers<'c>(&'c self, feature: FeatureId, instance: &'c Instance) -> impl Iterator<Item = &'c Disturber<'a>> {
        let list = self.disturbers.get(feature).map_or(&[][..], Vec::as_slice);
        list.iter().filter(move |disturber| {
            let Target { part, place, .. } = disturber.target;
            // What rests on a disturbed feature, and names no part of its own, rests on all its parts.
            let through = disturber.through.is_some();
            let of_part = part.as_ref().is_none_or(|part| match &instance.part {
                Some(own) => own.key == *part,
                None => through,
            });
            let at_place = through
                || place
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
    /// The feature it disturbs, where this one only rests on that.
    through: Option<FeatureId>,
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
                    through: None,
                    events: vec![disturbance],
                }),
            }
        }
    }
    through_sums(job, rules, by_feature, &mut all);
    all
}

/// What was measured of a derived feature is overtaken by what disturbs the features it rests on: a piston clearance taken with blades, by a hone.
fn through_sums<'a>(job: &Job, rules: &'a Rulebook, by_feature: &[Vec<usize>], all: &mut [Vec<Disturber<'a>>]) {
    for (derived, instances) in by_feature.iter().enumerate() {
        if instances.is_empty() || !rules.sums.get(derived).is_some_and(Option::is_some) {
            continue;
        }
        let mut more = Vec::new();
        for input in rules.rests_on(derived) {
            for disturber in all.get(input).into_iter().flatten().filter(|d| d.through.is_none()) {
                let known = all.get(derived).into_iter().flatten();
                if known.into_iter().any(|d| d.step == disturber.step) {
                    continue;
                }
                // The parts of the input are those of what rests on it, where that has any.
                let has = |name: &&str| {
                    instances
                        .iter()
                        .filter_map(|index| job.instances.get(*index))
                        .any(|instance| instance.part.as_ref().is_some_and(|part| part.key == **name))
                };
                let events = disturber.events.iter().map(|d| Disturbance {
                    event: d.event,
                    only: d.only.iter().copied().filter(has).collect(),
                });
                more.push(Disturber {
                    step: disturber.step,
                    target: disturber.target,
                    through: Some(input),
                    events: events.collect(),
                });
            }
        }
        if let Some(list) = all.get_mut(derived) {
            list.extend(more);
        }
    }
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
