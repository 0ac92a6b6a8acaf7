//! What holds for any budget.

use super::*;

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
