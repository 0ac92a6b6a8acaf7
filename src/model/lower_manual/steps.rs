//! The procedures of a manual: its steps with their clauses, and what must never be done.

use super::{At, Lowering};
use crate::model::manual::{Named, Never, Step, Target};
use crate::syntax::Span;
use crate::syntax::ast::{Clause, Subject};

impl Lowering<'_> {
    pub(super) fn step_mut(&mut self) -> Option<&mut Step> {
        if !matches!(self.at, At::Procedure) {
            return None;
        }
        self.manual.procedures.last_mut()?.steps.last_mut()
    }

    pub(super) fn step(&mut self, name: Span, clauses: &[Clause]) {
        let step = Step {
            name: self.named(name),
            also: Vec::new(),
            after: Vec::new(),
            needs: Vec::new(),
            disturbs: Vec::new(),
            reads: Vec::new(),
            until: Vec::new(),
            bounds: Vec::new(),
            optional: false,
            once: false,
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => {
                let twice = procedure.steps.iter().any(|s| s.name.key == step.name.key);
                let shown = step.name.name.clone();
                procedure.steps.push(step);
                if twice {
                    let message = format!("step `{shown}` stands twice in this procedure");
                    self.problem("manual.duplicate", name, message, "give one of them another name");
                }
                self.clauses(name, clauses);
            }
            _ => self.problem(
                "manual.stray",
                name,
                "a step stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }

    pub(super) fn clauses(&mut self, span: Span, clauses: &[Clause]) {
        for clause in clauses {
            let names = |spans: &[Span]| -> Vec<Named> { spans.iter().map(|s| self.named(*s)).collect() };
            let targets = |subjects: &[Subject]| -> Vec<Target> { subjects.iter().map(|s| self.target(s)).collect() };
            // Everything that needs `self` is worked out before the step is borrowed.
            let change: Box<dyn FnOnce(&mut Step)> = match clause {
                Clause::After(list) => {
                    let list = names(list);
                    Box::new(move |s| s.after.extend(list))
                }
                Clause::Needs(list) => {
                    let list = names(list);
                    Box::new(move |s| s.needs.extend(list))
                }
                Clause::Also(list) => {
                    let list = self.keys(list);
                    Box::new(move |s| s.also.extend(list))
                }
                Clause::Disturbs(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.disturbs.extend(list))
                }
                Clause::Reads(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.reads.extend(list))
                }
                Clause::Until(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.until.extend(list))
                }
                Clause::Optional => Box::new(|s| s.optional = true),
                Clause::Once => Box::new(|s| s.once = true),
                Clause::Because(_) => Box::new(|_| {}),
                Clause::Bound(name, limit) => match self.bound(*name, limit) {
                    Some(bound) => Box::new(move |s| s.bounds.push(bound)),
                    None => Box::new(|_| {}),
                },
            };
            match self.step_mut() {
                Some(step) => change(step),
                None => {
                    self.problem(
                        "manual.stray",
                        span,
                        "this belongs to no step".to_owned(),
                        "put it behind a step's name, or on a line below the step",
                    );
                    return;
                }
            }
        }
    }

    pub(super) fn never(&mut self, names: &[Span], reason: Option<Span>) {
        let Some((step, ticks)) = names.split_first() else {
            return;
        };
        let never = Never {
            step: self.named(*step),
            ticks: self.keys(ticks),
            because: reason.map_or_else(String::new, |r| r.text(self.text).to_owned()),
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => procedure.nevers.push(never),
            _ => self.problem(
                "manual.stray",
                *step,
                "`never` stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }
}
