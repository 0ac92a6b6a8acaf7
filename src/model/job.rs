//! The job a log tells of: its head, its tools, and what happened, in order, with every figure as a band.

use jiff::civil::Date;
use rust_decimal::Decimal;

use super::book::{FeatureId, StepId};
use super::stage::Stage;
use super::tools::Tool;
use crate::quantity::{Band, Unit};
use crate::syntax::Span;
use crate::syntax::ast::Op;
use crate::trade::materials::Material;
use crate::uncertainty::Shape;

/// A name written in a log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// Its key.
    pub key: String,
    /// Where.
    pub span: Span,
}

/// A whole job.
#[derive(Debug, Default)]
pub struct Job {
    /// Where the job is named; the first line if it is not.
    pub head: Span,
    /// What is written behind `job`.
    pub title: Option<Span>,
    /// Manuals it is judged by.
    pub manuals: Vec<Word>,
    /// Procedures it is to follow.
    pub procedures: Vec<Word>,
    /// What the meter showed, in order.
    pub hours: Vec<Meter>,
    /// Its tools.
    pub tools: Vec<Tool>,
    /// The stages in the order they came.
    pub stages: Vec<Stage>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Every reading; events point into it.
    pub readings: Vec<Reading>,
    /// Every feature at a part and a place that was read.
    pub instances: Vec<Instance>,
    /// Where it was closed.
    pub closed: Option<Span>,
    /// The date of each day; `None` for what stands before the first, and where it is no date.
    pub dates: Vec<Option<Date>>,
}

impl Job {
    /// The tool that a name means.
    pub fn tool(&self, key: &str) -> Option<&Tool> {
        self.tools.iter().find(|tool| tool.name.key == key)
    }

    /// The date of an event.
    pub fn date(&self, event: usize) -> Option<Date> {
        let day = self.events.get(event)?.day;
        self.dates.get(day).copied().flatten()
    }

    /// The stage at an event.
    pub fn stage(&self, index: usize) -> &Stage {
        const UNNAMED: &Stage = &Stage { key: String::new() };
        self.stages.get(index).unwrap_or(UNNAMED)
    }
}

/// What the machine's meter showed.
#[derive(Clone, Copy, Debug)]
pub struct Meter {
    /// Where the figure stands.
    pub span: Span,
    /// The figure as written, in `unit`.
    pub value: Decimal,
    /// In base units: seconds for hours, mm for km.
    pub base: Decimal,
    /// Its unit; hours where none is written.
    pub unit: &'static Unit,
    /// How many events stand above it.
    pub event: usize,
}

/// Something that happened.
#[derive(Debug)]
pub struct Event {
    /// The line, without its comment.
    pub span: Span,
    /// Index of its stage.
    pub stage: usize,
    /// Number of its day, counted from 1; 0 before the first.
    pub day: usize,
    /// The time of day written in front of it, in minutes since midnight.
    pub time: Option<u16>,
    /// What.
    pub kind: EventKind,
}

/// The kinds of event.
#[derive(Debug)]
pub enum EventKind {
    /// Readings taken on one line (a table has several): a range of `Job::readings`.
    Readings(std::ops::Range<usize>),
    /// A step.
    Did(Done),
    /// A step undone: the last time it was done before does not count any more.
    Undid(Done),
    /// An inspection.
    Found(Word, Vec<Said>),
    /// A part ordered.
    Ordered(Part),
    /// A part that came.
    Got(Part),
    /// A part waited for, and what was said of it: since when.
    Waiting(Word, Vec<Said>),
    /// What lies in the drawer.
    Stock(Stock),
    /// A way to go, with what it costs.
    Option(Offer),
    /// What was paid beside parts.
    Cost(Offer),
    /// A choice: the part taken, the part left.
    Chose(Word, Option<Word>),
    /// How the work is held from here on.
    Held(Vec<Said>),
    /// A tool that was checked, as against its standard.
    Checked(Word),
}

/// A reading of one feature at one part and place.
#[derive(Debug)]
pub struct Reading {
    /// Index of its instance.
    pub instance: usize,
    /// Index of its event.
    pub event: usize,
    /// Where the feature is named.
    pub name_span: Span,
    /// Where the figure stands.
    pub figure_span: Span,
    /// Its points: one for a single figure, more for repeats and rings. Empty if there was no figure.
    pub points: Vec<Point>,
    /// How it was taken.
    pub kind: ReadingKind,
    /// The unit it was written in or is meant in; `None` for a plain number.
    pub unit: Option<&'static Unit>,
    /// The tool, as written.
    pub tool: Option<Word>,
    /// Index of the tool in `Job::tools`, if it is declared anywhere in the log.
    pub tool_index: Option<usize>,
    /// The temperature of the part, °C, where it is said.
    pub temperature: Option<Decimal>,
    /// What the part is made of, where the reading says so; else the manual may.
    pub material: Option<Material>,
    /// How the error behind a `±` is meant; two ends unless the reading says otherwise.
    pub stated: Stated,
    /// The angles of a ring, degrees; empty for all else.
    pub angles: Vec<Decimal>,
    /// Marked as not sure.
    pub unsure: bool,
    /// Index of the event of the correction, and the figure as it stood before.
    pub mended: Option<(usize, Decimal)>,
    /// What else is said, with what a `held` line said before it.
    pub said: Vec<Said>,
}

/// How the error behind a `±` is meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stated {
    /// So much either way at most, spread by this shape.
    Within(Shape),
    /// An expanded uncertainty: so many standard uncertainties.
    Expanded(f64),
}

/// One figure of a reading.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// As it was written, as a band in base units: exact, or what blades or a range leave open.
    pub band: Band,
    /// The half-width written behind `±`, base units; the band is then the exact middle.
    pub half_width: Option<Decimal>,
    /// The best single figure in base units.
    pub best: Decimal,
    /// The figure as written, in the reading's unit.
    pub written: Decimal,
    /// Half a unit of the last digit, in base units.
    pub half_step: Decimal,
    /// Where it stands.
    pub span: Span,
}

/// How a reading was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadingKind {
    /// A single figure.
    Single,
    /// Two blades.
    Blades,
    /// One blade only.
    OneBlade,
    /// A range.
    Range,
    /// A figure with its doubt behind `±`.
    PlusMinus,
    /// The same thing read several times.
    Repeats,
    /// A figure at each angle.
    Ring,
    /// A sum by hand: the result worked again, if it could be, and the sum as written.
    Sum(Option<Worked>),
    /// Words without a figure.
    NoFigure,
}

/// A sum worked again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// The right result, in the reading's unit.
    pub result: Decimal,
    /// The terms as they are printed: `2.05 - 0.19`.
    pub terms: String,
    /// Signs of the terms after the first.
    pub ops: Vec<Op>,
}

impl Reading {
    /// All points as one band; `None` without a figure.
    pub fn band(&self) -> Option<Band> {
        self.points.iter().map(|p| p.band).reduce(|a, b| a.hull(b))
    }

    /// The mean of the best figures; `None` without a figure.
    pub fn best(&self) -> Option<Decimal> {
        let count = Decimal::from(self.points.len());
        let total = self
            .points
            .iter()
            .try_fold(Decimal::ZERO, |sum, p| sum.checked_add(p.best))?;
        total.checked_div(count)
    }

    /// The reason that is written with it (`because …`): whoever wrote it stands by the figure.
    pub fn reason(&self) -> Option<&Said> {
        self.said.iter().find(|said| matches!(said.kind, SaidKind::Because))
    }
}

/// A feature at a part and a place.
#[derive(Debug)]
pub struct Instance {
    /// The feature, if the book knows it.
    pub feature: Option<FeatureId>,
    /// The feature's name as first written.
    pub name: Word,
    /// The part.
    pub part: Option<Word>,
    /// The place.
    pub place: Option<Word>,
    /// Its readings in order: indices into `Job::readings`.
    pub readings: Vec<usize>,
}

/// A step that was done.
#[derive(Debug)]
pub struct Done {
    /// Its name as written.
    pub name: Word,
    /// The step, if the book knows it.
    pub step: Option<StepId>,
    /// What was said with it.
    pub said: Vec<Said>,
    /// The later line that says that it was undone.
    pub undone: Option<Undone>,
}

/// That a step was undone.
#[derive(Clone, Copy, Debug)]
pub struct Undone {
    /// The event that says so.
    pub at: usize,
    /// Whether it says why.
    pub because: bool,
}

impl Done {
    /// Whether a later line says that it was undone.
    pub fn is_undone(&self) -> bool {
        self.undone.is_some()
    }

    /// The reason that is written with it (`because …`).
    pub fn reason(&self) -> Option<&Said> {
        self.said.iter().find(|said| matches!(said.kind, SaidKind::Because))
    }
}

/// Something said behind a comma.
#[derive(Clone, Debug)]
pub struct Said {
    /// Where.
    pub span: Span,
    /// What, as a key: the whole detail.
    pub key: String,
    /// What kind.
    pub kind: SaidKind,
}

/// The kinds of things said.
#[derive(Clone, Debug)]
pub enum SaidKind {
    /// Words.
    Tick,
    /// The reason.
    Because,
    /// Where a part came from: key.
    From(String),
    /// A part number: key.
    Number(String),
    /// The part number that was ordered: key.
    OrderedAs(String),
    /// An amount.
    Amount(SaidAmount),
}

/// An amount said with a step or a part.
#[derive(Clone, Debug)]
pub struct SaidAmount {
    /// Key of its name; empty if it has none.
    pub name: String,
    /// As a band in base units: from the least to the most said.
    pub band: Band,
    /// Whether it was said in stages, of which only the last counts.
    pub is_staged: bool,
    /// How many figures were said.
    pub stages: usize,
    /// The final figure in base units.
    pub last: Decimal,
    /// The final figure as written.
    pub written: Decimal,
    /// Its unit; `None` for a count.
    pub unit: Option<&'static Unit>,
    /// Where the final figure stands.
    pub span: Span,
    /// The tool it was read on.
    pub tool: Option<Word>,
}

/// What lies in the drawer: pieces of a stock.
#[derive(Debug)]
pub struct Stock {
    /// Its name.
    pub name: Word,
    /// Its pieces in order.
    pub pieces: Vec<StockPiece>,
}

/// Pieces of one size.
#[derive(Clone, Copy, Debug)]
pub struct StockPiece {
    /// The size, base units.
    pub size: Decimal,
    /// Half a unit of its last digit, base units.
    pub half_step: Decimal,
    /// Its unit.
    pub unit: Option<&'static Unit>,
    /// How many.
    pub count: u32,
    /// Where it stands.
    pub span: Span,
}

/// A way to go, with what it costs; or something beside parts, with what was paid for it.
#[derive(Debug)]
pub struct Offer {
    /// Its name.
    pub name: Word,
    /// Its items in order; an item that is only words is left out.
    pub items: Vec<OfferItem>,
    /// Whether every item could be read: else its sum is no sum.
    pub is_whole: bool,
}

/// An item of an option, or of what was paid.
#[derive(Clone, Debug)]
pub struct OfferItem {
    /// All of it.
    pub span: Span,
    /// Its name as written; may be empty.
    pub name: String,
    /// What it comes to: money, or a time that the option takes or lasts. Less than nothing where it comes back.
    pub amount: Decimal,
    /// How many or how long, as written, with its unit, where it has a price for each: `2 x 6 EUR`, `6 h at 30 EUR`.
    pub count: Option<(Decimal, Option<&'static Unit>)>,
    /// The price of one, where it has a count.
    pub each: Option<Decimal>,
    /// Its unit.
    pub unit: &'static Unit,
    /// Whether it is what may happen, and not what is paid for certain.
    pub is_risk: bool,
}

/// A part ordered or received.
#[derive(Debug)]
pub struct Part {
    /// Its name.
    pub name: Word,
    /// What was said of it.
    pub said: Vec<Said>,
}

impl Part {
    /// Its number: what stands behind `number`, else the first detail that is words with a figure in them (`got ring: WR-80`).
    pub fn number(&self) -> Option<&Said> {
        let named = self.said.iter().find(|said| matches!(said.kind, SaidKind::Number(_)));
        let has_figure =
            |said: &&Said| matches!(said.kind, SaidKind::Tick) && said.key.bytes().any(|b| b.is_ascii_digit());
        named.or_else(|| self.said.first().filter(has_figure))
    }

    /// How many: `quantity 2`, `qty 2`, `2 off`, `2 pcs`.
    pub fn quantity(&self) -> Option<&SaidAmount> {
        self.said.iter().find_map(|said| match &said.kind {
            SaidKind::Amount(amount) => {
                let named = matches!(amount.name.as_str(), "quantity" | "qty");
                let counted = amount.name.is_empty() && amount.unit.is_some_and(|u| matches!(u.symbol, "off" | "pcs"));
                (named || counted).then_some(amount)
            }
            _ => None,
        })
    }
}

impl Said {
    /// What it says as a part number: the key behind `number`, or all of it.
    pub fn as_number(&self) -> &str {
        match &self.kind {
            SaidKind::Number(number) | SaidKind::OrderedAs(number) => number,
            _ => &self.key,
        }
    }

    /// Whether it may tick a need: a reason gives one, but does not tick.
    pub fn is_tick(&self) -> bool {
        !matches!(self.kind, SaidKind::Because)
    }
}
