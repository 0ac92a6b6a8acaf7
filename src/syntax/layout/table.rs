//! A table: the names of the rows to the left, the figures of each column below each other.

use unicode_width::UnicodeWidthStr;

use super::fold::fold_blanks;
use crate::syntax::Span;
use crate::syntax::ast::{Cell, Row, Table};

/// Blanks between columns; two are the least that part names of several words.
const GAP: usize = 3;

/// Widest cell that the others are filled up to; a table with a wider one is not aligned.
const WIDEST: usize = 40;

/// A line of a table: where it begins in the text, and how it is laid out.
pub(super) struct TableLine {
    pub start: u32,
    pub text: String,
}

/// Lays out the heading and the rows.
pub(super) fn lay(table: &Table, text: &str) -> Vec<TableLine> {
    let cell = |cell: &Cell| match cell {
        Cell::Amount(amount) => amount.span(),
        Cell::Ditto(span) | Cell::Dash(span) => *span,
    };
    let mut lines: Vec<(Option<Span>, Vec<Span>)> = Vec::new();
    if !table.columns.is_empty() {
        lines.push((None, table.columns.clone()));
    }
    lines.extend(
        table
            .rows
            .iter()
            .map(|Row { label, cells }| (*label, cells.iter().map(cell).collect())),
    );
    let shown = |span: &Span| fold_blanks(span.text(text));
    let labels = lines.iter().filter_map(|(label, _)| label.as_ref());
    let label_width = labels.map(|label| shown(label).width()).max().unwrap_or(0);
    let mut widths: Vec<usize> = Vec::new();
    for (_, cells) in &lines {
        for (column, cell) in cells.iter().enumerate() {
            let width = shown(cell).width();
            match widths.get_mut(column) {
                Some(widest) => *widest = width.max(*widest),
                None => widths.push(width),
            }
        }
    }
    let aligned = label_width <= WIDEST && widths.iter().all(|width| *width <= WIDEST);
    lines
        .iter()
        .filter_map(|(label, cells)| {
            let start = label.or(cells.first().copied())?.start;
            let mut line = label.as_ref().map(shown).unwrap_or_default();
            if aligned {
                fill(&mut line, label_width);
            }
            for (cell, width) in cells.iter().zip(&widths) {
                let cell = shown(cell);
                if !line.is_empty() {
                    fill_by(&mut line, GAP);
                }
                if aligned {
                    fill_by(&mut line, width.saturating_sub(cell.width()));
                }
                line.push_str(&cell);
            }
            Some(TableLine { start, text: line })
        })
        .collect()
}

/// Fills a text up with blanks to a width.
fn fill(text: &mut String, width: usize) {
    fill_by(text, width.saturating_sub(text.width()));
}

/// Adds blanks.
fn fill_by(text: &mut String, blanks: usize) {
    text.extend(std::iter::repeat_n(' ', blanks));
}
