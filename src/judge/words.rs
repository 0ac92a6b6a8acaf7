//! Figures and names as they are printed in messages.

use rust_decimal::Decimal;

use super::case::Case;
use crate::model::job::{Instance, Reading};
use crate::quantity::{Band, Unit, number};
use crate::syntax::Span;
use crate::uncertainty::{Decision, Estimate};

/// A figure in base units, shown in a unit: `0.045 mm`.
pub fn figure(base: Decimal, unit: Option<&'static Unit>) -> String {
    match unit {
        Some(unit) => {
            let value = unit.from_base(base).unwrap_or(base);
            format!("{} {}", number::show(value, shown_decimals(unit, value)), unit.label())
                .trim_end()
                .to_owned()
        }
        None => number::show(base, 4),
    }
}

/// Money with the decimals of its currency, half a cent rounded away from nothing: `7.82 EUR`, `1200 JPY`. It is rounded here and nowhere before.
pub fn money(amount: Decimal, unit: &'static Unit) -> String {
    let decimals = unit.decimals();
    let figure = number::padded(number::rounded(amount, decimals), decimals);
    format!("{figure} {}", unit.label())
}

/// ` (16.27 N·m)`: a figure once more in the unit of its limit; empty where it is in that unit already.
pub fn also_in(base: Decimal, written: Option<&'static Unit>, wanted: &'static Unit) -> String {
    match written {
        Some(unit) if unit.symbol != wanted.symbol => format!(" ({})", figure(base, Some(wanted))),
        _ => String::new(),
    }
}

/// A difference in base units, shown in a unit: no offset, so that 10 °C more is 18 °F more.
pub fn difference(base: Decimal, unit: Option<&'static Unit>) -> String {
    match unit {
        Some(unit) => {
            let value = unit.difference_from_base(base).unwrap_or(base);
            format!("{} {}", number::show(value, shown_decimals(unit, value)), unit.label())
                .trim_end()
                .to_owned()
        }
        None => number::show(base, 4),
    }
}

/// The unit's own number of decimals; more for figures so small that they would show as nothing.
fn shown_decimals(unit: &Unit, value: Decimal) -> u32 {
    let usual = unit.decimals();
    if value.round_dp(usual).is_zero() {
        usual + 3
    } else {
        usual.max(value.normalize().scale().min(usual + 1))
    }
}

/// A band in a unit: `0.45 to 0.50 mm`, `at least 0.50 mm`.
pub fn band(band: &Band, unit: Option<&'static Unit>) -> String {
    match (band.lo, band.hi) {
        (Some(lo), Some(hi)) if lo == hi => figure(lo, unit),
        (Some(lo), Some(hi)) => {
            let low = figure(lo, unit);
            let symbol = unit.map_or("", |u| u.label());
            let bare = low.strip_suffix(symbol).unwrap_or(&low).trim_end();
            format!("{bare} to {}", figure(hi, unit))
        }
        (Some(lo), None) => format!("at least {}", figure(lo, unit)),
        (None, Some(hi)) => format!("less than {}", figure(hi, unit)),
        (None, None) => "anything".to_owned(),
    }
}

/// An uncertainty in base units, shown in a unit with two digits of its own: `0.0082`, for a figure that shows `mm` behind it.
fn doubt(base: Decimal, unit: Option<&'static Unit>) -> Decimal {
    let value = unit
        .and_then(|unit| unit.difference_from_base(base))
        .unwrap_or(base)
        .abs();
    number::significant(value, 2)
}

/// What is known of a figure: `52.045 ± 0.012 mm`, `0.45 to 0.50 mm`.
pub fn known(estimate: &Estimate, unit: Option<&'static Unit>) -> String {
    let (below, above) = (doubt(estimate.below, unit), doubt(estimate.above, unit));
    if below.is_zero() && above.is_zero() {
        return band(&estimate.bare(), unit);
    }
    let symbol = unit.map_or("", |u| u.label());
    // The figure is given as far as its uncertainty: 52.0300 ± 0.0064.
    let decimals = below.max(above).normalize().scale().min(7);
    let shown = |base: Decimal| {
        let value = unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
        number::padded(number::rounded(value, decimals), decimals)
    };
    let bare = estimate.bare();
    let figure = match (bare.lo, bare.hi) {
        (Some(lo), Some(hi)) if lo == hi => shown(lo),
        (Some(lo), Some(hi)) => format!("{} to {}", shown(lo), shown(hi)),
        (Some(lo), None) => format!("at least {}", shown(lo)),
        (None, Some(hi)) => format!("less than {}", shown(hi)),
        (None, None) => String::new(),
    };
    let spread = if below == above {
        format!("± {}", below.normalize())
    } else {
        format!("+{} −{}", above.normalize(), below.normalize())
    };
    format!("{figure} {spread} {symbol}").trim_end().to_owned()
}

/// A temperature in °C.
pub fn celsius(temperature: Decimal) -> String {
    format!("{} °C", number::show(temperature, 1))
}

/// A probability in words: `88 %`, `under 1 %`, `over 99 %`.
pub fn probability(p: f64) -> String {
    match p * 100.0 {
        low if low < 1.0 => "under 1 %".to_owned(),
        high if high > 99.0 => "over 99 %".to_owned(),
        middle => format!("{middle:.0} %"),
    }
}

/// A reading as it was written, blanks folded, its unit added where it was left out; as mended where it was mended.
pub fn reading(case: &Case<'_>, reading: &Reading) -> String {
    if reading.mended.is_some() {
        let figure = reading.band().map_or_else(String::new, |b| band(&b, reading.unit));
        let doubt = reading.points.first().and_then(|point| point.half_width);
        return doubt.map_or_else(
            || figure.clone(),
            |half| format!("{figure} ± {}", difference(half, reading.unit)),
        );
    }
    let mut text = fold(reading.figure_span.text(case.text()));
    // A `"` in a table stands for the figure above it.
    if !text.bytes().any(|b| b.is_ascii_digit()) {
        return reading.best().map_or(text, |best| figure(best, reading.unit));
    }
    if let Some(unit) = reading.unit {
        // The unit may stand anywhere in it: `goes 0.12 mm`, `52.01 52.02 mm at 0 180`.
        let bare = !has_unit(&text);
        if bare && !unit.label().is_empty() {
            // In front of the angles of a ring: they have a unit of their own.
            let end = text.find(" at ").unwrap_or(text.len());
            text.insert_str(end, &format!(" {}", unit.label()));
        }
    }
    text
}

/// Whether some word of a reading is a unit.
fn has_unit(text: &str) -> bool {
    text.split([' ', ','])
        .map(|word| {
            word.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '~' | '/'))
        })
        .any(|word| {
            // The minutes of an angle may touch its degrees: `12°30'`.
            let word = if word.starts_with('°') { "°" } else { word };
            !matches!(word, "" | "at" | "to" | "go" | "goes" | "no" | "no-go" | "x")
                && crate::quantity::unit::find(word, None).is_some()
        })
}

/// `88 % likely to be in` behind a sign of its own, where a distribution stands behind a decision; else nothing.
pub fn likely(behind: &str, decision: &Decision) -> String {
    decision
        .probability
        .map_or_else(String::new, |p| format!("{behind}{} likely to be in", probability(p)))
}

/// A text with its blanks folded to one.
pub fn fold(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The name of what was read, with its part and place: `squish of cylinder 2`, `run-out at drive side`.
pub fn subject(case: &Case<'_>, instance: &Instance) -> String {
    let mut name = case
        .feature(instance)
        .map_or_else(|| fold(instance.name.span.text(case.text())), |f| f.name.name.clone());
    if let Some(part) = &instance.part {
        name.push_str(" of ");
        name.push_str(&shown(case, part.span, &part.key));
    }
    if let Some(place) = &instance.place {
        name.push_str(" at ");
        name.push_str(&shown(case, place.span, &place.key));
    }
    name
}

/// The same as it is written in a log, by the name that was used there: what a `fix` line names.
pub fn target(case: &Case<'_>, instance: &Instance) -> String {
    let mut name = fold(instance.name.span.text(case.text()));
    for (word, said) in [(" of ", &instance.part), (" at ", &instance.place)] {
        if let Some(said) = said {
            name.push_str(word);
            name.push_str(&shown(case, said.span, &said.key));
        }
    }
    name
}

/// A name as written where its key is just that, else its key (the place of a table's cell is put together from two words).
fn shown(case: &Case<'_>, span: Span, key: &str) -> String {
    let written = fold(span.text(case.text()));
    if written.to_lowercase() == key {
        written
    } else {
        key.to_owned()
    }
}

/// `was` for one, `were` for more.
pub fn was(names: &[String]) -> &'static str {
    if names.len() == 1 { "was" } else { "were" }
}

/// `is` for one, `are` for more.
pub fn is(names: &[String]) -> &'static str {
    if names.len() == 1 { "is" } else { "are" }
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
