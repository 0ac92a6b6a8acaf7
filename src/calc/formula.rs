//! Sums with the readings of one job put in: what is worked out, drawn and bent to and fro.

use std::sync::Arc;

use super::function::Function;
use super::trade::Called;
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
    /// A function of the trade.
    Trade(Arc<Called>, Vec<Formula>),
    /// Anywhere between two figures.
    Between(Band),
}

/// A figure that a sum takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Index of its reading in `Job::readings`; `None` for one that is only supposed: a shim of the stock.
    pub reading: Option<usize>,
    /// Whether it is not the reading's figure but something else that it says: an angle, a distance.
    pub is_beside: bool,
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
            Formula::Trade(called, arguments) => {
                let figures: Vec<f64> = arguments.iter().map(|a| a.float(leaf)).collect();
                called.work(&figures).unwrap_or(f64::NAN)
            }
            Formula::Between(band) => band.middle().map_or(f64::NAN, float),
        }
    }

    /// Works it out for many draws at once: `leaves` holds a column for each figure, all of one length.
    pub fn column(&self, leaves: &[Vec<f64>], draws: usize) -> Vec<f64> {
        let each = |mut column: Vec<f64>, change: &dyn Fn(f64) -> f64| {
            column.iter_mut().for_each(|value| *value = change(*value));
            column
        };
        match self {
            Formula::Number(figure) => vec![float(*figure); draws],
            Formula::Leaf(index) => leaves.get(*index).cloned().unwrap_or_else(|| vec![f64::NAN; draws]),
            Formula::Negate(inner) => each(inner.column(leaves, draws), &|value| -value),
            Formula::Binary(op, a, b) => {
                let change: fn(f64, f64) -> f64 = match op {
                    Op::Add => |a, b| a + b,
                    Op::Subtract => |a, b| a - b,
                    Op::Multiply => |a, b| a * b,
                    Op::Divide => |a, b| a / b,
                };
                fold(a.column(leaves, draws), &b.column(leaves, draws), change)
            }
            Formula::Power(base, power) => each(base.column(leaves, draws), &|value| value.powi(*power)),
            Formula::Call(function, arguments) => {
                let mut columns = arguments.iter().map(|argument| argument.column(leaves, draws));
                let Some(first) = columns.next() else {
                    return vec![call(*function, std::iter::empty()); draws];
                };
                match function {
                    Function::Smallest | Function::Min => columns.fold(first, |a, b| fold(a, &b, f64::min)),
                    Function::Largest | Function::Max => columns.fold(first, |a, b| fold(a, &b, f64::max)),
                    Function::Total => columns.fold(first, |a, b| fold(a, &b, |a, b| a + b)),
                    Function::Mean => {
                        let total = columns.fold(first, |a, b| fold(a, &b, |a, b| a + b));
                        let count = arguments.len() as f64;
                        each(total, &|value| value / count)
                    }
                    Function::Spread => {
                        let (least, most) = columns.fold((first.clone(), first), |(least, most), column| {
                            (fold(least, &column, f64::min), fold(most, &column, f64::max))
                        });
                        fold(most, &least, |a, b| a - b)
                    }
                    Function::Count => vec![arguments.len() as f64; draws],
                    Function::Abs => each(first, &f64::abs),
                    Function::Sqrt => each(first, &f64::sqrt),
                    Function::Round => {
                        let step = columns.next().unwrap_or_default();
                        fold(first, &step, |value, step| (value / step).round() * step)
                    }
                }
            }
            Formula::Trade(called, arguments) => {
                let columns: Vec<Vec<f64>> = arguments
                    .iter()
                    .map(|argument| argument.column(leaves, draws))
                    .collect();
                let row = |row: usize| {
                    let at = |column: &Vec<f64>| column.get(row).copied().unwrap_or(f64::NAN);
                    let figures: Vec<f64> = columns.iter().map(at).collect();
                    called.work(&figures).unwrap_or(f64::NAN)
                };
                (0..draws).map(row).collect()
            }
            Formula::Between(band) => vec![band.middle().map_or(f64::NAN, float); draws],
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
            Formula::Between(_) => true,
            Formula::Call(..) | Formula::Trade(..) => false,
        }
    }

    /// Whether something in it leaves a figure open besides the readings: a range of the manual, a function that gives a range.
    pub fn leaves_open(&self) -> bool {
        match self {
            Formula::Number(_) | Formula::Leaf(_) => false,
            Formula::Between(_) => true,
            Formula::Negate(a) | Formula::Power(a, _) => a.leaves_open(),
            Formula::Binary(_, a, b) => a.leaves_open() || b.leaves_open(),
            Formula::Call(_, list) => list.iter().any(Formula::leaves_open),
            Formula::Trade(called, list) => called.function.is_range || list.iter().any(Formula::leaves_open),
        }
    }

    fn is_constant(&self) -> bool {
        match self {
            Formula::Number(_) => true,
            Formula::Leaf(_) | Formula::Between(_) => false,
            Formula::Negate(a) | Formula::Power(a, _) => a.is_constant(),
            Formula::Binary(_, a, b) => a.is_constant() && b.is_constant(),
            Formula::Call(_, list) | Formula::Trade(_, list) => list.iter().all(Formula::is_constant),
        }
    }
}

/// One column changed by another, row by row.
fn fold(mut a: Vec<f64>, b: &[f64], change: impl Fn(f64, f64) -> f64) -> Vec<f64> {
    a.iter_mut().zip(b).for_each(|(a, b)| *a = change(*a, *b));
    a
}

/// A decimal in floating point.
pub fn float(figure: Decimal) -> f64 {
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
        Function::Round => match (values.next(), values.next()) {
            (Some(value), Some(step)) => (value / step).round() * step,
            _ => f64::NAN,
        },
    }
}
