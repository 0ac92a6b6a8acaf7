//! Slips of the hand and the eye: which other figure was probably meant.
//!
//! A slip is only claimed where the figure as written is implausible and the repaired one plausible; the callers decide both. Nothing here
//! knows a log: a figure goes in, and the figures that a known slip would turn into it come out, the likeliest first.

mod blades;
mod digits;
mod fineness;
mod indicator;
mod instrument;
mod units;

use rust_decimal::Decimal;

use crate::quantity::{Band, Unit};

pub use blades::are_exchanged;
pub use fineness::digits_too_fine;

/// What kind of slip it was, the likeliest first: an instrument misses a whole turn and nothing else, while one digit can be made into
/// another almost anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// One turn of the thimble was missed or counted twice.
    Turn,
    /// The wrong frame of a micrometer was used, or its size added wrongly.
    Frame,
    /// The decimal point moved by one or two places.
    Point,
    /// A ratio was written the other way round.
    Turned,
    /// Two neighbouring digits changed places.
    Swapped,
    /// The unit of another scale was written.
    Unit,
    /// One digit is wrong.
    Digit,
    /// The total indicator reading and the eccentricity were taken for each other.
    Indicator,
}

/// A figure that was probably meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repair {
    /// What kind of slip it was.
    pub slip: Slip,
    /// The figure, in `unit`.
    pub figure: Decimal,
    /// Its unit.
    pub unit: Option<&'static Unit>,
    /// What went wrong, as a phrase: `half a millimetre off: one turn of the thimble`.
    pub what: String,
}

/// What the caller knows of a figure, and what lets more slips be thought of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flags {
    /// It is a run-out or an eccentricity, so one may have been written for the other.
    pub run_out: bool,
    /// It was read on something without a thimble: a calliper, a rule, a dial.
    pub no_thimble: bool,
    /// The unit it is meant in: of a figure that fits as it stands in just that unit, nothing else is likelier.
    pub meant_in: Option<&'static Unit>,
}

/// Every figure that was perhaps meant, the likeliest first; none where the figure is plausible as it stands. `written` is in `of`; `plausible`
/// takes base units.
pub fn repairs(
    written: Decimal,
    of: Option<&'static Unit>,
    flags: Flags,
    plausible: impl Fn(Decimal) -> bool,
) -> Vec<Repair> {
    let fits = |figure: Decimal| base(figure, of).is_some_and(&plausible);
    if fits(written) {
        return Vec::new();
    }
    let found = |slip, figure, what: &str| Repair {
        slip,
        figure,
        unit: of,
        what: what.to_owned(),
    };
    let mut list: Vec<Repair> = Vec::new();
    let missed = if flags.no_thimble {
        Vec::new()
    } else {
        instrument::missed(written, of)
    };
    for (slip, figure, what) in missed {
        list.extend(fits(figure).then(|| found(slip, figure, what)));
    }
    for figure in digits::moved_point(written) {
        list.extend(fits(figure).then(|| found(Slip::Point, figure, "the decimal point moved")));
    }
    // `1:50` where the manual has `50:1`: the two say the same to whoever mixes.
    if of.is_none_or(|unit| unit.dimension.is_none())
        && let Some(figure) = Decimal::ONE.checked_div(written)
    {
        let figure = figure.normalize();
        list.extend(fits(figure).then(|| found(Slip::Turned, figure, "the ratio turned round")));
    }
    for figure in digits::swaps(written) {
        list.extend(fits(figure).then(|| found(Slip::Swapped, figure, "two digits swapped")));
    }
    for unit in units::confused(of) {
        if unit.to_base(written).is_some_and(&plausible) {
            list.push(Repair {
                slip: Slip::Unit,
                figure: written,
                unit: Some(unit),
                what: format!("written in {} instead of {}", in_words(of), in_words(Some(unit))),
            });
        }
    }
    if let Some((figure, was, meant)) = digits::one_wrong(written, fits) {
        list.push(found(
            Slip::Digit,
            figure,
            &format!("one digit wrong: {was} for {meant}"),
        ));
    }
    if flags.run_out {
        for (figure, what) in indicator::half_and_double(written) {
            list.extend(fits(figure).then(|| found(Slip::Indicator, figure, what)));
        }
    }
    let is_meant = |repair: &Repair| {
        let symbol = repair.unit.map(|unit| unit.symbol);
        repair.slip == Slip::Unit && symbol.is_some() && symbol == flags.meant_in.map(|unit| unit.symbol)
    };
    // The sort is stable: all else stays in its rank.
    list.sort_by_key(|repair| !is_meant(repair));
    distinct(list)
}

/// Without what comes to the same size as another. The likelier is said; but 70 bar for 0.70 bar is kPa, not a point that moved by two places.
fn distinct(list: Vec<Repair>) -> Vec<Repair> {
    let size = |repair: &Repair| base(repair.figure, repair.unit);
    let units: Vec<Option<Decimal>> = list.iter().filter(|r| r.slip == Slip::Unit).map(size).collect();
    let mut kept: Vec<Repair> = Vec::with_capacity(list.len());
    for repair in list {
        let by_unit = repair.slip == Slip::Point && units.contains(&size(&repair));
        if !by_unit && kept.iter().all(|k| size(k) != size(&repair)) {
            kept.push(repair);
        }
    }
    kept
}

/// A unit as it is said: `inches` rather than `in`.
fn in_words(unit: Option<&'static Unit>) -> &'static str {
    match unit.map_or("", Unit::label) {
        "in" => "inches",
        label => label,
    }
}

/// A figure in base units; `None` if it grows too large.
fn base(figure: Decimal, of: Option<&'static Unit>) -> Option<Decimal> {
    of.map_or(Some(figure), |unit| unit.to_base(figure))
}

/// Whether a figure lies so far outside a limit that it is not just worn: by more than the limit is wide. A limit with one end only
/// never makes a figure implausible.
pub fn is_implausible(best: Decimal, limit: &Band) -> bool {
    outside(best, limit, 1)
}

/// The same, by more than twenty times that: so far that even a slip which fits almost anywhere says something.
pub fn is_far_out(best: Decimal, limit: &Band) -> bool {
    outside(best, limit, 20)
}

/// Whether a figure lies outside by more than so many widths of the limit.
fn outside(best: Decimal, limit: &Band, widths: i64) -> bool {
    let (Some(lo), Some(hi)) = (limit.lo, limit.hi) else {
        return false;
    };
    let room = hi
        .checked_sub(lo)
        .filter(|w| !w.is_zero())
        .and_then(|width| width.checked_mul(Decimal::from(widths)));
    let off = if best < lo {
        lo.checked_sub(best)
    } else {
        best.checked_sub(hi)
    };
    off.zip(room).is_some_and(|(off, room)| off > room)
}

#[cfg(test)]
mod tests;
