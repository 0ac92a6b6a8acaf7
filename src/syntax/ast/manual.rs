//! What the lines of a manual say, and the sums in them.

use super::super::lines::Line;
use super::super::span::Span;
use super::{Amount, Op, Subject, SyntaxError};

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
