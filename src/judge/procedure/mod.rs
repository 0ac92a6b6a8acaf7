//! What the procedures in play ask of the order of steps, and what the log makes of each of it.

mod conditions;
mod measured;

use rustc_hash::FxHashMap;

use super::case::Case;
use crate::model::book::StepId;
use crate::model::manual::{Named, OneOf, Procedure, Step};
use crate::order::{Occurrence, Pattern, State, Trace};
use crate::syntax::Span;

pub use conditions::holds;
pub use measured::{Measured, last_before, measured};

/// Which clause of a manual asks for something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Clause {
    /// The step itself: it is to be done before the job is closed.
    Step,
    /// `after`
    After,
    /// `directly after`
    DirectlyAfter,
    /// `then`
    Then,
    /// `then directly`
    ThenDirectly,
    /// `not with`
    NotWith,
    /// `once`
    Once,
    /// `one of`
    OneOf,
}

/// Something that a manual asks of the order of steps.
#[derive(Debug)]
pub struct Asked {
    /// The procedure.
    pub procedure: usize,
    /// Which clause.
    pub clause: Clause,
    /// The step it stands at; of `one of`, the first.
    pub step: StepId,
    /// The other steps it names.
    pub others: Vec<StepId>,
    /// What the log makes of it.
    pub state: State,
    /// Where it does not hold.
    pub breaches: Vec<Breached>,
    /// Where it stands in its manual.
    pub span: Span,
    /// Which manual.
    pub manual: usize,
}

/// A place where something that was asked does not hold: events.
#[derive(Clone, Copy, Debug)]
pub struct Breached {
    /// The step in question; `None` if nothing was done.
    pub at: Option<usize>,
    /// The one it is held against.
    pub other: Option<usize>,
    /// `Open` or `Broken`.
    pub state: State,
}

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
                on: super::disturbance::only_of(done),
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

    fn event(&self, index: Option<usize>) -> Option<usize> {
        index.and_then(|index| self.events.get(index)).copied()
    }
}

/// Procedures that the log names, or of which a step was done.
pub fn in_play<'c>(case: &Case<'c>) -> Vec<(usize, &'c Procedure)> {
    let mut begun = vec![false; case.rules.book.procedures.len()];
    for (_, done) in &case.done {
        if let Some(own) = done.step.and_then(|id| begun.get_mut(id.procedure)) {
            *own = true;
        }
    }
    let named = |procedure: &Procedure| case.job.procedures.iter().any(|p| p.key == procedure.name.key);
    let all = case.rules.book.procedures.iter().enumerate();
    all.filter(|(number, procedure)| begun.get(*number) == Some(&true) || named(procedure))
        .collect()
}

/// All that is asked, in the order of the book.
pub fn asked(case: &Case<'_>) -> Vec<Asked> {
    let mut list = Vec::new();
    for (number, procedure) in in_play(case) {
        let mut asking = Asking {
            case,
            number,
            list: &mut list,
        };
        for one_of in &procedure.one_of {
            asking.alternatives(one_of);
        }
        for (index, step) in procedure.steps.iter().enumerate() {
            asking.step(StepId { procedure: number, step: index }, step);
        }
    }
    list
}

/// The alternatives that a step belongs to, itself among them; none if it is no alternative.
pub fn alternatives(case: &Case<'_>, id: StepId) -> Option<Vec<StepId>> {
    let all = case.rules.book.procedures.iter().flat_map(|p| &p.one_of);
    all.map(|one_of| ids(case, &one_of.steps)).find(|steps| steps.contains(&id))
}

/// Whether a step is to be done before the job is closed, for itself: not as one of several, and not only under a condition that does not hold.
pub fn is_owed(case: &Case<'_>, id: StepId) -> bool {
    case.rules.book.step(id).is_some_and(|step| {
        !step.optional
            && step.reads.is_empty()
            && alternatives(case, id).is_none()
            && step.owed_if.iter().all(|condition| holds(case, condition, None))
    })
}

fn ids(case: &Case<'_>, names: &[Named]) -> Vec<StepId> {
    names.iter().filter_map(|name| case.rules.book.step_id(&name.key)).collect()
}

struct Asking<'c, 'a> {
    case: &'c Case<'a>,
    number: usize,
    list: &'c mut Vec<Asked>,
}

impl Asking<'_, '_> {
    fn ask(&mut self, clause: Clause, at: (StepId, Span, usize), others: Vec<StepId>, pattern: &Pattern<StepId>) {
        let (step, span, manual) = at;
        let course = &self.case.course;
        let outcome = pattern.of(&course.trace);
        let breaches = outcome.breaches.iter().map(|breach| Breached {
            at: course.event(breach.at),
            other: course.event(breach.other),
            state: breach.state,
        });
        self.list.push(Asked {
            procedure: self.number,
            clause,
            step,
            others,
            state: outcome.state,
            breaches: breaches.collect(),
            span,
            manual,
        });
    }

    fn alternatives(&mut self, one_of: &OneOf) {
        let steps = ids(self.case, &one_of.steps);
        let (Some((first, others)), Some(name)) = (steps.split_first(), one_of.steps.first()) else {
            return;
        };
        let at = (*first, name.span, one_of.manual);
        self.ask(Clause::OneOf, at, others.to_vec(), &Pattern::OneOf(steps.clone()));
    }

    fn step(&mut self, id: StepId, step: &Step) {
        let at = |span: Span| (id, span, step.manual);
        if is_owed(self.case, id) {
            self.ask(Clause::Step, at(step.name.span), Vec::new(), &Pattern::Done(vec![id]));
        }
        // What follows is about times it was done.
        if self.case.course.first(id).is_none() {
            return;
        }
        if step.once {
            self.ask(Clause::Once, at(step.name.span), Vec::new(), &Pattern::Once(id));
        }
        for name in &step.after {
            self.after(id, step, name);
        }
        let directly = ids(self.case, &step.directly_after);
        if let Some(name) = step.directly_after.first().filter(|_| !directly.is_empty()) {
            let pattern = Pattern::DirectlyAfter {
                step: id,
                first: directly.clone(),
            };
            self.ask(Clause::DirectlyAfter, at(name.span), directly, &pattern);
        }
        for name in &step.then {
            let Some(next) = self.case.rules.book.step_id(&name.key) else { continue };
            // What is to be measured after it is evidence, and seen there.
            if self.case.rules.book.step(next).is_some_and(|s| !s.reads.is_empty()) {
                continue;
            }
            let next = alternatives(self.case, next).unwrap_or_else(|| vec![next]);
            let pattern = Pattern::Then {
                step: id,
                next: next.clone(),
            };
            self.ask(Clause::Then, at(name.span), next, &pattern);
        }
        let next = ids(self.case, &step.then_directly);
        if let Some(name) = step.then_directly.first().filter(|_| !next.is_empty()) {
            let pattern = Pattern::ThenDirectly {
                step: id,
                next: next.clone(),
            };
            self.ask(Clause::ThenDirectly, at(name.span), next, &pattern);
        }
        for name in &step.not_with {
            let Some(other) = self.case.rules.book.step_id(&name.key).filter(|other| *other != id) else {
                continue;
            };
            self.ask(Clause::NotWith, at(name.span), vec![other], &Pattern::NotWith(id, other));
        }
    }

    /// `after` a step, or after whichever of its alternatives is done; what is measured before it is seen elsewhere.
    fn after(&mut self, id: StepId, step: &Step, name: &Named) {
        let book = &self.case.rules.book;
        let Some(before) = book.step_id(&name.key) else { return };
        if book.step(before).is_none_or(|s| !s.reads.is_empty()) {
            return;
        }
        let others = alternatives(self.case, before);
        let is_owed = others.is_some() || is_owed(self.case, before);
        let first: Vec<StepId> = others.unwrap_or_else(|| vec![before]).into_iter().filter(|other| *other != id).collect();
        let pattern = Pattern::After {
            step: id,
            first: first.clone(),
            is_owed,
        };
        self.ask(Clause::After, (id, name.span, step.manual), first, &pattern);
    }
}
