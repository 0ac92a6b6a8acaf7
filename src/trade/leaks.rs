//! Leak tests, what heat does to them, mixtures, and gear pumps.

use std::f64::consts::PI;

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused};
use crate::quantity::Dimension;

const NONE: Dimension = Dimension::NONE;
const PRESSURE: Dimension = Dimension::PRESSURE;
const ABSOLUTE: Dimension = Dimension::ABSOLUTE_PRESSURE;
const TEMPERATURE: Dimension = Dimension::TEMPERATURE;
const TIME: Dimension = Dimension::TIME;
const VOLUME: Dimension = Dimension::VOLUME;
const LENGTH: Dimension = Dimension::LENGTH;

/// From °C to K.
const ZERO: f64 = 273.15;

const BEFORE: Parameter = Parameter::figure("before", PRESSURE, "above the air's, or below it, when the test began");
const AFTER: Parameter = Parameter::figure("after", PRESSURE, "when it ended");
const HELD: Parameter = Parameter::positive("time", TIME, "how long it was held");
const INSIDE: Parameter = Parameter::positive("volume", VOLUME, "what is under pressure, hoses and all");
const RATIO: Parameter = Parameter::within("ratio", NONE, 2.0, 400.0, "fuel to oil: 50:1, not 1:50");

/// What a temperature makes of a pressure at one volume: both absolute, N/mm² and °C.
fn at_temperature(pressure: f64, was: f64, is: f64) -> f64 {
    pressure * (is + ZERO) / (was + ZERO)
}

const ABSOLUTES: &[Parameter] = &[
    Parameter::positive("before", ABSOLUTE, "counted from nothing, when the test began"),
    Parameter::positive("after", ABSOLUTE, "when it ended"),
    Parameter::within(
        "warm before",
        TEMPERATURE,
        -60.0,
        300.0,
        "temperature of the air inside at the beginning",
    ),
    Parameter::within("warm after", TEMPERATURE, -60.0, 300.0, "at the end"),
];

/// The pressure must fall towards the air's: both on one side of it, and the second nearer. `place` is that of the first in the parameters.
fn falls(given: &Given<'_>, place: usize) -> Result<(f64, f64), Refused> {
    let (before, after) = (given.figure(place), given.figure(place + 1));
    if before == 0.0 {
        return Err(Refused::new(place, "a test that begins with no pressure shows nothing"));
    }
    if before * after < 0.0 {
        return Err(Refused::new(
            place + 1,
            "pressure at the beginning and vacuum at the end: one of the two has a wrong sign",
        ));
    }
    if after.abs() > before.abs() {
        return Err(Refused::new(
            place + 1,
            "the pressure rose by itself: did the air get warmer, or are the two swapped?",
        ));
    }
    Ok((before, after))
}

/// Volume times pressure lost in a time: the throughput of a leak.
fn throughput(given: &Given<'_>) -> Result<f64, Refused> {
    let (before, after) = falls(given, 1)?;
    Ok(given.figure(0) * (before - after).abs() / given.figure(3))
}

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "leak-down",
        group: Group::Leaks,
        says: "Which share of the supply a cylinder loses in a leak-down test, at top dead centre.",
        parameters: &[
            Parameter::positive("supply", PRESSURE, "what goes in, by the first gauge"),
            Parameter::within("held", PRESSURE, 0.0, f64::INFINITY, "what stays, by the second"),
        ],
        gives: Gives::Of(NONE),
        holds: "One tester against itself: its orifice decides what a share means.",
        source: "common practice: 1 - held / supply",
        example: Example {
            call: "leak-down(80 psi, 62 psi)",
            gives: "22.5 %",
            source: "arithmetic",
        },
        work: |given| {
            let (supply, held) = (given.figure(0), given.figure(1));
            if held > supply {
                return Err(Refused::new(
                    1,
                    "the second gauge shows more than goes in: are the two swapped?",
                ));
            }
            Ok(1.0 - held / supply)
        },
        is_range: false,
    },
    Function {
        name: "leak throughput",
        group: Group::Leaks,
        says: "How much leaks, as volume times pressure lost in a time: mbar·L/s.",
        parameters: &[INSIDE, BEFORE, AFTER, HELD],
        gives: Gives::Of(Dimension::POWER),
        holds: "A small loss of a volume that keeps its size and its temperature.",
        source: "V × Δp / t, as leak detection reckons",
        example: Example {
            call: "leak throughput(350 cc, 50 kPa, 44 kPa, 360 s)",
            gives: "0.0583333 mbar·L/s",
            source: "worked separately: 5.8333e-3 Pa·m³/s",
        },
        work: throughput,
        is_range: false,
    },
    Function {
        name: "leak flow",
        group: Group::Leaks,
        says: "How much leaks, as air of the room in a time.",
        parameters: &[
            INSIDE,
            BEFORE,
            AFTER,
            HELD,
            Parameter::positive("air", ABSOLUTE, "the air's own pressure").or(0.101_325),
        ],
        gives: Gives::Of(Dimension::FLOW),
        holds: "A small loss of a volume that keeps its size and its temperature.",
        source: "V × Δp / (t × air's pressure)",
        example: Example {
            call: "leak flow(350 cc, 50 kPa, 44 kPa, 360 s)",
            gives: "3.45423 cc/min",
            source: "worked separately, air of 101.325 kPa",
        },
        work: |given| Ok(throughput(given)? / given.figure(4)),
        is_range: false,
    },
    Function {
        name: "share lost",
        group: Group::Leaks,
        says: "Which share of a pressure or a vacuum was lost.",
        parameters: &[BEFORE, AFTER],
        gives: Gives::Of(NONE),
        holds: "Pressures above or below the air's, as a gauge shows them.",
        source: "arithmetic",
        example: Example {
            call: "share lost(50 kPa, 44 kPa)",
            gives: "12 %",
            source: "6 / 50, arithmetic",
        },
        work: |given| {
            let (before, after) = falls(given, 0)?;
            Ok(1.0 - after / before)
        },
        is_range: false,
    },
    Function {
        name: "decay time",
        group: Group::Leaks,
        says: "In what time a pressure that decays evenly falls to some 37 %: it does not depend on when the test was read.",
        parameters: &[BEFORE, AFTER, HELD],
        gives: Gives::Of(TIME),
        holds: "One leak, one volume, one temperature; pressures above or below the air's.",
        source: "exponential decay: t / ln(before / after)",
        example: Example {
            call: "decay time(50 kPa, 44 kPa, 360 s)",
            gives: "2816.166 s",
            source: "worked separately",
        },
        work: |given| {
            let (before, after) = falls(given, 0)?;
            if after == 0.0 || after == before {
                return Err(Refused::new(
                    1,
                    "nothing was lost, or all: no rate of decay can be told",
                ));
            }
            Ok(given.figure(2) / (before / after).ln())
        },
        is_range: false,
    },
    Function {
        name: "drop by cooling",
        group: Group::Leaks,
        says: "How much pressure a tight volume loses when its air cools: no leak at all.",
        parameters: &[
            Parameter::positive("before", ABSOLUTE, "counted from nothing, when the test began"),
            Parameter::within(
                "warm before",
                TEMPERATURE,
                -60.0,
                300.0,
                "temperature of the air inside at the beginning",
            ),
            Parameter::within("warm after", TEMPERATURE, -60.0, 300.0, "at the end"),
        ],
        gives: Gives::Of(PRESSURE),
        holds: "A volume that keeps its size; air as an ideal gas.",
        source: "gas law at one volume",
        example: Example {
            call: "drop by cooling(151.325 kPa abs, 20 °C, 19 °C)",
            gives: "0.516203 kPa",
            source: "worked separately",
        },
        work: |given| Ok(given.figure(0) - at_temperature(given.figure(0), given.figure(1), given.figure(2))),
        is_range: false,
    },
    Function {
        name: "drop by leaking",
        group: Group::Leaks,
        says: "How much of a loss of pressure was a leak, once what cooling took is taken off; below nothing, air got in.",
        parameters: ABSOLUTES,
        gives: Gives::Of(PRESSURE),
        holds: "A volume that keeps its size; air as an ideal gas.",
        source: "gas law at one volume",
        example: Example {
            call: "drop by leaking(151.325 kPa abs, 150.0 kPa abs, 20 °C, 19 °C)",
            gives: "0.808797 kPa",
            source: "151.325 - 0.516203 - 150.0, arithmetic",
        },
        work: |given| Ok(at_temperature(given.figure(0), given.figure(2), given.figure(3)) - given.figure(1)),
        is_range: false,
    },
    Function {
        name: "premix oil",
        group: Group::Leaks,
        says: "The oil for so much fuel.",
        parameters: &[Parameter::positive("fuel", VOLUME, "fuel without the oil"), RATIO],
        gives: Gives::Of(VOLUME),
        holds: "A ratio by volume, fuel to oil.",
        source: "arithmetic",
        example: Example {
            call: "premix oil(5 L, 50:1)",
            gives: "100 cc",
            source: "5 L / 50, arithmetic",
        },
        work: |given| Ok(given.figure(0) / given.figure(1)),
        is_range: false,
    },
    Function {
        name: "oil in mixture",
        group: Group::Leaks,
        says: "The oil in so much finished mixture.",
        parameters: &[Parameter::positive("mixture", VOLUME, "fuel and oil together"), RATIO],
        gives: Gives::Of(VOLUME),
        holds: "A ratio by volume, fuel to oil.",
        source: "arithmetic",
        example: Example {
            call: "oil in mixture(5 L, 25:1)",
            gives: "192.307692 cc",
            source: "5 L / 26, worked separately",
        },
        work: |given| Ok(given.figure(0) / (given.figure(1) + 1.0)),
        is_range: false,
    },
    Function {
        name: "oil to add",
        group: Group::Leaks,
        says: "The oil that brings a finished mixture from one ratio to a richer one.",
        parameters: &[
            Parameter::positive("mixture", VOLUME, "fuel and oil together"),
            Parameter::within("from", NONE, 2.0, 400.0, "its ratio"),
            Parameter::within("to", NONE, 2.0, 400.0, "the ratio that is wanted"),
        ],
        gives: Gives::Of(VOLUME),
        holds: "Ratios by volume, fuel to oil.",
        source: "arithmetic",
        example: Example {
            call: "oil to add(3 L, from = 50:1, to = 32:1)",
            gives: "33.088235 cc",
            source: "worked separately",
        },
        work: |given| {
            let (from, to) = (given.figure(1), given.figure(2));
            if to > from {
                return Err(Refused::new(
                    2,
                    "a leaner mixture is made with fuel, not with oil: are the two ratios swapped?",
                ));
            }
            let fuel = given.figure(0) * from / (from + 1.0);
            Ok(fuel * (1.0 / to - 1.0 / from))
        },
        is_range: false,
    },
    Function {
        name: "gear pump displacement",
        group: Group::Leaks,
        says: "What a gear pump moves in one turn, without slip.",
        parameters: &[
            Parameter::within("module", LENGTH, 0.2, 50.0, "of the teeth"),
            Parameter::within("teeth", NONE, 5.0, 60.0, "of one gear"),
            Parameter::positive("width", LENGTH, "of the gears"),
        ],
        gives: Gives::Of(VOLUME),
        holds: "Two equal gears with teeth of the usual height; within a few per cent.",
        source: "common practice: 2π × module² × teeth × width",
        example: Example {
            call: "gear pump displacement(3 mm, teeth = 12, width = 20 mm)",
            gives: "13.571680 cc",
            source: "2π × 9 × 12 × 20, arithmetic",
        },
        work: |given| Ok(2.0 * PI * given.figure(0).powi(2) * given.figure(1) * given.figure(2)),
        is_range: false,
    },
    Function {
        name: "pump flow",
        group: Group::Leaks,
        says: "What a pump moves in a time, without slip.",
        parameters: &[
            Parameter::positive("displacement", VOLUME, "in one turn"),
            Parameter::positive("speed", Dimension::FREQUENCY, "how fast it turns"),
        ],
        gives: Gives::Of(Dimension::FLOW),
        holds: "A full inlet.",
        source: "arithmetic",
        example: Example {
            call: "pump flow(13.571680 cc, 1450 rpm)",
            gives: "19.678936 L/min",
            source: "arithmetic",
        },
        work: |given| Ok(given.figure(0) * given.figure(1)),
        is_range: false,
    },
    Function {
        name: "slip growth",
        group: Group::Leaks,
        says: "How many times as much slips past when a narrow gap grows.",
        parameters: &[
            Parameter::positive("was", LENGTH, "the gap before"),
            Parameter::positive("is", LENGTH, "the gap now"),
        ],
        gives: Gives::Of(NONE),
        holds: "A narrow gap with thick oil: slip goes by its third power.",
        source: "flow between plates",
        example: Example {
            call: "slip growth(0.05 mm, 0.12 mm)",
            gives: "13.824",
            source: "2.4³, arithmetic",
        },
        work: |given| Ok((given.figure(1) / given.figure(0)).powi(3)),
        is_range: false,
    },
];
