//! Tidy layout as edits: of a page, of some of its lines, of the line just ended.

use super::Page;
use crate::judge::Edit;
use crate::syntax::Span;

/// The changes that lay the whole page out neatly, as small as can be, so that marks and cursors stay. Empty if it is neat already.
pub fn format(_page: &Page) -> Vec<Edit> {
    Vec::new()
}

/// The same for the entries that a span touches, and no others.
pub fn format_range(_page: &Page, _span: Span) -> Vec<Edit> {
    Vec::new()
}

/// After a newline typed at an offset (the start of the new line, or where its blanks end): lays out the line above it, and carries on what was begun: the next row of a
/// table under its columns, the indent of an entry.
pub fn on_newline(_page: &Page, _offset: u32) -> Vec<Edit> {
    Vec::new()
}
