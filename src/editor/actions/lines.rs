//! Lines to be added to a log: below an entry, or at the end of its last day.

use crate::editor::shape::entry_on;
use crate::judge::{Analysis, Edit};
use crate::syntax::ast::{Entry, Statement};
use crate::syntax::{Span, newline_at};

/// The entry that a place stands in, with the rows below it.
pub(super) fn entry_at(log: &Analysis, offset: u32) -> Option<&Entry> {
    entry_on(log, log.source.lines.line_of(offset))
}

/// Whether a place stands on the lines of an entry.
pub(super) fn is_on(log: &Analysis, entry: &Entry, span: Span) -> bool {
    let first = log.source.lines.line_of(span.start);
    let last = log.source.lines.line_of(span.end);
    entry.line <= last && first < entry.line + entry.lines.max(1)
}

/// Adds lines below an entry and all that belongs to it, indented like it. `None` if its lines are not there.
pub(super) fn below(log: &Analysis, entry: &Entry, lines: &[String]) -> Option<Edit> {
    let text = &log.source.text;
    let indent = match entry.statement {
        // What stands under a date that is indented itself is not met with; a line of its own begins at the margin.
        Statement::Day { .. } => "",
        _ => log
            .tree
            .lines
            .get(entry.line)?
            .indent
            .text(text)
            .trim_start_matches('\u{FEFF}'),
    };
    let number = entry.line + entry.lines.max(1) - 1;
    let end = log.tree.lines.get(number)?.end.start;
    let newline = newline_at(&log.tree.lines, number, text);
    let added: String = lines.iter().map(|line| format!("{newline}{indent}{line}")).collect();
    Some(Edit {
        span: Span { start: end, end },
        text: added,
    })
}

/// Adds lines at the end of the last day: below everything that was done, above the line that closes the job. What is read today belongs there, wherever
/// the reason for it stands.
pub(super) fn at_end(log: &Analysis, lines: &[String]) -> Option<Edit> {
    let closed = log
        .tree
        .entries
        .iter()
        .position(|entry| matches!(entry.statement, Statement::Closed(_)));
    let open = log.tree.entries.get(..closed.unwrap_or(log.tree.entries.len()))?;
    below(log, open.last()?, lines)
}
