//! Every unit held against the `uom` crate.

use gudgeon::quantity::{Dimension, unit};
use rust_decimal::prelude::ToPrimitive as _;

use super::{ABSOLUTE, ANGLE, DIFFERENCE, FORCE, LENGTH, PRESSURE, TEMPERATURE, TORQUE, VOLUME, dec, unit_of};

/// One unit of the `uom` crate in the base units of gudgeon.
macro_rules! uom {
    ($quantity:ident, $module:ident, $unit:ident in $base:ident * $scale:expr) => {
        uom::si::f64::$quantity::new::<uom::si::$module::$unit>(1.0).get::<uom::si::$module::$base>() * $scale
    };
}

/// A unit of gudgeon: its symbol and dimension, and how many base units it has by `uom` 0.38.
type Row = (&'static str, Dimension, f64);

/// Every unit that `uom` has as its exact definition.
#[rustfmt::skip]
fn exact_in_uom() -> Vec<Row> {
    vec![
        ("mm", LENGTH, uom!(Length, length, millimeter in millimeter * 1.0)),
        ("cm", LENGTH, uom!(Length, length, centimeter in millimeter * 1.0)),
        ("m", LENGTH, uom!(Length, length, meter in millimeter * 1.0)),
        ("km", LENGTH, uom!(Length, length, kilometer in millimeter * 1.0)),
        ("µm", LENGTH, uom!(Length, length, micrometer in millimeter * 1.0)),
        ("in", LENGTH, uom!(Length, length, inch in millimeter * 1.0)),
        ("thou", LENGTH, uom!(Length, length, mil in millimeter * 1.0)),
        ("ft", LENGTH, uom!(Length, length, foot in millimeter * 1.0)),
        ("mile", LENGTH, uom!(Length, length, mile in millimeter * 1.0)),
        ("mm²", Dimension::AREA, uom!(Area, area, square_millimeter in square_millimeter * 1.0)),
        ("cm²", Dimension::AREA, uom!(Area, area, square_centimeter in square_millimeter * 1.0)),
        ("in²", Dimension::AREA, uom!(Area, area, square_inch in square_millimeter * 1.0)),
        ("mm³", VOLUME, uom!(Volume, volume, cubic_millimeter in cubic_millimeter * 1.0)),
        ("cm³", VOLUME, uom!(Volume, volume, cubic_centimeter in cubic_millimeter * 1.0)),
        ("L", VOLUME, uom!(Volume, volume, liter in cubic_millimeter * 1.0)),
        ("imp gal", VOLUME, uom!(Volume, volume, gallon_imperial in cubic_millimeter * 1.0)),
        ("s", Dimension::TIME, uom!(Time, time, second in second * 1.0)),
        ("min", Dimension::TIME, uom!(Time, time, minute in second * 1.0)),
        ("h", Dimension::TIME, uom!(Time, time, hour in second * 1.0)),
        ("day", Dimension::TIME, uom!(Time, time, day in second * 1.0)),
        ("°", ANGLE, uom!(Angle, angle, degree in degree * 1.0)),
        ("arcmin", ANGLE, uom!(Angle, angle, minute in degree * 1.0)),
        ("rad", ANGLE, uom!(Angle, angle, radian in degree * 1.0)),
        ("turn", ANGLE, uom!(Angle, angle, revolution in degree * 1.0)),
        ("rpm", Dimension::FREQUENCY, uom!(Frequency, frequency, cycle_per_minute in hertz * 1.0)),
        ("Hz", Dimension::FREQUENCY, uom!(Frequency, frequency, hertz in hertz * 1.0)),
        ("m/s", Dimension::SPEED, uom!(Velocity, velocity, meter_per_second in millimeter_per_second * 1.0)),
        ("mm/s", Dimension::SPEED, uom!(Velocity, velocity, millimeter_per_second in millimeter_per_second * 1.0)),
        ("mm/min", Dimension::SPEED, uom!(Velocity, velocity, millimeter_per_minute in millimeter_per_second * 1.0)),
        ("km/h", Dimension::SPEED, uom!(Velocity, velocity, kilometer_per_hour in millimeter_per_second * 1.0)),
        ("mph", Dimension::SPEED, uom!(Velocity, velocity, mile_per_hour in millimeter_per_second * 1.0)),
        ("L/min", Dimension::FLOW, uom!(VolumeRate, volume_rate, liter_per_minute in cubic_meter_per_second * 1e9)),
        ("g", Dimension::MASS, uom!(Mass, mass, gram in kilogram * 1.0)),
        ("kg", Dimension::MASS, uom!(Mass, mass, kilogram in kilogram * 1.0)),
        ("mg", Dimension::MASS, uom!(Mass, mass, milligram in kilogram * 1.0)),
        ("t", Dimension::MASS, uom!(Mass, mass, ton in kilogram * 1.0)),
        ("N", FORCE, uom!(Force, force, newton in newton * 1e3)),
        ("kN", FORCE, uom!(Force, force, kilonewton in newton * 1e3)),
        ("kgf", FORCE, uom!(Force, force, kilogram_force in newton * 1e3)),
        ("N/mm", Dimension::RATE, uom!(SurfaceTension, surface_tension, kilonewton_per_meter in newton_per_meter * 1.0)),
        ("g/cm³", Dimension::DENSITY, uom!(MassDensity, mass_density, gram_per_cubic_centimeter in kilogram_per_cubic_meter * 1e-9)),
        ("kg/m³", Dimension::DENSITY, uom!(MassDensity, mass_density, kilogram_per_cubic_meter in kilogram_per_cubic_meter * 1e-9)),
        ("m/s²", Dimension::ACCELERATION, uom!(Acceleration, acceleration, meter_per_second_squared in millimeter_per_second_squared * 1.0)),
        ("W", Dimension::POWER, uom!(Power, power, watt in watt * 1e6)),
        ("kW", Dimension::POWER, uom!(Power, power, kilowatt in watt * 1e6)),
        ("N·m", TORQUE, uom!(Torque, torque, newton_meter in newton_meter * 1e6)),
        ("kN·m", TORQUE, uom!(Torque, torque, kilonewton_meter in newton_meter * 1e6)),
        ("N·mm", TORQUE, uom!(Torque, torque, newton_millimeter in newton_meter * 1e6)),
        ("N·cm", TORQUE, uom!(Torque, torque, newton_centimeter in newton_meter * 1e6)),
        ("kgf·m", TORQUE, uom!(Torque, torque, kilogram_force_meter in newton_meter * 1e6)),
        ("Pa", PRESSURE, uom!(Pressure, pressure, pascal in kilopascal * 1.0)),
        ("kPa", PRESSURE, uom!(Pressure, pressure, kilopascal in kilopascal * 1.0)),
        ("MPa", PRESSURE, uom!(Pressure, pressure, megapascal in kilopascal * 1.0)),
        ("mPa", PRESSURE, uom!(Pressure, pressure, millipascal in kilopascal * 1.0)),
        ("bar", PRESSURE, uom!(Pressure, pressure, bar in kilopascal * 1.0)),
        ("mbar", PRESSURE, uom!(Pressure, pressure, millibar in kilopascal * 1.0)),
        ("N/mm²", PRESSURE, uom!(Pressure, pressure, newton_per_square_millimeter in kilopascal * 1.0)),
        ("kgf/cm²", PRESSURE, uom!(Pressure, pressure, kilogram_force_per_square_centimeter in kilopascal * 1.0)),
        ("atm", PRESSURE, uom!(Pressure, pressure, atmosphere in kilopascal * 1.0)),
        ("mmH₂O", PRESSURE, uom!(Pressure, pressure, millimeter_of_water in kilopascal * 1.0)),
        ("bar abs", ABSOLUTE, uom!(Pressure, pressure, bar in kilopascal * 1.0)),
        ("mbar abs", ABSOLUTE, uom!(Pressure, pressure, millibar in kilopascal * 1.0)),
        ("Pa abs", ABSOLUTE, uom!(Pressure, pressure, pascal in kilopascal * 1.0)),
        ("kPa abs", ABSOLUTE, uom!(Pressure, pressure, kilopascal in kilopascal * 1.0)),
        ("MPa abs", ABSOLUTE, uom!(Pressure, pressure, megapascal in kilopascal * 1.0)),
        ("kgf/cm² abs", ABSOLUTE, uom!(Pressure, pressure, kilogram_force_per_square_centimeter in kilopascal * 1.0)),
        ("K", DIFFERENCE, uom!(TemperatureInterval, temperature_interval, kelvin in kelvin * 1.0)),
        ("°C", DIFFERENCE, uom!(TemperatureInterval, temperature_interval, degree_celsius in kelvin * 1.0)),
        ("°F", DIFFERENCE, uom!(TemperatureInterval, temperature_interval, degree_fahrenheit in kelvin * 1.0)),
        ("1/K", Dimension::EXPANSION, uom!(TemperatureCoefficient, temperature_coefficient, per_kelvin in per_kelvin * 1.0)),
        ("ppm/K", Dimension::EXPANSION, uom!(TemperatureCoefficient, temperature_coefficient, ppm_per_kelvin in per_kelvin * 1.0)),
        ("%", Dimension::NONE, uom!(Ratio, ratio, percent in ratio * 1.0)),
        ("‰", Dimension::NONE, uom!(Ratio, ratio, per_mille in ratio * 1.0)),
    ]
}

/// Units that `uom` 0.38 holds as the seven printed digits of SP 811 (its pound is 0.453 592 4 kg), or works out from such. They agree to
/// half a unit of those digits and no better; gudgeon's own are exact, and are held against SP 811 above.
#[rustfmt::skip]
fn rounded_in_uom() -> Vec<Row> {
    vec![
        ("in³", VOLUME, uom!(Volume, volume, cubic_inch in cubic_millimeter * 1.0)),
        ("US gal", VOLUME, uom!(Volume, volume, gallon in cubic_millimeter * 1.0)),
        ("lb", Dimension::MASS, uom!(Mass, mass, pound in kilogram * 1.0)),
        ("oz", Dimension::MASS, uom!(Mass, mass, ounce in kilogram * 1.0)),
        ("lbf", FORCE, uom!(Force, force, pound_force in newton * 1e3)),
        ("ozf", FORCE, uom!(Force, force, ounce_force in newton * 1e3)),
        ("lbf/in", Dimension::RATE, uom!(SurfaceTension, surface_tension, pound_force_per_inch in newton_per_meter * 1.0)),
        ("lbf·ft", TORQUE, uom!(Torque, torque, pound_force_foot in newton_meter * 1e6)),
        ("lbf·in", TORQUE, uom!(Torque, torque, pound_force_inch in newton_meter * 1e6)),
        ("ozf·in", TORQUE, uom!(Torque, torque, ounce_force_inch in newton_meter * 1e6)),
        ("psi", PRESSURE, uom!(Pressure, pressure, psi in kilopascal * 1.0)),
        ("torr", PRESSURE, uom!(Pressure, pressure, torr in kilopascal * 1.0)),
        ("mmHg", PRESSURE, uom!(Pressure, pressure, millimeter_of_mercury in kilopascal * 1.0)),
        ("inHg", PRESSURE, uom!(Pressure, pressure, inch_of_mercury in kilopascal * 1.0)),
        ("inH₂O", PRESSURE, uom!(Pressure, pressure, inch_of_water in kilopascal * 1.0)),
        ("psi abs", ABSOLUTE, uom!(Pressure, pressure, psi in kilopascal * 1.0)),
        ("torr abs", ABSOLUTE, uom!(Pressure, pressure, torr in kilopascal * 1.0)),
        ("mmHg abs", ABSOLUTE, uom!(Pressure, pressure, millimeter_of_mercury in kilopascal * 1.0)),
        ("inHg abs", ABSOLUTE, uom!(Pressure, pressure, inch_of_mercury in kilopascal * 1.0)),
    ]
}

/// Units that `uom` 0.38 has not: words of the workshop, and compounds nobody else names.
const NOT_IN_UOM: &[&str] = &[
    "hundredths",
    "week",
    "m/min",
    "mm/h",
    "µm/h",
    "mbar·L/s",
    "cc/min",
    "L/h",
    "tf",
    "kgf/mm",
    "kgf·cm",
    "pcs",
    "off",
    "plain",
];

fn relative(symbol: &str, dimension: Dimension, theirs: f64) -> f64 {
    let unit = unit_of(symbol, dimension);
    let ours = unit.factor.to_f64().expect("fits") / unit.per.to_f64().expect("fits");
    (ours - theirs).abs() / theirs
}

/// Outside figures: the `uom` crate, factor by factor.
#[test]
fn every_factor_agrees_with_another_library() {
    for (symbol, dimension, theirs) in exact_in_uom() {
        let off = relative(symbol, dimension, theirs);
        assert!(off <= 1e-12, "{symbol}: off by {off:e}");
    }
    for (symbol, dimension, theirs) in rounded_in_uom() {
        let off = relative(symbol, dimension, theirs);
        assert!(off <= 5e-7, "{symbol}: off by {off:e}");
        assert!(
            off > 1e-12,
            "{symbol}: uom has it exactly now; put it into the other list"
        );
    }
}

/// Outside figures: the `uom` crate, which keeps a temperature and an interval apart too.
#[test]
fn temperatures_agree_with_another_library() {
    use uom::si::f64::ThermodynamicTemperature as T;
    use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
    for value in ["-40", "0", "70", "212", "451"] {
        let number = dec(value).to_f64().expect("fits");
        for (symbol, theirs) in [
            ("°C", T::new::<degree_celsius>(number)),
            ("°F", T::new::<degree_fahrenheit>(number)),
            ("K", T::new::<kelvin>(number)),
        ] {
            let ours = unit_of(symbol, TEMPERATURE)
                .to_base(dec(value))
                .and_then(|base| base.to_f64());
            let (ours, theirs) = (ours.expect("fits"), theirs.get::<degree_celsius>());
            // As a share of the absolute temperature, in which `uom` holds it.
            assert!(
                (ours - theirs).abs() <= 1e-12 * 1000.0,
                "{value} {symbol}: {ours} and {theirs}"
            );
        }
    }
}

#[test]
fn no_unit_is_left_unchecked() {
    for unit in unit::all() {
        let known = |rows: Vec<Row>| rows.iter().any(|row| row.0 == unit.symbol && row.1 == unit.dimension);
        let apart =
            NOT_IN_UOM.contains(&unit.symbol) || unit.dimension.currency().is_some() || unit.dimension == TEMPERATURE;
        let places = usize::from(known(exact_in_uom())) + usize::from(known(rounded_in_uom())) + usize::from(apart);
        assert_eq!(places, 1, "{} ({})", unit.symbol, unit.dimension.name());
    }
}
