//! Sums with the readings of one job put in: what is worked out, drawn and bent to and fro.

use super::function::Function;
use crate::metrology::Measured;
use crate::quantity::Band;
use crate::syntax::ast::Op;
use rust_decimal::Decimal;

/// A sum over figures of one job.
#[derive(Clone, Debug, PartialEq)]
pub enum Formula {
    /// A constant, base units.
    Number(Decimal),
    /// A figure: index into [`Resolved::leaves`].
    Leaf(usize),
    /// `-a`
    Negate(Box<Formula>),
    /// `a + b` and the like.
    Binary(Op, Box<Formula>, Box<Formula>),
    /// `a ^ n`
    Power(Box<Formula>, i32),
    /// A function; a gathering one has every figure as an argument.
    Call(Function, Vec<Formula>),
}

/// A figure that a sum takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Index of its reading in `Job::readings`.
    pub reading: usize,
    /// What is known of it.
    pub measured: Measured,
    /// The figure as written: one value, or what blades leave open; of repeats, from the least to the most.
    pub written: Band,
}

/// A formula with its figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Resolved {
    /// The sum.
    pub formula: Formula,
    /// Its figures; each stands once for every time it is named.
    pub leaves: Vec<Leaf>,
}

impl Formula {
    /// Works it out in floating point, with each figure given by its index. `NaN` where it cannot be worked.
    pub fn float(&self, leaf: &impl Fn(usize) -> f64) -> f64 {
        match self {
            Formula::Number(figure) => float(*figure),
            Formula::Leaf(index) => leaf(*index),
            Formula::Negate(inner) => -inner.float(leaf),
            Formula::Binary(op, a, b) => {
                let (a, b) = (a.float(leaf), b.float(leaf));
                match op {
                    Op::Add => a + b,
                    Op::Subtract => a - b,
                    Op::Multiply => a * b,
                    Op::Divide => a / b,
                }
            }
            Formula::Power(base, power) => base.float(leaf).powi(*power),
            Formula::Call(function, arguments) => call(*function, arguments.iter().map(|a| a.float(leaf))),
        }
    }

    /// Whether it is a sum of figures with constant factors and nothing else, so that first order is exact.
    pub fn is_linear(&self) -> bool {
        match self {
            Formula::Number(_) | Formula::Leaf(_) => true,
            Formula::Negate(inner) => inner.is_linear(),
            Formula::Binary(Op::Add | Op::Subtract, a, b) => a.is_linear() && b.is_linear(),
            Formula::Binary(Op::Multiply, a, b) => {
                (a.is_constant() && b.is_linear()) || (b.is_constant() && a.is_linear())
            }
            Formula::Binary(Op::Divide, a, b) => b.is_constant() && a.is_linear(),
            Formula::Power(base, power) => *power == 1 && base.is_linear() || base.is_constant(),
            Formula::Call(Function::Mean | Function::Total | Function::Count, list) => {
                list.iter().all(Formula::is_linear)
            }
            Formula::Call(Function::Smallest | Function::Largest | Function::Min | Function::Max, list) => {
                matches!(list.as_slice(), [one] if one.is_linear())
            }
            Formula::Call(..) => false,
        }
    }

    fn is_constant(&self) -> bool {
        match self {
            Formula::Number(_) => true,
            Formula::Leaf(_) => false,
            Formula::Negate(a) | Formula::Power(a, _) => a.is_constant(),
            Formula::Binary(_, a, b) => a.is_constant() && b.is_constant(),
            Formula::Call(_, list) => list.iter().all(Formula::is_constant),
        }
    }
}

/// A decimal in floating point.
pub(super) fn float(figure: Decimal) -> f64 {
    use rust_decimal::prelude::ToPrimitive as _;
    figure.to_f64().unwrap_or(f64::NAN)
}

fn call(function: Function, mut values: impl Iterator<Item = f64>) -> f64 {
    let least = |list: &mut dyn Iterator<Item = f64>| list.fold(f64::INFINITY, f64::min);
    let most = |list: &mut dyn Iterator<Item = f64>| list.fold(f64::NEG_INFINITY, f64::max);
    match function {
        Function::Smallest | Function::Min => least(&mut values),
        Function::Largest | Function::Max => most(&mut values),
        Function::Total => values.sum(),
        Function::Count => values.count() as f64,
        Function::Mean => {
            let (count, total) = values.fold((0.0, 0.0), |(n, sum), value| (n + 1.0, sum + value));
            total / count
        }
        Function::Spread => {
            let ends = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), value| {
                (lo.min(value), hi.max(value))
            });
            ends.1 - ends.0
        }
        Function::Abs => values.next().map_or(f64::NAN, f64::abs),
        Function::Sqrt => values.next().map_or(f64::NAN, f64::sqrt),
    }
}
