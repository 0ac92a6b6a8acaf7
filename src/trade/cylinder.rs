//! Stroke, ports and spark: what the piston sweeps, when it opens what, and how fast it goes.

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused, shown};
use super::slider::{Slider, fastest};
use crate::quantity::Dimension;

const LENGTH: Dimension = Dimension::LENGTH;
const ANGLE: Dimension = Dimension::ANGLE;
const NONE: Dimension = Dimension::NONE;
const VOLUME: Dimension = Dimension::VOLUME;

const STROKE: Parameter = Parameter::positive("stroke", LENGTH, "twice the throw of the crank, not the throw");
const ROD: Parameter = Parameter::positive("rod", LENGTH, "between the centres of the rod");
const OFFSET: Parameter = Parameter::figure(
    "offset",
    LENGTH,
    "how far the bore's line passes the crank's centre, towards the side the crank turns to after top dead centre",
)
.or(0.0);
const BORE: Parameter = Parameter::positive("bore", LENGTH, "bore of the cylinder");
const SPEED: Parameter = Parameter::positive("speed", Dimension::FREQUENCY, "speed of the crank");

/// Rods are some 1.3 to 2.5 strokes long; with the throw written for the stroke, or twice the stroke, they are not.
const SHORTEST: f64 = 1.1;
const LONGEST: f64 = 3.4;

/// The slider of a call; `places`: those of stroke, rod and offset.
fn slider(given: &Given<'_>, places: (usize, usize, Option<usize>)) -> Result<Slider, Refused> {
    let (stroke, rod) = (given.figure(places.0), given.figure(places.1));
    let offset = places.2.map_or(0.0, |place| given.figure(place));
    let (s, l) = (shown(stroke), shown(rod));
    if rod < stroke / 2.0 {
        return Err(Refused::new(
            places.1,
            format!(
                "a rod of {l} mm is shorter than half the stroke of {s} mm: no crank turns so. Was one of the two misread?"
            ),
        ));
    }
    if rod < SHORTEST * stroke {
        return Err(Refused::new(
            places.0,
            format!(
                "a rod of {l} mm is less than {SHORTEST} strokes of {s} mm: was the stroke doubled once too often?"
            ),
        ));
    }
    if rod > LONGEST * stroke {
        return Err(Refused::new(
            places.0,
            format!(
                "a rod of {l} mm is more than {LONGEST} strokes of {s} mm: was the throw, half the stroke, written for the stroke?"
            ),
        ));
    }
    if offset.abs() >= (rod - stroke / 2.0) / 2.0 {
        return Err(Refused::new(
            places.2.unwrap_or(0),
            format!(
                "an offset of {} mm is none of an engine with a stroke of {s} mm",
                shown(offset)
            ),
        ));
    }
    Ok(Slider {
        throw: stroke / 2.0,
        rod,
        offset,
    })
}

/// Where a piston stands so far down, past the top and before it, rad; the place is that of the depth.
fn angles(slider: &Slider, place: usize, drop: f64) -> Result<(f64, f64), Refused> {
    slider.angles(drop).filter(|_| drop >= 0.0).ok_or_else(|| {
        let why = format!(
            "the piston never stands {} mm below its top: it goes {} mm",
            shown(drop),
            shown(slider.stroke())
        );
        Refused::new(place, why)
    })
}

/// How long a port is open whose upper edge stands so far below the piston's top, degrees.
fn open(slider: &Slider, place: usize, height: f64) -> Result<f64, Refused> {
    let (past, before) = angles(slider, place, height)?;
    Ok(360.0 - past.to_degrees() - before.to_degrees())
}

fn area(bore: f64) -> f64 {
    std::f64::consts::PI / 4.0 * bore.powi(2)
}

const KINEMATICS: &str = "slider-crank geometry, as in any text on engines";
const SLIDER: &str = "Rods of 1.1 to 3.4 strokes; slack and the stretch of the rod are not in it.";
const PORT: &str = "The height is taken from the piston's crown at its top to the port's upper edge; a piston with a raised crown opens by its edge. Taken from the deck it differs by how far the piston stays below that.";
const DIAL: Parameter = Parameter::within(
    "dial angle",
    ANGLE,
    0.0,
    60.0,
    "between the dial and the bore, in a slanting plug hole",
)
.or(0.0);

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "displacement",
        group: Group::Cylinder,
        says: "What the pistons sweep.",
        parameters: &[
            BORE,
            STROKE,
            Parameter::within("cylinders", NONE, 1.0, 64.0, "how many").or(1.0),
        ],
        gives: Gives::Of(VOLUME),
        holds: "A stroke of twice the throw.",
        source: "geometry",
        example: Example {
            call: "displacement(54 mm, 54 mm)",
            gives: "123.671936 cm³",
            source: "π/4 × 54² × 54, worked separately",
        },
        work: |given| Ok(area(given.figure(0)) * given.figure(1) * given.figure(2)),
        is_range: false,
    },
    Function {
        name: "cylinder volume",
        group: Group::Cylinder,
        says: "What a piece of the bore holds: above a port, in a gasket, under a deck.",
        parameters: &[BORE, Parameter::figure("height", LENGTH, "how high it is")],
        gives: Gives::Of(VOLUME),
        holds: "A round bore.",
        source: "geometry",
        example: Example {
            call: "cylinder volume(56 mm, 0.5 mm)",
            gives: "1.231504 cm³",
            source: "a gasket of 0.5 × Ø56 mm, worked separately",
        },
        work: |given| Ok(area(given.figure(0)) * given.figure(1)),
        is_range: false,
    },
    Function {
        name: "ratio of compression",
        group: Group::Cylinder,
        says: "How far what is swept is pressed together: over the whole stroke, or from where the exhaust port has closed.",
        parameters: &[
            Parameter::positive("swept", VOLUME, "of one cylinder: the whole, or above the closed port"),
            Parameter::positive(
                "chamber",
                VOLUME,
                "what is left at the top: head, gasket, deck, less a raised crown",
            ),
        ],
        gives: Gives::Of(NONE),
        holds: "One cylinder. Head volumes are read with or without the plug's thread: say which.",
        source: "geometry",
        example: Example {
            call: "ratio of compression(123.671936 cc, 11.0 cc)",
            gives: "12.242903",
            source: "(123.671936 + 11) / 11, worked separately",
        },
        work: |given| {
            let (swept, chamber) = (given.figure(0), given.figure(1));
            if chamber >= swept {
                return Err(Refused::new(
                    1,
                    "the chamber holds more than is swept: are the two in one unit, and of one cylinder?",
                ));
            }
            Ok((swept + chamber) / chamber)
        },
        is_range: false,
    },
    Function {
        name: "chamber for ratio",
        group: Group::Cylinder,
        says: "What may be left at the top for a ratio of compression.",
        parameters: &[
            Parameter::positive("swept", VOLUME, "of one cylinder"),
            Parameter::within("ratio", NONE, 1.5, 40.0, "the ratio that is wanted"),
        ],
        gives: Gives::Of(VOLUME),
        holds: "One cylinder.",
        source: "geometry",
        example: Example {
            call: "chamber for ratio(123.671936 cc, 12.5)",
            gives: "10.754081 cm³",
            source: "123.671936 / 11.5, worked separately",
        },
        work: |given| Ok(given.figure(0) / (given.figure(1) - 1.0)),
        is_range: false,
    },
    Function {
        name: "piston drop",
        group: Group::Cylinder,
        says: "How far the piston stands below its top when the crank is so far past it; before it, the angle is below nothing.",
        parameters: &[
            Parameter::within("angle", ANGLE, -360.0, 360.0, "past top dead centre"),
            STROKE,
            ROD,
            OFFSET,
        ],
        gives: Gives::Of(LENGTH),
        holds: SLIDER,
        source: KINEMATICS,
        example: Example {
            call: "piston drop(20°, stroke = 54 mm, rod = 105 mm)",
            gives: "2.035168 mm",
            source: "worked separately, and by a root finder in tests/outside",
        },
        work: |given| Ok(slider(given, (1, 2, Some(3)))?.drop(given.figure(0).to_radians())),
        is_range: false,
    },
    Function {
        name: "crank angle",
        group: Group::Cylinder,
        says: "How far the crank is past top dead centre when the piston stands so far below its top.",
        parameters: &[
            Parameter::within(
                "drop",
                LENGTH,
                0.0,
                f64::INFINITY,
                "how far the piston stands below its top",
            ),
            STROKE,
            ROD,
            OFFSET,
        ],
        gives: Gives::Of(ANGLE),
        holds: SLIDER,
        source: KINEMATICS,
        example: Example {
            call: "crank angle(27 mm, stroke = 54 mm, rod = 105 mm)",
            gives: "82.612952 deg",
            source: "worked separately, and by a root finder in tests/outside",
        },
        work: |given| {
            Ok(angles(&slider(given, (1, 2, Some(3)))?, 0, given.figure(0))?
                .0
                .to_degrees())
        },
        is_range: false,
    },
    Function {
        name: "ignition angle",
        group: Group::Cylinder,
        says: "How far before top dead centre the spark comes, from how far the piston then stands below its top.",
        parameters: &[
            Parameter::within(
                "drop",
                LENGTH,
                0.0,
                f64::INFINITY,
                "what the dial in the plug hole shows",
            ),
            STROKE,
            ROD,
            OFFSET,
            DIAL,
        ],
        gives: Gives::Of(ANGLE),
        holds: "As for the piston's drop. A slanting dial on a flat crown reads more than the drop, by the cosine of its slant.",
        source: KINEMATICS,
        example: Example {
            call: "ignition angle(1.80 mm, stroke = 43 mm, rod = 85 mm)",
            gives: "21.132150 deg",
            source: "worked separately, and by a root finder in tests/outside",
        },
        work: |given| {
            let drop = given.figure(0) * given.figure(4).to_radians().cos();
            Ok(angles(&slider(given, (1, 2, Some(3)))?, 0, drop)?.1.to_degrees())
        },
        is_range: false,
    },
    Function {
        name: "ignition drop",
        group: Group::Cylinder,
        says: "What a dial in the plug hole shows when the spark comes so far before top dead centre.",
        parameters: &[
            Parameter::within("angle", ANGLE, 0.0, 90.0, "before top dead centre"),
            STROKE,
            ROD,
            OFFSET,
            DIAL,
        ],
        gives: Gives::Of(LENGTH),
        holds: "As for the ignition angle.",
        source: KINEMATICS,
        example: Example {
            call: "ignition drop(18°, stroke = 54 mm, rod = 105 mm)",
            gives: "1.653491 mm",
            source: "worked separately; common practice says 1.65",
        },
        work: |given| {
            let drop = slider(given, (1, 2, Some(3)))?.drop(-given.figure(0).to_radians());
            Ok(drop / given.figure(4).to_radians().cos())
        },
        is_range: false,
    },
    Function {
        name: "port duration",
        group: Group::Cylinder,
        says: "For how many degrees of a turn a port is open.",
        parameters: &[
            Parameter::positive(
                "height",
                LENGTH,
                "from the crown at its top down to the port's upper edge",
            ),
            STROKE,
            ROD,
            OFFSET,
        ],
        gives: Gives::Of(ANGLE),
        holds: PORT,
        source: KINEMATICS,
        example: Example {
            call: "port duration(27.0 mm, stroke = 54 mm, rod = 105 mm)",
            gives: "194.774097 deg",
            source: "worked separately, and by a root finder in tests/outside",
        },
        work: |given| open(&slider(given, (1, 2, Some(3)))?, 0, given.figure(0)),
        is_range: false,
    },
    Function {
        name: "port height",
        group: Group::Cylinder,
        says: "How far below the crown at its top a port's upper edge stands that is open for so many degrees.",
        parameters: &[
            Parameter::within("duration", ANGLE, 0.0, 360.0, "how long it is open"),
            STROKE,
            ROD,
            OFFSET,
        ],
        gives: Gives::Of(LENGTH),
        holds: PORT,
        source: KINEMATICS,
        example: Example {
            call: "port height(190°, stroke = 54 mm, rod = 105 mm)",
            gives: "28.150304 mm",
            source: "worked separately",
        },
        work: |given| Ok(slider(given, (1, 2, Some(3)))?.depth(given.figure(0))),
        is_range: false,
    },
    Function {
        name: "port blowdown",
        group: Group::Cylinder,
        says: "How many degrees the exhaust port opens before the transfers, on the way down.",
        parameters: &[
            Parameter::positive(
                "exhaust",
                LENGTH,
                "height of the exhaust port, from the crown at its top",
            ),
            Parameter::positive("transfer", LENGTH, "height of the transfer port"),
            STROKE,
            ROD,
            OFFSET,
        ],
        gives: Gives::Of(ANGLE),
        holds: PORT,
        source: KINEMATICS,
        example: Example {
            call: "port blowdown(27.0 mm, 40.5 mm, stroke = 54 mm, rod = 105 mm)",
            gives: "30.300752 deg",
            source: "worked separately",
        },
        work: |given| {
            let slider = slider(given, (2, 3, Some(4)))?;
            let (exhaust, _) = angles(&slider, 0, given.figure(0))?;
            let (transfer, _) = angles(&slider, 1, given.figure(1))?;
            if transfer < exhaust {
                return Err(Refused::new(
                    1,
                    "the transfers would open before the exhaust: are the two heights swapped?",
                ));
            }
            Ok((transfer - exhaust).to_degrees())
        },
        is_range: false,
    },
    Function {
        name: "mean piston speed",
        group: Group::Cylinder,
        says: "How fast the piston goes on the average.",
        parameters: &[STROKE, SPEED],
        gives: Gives::Of(Dimension::SPEED),
        holds: "Any crank.",
        source: "geometry: twice the stroke a turn",
        example: Example {
            call: "mean piston speed(54 mm, 11000 rpm)",
            gives: "19.8 m/s",
            source: "2 × 0.054 × 11000 / 60, arithmetic",
        },
        work: |given| Ok(2.0 * given.figure(0) * given.figure(1)),
        is_range: false,
    },
    Function {
        name: "greatest piston speed",
        group: Group::Cylinder,
        says: "How fast the piston goes at its fastest, somewhat before the middle of the stroke.",
        parameters: &[STROKE, ROD, SPEED],
        gives: Gives::Of(Dimension::SPEED),
        holds: SLIDER,
        source: KINEMATICS,
        example: Example {
            call: "greatest piston speed(54 mm, rod = 105 mm, speed = 11000 rpm)",
            gives: "32.117459 m/s",
            source: "worked separately: at 76.396°",
        },
        work: |given| Ok(fastest(&slider(given, (0, 1, None))?, given.figure(2)).0),
        is_range: false,
    },
    Function {
        name: "piston acceleration",
        group: Group::Cylinder,
        says: "How hard the piston is turned round at its top, which is where it is hardest.",
        parameters: &[STROKE, ROD, SPEED],
        gives: Gives::Of(Dimension::ACCELERATION),
        holds: SLIDER,
        source: KINEMATICS,
        example: Example {
            call: "piston acceleration(54 mm, rod = 105 mm, speed = 11000 rpm)",
            gives: "45039.235 m/s²",
            source: "rω²(1 + r/L), worked separately",
        },
        work: |given| {
            let slider = slider(given, (0, 1, None))?;
            let omega = std::f64::consts::TAU * given.figure(2);
            Ok(slider.throw * omega.powi(2) * (1.0 + slider.throw / slider.rod))
        },
        is_range: false,
    },
    Function {
        name: "piston acceleration at bottom",
        group: Group::Cylinder,
        says: "How hard the piston is turned round at the bottom of its stroke.",
        parameters: &[STROKE, ROD, SPEED],
        gives: Gives::Of(Dimension::ACCELERATION),
        holds: SLIDER,
        source: KINEMATICS,
        example: Example {
            call: "piston acceleration at bottom(54 mm, rod = 105 mm, speed = 11000 rpm)",
            gives: "26614.093 m/s²",
            source: "rω²(1 - r/L), worked separately",
        },
        work: |given| {
            let slider = slider(given, (0, 1, None))?;
            let omega = std::f64::consts::TAU * given.figure(2);
            Ok(slider.throw * omega.powi(2) * (1.0 - slider.throw / slider.rod))
        },
        is_range: false,
    },
    Function {
        name: "balance factor",
        group: Group::Cylinder,
        says: "Which share of what goes to and fro the counterweights outweigh.",
        parameters: &[
            Parameter::positive(
                "counterweight",
                Dimension::MASS,
                "the mass that balances the crank when hung at the crankpin",
            ),
            Parameter::within(
                "rotating",
                Dimension::MASS,
                0.0,
                f64::INFINITY,
                "big end of the rod, pin and bearing",
            ),
            Parameter::positive(
                "reciprocating",
                Dimension::MASS,
                "piston, rings, pin, circlips, small end of the rod",
            ),
        ],
        gives: Gives::Of(NONE),
        holds: "One cylinder; the rod is split by weighing each end with the other level.",
        source: "common practice: (counterweight - rotating) / reciprocating",
        example: Example {
            call: "balance factor(340 g, 180 g, 320 g)",
            gives: "0.5",
            source: "(340 - 180) / 320, arithmetic",
        },
        work: |given| {
            let over = given.figure(0) - given.figure(1);
            if over < 0.0 {
                return Err(Refused::new(
                    0,
                    "the counterweight does not even balance what turns: are the two swapped?",
                ));
            }
            Ok(over / given.figure(2))
        },
        is_range: false,
    },
];
