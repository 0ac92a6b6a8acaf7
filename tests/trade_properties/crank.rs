//! Run-out of a crank, taken apart and put together, and seen in a mirror.

use gudgeon::trade::crank::{Fault, RunOut, Setup};
use proptest::prelude::*;

use crate::call::work;

fn setups() -> impl Strategy<Value = Setup> {
    // A dial at least a millimetre off its support: over it, nothing can be told.
    let end =
        (30.0..120.0, prop_oneof![1.0..25.0, -60.0..-1.0]).prop_map(|(support, inboard)| (support, support - inboard));
    (10.0..60.0, end.clone(), end).prop_map(|(throw, left, right)| Setup {
        throw,
        supports: (left.0, right.0),
        dials: (left.1, right.1),
    })
}

fn faults() -> impl Strategy<Value = Fault> {
    let angle = -0.001..0.001;
    (angle.clone(), angle.clone(), angle, -0.02..0.02).prop_map(|(twist, spread, kink, unequal)| Fault {
        twist,
        spread,
        kink,
        unequal,
    })
}

/// Twist, spread, kink, unequal throw, as the functions tell them.
fn told(setup: Setup, left: RunOut, right: RunOut) -> [f64; 4] {
    ["web twist", "web spread", "crank kink", "unequal throw"].map(|name| {
        work!(
            name,
            "left" = left.swing,
            "left high" = left.high,
            "right" = right.swing,
            "right high" = right.high,
            "throw" = setup.throw,
            "left support" = setup.supports.0,
            "right support" = setup.supports.1,
            "left dial" = setup.dials.0,
            "right dial" = setup.dials.1,
        )
    })
}

/// Each as it was, but for its sign.
fn same(got: [f64; 4], was: [f64; 4], signs: [f64; 4]) -> bool {
    (0..4).all(|place| (got[place] - signs[place] * was[place]).abs() < 1e-11)
}

fn turned(run_out: RunOut, by: f64) -> RunOut {
    RunOut {
        high: run_out.high + by,
        ..run_out
    }
}

fn over_the_throw(run_out: RunOut) -> RunOut {
    RunOut {
        high: -run_out.high,
        ..run_out
    }
}

fn ends_swapped(setup: Setup) -> Setup {
    Setup {
        throw: setup.throw,
        supports: (setup.supports.1, setup.supports.0),
        dials: (setup.dials.1, setup.dials.0),
    }
}

const ALIKE: [f64; 4] = [1.0, 1.0, 1.0, 1.0];
const TURNED: [f64; 4] = [-1.0, -1.0, -1.0, -1.0];
/// Seen over the plane of the throw, what lies across it changes sides.
const OVER_THROW: [f64; 4] = [-1.0, 1.0, -1.0, 1.0];
/// Seen from the other end, what stands off stands off the other way, and what gapes gapes as before.
const SWAPPED: [f64; 4] = [-1.0, 1.0, 1.0, -1.0];
/// Both, as when the crank is turned end for end about the line of its throw.
const BOTH: [f64; 4] = [1.0, 1.0, -1.0, -1.0];

proptest! {
    #[test]
    fn the_split_of_a_faults_run_out_is_the_fault(setup in setups(), fault in faults()) {
        let (left, right) = setup.run_out(fault);
        let split = setup.split(left, right).map_err(|blind| TestCaseError::fail(format!("{blind:?}")))?;
        for (got, was) in [
            (split.twist, fault.twist),
            (split.spread, fault.spread),
            (split.kink, fault.kink),
            (split.unequal, fault.unequal),
        ] {
            prop_assert!((got - was).abs() < 1e-12, "{:?}", split);
        }
        let [twist, spread, kink, unequal] = told(setup, left, right);
        let degrees = [twist.to_radians(), spread.to_radians(), kink.to_radians(), unequal];
        prop_assert!(same(degrees, [fault.twist, fault.spread, fault.kink, fault.unequal], ALIKE), "{:?}", degrees);
    }

    #[test]
    fn a_crank_in_a_mirror(setup in setups(), fault in faults()) {
        let (left, right) = setup.run_out(fault);
        let was = told(setup, left, right);
        let other = ends_swapped(setup);
        prop_assert!(same(told(setup, over_the_throw(left), over_the_throw(right)), was, OVER_THROW));
        prop_assert!(same(told(other, right, left), was, SWAPPED));
        prop_assert!(same(told(other, over_the_throw(right), over_the_throw(left)), was, BOTH));
        prop_assert!(same(told(setup, turned(left, 180.0), turned(right, 180.0)), was, TURNED));
        prop_assert!(same(told(setup, turned(left, 360.0), turned(right, -360.0)), was, ALIKE));
    }

    /// Twice the run-out is twice the fault.
    #[test]
    fn faults_go_with_the_run_out(setup in setups(), fault in faults()) {
        let (left, right) = setup.run_out(fault);
        let half = |run_out: RunOut| RunOut { swing: run_out.swing / 2.0, ..run_out };
        prop_assert!(same(told(setup, half(left), half(right)), told(setup, left, right), [0.5; 4]));
    }
}
