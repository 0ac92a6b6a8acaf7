//! Uncertainty against values from outside: the GUM (JCGM 100:2008), JCGM 106:2012 and NIST's reference data, each with its source beside
//! it; and what must hold for any budget.
//!
//! "calculated" beside a value: worked out separately in Python (scipy, GTC, numpy) from the formula of the source, not by this program.
//! "published, from memory" says that the print was not at hand.

mod support;

use gudgeon::quantity::{Band, Verdict, number};
use gudgeon::uncertainty::decision::conformity;
use gudgeon::uncertainty::distribution::{below, coverage_factor, quantile};
use gudgeon::uncertainty::line::Line;
use gudgeon::uncertainty::repeats::Repeats;
use gudgeon::uncertainty::sampling::{DRAWS, Drawn, draw_columns};
use gudgeon::uncertainty::{
    Acceptance, Budget, Cause, Combined, Decision, Estimate, Origin, Scope, Shape, Share, Source, decide,
};
use proptest::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

const FOREVER: f64 = f64::INFINITY;

fn dec(text: &str) -> Decimal {
    number::parse(text).expect("a figure")
}

/// The error of one reading; the number is its own.
fn own(number: u32) -> Origin {
    Origin {
        scope: Scope::Reading(number),
        cause: Cause::Stated,
    }
}

fn normal(number: u32, u: f64) -> Source {
    Source::normal(own(number), u, FOREVER)
}

fn near(got: f64, wanted: f64, allowed: f64) {
    assert!((got - wanted).abs() <= allowed, "{got} is not {wanted} ± {allowed}");
}

// --- Sources, budgets: JCGM 100:2008 ---------------------------------------------------------------------------------------------

/// JCGM 100:2008, 4.3.7 and 4.3.9 (clauses from memory), the values calculated; the arcsine from its definition.
#[test]
fn half_widths_become_standard_uncertainties() {
    for (shape, wanted) in [
        (Shape::Rectangular, 0.002_886_751),
        (Shape::Triangular, 0.002_041_241),
        (Shape::Trapezoidal(0.5), 0.002_282_177),
        (Shape::Arcsine, 0.003_535_534),
    ] {
        let source = Source::within(own(0), shape, 0.005);
        near(source.u, wanted, 5e-10);
        near(source.half_width(), 0.005, 1e-15);
    }
    // F.2.2.1 (from memory): a step of 0.01 mm may be off by half of it, 0.2887 of the step.
    near(
        Source::within(own(0), Shape::Rectangular, 0.01 / 2.0).u,
        0.002_886_751,
        5e-10,
    );
    // A trapezium without a top is a triangle, and one that is all top a rectangle.
    near(
        Shape::Trapezoidal(0.0).standard(1.0),
        Shape::Triangular.standard(1.0),
        1e-15,
    );
    near(
        Shape::Trapezoidal(1.0).standard(1.0),
        Shape::Rectangular.standard(1.0),
        1e-15,
    );
}

/// JCGM 100:2008, table G.2 (printed to two decimals, from memory); the further digits calculated with scipy 1.17 and mpmath 1.4.
#[test]
fn coverage_factors_are_those_of_table_g_2() {
    // 95.45 %: printed 2.65, 2.28, 2.13, 2.05.
    for (dof, wanted) in [
        (1.0, 13.967_730_199_244_547),
        (2.0, 4.526_536_687_430_166),
        (3.0, 3.306_822_175_005_652),
        (5.0, 2.648_649_430_702_703),
        (10.0, 2.283_678_202_477_930_5),
        (16.0, 2.168_939_991_186_383_5),
        (20.0, 2.133_025_480_454_187_3),
        (50.0, 2.051_248_172_881_657_5),
        (100.0, 2.025_309_127_903_459_3),
        (999.0, 2.002_505_574_006_524_9),
    ] {
        near(coverage_factor(dof), wanted, wanted * 1e-9);
    }
    // 95 %: printed 12.71, 4.30, 3.18, 2.57, 2.23, 2.09, 2.01.
    for (dof, wanted) in [
        (1.0, 12.7062),
        (2.0, 4.3027),
        (3.0, 3.1824),
        (5.0, 2.5706),
        (10.0, 2.2281),
        (20.0, 2.0860),
        (50.0, 2.0086),
    ] {
        near(quantile(0.975, dof), wanted, 5e-5);
        near(below(quantile(0.975, dof), dof), 0.975, 1e-9);
    }
    // G.4.1, note 1 (from memory): cut down to a whole number, and 2 where they are many.
    assert_eq!(coverage_factor(5.9), coverage_factor(5.0));
    assert_eq!(coverage_factor(FOREVER), 2.0);
    assert_eq!(coverage_factor(0.3), coverage_factor(1.0));
}

/// JCGM 100:2008, 6.2.1: U = k·u, k = 2. The worked values are calculated, with GTC 1.5.1, to 1e-9.
#[test]
fn a_clearance_from_two_readings() {
    let clearance = Budget::of([normal(0, 0.0021)]).add(Budget::of([normal(1, 0.0017)]).scale(-1.0));
    let combined = clearance.combined();
    near(combined.u, 0.002_701_851, 1e-9);
    near(combined.expanded(), 0.005_403_702, 1e-9);
    assert_eq!(combined.dof, FOREVER);
    // JCGM 100:2008, 5.2 and F.1.2 (from memory): what both readings have in common cancels in their difference.
    let common = Budget::of([normal(0, 0.0021)]).add(Budget::of([normal(0, 0.0017)]).scale(-1.0));
    near(common.combined().u, 0.0004, 1e-15);
}

/// Calculated, to 1e-9: a micrometer good to ± 0.004, reading to 0.001, repeating to 0.0012.
#[test]
fn a_budget_of_a_micrometer() {
    let source = |cause| Origin {
        scope: Scope::Reading(0),
        cause,
    };
    let combined = Budget::of([
        Source::within(source(Cause::Permissible), Shape::Rectangular, 0.004),
        Source::within(source(Cause::Resolution), Shape::Rectangular, 0.0005),
        Source::normal(source(Cause::Repeatability), 0.0012, FOREVER),
    ])
    .combined();
    near(combined.u, 0.002_618_524, 1e-9);
    near(combined.expanded(), 0.005_237_048, 1e-9);
}

/// Draws of a model that takes one row of errors at a time.
fn draw(sources: &[Source], draws: usize, model: impl Fn(&[f64]) -> Option<f64>) -> Option<Drawn> {
    draw_columns(sources, draws, |columns| {
        let rows = columns.first().map_or(0, Vec::len);
        let row = |row: usize| columns.iter().map(|column| column[row]).collect::<Vec<f64>>();
        (0..rows).map_while(|at| model(&row(at))).collect()
    })
}

/// The end gauge of JCGM 100:2008, Annex H.1, in nm and °C: inputs as printed in the GUM (read in a metrology institute's own example).
mod end_gauge {
    use super::*;

    /// The standard's length.
    pub const LENGTH: f64 = 50_000_623.0;
    /// Its expansion, 1/°C.
    pub const EXPANSION: f64 = 11.5e-6;
    /// The mean deviation of the bench from 20 °C.
    pub const WARM: f64 = -0.1;

    /// The sources: standard; comparator's mean, random, systematic; expansion; bench temperature, its cycle; differences of expansion
    /// and of temperature.
    pub fn sources(with_dof: bool) -> [Source; 9] {
        let dof = |of: f64| if with_dof { of } else { FOREVER };
        let within = |number, shape, half, freedom| Source {
            dof: dof(freedom),
            ..Source::within(own(number), shape, half)
        };
        [
            Source::normal(own(0), 25.0, dof(18.0)),
            Source::normal(own(1), 5.8, dof(24.0)),
            Source::normal(own(2), 3.9, dof(5.0)),
            Source::normal(own(3), 6.7, dof(8.0)),
            within(4, Shape::Rectangular, 2e-6, FOREVER),
            normal(5, 0.2),
            within(6, Shape::Arcsine, 0.5, FOREVER),
            within(7, Shape::Rectangular, 1e-6, 50.0),
            within(8, Shape::Rectangular, 0.05, 2.0),
        ]
    }

    /// l = l_S + d − l_S·(δα·θ + α_S·δθ), all from the errors of the sources.
    pub fn length(error: &[f64]) -> Option<f64> {
        let [
            standard,
            mean,
            random,
            systematic,
            expansion,
            bench,
            cycle,
            unlike,
            warmer,
        ] = error
        else {
            return None;
        };
        let length = LENGTH + standard;
        let heat = unlike * (WARM + bench + cycle) + (EXPANSION + expansion) * warmer;
        Some(length + 215.0 + mean + random + systematic - length * heat)
    }

    /// The sensitivities to first order, in the order of the sources.
    pub const SENSITIVITIES: [f64; 9] = [1.0, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, -LENGTH * WARM, -LENGTH * EXPANSION];
}

/// JCGM 100:2008, H.1: u_c = 31.664 nm and ν_eff = 16.75 calculated from the printed inputs with GTC 1.5.1 (published, from memory:
/// 32 nm and 16; U99 = 93 nm with k = 2.92).
#[test]
fn the_end_gauge_of_the_gum() {
    let budget = Budget {
        shares: (end_gauge::sources(true).into_iter())
            .zip(end_gauge::SENSITIVITIES)
            .map(|(source, sensitivity)| Share { source, sensitivity })
            .collect(),
    };
    let combined = budget.combined();
    near(combined.u, 31.664, 0.01);
    assert_eq!(combined.u.round(), 32.0);
    near(combined.dof, 16.75, 0.01);
    near(quantile(0.995, combined.dof.floor()), 2.9208, 5e-5);
    near(quantile(0.995, combined.dof.floor()) * combined.u, 92.48, 0.01);
    // 95.45 % with 16 degrees of freedom, calculated with scipy.
    near(combined.k(), 2.168_939_991, 1e-8);
    near(combined.expanded(), 2.168_939_991 * combined.u, 1e-6);
    // The parts, printed in table H.1 to two digits (from memory): 25, 16.6, 6.7, 5.8, 3.9, 2.9 nm; the further digits calculated.
    let effects: Vec<f64> = budget.merged().iter().map(|share| share.effect().abs()).collect();
    for (got, wanted) in effects.iter().zip([25.0, 16.599, 6.7, 5.8, 3.9, 2.887, 0.0]) {
        near(*got, wanted, 6e-4);
    }
    // A first-order sensitivity is what the model does with a small error.
    for (place, wanted) in end_gauge::SENSITIVITIES.into_iter().enumerate() {
        let at = |step: f64| {
            let mut errors = [0.0; 9];
            if let Some(error) = errors.get_mut(place) {
                *error = step;
            }
            end_gauge::length(&errors).expect("nine errors")
        };
        near((at(1e-3) - at(-1e-3)) / 2e-3, wanted, 1e-3);
    }
}

/// JCGM 100:2008, H.1.7: with the terms of second order, 33.807 nm calculated (published, from memory: 34 nm). Drawn, for the bent model has
/// no first-order share of the expansion at all. With 200,000 draws a standard deviation is good to about 0.2 %.
#[test]
fn the_end_gauge_drawn_through_its_bent_model() {
    let drawn = draw(&end_gauge::sources(false), 200_000, end_gauge::length).expect("drawn");
    near(drawn.mean(), 50_000_838.0, 0.3);
    near(drawn.standard_deviation(), 33.807, 0.25);
    assert_eq!(drawn.standard_deviation().round(), 34.0);
}

// --- Decisions: JCGM 106:2012 ------------------------------------------------------------------------------------------------------

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

// --- Gauges ------------------------------------------------------------------------------------------------------------------------

/// Geometry, exact: a round section whose centre lies `e` off the axis shows `max − min = 2e` in one turn: e 0.0125 gives 0.025. The
/// definition of total indicator reading, the difference of the extremes in one turn (seen in a text): +0.03 and −0.01 give 0.04.
#[test]
fn total_indicator_reading_is_twice_the_eccentricity() {
    let manual = "manual shaft\nsource invented\nfeature run-out\n  unit mm\ncalc total run-out = spread(run-out)\n  unit mm\n\
                  calc eccentricity = spread(run-out) / 2\n  unit mm\n";
    let said = |ring: &str, claim: &str| {
        let log = format!("job shaft\nmanual shaft\n2026-03-14 build\nrun-out = {ring} at 0 90 180 270 mm\n{claim}\n");
        let judged = support::judge("shaft", manual, &log);
        let codes: Vec<&str> = judged.findings.iter().map(|f| f.code).collect();
        codes.contains(&"calc.disagrees")
    };
    let centred = "0.0125 0.0000 -0.0125 0.0000";
    assert!(!said(centred, "total run-out = 0.0250 mm"));
    assert!(!said(centred, "eccentricity = 0.0125 mm"));
    assert!(
        said(centred, "eccentricity = 0.0250 mm"),
        "the total taken for the eccentricity"
    );
    assert!(!said("0.03 0.01 -0.01 0.01", "total run-out = 0.04 mm"));
    assert!(said("0.03 0.01 -0.01 0.01", "total run-out = 0.02 mm"));
}

// --- NIST StRD: see tests/data/strd/README.md ----------------------------------------------------------------------------------------

/// How many significant digits agree (NIST calls it the log relative error), at most 15.
fn digits(got: f64, certified: f64) -> f64 {
    let off = ((got - certified) / certified).abs();
    if off == 0.0 { 15.0 } else { (-off.log10()).min(15.0) }
}

macro_rules! strd {
    ($name:literal) => {
        include_str!(concat!("data/strd/", $name, ".txt"))
    };
}

/// NIST StRD, univariate summary statistics: certified mean and standard deviation (n − 1), from the test `nist_test.go` of
/// `montanaflynn/stats`, which names them; those of NumAcc are exact by construction.
#[test]
fn repeats_agree_with_nist() {
    for (name, text, count, mean, deviation) in [
        ("Lew", strd!("Lew"), 200, "-177.435000000000", 277.332168044316),
        ("Lottery", strd!("Lottery"), 218, "518.958715596330", 291.699727470969),
        ("Mavro", strd!("Mavro"), 50, "2.00185600000000", 0.000429123454003053),
        (
            "Michelso",
            strd!("Michelso"),
            100,
            "299.852400000000",
            0.0790105478190518,
        ),
        (
            "PiDigits",
            strd!("PiDigits"),
            5000,
            "4.53480000000000",
            2.86733906028871,
        ),
        ("NumAcc1", strd!("NumAcc1"), 3, "10000002", 1.0),
        ("NumAcc2", strd!("NumAcc2"), 1001, "1.2", 0.1),
        ("NumAcc3", strd!("NumAcc3"), 1001, "1000000.2", 0.1),
        ("NumAcc4", strd!("NumAcc4"), 1001, "10000000.2", 0.1),
    ] {
        let figures: Vec<Decimal> = text.lines().map(dec).collect();
        let repeats = Repeats::of(figures.iter().copied()).expect("figures");
        assert_eq!(repeats.count, count, "{name}");
        let mean = dec(mean);
        assert_eq!(repeats.mean.round_dp(mean.scale()), mean, "{name}, mean");
        let agree = digits(repeats.deviation, deviation);
        assert!(
            agree >= 13.5,
            "{name}, standard deviation: {agree:.1} digits of {deviation}"
        );
        near(repeats.of_mean(), deviation / (count as f64).sqrt(), deviation * 1e-12);
        assert_eq!(repeats.dof(), (count - 1) as f64);
    }
}

/// NIST StRD, linear regression, Norris: the table of certified values as the model `ls01` of the GAMS test library carries it. Thirteen
/// digits and more are reached, but 12.7 of the level, which is a small difference of large figures (0.26 out of 430).
#[test]
fn a_line_agrees_with_nist() {
    let points: Vec<(f64, f64)> = strd!("Norris")
        .lines()
        .filter_map(|line| {
            let (y, x) = line.split_once(' ')?;
            Some((x.parse().ok()?, y.parse().ok()?))
        })
        .collect();
    assert_eq!(points.len(), 36);
    let line = Line::through(&points).expect("a line");
    assert_eq!(line.dof, 34.0);
    for (what, got, certified) in [
        ("level", line.level, -0.262323073774029),
        ("slope", line.slope, 1.00211681802045),
        ("u of the level", line.u_level, 0.232818234301152),
        ("u of the slope", line.u_slope, 0.429796848199937e-03),
        ("residual", line.residual, 0.884796396144373),
    ] {
        let agree = digits(got, certified);
        assert!(agree >= 12.5, "{what}: {agree:.1} digits of {certified}, {got}");
    }
}

#[test]
fn no_line_through_what_is_none() {
    assert_eq!(
        Line::through(&[(0.0, 1.0), (1.0, 2.0)]),
        None,
        "two points leave nothing over"
    );
    assert_eq!(
        Line::through(&[(3.0, 1.0), (3.0, 2.0), (3.0, 3.0)]),
        None,
        "all at one place"
    );
    let straight = Line::through(&[(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)]).expect("a line");
    near(straight.slope, 2.0, 1e-15);
    near(straight.level, 1.0, 1e-15);
    near(straight.residual, 0.0, 1e-15);
}

#[test]
fn repeats_of_nothing_and_of_one() {
    assert_eq!(Repeats::of(std::iter::empty()), None);
    let one = Repeats::of([dec("52.03")].into_iter()).expect("a figure");
    assert_eq!((one.mean, one.deviation, one.count), (dec("52.03"), 0.0, 1));
    assert_eq!(Repeats::of([Decimal::MAX, Decimal::MAX].into_iter()), None);
}

// --- What holds for any budget -----------------------------------------------------------------------------------------------------

fn shapes() -> impl Strategy<Value = Shape> {
    prop_oneof![
        Just(Shape::Normal),
        Just(Shape::Rectangular),
        Just(Shape::Triangular),
        (0.0..=1.0).prop_map(Shape::Trapezoidal),
        Just(Shape::Arcsine),
    ]
}

fn freedoms() -> impl Strategy<Value = f64> {
    prop_oneof![2 => Just(FOREVER), 1 => (1u32..40).prop_map(f64::from)]
}

/// A share of one of a few origins, so that some meet.
fn shares() -> impl Strategy<Value = Share> {
    let sizes = prop_oneof![1 => Just(0.0), 9 => 1e-6..1.0];
    (0u32..6, shapes(), sizes, freedoms(), -3.0..3.0).prop_map(|(number, shape, u, dof, sensitivity)| Share {
        source: Source {
            origin: own(number),
            shape,
            u,
            dof,
        },
        sensitivity,
    })
}

fn budgets() -> impl Strategy<Value = Budget> {
    prop::collection::vec(shares(), 0..10).prop_map(|shares| Budget { shares })
}

/// A budget of origins of their own, all known for good.
fn simple_sources() -> impl Strategy<Value = Vec<(Shape, f64)>> {
    prop::collection::vec((shapes(), prop_oneof![1 => Just(0.0), 9 => 1e-4..2.0]), 0..4)
}

fn of_sizes(sizes: &[(Shape, f64)]) -> Budget {
    Budget::of((0..).zip(sizes).map(|(number, (shape, u))| Source {
        origin: own(number),
        shape: *shape,
        u: *u,
        dof: FOREVER,
    }))
}

fn limits() -> impl Strategy<Value = Band> {
    let end = || (-500i64..500).prop_map(|digits| Decimal::new(digits, 2));
    prop_oneof![
        end().prop_map(Band::at_most),
        end().prop_map(Band::at_least),
        (end(), end()).prop_map(|(a, b)| Band::between(a, b)),
    ]
}

fn rules() -> impl Strategy<Value = Acceptance> {
    prop_oneof![
        Just(Acceptance::Plain),
        Just(Acceptance::Guarded),
        (0.51..0.999).prop_map(Acceptance::Probable),
    ]
}

/// What more doubt may never do: prove good what was not.
fn is_honest(narrow: Decision, wide: Decision) -> bool {
    narrow.verdict == Verdict::In || wide.verdict != Verdict::In
}

fn about(combined: Combined) -> f64 {
    combined.u.max(1e-9) * 1e-9
}

proptest! {
    #[test]
    fn an_uncertainty_is_never_negative_and_never_beyond_its_bound(budget in budgets()) {
        let combined = budget.combined();
        prop_assert!(combined.u >= 0.0 && combined.u.is_finite());
        prop_assert!(combined.dof >= 1.0 - 1e-9);
        prop_assert!(combined.expanded() >= 0.0);
        prop_assert!(combined.expanded() <= combined.bound);
        // A standard uncertainty is never beyond the bound either, but for the last digit.
        prop_assert!(combined.u <= combined.bound * (1.0 + 1e-12));
        if let Some(estimate) = Estimate::new(Decimal::ZERO, None, &budget) {
            let above = estimate.above.to_f64().unwrap_or(f64::NAN);
            prop_assert!(above <= combined.bound * (1.0 + 1e-11));
        }
    }

    /// Adding an error makes a result no better, unless it cancels one that is there.
    #[test]
    fn one_source_more_never_helps_unless_it_cancels(budget in budgets(), share in shares()) {
        let before = budget.combined();
        let there: f64 = (budget.shares.iter())
            .filter(|other| other.source.origin == share.source.origin)
            .map(Share::effect)
            .sum();
        let after = budget.clone().add(Budget { shares: vec![share] }).combined();
        if there * share.effect() >= 0.0 {
            prop_assert!(after.u >= before.u - about(before));
        } else {
            let rest = (before.u.powi(2) - there.powi(2)).max(0.0);
            prop_assert!((after.u - (rest + (there + share.effect()).powi(2)).sqrt()).abs() <= 1e-6);
        }
    }

    #[test]
    fn a_factor_goes_through(budget in budgets(), factor in -50.0..50.0f64) {
        let (before, after) = (budget.combined(), budget.scale(factor).combined());
        prop_assert!((after.u - before.u * factor.abs()).abs() <= 1e-9 * (1.0 + before.u));
        if factor != 0.0 && before.dof.is_finite() {
            prop_assert!((after.dof - before.dof).abs() <= before.dof * 1e-9);
        }
        if before.bound.is_finite() {
            prop_assert!((after.bound - before.bound * factor.abs()).abs() <= 1e-9 * (1.0 + before.bound));
        }
    }

    #[test]
    fn the_order_of_shares_changes_nothing(budget in budgets(), seed in any::<prop::sample::Index>()) {
        let mut turned = budget.clone();
        if !turned.shares.is_empty() {
            let by = seed.index(turned.shares.len());
            turned.shares.rotate_left(by);
            if by % 2 == 1 {
                turned.shares.reverse();
            }
        }
        prop_assert_eq!(budget.combined(), turned.combined());
        prop_assert_eq!(budget.merged(), turned.merged());
    }

    /// Every source larger, or the open band wider: what was not proven good stays so. Sources are known for good here: with few degrees of
    /// freedom this is not true of Welch's and Satterthwaite's formula itself, see below.
    #[test]
    fn more_doubt_proves_nothing_good(
        best in -600i64..600, sizes in simple_sources(), grow in prop::collection::vec((1.0..5.0f64, 0.0..0.5f64), 4),
        open in prop::option::of((0i64..200, 0i64..200, 0i64..100, 0i64..100)), limit in limits(), rule in rules(),
    ) {
        let best = Decimal::new(best, 2);
        let wider: Vec<(Shape, f64)> = (sizes.iter().zip(&grow)).map(|((shape, u), (by, more))| (*shape, u * by + more)).collect();
        let band = |below: i64, above: i64| Band::between(best - Decimal::new(below, 2), best + Decimal::new(above, 2));
        let narrow = Estimate::new(best, open.map(|(a, b, ..)| band(a, b)), &of_sizes(&sizes)).expect("small");
        let wide = Estimate::new(best, open.map(|(a, b, c, d)| band(a + c, b + d)), &of_sizes(&wider)).expect("small");
        let (before, after) = (decide(&narrow, &limit, rule), decide(&wide, &limit, rule));
        prop_assert!(is_honest(before, after), "{before:?} became {after:?}");
        // Only by the rule of probability may something good or open come to be bad: a limit that is too narrow for so much doubt.
        if !matches!(rule, Acceptance::Probable(_)) {
            prop_assert!(before.verdict == Verdict::Out || after.verdict != Verdict::Out, "{before:?} became {after:?}");
        }
    }

    /// The same where degrees of freedom are few, all sources growing alike.
    #[test]
    fn more_of_the_same_doubt_proves_nothing_good(
        best in -600i64..600, budget in budgets(), by in 1.0..6.0f64, limit in limits(), rule in rules(),
    ) {
        let best = Decimal::new(best, 2);
        let narrow = Estimate::new(best, None, &budget).expect("small");
        let wide = Estimate::new(best, None, &budget.scale(by)).expect("small");
        let (before, after) = (decide(&narrow, &limit, rule), decide(&wide, &limit, rule));
        prop_assert!(is_honest(before, after), "{before:?} became {after:?}");
    }

    #[test]
    fn a_probability_is_one(best in -600i64..600, budget in budgets(), limit in limits()) {
        let measured = Estimate::new(Decimal::new(best, 2), None, &budget).expect("small");
        if let Some(probability) = conformity(&measured, &limit) {
            prop_assert!((0.0..=1.0).contains(&probability), "{probability}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// 95.45 % of a rectangle lie within ± 0.9545 a. An end drawn 20,000 times is good to about 0.002 a.
    #[test]
    fn a_drawn_rectangle_has_its_ends(half in 1e-4..10.0f64) {
        let source = Source::within(own(0), Shape::Rectangular, half);
        let drawn = draw(&[source], DRAWS, |errors| errors.first().copied()).expect("drawn");
        let (lo, hi) = drawn.interval();
        prop_assert!((lo + 0.9545 * half).abs() <= 0.01 * half, "{lo}");
        prop_assert!((hi - 0.9545 * half).abs() <= 0.01 * half, "{hi}");
    }

    /// Every shape is drawn with its own standard uncertainty and within its ends, and the same twice.
    #[test]
    fn a_draw_is_true_to_its_source_and_comes_out_the_same_twice(shape in shapes(), u in 1e-4..10.0f64) {
        let source = Source { origin: own(0), shape, u, dof: FOREVER };
        let once = || draw(&[source], DRAWS, |errors| errors.first().copied()).expect("drawn");
        let (first, second) = (once(), once());
        prop_assert!((first.standard_deviation() - u).abs() <= 0.02 * u);
        prop_assert!(first.mean().abs() <= 0.03 * u);
        let ends = source.half_width() * (1.0 + 1e-12);
        prop_assert_eq!(first.share_between(-ends, ends), 1.0);
        prop_assert_eq!(first.interval(), second.interval());
        prop_assert_eq!(first.mean(), second.mean());
    }
}

/// Two sources with five degrees each have ten, not nine and a bit that would be cut down to nine.
#[test]
fn whole_degrees_of_freedom_stay_whole() {
    for step in 1..2000 {
        let u = f64::from(step) * 0.000_37;
        for (count, dof) in [(2, 5.0), (3, 4.0), (5, 3.0), (7, 2.0)] {
            let combined = Budget::of((0..count).map(|number| Source::normal(own(number), u, dof))).combined();
            assert_eq!(
                combined.k(),
                coverage_factor(f64::from(count) * dof),
                "{count} of {u}: {}",
                combined.dof
            );
        }
    }
}

/// A flaw of the formula, not of this program: a scatter known from two readings has k = 13.97; beside a second source as large the whole has
/// four degrees, k = 2.87, and U is less than a third. Calculated with GTC 1.5.1 (u and degrees) and scipy (k). So no rule of ours promises that U always grows.
#[test]
fn a_second_source_can_shrink_the_expanded_uncertainty() {
    let few = Source::normal(own(0), 1.0, 1.0);
    let alone = Budget::of([few]).combined();
    let both = Budget::of([few, normal(1, 1.0)]).combined();
    near(alone.expanded(), 13.967_730_199, 1e-8);
    near(both.dof, 4.0, 1e-12);
    near(both.expanded(), 2.869_309_414_6 * 2.0_f64.sqrt(), 1e-8);
}

/// What vanishes when it is taken to the fourth power still has its degrees of freedom.
#[test]
fn a_tiny_scatter_keeps_its_degrees_of_freedom() {
    let combined = Budget::of([Source::normal(own(0), 1e-90, 4.0)]).combined();
    assert_eq!((combined.u, combined.dof), (1e-90, 4.0));
}
