//! How long a thing may go on as it did before it may stand on its limit.

use super::rate::Rate;
use crate::quantity::Band;
use crate::trade::wear::time_left;
use rust_decimal::prelude::ToPrimitive as _;

/// What is left to the limit, in units of the meter, from the latest reading on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Left {
    /// The least it may be; 0 where it may be at its limit already.
    pub least: f64,
    /// The most; `None` where no wear towards a limit is proven.
    pub most: Option<f64>,
    /// Whether the latest reading lies past the limit.
    pub is_past: bool,
    /// The meter reading at which it is to be looked at again: the earliest at which it may be past its limit. `None` if it is past, or never gets there.
    pub look: Option<f64>,
}

/// From a figure that may be anything from `now.0` to `now.1` and is best known as `bare`, at a meter reading; `None` without a rate, unless it is past its
/// limit already. It goes by the function `hours left` of the trade at the corners of figure and rate.
pub fn left(bare: (f64, f64), now: (f64, f64), meter: f64, limit: &Band, rate: Option<&Rate>) -> Option<Left> {
    let float = |end: Option<rust_decimal::Decimal>| end.and_then(|end| end.to_f64());
    let (bottom, top) = (float(limit.lo), float(limit.hi));
    let is_past = top.is_some_and(|top| bare.0 > top) || bottom.is_some_and(|bottom| bare.1 < bottom);
    if is_past {
        return Some(Left {
            least: 0.0,
            most: Some(0.0),
            is_past,
            look: None,
        });
    }
    let rate = rate?;
    // Upwards it wears by its rate, downwards by the rate turned round.
    let up = top.map(|top| (top - now.1, top - now.0, rate.low, rate.high));
    let down = bottom.map(|bottom| (now.0 - bottom, now.1 - bottom, -rate.high, -rate.low));
    let ends = || up.into_iter().chain(down);
    let least = ends()
        .map(|(near, _, _, fast)| time_left(near, fast, 1.0))
        .fold(f64::INFINITY, f64::min);
    // It surely gets to one of its ends if it wears that way at its slowest.
    let most = ends()
        .map(|(_, far, slow, _)| time_left(far, slow, 1.0))
        .fold(f64::INFINITY, f64::min);
    Some(Left {
        least,
        most: most.is_finite().then_some(most),
        is_past,
        look: least.is_finite().then_some(meter + least),
    })
}
