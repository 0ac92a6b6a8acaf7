//! An assembled crankshaft: run-out and what makes it. A 3-D rigid model, worked separately. Left out: the uncertainty hint, of which there is no function
//! here, and the journal's radius ρ, which is not in small angles.

use gudgeon::trade::crank::{Fault, RunOut, Setup};

use crate::call::{near, prints, work, worked};

/// TIR, mm, and body angle of the high spot, degrees.
type Reading = (f64, f64);

struct Case {
    name: &'static str,
    setup: Setup,
    fault: Fault,
    /// Of the rigid model, left and right.
    exact: [Reading; 2],
    /// By the linear formulas.
    formula: [Reading; 2],
}

const fn held(throw: f64, supports: (f64, f64), dials: (f64, f64)) -> Setup {
    Setup { throw, supports, dials }
}

const fn off(twist: f64, spread: f64, kink: f64, unequal: f64) -> Fault {
    Fault {
        twist,
        spread,
        kink,
        unequal,
    }
}

const CASES: [Case; 6] = [
    Case {
        name: "C1 twist",
        setup: held(27.0, (75.0, 75.0), (35.0, 35.0)),
        fault: off(0.001, 0.0, 0.0, 0.0),
        exact: [(0.014400, -90.0), (0.014400, 90.0)],
        formula: [(0.014400, -90.0), (0.014400, 90.0)],
    },
    Case {
        name: "C2 spread",
        setup: held(27.0, (75.0, 75.0), (35.0, 35.0)),
        fault: off(0.0, 0.001, 0.0, 0.0),
        exact: [(0.040000, 180.0), (0.040000, 180.0)],
        formula: [(0.040000, 180.0), (0.040000, 180.0)],
    },
    Case {
        name: "C3 twist + pinch",
        setup: held(27.0, (75.0, 75.0), (35.0, 35.0)),
        fault: off(0.001, -0.0008, 0.0, 0.0),
        exact: [(0.035085, -24.207), (0.035098, 24.255)],
        formula: [(0.035091, -24.228), (0.035091, 24.228)],
    },
    Case {
        name: "C4 outboard, unequal",
        setup: held(27.0, (35.0, 38.0), (85.0, 70.0)),
        fault: off(-0.0012, 0.0006, 0.0, 0.0),
        exact: [(0.054279, -54.870), (0.033836, 57.036)],
        formula: [(0.054271, -54.866), (0.033850, 57.051)],
    },
    Case {
        name: "C5 pinch, outboard",
        setup: held(27.0, (35.0, 35.0), (85.0, 85.0)),
        fault: off(0.0, -0.0006, 0.0, 0.0),
        exact: [(0.030000, 180.0), (0.030000, 180.0)],
        formula: [(0.030000, 180.0), (0.030000, 180.0)],
    },
    Case {
        name: "C6 all four",
        setup: held(21.5, (70.0, 60.0), (30.0, 28.0)),
        fault: off(0.0009, 0.0005, -0.0003, 0.010),
        exact: [(0.024634, -178.081), (0.023362, 121.782)],
        formula: [(0.024629, -178.067), (0.023368, 121.781)],
    },
];

/// Half of the print's last digit, of mm and of degrees.
const PRINT: (f64, f64) = (5.001e-7, 5.001e-4);
/// What the linear formulas may be off by: 0.05 µm and 0.1°.
const LINEAR: (f64, f64) = (5e-5, 0.1);

#[track_caller]
fn reads(got: RunOut, (swing, high): Reading, (mm, degrees): (f64, f64), name: &str) {
    near(got.swing, swing, mm, name);
    let round = (got.high - high + 180.0).rem_euclid(360.0) - 180.0;
    near(round, 0.0, degrees, name);
}

#[test]
fn faults_make_the_run_out_of_the_table() {
    for case in CASES {
        let (left, right) = case.setup.run_out(case.fault);
        for (got, formula, exact) in [
            (left, case.formula[0], case.exact[0]),
            (right, case.formula[1], case.exact[1]),
        ] {
            reads(got, formula, PRINT, case.name);
            reads(got, exact, LINEAR, case.name);
        }
    }
}

/// One of the four functions, in rad or mm.
fn told(name: &str, setup: Setup, left: Reading, right: Reading) -> f64 {
    let got = work!(
        name,
        "left" = left.0,
        "left high" = left.1,
        "right" = right.0,
        "right high" = right.1,
        "throw" = setup.throw,
        "left support" = setup.supports.0,
        "right support" = setup.supports.1,
        "left dial" = setup.dials.0,
        "right dial" = setup.dials.1,
    );
    if name == "unequal throw" { got } else { got.to_radians() }
}

const TWIST: &str = "web twist";
const SPREAD: &str = "web spread";
const KINK: &str = "crank kink";
const UNEQUAL: &str = "unequal throw";

/// Exact readings through the inverse formulas. The readings are printed to 1e-6 mm and 0.001°, which moves the angles by some 1e-7 rad and the throw by
/// 1e-6 mm.
#[test]
fn exact_readings_give_the_faults_back() {
    for (place, name, expected, within) in [
        (2, TWIST, 0.001_000_1, 1e-7),
        (2, SPREAD, -0.000_800_0, 1e-7),
        (3, TWIST, -0.001_199_7, 1e-7),
        (3, SPREAD, 0.000_600_0, 1e-7),
        (5, TWIST, 0.000_899_5, 1e-7),
        (5, SPREAD, 0.000_500_0, 1e-7),
        (5, KINK, -0.000_300_0, 1e-7),
        (5, UNEQUAL, 0.010_007_4, 1e-6),
    ] {
        let case = &CASES[place];
        let got = told(name, case.setup, case.exact[0], case.exact[1]);
        near(got, expected, within, (case.name, name));
    }
}

/// Readings rounded to 1 µm and 1°, as a bench gives them.
#[test]
fn readings_of_a_bench_tell_less() {
    let rounded = |(swing, high): Reading| ((swing * 1000.0).round() / 1000.0, high.round());
    for (place, name, expected) in [
        (0, TWIST, "0.000972"),
        (2, TWIST, "0.000989"),
        (2, SPREAD, "-0.000799"),
        (5, TWIST, "0.000886"),
        (5, SPREAD, "0.000503"),
        (5, KINK, "-0.000294"),
        (5, UNEQUAL, "0.0104"),
    ] {
        let case = &CASES[place];
        let got = told(name, case.setup, rounded(case.exact[0]), rounded(case.exact[1]));
        prints(got, expected, (case.name, name));
    }
    assert_eq!(rounded(CASES[0].exact[0]), (0.014, -90.0));
}

/// The sign table of spread, worked separately: high at 180° with the dials inboard of the supports, at 0° outboard, and pinched the other way round.
#[test]
fn the_sign_of_spread_goes_by_where_the_dials_stand() {
    for (dials, high, sign) in [
        (35.0, 180.0, 1.0),
        (35.0, 0.0, -1.0),
        (85.0, 0.0, 1.0),
        (85.0, 180.0, -1.0),
    ] {
        let setup = held(27.0, (60.0, 60.0), (dials, dials));
        let spread = told(SPREAD, setup, (0.025, high), (0.025, high));
        near(spread, sign * 0.025 / 25.0, 1e-12, (dials, high));
        near(
            told(TWIST, setup, (0.025, high), (0.025, high)),
            0.0,
            1e-12,
            (dials, high),
        );
    }
}

/// A − B = 0 gives no information: refused at that dial.
#[test]
fn a_dial_over_its_support_is_refused() {
    for name in [TWIST, SPREAD, KINK, UNEQUAL] {
        for (left, right, place) in [(75.0, 35.0, 7), (35.0, 75.0, 8)] {
            let refused = worked!(
                name,
                "left" = 0.0144,
                "left high" = -90.0,
                "right" = 0.0144,
                "right high" = 90.0,
                "throw" = 27.0,
                "left support" = 75.0,
                "right support" = 75.0,
                "left dial" = left,
                "right dial" = right,
            );
            assert_eq!(refused.map_err(|refused| refused.parameter), Err(place), "{name}");
        }
    }
}
