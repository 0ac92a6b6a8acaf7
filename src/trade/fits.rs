//! Limits and fits (ISO 286), press fits (Lamé), and the heat that drops a part on or in.

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused, Word, Words, shown};
use super::joint::Joint;
use super::materials::Material;
use crate::quantity::Dimension;

const LENGTH: Dimension = Dimension::LENGTH;
const NONE: Dimension = Dimension::NONE;
const DIFFERENCE: Dimension = Dimension::TEMPERATURE_DIFFERENCE;
const TEMPERATURE: Dimension = Dimension::TEMPERATURE;

const INTERFERENCE: Parameter = Parameter::figure(
    "interference",
    LENGTH,
    "how much larger the inner part is, on the diameter (not the radius)",
);
const DIAMETER: Parameter = Parameter::positive("diameter", LENGTH, "diameter where they touch");
const OUTSIDE: Parameter = Parameter::positive("outside", LENGTH, "outside diameter of the outer part");
const HOLE: Parameter = Parameter::within("hole", LENGTH, 0.0, f64::INFINITY, "hole through the inner part").or(0.0);
const HUB: Parameter = Parameter::word("hub", Words::Material, "what the outer part is made of").or_word("steel");
const SHAFT: Parameter = Parameter::word("shaft", Words::Material, "what the inner part is made of").or_word("steel");
const LONG: Parameter = Parameter::positive("length", LENGTH, "how long they touch");
const FRICTION: Parameter = Parameter::within(
    "friction",
    NONE,
    0.0,
    1.0,
    "coefficient of friction: about 0.12 oiled, 0.20 dry",
)
.or(0.12);

const PRESSURE: &[Parameter] = &[INTERFERENCE, DIAMETER, OUTSIDE, HOLE, HUB, SHAFT];
const FORCE: &[Parameter] = &[INTERFERENCE, DIAMETER, OUTSIDE, LONG, FRICTION, HOLE, HUB, SHAFT];

/// Where the places of the hole and the materials are, since a force asks for a length and a friction before them.
#[derive(Clone, Copy)]
struct Places {
    hole: usize,
    hub: usize,
    shaft: usize,
}

const OF_PRESSURE: Places = Places {
    hole: 3,
    hub: 4,
    shaft: 5,
};
const OF_FORCE: Places = Places {
    hole: 5,
    hub: 6,
    shaft: 7,
};

fn elastic(given: &Given<'_>, place: usize) -> Result<(f64, f64), Refused> {
    match given.word(place) {
        Some(Word::Material(Material {
            elastic: Some(elastic), ..
        })) => Ok(*elastic),
        _ => Err(Refused::new(place, "how stiff this material is, is not known here")),
    }
}

/// The interference that no steel bears elastically: a tenth of the diameter is no fit but a slip of the decimal point.
const MOST_SHARE: f64 = 0.02;

fn joint(given: &Given<'_>, places: Places) -> Result<Joint, Refused> {
    let joint = Joint {
        interference: given.figure(0),
        diameter: given.figure(1),
        outside: given.figure(2),
        hole: given.figure(places.hole),
        hub: elastic(given, places.hub)?,
        shaft: elastic(given, places.shaft)?,
    };
    let (d, outer) = (shown(joint.diameter), shown(joint.outside));
    if joint.outside <= joint.diameter {
        let why = format!("the outer part, {outer} mm outside, has no wall round {d} mm: give its outside diameter");
        return Err(Refused::new(2, why));
    }
    if joint.hole >= joint.diameter {
        let why = format!("a hole of {} mm leaves nothing of a part of {d} mm", shown(joint.hole));
        return Err(Refused::new(places.hole, why));
    }
    if joint.interference.abs() > MOST_SHARE * joint.diameter {
        let why = format!(
            "an interference of {} mm on {d} mm is far more than any fit: was the decimal point moved, or a size given for the difference?",
            shown(joint.interference)
        );
        return Err(Refused::new(0, why));
    }
    Ok(joint)
}

/// The force that moves one part in the other, N. A loose fit takes none.
fn force(given: &Given<'_>) -> Result<f64, Refused> {
    let pressure = joint(given, OF_FORCE)?.pressure().max(0.0);
    Ok(std::f64::consts::PI * given.figure(1) * given.figure(3) * pressure * given.figure(4))
}

fn expansion(given: &Given<'_>, place: usize) -> Result<f64, Refused> {
    match given.word(place) {
        Some(Word::Material(material)) => Ok(material.expansion),
        _ => Err(Refused::new(place, "how much this material grows is not known here")),
    }
}

/// How much a diameter must change for a part to drop, in degrees: what there is of grip, and some room.
fn warmer(given: &Given<'_>) -> Result<f64, Refused> {
    let change = given.figure(0) + given.figure(1);
    let (diameter, material) = (given.figure(2), expansion(given, 3)?);
    if change.abs() > MOST_SHARE * diameter {
        let why = format!(
            "an interference of {} mm on {} mm is far more than any fit: was the decimal point moved?",
            shown(given.figure(0)),
            shown(diameter)
        );
        return Err(Refused::new(0, why));
    }
    Ok((change / (material * diameter)).max(0.0))
}

const HEAT: &[Parameter] = &[
    Parameter::figure(
        "interference",
        LENGTH,
        "how much larger the inner part is, on the diameter",
    ),
    Parameter::within(
        "room",
        LENGTH,
        0.0,
        f64::INFINITY,
        "the air it is to drop with: 0.015 to 0.03 mm",
    ),
    Parameter::positive("diameter", LENGTH, "diameter where they touch"),
    Parameter::word("material", Words::Material, "of the part that is heated or chilled"),
    Parameter::within("shop", TEMPERATURE, -30.0, 50.0, "the temperature of the other part").or(20.0),
];

fn zone(given: &Given<'_>) -> Result<(f64, f64), Refused> {
    match given.word(0) {
        Some(Word::Zone(zone)) => zone.limits().map_err(|why| Refused::new(0, why)),
        _ => Err(Refused::new(0, "this is no size with a class")),
    }
}

fn clearance(given: &Given<'_>) -> Result<(f64, f64), Refused> {
    match given.word(0) {
        Some(Word::Fit(fit)) => fit.clearance().map_err(|why| Refused::new(0, why)),
        _ => Err(Refused::new(0, "this is no fit")),
    }
}

fn deviations(given: &Given<'_>) -> Result<(f64, f64), Refused> {
    match given.word(1) {
        Some(Word::Class(class)) => class.on(given.figure(0)).map_err(|why| Refused::new(0, why)),
        _ => Err(Refused::new(1, "this is no class")),
    }
}

const ZONE: &[Parameter] = &[Parameter::word("code", Words::Zone, "size and class")];
const FIT: &[Parameter] = &[Parameter::word("code", Words::Fit, "size, hole and shaft")];
const DEVIATION: &[Parameter] = &[
    Parameter::within("size", LENGTH, 1.0, 500.0, "nominal size"),
    Parameter::word("class", Words::Class, "its class"),
];
const ISO: &str = "ISO 286-1:2010 and ISO 286-2:2010; bearings ISO 492:2014, Normal class";
const ISO_HOLDS: &str = "1 to 500 mm; grades 1 to 14; holes C to H, J to N, P, R to U, shafts in small. A bearing's bore 2.5 to 120 mm, its outside 6 to 150 mm.";
const LAME: &str =
    "Lamé's thick rings, elastic, plane stress; as in textbooks of machine design (press and shrink fits)";
const LAME_HOLDS: &str = "Round parts of one wall thickness, below the yield point, equally long. A crank web is no such ring: what it gives is then an estimate on the high side.";

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "least size",
        group: Group::Fits,
        says: "The least size that a class allows.",
        parameters: ZONE,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "least size(25 p6)",
            gives: "25.022 mm",
            source: "ISO 286-2:2010, 18 to 30 mm",
        },
        work: |given| Ok(zone(given)?.0),
        is_range: false,
    },
    Function {
        name: "greatest size",
        group: Group::Fits,
        says: "The greatest size that a class allows.",
        parameters: ZONE,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "greatest size(25 p6)",
            gives: "25.035 mm",
            source: "ISO 286-2:2010, 18 to 30 mm",
        },
        work: |given| Ok(zone(given)?.1),
        is_range: false,
    },
    Function {
        name: "lower deviation",
        group: Group::Fits,
        says: "How far the least size of a class lies from the nominal size.",
        parameters: DEVIATION,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "lower deviation(40 mm, k6)",
            gives: "0.002 mm",
            source: "ISO 286-2:2010, 30 to 50 mm",
        },
        work: |given| Ok(deviations(given)?.0 / 1000.0),
        is_range: false,
    },
    Function {
        name: "upper deviation",
        group: Group::Fits,
        says: "How far the greatest size of a class lies from the nominal size.",
        parameters: DEVIATION,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "upper deviation(40 mm, k6)",
            gives: "0.018 mm",
            source: "ISO 286-2:2010, 30 to 50 mm",
        },
        work: |given| Ok(deviations(given)?.1 / 1000.0),
        is_range: false,
    },
    Function {
        name: "least clearance",
        group: Group::Fits,
        says: "The least clearance of a fit; below nothing it is interference.",
        parameters: FIT,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "least clearance(25 H7/p6)",
            gives: "-0.035 mm",
            source: "ISO 286-2:2010, 18 to 30 mm",
        },
        work: |given| Ok(clearance(given)?.0),
        is_range: false,
    },
    Function {
        name: "greatest clearance",
        group: Group::Fits,
        says: "The greatest clearance of a fit; below nothing it is interference.",
        parameters: FIT,
        gives: Gives::Of(LENGTH),
        holds: ISO_HOLDS,
        source: ISO,
        example: Example {
            call: "greatest clearance(25 H7/g6)",
            gives: "0.041 mm",
            source: "ISO 286-2:2010, 18 to 30 mm",
        },
        work: |given| Ok(clearance(given)?.1),
        is_range: false,
    },
    Function {
        name: "contact pressure",
        group: Group::Fits,
        says: "The pressure between two parts that are pressed together; below nothing there is a gap.",
        parameters: PRESSURE,
        gives: Gives::Of(Dimension::PRESSURE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "contact pressure(interference = 0.02 mm, diameter = 100 mm, outside = 160 mm)",
            gives: "12.61406 MPa",
            source: "T. H. Brown, Marks' Calculations for Machine Design (2005), ch. 3, example 6: 0.01 mm on the radius, 12.6 MPa",
        },
        work: |given| Ok(joint(given, OF_PRESSURE)?.pressure()),
        is_range: false,
    },
    Function {
        name: "press force",
        group: Group::Fits,
        says: "The force at the end of the stroke that presses one part into the other; it rises with the length that has gone in.",
        parameters: FORCE,
        gives: Gives::Of(Dimension::FORCE),
        holds: "As for the pressure. Friction is the widest guess in it: give it as a range. To break an old fit loose may take half as much again, or twice.",
        source: LAME,
        example: Example {
            call: "press force(0.060 mm, diameter = 22 mm, outside = 60 mm, length = 18 mm, friction = 0.12)",
            gives: "36.474569 kN",
            source: "worked separately, and solved as a boundary-value problem in tests/outside",
        },
        work: force,
        is_range: false,
    },
    Function {
        name: "grip torque",
        group: Group::Fits,
        says: "The torque that turns one part in the other.",
        parameters: FORCE,
        gives: Gives::Of(Dimension::TORQUE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "grip torque(0.060 mm, diameter = 22 mm, outside = 60 mm, length = 18 mm, friction = 0.12)",
            gives: "401.2203 N·m",
            source: "worked separately: force times half the diameter",
        },
        work: |given| Ok(force(given)? * given.figure(1) / 2.0),
        is_range: false,
    },
    Function {
        name: "hub stress",
        group: Group::Fits,
        says: "The stress at the bore of the outer part, by von Mises, to be held against its yield point.",
        parameters: PRESSURE,
        gives: Gives::Of(Dimension::PRESSURE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "hub stress(0.060 mm, diameter = 22 mm, outside = 60 mm)",
            gives: "490.3814 MPa",
            source: "worked separately from hoop stress 320.2227 and pressure 244.3227 MPa",
        },
        work: |given| Ok(joint(given, OF_PRESSURE)?.hub_stress()),
        is_range: false,
    },
    Function {
        name: "hub hoop stress",
        group: Group::Fits,
        says: "The stress round the bore of the outer part.",
        parameters: PRESSURE,
        gives: Gives::Of(Dimension::PRESSURE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "hub hoop stress(0.040 mm, diameter = 52 mm, outside = 80 mm, hole = 40 mm, hub = aluminium)",
            gives: "33.3742 MPa",
            source: "worked separately: a steel ring in an aluminium housing",
        },
        work: |given| Ok(joint(given, OF_PRESSURE)?.hub_hoop()),
        is_range: false,
    },
    Function {
        name: "shaft hoop stress",
        group: Group::Fits,
        says: "The stress round the inner part where it is greatest: at its bore, or where they touch if it is solid. Below nothing it is compressed.",
        parameters: PRESSURE,
        gives: Gives::Of(Dimension::PRESSURE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "shaft hoop stress(0.060 mm, diameter = 22 mm, outside = 60 mm, hole = 10 mm)",
            gives: "-502.6068 MPa",
            source: "worked separately: a hollow pin in a steel disc",
        },
        work: |given| Ok(joint(given, OF_PRESSURE)?.shaft_hoop()),
        is_range: false,
    },
    Function {
        name: "shaft contact stress",
        group: Group::Fits,
        says: "The stress round the inner part where the two touch. Below nothing it is compressed.",
        parameters: PRESSURE,
        gives: Gives::Of(Dimension::PRESSURE),
        holds: LAME_HOLDS,
        source: LAME,
        example: Example {
            call: "shaft contact stress(0.060 mm, diameter = 22 mm, outside = 60 mm, hole = 10 mm)",
            gives: "-303.2256 MPa",
            source: "worked separately: a hollow pin in a steel disc",
        },
        work: |given| Ok(joint(given, OF_PRESSURE)?.contact_hoop()),
        is_range: false,
    },
    Function {
        name: "growth",
        group: Group::Fits,
        says: "How much a length grows by heat.",
        parameters: &[
            Parameter::figure("size", LENGTH, "the length"),
            Parameter::word("material", Words::Material, "what it is made of"),
            Parameter::figure("warmer", DIFFERENCE, "how much warmer it gets"),
        ],
        gives: Gives::Of(LENGTH),
        holds: "From the cold of a freezer to some 150 °C: one mean coefficient.",
        source: "mean coefficients of the table of materials",
        example: Example {
            call: "growth(62 mm, aluminium, 70 K)",
            gives: "0.09982 mm",
            source: "62 × 23e-6 × 70, arithmetic",
        },
        work: |given| Ok(given.figure(0) * expansion(given, 1)? * given.figure(2)),
        is_range: false,
    },
    Function {
        name: "cold size",
        group: Group::Fits,
        says: "What a length read warm is at 20 °C.",
        parameters: &[
            Parameter::figure("size", LENGTH, "the length as read"),
            Parameter::word("material", Words::Material, "what it is made of"),
            Parameter::within("temperature", TEMPERATURE, -100.0, 400.0, "how warm it was"),
        ],
        gives: Gives::Of(LENGTH),
        holds: "A solid part, warm through; a lined barrel lies between its two materials. The tool is at 20 °C.",
        source: "ISO 1:2016, 20 °C; arithmetic",
        example: Example {
            call: "cold size(54.050 mm, aluminium, 50 °C)",
            gives: "54.012731 mm",
            source: "54.050 / (1 + 23e-6 × 30), arithmetic",
        },
        work: |given| Ok(given.figure(0) / (1.0 + expansion(given, 1)? * (given.figure(2) - 20.0))),
        is_range: false,
    },
    Function {
        name: "heat for fit",
        group: Group::Fits,
        says: "How hot the outer part must be for the other to drop in. Where that is more than it may have, chill the inner part as well.",
        parameters: HEAT,
        gives: Gives::Of(TEMPERATURE),
        holds: "A part that is warm through. Bearings are commonly heated to 110 °C and not over 120 °C, aluminium cases to 90 to 120 °C and not over 150 °C, seals of nitrile rubber not over 100 °C.",
        source: "arithmetic; the limits are common practice, no source",
        example: Example {
            call: "heat for fit(0.012 mm, room = 0.015 mm, diameter = 25 mm, material = steel)",
            gives: "113.913043 °C",
            source: "20 + 0.027 / (11.5e-6 × 25), arithmetic",
        },
        work: |given| Ok(given.figure(4) + warmer(given)?),
        is_range: false,
    },
    Function {
        name: "chill for fit",
        group: Group::Fits,
        says: "How cold the inner part must be to drop in.",
        parameters: HEAT,
        gives: Gives::Of(TEMPERATURE),
        holds: "A part that is cold through. A household freezer has about -18 °C; through-hardened rings are not chilled below about -55 °C.",
        source: "arithmetic; the limits are common practice, no source",
        example: Example {
            call: "chill for fit(0.010 mm, room = 0.015 mm, diameter = 62 mm, material = steel)",
            gives: "-15.063114 °C",
            source: "20 - 0.025 / (11.5e-6 × 62), arithmetic",
        },
        work: |given| {
            let cold = given.figure(4) - warmer(given)?;
            if cold < -196.0 {
                return Err(Refused::new(
                    0,
                    "no cold of a workshop shrinks it so far: heat the outer part as well",
                ));
            }
            Ok(cold)
        },
        is_range: false,
    },
];
