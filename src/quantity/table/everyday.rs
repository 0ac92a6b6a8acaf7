//! Lengths, areas, volumes, times, angles, temperatures, money, and plain numbers.

use rust_decimal::Decimal;

use super::{Table, foot, inch, whole};
use crate::quantity::dimension::{Currency, Dimension};

fn mile() -> Decimal {
    whole(5280) * foot()
}

fn litre() -> Decimal {
    whole(1_000_000)
}

pub(super) fn space(t: &mut Table) {
    t.dimension = Dimension::LENGTH;
    t.unit(
        "mm",
        Decimal::ONE,
        3,
        &["millimetre", "millimetres", "millimeter", "millimeters"],
    );
    t.unit(
        "cm",
        whole(10),
        3,
        &["centimetre", "centimetres", "centimeter", "centimeters"],
    );
    t.unit("m", whole(1000), 3, &["metre", "metres", "meter", "meters"]);
    t.unit(
        "km",
        whole(1_000_000),
        1,
        &["kms", "kilometre", "kilometres", "kilometer", "kilometers"],
    );
    t.unit(
        "µm",
        Decimal::new(1, 3),
        1,
        &["μm", "um", "micron", "microns", "micrometre", "micrometres"],
    );
    t.unit("hundredths", Decimal::new(1, 2), 1, &["hundredth", "huns", "hun"]);
    t.unit("in", inch(), 4, &["inch", "inches", "\"", "″", "”"]);
    t.unit("thou", inch() / whole(1000), 1, &["thous", "mil", "mils"]);
    t.unit("ft", foot(), 3, &["foot", "feet"]);
    t.unit("mile", mile(), 1, &["miles", "mi"]);

    t.dimension = Dimension::AREA;
    t.unit("mm²", Decimal::ONE, 2, &["mm2", "mm^2", "sq·mm", "square mm"]);
    t.unit("cm²", whole(100), 2, &["cm2", "cm^2", "sq·cm", "square cm"]);
    t.unit(
        "in²",
        inch() * inch(),
        4,
        &["in2", "in^2", "sq·in", "square inch", "square inches"],
    );

    t.dimension = Dimension::VOLUME;
    t.unit(
        "cm³",
        whole(1000),
        1,
        &[
            "cc",
            "ccm",
            "cm3",
            "cm^3",
            "ml",
            "mL",
            "millilitre",
            "millilitres",
            "cc/rev",
            "cm³/rev",
            "cc/r",
        ],
    );
    t.unit("mm³", Decimal::ONE, 0, &["mm3", "mm^3", "cu·mm"]);
    t.unit(
        "L",
        litre(),
        3,
        &["l", "ltr", "litre", "litres", "liter", "liters", "dm³", "dm3"],
    );
    t.unit(
        "in³",
        inch() * inch() * inch(),
        2,
        &[
            "in3",
            "in^3",
            "cu·in",
            "cubic inch",
            "cubic inches",
            "in³/rev",
            "cu in/rev",
        ],
    );
    t.unit(
        "US gal",
        whole(231) * inch() * inch() * inch(),
        2,
        &["US·gal", "US·gallon", "US·gallons"],
    );
    t.unit(
        "imp gal",
        Decimal::new(454_609, 5) * litre(),
        2,
        &[
            "imp·gal",
            "imp·gallon",
            "imp·gallons",
            "imperial gallon",
            "imperial gallons",
            "UK·gal",
        ],
    );
}

pub(super) fn time_and_turning(t: &mut Table) {
    let (minute, hour) = (whole(60), whole(3600));
    t.dimension = Dimension::TIME;
    t.unit("s", Decimal::ONE, 1, &["sec", "secs", "second", "seconds"]);
    t.unit("min", minute, 1, &["mins", "minute", "minutes"]);
    t.unit("h", hour, 1, &["hr", "hrs", "hour", "hours"]);
    t.unit("day", whole(24) * hour, 1, &["days"]);
    t.unit("week", whole(168) * hour, 1, &["weeks", "wk", "wks"]);

    t.dimension = Dimension::ANGLE;
    t.unit("°", Decimal::ONE, 1, &["deg", "degs", "degree", "degrees"]);
    t.ratio(
        "arcmin",
        Decimal::ONE,
        whole(60),
        0,
        &["'", "′", "’", "arcmins", "arc minute", "arc minutes"],
    );
    t.ratio("rad", whole(180), Decimal::PI, 4, &["radian", "radians"]);
    t.unit(
        "turn",
        whole(360),
        2,
        &["turns", "rev", "revs", "revolution", "revolutions"],
    );

    t.dimension = Dimension::FREQUENCY;
    t.ratio(
        "rpm",
        Decimal::ONE,
        minute,
        0,
        &["r.p.m.", "r/min", "rev/min", "revs/min", "1/min", "/min"],
    );
    t.unit("Hz", Decimal::ONE, 1, &["1/s", "/s", "hertz"]);

    t.dimension = Dimension::SPEED;
    t.unit("m/s", whole(1000), 2, &["metres per second"]);
    t.unit("mm/s", Decimal::ONE, 1, &[]);
    t.ratio("m/min", whole(1000), minute, 1, &[]);
    t.ratio("mm/min", Decimal::ONE, minute, 1, &[]);
    t.ratio("km/h", whole(1_000_000), hour, 1, &["kmh", "kph", "km/hr"]);
    t.ratio("mph", mile(), hour, 1, &["miles/h", "mile/h", "mi/h"]);

    t.ratio("mm/h", Decimal::ONE, hour, 4, &["mm/hour"]);
    t.ratio("µm/h", Decimal::new(1, 3), hour, 2, &["um/h", "µm/hour", "um/hour"]);

    t.dimension = Dimension::ACCELERATION;
    t.unit("m/s²", whole(1000), 0, &["m/s2", "m/s^2"]);

    t.dimension = Dimension::FLOW;
    t.ratio(
        "L/min",
        litre(),
        minute,
        2,
        &[
            "l/min",
            "lpm",
            "litre/min",
            "litres/min",
            "litres per minute",
            "l per min",
        ],
    );
    t.ratio(
        "cc/min",
        whole(1000),
        minute,
        0,
        &["cm³/min", "ml/min", "mL/min", "cm3/min"],
    );
    t.ratio("L/h", litre(), hour, 2, &["l/h", "l/hr", "litres/h", "litres/hour"]);
}

const CELSIUS: &[&str] = &["C", "deg·C", "degrees C", "℃", "celsius"];
const FAHRENHEIT: &[&str] = &["F", "deg·F", "degrees F", "℉", "fahrenheit"];
const KELVIN: &[&str] = &["kelvin"];

/// °C, °F and K twice: counted from their zeros, and as differences without one. Which is meant is told by what is wanted; where nothing
/// is, °C and °F are temperatures and K is a difference, as they are said in a workshop.
pub(super) fn heat(t: &mut Table) {
    let (five, nine) = (whole(5), whole(9));
    t.dimension = Dimension::TEMPERATURE;
    t.unit("°C", Decimal::ONE, 0, CELSIUS);
    t.ratio("°F", five, nine, 0, FAHRENHEIT);
    t.shift(whole(-32));

    t.dimension = Dimension::TEMPERATURE_DIFFERENCE;
    t.unit("K", Decimal::ONE, 0, KELVIN);
    t.unit("°C", Decimal::ONE, 0, CELSIUS);
    t.ratio("°F", five, nine, 0, FAHRENHEIT);

    t.dimension = Dimension::TEMPERATURE;
    t.unit("K", Decimal::ONE, 0, KELVIN);
    t.shift(Decimal::new(-27_315, 2));

    t.dimension = Dimension::EXPANSION;
    t.unit("1/K", Decimal::ONE, 9, &["/K", "1/°C", "/°C", "per °C", "per K"]);
    t.unit(
        "ppm/K",
        Decimal::new(1, 6),
        2,
        &["ppm/°C", "µm/m/K", "µm/m/°C", "µm/(m·K)"],
    );
}

pub(super) fn money(t: &mut Table) {
    let list: [(Currency, u32, &'static [&'static str]); 12] = [
        (Currency::Eur, 2, &["€", "euro", "euros"]),
        (Currency::Usd, 2, &["$", "US$"]),
        (Currency::Gbp, 2, &["£"]),
        (Currency::Pln, 2, &["zł", "zl", "zloty"]),
        (Currency::Chf, 2, &["SFr"]),
        (Currency::Sek, 2, &[]),
        (Currency::Czk, 2, &["Kč"]),
        (Currency::Jpy, 0, &["yen"]),
        (Currency::Nok, 2, &[]),
        (Currency::Dkk, 2, &[]),
        (Currency::Cad, 2, &["C$"]),
        (Currency::Aud, 2, &["A$"]),
    ];
    for (currency, places, spellings) in list {
        t.dimension = Dimension::money(currency);
        t.unit(currency.code(), Decimal::ONE, places, spellings);
    }
}

pub(super) fn plain(t: &mut Table) {
    t.dimension = Dimension::NONE;
    t.unit("%", Decimal::new(1, 2), 1, &["percent", "per cent", "pct"]);
    t.unit("‰", Decimal::new(1, 3), 2, &["per mille", "mm/m"]);
    t.unit("pcs", Decimal::ONE, 0, &["pc", "pce", "pces", "piece", "pieces"]);
    t.unit("off", Decimal::ONE, 0, &[]);
    // A ratio or a count: nothing is written behind it.
    t.unit("plain", Decimal::ONE, 3, &["ratio", "count"]);
}
