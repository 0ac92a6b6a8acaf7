//! A limit: a band, the stage it holds for, and where it comes from.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::quantity::{Band, Dimension, Unit, number};
use crate::syntax::Span;

/// What is allowed for a feature at a stage, or for an amount of a step.
#[derive(Clone, Debug)]
pub struct Limit {
    /// Key of the stage: `build`, `service`, `as found`; empty for a bound or a nominal figure.
    pub stage: String,
    /// What is allowed, in base units, both ends included.
    pub band: Band,
    /// The unit it was written in.
    pub unit: &'static Unit,
    /// Where it stands in its manual.
    pub span: Span,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
    /// Its source, as written on the limit or at the head of its manual.
    pub source: Option<Arc<str>>,
}

impl Limit {
    /// What it is called: `build limit`, or `tolerance` where it is that of the nominal figure.
    pub fn name(&self) -> String {
        if self.stage.is_empty() {
            "tolerance".to_owned()
        } else {
            format!("{} limit", self.stage)
        }
    }

    /// Whether it is only a rule of thumb: its source says `common practice`.
    pub fn is_advisory(&self) -> bool {
        self.source
            .as_deref()
            .is_some_and(|source| source.to_lowercase().contains("common practice"))
    }

    /// Takes its figures, as they were written, for another kind of the same quantity; leaves it alone if it is none. A tolerance is a
    /// difference already and moves with its middle.
    pub fn read_as(&mut self, kind: Dimension) {
        let Some(twin) = self.unit.twin(kind).filter(|_| self.unit.dimension != kind) else {
            return;
        };
        // The way back from the base is rounded: 90 °F must not become 90.000…01 °F.
        let again = |end: Decimal| {
            let written = self.unit.from_base(end)?.round_dp(20).normalize();
            twin.to_base(written)
        };
        let (lo, hi) = (self.band.lo, self.band.hi);
        self.band.lo = lo.map(|end| again(end).unwrap_or(end));
        self.band.hi = hi.map(|end| again(end).unwrap_or(end));
        self.unit = twin;
    }

    /// The limit in words and its own unit: `0.35 to 0.50 mm`, `up to 0.03 mm`.
    pub fn words(&self) -> String {
        let in_unit = |value: Decimal| self.unit.from_base(value).unwrap_or(value);
        let ends = || [self.band.lo, self.band.hi].into_iter().flatten().map(in_unit);
        // Both ends with as many decimals as the one written finer: 0.05 to 0.10 mm.
        let written = ends().map(|end| end.scale()).max().filter(|scale| *scale <= 4);
        let figure = |value: Decimal| match written {
            Some(scale) => number::padded(in_unit(value), scale),
            None => number::show(in_unit(value), self.unit.decimals()),
        };
        let symbol = self.unit.label();
        let words = match (self.band.lo, self.band.hi) {
            (Some(lo), Some(hi)) if lo == hi => format!("{} {symbol}", figure(lo)),
            (Some(lo), Some(hi)) => format!("{} to {} {symbol}", figure(lo), figure(hi)),
            (None, Some(hi)) => format!("up to {} {symbol}", figure(hi)),
            (Some(lo), None) => format!("at least {} {symbol}", figure(lo)),
            (None, None) => "no limit".to_owned(),
        };
        // A plain number has no symbol.
        words.trim_end().to_owned()
    }
}
