//! Machines over several jobs: as text for the bench, as a page with charts, as JSON and CSV for programs.

mod html;
mod json;
mod table;
mod text;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use crate::history::{Life, Spot, Track};
use crate::quantity::number::significant;
use crate::quantity::{Dimension, Unit, number};
use crate::uncertainty::estimate::decimal;

pub use html::{html, wear};
pub use json::{SCHEMA, json, schema};
pub use table::csv;
pub use text::text;

/// What is said below every forecast.
pub(super) const CAUTION: &str = "A forecast from how it went so far, and no verdict: wear is fast while running in, and fast again at its end. \
                       The machine's workshop manual and local codes come first.";

/// A figure in base units, in its unit.
fn in_unit(base: f64, unit: Option<&'static Unit>) -> f64 {
    let float = |figure: Decimal| figure.to_f64().unwrap_or(f64::NAN);
    unit.map_or(base, |unit| {
        base * float(unit.per) / float(unit.factor) - float(unit.offset)
    })
}

/// A difference in base units, in its unit.
fn difference(base: f64, unit: Option<&'static Unit>) -> f64 {
    let float = |figure: Decimal| figure.to_f64().unwrap_or(f64::NAN);
    unit.map_or(base, |unit| base * float(unit.per) / float(unit.factor))
}

/// A figure without the noise of floating point: twelve digits.
fn clean(value: f64) -> f64 {
    decimal(value).and_then(|figure| figure.to_f64()).unwrap_or(value)
}

/// So many digits of a figure.
fn digits(value: f64, count: u32) -> String {
    decimal(value).map_or_else(
        || format!("{value}"),
        |figure| significant(figure, count).normalize().to_string(),
    )
}

/// The best value of a reading in its unit; of blades the middle.
fn value(spot: &Spot, unit: Option<&'static Unit>) -> Decimal {
    let best = spot.point.best;
    unit.and_then(|unit| unit.from_base(best)).unwrap_or(best)
}

/// A reading as it is shown: as many decimals as were written, and no more than make sense; what blades leave open by its ends.
fn figure(spot: &Spot, unit: Option<&'static Unit>) -> String {
    let (low, high) = spot.point.between;
    let most = unit.map_or(4, Unit::decimals) + 1;
    let padded = |value: Decimal, scale: u32| number::padded(number::rounded(value, scale), scale);
    let best = value(spot, unit);
    let ends = [low, high].map(|end| decimal(in_unit(end, unit)).map(|end| number::rounded(end, most).normalize()));
    let scale = ends.iter().flatten().map(Decimal::scale).max().unwrap_or(0);
    let text = match ends {
        [Some(low), Some(high)] if low < high => format!("{} to {}", padded(low, scale), padded(high, scale)),
        [Some(low), None] => format!("at least {}", padded(low, scale)),
        [None, Some(high)] => format!("less than {}", padded(high, scale)),
        _ => padded(best, best.scale().min(most)),
    };
    let symbol = unit.map_or("", |unit| unit.label());
    format!("{text} {symbol}").trim_end().to_owned()
}

/// Over how much of the meter a rate is told: 100 h, 1000 km.
fn stretch(meter: &Unit) -> f64 {
    if meter.dimension == Dimension::TIME {
        100.0
    } else {
        1000.0
    }
}

/// The unit of a life's meter, as shown.
fn meter_label(life: &Life) -> &'static str {
    life.meter.map_or("", |unit| unit.label())
}

/// The symbol of a track's unit, as shown.
fn label(track: &Track) -> &'static str {
    track.unit.map_or("", |unit| unit.label())
}
