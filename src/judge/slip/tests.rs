//! Problems of the bench: what is written, between which limits it must lie, and what is said of it.

use proptest::prelude::*;

use super::*;
use crate::quantity::{Dimension, number, unit};

/// The likeliest of [`repairs`], for a figure of which nothing more is known.
fn repair(written: Decimal, of: Option<&'static Unit>, plausible: impl Fn(Decimal) -> bool) -> Option<Repair> {
    repairs(written, of, Flags::default(), plausible).into_iter().next()
}

fn dec(text: &str) -> Decimal {
    number::parse(text).expect("a figure")
}

fn known(of: &str, dimension: Option<Dimension>) -> &'static Unit {
    unit::find(of, dimension).expect("a unit")
}

fn shown(repair: &Repair) -> String {
    format!(
        "{} {}: {}",
        repair.figure,
        repair.unit.map_or("", Unit::label),
        repair.what
    )
}

/// All that may have been meant by a figure; the limits are in `limits_in`.
fn all_meant(
    written: &str,
    of: &'static Unit,
    (lo, hi): (&str, &str),
    limits_in: &'static Unit,
    flags: Flags,
) -> Vec<String> {
    let base = |text: &str| limits_in.to_base(dec(text)).expect("fits");
    let limit = Band::between(base(lo), base(hi));
    repairs(dec(written), Some(of), flags, |figure| limit.contains(figure))
        .iter()
        .map(shown)
        .collect()
}

fn meant(written: &str, of: &str, lo: &str, hi: &str) -> Option<String> {
    let unit = known(of, None);
    all_meant(written, unit, (lo, hi), unit, Flags::default())
        .into_iter()
        .next()
}

/// The limits in another unit than the figure.
fn meant_in(dimension: Dimension, written: &str, of: &str, lo: &str, hi: &str, limits_in: &str) -> Vec<String> {
    let (of, limits_in) = (known(of, Some(dimension)), known(limits_in, Some(dimension)));
    all_meant(written, of, (lo, hi), limits_in, Flags::default())
}

#[test]
fn the_usual_slips_are_named() {
    // Common practice, no source: one turn of a metric thimble is 0.5 mm.
    assert_eq!(
        meant("24.576", "mm", "24.065", "24.085").as_deref(),
        Some("24.076 mm: half a millimetre off: one turn of the thimble")
    );
    assert_eq!(
        meant("14", "N·m", "1.2", "1.8").as_deref(),
        Some("1.4 N·m: the decimal point moved")
    );
    assert_eq!(
        meant("54.21", "mm", "54.10", "54.14").as_deref(),
        Some("54.12 mm: two digits swapped")
    );
    assert_eq!(
        meant("28", "lbf·ft", "26", "30").as_deref(),
        None,
        "28 lbf·ft lies in a limit given in lbf·ft"
    );
    assert_eq!(
        meant("77.02", "mm", "52.00", "52.05").as_deref(),
        Some("52.02 mm: 25 mm off: the next frame of the micrometer")
    );
}

#[test]
fn a_turn_is_missed_in_every_unit_of_a_micrometer() {
    assert_eq!(
        meant("24576", "µm", "24065", "24085").as_deref(),
        Some("24076 µm: half a millimetre off: one turn of the thimble")
    );
    assert_eq!(
        meant("2457", "hundredths", "2406", "2408").as_deref(),
        Some("2407 hundredths: half a millimetre off: one turn of the thimble")
    );
    // Common practice, no source: one turn of an inch thimble is 0.025 in, and the frames are 1 in apart.
    assert_eq!(
        meant("0.9727", "in", "0.9470", "0.9480").as_deref(),
        Some("0.9477 in: 0.025 in off: one turn of the thimble")
    );
    assert_eq!(
        meant("972.7", "thou", "947.0", "948.0").as_deref(),
        Some("947.7 thou: 0.025 in off: one turn of the thimble")
    );
    assert_eq!(
        meant("1.9477", "in", "2.9470", "2.9480").as_deref(),
        Some("2.9477 in: 1 in off: the next frame of the micrometer")
    );
    assert_eq!(
        meant("49.42", "mm", "24.00", "24.05").as_deref(),
        Some("24.02 mm: 25.4 mm off: an inch of the frame")
    );
}

#[test]
fn a_gap_is_read_on_no_thimble() {
    assert_eq!(
        meant("0.70", "mm", "0.15", "0.25"),
        None,
        "half a millimetre more is no slip of blades"
    );
    assert_eq!(meant("520", "µm", "15", "25"), None);
}

#[test]
fn a_torque_in_the_wrong_unit_is_named() {
    let said = |written, of| meant_in(Dimension::TORQUE, written, of, "26", "30", "N·m");
    assert_eq!(said("28", "ft-lb"), ["28 N·m: written in lbf·ft instead of N·m"]);
    assert_eq!(
        said("285", "N·m"),
        [
            "28.5 N·m: the decimal point moved",
            "285 kgf·cm: written in N·m instead of kgf·cm"
        ]
    );
    assert_eq!(
        said("2.8", "N·m"),
        [
            "28 N·m: the decimal point moved",
            "2.8 kgf·m: written in N·m instead of kgf·m"
        ],
        "nobody can tell which, so both are said, the likelier first"
    );
    assert_eq!(said("245", "N·m"), ["245 lbf·in: written in N·m instead of lbf·in"]);
}

#[test]
fn other_units_taken_for_each_other() {
    for (dimension, written, of, lo, hi, limits_in, wanted) in [
        (
            Dimension::LENGTH,
            "4.5",
            "mm",
            "0.10",
            "0.12",
            "mm",
            "4.5 thou: written in mm instead of thou",
        ),
        (
            Dimension::LENGTH,
            "0.11",
            "thou",
            "0.10",
            "0.12",
            "mm",
            "0.11 mm: written in thou instead of mm",
        ),
        (
            Dimension::LENGTH,
            "7",
            "mm",
            "0.06",
            "0.08",
            "mm",
            "7 hundredths: written in mm instead of hundredths",
        ),
        (
            Dimension::LENGTH,
            "12",
            "mm",
            "0.010",
            "0.015",
            "mm",
            "12 µm: written in mm instead of µm",
        ),
        (
            Dimension::LENGTH,
            "0.0045",
            "mm",
            "0.10",
            "0.12",
            "mm",
            "0.0045 in: written in mm instead of inches",
        ),
        (
            Dimension::PRESSURE,
            "33",
            "bar",
            "2.1",
            "2.5",
            "bar",
            "33 psi: written in bar instead of psi",
        ),
        (
            Dimension::PRESSURE,
            "2.3",
            "psi",
            "2.28",
            "2.32",
            "bar",
            "2.3 bar: written in psi instead of bar",
        ),
        (
            Dimension::PRESSURE,
            "70",
            "bar",
            "65",
            "75",
            "kPa",
            "70 kPa: written in bar instead of kPa",
        ),
        (
            Dimension::FORCE,
            "7.5",
            "kN",
            "73",
            "74",
            "kN",
            "7.5 t: written in kN instead of t",
        ),
        (
            Dimension::FORCE,
            "7.5",
            "t",
            "7.45",
            "7.55",
            "kN",
            "7.5 kN: written in t instead of kN",
        ),
        (
            Dimension::FORCE,
            "26",
            "kgf",
            "24",
            "28",
            "lbf",
            "26 lbf: written in kgf instead of lbf",
        ),
        (
            Dimension::TEMPERATURE,
            "250",
            "°C",
            "115",
            "125",
            "°C",
            "250 °F: written in °C instead of °F",
        ),
        (
            Dimension::TEMPERATURE,
            "120",
            "°F",
            "115",
            "125",
            "°C",
            "120 °C: written in °F instead of °C",
        ),
        (
            Dimension::VOLUME,
            "1.5",
            "L",
            "5.5",
            "5.8",
            "L",
            "1.5 US gal: written in L instead of US gal",
        ),
        (
            Dimension::VOLUME,
            "650",
            "L",
            "600",
            "700",
            "cm³",
            "650 cm³: written in L instead of cm³",
        ),
        (
            Dimension::MASS,
            "3.2",
            "g",
            "88",
            "92",
            "g",
            "3.2 oz: written in g instead of oz",
        ),
    ] {
        assert_eq!(
            meant_in(dimension, written, of, lo, hi, limits_in),
            [wanted],
            "{written} {of}"
        );
    }
}

#[test]
fn what_is_right_but_for_its_unit_is_not_converted_again() {
    // 28 N·m worked into 20.65 lbf·ft and written as 38 would need a figure of its own for each wrong way: no such thing is guessed.
    assert!(meant_in(Dimension::TORQUE, "38", "N·m", "27.5", "28.5", "N·m").is_empty());
}

#[test]
fn one_digit_wrong_is_named_where_only_one_can_be() {
    assert_eq!(
        meant("50.90", "mm", "59.85", "59.95").as_deref(),
        Some("59.90 mm: one digit wrong: 0 for 9")
    );
    assert_eq!(
        meant("-18.52", "mm", "-13.60", "-13.40").as_deref(),
        Some("-13.52 mm: one digit wrong: 8 for 3")
    );
}

#[test]
fn one_digit_wrong_is_not_claimed_without_evidence() {
    assert_eq!(
        meant("50.90", "mm", "55.00", "58.95"),
        None,
        "a wide limit is met by 55.90 to 58.90 alike"
    );
    assert_eq!(
        meant("0.245", "mm", "0.040", "0.060"),
        None,
        "a gap of three digits is near any other gap"
    );
    assert_eq!(
        meant("59.52", "mm", "59.90", "59.93"),
        None,
        "so much wear is no slip of the pen"
    );
    assert_eq!(meant("3", "mm", "7", "8"), None);
    assert_eq!(meant("0.00", "mm", "0.02", "0.03"), None);
}

#[test]
fn run_out_is_twice_the_eccentricity_only_where_it_is_run_out() {
    let mm = known("mm", None);
    let run_out = Flags {
        run_out: true,
        ..Flags::default()
    };
    // Exact geometry: e 0.0125 shows 0.025 in one turn.
    assert_eq!(
        all_meant("0.025", mm, ("0.011", "0.014"), mm, run_out),
        ["0.0125 mm: total indicator reading written for eccentricity"]
    );
    assert_eq!(
        all_meant("0.0125", mm, ("0.024", "0.026"), mm, run_out),
        ["0.025 mm: eccentricity written for total indicator reading"]
    );
    assert!(all_meant("0.025", mm, ("0.011", "0.014"), mm, Flags::default()).is_empty());
    // What is likelier stands first.
    assert_eq!(
        all_meant("0.40", mm, ("0.02", "0.30"), mm, run_out),
        [
            "0.04 mm: the decimal point moved",
            "0.2 mm: total indicator reading written for eccentricity"
        ]
    );
}

#[test]
fn blades_the_wrong_way_round() {
    let limit = Band::between(dec("0.35"), dec("0.50"));
    let plausible = |band: &Band| limit.lo <= band.lo && band.hi <= limit.hi;
    assert!(are_exchanged(dec("0.45"), dec("0.40"), plausible));
    assert!(
        !are_exchanged(dec("0.40"), dec("0.45"), plausible),
        "they are the right way round"
    );
    assert!(!are_exchanged(dec("0.45"), dec("0.45"), plausible), "one blade twice");
    assert!(
        !are_exchanged(dec("0.95"), dec("0.40"), plausible),
        "the other way round it is no better"
    );
}

#[test]
fn more_digits_than_the_instrument_has() {
    let mm = Some(known("mm", None));
    let fine = |written, step| digits_too_fine(dec(written), mm, dec(step));
    assert!(fine("24.074", "0.01"));
    assert!(!fine("24.075", "0.01"), "half a division may be read by eye");
    assert!(!fine("24.07", "0.01"));
    assert!(fine("24.0755", "0.01"));
    assert!(fine("0.43", "0.05") && !fine("0.45", "0.05"));
    assert!(fine("-0.013", "0.01") && !fine("-0.015", "0.01"));
    assert!(!fine("24.074", "0"), "a step of nothing says nothing");
    // A calliper's step of 0.02 mm and a vernier of 0.001 in.
    assert!(fine("12.015", "0.02") && !fine("12.01", "0.02"));
    assert!(digits_too_fine(dec("0.94773"), Some(known("in", None)), dec("0.0254")));
    assert!(!digits_too_fine(dec("0.9475"), Some(known("in", None)), dec("0.0254")));
    assert!(
        !digits_too_fine(dec("0.94773"), Some(known("in", None)), dec("0.01")),
        "converted from mm"
    );
    assert!(!digits_too_fine(
        dec("70.5"),
        Some(known("°F", None)),
        dec("0.5555555555555555555555555556")
    ));
}

#[test]
fn a_worn_figure_is_no_slip() {
    let limit = Band::between(Decimal::new(35, 2), Decimal::new(55, 2));
    assert!(!is_implausible(Decimal::new(70, 2), &limit));
    assert!(is_implausible(Decimal::new(98, 2), &limit));
}

#[test]
fn figures_that_are_too_large_are_no_slips() {
    let all = |written, of: &str| {
        repairs(
            written,
            Some(known(of, None)),
            Flags {
                run_out: true,
                ..Flags::default()
            },
            |_| true,
        )
    };
    for of in ["mm", "in", "µm", "°F", "psi"] {
        assert!(all(Decimal::MAX, of).len() < 100);
        assert!(all(Decimal::MIN, of).len() < 100);
    }
}

/// Whether the slip of a repair, made with its figure, gives what was written. Worked from what the slip means, not from how it was found.
fn leads_back(repair: &Repair, written: Decimal, of: Option<&'static Unit>) -> bool {
    let figure = repair.figure;
    let apart = (written - figure).abs();
    let base = |d: Decimal| of.and_then(|u| u.difference_to_base(d)).unwrap_or(d).normalize();
    let places = |d: Decimal, scale: u32| {
        let mut d = d.abs();
        d.rescale(scale);
        d.to_string().chars().collect::<Vec<char>>()
    };
    let scale = written.scale().max(figure.scale());
    let (was, is) = (places(written, scale), places(figure, scale));
    let unlike: Vec<usize> = if was.len() == is.len() {
        (0..was.len()).filter(|at| was.get(*at) != is.get(*at)).collect()
    } else {
        Vec::new()
    };
    match repair.slip {
        Slip::Turn => [dec("0.5"), dec("0.635")].contains(&base(apart)),
        Slip::Frame => [dec("25"), dec("25.4")].contains(&base(apart)),
        Slip::Point => [10, 100]
            .map(Decimal::from)
            .iter()
            .any(|f| figure * f == written || written * f == figure),
        Slip::Turned => (figure * written - Decimal::ONE).abs() < dec("0.000001"),
        Slip::Swapped => match unlike.as_slice() {
            [a, b] => was.get(*a) == is.get(*b) && was.get(*b) == is.get(*a),
            _ => false,
        },
        Slip::Unit => figure == written && repair.unit.map(|u| u.symbol) != of.map(|u| u.symbol),
        Slip::Digit => unlike.len() == 1,
        Slip::Indicator => figure * Decimal::TWO == written || written * Decimal::TWO == figure,
    }
}

fn some_units() -> impl Strategy<Value = Option<&'static Unit>> {
    prop::sample::select(vec![
        "mm",
        "in",
        "thou",
        "µm",
        "hundredths",
        "N·m",
        "lbf·ft",
        "kgf·cm",
        "bar",
        "psi",
        "kN",
        "°C",
        "°F",
        "L",
        "g",
        "",
    ])
    .prop_map(|name| unit::find(name, None))
}

proptest! {
    /// Every repair is plausible and leads back to what was written; a figure that is plausible has none; the likeliest stands first.
    #[test]
    fn a_repair_is_plausible_and_leads_back(
        digits in -200_000i64..200_000, scale in 0u32..5, of in some_units(), way in 0usize..10, width in 0i64..400, run_out: bool,
    ) {
        let written = Decimal::new(digits, scale);
        // The limit lies about what some slip would make of the figure, or anywhere.
        let middle = match way {
            0 => written / Decimal::TEN,
            1 => written * Decimal::TEN,
            2 => written + dec("0.5"),
            3 => written - dec("25"),
            4 => written + dec("0.025"),
            5 => written / Decimal::TWO,
            6 => written * Decimal::TWO,
            7 => written + dec("20"),
            8 => written / dec("25.4"),
            _ => Decimal::from(width),
        };
        let width = middle.abs() * Decimal::new(width, 5);
        let limit = Band::between(middle - width, middle + width);
        let in_base = |figure: Decimal| of.map_or(Some(figure), |unit| unit.to_base(figure));
        let limit = match (limit.lo.and_then(in_base), limit.hi.and_then(in_base)) {
            (Some(lo), Some(hi)) => Band::between(lo, hi),
            _ => limit,
        };
        let found = repairs(written, of, Flags { run_out, ..Flags::default() }, |figure| limit.contains(figure));
        prop_assert!(found.is_sorted_by_key(|repair| repair.slip));
        if in_base(written).is_some_and(|figure| limit.contains(figure)) {
            prop_assert!(found.is_empty());
        }
        for repair in &found {
            let figure = repair.unit.map_or(Some(repair.figure), |unit| unit.to_base(repair.figure));
            prop_assert!(figure.is_some_and(|figure| limit.contains(figure)), "{}", shown(repair));
            prop_assert!(leads_back(repair, written, of), "{written} {:?} {}", repair.slip, shown(repair));
            prop_assert!(run_out || repair.slip != Slip::Indicator);
        }
        prop_assert!(found.iter().filter(|repair| repair.slip == Slip::Digit).count() <= 1);
    }

    /// A slip made on purpose is found again: the turn of a thimble, where the limit is narrower than the turn.
    #[test]
    fn a_missed_turn_is_found(size in 3_000i64..90_000, off in prop::bool::ANY) {
        let size = Decimal::new(size, 3);
        let mm = unit::find("mm", None);
        let limit = Band::between(size - dec("0.02"), size + dec("0.02"));
        let written = if off { size + dec("0.5") } else { size - dec("0.5") };
        let found = repair(written, mm, |figure| limit.contains(figure));
        prop_assert_eq!(found.map(|repair| (repair.slip, repair.figure)), Some((Slip::Turn, size)));
    }

    #[test]
    fn never_panics(value in any::<[u32; 3]>(), scale in 0u32..=28, negative: bool, of in some_units(), step in any::<i64>()) {
        let written = Decimal::from_parts(value[0], value[1], value[2], negative, scale);
        let _ = repairs(written, of, Flags { run_out: true, ..Flags::default() }, |figure| figure.is_sign_positive());
        let _ = repairs(written, of, Flags { run_out: true, ..Flags::default() }, |_| false);
        let _ = digits_too_fine(written, of, Decimal::new(step, scale.min(28)));
        let _ = digits_too_fine(Decimal::new(step, 3), of, written);
        let _ = are_exchanged(written, Decimal::new(step, 3), |_| true);
        let _ = is_implausible(written, &Band::between(written, Decimal::new(step, 3)));
    }
}

#[test]
fn a_ratio_turned_round_is_named() {
    let said = repair(dec("0.02"), None, |figure| {
        Band::between(dec("40"), dec("50")).contains(figure)
    });
    assert_eq!(
        said.map(|r| (r.figure, r.what)),
        Some((dec("50"), "the ratio turned round".to_owned()))
    );
}
