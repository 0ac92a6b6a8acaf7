//! Figures that were written as a table: a bore at three heights in two directions.

use rustc_hash::FxHashMap;

use super::fits::Fit;
use crate::judge::case::Case;
use crate::judge::figures::Figure;
use crate::judge::words;
use crate::model::job::EventKind;
use crate::quantity::Unit;
use crate::syntax::ast::{Cell as Written, Statement};

/// A reading whose figures stand on the lines below it.
#[derive(Debug)]
pub struct Table {
    /// What was read: `bore of cylinder 1`.
    pub name: String,
    /// The line it begins on, from 1.
    pub line: usize,
    /// Its stage.
    pub stage: String,
    /// The unit of its figures.
    pub unit: Option<&'static Unit>,
    /// Its readings: indices into `Job::readings`.
    pub readings: std::ops::Range<usize>,
    /// The names of its columns; empty if it has no heading.
    pub columns: Vec<String>,
    /// Its rows in order.
    pub rows: Vec<Row>,
}

/// A row of a table.
#[derive(Debug)]
pub struct Row {
    /// Its name; empty if it has none.
    pub label: String,
    /// Its cells in order.
    pub cells: Vec<Cell>,
}

/// A cell of a table.
#[derive(Debug)]
pub enum Cell {
    /// A figure, with whether it still counts.
    Figure(Box<Figure>),
    /// Not measured: `-`, or nothing that could be read.
    Not,
}

/// Every table of the log.
pub(super) fn tables(case: &Case<'_>, fits: &[Fit]) -> Vec<Table> {
    let looks = fits.iter().filter(|fit| !fit.is_derived).flat_map(|fit| &fit.looks);
    let by_reading: FxHashMap<usize, &Figure> = looks
        .filter_map(|look| Some((look.reading?, look.figures.first()?)))
        .collect();
    let by_line: FxHashMap<usize, usize> = (0..case.job.events.len())
        .map(|event| (case.line_of(event), event))
        .collect();
    let mut list = Vec::new();
    for entry in &case.tree.entries {
        let Statement::Reading(reading) = &entry.statement else {
            continue;
        };
        if reading.table.rows.is_empty() {
            continue;
        }
        let Some(event) = by_line.get(&(entry.line + 1)).copied() else {
            continue;
        };
        let Some(EventKind::Readings(range)) = case.job.events.get(event).map(|event| &event.kind) else {
            continue;
        };
        // A cell is known by where its figure stands.
        let at: FxHashMap<u32, usize> = range
            .clone()
            .filter_map(|index| Some((case.job.readings.get(index)?.figure_span.start, index)))
            .collect();
        let mut unit = None;
        let mut cell = |written: &Written| {
            let span = match written {
                Written::Amount(amount) => amount.span(),
                Written::Ditto(span) | Written::Dash(span) => *span,
            };
            let figure = at.get(&span.start).and_then(|index| by_reading.get(index)).copied();
            unit = unit.or(figure.and_then(|figure| figure.unit));
            figure.map_or(Cell::Not, |figure| Cell::Figure(Box::new(figure.clone())))
        };
        let rows = reading
            .table
            .rows
            .iter()
            .map(|row| Row {
                label: row
                    .label
                    .map_or_else(String::new, |label| words::fold(label.text(case.text()))),
                cells: row.cells.iter().map(&mut cell).collect(),
            })
            .collect();
        list.push(Table {
            name: words::fold(reading.subject.span().text(case.text())),
            line: entry.line + 1,
            stage: case.stage(event).key.clone(),
            unit,
            readings: range.clone(),
            columns: reading
                .table
                .columns
                .iter()
                .map(|column| words::fold(column.text(case.text())))
                .collect(),
            rows,
        });
    }
    list
}
