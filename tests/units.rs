//! Units held against figures and tables from outside, and what is said when the kinds of figures do not go together.
//!
//! `tests/outside/units.py` does the same with another library, in another language.

mod support;

#[path = "units/forms.rs"]
mod forms;
#[path = "units/kinds.rs"]
mod kinds;
#[path = "units/uom.rs"]
mod uom_table;

use gudgeon::quantity::{Dimension, number, unit};
use rust_decimal::Decimal;
use support::judge;

const ABSOLUTE: Dimension = Dimension::ABSOLUTE_PRESSURE;
const ANGLE: Dimension = Dimension::ANGLE;
const DIFFERENCE: Dimension = Dimension::TEMPERATURE_DIFFERENCE;
const FORCE: Dimension = Dimension::FORCE;
const LENGTH: Dimension = Dimension::LENGTH;
const PRESSURE: Dimension = Dimension::PRESSURE;
const TEMPERATURE: Dimension = Dimension::TEMPERATURE;
const TORQUE: Dimension = Dimension::TORQUE;
const VOLUME: Dimension = Dimension::VOLUME;

fn dec(text: &str) -> Decimal {
    number::parse(text).expect("a figure")
}

fn unit_of(name: &str, dimension: Dimension) -> &'static unit::Unit {
    let found = unit::find(name, Some(dimension)).unwrap_or_else(|| panic!("no unit {name}"));
    assert_eq!(found.dimension, dimension, "{name}");
    found
}

/// `value` of one unit in the other.
fn convert(value: &str, from: &str, to: &str, dimension: Dimension) -> Decimal {
    let base = unit_of(from, dimension).to_base(dec(value)).expect("fits");
    unit_of(to, dimension).from_base(base).expect("fits")
}

/// Outside figures: NIST SP 811 (2008), Appendix B, and the exact definitions it rests on. A figure must agree to a relative 1e-12, or to half a
/// unit of its last digit where fewer digits are given.
#[test]
fn the_exact_chain_of_sp_811() {
    for (value, from, expected, to, dimension) in [
        ("1", "in", "25.4", "mm", LENGTH),
        ("1", "thou", "25.4", "µm", LENGTH),
        ("1", "thou", "0.0254", "mm", LENGTH),
        ("1", "mil", "0.0254", "mm", LENGTH),
        ("1", "lbf", "4.4482216152605", "N", FORCE),
        ("1", "kgf", "9.80665", "N", FORCE),
        ("1", "lbf·ft", "1.3558179483314004", "N·m", TORQUE),
        ("1", "lbf·in", "0.1129848290276167", "N·m", TORQUE),
        ("1", "ozf·in", "0.007061551814226", "N·m", TORQUE),
        ("1", "kgf·m", "9.80665", "N·m", TORQUE),
        ("1", "kgf·cm", "0.0980665", "N·m", TORQUE),
        ("1", "psi", "6.894757293168361", "kPa", PRESSURE),
        ("1", "bar", "100", "kPa", PRESSURE),
        ("1", "bar", "14.5037737730209", "psi", PRESSURE),
        ("1", "kgf/cm²", "98.0665", "kPa", PRESSURE),
        ("1", "MPa", "1", "N/mm²", PRESSURE),
        ("1", "MPa", "10", "bar", PRESSURE),
        ("1", "mmHg", "133.322387415", "Pa", PRESSURE),
        ("1", "torr", "133.322368421", "Pa", PRESSURE),
        ("1", "inHg", "3386.388640341", "Pa", PRESSURE),
        ("1", "inH2O", "249.08891", "Pa", PRESSURE),
        ("1", "atm", "101325", "Pa", PRESSURE),
        ("1", "tf", "9.80665", "kN", FORCE),
        ("2000", "lbf", "8.896443230521", "kN", FORCE),
        ("2240", "lbf", "9.96401641818352", "kN", FORCE),
        ("1", "cu in", "16.387064", "cm³", VOLUME),
        ("1", "cc", "1", "mL", VOLUME),
        ("1", "US gal", "3.785411784", "L", VOLUME),
        ("1", "imp gal", "4.54609", "L", VOLUME),
        ("1", "°", "0.0174532925199433", "rad", ANGLE),
        ("1", "arcmin", "0.00029088820866572", "rad", ANGLE),
        ("212", "°F", "100", "°C", TEMPERATURE),
        ("70", "°F", "21.11111", "°C", TEMPERATURE),
        ("9", "°F", "5", "K", DIFFERENCE),
        ("1", "°F", "0.555555555555556", "°C", DIFFERENCE),
    ] {
        let got = convert(value, from, to, dimension);
        let expected = dec(expected);
        let allowed = (expected * Decimal::new(1, 12)).max(number::half_step(expected));
        assert!(
            (got - expected).abs() <= allowed,
            "{value} {from} = {got} {to}, not {expected}"
        );
    }
}

/// Outside figures: ready-made conversions worked separately from the same definitions, to a relative 1e-6.
#[test]
fn ready_made_conversions() {
    for (value, from, expected, to, dimension) in [
        ("35", "lbf·ft", "47.453628", "N·m", TORQUE),
        ("90", "lbf·in", "10.168635", "N·m", TORQUE),
        ("2.4", "kgf·m", "23.53596", "N·m", TORQUE),
        ("250", "kgf·cm", "24.516625", "N·m", TORQUE),
        ("120", "psi", "827.370875", "kPa", PRESSURE),
        ("20", "inHg", "67.727773", "kPa", PRESSURE),
        ("250", "cm³", "15.255936", "cu in", VOLUME),
        ("0.6", "bar", "8.702264", "psi", PRESSURE),
        ("50", "kPa", "14.764992", "inHg", PRESSURE),
        ("50", "kPa", "375.030788", "mmHg", PRESSURE),
    ] {
        let got = convert(value, from, to, dimension);
        let expected = dec(expected);
        assert!(
            (got - expected).abs() <= expected * Decimal::new(1, 6),
            "{value} {from} = {got} {to}, not {expected}"
        );
    }
}

#[test]
fn every_unit_is_in_the_reference() {
    let reference = include_str!("../grammar/README.md");
    let from = reference.find("### Quantities and units").expect("the table is there");
    let table = reference
        .get(from..)
        .and_then(|t| t.split("\n\n").nth(1))
        .expect("a table");
    for unit in unit::all().filter(|unit| unit.symbol != "plain") {
        let shown = if unit.symbol == "arcmin" {
            "(`arcmin`)".to_owned()
        } else {
            format!("`{}`", unit.symbol)
        };
        assert!(table.contains(&shown), "{shown} is not in the table");
    }
}

/// The findings of a log by a manual: line, code, message, help.
fn said(manual: &str, log: &str) -> Vec<(usize, &'static str, String, String)> {
    let inspected = judge("m.manual", manual, log);
    let line = |start: u32| log.bytes().take(start as usize).filter(|byte| *byte == b'\n').count() + 1;
    inspected
        .findings
        .iter()
        .map(|f| (line(f.span.start), f.code, f.message.clone(), f.help.clone()))
        .collect()
}

/// What is said of a manual by itself: code, message, help.
fn said_of_manual(manual: &str) -> Vec<(&'static str, String, String)> {
    use gudgeon::workspace::{Kind, Library, inspect};
    let folder = std::path::Path::new(support::NOWHERE);
    let inspected = inspect(
        "m.manual",
        folder,
        Kind::Manual,
        manual.as_bytes().to_vec(),
        &Library::new(),
    );
    inspected
        .findings
        .iter()
        .map(|f| (f.code, f.message.clone(), f.help.clone()))
        .collect()
}
