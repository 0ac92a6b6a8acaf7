//! Figures with their budgets: as text for the bench, as JSON for programs.

mod json;
mod text;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

pub use json::{Kind, json, schema};
pub use text::text;

use crate::metrology::Correction;
use crate::quantity::Unit;
use crate::uncertainty::Acceptance;

fn float(figure: Decimal) -> f64 {
    figure.to_f64().unwrap_or(f64::NAN)
}

/// A difference in base units, in a unit.
fn difference(base: f64, unit: Option<&'static Unit>) -> f64 {
    unit.map_or(base, |unit| base * float(unit.per) / float(unit.factor))
}

/// The rule in words, as it is written in a manual.
fn rule(rule: Acceptance) -> String {
    match rule {
        Acceptance::Plain => "plain".to_owned(),
        Acceptance::Guarded => "guarded".to_owned(),
        Acceptance::Probable(p) => format!("guarded at {} %", p * 100.0),
    }
}

fn by(correction: &Correction) -> (&'static str, Decimal) {
    match correction {
        Correction::Zero(zero) => ("zero", -*zero),
        Correction::PartTemperature(_, by) => ("part temperature", *by),
        Correction::ToolTemperature(_, by) => ("tool temperature", *by),
    }
}
