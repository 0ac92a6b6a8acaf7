//! Wear: how fast, and how long it may go on.

use super::function::{Example, Function, Gives, Group, Parameter};
use crate::quantity::Dimension;

const THEN: Parameter = Parameter::like("then", "the first figure");
const NOW: Parameter = Parameter::like("now", "the second figure");
const HOURS: Parameter = Parameter::positive("time", Dimension::TIME, "the running time between the two");

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "wear rate",
        group: Group::Wear,
        says: "How much a figure changes in a time.",
        parameters: &[THEN, NOW, HOURS],
        gives: Gives::LikeByTime,
        holds: "Two figures of one thing at one place, read the same way.",
        source: "arithmetic",
        example: Example {
            call: "wear rate(0.048 mm, 0.062 mm, 40 h)",
            gives: "0.35 µm/h",
            source: "0.014 / 40, arithmetic",
        },
        work: |given| Ok((given.figure(1) - given.figure(0)) / given.figure(2)),
        is_range: false,
    },
    Function {
        name: "hours left",
        group: Group::Wear,
        says: "How long a figure takes to its limit at the rate it went so far: a range, since a small difference of two figures is never well known. Where they may not differ at all it has no upper end.",
        parameters: &[THEN, NOW, Parameter::like("limit", "where it must not go past"), HOURS],
        gives: Gives::Of(Dimension::TIME),
        holds: "Wear that goes on as it did. It does not: fast while running in, and fast again at the end. A figure that is past its limit has nothing left.",
        source: "common practice: (limit - now) / rate; the range is over all that the figures may be",
        example: Example {
            call: "hours left(0.048 mm, 0.062 mm, limit = 0.100 mm, time = 40 h)",
            gives: "108.571429 h",
            source: "0.038 / 0.00035, arithmetic",
        },
        work: |given| {
            let (then, now, limit) = (given.figure(0), given.figure(1), given.figure(2));
            let towards = (limit - then).signum();
            let left = (limit - now) * towards;
            let worn = (now - then) * towards;
            Ok(time_left(left, worn, given.figure(3)))
        },
        is_range: true,
    },
];

/// How long a thing may go on that is so far from its limit, and wore so much towards it in a time: nothing where it is there already, without end where it
/// does not wear. All of one unit; the time in its own.
pub fn time_left(left: f64, worn: f64, time: f64) -> f64 {
    if left <= 0.0 {
        0.0
    } else if worn <= 0.0 {
        f64::INFINITY
    } else {
        left / worn * time
    }
}
