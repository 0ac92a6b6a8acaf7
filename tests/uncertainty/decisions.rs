//! Decisions: JCGM 106:2012.

use super::*;

fn estimate(best: Decimal, u: f64) -> Estimate {
    Estimate::new(best, None, &Budget::of([normal(0, u)])).expect("small figures")
}

/// JCGM 106:2012, table 1 (7.3): the printed z (0.84, 1.28, 1.64, 2.33, 3.09, from memory), further digits calculated.
#[test]
fn one_limit_and_the_probability_of_conformity() {
    for (probability, z) in [
        (0.80, "0.841621"),
        (0.90, "1.281552"),
        (0.95, "1.644854"),
        (0.99, "2.326348"),
        (0.999, "3.090232"),
    ] {
        let limit = Band::at_most(dec("25.000"));
        let measured = estimate(dec("25.000") - dec(z) * dec("0.002"), 0.002);
        near(
            conformity(&measured, &limit).expect("a distribution"),
            probability,
            1e-6,
        );
        near(quantile(probability, FOREVER), z.parse().expect("a figure"), 5e-7);
    }
}

/// JCGM 106:2012, 7.2 to 7.4, 8.2, and 8.3.2 (from memory) with w = U = 2u; the probabilities calculated with scipy, to 1e-6.
#[test]
fn six_figures_are_held_against_their_limits() {
    use Verdict::{In, NotProven, Out};
    for (lo, hi, best, u, probability, plain, guarded) in [
        (None, Some("25.000"), "24.996", 0.002, 0.977_250, In, In),
        (
            Some("24.980"),
            Some("25.000"),
            "24.998",
            0.002,
            0.841_345,
            In,
            NotProven,
        ),
        (
            Some("24.980"),
            Some("25.000"),
            "25.001",
            0.002,
            0.308_538,
            Out,
            NotProven,
        ),
        (Some("0.010"), Some("0.050"), "0.047", 0.004, 0.773_373, In, NotProven),
        (Some("0.010"), Some("0.050"), "0.052", 0.004, 0.308_538, Out, NotProven),
        (Some("9.5"), None, "9.6", 0.05, 0.977_250, In, In),
    ] {
        let limit = limit(lo.map(dec), hi.map(dec));
        let measured = estimate(dec(best), u);
        near(
            conformity(&measured, &limit).expect("a distribution"),
            probability,
            1e-6,
        );
        let by_rule = |rule| decide(&measured, &limit, rule);
        assert_eq!(by_rule(Acceptance::Plain).verdict, plain, "{best} by simple acceptance");
        assert_eq!(
            by_rule(Acceptance::Guarded).verdict,
            guarded,
            "{best} with a guard band"
        );
        // Where the simple rule decides though the guard band would not, that is said.
        assert_eq!(by_rule(Acceptance::Plain).is_close, guarded == NotProven, "{best}");
        // ISO 14253-1:2017 takes 95 % (seen in a text).
        let wanted = if probability >= 0.95 { In } else { NotProven };
        assert_eq!(by_rule(Acceptance::Probable(0.95)).verdict, wanted, "{best} at 95 %");
    }
    // The third row again: "reject needs y > 25.004".
    let limit = Band::between(dec("24.980"), dec("25.000"));
    let guarded = |best| decide(&estimate(dec(best), 0.002), &limit, Acceptance::Guarded).verdict;
    assert_eq!((guarded("25.004"), guarded("25.0041")), (NotProven, Out));
}

/// JCGM 106:2012, 8.3.2 (from memory): w = 2u leaves 2.275 % of risk at the acceptance limit, w = 1.644854 u leaves 5 %.
#[test]
fn at_the_acceptance_limit_a_guard_band_leaves_its_risk() {
    let limit = Band::at_most(dec("50"));
    for (width, wanted) in [("2", 0.977_250), ("1.644854", 0.95)] {
        let measured = estimate(dec("50") - dec(width) * dec("0.1"), 0.1);
        near(conformity(&measured, &limit).expect("a distribution"), wanted, 1e-6);
    }
}

fn limit(lo: Option<Decimal>, hi: Option<Decimal>) -> Band {
    Band {
        lo,
        hi,
        lo_open: false,
        hi_open: false,
    }
}
