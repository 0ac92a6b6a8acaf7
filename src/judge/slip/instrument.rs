//! Whole turns and whole frames: what a micrometer is misread by, and by nothing between.

use rust_decimal::Decimal;

use super::{Slip, base};
use crate::quantity::Unit;

/// A slip with its size, digits and scale, in mm or in inches.
type Step = (Slip, i64, u32, &'static str);

/// Of a metric micrometer, mm. Common practice, no source: its thimble goes 0.5 mm a turn, its frames are 25 mm apart.
const METRIC: &[Step] = &[
    (Slip::Turn, 5, 1, "half a millimetre off: one turn of the thimble"),
    (Slip::Frame, 25, 0, "25 mm off: the next frame of the micrometer"),
    (Slip::Frame, 254, 1, "25.4 mm off: an inch of the frame"),
];

/// Of an inch micrometer, in. Common practice, no source: its thimble goes 0.025 in a turn, its frames are 1 in apart.
const INCH: &[Step] = &[
    (Slip::Turn, 25, 3, "0.025 in off: one turn of the thimble"),
    (Slip::Frame, 1, 0, "1 in off: the next frame of the micrometer"),
];

/// The units whose figures are read on such an instrument, and how many of them go into its own: a metric one's mm, an inch one's inch.
fn steps(symbol: &str) -> Option<(&'static [Step], Decimal)> {
    Some(match symbol {
        "mm" => (METRIC, Decimal::ONE),
        "cm" => (METRIC, Decimal::new(1, 1)),
        "m" => (METRIC, Decimal::new(1, 3)),
        "µm" => (METRIC, Decimal::ONE_THOUSAND),
        "hundredths" => (METRIC, Decimal::ONE_HUNDRED),
        "in" => (INCH, Decimal::ONE),
        "thou" => (INCH, Decimal::ONE_THOUSAND),
        _ => return None,
    })
}

/// The least that is measured as a size, mm. A thimble and its frame measure sizes, not gaps.
const LEAST: Decimal = Decimal::TWO;

/// Every figure that lies a turn or a frame off, with what went wrong.
pub(super) fn missed(written: Decimal, of: Option<&'static Unit>) -> Vec<(Slip, Decimal, &'static str)> {
    let Some((list, scale)) = of.and_then(|unit| steps(unit.symbol)) else {
        return Vec::new();
    };
    let is_size = |figure: Decimal| base(figure, of).is_some_and(|mm| mm.abs() >= LEAST);
    if !is_size(written) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (slip, digits, decimals, what) in list {
        let Some(step) = Decimal::new(*digits, *decimals).checked_mul(scale) else {
            continue;
        };
        let both = [written.checked_sub(step), written.checked_add(step)];
        // Taking off more than there is makes no size.
        found.extend(
            (both.into_iter().flatten())
                .filter(|figure| is_size(*figure) && figure.is_sign_negative() == written.is_sign_negative())
                .map(|figure| (*slip, as_written(figure, written), *what)),
        );
    }
    found
}

/// With as many decimals as the written figure, or as it needs.
fn as_written(figure: Decimal, written: Decimal) -> Decimal {
    let mut figure = figure.normalize();
    figure.rescale(figure.scale().max(written.scale()));
    figure
}
