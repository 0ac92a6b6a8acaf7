//! What a job costs: as text for the bench, as JSON for programs, as CSV for a spreadsheet.

mod csv;
mod json;
mod text;

pub use csv::csv;
pub use json::{json, schema};
pub use text::text;

use crate::judge::Analysis;
use crate::syntax::Span;

fn line_of(analysis: &Analysis, span: Span) -> usize {
    analysis.source.lines.line_of(span.start) + 1
}
