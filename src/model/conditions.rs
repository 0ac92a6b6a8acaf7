//! What a reading says of its circumstances: the temperature and the material of the part, and how its `±` is meant.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::job::{Reading, Said, SaidAmount, SaidKind, Stated};
use crate::quantity::Dimension;
use crate::trade::materials::{Material, material};
use crate::uncertainty::Shape;

/// The share of its width over which a trapezoid is level where only the word is said: half of it. Common practice, no source.
const TRAPEZOID_TOP: f64 = 0.5;

/// The circumstances of a reading, as far as they are said.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Conditions {
    /// Of the part, °C.
    pub temperature: Option<Decimal>,
    /// Of the part.
    pub material: Option<Material>,
    /// How the error behind `±` is meant.
    pub stated: Option<Stated>,
}

impl Conditions {
    /// What the details of a reading say; of two that say the same kind of thing, the first counts, and a coverage factor comes before a shape.
    pub fn said(said: &[Said]) -> Conditions {
        let ticks = || said.iter().filter(|said| matches!(said.kind, SaidKind::Tick));
        let amounts = || {
            said.iter().filter_map(|said| match &said.kind {
                SaidKind::Amount(amount) => Some(amount),
                _ => None,
            })
        };
        let factor = amounts().filter(|amount| is_coverage(amount)).find_map(coverage);
        let shape = ticks().find_map(|said| shape(&said.key));
        Conditions {
            temperature: amounts().find_map(temperature),
            material: ticks().find_map(|said| material(&said.key)),
            stated: factor.map(Stated::Expanded).or(shape.map(Stated::Within)),
        }
    }

    /// Puts what is said here in the place of what a reading had.
    pub fn amend(self, reading: &mut Reading) {
        reading.temperature = self.temperature.or(reading.temperature);
        reading.material = self.material.or(reading.material);
        reading.stated = self.stated.unwrap_or(reading.stated);
    }
}

/// Whether an amount is a coverage factor, `k 2`.
pub(super) fn is_coverage(amount: &SaidAmount) -> bool {
    amount.name == "k" && amount.unit.is_none()
}

/// The coverage factor that an amount gives; `None` if it is not above 0.
pub(super) fn coverage(amount: &SaidAmount) -> Option<f64> {
    amount.written.to_f64().filter(|factor| *factor > 0.0)
}

/// `at 24 C` behind a comma: the same as before it.
fn temperature(amount: &SaidAmount) -> Option<Decimal> {
    let is_temperature = amount.unit.is_some_and(|unit| unit.dimension == Dimension::TEMPERATURE);
    (amount.name == "at" && is_temperature).then_some(amount.last)
}

/// The shape that a word stands for.
fn shape(word: &str) -> Option<Shape> {
    Some(match word {
        "rectangular" => Shape::Rectangular,
        "triangular" => Shape::Triangular,
        "arcsine" => Shape::Arcsine,
        "trapezoidal" => Shape::Trapezoidal(TRAPEZOID_TOP),
        _ => return None,
    })
}
