//! What the lines of a log say.

use super::super::lines::Line;
use super::super::span::Span;
use super::{Amount, Figure, Subject, SyntaxError};

/// What is said behind a comma.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Detail {
    /// Where it stands.
    pub span: Span,
    /// What kind it is.
    pub kind: DetailKind,
}

/// The kinds of detail.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DetailKind {
    /// Any words.
    Tick(Span),
    /// `because …`
    Because(Span),
    /// `from PART`
    From(Span),
    /// `number …`: a part number, up to the comma.
    Number(Span),
    /// `ordered as …`
    OrderedAs(Span),
    /// `due 2027-01-31`
    Date {
        /// `due`, `since`
        name: Option<Span>,
        /// The date.
        date: Span,
    },
    /// `force 7.5 t on press`
    Amount {
        /// The name before the figure.
        name: Option<Span>,
        /// The figure. It is boxed, as what is rare and large is here: most of what is said is words, and statements are copied often.
        figure: Box<Figure>,
        /// The tool behind `on`.
        tool: Option<Span>,
        /// Words behind the figure.
        trailing: Option<Span>,
    },
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The row's name.
    pub label: Option<Span>,
    /// Its cells in order.
    pub cells: Vec<Cell>,
}

/// One cell of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// A figure.
    Amount(Amount),
    /// `"`: as above.
    Ditto(Span),
    /// `-`: not measured.
    Dash(Span),
}

/// The lines below a reading that has no figure of its own.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// The columns' names; empty if there is no heading.
    pub columns: Vec<Span>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// A reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Of what.
    pub subject: Subject,
    /// How much.
    pub figure: Figure,
    /// With which tool.
    pub tool: Option<Span>,
    /// `at 24 C`, `high at 80°`.
    pub at: Vec<Amount>,
    /// What else was said.
    pub details: Vec<Detail>,
    /// Figures on the lines below.
    pub table: Table,
}

/// A correction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FixTarget {
    /// Of a reading.
    Reading(Subject),
    /// Of an amount on a step's line: the step and the amount's name.
    Step(Span, Span),
}

/// What a line of a log says. Spans of names are trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Statement {
    /// `job`, `machine`, `owner`, `by`: the keyword and the text behind it.
    Head(HeadKind, Span),
    /// `manual NAME`
    Manual(Span),
    /// `procedure NAME`
    Procedure(Span),
    /// `units …`: the items between the commas.
    Units(Vec<Span>),
    /// `hours …`
    Hours(Amount),
    /// `tool NAME: …`
    Tool(Span, Vec<Detail>),
    /// `2026-03-14 as found`
    Day {
        /// The date as written.
        date: Span,
        /// The stage, if one is written.
        stage: Option<Span>,
    },
    /// A reading.
    Reading(Box<Reading>),
    /// `did STEP, …`
    Did(Span, Vec<Detail>),
    /// `found PART: …`
    Found(Span, Vec<Detail>),
    /// `ordered PART: …`
    Ordered(Span, Vec<Detail>),
    /// `got PART: …`
    Got(Span, Vec<Detail>),
    /// `waiting for PART, …`
    Waiting(Span, Vec<Detail>),
    /// `stock NAME: 2.30 2.35 x2 mm`: each size, and how many of it.
    Stock(Span, Vec<Piece>),
    /// `option NAME: …`: a way to go, and what it costs.
    Option(Span, Vec<Cost>),
    /// `cost NAME: …`: what was paid beside parts.
    Cost(Span, Vec<Cost>),
    /// `chose PART over PART, …`
    Chose(Span, Option<Span>, Vec<Detail>),
    /// `fix … OLD -> NEW`
    Fix {
        /// What is mended.
        target: Box<FixTarget>,
        /// The figure as it was: one amount, a range or blades.
        old: Box<Figure>,
        /// The figure as it should be.
        new: Box<Figure>,
        /// Why.
        reason: Option<Span>,
    },
    /// `undid STEP, …`
    Undid(Span, Vec<Detail>),
    /// `fix STEP, …` or `fix FEATURE, …` without an arrow: what was not said on its own line. The whole name, and its parts as of a reading.
    Amend(Span, Box<Subject>, Vec<Detail>),
    /// `held …`
    Held(Vec<Detail>),
    /// `checked TOOL, …`
    Checked(Span, Vec<Detail>),
    /// `note …`, or plain prose.
    Note(Span),
    /// `photo PATH`
    Photo(Span),
    /// `closed [DATE]`
    Closed(Option<Span>),
    /// A line that could not be read.
    Unread,
}

/// Pieces of one size in a stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The size.
    pub size: Amount,
    /// How many.
    pub count: u32,
}

/// An item of an option, or of what was paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cost {
    /// All of it.
    pub span: Span,
    /// Whether it comes back: `less`.
    pub is_less: bool,
    /// What it is for.
    pub name: Option<Span>,
    /// How much; `None` for mere words.
    pub amount: Option<Amount>,
    /// What becomes of that.
    pub by: CostBy,
}

/// What becomes of the amount of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CostBy {
    /// Nothing: `129 EUR`.
    Itself,
    /// `240 EUR over 8 jobs`
    Over(u32),
    /// `6 h at 30 EUR`, an hour's price, or what it says behind it
    At(Amount, Option<Per>),
    /// `15 % of 190 EUR`
    Of(Amount),
    /// `2 x 19 EUR`
    Times(Amount),
}

/// What a price is for, where it is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// `an hour`
    Hour,
    /// `a day`
    Day,
    /// `each`
    Piece,
}

/// Which head line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum HeadKind {
    Job,
    Machine,
    Owner,
    By,
}

/// A statement with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Zero-based number of its first line.
    pub line: usize,
    /// How many lines it takes: itself and those that belong to it.
    pub lines: usize,
    /// Its content, without comments, first line only.
    pub span: Span,
    /// The time of day in front of it: `09:40`.
    pub clock: Option<Span>,
    /// What it says.
    pub statement: Statement,
}

/// A log as it was written.
#[derive(Clone, Debug, Default)]
pub struct LogTree {
    /// Its lines.
    pub lines: Vec<Line>,
    /// What they say, in order; empty lines and comments have no entry.
    pub entries: Vec<Entry>,
    /// What could not be read.
    pub errors: Vec<SyntaxError>,
}
