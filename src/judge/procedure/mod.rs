//! What the procedures in play ask of the order of steps, and what the log makes of each of it.

mod conditions;
mod measured;
mod times;

use rustc_hash::FxHashMap;

use super::case::Case;
use crate::model::book::StepId;
use crate::model::manual::{Named, OneOf, Procedure, Step};
pub use crate::order::State;
use crate::order::{Occurrence, Pattern, Trace};
use crate::syntax::Span;

pub use conditions::holds;
pub use measured::{Measured, last_before, measured};
pub use times::Moment;

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
    /// `after` a step of measuring: its readings stand above, and are fresh.
    Reads,
    /// `until`: a step that comes after one that is repeated waits for its reading.
    Until,
    /// `given`
    Given,
    /// `only if`
    OnlyIf,
    /// `at least … after`, `within … after`. `Open` where the times that are written do not tell.
    Wait,
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
#[derive(Clone, Debug, Default)]
pub struct Breached {
    /// The step in question; `None` if nothing was done.
    pub at: Option<usize>,
    /// The one it is held against.
    pub other: Option<usize>,
    /// `Open` or `Broken`.
    pub state: State,
    /// What was not read by then, by its name.
    pub unread: Vec<String>,
    /// What was read, and disturbed since.
    pub stale: Vec<String>,
    /// What was read, and out of limit.
    pub out: Vec<String>,
    /// Of a condition or a wait, which of the step's it is.
    pub number: usize,
}

impl Breached {
    fn at(event: usize) -> Breached {
        Breached {
            at: Some(event),
            state: State::Broken,
            ..Breached::default()
        }
    }

    /// Everything that was not there, or not in limit.
    pub fn lacking(&self) -> Vec<String> {
        [&self.unread, &self.stale, &self.out]
            .into_iter()
            .flatten()
            .cloned()
            .collect()
    }

    /// With what of a list cannot be built on; `None` if all of it can.
    fn lacks(mut self, all: &[Measured]) -> Option<Breached> {
        for one in all.iter().filter(|one| !one.is_good()) {
            let list = match (one.is_known, one.is_fresh) {
                (false, _) => &mut self.unread,
                (true, false) => &mut self.stale,
                (true, true) => &mut self.out,
            };
            list.push(one.name.clone());
        }
        (!self.lacking().is_empty()).then_some(self)
    }
}

/// Something that a manual asks of the order of steps, in names: for those who read it without the book.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// The procedure.
    pub procedure: String,
    /// Which clause.
    pub clause: Clause,
    /// The step it stands at.
    pub step: String,
    /// The other steps it names.
    pub others: Vec<String>,
    /// What the log makes of it.
    pub state: State,
    /// Where it does not hold: the line of the step in question, where one was done, and that of the one it is held against.
    pub places: Vec<(Option<Span>, Option<Span>)>,
}

/// All that was asked, in names.
pub fn verdicts(case: &Case<'_>) -> Vec<Verdict> {
    let name = |id: &StepId| {
        case.rules
            .book
            .step(*id)
            .map_or_else(String::new, |step| step.name.name.clone())
    };
    let span = |event: Option<usize>| event.map(|event| case.event_span(event));
    let all = case.asked.iter().map(|asked| Verdict {
        procedure: case
            .rules
            .book
            .procedures
            .get(asked.procedure)
            .map_or_else(String::new, |p| p.name.name.clone()),
        clause: asked.clause,
        step: name(&asked.step),
        others: asked.others.iter().map(name).collect(),
        state: asked.state,
        places: asked.breaches.iter().map(|b| (span(b.at), span(b.other))).collect(),
    });
    all.collect()
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
            last.insert(super::disturbance::only_of(done), *event);
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

    /// The event at which a step was last done before another.
    pub fn last_before(&self, step: StepId, event: usize) -> Option<usize> {
        let all = self.trace.occurrences.iter().zip(&self.events);
        all.take_while(|(_, at)| **at < event)
            .filter(|(o, _)| o.step == step)
            .map(|(_, at)| *at)
            .last()
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
            asking.step(
                StepId {
                    procedure: number,
                    step: index,
                },
                step,
            );
        }
    }
    list
}

/// The alternatives that a step belongs to, itself among them; none if it is no alternative.
pub fn alternatives(case: &Case<'_>, id: StepId) -> Option<Vec<StepId>> {
    let all = case.rules.book.procedures.iter().flat_map(|p| &p.one_of);
    all.map(|one_of| ids(case, &one_of.steps))
        .find(|steps| steps.contains(&id))
}

/// Whether a step is to be done before the job is closed, for itself: not as one of several, and not only under a condition that does not hold.
pub fn is_owed(case: &Case<'_>, id: StepId) -> bool {
    case.rules.book.step(id).is_some_and(|step| {
        !step.optional
            && step.reads.is_empty()
            && alternatives(case, id).is_none()
            && step
                .owed_if
                .iter()
                .chain(&step.only_if)
                .all(|condition| holds(case, condition, None))
    })
}

fn ids(case: &Case<'_>, names: &[Named]) -> Vec<StepId> {
    names
        .iter()
        .filter_map(|name| case.rules.book.step_id(&name.key))
        .collect()
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
            ..Breached::default()
        });
        let breaches = breaches.collect();
        self.found(clause, (step, span, manual), others, breaches);
    }

    /// Something that was asked, with where it does not hold.
    fn found(&mut self, clause: Clause, at: (StepId, Span, usize), others: Vec<StepId>, breaches: Vec<Breached>) {
        let (step, span, manual) = at;
        self.list.push(Asked {
            procedure: self.number,
            clause,
            step,
            others,
            state: breaches.iter().map(|b| b.state).max().unwrap_or(State::Kept),
            breaches,
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
            let Some(next) = self.case.rules.book.step_id(&name.key) else {
                continue;
            };
            if let Some(measuring) = self.case.rules.book.step(next).filter(|s| !s.reads.is_empty()) {
                self.then_measured(at(name.span), next, measuring);
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
        self.circumstances(id, step);
        for name in &step.not_with {
            let Some(other) = self.case.rules.book.step_id(&name.key).filter(|other| *other != id) else {
                continue;
            };
            self.ask(
                Clause::NotWith,
                at(name.span),
                vec![other],
                &Pattern::NotWith(id, other),
            );
        }
    }

    /// `then` a step of measuring: what it reads is read after the step. What the step disturbs is told as stale, and what was never read as missing.
    fn then_measured(&mut self, at: (StepId, Span, usize), next: StepId, measuring: &Step) {
        let case = self.case;
        let Some(last) = case.course.last(at.0) else { return };
        let all = measured(case, &measuring.reads, case.job.events.len());
        let older = all
            .into_iter()
            .filter(|one| one.is_fresh && one.at.is_some_and(|event| event < last));
        let unread: Vec<String> = older.map(|one| one.name).collect();
        let breach = Breached {
            state: if case.is_closed() { State::Broken } else { State::Open },
            unread,
            ..Breached::at(last)
        };
        let breaches = Some(breach)
            .into_iter()
            .filter(|breach| !breach.unread.is_empty())
            .collect();
        self.found(Clause::Then, at, vec![next], breaches);
    }

    /// What depends on figures and times, each time the step was done; what was done again on the same part is history.
    fn circumstances(&mut self, id: StepId, step: &Step) {
        let case = self.case;
        let last: Vec<usize> = case.last_of(id);
        if let Some(first) = step.given.first() {
            let breaches = last
                .iter()
                .filter_map(|event| Breached::at(*event).lacks(&measured(case, &step.given, *event)));
            let breaches = breaches.collect();
            self.found(Clause::Given, (id, first.span, step.manual), Vec::new(), breaches);
        }
        for (number, condition) in step.only_if.iter().enumerate() {
            let broken = last.iter().filter(|event| !holds(case, condition, Some(**event)));
            let breaches = broken.map(|event| Breached {
                number,
                ..Breached::at(*event)
            });
            let breaches = breaches.collect();
            self.found(Clause::OnlyIf, (id, condition.span, step.manual), Vec::new(), breaches);
        }
        for (number, wait) in step.waits.iter().enumerate() {
            let Some(first) = case.rules.book.step_id(&wait.after.key) else {
                continue;
            };
            let breaches = last.iter().filter_map(|event| {
                let from = case.course.last_before(first, *event)?;
                let state = times::state(case, wait, from, *event)?;
                Some(Breached {
                    other: Some(from),
                    state,
                    number,
                    ..Breached::at(*event)
                })
            });
            let breaches = breaches.collect();
            self.found(Clause::Wait, (id, wait.after.span, step.manual), vec![first], breaches);
        }
    }

    /// `after` a step, or after whichever of its alternatives is done; after a step of measuring, its readings.
    fn after(&mut self, id: StepId, step: &Step, name: &Named) {
        let case = self.case;
        let book = &case.rules.book;
        let (Some(before), Some(done)) = (book.step_id(&name.key), case.course.first(id)) else {
            return;
        };
        let Some(first) = book.step(before) else { return };
        let at = (id, name.span, step.manual);
        if !first.reads.is_empty() {
            let is_due = first.owed_if.iter().all(|condition| holds(case, condition, None));
            if !first.optional && is_due {
                let mut breach = Breached::at(done).lacks(&measured(case, &first.reads, done));
                // Being out is what the next step may be for.
                if let Some(breach) = &mut breach {
                    breach.out.clear();
                }
                let breaches = breach.into_iter().filter(|b| !b.lacking().is_empty()).collect();
                self.found(Clause::Reads, at, vec![before], breaches);
            }
            return;
        }
        if !first.until.is_empty() && case.course.first(before).is_some_and(|at| at < done) {
            let breach = Breached::at(done).lacks(&measured(case, &first.until, done));
            self.found(Clause::Until, at, vec![before], breach.into_iter().collect());
        }
        let others = alternatives(self.case, before);
        let is_owed = others.is_some() || is_owed(self.case, before);
        let first: Vec<StepId> = others
            .unwrap_or_else(|| vec![before])
            .into_iter()
            .filter(|other| *other != id)
            .collect();
        let pattern = Pattern::After {
            step: id,
            first: first.clone(),
            is_owed,
        };
        self.ask(Clause::After, (id, name.span, step.manual), first, &pattern);
    }
}
