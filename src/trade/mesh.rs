//! Gears, guides and shims: what a shim moves, and what a rock at the valve says of its guide.

use super::function::{Example, Function, Gives, Group, Parameter, Refused, shown};
use crate::quantity::Dimension;

const LENGTH: Dimension = Dimension::LENGTH;
const ANGLE: Dimension = Dimension::ANGLE;

const PRESSURE_ANGLE: Parameter = Parameter::within("pressure angle", ANGLE, 10.0, 35.0, "of the teeth").or(20.0);

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "backlash change",
        group: Group::Mesh,
        says: "How much the backlash changes when two gears are set further apart, or a crownwheel further from its pinion.",
        parameters: &[
            Parameter::figure("move", LENGTH, "how much further apart"),
            PRESSURE_ANGLE,
        ],
        gives: Gives::Of(LENGTH),
        holds: "Small moves, straight teeth, measured along the pitch circle. Spiral teeth of an axle follow it roughly: 0.6 to 0.75 of the move instead of 0.73.",
        source: "gear geometry, first order: 2 × move × tan(pressure angle)",
        example: Example {
            call: "backlash change(0.050 mm)",
            gives: "0.036397 mm",
            source: "2 × 0.050 × tan 20°, worked separately",
        },
        work: |given| Ok(2.0 * given.figure(0) * given.figure(1).to_radians().tan()),
        is_range: false,
    },
    Function {
        name: "move for backlash",
        group: Group::Mesh,
        says: "How much further apart two gears must be set for so much more backlash; below nothing, nearer.",
        parameters: &[
            Parameter::figure("change", LENGTH, "how much more backlash is wanted"),
            PRESSURE_ANGLE,
        ],
        gives: Gives::Of(LENGTH),
        holds: "As for the change of backlash. Of an axle measure again, and move the rest.",
        source: "gear geometry, first order",
        example: Example {
            call: "move for backlash(0.08 mm)",
            gives: "0.109899 mm",
            source: "0.08 / (2 tan 20°), worked separately",
        },
        work: |given| Ok(given.figure(0) / (2.0 * given.figure(1).to_radians().tan())),
        is_range: false,
    },
    Function {
        name: "pinion shim",
        group: Group::Mesh,
        says: "The shim that sets a pinion to its depth: the old one and what the depth lacks. A mark etched on the pinion counts with its sign as it is given here: above nothing it asks for a thicker shim.",
        parameters: &[
            Parameter::within(
                "old",
                LENGTH,
                0.0,
                f64::INFINITY,
                "the shim that was in when the depth was read",
            ),
            Parameter::positive("depth", LENGTH, "mounting distance as read"),
            Parameter::positive("nominal", LENGTH, "mounting distance as it should be"),
            Parameter::figure("mark", LENGTH, "what is etched on the pinion, + for a thicker shim").or(0.0),
        ],
        gives: Gives::Of(LENGTH),
        holds: "A shim that lies under the pinion's head, so that a thicker one brings it nearer to the axle: the depth falls as the shim grows. Makers count the mark either way: look which.",
        source: "arithmetic: old + (depth - nominal) + mark",
        example: Example {
            call: "pinion shim(old = 1.20 mm, depth = 62.53 mm, nominal = 62.50 mm, mark = -0.03 mm)",
            gives: "1.20 mm",
            source: "1.20 + 0.03 - 0.03, arithmetic",
        },
        work: |given| {
            let lacks = given.figure(1) - given.figure(2);
            if lacks.abs() > 2.0 {
                let why = format!(
                    "a depth {} mm from its nominal is no matter of shims: is one of the two misread?",
                    shown(lacks)
                );
                return Err(Refused::new(1, why));
            }
            let shim = given.figure(0) + lacks + given.figure(3);
            if shim < 0.0 {
                return Err(Refused::new(
                    1,
                    "the shim would be thinner than nothing: is the sign of the mark the right way round?",
                ));
            }
            Ok(shim)
        },
        is_range: false,
    },
    Function {
        name: "guide clearance from rock",
        group: Group::Mesh,
        says: "Clearance of a valve in its guide from how far the valve rocks, side to side, under a dial.",
        parameters: &[
            Parameter::within(
                "rock",
                LENGTH,
                0.0,
                f64::INFINITY,
                "swing of the dial from side to side",
            ),
            Parameter::positive("guide length", LENGTH, "how long the guide is"),
            Parameter::within(
                "dial distance",
                LENGTH,
                0.0,
                f64::INFINITY,
                "from the end of the guide to the dial",
            ),
        ],
        gives: Gives::Of(LENGTH),
        holds: "A guide that is not bell-mouthed; bore less stem is better.",
        source: "geometry: rock × length / (2 × distance + length)",
        example: Example {
            call: "guide clearance from rock(0.14 mm, guide length = 38 mm, dial distance = 40 mm)",
            gives: "0.045085 mm",
            source: "0.14 × 38 / 118, arithmetic",
        },
        work: |given| {
            let length = given.figure(1);
            Ok(given.figure(0) * length / (2.0 * given.figure(2) + length))
        },
        is_range: false,
    },
];
