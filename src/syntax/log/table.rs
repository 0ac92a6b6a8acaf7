//! The lines below a reading that has no figure of its own.

use super::grammar::{Rule, by_rule};
use crate::syntax::Span;
use crate::syntax::ast::{Cell, Reading, Row, Table, Value};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, rest_of, unread};

/// Whether the lines below a reading are its table: it has no figure itself.
pub(super) fn is_taken_by(reading: &Reading) -> bool {
    matches!(reading.figure.value, Value::Empty | Value::Words(_))
}

/// Reads one line of a table: a heading or a row. `None` if it is a statement of its own; a line that stands no deeper than the
/// reading is taken only if it is a row, or a heading, beyond doubt.
pub(super) fn line(said: Said<'_>, deeper: bool, text: &str, table: &mut Table) -> Option<Read<()>> {
    let statement = super::starts_statement(said);
    if said.text.contains('=') || (statement && !deeper) {
        return None;
    }
    let first = table.columns.is_empty() && table.rows.is_empty();
    if first
        && !statement
        && let Some(columns) = heading(said, deeper)
    {
        table.columns = columns;
        return Some(Ok(()));
    }
    match row(said) {
        Ok(row) => {
            add(row, text, table);
            Some(Ok(()))
        }
        Err(_) if !deeper || statement => None,
        Err(at) => {
            let (at, rest) = rest_of(said.text, at);
            Some(Err(unread(
                said.skip(at).span(),
                format!("`{rest}` is not understood in this table"),
                "a row is a name and its figures: `top  72.012  72.010`; `-` stands for not measured",
            )))
        }
    }
}

/// The names of the columns. A heading has no figure but for the numbers in names (`cylinder 1  cylinder 2`), and names of several
/// words are parted by two blanks or a tab.
fn heading(said: Said<'_>, deeper: bool) -> Option<Vec<Span>> {
    let wide = said.text.contains("  ") || said.text.contains('\t');
    let bare = !said.text.bytes().any(|b| b.is_ascii_digit());
    let plain = deeper && bare;
    // A line of dashes and dittos is a row without a figure.
    if !(wide || plain) || (bare && row(said).is_ok()) {
        return None;
    }
    let rule = if wide { Rule::header } else { Rule::header_one };
    let columns: Vec<Span> = by_rule(rule, said)
        .ok()?
        .filter(|pair| matches!(pair.as_rule(), Rule::header_cell | Rule::header_word))
        .map(|pair| said.span_of(&pair))
        .collect();
    let named = bare || columns.iter().all(|column| is_name(*column, said));
    (named && (plain || columns.len() > 1)).then_some(columns)
}

/// Whether a cell begins with a letter and holds no figure with decimals.
fn is_name(cell: Span, said: Said<'_>) -> bool {
    let start = (cell.start as usize).saturating_sub(said.base);
    let text = said.text.get(start..start + cell.len()).unwrap_or("");
    let decimal = text
        .as_bytes()
        .windows(3)
        .any(|w| matches!(w, [a, b'.' | b',', c] if a.is_ascii_digit() && c.is_ascii_digit()));
    text.starts_with(char::is_alphabetic) && !decimal
}

/// One row, or the byte at which it could not be read.
fn row(said: Said<'_>) -> Result<Row, usize> {
    let mut row = Row {
        label: None,
        cells: Vec::new(),
    };
    for pair in by_rule(Rule::row, said)? {
        match pair.as_rule() {
            Rule::row_label => row.label = Some(said.span_of(&pair)),
            Rule::ditto => row.cells.push(Cell::Ditto(said.span_of(&pair))),
            Rule::dash => row.cells.push(Cell::Dash(said.span_of(&pair))),
            Rule::cell_amount => row.cells.push(Cell::Amount(said.amount(&pair))),
            _ => {}
        }
    }
    Ok(row)
}

/// Adds a row. Names of columns and rows may be bare numbers, as those of cylinders are, which shows only beside the other lines.
fn add(mut row: Row, text: &str, table: &mut Table) {
    let numbered = row.label.is_none();
    if table.columns.is_empty()
        && let [Row { label: None, cells }] = table.rows.as_slice()
        && is_under(&row, cells, text)
        && let Some(columns) = cells.iter().map(|cell| whole_number(cell, text)).collect()
    {
        table.columns = columns;
        table.rows.clear();
    }
    // `valve 1   0.12`: the number is the end of the row's name.
    let wanted = table.columns.len().max(1);
    if let (Some(label), Some(number)) = (row.label, row.cells.first().and_then(|cell| whole_number(cell, text)))
        && row.cells.len() > wanted
    {
        row.label = Some(label.to(number));
        row.cells.remove(0);
    }
    if numbered
        && !table.columns.is_empty()
        && row.cells.len() == table.columns.len() + 1
        && let Some(label) = row.cells.first().and_then(|cell| whole_number(cell, text))
    {
        row.label = Some(label);
        row.cells.remove(0);
    }
    table.rows.push(row);
}

/// Whether a row stands under a heading of bare numbers: it has a name, or a number for one, and as many figures; or as many figures of which one has
/// decimals, as the heading has not.
fn is_under(row: &Row, heading: &[Cell], text: &str) -> bool {
    let numbered = usize::from(row.label.is_none());
    let named = row.cells.len() == heading.len() + numbered;
    let plain = heading.len() > 1
        && row.cells.len() == heading.len()
        && row.cells.iter().any(|cell| whole_number(cell, text).is_none());
    named || plain
}

/// Where a cell stands that is a bare whole number without a unit.
fn whole_number(cell: &Cell, text: &str) -> Option<Span> {
    match cell {
        Cell::Amount(amount) if amount.unit.is_none() => {
            let digits = amount.number.text(text).bytes();
            digits.into_iter().all(|b| b.is_ascii_digit()).then_some(amount.number)
        }
        _ => None,
    }
}
