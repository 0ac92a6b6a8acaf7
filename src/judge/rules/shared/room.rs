//! How far two readings of what should be alike may lie apart.

use rust_decimal::Decimal;

use crate::metrology::Measured;
use crate::uncertainty::estimate::decimal;

/// A quarter more than the uncertainty of their difference (95 %), and two units of the last digit. `half_steps` are half a unit of each.
pub fn room(a: &Measured, b: &Measured, half_steps: [Decimal; 2]) -> Option<Decimal> {
    let difference = a.budget.clone().less(b.budget.clone());
    let expanded = decimal(difference.combined().expanded())?;
    let by_uncertainty = expanded.checked_mul(Decimal::new(125, 2))?;
    let [first, second] = half_steps;
    let by_digits = first.max(second).checked_mul(Decimal::from(4))?;
    Some(by_uncertainty.max(by_digits))
}
