//! Which instrument would be fine enough.

use rust_decimal::Decimal;

use crate::model::instruments::{Instrument, finest_first};
use crate::quantity::Dimension;

/// An instrument that is good to `wanted` (base units) or better for this feature, with what it is good for; else the finest there is, if
/// that is better than what was used (`used`, base units). The feature's name says what kind of thing is measured.
pub fn better(
    feature: &str,
    dimension: Dimension,
    wanted: Decimal,
    used: Decimal,
) -> Option<(&'static Instrument, Decimal)> {
    let fitting: Vec<(&Instrument, Decimal)> = finest_first(dimension)
        .into_iter()
        .filter(|(known, error)| *error < used && is_for(known.name, feature))
        .collect();
    // The plainest that will do, else the finest.
    fitting
        .iter()
        .rev()
        .find(|(_, error)| *error <= wanted)
        .or_else(|| fitting.first())
        .copied()
}

/// Whether an instrument is for such a thing, by the words of its name. What is of no such kind is a size, for a micrometer or a calliper.
fn is_for(instrument: &str, feature: &str) -> bool {
    const INSIDE: &[&str] = &["bore", "hole", "inside", "id", "housing", "guide", "eye", "bush"];
    const DEPTH: &[&str] = &["depth", "height", "protrusion", "deck"];
    const TRAVEL: &[&str] = &[
        "run-out",
        "runout",
        "r/o",
        "float",
        "backlash",
        "lash",
        "play",
        "lift",
        "rock",
        "shake",
        "clearance",
        "gap",
        "squish",
    ];
    let has = |words: &[&str]| feature.split(' ').any(|word| words.contains(&word));
    let kinds: &[&str] = match () {
        () if has(TRAVEL) => &["dial indicator", "lever dial"],
        () if has(INSIDE) => &["bore gauge", "telescopic gauge"],
        () if has(DEPTH) => &["depth micrometer", "dial indicator"],
        () => &["outside micrometer", "calliper"],
    };
    !matches!(
        instrument,
        "outside micrometer"
            | "calliper"
            | "bore gauge"
            | "telescopic gauge"
            | "depth micrometer"
            | "dial indicator"
            | "lever dial"
            | "steel rule"
            | "solder"
            | "plastic gauge strip"
    ) || kinds.contains(&instrument)
}
