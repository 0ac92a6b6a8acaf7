//! What may be done about what stands at a place: findings mended, readings added, units converted.
//!
//! A log is never overwritten where it says what was measured: a mended figure goes on a line of its own. What would claim that something was done, or
//! measured, is never done for all at once, and never put forward as the one thing to do.

mod accept;
mod again;
mod all;
mod blades;
mod convert;
mod fixes;
mod lines;
mod mend;
mod missing;
mod near;
mod same;
mod sources;
mod ticket;
mod ticks;

use super::Page;
use crate::judge::Edit;
use crate::syntax::Span;

use ticket::Ticket;

/// What an action is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ActionKind {
    /// Mends a finding.
    Quickfix,
    /// Writes the same in another way.
    Rewrite,
    /// Mends everything that has one plain way to be mended.
    FixAll,
}

/// Something that may be done. Its edits are worked out by [`resolve`] when it is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Action {
    /// What it does, as an instruction.
    pub title: String,
    /// What it is for.
    pub kind: ActionKind,
    /// The finding it mends: index into the page's findings.
    pub finding: Option<usize>,
    /// Whether it is the one to take.
    pub is_preferred: bool,
    /// What [`resolve`] needs to know: plain text that means the same on a later, equal page.
    pub data: String,
}

impl Action {
    /// An action that writes something in another way, or makes room for something that is still to be filled in.
    fn rewrite(title: impl Into<String>, ticket: &Ticket) -> Action {
        Action {
            title: title.into(),
            kind: ActionKind::Rewrite,
            finding: None,
            is_preferred: false,
            data: ticket.written(),
        }
    }

    /// The same for a finding that it answers.
    fn about(self, finding: usize) -> Action {
        Action {
            finding: Some(finding),
            ..self
        }
    }
}

/// What may be done about a span. An empty span is a cursor.
pub fn actions(page: &Page, span: Span) -> Vec<Action> {
    let end = Span::new(page.text().len(), page.text().len()).end;
    let span = Span {
        start: span.start.min(end),
        end: span.end.clamp(span.start.min(end), end),
    };
    let mut list = Vec::new();
    fixes::offer(page, span, &mut list);
    near::offer(page, span, &mut list);
    match page {
        Page::Log(log) => {
            ticks::offer(page, log, span, &mut list);
            again::offer(page, span, &mut list);
            missing::offer(page, log, span, &mut list);
            accept::offer(page, log, span, &mut list);
            mend::offer(page, log, span, &mut list);
            blades::offer(page, log, span, &mut list);
            convert::offer(page, log, span, &mut list);
        }
        Page::Manual(manual) => sources::offer(page, manual, span, &mut list),
    }
    // Of several ways none is the one to take.
    let fixes = list.iter().filter(|action| action.kind == ActionKind::Quickfix).count();
    if fixes > 1 {
        list.iter_mut().for_each(|action| action.is_preferred = false);
    }
    all::offer(page, &mut list);
    list
}

/// The edits of an action, from its `data`; `None` if the page has changed so that it means nothing any more. They stand in order of place and do not
/// overlap.
pub fn resolve(page: &Page, data: &str) -> Option<Vec<Edit>> {
    let ticket = Ticket::read(data)?;
    if !ticket.holds(page) {
        return None;
    }
    match page {
        Page::Log(log) => match ticket.what.as_str() {
            fixes::WHAT => fixes::edits(page, &ticket),
            near::WHAT => near::edits(page, &ticket),
            all::WHAT => all::edits(page),
            ticks::WHAT => ticks::edits(log, &ticket),
            again::ONE | again::ALL => again::edits(log, &ticket),
            missing::WHAT => missing::edits(log, &ticket),
            accept::WHAT => accept::edits(log, &ticket),
            mend::WHAT => mend::edits(log, &ticket),
            blades::PARTNER | blades::PLAIN => blades::edits(log, &ticket),
            convert::WHAT => convert::edits(log, &ticket),
            _ => None,
        },
        Page::Manual(manual) => match ticket.what.as_str() {
            fixes::WHAT => fixes::edits(page, &ticket),
            near::WHAT => near::edits(page, &ticket),
            all::WHAT => all::edits(page),
            sources::WHAT => sources::edits(manual, &ticket),
            _ => None,
        },
    }
}

/// Whether two spans have a place in common; a cursor at the end of the other counts.
fn meets(a: Span, b: Span) -> bool {
    a.start <= b.end && b.start <= a.end
}
