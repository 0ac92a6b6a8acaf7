//! Limits and fits.

use gudgeon::trade::Words;
use gudgeon::trade::codes::fit;
use gudgeon::trade::iso286::LETTERS;
use proptest::prelude::*;
use proptest::sample::select;

use crate::call::{work, worked};

/// Lower and upper deviation, mm; `None` where the tables have no such class.
fn deviations(size: f64, class: &str) -> Option<(f64, f64)> {
    let deviation = |name| worked!(name, "size" = size, "class" = class).ok();
    Some((deviation("lower deviation")?, deviation("upper deviation")?))
}

fn width(size: f64, class: &str) -> Option<f64> {
    deviations(size, class).map(|(low, high)| high - low)
}

/// Widths are differences of thousandths: what is left of rounding.
const ROUNDING: f64 = 1e-9;

fn sizes() -> impl Strategy<Value = f64> {
    let ends = select(vec![
        1.0, 3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0,
    ]);
    prop_oneof![4 => 1.0..=500.0, 2 => (0.0..6.2_f64).prop_map(f64::exp), 1 => ends]
}

/// A letter, of a hole or of a shaft.
fn letters() -> impl Strategy<Value = String> {
    (select(&LETTERS[..]), any::<bool>()).prop_map(
        |(letter, hole)| {
            if hole { letter.to_uppercase() } else { letter.to_owned() }
        },
    )
}

/// What stands first less the other, least and greatest.
fn limits(text: &str) -> Result<(f64, f64), TestCaseError> {
    fit(text).and_then(|fit| fit.limits()).map_err(TestCaseError::fail)
}

/// Grades that fits are made of, where most letters are known.
const COMMON: [u8; 5] = [5, 6, 7, 8, 9];

proptest! {
    #[test]
    fn a_coarser_grade_is_never_narrower(size in sizes(), letter in letters(), fine in 1u8..14) {
        let own = |grade: u8| width(size, &format!("{letter}{grade}"));
        prop_assert!(width(size, &format!("H{fine}")).is_some(), "{} H{}", size, fine);
        if let (Some(fine), Some(coarse)) = (own(fine), own(fine + 1)) {
            prop_assert!(fine > 0.0 && coarse >= fine - ROUNDING, "{} {}", fine, coarse);
        }
    }

    #[test]
    fn a_larger_size_never_has_less_tolerance(one in sizes(), other in sizes(), grade in 1u8..=14) {
        let class = format!("h{grade}");
        let (small, large) = (one.min(other), one.max(other));
        let (small, large) = (width(small, &class), width(large, &class));
        prop_assert!(small.is_some() && large >= small.map(|width| width - ROUNDING), "{:?} {:?}", small, large);
    }

    /// Every class is as wide as its grade.
    #[test]
    fn a_letter_moves_and_never_widens(size in sizes(), letter in letters(), grade in 1u8..=14) {
        if let Some(own) = width(size, &format!("{letter}{grade}")) {
            let plain = width(size, &format!("h{grade}")).unwrap_or(f64::NAN);
            prop_assert!((own - plain).abs() < ROUNDING, "{} {}", own, plain);
        }
    }

    /// A hole of C to H and JS is the shaft of that letter turned over.
    #[test]
    fn clearance_holes_mirror_their_shafts(size in sizes(), letter in select(vec!["c", "d", "e", "f", "g", "h", "js"]), grade in 1u8..=14) {
        let hole = deviations(size, &format!("{}{grade}", letter.to_uppercase()));
        let shaft = deviations(size, &format!("{letter}{grade}"));
        let (Some((low, high)), Some((shaft_low, shaft_high))) = (hole, shaft) else {
            return Err(TestCaseError::fail("no such class"));
        };
        prop_assert!((low + shaft_high).abs() < ROUNDING && (high + shaft_low).abs() < ROUNDING);
    }

    /// With hole and shaft swapped a fit says interference for clearance, and what the functions give is the same: the hole less the shaft. A fit of which
    /// one class is not in the tables is refused either way round.
    #[test]
    fn clearance_is_the_other_ways_interference(
        size in sizes(), letters in (select(&LETTERS[..]), select(&LETTERS[..])), grades in (select(&COMMON[..]), select(&COMMON[..])),
    ) {
        let (hole, shaft) = (format!("{}{}", letters.0.to_uppercase(), grades.0), format!("{}{}", letters.1, grades.1));
        let (straight, swapped) = (format!("{size} {hole}/{shaft}"), format!("{size} {shaft}/{hole}"));
        let (Some((hole_low, hole_high)), Some((shaft_low, shaft_high))) = (deviations(size, &hole), deviations(size, &shaft)) else {
            prop_assert!(fit(&straight).is_err() && fit(&swapped).is_err(), "{}", straight);
            return Ok(());
        };
        let (clearance, interference) = (limits(&straight)?, limits(&swapped)?);
        prop_assert_eq!(clearance, (-interference.1, -interference.0));
        for code in [straight.as_str(), swapped.as_str()] {
            let (least, greatest) = (work!("least clearance", "code" = code), work!("greatest clearance", "code" = code));
            prop_assert!((least - (hole_low - shaft_high)).abs() < ROUNDING, "{} {}", code, least);
            prop_assert!((greatest - (hole_high - shaft_low)).abs() < ROUNDING, "{} {}", code, greatest);
        }
    }

    /// A zone's sizes are its nominal size and its deviations.
    #[test]
    fn sizes_are_nominal_and_deviation(size in sizes(), letter in letters(), grade in select(&COMMON[..])) {
        let (class, code) = (format!("{letter}{grade}"), format!("{size} {letter}{grade}"));
        if let Some((low, high)) = deviations(size, &class) {
            prop_assert!((work!("least size", "code" = code.as_str()) - size - low).abs() < ROUNDING);
            prop_assert!((work!("greatest size", "code" = code.as_str()) - size - high).abs() < ROUNDING);
        } else {
            prop_assert!(Words::Zone.read(&code).is_err(), "{}", code);
        }
    }
}
