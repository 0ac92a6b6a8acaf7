//! Every clause of the procedures in play, asked of the course of a job.

use super::{Asked, Breached, Clause, holds, in_play, measured, times};
use crate::judge::case::Case;
use crate::model::book::StepId;
use crate::model::manual::{Named, OneOf, Step};
use crate::order::{Pattern, State};
use crate::syntax::Span;

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
        let at = |name: &Named| (id, name.span, name.manual);
        if is_owed(self.case, id) {
            self.ask(Clause::Step, at(&step.name), Vec::new(), &Pattern::Done(vec![id]));
        }
        // What follows is about times it was done.
        if self.case.course.first(id).is_none() {
            return;
        }
        if step.once {
            self.ask(Clause::Once, at(&step.name), Vec::new(), &Pattern::Once(id));
        }
        for name in &step.after {
            self.after(id, name);
        }
        let directly = ids(self.case, &step.directly_after);
        if let Some(name) = step.directly_after.first().filter(|_| !directly.is_empty()) {
            let pattern = Pattern::DirectlyAfter {
                step: id,
                first: directly.clone(),
            };
            self.ask(Clause::DirectlyAfter, at(name), directly, &pattern);
        }
        for name in &step.then {
            let Some(next) = self.case.rules.book.step_id(&name.key) else {
                continue;
            };
            if let Some(measuring) = self.case.rules.book.step(next).filter(|s| !s.reads.is_empty()) {
                self.then_measured(at(name), next, measuring);
                continue;
            }
            let next = alternatives(self.case, next).unwrap_or_else(|| vec![next]);
            let pattern = Pattern::Then {
                step: id,
                next: next.clone(),
            };
            self.ask(Clause::Then, at(name), next, &pattern);
        }
        let next = ids(self.case, &step.then_directly);
        if let Some(name) = step.then_directly.first().filter(|_| !next.is_empty()) {
            let pattern = Pattern::ThenDirectly {
                step: id,
                next: next.clone(),
            };
            self.ask(Clause::ThenDirectly, at(name), next, &pattern);
        }
        self.circumstances(id, step);
        for name in &step.not_with {
            let Some(other) = self.case.rules.book.step_id(&name.key).filter(|other| *other != id) else {
                continue;
            };
            self.ask(Clause::NotWith, at(name), vec![other], &Pattern::NotWith(id, other));
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
        let last: Vec<usize> = case.course.last_of(id);
        if let Some(first) = step.given.first() {
            let breaches = last
                .iter()
                .filter_map(|event| Breached::at(*event).lacks(&measured(case, &step.given, *event)));
            let breaches = breaches.collect();
            self.found(Clause::Given, (id, first.span, first.manual), Vec::new(), breaches);
        }
        for (number, condition) in step.only_if.iter().enumerate() {
            let broken = last.iter().filter(|event| !holds(case, condition, Some(**event)));
            let breaches = broken.map(|event| Breached {
                number,
                ..Breached::at(*event)
            });
            let breaches = breaches.collect();
            self.found(
                Clause::OnlyIf,
                (id, condition.span, condition.manual),
                Vec::new(),
                breaches,
            );
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
            self.found(
                Clause::Wait,
                (id, wait.after.span, wait.after.manual),
                vec![first],
                breaches,
            );
        }
    }

    /// `after` a step, or after whichever of its alternatives is done; after a step of measuring, its readings.
    fn after(&mut self, id: StepId, name: &Named) {
        let case = self.case;
        let book = &case.rules.book;
        let (Some(before), Some(done)) = (book.step_id(&name.key), case.course.first(id)) else {
            return;
        };
        let Some(first) = book.step(before) else { return };
        let at = (id, name.span, name.manual);
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
        self.ask(Clause::After, (id, name.span, name.manual), first, &pattern);
    }
}
