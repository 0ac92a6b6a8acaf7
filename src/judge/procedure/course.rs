//! The course of a job: the steps that a manual knows, in order, and when each was done.

use rustc_hash::FxHashMap;

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
}

impl Case<'_> {
    /// Each event at which a step was done for the last time on its part: what was done again since is history.
    pub fn last_of(&self, id: StepId) -> Vec<usize> {
        let own = || {
            self.done
                .iter()
                .filter(|(_, done)| done.step == Some(id) && !done.is_undone())
        };
        let mut last: FxHashMap<Vec<&str>, usize> = FxHashMap::default();
        for (event, done) in own() {
            last.insert(only_of(done), *event);
        }
        let mut events: Vec<usize> = last.into_values().collect();
        events.sort_unstable();
        events
    }
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
        course
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
