//! What the procedures in play ask of the order of steps, and what the log makes of each of it.

mod asking;
mod conditions;
mod course;
mod measured;
mod times;

use super::case::Case;
use crate::model::book::StepId;
use crate::model::manual::Procedure;
use crate::syntax::Span;

pub use crate::order::State;
pub use asking::{alternatives, asked, is_owed};
pub use conditions::holds;
pub use course::Course;
pub use measured::{Measured, measured};
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
