//! What is known of what stands under the cursor.

use std::sync::Arc;

use super::Page;
use crate::judge::Analysis;
use crate::syntax::Span;

/// What to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hover {
    /// What it is about.
    pub span: Span,
    /// The text, in markdown. User text in it is escaped.
    pub markdown: String,
}

/// What is known of what stands at an offset. `earlier` are other logs of the same machine, earliest first.
pub fn hover(_page: &Page, _offset: u32, _earlier: &[Arc<Analysis>]) -> Option<Hover> {
    None
}
