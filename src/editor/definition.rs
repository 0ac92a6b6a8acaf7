//! Where a name is introduced, or the limit that a figure is held against.

use std::sync::Arc;

use super::{Index, Page};
use crate::syntax::{Source, Span};

/// A place to go to.
#[derive(Clone, Debug)]
pub struct Destination {
    /// The text it stands in.
    pub source: Arc<Source>,
    /// What is shown: the whole line.
    pub whole: Span,
    /// The name or the limit on it.
    pub span: Span,
}

/// Where what stands at an offset comes from, with the span it was asked of: a feature to its line in the manual, a step to its step, a tool to its `tool` line, a
/// figure to its limit, a manual to its first line. Several where several manuals say it.
pub fn definition(_page: &Page, _offset: u32, _index: &Index) -> Option<(Span, Vec<Destination>)> {
    None
}
