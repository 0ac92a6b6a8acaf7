//! A built-up crankshaft off its true: run-out at two journals taken apart into twist, spread or pinch, unequal throw and a kink across the throw.
//!
//! Rigid bodies and small angles. z runs along the shaft from the left end to the right, x from the main axis to the crankpin, y completes a
//! right-handed set; angles of high points are angles of the body, from the pin (0°), positive from +x to +y, seen the same way at both ends. The crank
//! turns about the line through its two supports. Journal out-of-round, taper, slack in its own bearings and bending by its weight are not in it, and
//! a bent stub shaft cannot be told from a tilt of its half with one dial at each end.

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused, shown};
use crate::quantity::Dimension;

/// What a dial says over one turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunOut {
    /// Total swing of the needle, mm.
    pub swing: f64,
    /// Angle of the body under the dial where it reads highest, degrees from the pin.
    pub high: f64,
}

/// How a crank is held and where the dials stand: all distances along the shaft from the middle of the pin, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setup {
    /// From the main axis to the pin: half the stroke.
    pub throw: f64,
    /// To the left and to the right support.
    pub supports: (f64, f64),
    /// To the left and to the right dial.
    pub dials: (f64, f64),
}

/// How the right half stands against the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault {
    /// Turned about the pin, rad: the right main axis then stands off by throw times this, towards +y.
    pub twist: f64,
    /// Above nothing the webs are further apart opposite the pin; below nothing they are pinched there. rad.
    pub spread: f64,
    /// The same kink across the throw, towards +y. rad.
    pub kink: f64,
    /// How far the right main axis stands nearer to the pin than the left: how much shorter its throw is, mm.
    pub unequal: f64,
}

impl RunOut {
    /// Eccentricity of the journal along x and y, mm.
    fn eccentricity(self) -> (f64, f64) {
        let (sin, cos) = self.high.to_radians().sin_cos();
        (self.swing / 2.0 * cos, self.swing / 2.0 * sin)
    }

    fn of(x: f64, y: f64) -> RunOut {
        RunOut {
            swing: 2.0 * x.hypot(y),
            high: y.atan2(x).to_degrees(),
        }
    }
}

/// Why run-out cannot be taken apart with a set-up: which distance is to be looked at, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blind {
    /// The left dial stands over its support.
    Left,
    /// The right dial stands over its support.
    Right,
}

impl Setup {
    /// Takes the run-out at the left and the right dial apart.
    pub fn split(&self, left: RunOut, right: RunOut) -> Result<Fault, Blind> {
        let (a1, a2) = self.supports;
        let (by_left, by_right) = (a1 - self.dials.0, a2 - self.dials.1);
        if by_left.abs() < 1e-9 {
            return Err(Blind::Left);
        }
        if by_right.abs() < 1e-9 {
            return Err(Blind::Right);
        }
        let apart = a1 + a2;
        let ((lx, ly), (rx, ry)) = (left.eccentricity(), right.eccentricity());
        let u = (-lx * apart / by_left, -ly * apart / by_left);
        let v = (rx * apart / by_right, ry * apart / by_right);
        let tilt = ((u.0 - v.0) / apart, (u.1 - v.1) / apart);
        let offset = ((a1 * u.0 + a2 * v.0) / apart, (a1 * u.1 + a2 * v.1) / apart);
        Ok(Fault {
            twist: offset.1 / self.throw,
            spread: tilt.0,
            kink: tilt.1,
            unequal: offset.0,
        })
    }

    /// The run-out that a fault makes at the left and the right dial.
    pub fn run_out(&self, fault: Fault) -> (RunOut, RunOut) {
        let (a1, a2) = self.supports;
        let (left, right) = ((a1 - self.dials.0) / (a1 + a2), (a2 - self.dials.1) / (a1 + a2));
        let offset = (fault.unequal, self.throw * fault.twist);
        let at = |share: f64, arm: f64| {
            let x = share * (offset.0 + arm * fault.spread);
            let y = share * (offset.1 + arm * fault.kink);
            RunOut::of(x, y)
        };
        (at(-left, a2), at(right, -a1))
    }
}

const LENGTH: Dimension = Dimension::LENGTH;
const ANGLE: Dimension = Dimension::ANGLE;

const READINGS: &[Parameter] = &[
    Parameter::within(
        "left",
        LENGTH,
        0.0,
        f64::INFINITY,
        "run-out at the left journal, the whole swing of the needle",
    ),
    Parameter::figure("left high", ANGLE, "where it reads highest, from the pin"),
    Parameter::within("right", LENGTH, 0.0, f64::INFINITY, "run-out at the right journal"),
    Parameter::figure(
        "right high",
        ANGLE,
        "where it reads highest, from the pin, counted the same way",
    ),
    Parameter::positive("throw", LENGTH, "from the main axis to the pin: half the stroke"),
    Parameter::positive(
        "left support",
        LENGTH,
        "from the middle of the pin to what holds the left end",
    ),
    Parameter::positive("right support", LENGTH, "the same on the right"),
    Parameter::positive("left dial", LENGTH, "from the middle of the pin to the left dial"),
    Parameter::positive("right dial", LENGTH, "the same on the right"),
];

/// What the four functions of a crank's fault were given, in the order of their parameters.
pub fn given(figures: &[f64]) -> Option<(Setup, RunOut, RunOut)> {
    let [left, left_high, right, right_high, throw, a1, a2, b1, b2] = *figures else {
        return None;
    };
    let setup = Setup {
        throw,
        supports: (a1, a2),
        dials: (b1, b2),
    };
    let run_out = |swing: f64, high: f64| RunOut { swing, high };
    Some((setup, run_out(left, left_high), run_out(right, right_high)))
}

fn fault(given: &Given<'_>) -> Result<Fault, Refused> {
    let (setup, left, right) =
        self::given(given.figures).ok_or_else(|| Refused::new(0, "the readings are not complete"))?;
    // Run-out of a bare crank is hundredths; a tenth of the throw is another figure.
    for (place, run_out) in [(0, left), (2, right)] {
        if run_out.swing > setup.throw / 5.0 {
            let why = format!(
                "a run-out of {} mm on a throw of {} mm is no crank that was pressed together: was the decimal point moved?",
                shown(run_out.swing),
                shown(setup.throw)
            );
            return Err(Refused::new(place, why));
        }
    }
    setup.split(left, right).map_err(|blind| {
        let place = if blind == Blind::Left { 7 } else { 8 };
        Refused::new(
            place,
            "a dial that stands over the support sees nothing of the crank: set it further in or out",
        )
    })
}

const HOLDS: &str = "Rigid halves, small angles, round journals, held on centres or V-blocks without slack. One dial at each end cannot tell a bent stub shaft from a tilt.";
const SOURCE: &str = "geometry of rigid bodies; held against a model in three dimensions in tests/outside";

const fn of_fault(
    name: &'static str,
    says: &'static str,
    gives: Dimension,
    example: Example,
    work: fn(&Given<'_>) -> Result<f64, Refused>,
) -> Function {
    Function {
        name,
        group: Group::Crankshaft,
        says,
        parameters: READINGS,
        gives: Gives::Of(gives),
        holds: HOLDS,
        source: SOURCE,
        example,
        work,
        is_range: false,
    }
}

/// The name of the function that tells twist, by which the truing advice knows it.
pub const TWIST: &str = "web twist";

const RING: &[Parameter] = &[
    Parameter::positive("at pin", LENGTH, "width over the webs at 0°, at the pin"),
    Parameter::positive("opposite", LENGTH, "width over the webs at 180°, opposite the pin"),
    Parameter::positive(
        "diameter",
        LENGTH,
        "how far apart the two were measured, across the webs",
    ),
];

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    of_fault(
        TWIST,
        "How far the right web is turned about the pin against the left; above nothing towards +90°.",
        ANGLE,
        Example {
            call: "web twist(0.0144 mm, -90°, 0.0144 mm, 90°, throw = 27 mm, left support = 75 mm, right support = 75 mm, left dial = 35 mm, right dial = 35 mm)",
            gives: "0.0572958 deg",
            source: "0.001 rad of twist, a model of rigid bodies in three dimensions",
        },
        |given| Ok(fault(given)?.twist.to_degrees()),
    ),
    of_fault(
        "web spread",
        "How far the webs gape opposite the pin; below nothing they are pinched there, and gape at the pin.",
        ANGLE,
        Example {
            call: "web spread(0.040 mm, 180°, 0.040 mm, 180°, throw = 27 mm, left support = 75 mm, right support = 75 mm, left dial = 35 mm, right dial = 35 mm)",
            gives: "0.0572958 deg",
            source: "0.001 rad of spread, a model of rigid bodies in three dimensions",
        },
        |given| Ok(fault(given)?.spread.to_degrees()),
    ),
    of_fault(
        "unequal throw",
        "How much shorter the right throw is than the left; below nothing it is longer. No truing cures it: the webs are no pair, or a pin sits askew.",
        LENGTH,
        Example {
            call: "unequal throw(0.0246290 mm, -178.067°, 0.0233680 mm, 121.781°, throw = 21.5 mm, left support = 70 mm, right support = 60 mm, left dial = 30 mm, right dial = 28 mm)",
            gives: "0.0100 mm",
            source: "all four faults at once, a model of rigid bodies in three dimensions",
        },
        |given| Ok(fault(given)?.unequal),
    ),
    of_fault(
        "crank kink",
        "How far the two main axes are kinked across the throw; above nothing towards +90°. No truing cures it: a bent shaft, or a pin that sits askew.",
        ANGLE,
        Example {
            call: "crank kink(0.0246290 mm, -178.067°, 0.0233680 mm, 121.781°, throw = 21.5 mm, left support = 70 mm, right support = 60 mm, left dial = 30 mm, right dial = 28 mm)",
            gives: "-0.01719 deg",
            source: "all four faults at once, a model of rigid bodies in three dimensions",
        },
        |given| Ok(fault(given)?.kink.to_degrees()),
    ),
    Function {
        name: "arc length",
        group: Group::Crankshaft,
        says: "How far a small angle reaches at a distance: the gape of webs across their width, the offset of a twist at the throw.",
        parameters: &[
            Parameter::figure("angle", ANGLE, "the angle"),
            Parameter::within("radius", LENGTH, 0.0, f64::INFINITY, "how far out"),
        ],
        gives: Gives::Of(LENGTH),
        holds: "Small angles; along the arc.",
        source: "geometry",
        example: Example {
            call: "arc length(0.0572958°, 27 mm)",
            gives: "0.0270 mm",
            source: "0.001 rad × 27 mm, arithmetic",
        },
        work: |given| Ok(given.figure(0).to_radians() * given.figure(1)),
        is_range: false,
    },
    Function {
        name: "spread from widths",
        group: Group::Crankshaft,
        says: "How far the webs gape opposite the pin, by the widths over them; below nothing they are pinched there.",
        parameters: RING,
        gives: Gives::Of(ANGLE),
        holds: "Webs whose outsides are square to their shafts; a ring of widths says nothing of twist.",
        source: "geometry",
        example: Example {
            call: "spread from widths(at pin = 54.08 mm, opposite = 53.99 mm, diameter = 100 mm)",
            gives: "-0.0515662 deg",
            source: "atan(-0.09 / 100), arithmetic",
        },
        work: |given| {
            let open = given.figure(1) - given.figure(0);
            if open.abs() > given.figure(2) / 10.0 {
                let why = format!(
                    "widths that differ by {} mm belong to no crank: was one misread?",
                    shown(open.abs())
                );
                return Err(Refused::new(0, why));
            }
            Ok((open / given.figure(2)).atan().to_degrees())
        },
        is_range: false,
    },
];
