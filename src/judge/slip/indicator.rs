//! Run-out: the total indicator reading is twice the eccentricity.

use rust_decimal::Decimal;

/// Half of it and twice it, with what went wrong. The factor is exact geometry: in one turn a round section whose centre lies `e` off the axis
/// moves an indicator by `2e` (reference: max − min of a full turn).
pub(super) fn half_and_double(written: Decimal) -> Vec<(Decimal, &'static str)> {
    let half = written.checked_div(Decimal::TWO).map(|half| half.normalize());
    let double = written.checked_mul(Decimal::TWO).map(|double| double.normalize());
    [
        (half, "total indicator reading written for eccentricity"),
        (double, "eccentricity written for total indicator reading"),
    ]
    .into_iter()
    .filter_map(|(figure, what)| Some((figure.filter(|figure| *figure != written)?, what)))
    .collect()
}
