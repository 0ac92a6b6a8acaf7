//! What stands above a job: how many readings are owed, which step comes next.

use super::Page;
use crate::syntax::Span;

/// A line above a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lens {
    /// Above which.
    pub span: Span,
    /// Its words: `3 readings owed`, `next: press in crankpin`.
    pub title: String,
    /// The places it speaks of, to be shown on a click; may be empty.
    pub places: Vec<Span>,
}

/// The lenses of a page: above the `job` line of a log, above each feature of a manual none.
pub fn lenses(_page: &Page) -> Vec<Lens> {
    Vec::new()
}
