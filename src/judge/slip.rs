//! Slips of the hand and the eye: which other figure was probably meant.
//!
//! A slip is only claimed where the figure as written is implausible and the repaired one is plausible; the callers decide both.

use rust_decimal::Decimal;

use crate::quantity::{Band, Dimension, Unit, number, unit};

/// A figure that was probably meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repair {
    /// The figure, in `unit`.
    pub figure: Decimal,
    /// Its unit.
    pub unit: Option<&'static Unit>,
    /// What went wrong, as a phrase: `half a millimetre, one turn of the thimble, was missed`.
    pub what: String,
}

/// Slips of frame and thimble, in mm, with their words.
const OFFSETS: &[(&str, &str)] = &[
    ("0.5", "half a millimetre off: one turn of the thimble"),
    ("25", "25 mm off: the next frame of the micrometer"),
    ("25.4", "25.4 mm off: an inch of the frame"),
];

/// Units that are taken for each other.
const CONFUSED: &[&[&str]] = &[
    &["mm", "in", "thou", "µm"],
    &["N·m", "lbf·ft", "lbf·in", "kgf·m"],
    &["bar", "psi", "kPa"],
    &["t", "kN"],
];

/// The first repair of a figure that is plausible. `written` is in `of`; `plausible` takes base units.
pub fn repair(written: Decimal, of: Option<&'static Unit>, plausible: impl Fn(Decimal) -> bool) -> Option<Repair> {
    let in_base = |figure: Decimal| match of {
        Some(unit) => unit.to_base(figure),
        None => Some(figure),
    };
    let fits = |figure: Decimal| in_base(figure).is_some_and(&plausible);
    let found = |figure: Decimal, what: &str| {
        Some(Repair {
            figure,
            unit: of,
            what: what.to_owned(),
        })
    };
    // A thimble and its frame measure sizes, not gaps.
    let least = Decimal::TWO;
    let is_size = of.is_some_and(|unit| unit.dimension == Dimension::LENGTH)
        && in_base(written).is_some_and(|mm| mm.abs() >= least);
    if is_size {
        for (offset, what) in OFFSETS {
            let step = number::parse(offset).ok()?;
            let step = of.and_then(|unit| unit.difference_from_base(step))?;
            for figure in [written.checked_sub(step), written.checked_add(step)]
                .into_iter()
                .flatten()
            {
                if fits(figure) {
                    return found(figure, what);
                }
            }
        }
    }
    for factor in [Decimal::TEN, Decimal::ONE_HUNDRED] {
        for figure in [written.checked_div(factor), written.checked_mul(factor)]
            .into_iter()
            .flatten()
        {
            let figure = figure.normalize();
            if fits(figure) {
                return found(figure, "the decimal point moved");
            }
        }
    }
    // `1:50` where the manual has `50:1`: the two say the same to whoever mixes.
    if of.is_none_or(|unit| unit.dimension.is_none())
        && let Some(figure) = Decimal::ONE.checked_div(written)
        && fits(figure)
    {
        return found(figure.normalize(), "the ratio turned round");
    }
    if let Some(figure) = swaps(written).into_iter().find(|figure| fits(*figure)) {
        return found(figure, "two digits swapped");
    }
    let own = of?;
    for family in CONFUSED.iter().filter(|family| family.contains(&own.symbol)) {
        for name in family.iter().filter(|name| **name != own.symbol) {
            let other = unit::find(name, Some(own.dimension))?;
            if other.to_base(written).is_some_and(&plausible) {
                return Some(Repair {
                    figure: written,
                    unit: Some(other),
                    what: format!("written in {} instead of {}", own.symbol, other.symbol),
                });
            }
        }
    }
    None
}

/// A figure with each two neighbouring digits swapped in turn, the decimal point left where it is.
fn swaps(written: Decimal) -> Vec<Decimal> {
    let text = written.abs().to_string();
    let digits: Vec<char> = text.chars().collect();
    let places: Vec<usize> = digits
        .iter()
        .enumerate()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(place, _)| place)
        .collect();
    places
        .windows(2)
        .filter_map(|pair| {
            let [a, b] = pair else { return None };
            let mut swapped = digits.clone();
            swapped.swap(*a, *b);
            let figure = number::parse(&swapped.into_iter().collect::<String>()).ok()?;
            let figure = if written.is_sign_negative() { -figure } else { figure };
            (figure != written).then_some(figure)
        })
        .collect()
}

/// Whether a figure lies so far outside a limit that it is not just worn: by more than the limit is wide. A limit with one end only
/// never makes a figure implausible.
pub fn is_implausible(best: Decimal, limit: &Band) -> bool {
    let (Some(lo), Some(hi)) = (limit.lo, limit.hi) else {
        return false;
    };
    let Some(width) = hi.checked_sub(lo).filter(|w| !w.is_zero()) else {
        return false;
    };
    let outside = if best < lo {
        lo.checked_sub(best)
    } else {
        best.checked_sub(hi)
    };
    outside.is_some_and(|outside| outside > width)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meant(written: &str, of: &str, lo: &str, hi: &str) -> Option<String> {
        let unit = unit::find(of, None);
        let base = |text: &str| unit.and_then(|u| u.to_base(number::parse(text).ok()?));
        let limit = Band::between(base(lo)?, base(hi)?);
        repair(number::parse(written).ok()?, unit, |figure| limit.contains(figure))
            .map(|r| format!("{} {}: {}", r.figure, r.unit.map_or("", |u| u.symbol), r.what))
    }

    #[test]
    fn the_usual_slips_are_named() {
        // Common practice, no source: one turn of a metric thimble is 0.5 mm.
        assert_eq!(
            meant("24.576", "mm", "24.065", "24.085").as_deref(),
            Some("24.076 mm: half a millimetre off: one turn of the thimble")
        );
        assert_eq!(
            meant("14", "N·m", "1.2", "1.8").as_deref(),
            Some("1.4 N·m: the decimal point moved")
        );
        assert_eq!(
            meant("54.21", "mm", "54.10", "54.14").as_deref(),
            Some("54.12 mm: two digits swapped")
        );
        assert_eq!(
            meant("28", "lbf·ft", "26", "30").as_deref(),
            None,
            "28 lbf·ft lies in a limit given in lbf·ft"
        );
        assert_eq!(
            meant("77.02", "mm", "52.00", "52.05").as_deref(),
            Some("52.02 mm: 25 mm off: the next frame of the micrometer")
        );
    }

    #[test]
    fn a_torque_in_the_wrong_unit_is_named() {
        let written = unit::find("ft-lb", None);
        let limit = Band::between(Decimal::from(26_000_000), Decimal::from(30_000_000));
        let repair = repair(Decimal::from(28), written, |figure| limit.contains(figure));
        assert_eq!(
            repair.map(|r| r.what).as_deref(),
            Some("written in lbf·ft instead of N·m")
        );
    }

    #[test]
    fn a_ratio_turned_round_is_named() {
        let limit = Band::between(Decimal::from(40), Decimal::from(50));
        let repair = repair(Decimal::new(2, 2), None, |figure| limit.contains(figure));
        let said = repair.map(|r| (r.figure, r.what));
        assert_eq!(said, Some((Decimal::from(50), "the ratio turned round".to_owned())));
    }

    #[test]
    fn a_worn_figure_is_no_slip() {
        let limit = Band::between(Decimal::new(35, 2), Decimal::new(55, 2));
        assert!(!is_implausible(Decimal::new(70, 2), &limit));
        assert!(is_implausible(Decimal::new(98, 2), &limit));
    }
}
