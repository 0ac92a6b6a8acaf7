//! The tree of a log or a manual: what each line says, as spans into the text. No meaning yet: names are not looked up and
//! units are not resolved here. What both have in common stands here.

mod log;
mod manual;

use super::span::Span;

pub use log::{
    Cell, Cost, CostBy, Detail, DetailKind, Entry, FixTarget, HeadKind, LogTree, Per, Piece, Reading, Row, Statement,
    Table,
};
pub use manual::{
    Argument, Bound, Clause, ConditionNode, Expr, Heading, LimitNode, ManualTree, MaterialNode, NeverNode, NeverOrder,
    Reference, Rule, RuleEntry,
};

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
