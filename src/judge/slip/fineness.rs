//! More digits than the instrument has.

use rust_decimal::Decimal;

use crate::quantity::Unit;

/// The most decimals of a step that belongs to the unit: one of 0.01 mm has none to speak of in inches.
const ROUND: u32 = 8;

/// Whether a figure is finer than what it was read on: no whole multiple of half its step, since half a division may be read by eye. `written`
/// is in `of`, `step` in base units. A figure in a unit that the step is no round figure of was converted, and nobody can tell.
pub fn digits_too_fine(written: Decimal, of: Option<&'static Unit>, step: Decimal) -> bool {
    let step = match of {
        Some(unit) => unit.difference_from_base(step),
        None => Some(step),
    };
    let Some(step) = step
        .map(|step| step.normalize())
        .filter(|s| *s > Decimal::ZERO && s.scale() <= ROUND)
    else {
        return false;
    };
    let rest = step
        .checked_div(Decimal::TWO)
        .and_then(|half| written.checked_rem(half));
    rest.is_some_and(|rest| !rest.is_zero())
}
