//! Readings against each other: the same thing read twice, opposite points of a ring, twins, repeats that run one way, and new parts against
//! their nominal figure.

mod alike;
mod drift;
mod nominal;
mod opposite;
mod twice;

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Finding, Rule};
use crate::metrology::Measured;
use crate::quantity::Band;
use crate::uncertainty::estimate::decimal;

/// Compares readings with each other.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (number, instance) in case.job.instances.iter().enumerate() {
        if case.is_left(instance) {
            continue;
        }
        twice::check(case, instance, out);
        let Some((index, latest)) = case.latest(instance) else {
            continue;
        };
        if case.is_overtaken(number) {
            continue;
        }
        drift::check(case, latest, instance, out);
        opposite::check(case, index, latest, instance, out);
        nominal::check(case, index, latest, instance, out);
    }
    alike::check(case, out);
}

/// How far two measurements may lie apart: a quarter more than the uncertainty of their difference (95 %), and two units of the last digit.
fn room(a: &Measured, b: &Measured, last_digits: [Decimal; 2]) -> Option<Decimal> {
    let difference = a.budget.clone().less(b.budget.clone());
    let expanded = decimal(difference.combined().expanded())?;
    let by_uncertainty = expanded.checked_mul(Decimal::new(125, 2))?;
    // Half a unit is kept, so four of them are two units.
    let [first, second] = last_digits;
    let by_digits = first.max(second).checked_mul(Decimal::from(4))?;
    Some(by_uncertainty.max(by_digits))
}

/// How far two bands lie apart; `None` if they have something in common.
fn gap(a: &Band, b: &Band) -> Option<Decimal> {
    let between = |low: Option<Decimal>, high: Option<Decimal>| high?.checked_sub(low?).filter(|d| *d > Decimal::ZERO);
    between(a.hi, b.lo).or_else(|| between(b.hi, a.lo))
}

/// What these findings mean.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    [
        twice::RULES,
        drift::RULES,
        opposite::RULES,
        nominal::RULES,
        alike::RULES,
    ]
    .into_iter()
    .flatten()
}
