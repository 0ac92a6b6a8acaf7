//! Mass, force, torque, pressure, and what is made of them.

use rust_decimal::Decimal;

use super::{Table, foot, inch, whole};
use crate::quantity::dimension::Dimension;

/// kg
fn pound() -> Decimal {
    Decimal::new(45_359_237, 8)
}

/// kg
fn ounce() -> Decimal {
    pound() / whole(16)
}

/// mm/s²
fn gravity() -> Decimal {
    Decimal::new(980_665, 5) * whole(1000)
}

/// kg·mm/s²
fn newton() -> Decimal {
    whole(1000)
}

/// kg/(mm·s²)
fn pascal() -> Decimal {
    Decimal::new(1, 3)
}

pub(super) fn mass_and_force(t: &mut Table) {
    t.dimension = Dimension::MASS;
    t.unit("g", Decimal::new(1, 3), 1, &["gram", "grams", "gramme", "grammes"]);
    t.unit(
        "kg",
        Decimal::ONE,
        3,
        &["kgs", "kilo", "kilos", "kilogram", "kilograms"],
    );
    t.unit("mg", Decimal::new(1, 6), 0, &["milligram", "milligrams"]);
    t.unit("lb", pound(), 2, &["lbs"]);
    t.unit("oz", ounce(), 2, &["ounce", "ounces"]);
    t.unit("t", whole(1000), 2, &["tonne", "tonnes"]);

    t.dimension = Dimension::FORCE;
    t.unit("N", newton(), 0, &["newton", "newtons"]);
    t.unit("kN", newton() * whole(1000), 2, &["kilonewton", "kilonewtons"]);
    t.unit("lbf", pound() * gravity(), 1, &["lb", "lbs", "lbsf"]);
    t.unit("ozf", ounce() * gravity(), 1, &["oz", "ounce", "ounces"]);
    t.unit(
        "kgf",
        gravity(),
        1,
        &["kg", "kgs", "kilo", "kilos", "kp", "kilogram", "kilograms"],
    );
    t.unit(
        "tf",
        whole(1000) * gravity(),
        2,
        &[
            "t",
            "tonne",
            "tonnes",
            "tonne-force",
            "tonnes-force",
            "metric ton-force",
        ],
    );

    t.dimension = Dimension::RATE;
    t.unit("N/mm", newton(), 2, &[]);
    t.unit("kgf/mm", gravity(), 2, &["kg/mm"]);
    t.ratio("lbf/in", pound() * gravity(), inch(), 1, &["lb/in", "lbs/in"]);

    t.dimension = Dimension::DENSITY;
    t.unit(
        "g/cm³",
        Decimal::new(1, 6),
        3,
        &["g/cm3", "g/cc", "g/ml", "kg/L", "kg/l", "kg/dm³"],
    );
    t.unit("kg/m³", Decimal::new(1, 9), 0, &["kg/m3"]);

    t.dimension = Dimension::POWER;
    t.unit("W", newton() * whole(1000), 0, &["watt", "watts"]);
    t.unit("kW", newton() * whole(1_000_000), 1, &["kilowatt", "kilowatts"]);
    // A leak: volume times pressure in a time.
    t.unit("mbar·L/s", newton() * whole(100), 4, &["mbar L/s", "mbar·l/s"]);
}

pub(super) fn torque(t: &mut Table) {
    let metre = whole(1000);
    t.dimension = Dimension::TORQUE;
    t.unit(
        "N·m",
        newton() * metre,
        1,
        &["newton·metre", "newton·metres", "newton·meter", "newton·meters"],
    );
    t.unit("kN·m", newton() * whole(1000) * metre, 3, &[]);
    t.unit("N·mm", newton(), 0, &[]);
    t.unit("N·cm", newton() * whole(10), 1, &[]);
    t.unit(
        "lbf·ft",
        pound() * gravity() * foot(),
        1,
        &[
            "ft·lb",
            "lb·ft",
            "ft·lbf",
            "ft·lbs",
            "lbs·ft",
            "foot·pound",
            "foot·pounds",
            "pound·foot",
            "pound·feet",
        ],
    );
    t.unit(
        "lbf·in",
        pound() * gravity() * inch(),
        1,
        &[
            "in·lb",
            "lb·in",
            "in·lbf",
            "in·lbs",
            "lbs·in",
            "inch·lb",
            "inch·lbs",
            "inch·pound",
            "inch·pounds",
        ],
    );
    t.unit("ozf·in", ounce() * gravity() * inch(), 1, &["oz·in", "in·oz", "in·ozf"]);
    t.unit("kgf·m", gravity() * metre, 2, &["kg·m", "m·kg", "m·kgf", "kp·m"]);
    t.unit(
        "kgf·cm",
        gravity() * whole(10),
        1,
        &["kg·cm", "cm·kg", "cm·kgf", "kp·cm"],
    );
}

/// Pressures above that of the air, as gauges show them, and absolute ones, counted from nothing.
pub(super) fn pressure(t: &mut Table) {
    let square_inch = inch() * inch();
    // Density in kg/mm³ times gravity is the pressure under 1 mm of it.
    let mercury = Decimal::new(135_951, 1) / whole(1_000_000_000) * gravity();
    let water = whole(1000) / whole(1_000_000_000) * gravity();
    let atmosphere = whole(101_325) * pascal();
    t.dimension = Dimension::PRESSURE;
    t.unit("Pa", pascal(), 0, &["pascal", "pascals", "Pa gauge"]);
    t.unit("kPa", whole(1000) * pascal(), 1, &["kPa gauge", "kPag"]);
    // Before mPa: `mpa` and `MPA` are taken for the megapascal, which workshops use.
    t.unit("MPa", whole(1_000_000) * pascal(), 2, &["MPa gauge"]);
    t.unit("mPa", pascal() / whole(1000), 0, &[]);
    t.unit(
        "bar",
        whole(100_000) * pascal(),
        2,
        &["bars", "barg", "bar g", "bar gauge"],
    );
    t.unit(
        "mbar",
        whole(100) * pascal(),
        0,
        &["millibar", "millibars", "hPa", "mbarg", "mbar gauge"],
    );
    t.ratio(
        "psi",
        pound() * gravity(),
        square_inch,
        1,
        &[
            "lbf/in²",
            "lb/in²",
            "lb/in2",
            "lbs/in²",
            "lb/sq in",
            "p.s.i.",
            "psig",
            "psi gauge",
        ],
    );
    t.unit("N/mm²", whole(1_000_000) * pascal(), 2, &["N/mm2"]);
    t.unit(
        "kgf/cm²",
        gravity() / whole(100),
        2,
        &["kgf/cm2", "kg/cm²", "kg/cm2", "kp/cm²"],
    );
    t.unit("atm", atmosphere, 3, &["atmosphere", "atmospheres"]);
    t.ratio("torr", atmosphere, whole(760), 0, &[]);
    t.unit("mmHg", mercury, 0, &["mm·Hg"]);
    t.unit(
        "inHg",
        mercury * inch(),
        1,
        &["in·Hg", "inch Hg", "\"Hg", "\" Hg", "″Hg"],
    );
    t.unit("mmH₂O", water, 0, &["mm·H2O", "mm water"]);
    t.unit("inH₂O", water * inch(), 1, &["in·H2O", "inch water", "inches water"]);

    t.dimension = Dimension::ABSOLUTE_PRESSURE;
    t.unit(
        "bar abs",
        whole(100_000) * pascal(),
        3,
        &["bara", "bar a", "bar absolute"],
    );
    t.unit(
        "mbar abs",
        whole(100) * pascal(),
        0,
        &["mbara", "mbar absolute", "hPa abs", "hPa absolute"],
    );
    t.unit("Pa abs", pascal(), 0, &["Pa absolute"]);
    t.unit("kPa abs", whole(1000) * pascal(), 1, &["kPaa", "kPa a", "kPa absolute"]);
    t.unit("MPa abs", whole(1_000_000) * pascal(), 3, &["MPa absolute"]);
    t.ratio(
        "psi abs",
        pound() * gravity(),
        square_inch,
        1,
        &["psia", "psi absolute", "lbf/in² abs", "lb/in² abs"],
    );
    t.unit(
        "kgf/cm² abs",
        gravity() / whole(100),
        3,
        &["kgf/cm2 abs", "kg/cm² abs", "kg/cm2 abs"],
    );
    t.unit("mmHg abs", mercury, 0, &["mmHg absolute"]);
    t.ratio("torr abs", atmosphere, whole(760), 0, &[]);
    t.unit(
        "inHg abs",
        mercury * inch(),
        1,
        &["inHg absolute", "\"Hg abs", "″Hg abs"],
    );
}
