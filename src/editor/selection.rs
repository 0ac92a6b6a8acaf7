//! What to select next: from the figure to its field, its line, its entry, its day, the page.

use super::Page;
use crate::syntax::Span;

/// The spans around an offset, the smallest first, each strictly within the next; the last is the page.
pub fn selections(page: &Page, _offset: u32) -> Vec<Span> {
    vec![Span::new(0, page.text().len())]
}
