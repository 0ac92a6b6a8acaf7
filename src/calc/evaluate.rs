//! Works a formula out: the best value, what blades leave open, the figure as a head would work it, and the budget by first order.

use rust_decimal::{Decimal, RoundingStrategy};

use super::formula::{Formula, Leaf, Resolved, float};
use super::function::Function;
use super::trade::Called;
use super::work::{Impossible, Reason, Worked};
use crate::quantity::{Band, BandError};
use crate::syntax::ast::Op;
use crate::trade::Refused;
use crate::uncertainty::Budget;
use crate::uncertainty::estimate::decimal;

/// A value on its way up the tree.
struct Value {
    /// From the figures as written.
    written: Band,
    /// From the corrected figures, and what blades leave open.
    bare: Band,
    /// The best single value.
    best: Decimal,
    /// What it may be off by, first order.
    budget: Budget,
    /// Leaves that decided it.
    deciding: Vec<usize>,
}

/// Works a formula out.
pub(super) fn evaluate(resolved: Resolved) -> Result<Worked, Reason> {
    let evaluator = Evaluator {
        leaves: &resolved.leaves,
    };
    let value = evaluator.node(&resolved.formula)?;
    if cancels(&value.budget) {
        return Err(Reason::Alone);
    }
    let reading = |leaf: &usize| resolved.leaves.get(*leaf).and_then(|leaf| leaf.reading);
    let deciding = value.deciding.iter().filter_map(reading).collect();
    let inputs = resolved.leaves.iter().filter_map(|leaf| leaf.reading).collect();
    let has_open = resolved.leaves.iter().any(|leaf| leaf.measured.between.is_some()) || resolved.formula.leaves_open();
    Ok(Worked {
        written: value.written,
        best: value.best,
        between: has_open.then_some(value.bare).filter(|band| !band.is_exact()),
        budget: value.budget,
        resolved,
        inputs,
        deciding,
    })
}

/// Whether every error cancels: then nothing is left in a result of the figures it was worked from.
fn cancels(budget: &Budget) -> bool {
    !budget.shares.is_empty() && budget.merged().iter().all(|share| share.effect() == 0.0)
}

struct Evaluator<'a> {
    leaves: &'a [Leaf],
}

type Made = Result<Value, Reason>;

fn arithmetic(error: BandError) -> Reason {
    Reason::Arithmetic(error)
}

const TOO_LARGE: Reason = Reason::Arithmetic(BandError::TooLarge);

fn constant(figure: Decimal) -> Value {
    Value {
        written: Band::exact(figure),
        bare: Band::exact(figure),
        best: figure,
        budget: Budget::default(),
        deciding: Vec::new(),
    }
}

/// Everything a value may be: what is open, wider by the uncertainty.
fn reach(value: &Value) -> Band {
    let expanded = crate::uncertainty::estimate::decimal(value.budget.combined().expanded());
    expanded.and_then(|half| value.bare.widen(half)).unwrap_or(value.bare)
}

impl Evaluator<'_> {
    fn node(&self, formula: &Formula) -> Made {
        match formula {
            Formula::Number(figure) => Ok(constant(*figure)),
            Formula::Leaf(index) => {
                let leaf = self.leaves.get(*index).ok_or(Reason::Missing(String::new()))?;
                Ok(Value {
                    written: leaf.written,
                    bare: leaf.measured.bare(),
                    best: leaf.measured.best,
                    budget: leaf.measured.budget.clone(),
                    deciding: vec![*index],
                })
            }
            Formula::Negate(inner) => {
                let value = self.node(inner)?;
                Ok(Value {
                    written: value.written.neg().map_err(arithmetic)?,
                    bare: value.bare.neg().map_err(arithmetic)?,
                    best: -value.best,
                    budget: value.budget.scale(-1.0),
                    ..value
                })
            }
            Formula::Binary(op, a, b) => binary(*op, self.node(a)?, self.node(b)?),
            Formula::Power(base, power) => {
                let value = self.node(base)?;
                let best = Band::exact(value.best).power(*power).map_err(arithmetic)?;
                let slope = f64::from(*power) * float(value.best).powi(power - 1);
                Ok(Value {
                    written: value.written.power(*power).map_err(arithmetic)?,
                    bare: value.bare.power(*power).map_err(arithmetic)?,
                    best: best.lo.ok_or(TOO_LARGE)?,
                    budget: value.budget.scale(slope),
                    ..value
                })
            }
            Formula::Call(function, arguments) => {
                let values: Result<Vec<Value>, Reason> = arguments.iter().map(|argument| self.node(argument)).collect();
                self.call(*function, values?)
            }
            Formula::Trade(called, arguments) => {
                let values: Result<Vec<Value>, Reason> = arguments.iter().map(|argument| self.node(argument)).collect();
                self.trade(called, values?)
            }
            Formula::Between(band) => Ok(Value {
                written: *band,
                bare: *band,
                best: band.middle().ok_or(TOO_LARGE)?,
                budget: Budget::default(),
                deciding: Vec::new(),
            }),
        }
    }

    /// A function of the trade, in floating point: the best value at the best figures, first order by its slopes, and over what is open by its ends.
    fn trade(&self, called: &Called, values: Vec<Value>) -> Made {
        let refused = |refused: Refused| {
            let deciding = values.get(refused.parameter).map(|value| value.deciding.clone());
            let readings = deciding
                .into_iter()
                .flatten()
                .filter_map(|leaf| self.leaves.get(leaf)?.reading);
            Reason::Refused(Box::new(Impossible {
                function: called.function.name,
                why: refused.why,
                readings: readings.collect(),
            }))
        };
        let best: Vec<f64> = values.iter().map(|value| float(value.best)).collect();
        let result = called.work(&best).map_err(refused)?;
        let bands = |of: &dyn Fn(&Value) -> Band| values.iter().map(of).collect::<Vec<Band>>();
        let is_range = called.function.is_range;
        let (written, bare) = if is_range {
            let bare = called.over(&bands(&reach)).map_err(refused)?;
            (bare, bare)
        } else {
            let written = called.over(&bands(&|value| value.written)).map_err(refused)?;
            (written, called.over(&bands(&|value| value.bare)).map_err(refused)?)
        };
        let mut budget = Budget::default();
        for (place, value) in values.iter().enumerate() {
            if is_range || value.budget.shares.is_empty() {
                continue;
            }
            let slope = called.slope(&best, place, value.budget.combined().u);
            budget = budget.add(value.budget.clone().scale(slope));
        }
        if is_range && bare.lo.is_none() && !result.is_finite() {
            return Err(refused(Refused::new(
                1,
                "nothing is seen to change between the two figures, so nothing can be said of when it ends",
            )));
        }
        // A range that has no upper end is best known by its lower one.
        let best = if result.is_finite() { decimal(result) } else { bare.lo };
        let deciding = values.into_iter().flat_map(|value| value.deciding).collect();
        Ok(Value {
            written,
            bare,
            best: best.ok_or(TOO_LARGE)?,
            budget,
            deciding,
        })
    }

    fn call(&self, function: Function, values: Vec<Value>) -> Made {
        match function {
            Function::Smallest | Function::Min => pick(values, Band::min, |new, old| new < old),
            Function::Largest | Function::Max => pick(values, Band::max, |new, old| new > old),
            Function::Total => sum(values),
            Function::Mean => {
                let count = values.len();
                let number = Decimal::from(count);
                let share = Decimal::ONE.checked_div(number).ok_or(TOO_LARGE)?;
                let total = sum(values)?;
                let scale = |band: Band| {
                    if count == 1 { Ok(band) } else { band.scale(share) }
                };
                Ok(Value {
                    written: scale(total.written).map_err(arithmetic)?,
                    bare: scale(total.bare).map_err(arithmetic)?,
                    best: total.best.checked_div(number).ok_or(TOO_LARGE)?,
                    budget: total.budget.scale(1.0 / count.max(1) as f64),
                    ..total
                })
            }
            Function::Count => Ok(Value {
                deciding: values.iter().flat_map(|v| v.deciding.iter().copied()).collect(),
                ..constant(Decimal::from(values.len()))
            }),
            Function::Spread => spread(values),
            Function::Round => {
                let mut values = values.into_iter();
                let (Some(value), Some(step)) = (values.next(), values.next()) else {
                    return Err(Reason::Missing(String::new()));
                };
                let rounded = value
                    .best
                    .checked_div(step.best)
                    .and_then(|share| {
                        share
                            .round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero)
                            .checked_mul(step.best)
                    })
                    .ok_or(TOO_LARGE)?;
                Ok(Value {
                    deciding: value.deciding,
                    ..constant(rounded)
                })
            }
            Function::Abs => {
                let value = one(values)?;
                let sign = if value.best.is_sign_negative() { -1.0 } else { 1.0 };
                Ok(Value {
                    written: value.written.abs().map_err(arithmetic)?,
                    bare: value.bare.abs().map_err(arithmetic)?,
                    best: value.best.abs(),
                    budget: value.budget.scale(sign),
                    ..value
                })
            }
            Function::Sqrt => {
                let value = one(values)?;
                if reach(&value).lo.is_none_or(|lo| lo < Decimal::ZERO) {
                    return Err(arithmetic(BandError::NegativeRoot));
                }
                let best = Band::exact(value.best).sqrt().map_err(arithmetic)?;
                let best = best.lo.ok_or(TOO_LARGE)?;
                let slope = 0.5 / float(best);
                Ok(Value {
                    written: value.written.sqrt().map_err(arithmetic)?,
                    bare: value.bare.sqrt().map_err(arithmetic)?,
                    best,
                    budget: value.budget.scale(if slope.is_finite() { slope } else { 0.0 }),
                    ..value
                })
            }
        }
    }
}

fn one(values: Vec<Value>) -> Made {
    values.into_iter().next().ok_or(Reason::Missing(String::new()))
}

fn binary(op: Op, a: Value, b: Value) -> Made {
    if op == Op::Divide && reach(&b).contains(Decimal::ZERO) {
        return Err(arithmetic(BandError::DivisionByZero));
    }
    let best = match op {
        Op::Add => a.best.checked_add(b.best),
        Op::Subtract => a.best.checked_sub(b.best),
        Op::Multiply => a.best.checked_mul(b.best),
        Op::Divide => a.best.checked_div(b.best),
    };
    let bands = |a: Band, b: Band| match op {
        Op::Add => a.add(b),
        Op::Subtract => a.sub(b),
        Op::Multiply => a.mul(b),
        Op::Divide => a.div(b),
    };
    let (x, y) = (float(a.best), float(b.best));
    let (by_a, by_b) = match op {
        Op::Add => (1.0, 1.0),
        Op::Subtract => (1.0, -1.0),
        Op::Multiply => (y, x),
        Op::Divide => (1.0 / y, -x / (y * y)),
    };
    let mut deciding = a.deciding;
    deciding.extend(b.deciding);
    Ok(Value {
        written: bands(a.written, b.written).map_err(arithmetic)?,
        bare: bands(a.bare, b.bare).map_err(arithmetic)?,
        best: best.ok_or(TOO_LARGE)?,
        budget: a.budget.scale(by_a).add(b.budget.scale(by_b)),
        deciding,
    })
}

fn sum(values: Vec<Value>) -> Made {
    let mut values = values.into_iter();
    let first = values.next().ok_or(Reason::Missing(String::new()))?;
    values.try_fold(first, |a, b| binary(Op::Add, a, b))
}

/// The least or the greatest: its value and its budget, and the bands of all.
fn pick(
    values: Vec<Value>,
    bands: impl Fn(Band, Band) -> Result<Band, BandError>,
    beats: impl Fn(Decimal, Decimal) -> bool,
) -> Made {
    let mut values = values.into_iter();
    let mut best = values.next().ok_or(Reason::Missing(String::new()))?;
    for value in values {
        let written = bands(best.written, value.written).map_err(arithmetic)?;
        let bare = bands(best.bare, value.bare).map_err(arithmetic)?;
        if beats(value.best, best.best) {
            best = value;
        }
        best.written = written;
        best.bare = bare;
    }
    Ok(best)
}

fn spread(values: Vec<Value>) -> Made {
    if values.len() < 2 {
        return Err(Reason::Alone);
    }
    let copy = |value: &Value| Value {
        written: value.written,
        bare: value.bare,
        best: value.best,
        budget: value.budget.clone(),
        deciding: value.deciding.clone(),
    };
    let again: Vec<Value> = values.iter().map(copy).collect();
    let most = pick(values, Band::max, |new, old| new > old)?;
    let least = pick(again, Band::min, |new, old| new < old)?;
    let value = binary(Op::Subtract, most, least)?;
    // Nothing spreads by less than nothing.
    let floor = |band: Band| Band {
        lo: band.lo.map(|lo| lo.max(Decimal::ZERO)),
        ..band
    };
    Ok(Value {
        written: floor(value.written),
        bare: floor(value.bare),
        ..value
    })
}
