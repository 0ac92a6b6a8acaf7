//! What is shown between the words, without being written: a figure worked again, a verdict with its room to spare, what went stale.

use super::Page;
use crate::syntax::Span;

/// What a hint tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HintKind {
    /// A sum worked again.
    Worked,
    /// A verdict.
    Verdict,
    /// A reading that was overtaken.
    Stale,
}

/// A hint behind an offset.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// Behind which byte.
    pub at: u32,
    /// Its text: short, without blanks at the ends.
    pub text: String,
    /// More, in markdown; may be empty.
    pub tip: String,
    /// What it tells.
    pub kind: HintKind,
}

/// The hints within a span, in order of place.
pub fn hints(_page: &Page, _within: Span) -> Vec<Hint> {
    Vec::new()
}
