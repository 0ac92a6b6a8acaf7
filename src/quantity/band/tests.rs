//! Bands: single cases, and the properties that make them trustworthy.

use proptest::prelude::*;

use super::*;
use crate::quantity::number::parse;
use crate::quantity::verdict::{Verdict, verdict};

fn d(text: &str) -> Decimal {
    parse(text).expect("a figure")
}

/// `[0.70,0.80)`, `[0.5,`, `,0.6]`, or a single figure.
fn b(text: &str) -> Band {
    let Some((lo, hi)) = text.split_once(' ') else {
        return Band::exact(d(text));
    };
    let end = |t: &str| (t != "∞").then(|| d(t));
    Band {
        lo: end(lo.trim_matches(['[', '('])),
        hi: end(hi.trim_matches([']', ')'])),
        lo_open: lo.starts_with('('),
        hi_open: hi.ends_with(')'),
    }
}

#[test]
fn made_as_named() {
    assert_eq!(Band::between(d("2"), d("1")), b("[1 2]"));
    assert_eq!(Band::blades(d("0.70"), d("0.80")), b("[0.70 0.80)"));
    assert_eq!(Band::blades(d("0.80"), d("0.70")), b("(0.70 0.80]"));
    assert!(Band::blades(d("0.7"), d("0.7")).is_exact());
    assert_eq!(Band::at_least(d("1")), b("[1 ∞]"));
    assert_eq!(Band::at_most(d("1")), b("[∞ 1]"));
    assert!(!b("[1 2]").is_exact());
    assert!(!Band::closed(None, None).is_exact());
}

#[test]
fn middle_and_width() {
    assert_eq!(b("[0.50 0.55)").middle(), Some(d("0.525")));
    assert_eq!(b("[0.50 0.55)").width(), Some(d("0.05")));
    assert_eq!(b("[1 ∞]").middle(), None);
    assert_eq!(b("[1 ∞]").width(), None);
    assert_eq!(Band::between(Decimal::MIN, Decimal::MAX).width(), None);
    assert_eq!(Band::exact(Decimal::MAX).middle(), Some(Decimal::MAX));
}

#[test]
fn wider_and_joined() {
    assert_eq!(b("[0.50 0.55)").widen(d("-0.01")), Some(b("[0.49 0.56)")));
    assert_eq!(b("[∞ 1]").widen(d("1")), Some(b("[∞ 2]")));
    assert_eq!(Band::exact(Decimal::MAX).widen(Decimal::MAX), None);
    assert_eq!(b("[1 2)").hull(b("[2 3]")), b("[1 3]"));
    assert_eq!(b("[1 2)").hull(b("(1 2)")), b("[1 2)"));
    assert_eq!(b("[1 ∞]").hull(b("0")), b("[0 ∞]"));
}

#[test]
fn sums_and_products() {
    for (got, expected) in [
        (b("[1 2)").add(b("[10 20]")), b("[11 22)")),
        (b("[1 2)").sub(b("[10 20)")), b("(-19 -8)")),
        (b("[1 ∞]").sub(b("[0 3]")), b("[-2 ∞]")),
        (b("[1 2)").neg(), b("(-2 -1]")),
        (b("[1 2)").scale(d("-3")), b("(-6 -3]")),
        (b("[1 ∞]").scale(d("0")), b("0")),
        (b("[1 2)").mul(b("3")), b("[3 6)")),
        (b("3").mul(b("[1 2)")), b("[3 6)")),
        (b("[-1 2)").mul(b("[-3 4]")), b("[-6 8]")),
        (b("[2 ∞]").mul(b("[3 4]")), b("[6 ∞]")),
        (b("[0 ∞]").mul(b("[3 ∞]")), b("[0 ∞]")),
        (b("[1 2)").div(b("4")), b("[0.25 0.5)")),
        (b("[1 2)").div(b("-4")), b("(-0.5 -0.25]")),
        (b("[1 2]").div(b("[-4 -2]")), b("[-1 -0.25]")),
        (b("[1 ∞]").div(b("[1 ∞]")), b("[0 ∞]")),
        (b("[1 2]").div(b("[∞ -1]")), b("[-2 0]")),
        (b("[-3 2)").abs(), b("[0 3]")),
        (b("(-3 3)").abs(), b("[0 3)")),
        (b("[-3 3)").abs(), b("[0 3]")),
        (b("(-3 -1]").abs(), b("[1 3)")),
        (Band::closed(None, None).abs(), b("[0 ∞]")),
        (b("[1 2)").min(b("[0 2]")), b("[0 2)")),
        (b("[1 2)").max(b("(1 2]")), b("(1 2]")),
        (b("[1 ∞]").min(b("[0 2]")), b("[0 2]")),
        (b("[-3 2)").power(2), b("[0 9]")),
        (b("[-3 2)").power(3), b("[-27 8)")),
        (b("[2 4)").power(-1), b("[0.25 0.5]")),
        (b("[-5 5]").power(0), b("1")),
        (b("[4 9)").sqrt(), b("[2 3)")),
        (b("[4 ∞]").sqrt(), b("[2 ∞]")),
    ] {
        assert_eq!(got, Ok(expected));
    }
}

#[test]
fn what_cannot_be_worked_out_is_said() {
    let max = Band::exact(Decimal::MAX);
    let all = Band::closed(None, None);
    for (got, expected) in [
        (max.add(max), BandError::TooLarge),
        (max.mul(b("[2 3]")), BandError::TooLarge),
        (max.scale(d("2")), BandError::TooLarge),
        (max.div(b("0.1")), BandError::TooLarge),
        (b("10").power(i32::MAX), BandError::TooLarge),
        (b("1").div(b("0")), BandError::DivisionByZero),
        (b("1").div(b("[-1 1]")), BandError::DivisionByZero),
        (b("1").div(b("(0 1]")), BandError::DivisionByZero),
        (b("1").div(b("[-1 ∞]")), BandError::DivisionByZero),
        (b("[-1 1]").power(-2), BandError::DivisionByZero),
        (b("0").power(i32::MIN), BandError::DivisionByZero),
        (b("[-1 1]").sqrt(), BandError::NegativeRoot),
        (b("[∞ 1]").sqrt(), BandError::NegativeRoot),
        (b("[1 ∞]").sub(b("[1 ∞]")), BandError::Unbounded),
        (b("[1 ∞]").mul(b("[-1 1]")), BandError::Unbounded),
        (all.neg(), BandError::Unbounded),
    ] {
        assert_eq!(got, Err(expected));
    }
}

#[test]
fn verdicts() {
    let (i, o, n) = (Verdict::In, Verdict::Out, Verdict::NotProven);
    for (reading, limit, expected) in [
        // It may be exactly 0.70.
        ("[0.70 0.80)", "[∞ 0.70]", n),
        // 0.35 is left out: that blade did not go.
        ("[0.30 0.35)", "[0.35 ∞]", o),
        ("[0.30 0.35]", "[0.35 ∞]", n),
        ("[0.35 0.40)", "[0.35 ∞]", i),
        ("[0.65 0.70)", "[∞ 0.70]", i),
        ("[0.50 0.55)", "[0.35 0.50]", n),
        ("(0.50 0.55)", "[0.35 0.50]", o),
        ("0.50", "[0.35 0.50]", i),
        ("0.51", "[0.35 0.50]", o),
        ("0.34", "[0.35 0.50]", o),
        ("[0.2 0.6]", "[0.35 0.50]", n),
        ("[0.4 ∞]", "[0.35 0.50]", n),
        ("[0.4 ∞]", "[0.35 ∞]", i),
        ("[0.6 ∞]", "[0.35 0.50]", o),
        ("[∞ 0.3]", "[0.35 0.50]", o),
        ("[∞ ∞]", "[0.35 0.50]", n),
        ("[∞ ∞]", "[∞ ∞]", i),
        // The ends of a limit belong to it.
        ("0.50", "(0.35 0.50)", i),
    ] {
        assert_eq!(verdict(&b(reading), &b(limit)), expected, "{reading} against {limit}");
    }
    assert_eq!(n.word(), "not proven");
}

fn figure() -> impl Strategy<Value = Decimal> {
    prop_oneof![
        4 => (-99_999i64..99_999, 0u32..5).prop_map(|(m, s)| Decimal::new(m, s)),
        // Small whole ones meet one another often.
        1 => (-3i64..=3).prop_map(Decimal::from),
    ]
}

/// A band and a figure in it.
fn band_and_point() -> impl Strategy<Value = (Band, Decimal)> {
    (figure(), figure(), 0i64..=10, 0u8..8, any::<bool>(), any::<bool>()).prop_map(
        |(a, c, tenth, kind, lo_open, hi_open)| {
            let (lo, hi) = (a.min(c), a.max(c));
            let point = lo + (hi - lo) * Decimal::new(tenth, 1);
            let band = Band {
                lo: (kind != 0).then_some(lo),
                hi: (kind != 1).then_some(hi),
                lo_open: lo_open && point != lo,
                hi_open: hi_open && point != hi,
            };
            (band, point)
        },
    )
}

/// A result that was refused proves nothing, but what was refused must be one of these.
fn holds(made: Result<Band, BandError>, point: Decimal, allowed: &[BandError]) -> Result<(), TestCaseError> {
    match made {
        Ok(band) => prop_assert!(band.contains(point), "{point} is not in {band:?}"),
        Err(error) => prop_assert!(allowed.contains(&error), "{error:?}"),
    }
    Ok(())
}

proptest! {
    #[test]
    fn each_result_lies_in_the_band((x, p) in band_and_point(), (y, q) in band_and_point()) {
        use BandError::{DivisionByZero, NegativeRoot, Unbounded};
        prop_assert!(x.contains(p) && y.contains(q));
        prop_assert!(x.hull(y).contains(p) && x.hull(y).contains(q));
        holds(x.add(y), p + q, &[Unbounded])?;
        holds(x.sub(y), p - q, &[Unbounded])?;
        holds(x.mul(y), p * q, &[Unbounded])?;
        holds(x.scale(q), p * q, &[Unbounded])?;
        holds(x.neg(), -p, &[Unbounded])?;
        holds(x.abs(), p.abs(), &[])?;
        holds(x.min(y), p.min(q), &[Unbounded])?;
        holds(x.max(y), p.max(q), &[Unbounded])?;
        holds(x.power(2), p * p, &[])?;
        holds(x.power(3), p * p * p, &[Unbounded])?;
        if !q.is_zero() {
            holds(x.div(y), p / q, &[Unbounded, DivisionByZero])?;
            holds(y.power(-1), Decimal::ONE / q, &[Unbounded, DivisionByZero])?;
        }
        if p >= Decimal::ZERO {
            // A root is good to 26 digits, so a figure beside the very end may fall that far outside.
            let root = x.sqrt().map(|band| band.widen(Decimal::new(1, 20)).expect("small"));
            holds(root, square_root(p).expect("not negative"), &[NegativeRoot])?;
        }
    }

    /// With finite closed ends nothing is refused but for its own reason, and the ends are reached: the band is no wider than
    /// it must be.
    #[test]
    fn ends_are_reached(a in figure(), c in figure(), e in figure(), f in figure()) {
        let (x, y) = (Band::between(a, c), Band::between(e, f));
        let product = x.mul(y).expect("small");
        let corners = [a * e, a * f, c * e, c * f];
        prop_assert_eq!(product.lo, corners.iter().min().copied());
        prop_assert_eq!(product.hi, corners.iter().max().copied());
        prop_assert_eq!(x.sub(y).expect("small").width(), Some(x.width().expect("finite") + y.width().expect("finite")));
    }

    /// More doubt never proves more.
    #[test]
    fn widening_never_proves((reading, _) in band_and_point(), (limit, _) in band_and_point(), by in figure()) {
        let before = verdict(&reading, &limit);
        let after = verdict(&reading.widen(by).expect("small"), &limit);
        prop_assert!(after == before || after == Verdict::NotProven, "{before:?} became {after:?}");
    }

    /// The verdict against what the word means, figure by figure.
    #[test]
    fn verdict_means_what_it_says((reading, p) in band_and_point(), (limit, _) in band_and_point()) {
        let closed = Band { lo_open: false, hi_open: false, ..limit };
        match verdict(&reading, &limit) {
            Verdict::In => prop_assert!(closed.contains(p)),
            Verdict::Out => prop_assert!(!closed.contains(p)),
            Verdict::NotProven => {
                // The two share something, and the reading reaches past the limit.
                let reaches = |end: Option<Decimal>, bound: Option<Decimal>| bound.is_some() && end != bound;
                prop_assert!(reaches(reading.lo, limit.lo) || reaches(reading.hi, limit.hi));
            }
        }
    }

    #[test]
    fn never_panics(parts in any::<[[u32; 3]; 4]>(), scales in prop::array::uniform4(0u32..=28), signs in any::<[bool; 4]>(), exponent: i32) {
        let [a, c, e, f] = std::array::from_fn(|i| Decimal::from_parts(parts[i][0], parts[i][1], parts[i][2], signs[i], scales[i]));
        for (x, y) in [(Band::between(a, c), Band::between(e, f)), (Band::at_least(a), Band::at_most(e)), (Band::exact(a), Band::exact(e))] {
            let _ = (x.add(y), x.sub(y), x.mul(y), x.div(y), x.min(y), x.max(y), x.hull(y), x.widen(e), x.middle(), x.width());
            let _ = (x.neg(), x.abs(), x.sqrt(), x.power(exponent), verdict(&x, &y));
        }
    }
}
