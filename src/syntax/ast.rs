//! The tree of a log or a manual: what each line says, as spans into the text. No meaning yet: names are not looked up and
//! units are not resolved here.

use super::lines::Line;
use super::span::Span;

/// A figure with the unit written behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// The figure as written: `52.03`, `50:1`, `1 3/8`.
    pub number: Span,
    /// Its unit as written; of an angle with minutes, `12° 30'`, all that follows the degrees.
    pub unit: Option<Span>,
}

impl Amount {
    /// Figure and unit.
    pub fn span(&self) -> Span {
        self.unit.map_or(self.number, |unit| self.number.to(unit))
    }
}

/// An operator in a sum by hand or in an expression.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Op {
    Add,
    Subtract,
    Multiply,
    Divide,
}

impl Op {
    /// Reads the sign.
    pub fn of(sign: &str) -> Self {
        match sign {
            "+" => Op::Add,
            "*" | "×" | "·" => Op::Multiply,
            "/" | "÷" => Op::Divide,
            _ => Op::Subtract,
        }
    }

    /// The sign as it is printed.
    pub fn sign(self) -> &'static str {
        match self {
            Op::Add => "+",
            Op::Subtract => "-",
            Op::Multiply => "*",
            Op::Divide => "/",
        }
    }
}

/// What stands behind the `=` of a reading, or behind the name of an amount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Nothing: a table follows, or the figure was forgotten.
    Empty,
    /// Words without a figure: a unit before a table, or no reading at all.
    Words(Span),
    /// `52.03 mm`
    Single(Amount),
    /// `go A, no-go B`; either may be missing.
    Blades {
        /// The blade that goes.
        go: Option<Amount>,
        /// The blade that does not.
        no_go: Option<Amount>,
    },
    /// `A to B`
    Range(Amount, Amount),
    /// `A ± B`
    PlusMinus(Amount, Amount),
    /// `A xN`
    Times(Amount, u32),
    /// `A B C`, repeats
    Many(Vec<Amount>),
    /// `A B C D at 0 90 180 270`
    Ring(Vec<Amount>, Vec<Span>),
    /// `A - B + C = D`: first term, the others with their signs, and the result as written.
    Sum {
        /// First term.
        first: Amount,
        /// The following terms.
        terms: Vec<(Op, Amount)>,
        /// What was written as the result.
        result: Amount,
    },
    /// `A/B/C`: stages of an amount, the last is the final one.
    Stages(Vec<Amount>),
}

/// A value with its marks of doubt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The value.
    pub value: Value,
    /// Where it stands; empty where nothing is written.
    pub span: Span,
    /// A unit behind the whole (`x3 mm`, `at 0 90 mm`), which is then meant for every figure.
    pub unit: Option<Span>,
    /// Marked `~` or `?`.
    pub unsure: bool,
}

/// `FEATURE [of PART] [at PLACE]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Subject {
    /// The feature's name.
    pub feature: Span,
    /// The part.
    pub part: Option<Span>,
    /// The place on it.
    pub place: Option<Span>,
}

impl Subject {
    /// From the first to the last word of it.
    pub fn span(&self) -> Span {
        [self.part, self.place]
            .into_iter()
            .flatten()
            .fold(self.feature, Span::to)
    }
}

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
        /// The figure.
        figure: Figure,
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
        target: FixTarget,
        /// The figure as it was: one amount, a range or blades.
        old: Figure,
        /// The figure as it should be.
        new: Figure,
        /// Why.
        reason: Option<Span>,
    },
    /// `undid STEP, …`
    Undid(Span, Vec<Detail>),
    /// `fix STEP, …` or `fix FEATURE, …` without an arrow: what was not said on its own line. The whole name, and its parts as of a reading.
    Amend(Span, Subject, Vec<Detail>),
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

/// Something about a line that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxError {
    /// Dotted code: `line.unread`, `text.long-line`, `text.control`.
    pub code: &'static str,
    /// Where.
    pub span: Span,
    /// What is wrong, in plain words.
    pub message: String,
    /// What to write instead.
    pub help: String,
    /// A repaired line, if one is near: the span to replace and its new text.
    pub suggestion: Option<(Span, String)>,
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

/// An expression of a derived feature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Expr {
    /// A figure, with or without a unit.
    Number(Amount),
    /// The reading of a feature.
    Reference(Reference),
    /// `-a`
    Negate(Box<Expr>, Span),
    /// `a + b`
    Binary(Op, Box<Expr>, Box<Expr>),
    /// `a ^ b`
    Power(Box<Expr>, Box<Expr>),
    /// `smallest(a)`: name, arguments, whole span.
    Call(Span, Vec<Argument>, Span),
    /// `25 H7/p6`, `"M8x1"`: words for a function, without their quotes.
    Text(Span),
    /// `0.12 to 0.20`: anywhere between.
    Range(Amount, Amount),
}

/// An argument of a function: `0.12`, or with its name, `friction = 0.12`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Argument {
    /// Its name.
    pub name: Option<Span>,
    /// What is given.
    pub value: Expr,
}

impl Expr {
    /// Where it stands.
    pub fn span(&self) -> Span {
        match self {
            Expr::Number(amount) => amount.span(),
            Expr::Reference(reference) => reference.span,
            Expr::Negate(_, span) | Expr::Call(_, _, span) | Expr::Text(span) => *span,
            Expr::Range(a, b) => a.span().to(b.span()),
            Expr::Binary(_, a, b) | Expr::Power(a, b) => a.span().to(b.span()),
        }
    }
}

/// A name in an expression.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reference {
    /// Feature, part, place.
    pub subject: Subject,
    /// Whether `as found` stands behind it.
    pub as_found: bool,
    /// All of it.
    pub span: Span,
}

/// A limit as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LimitNode {
    /// `up to A`
    UpTo(Bound),
    /// `at least A`
    AtLeast(Bound),
    /// `A to B`
    Between(Amount, Amount),
    /// `A ± B`
    PlusMinus(Amount, Amount),
    /// `A +B -C`
    Tolerance(Amount, Amount, Amount),
    /// `A`
    Exactly(Amount),
    /// `25 k5`, `25 H7/p6`: by the tables of a standard.
    Coded(Span),
}

/// One end of a limit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Bound {
    /// A figure.
    Amount(Amount),
    /// `rating of press`
    RatingOf(Span),
}

/// What a feature is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MaterialNode {
    /// A material by its name.
    Named(Span),
    /// `23 ± 2 ppm/K`: its expansion by heat, and how far that is known.
    Expansion(Amount, Option<Amount>),
}

/// Name, parts, places and other names on a `feature`, `calc` or `precaution` line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heading {
    /// The name.
    pub name: Span,
    /// Parts listed behind `of`.
    pub parts: Vec<Span>,
    /// Places listed behind `at`.
    pub places: Vec<Span>,
    /// Names listed behind `also`.
    pub also: Vec<Span>,
}

/// One clause of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clause {
    /// `after A, B`
    After(Vec<Span>),
    /// `needs A, B`
    Needs(Vec<Span>),
    /// `also A, B`
    Also(Vec<Span>),
    /// `disturbs A, B`
    Disturbs(Vec<Subject>),
    /// `reads A, B`
    Reads(Vec<Subject>),
    /// `until A`
    Until(Vec<Subject>),
    /// `directly after A`
    DirectlyAfter(Vec<Span>),
    /// `then A, B`, or `then directly A`.
    Then {
        /// What follows.
        steps: Vec<Span>,
        /// As the very next step.
        directly: bool,
    },
    /// `not with A`
    NotWith(Vec<Span>),
    /// `given FEATURE`
    Given(Vec<Subject>),
    /// `if CONDITION`, or `only if CONDITION`.
    If {
        /// Not to be done otherwise.
        only: bool,
        /// When it is to be done.
        condition: ConditionNode,
    },
    /// `at least 8 h after A`, `within 10 min after A`.
    Wait {
        /// Whether the time is the least.
        is_least: bool,
        /// How long.
        time: Amount,
        /// After which.
        after: Vec<Span>,
    },
    /// `takes out needles`
    TakesOut(Vec<Span>),
    /// `puts in needles`
    PutsIn(Vec<Span>),
    /// `renews circlips`
    Renews(Vec<Span>),
    /// `expects FEATURE`
    Expects(Vec<Subject>),
    /// `pattern ring of 6`, `pattern 2 rows of 5`: how many rows, how many bolts.
    Pattern(Option<Span>, Span),
    /// `uses press rated at least 10 t`
    Uses(Span, Option<Amount>),
    /// `optional`
    Optional,
    /// `once`
    Once,
    /// `because …`
    Because(Span),
    /// `force up to 10 t`
    Bound(Span, LimitNode),
}

/// A condition on what a log says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ConditionNode {
    /// `did STEP`
    Did(Span),
    /// `not did STEP`
    NotDid(Span),
    /// `found PART DECISION`
    Found(Span, Span),
    /// `got PART`
    Got(Span),
    /// `FEATURE out`, `FEATURE in`, `FEATURE read`
    Feature(Subject, Span),
}

/// What a `never` line forbids beside a step and its ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NeverOrder {
    /// At any time.
    Ever,
    /// Before another step.
    Before(Span),
    /// After another step.
    After(Span),
}

/// `never STEP, TICK before STEP if CONDITION because TEXT`
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeverNode {
    /// The step, and the ticks that make it forbidden.
    pub names: Vec<Span>,
    /// Before or after which step.
    pub order: NeverOrder,
    /// What the log must say for it to hold.
    pub conditions: Vec<ConditionNode>,
    /// Why.
    pub because: Option<Span>,
}

/// What a line of a manual says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// `manual NAME, …`
    Manual(Span),
    /// `extends NAME`
    Extends(Span),
    /// `source …`
    Source(Span),
    /// `units …`
    Units(Vec<Span>),
    /// `feature …`
    Feature(Heading),
    /// `calc … = …`
    Calc(Heading, Expr),
    /// `precaution …`
    Precaution(Heading),
    /// `procedure …`
    Procedure(Span),
    /// `step …`
    Step(Span, Vec<Clause>),
    /// A clause on a line of its own.
    Clauses(Vec<Clause>),
    /// `one of A, B`
    OneOf(Vec<Span>),
    /// `never …`
    Never(NeverNode),
    /// `build 0.35 to 0.50 mm, source …`: stage, limit, source.
    Limit(Span, LimitNode, Option<Span>),
    /// `nominal …`
    Nominal(LimitNode, Option<Span>),
    /// `unit mm`
    Unit(Span),
    /// `say A or B`
    Say(Vec<Span>),
    /// `decide guarded at 95 %`: the rule of acceptance as written.
    Decide(Span),
    /// `material steel`
    Material(MaterialNode),
    /// `alike within 1 g, source …`: how far parts may differ, and its source.
    Alike(LimitNode, Option<Span>),
    /// `aim 0.13 mm`: the figure that is aimed at, and its source.
    Aim(LimitNode, Option<Span>),
    /// `limits of FEATURE`
    LimitsOf(Span),
    /// `ahead`: told before it is done, and never judged.
    Ahead,
    /// `agrees with FEATURE`
    AgreesWith(Span),
    /// `choose NAME from stock NAME, up to 2 together`
    Choose {
        /// What is chosen.
        what: Span,
        /// The stock it is taken from.
        stock: Option<Span>,
        /// How many pieces may lie together.
        together: Option<Span>,
    },
    /// `required [STAGE]`
    Required(Option<Span>),
    /// `also …`
    Also(Vec<Span>),
    /// `because …`
    Because(Span),
    /// A line that could not be read.
    Unread,
}

/// A line of a manual with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleEntry {
    /// Zero-based number of its line.
    pub line: usize,
    /// Its content without the comment.
    pub span: Span,
    /// What it says.
    pub rule: Rule,
}

/// A manual as it was written.
#[derive(Clone, Debug, Default)]
pub struct ManualTree {
    /// Its lines.
    pub lines: Vec<Line>,
    /// What they say, in order.
    pub entries: Vec<RuleEntry>,
    /// What could not be read.
    pub errors: Vec<SyntaxError>,
}
