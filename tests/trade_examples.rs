//! Every function of the trade: its example comes to what the page says, and the page's promises hold.

use gudgeon::calc::reckon::reckon;
use gudgeon::quantity::number::{half_step, parse};
use gudgeon::quantity::unit;
use gudgeon::trade::{self, Kind, function::Default};
use rust_decimal::Decimal;

/// The figure in front of a unit, and the unit.
fn split(gives: &str) -> (&str, &str) {
    gives.split_once(' ').unwrap_or((gives, ""))
}

#[test]
fn every_example_comes_to_what_is_written() {
    for function in trade::all() {
        let example = &function.example;
        let (figure, wanted) = split(example.gives);
        let sum = if wanted.is_empty() {
            example.call.to_owned()
        } else {
            format!("{} in {wanted}", example.call)
        };
        let reckoned = reckon(&sum).unwrap_or_else(|problem| panic!("{sum}: {problem}"));
        let base = reckoned.worked.best;
        let got = reckoned
            .unit
            .map_or(Some(base), |unit| unit.from_base(base))
            .expect("fits");
        let expected = parse(figure).expect("a figure");
        assert!(
            (got - expected).abs() <= half_step(expected) + Decimal::new(1, 9),
            "{sum} is {got}, not {expected}"
        );
    }
}

#[test]
fn every_function_is_called_by_its_own_example_and_says_where_it_comes_from() {
    for function in trade::all() {
        assert!(
            function.example.call.starts_with(&format!("{}(", function.name)),
            "{}",
            function.name
        );
        for text in [function.says, function.holds, function.source, function.example.source] {
            assert!(text.len() > 3, "{} says too little", function.name);
        }
        for parameter in function.parameters {
            assert!(!parameter.says.is_empty());
            // A word that is taken by default must be one.
            if let (Kind::Word(words), Some(Default::Word(word))) = (parameter.kind, parameter.default) {
                words
                    .read(word)
                    .unwrap_or_else(|why| panic!("{}: {why}", function.name));
            }
        }
        let same = trade::all().iter().filter(|other| other.name == function.name);
        assert_eq!(same.count(), 1, "{} is there twice", function.name);
    }
}

/// A sum and what it comes to in the unit behind it, as a mechanic would ask.
#[test]
fn a_sum_at_the_bench() {
    for (sum, expected) in [
        ("12 N * 60 mm", "0.72 N·m"),
        ("leak-down(80 psi, 62 psi) in %", "22.5 %"),
        (
            "press force(0.065 mm, 22 mm, 44 mm, length = 17 mm, friction = 0.12) in t",
            "3.3 t",
        ),
        ("2.40 mm + 0.06 mm - 0.13 mm", "2.33 mm"),
    ] {
        let reckoned = reckon(sum).unwrap_or_else(|problem| panic!("{sum}: {problem}"));
        let (figure, wanted) = split(expected);
        let unit = unit::find(wanted, reckoned.unit.map(|unit| unit.dimension)).expect("a unit");
        let got = unit.from_base(reckoned.worked.best).expect("fits");
        let expected = parse(figure).expect("a figure");
        assert!((got - expected).abs() <= half_step(expected), "{sum} is {got}");
    }
}

#[test]
fn what_cannot_be_is_said_in_words() {
    for (sum, words) in [
        (
            "piston drop(20°, stroke = 54 mm, rod = 25 mm)",
            "shorter than half the stroke",
        ),
        (
            "ignition angle(1.8 mm, stroke = 27 mm, rod = 105 mm)",
            "the throw, half the stroke",
        ),
        (
            "port duration(60 mm, stroke = 54 mm, rod = 105 mm)",
            "never stands 60 mm below its top",
        ),
        (
            "contact pressure(0.06 mm, diameter = 22 mm, outside = 20 mm)",
            "no wall",
        ),
        (
            "contact pressure(6 mm, diameter = 22 mm, outside = 60 mm)",
            "decimal point",
        ),
        ("ratio of compression(11 cc, 123 cc)", "holds more than is swept"),
        ("leak-down(62 psi, 80 psi)", "swapped"),
        ("least size(25 q6)", "no tolerance class"),
        ("least size(600 h6)", "1 to 500 mm"),
        ("least clearance(25 H7/P6)", "two holes"),
        ("proof load(M8, 7.7)", "no property class"),
        ("stress area(M8x9)", "no metric thread"),
        (
            "press force(1 kg, 22 mm, 60 mm, length = 18 mm)",
            "is a length, not a mass",
        ),
        ("press force(0.06 mm, 22 mm, 60 mm)", "is not given its length"),
        (
            "press force(0.06 mm, 22 mm, 60 mm, lenght = 18 mm)",
            "takes no `lenght`",
        ),
        (
            "web twist(0.01 mm, 0°, 0.01 mm, 0°, 27 mm, 75 mm, 75 mm, 75 mm, 35 mm)",
            "stands over the support",
        ),
        ("wear rate(0.1 mm, 0.2 kg, 40 h)", "not a mass"),
        ("1 mm / (2 mm - 2 mm)", "divided by what may be 0"),
        ("premix oil(5 L, 1:50)", "must not be less than 2"),
        (
            "hours left(0.062 mm, 0.062 mm, limit = 0.100 mm, time = 40 h)",
            "nothing is seen to change",
        ),
        ("", "write one sum"),
        ("round(3 mm, 0 mm)", "above nothing"),
    ] {
        let problem = reckon(sum).err().unwrap_or_else(|| panic!("{sum} was worked"));
        assert!(problem.contains(words), "{sum}: {problem}");
        assert!(
            !problem.to_lowercase().contains("nan") && !problem.contains("inf"),
            "{problem}"
        );
    }
}

/// A range for an argument gives a range.
#[test]
fn friction_is_a_range() {
    let sum = "press force(0.060 mm, 22 mm, 60 mm, length = 18 mm, friction = 0.12 to 0.20)";
    let band = reckon(sum).expect("worked").worked.between.expect("a range");
    let newton = |end: Option<Decimal>| end.map(|end| (end / Decimal::from(1000)).round());
    // 36 474.569 N and five thirds of it.
    assert_eq!(newton(band.lo), Some(Decimal::from(36_475)));
    assert_eq!(newton(band.hi), Some(Decimal::from(60_791)));
}

/// Wear of 0.014 ± 0.010 mm in 40 h leaves 63 to 380 h of 0.038 mm (common practice: print the range).
#[test]
fn hours_left_are_a_range_and_may_have_no_end() {
    let hours = |sum: &str| {
        let band = reckon(sum).expect("worked").worked.between.expect("a range");
        let hour = |end: Option<Decimal>| end.map(|end| (end / Decimal::from(3600)).round());
        (hour(band.lo), hour(band.hi))
    };
    let sum = |then: &str| format!("hours left({then}, 0.062 mm, limit = 0.100 mm, time = 40 h)");
    assert_eq!(
        hours(&sum("0.038 mm to 0.058 mm")),
        (Some(Decimal::from(63)), Some(Decimal::from(380)))
    );
    assert_eq!(hours(&sum("0.038 mm to 0.062 mm")), (Some(Decimal::from(63)), None));
}
