//! What may be done about what stands at a place: findings mended, readings added, units converted.

use super::Page;
use crate::judge::Edit;
use crate::syntax::Span;

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

/// What may be done about a span.
pub fn actions(_page: &Page, _span: Span) -> Vec<Action> {
    Vec::new()
}

/// The edits of an action, from its `data`; `None` if the page has changed so that it means nothing any more.
pub fn resolve(_page: &Page, _data: &str) -> Option<Vec<Edit>> {
    None
}
