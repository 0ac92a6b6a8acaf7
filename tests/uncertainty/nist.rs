//! NIST StRD: see tests/data/strd/README.md.

use super::*;

/// How many significant digits agree (NIST calls it the log relative error), at most 15.
fn digits(got: f64, certified: f64) -> f64 {
    let off = ((got - certified) / certified).abs();
    if off == 0.0 { 15.0 } else { (-off.log10()).min(15.0) }
}

macro_rules! strd {
    ($name:literal) => {
        include_str!(concat!("../data/strd/", $name, ".txt"))
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
