//! More digits than the instrument has.

use rust_decimal::Decimal;

use crate::quantity::Unit;

/// The leading figures of the steps that scales have: 0.01, 0.02, 0.05, 0.025. One of 1 °C is 1.8 °F, and on no scale of °F.
const STEPS: [i128; 4] = [1, 2, 5, 25];

/// Whether a figure is finer than what it was read on: no whole multiple of half its step, since half a division may be read by eye. `written`
/// is in `of`, `step` in base units. A figure in a unit that the step is no round figure of was converted, and nobody can tell.
pub fn digits_too_fine(written: Decimal, of: Option<&'static Unit>, step: Decimal) -> bool {
    let step = match of {
        Some(unit) => unit.difference_from_base(step),
        None => Some(step),
    };
    let Some(step) = step
        .map(|step| step.normalize())
        .filter(|s| *s > Decimal::ZERO && is_round(*s))
    else {
        return false;
    };
    let rest = step
        .checked_div(Decimal::TWO)
        .and_then(|half| written.checked_rem(half));
    rest.is_some_and(|rest| !rest.is_zero())
}

/// Whether a step is one that a scale has.
fn is_round(step: Decimal) -> bool {
    let mut leading = step.mantissa();
    while leading > 0 && leading % 10 == 0 {
        leading /= 10;
    }
    STEPS.contains(&leading)
}
