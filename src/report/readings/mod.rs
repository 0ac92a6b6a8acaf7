//! The readings of logs as tidy data: one row a figure, one column a fact, for spreadsheets, data frames and whatever draws curves.

mod csv;
mod json;
mod page;
mod row;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

pub use json::{Readings, SCHEMA, schema};
pub use page::page;
pub use row::{COLUMNS, Row};

use super::Unread;
use super::figures::Kind;
use super::place::Placer;
use crate::judge::figures::Figure;
use crate::judge::{Analysis, figures, words};
use crate::model::job::{Meter, Reading};
use crate::model::limit::Limit;
use crate::quantity::{Unit, number};
use crate::syntax::Span;
use crate::syntax::ast::{HeadKind, Statement};
use crate::uncertainty::estimate::decimal;

/// Every figure of a log as a row: those read in their order, a row each of a ring, then those worked out. They are the figures that
/// `gudgeon why` tells ([`figures()`]).
pub fn rows(analysis: &Analysis) -> Vec<Row> {
    let log = Log::new(analysis);
    let mut placer = Placer::new(&analysis.source);
    let list = figures(analysis);
    list.iter().map(|figure| log.row(figure, &mut placer)).collect()
}

/// How rows are written. A document is its opening, the rows of one log after the other, and its closing, so that many logs need not be held at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A table for spreadsheets and data frames.
    Csv,
    /// A [`Readings`] for programs.
    Json,
}

impl Form {
    /// What stands before the first row: of a table the header.
    pub fn opening(self) -> String {
        match self {
            Form::Csv => csv::header(),
            Form::Json => json::opening(),
        }
    }

    /// The rows of a log; `is_first` where no row stands above them.
    pub fn rows(self, rows: &[Row], is_first: bool) -> String {
        match self {
            Form::Csv => csv::lines(rows),
            Form::Json => json::objects(rows, is_first),
        }
    }

    /// What stands behind the last row. A table has no place for what could not be read.
    pub fn closing(self, unread: &[Unread]) -> String {
        match self {
            Form::Csv => String::new(),
            Form::Json => json::closing(unread),
        }
    }

    /// The whole of it at once.
    pub fn document(self, rows: &[Row], unread: &[Unread]) -> String {
        [self.opening(), self.rows(rows, true), self.closing(unread)].concat()
    }
}

/// What all rows of a log have in common.
struct Log<'a> {
    analysis: &'a Analysis,
    machine: Option<String>,
    job: Option<String>,
}

impl<'a> Log<'a> {
    fn new(analysis: &'a Analysis) -> Log<'a> {
        let machine = analysis.tree.entries.iter().find_map(|entry| match &entry.statement {
            Statement::Head(HeadKind::Machine, name) => Some(*name),
            _ => None,
        });
        let text = |span: Span| filled(words::fold(span.text(&analysis.source.text)));
        Log {
            analysis,
            machine: machine.and_then(text),
            job: analysis.job.title.and_then(text),
        }
    }

    fn row(&self, figure: &Figure, placer: &mut Placer<'_>) -> Row {
        let job = &self.analysis.job;
        let text = &self.analysis.source.text;
        let reading = figure.reading.and_then(|index| job.readings.get(index));
        let event = reading.and_then(|reading| job.events.get(reading.event));
        // What was taken with a tool is a reading; a sum only rests on some.
        let taken = reading.filter(|_| !figure.is_derived);
        let meter = reading.and_then(|reading| self.meter(reading.event));
        let place = placer.place(figure.span.start);
        let shown = |base: Decimal| in_unit(base, figure.unit);
        let reach = figure.estimate.reach();
        let limit = figure.limit.as_ref();
        Row {
            path: self.analysis.source.name.clone(),
            line: place.line,
            column: place.column,
            machine: self.machine.clone(),
            job: self.job.clone(),
            meter: meter.map(|meter| float(meter.value)),
            meter_unit: meter.map(|meter| meter.unit.label().to_owned()),
            date: reading
                .and_then(|reading| job.date(reading.event))
                .map(|date| date.to_string()),
            time: event
                .and_then(|event| event.time)
                .map(|minutes| format!("{:02}:{:02}", minutes / 60, minutes % 60)),
            stage: event.and_then(|event| filled(job.stage(event.stage).key.clone())),
            feature: figure.feature.clone(),
            part: figure.part.clone(),
            place: figure.place.clone(),
            angle: figure.angle.map(float),
            kind: Kind::of(figure),
            written: taken.and_then(|_| filled(words::fold(figure.span.text(text)))),
            value: shown(figure.estimate.best),
            unit: figure.unit.and_then(|unit| filled(unit.label().to_owned())),
            base_value: float(figure.estimate.best),
            base_unit: figure.unit.and_then(|unit| filled(unit.dimension.base_unit())),
            low: reach.and_then(|reach| reach.lo).map(shown),
            high: reach.and_then(|reach| reach.hi).map(shown),
            u: spread(figure.estimate.combined.u, figure.unit),
            limit_low: limit.and_then(|limit| limit.band.lo).map(shown),
            limit_high: limit.and_then(|limit| limit.band.hi).map(shown),
            limit: limit.map(stage_of),
            limit_source: limit.and_then(|limit| limit.source.as_deref()).map(str::to_owned),
            verdict: figure.decision.map(|decision| decision.verdict),
            close: figure.decision.is_some_and(|decision| decision.is_close),
            counts: figure.counts,
            stale_since: figure
                .stale_since
                .and_then(|event| job.events.get(event))
                .map(|event| self.analysis.source.lines.line_of(event.span.start) + 1),
            forecast: figure.is_forecast,
            tool: taken
                .and_then(|reading| reading.tool.as_ref())
                .map(|tool| tool.key.clone()),
            temperature: taken.and_then(|reading| reading.temperature).map(float),
            mended_from: taken.and_then(|reading| mended_from(reading, figure, text)),
            unsure: figure.is_unsure,
        }
    }

    /// What the meter showed at an event: the last `hours` line above it.
    fn meter(&self, event: usize) -> Option<&Meter> {
        let known = self.analysis.job.hours.iter();
        known.rev().find(|meter| meter.event <= event)
    }
}

/// The figure that a correction took away, in the reading's unit. Of a ring only one figure was corrected: the one that is another than its line says.
fn mended_from(reading: &Reading, figure: &Figure, text: &str) -> Option<f64> {
    let (_, before) = reading.mended?;
    let Some(point) = figure.point else {
        return Some(float(before));
    };
    let point = reading.points.get(point)?;
    let stands = number::parse(point.span.text(text).split_whitespace().next()?).ok()?;
    (stands != point.written).then(|| float(stands))
}

fn stage_of(limit: &Limit) -> String {
    if limit.stage.is_empty() {
        limit.name()
    } else {
        limit.stage.clone()
    }
}

fn filled(text: String) -> Option<String> {
    (!text.is_empty()).then_some(text)
}

fn float(figure: Decimal) -> f64 {
    figure.to_f64().unwrap_or_default()
}

fn in_unit(base: Decimal, unit: Option<&'static Unit>) -> f64 {
    float(unit.and_then(|unit| unit.from_base(base)).unwrap_or(base))
}

/// A difference in base units, in a unit, to twelve digits: without the noise of floating point.
fn spread(base: f64, unit: Option<&'static Unit>) -> f64 {
    let base = decimal(base).unwrap_or_default();
    let shown = unit.and_then(|unit| unit.difference_from_base(base)).unwrap_or(base);
    float(number::significant(shown, 12))
}
