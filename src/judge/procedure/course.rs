//! The course of a job: the steps that a manual knows, in order, and when each was done.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::judge::case::{Case, only_of};
use crate::model::book::StepId;
use crate::order::{Occurrence, Trace};

/// The steps of a job that a manual knows and that were not undone, with the events they were done at.
#[derive(Debug, Default)]
pub struct Course<'a> {
    /// The steps in order.
    pub trace: Trace<'a, StepId>,
    /// The event of each.
    pub events: Vec<usize>,
    /// The first and the last event of each step.
    times: FxHashMap<StepId, (usize, usize)>,
    /// The events at which a step was done for the last time on its part.
    last: FxHashSet<usize>,
}

impl<'a> Course<'a> {
    /// The course of a job.
    pub fn new(case: &Case<'a>) -> Course<'a> {
        let mut course = Course::default();
        course.trace.is_closed = case.is_closed();
        for (event, done) in &case.done {
            let Some(step) = done.step.filter(|_| !done.is_undone()) else {
                continue;
            };
            course.trace.occurrences.push(Occurrence {
                step,
                on: only_of(done),
            });
            course.events.push(*event);
            course.times.entry(step).or_insert((*event, *event)).1 = *event;
        }
        let mut last: FxHashMap<(StepId, &[&str]), usize> = FxHashMap::default();
        for (occurrence, event) in course.trace.occurrences.iter().zip(&course.events) {
            last.insert((occurrence.step, &occurrence.on), *event);
        }
        course.last = last.into_values().collect();
        course
    }

    /// Whether an event is the last time its step was done on its part: what was done again since is history.
    pub fn is_last(&self, event: usize) -> bool {
        self.last.contains(&event)
    }

    /// Each such event of a step, in order.
    pub fn last_of(&self, step: StepId) -> Vec<usize> {
        let own = self.trace.occurrences.iter().zip(&self.events);
        own.filter(|(o, event)| o.step == step && self.is_last(**event))
            .map(|(_, event)| *event)
            .collect()
    }

    /// The event at which a step was first done.
    pub fn first(&self, step: StepId) -> Option<usize> {
        self.times.get(&step).map(|(first, _)| *first)
    }

    /// The event at which a step was last done.
    pub fn last(&self, step: StepId) -> Option<usize> {
        self.times.get(&step).map(|(_, last)| *last)
    }

    /// The event at which a step was last done before another.
    pub fn last_before(&self, step: StepId, event: usize) -> Option<usize> {
        let all = self.trace.occurrences.iter().zip(&self.events);
        all.take_while(|(_, at)| **at < event)
            .filter(|(o, _)| o.step == step)
            .map(|(_, at)| *at)
            .last()
    }

    /// The event of an occurrence of the trace.
    pub(super) fn event(&self, index: Option<usize>) -> Option<usize> {
        index.and_then(|index| self.events.get(index)).copied()
    }
}
