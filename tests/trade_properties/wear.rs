//! Wear and leaks.

use proptest::prelude::*;

use crate::call::work;

fn left(then: f64, now: f64, limit: f64, time: f64) -> f64 {
    work!("hours left", "then" = then, "now" = now, "limit" = limit, "time" = time)
}

proptest! {
    /// What is worn further lasts less long, whether the figure grows or shrinks.
    #[test]
    fn hours_left_fall_with_wear(then in -10.0_f64..10.0, room in 0.1_f64..1.0, (less, more) in (0.01..0.5, 0.001..0.4), time in 1.0_f64..1e6) {
        let at = |part: f64| then + part * room;
        let (early, late) = (left(then, at(less), at(1.0), time), left(then, at(less + more), at(1.0), time));
        prop_assert!(late < early && late > 0.0, "{} {}", early, late);
        let mirrored = left(-then, -at(less), -at(1.0), time);
        prop_assert!((mirrored - early).abs() < 1e-9 * early, "{} {}", mirrored, early);
    }

    /// At the rate it went, the limit is reached when the hours are up.
    #[test]
    fn the_rate_reaches_the_limit_when_the_hours_are_up(then in -10.0_f64..10.0, room in 0.1_f64..1.0, part in 0.01_f64..0.99, time in 1.0_f64..1e6) {
        let (now, limit) = (then + part * room, then + room);
        let rate = work!("wear rate", "then" = then, "now" = now, "time" = time);
        let reached = now + rate * left(then, now, limit, time);
        prop_assert!((reached - limit).abs() < 1e-9, "{} {}", reached, limit);
    }

    /// No wear has no end; at the limit and past it nothing is left.
    #[test]
    fn the_ends_of_hours_left(then in -10.0_f64..10.0, room in 0.1_f64..1.0, past in 0.0_f64..1.0, time in 1.0_f64..1e6) {
        let limit = then + room;
        prop_assert_eq!(left(then, then, limit, time), f64::INFINITY);
        prop_assert_eq!(left(then, then - past, limit, time), f64::INFINITY);
        prop_assert_eq!(left(then, limit + past, limit, time), 0.0);
    }

    /// However long it was held: one leak has one time of decay.
    #[test]
    fn a_decay_is_told_from_any_time(start in 0.001_f64..1.0, decay in 10.0_f64..1e5, part in 0.01_f64..2.0, sign in prop_oneof![Just(1.0), Just(-1.0)]) {
        let (before, time) = (sign * start, part * decay);
        let after = before * (-part).exp();
        let got = work!("decay time", "before" = before, "after" = after, "time" = time);
        prop_assert!((got - decay).abs() < 1e-9 * decay, "{} {}", got, decay);
    }

    /// What cooling took and what leaked is what was lost; and air that gets as warm again loses nothing.
    #[test]
    fn a_loss_is_cooling_and_leaking(before in 0.05_f64..1.0, part in 0.5_f64..1.0, warm in -60.0_f64..300.0, cold in -60.0_f64..300.0) {
        let after = before * part;
        let cooling = work!("drop by cooling", "before" = before, "warm before" = warm, "warm after" = cold);
        let leaking = work!(
            "drop by leaking", "before" = before, "after" = after, "warm before" = warm, "warm after" = cold,
        );
        prop_assert!((cooling + leaking - (before - after)).abs() < 1e-12);
        let again = work!("drop by cooling", "before" = before - cooling, "warm before" = cold, "warm after" = warm);
        prop_assert!((cooling + again).abs() < 1e-12);
    }

    /// Oil brings a mixture to the ratio it is asked for, and what is in it is what was put in.
    #[test]
    fn oil_adds_up(fuel in 1e3_f64..1e8, rich in 2.0_f64..200.0, leaner in 1.01_f64..2.0) {
        let lean = rich * leaner;
        let (oil, more) = (work!("premix oil", "fuel" = fuel, "ratio" = lean), work!("premix oil", "fuel" = fuel, "ratio" = rich));
        let mixture = fuel + oil;
        prop_assert!((work!("oil in mixture", "mixture" = mixture, "ratio" = lean) - oil).abs() < 1e-9 * oil);
        let added = work!("oil to add", "mixture" = mixture, "from" = lean, "to" = rich);
        prop_assert!((added - (more - oil)).abs() < 1e-9 * more, "{}", added);
    }
}
