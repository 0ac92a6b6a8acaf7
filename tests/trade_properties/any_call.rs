//! Every function with any figures and any words.

use std::cell::Cell;

use gudgeon::trade::function::Default as Taken;
use gudgeon::trade::materials::Material;
use gudgeon::trade::{Function, Given, Kind, Parameter, Refused, Word, Words, all};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{Config, TestRunner};

/// What a slip of the keyboard, a division before the call, or malice may bring.
const ODD: &[f64] = &[
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    0.0,
    -0.0,
    1.0,
    -1.0,
    90.0,
    180.0,
    -273.15,
    f64::MAX,
    f64::MIN,
    f64::MIN_POSITIVE,
    5e-324,
    1e-300,
    1e300,
];

const ALL_WORDS: [Words; 7] = [
    Words::Zone,
    Words::Fit,
    Words::Class,
    Words::Clearance,
    Words::Material,
    Words::Thread,
    Words::PropertyClass,
];

fn texts(words: Words) -> &'static [&'static str] {
    match words {
        Words::Zone => &["25 k5", "1 H7", "500 c11", "3 N6", "52 bearing outside", "65 s6"],
        Words::Fit => &["25 H7/p6", "25 p6/H7", "25 bearing/k5", "52 N7/bearing", "500 JS13/t14"],
        Words::Class => &[
            "k5",
            "H7",
            "t6",
            "J6",
            "js13",
            "N9",
            "K14",
            "bearing bore",
            "bearing outside",
        ],
        Words::Clearance => &["C2", "CN", "C3", "C4", "C5"],
        Words::Material => &["steel", "aluminium", "cast iron", "titanium"],
        Words::Thread => &["M8", "M8x1", "M9x1", "M3", "M24", "M100x6", "M1x1e-9"],
        Words::PropertyClass => &["4.8", "5.8", "8.8", "10.9", "12.9"],
    }
}

fn read(words: Words) -> impl Strategy<Value = Word> {
    select(texts(words)).prop_map(move |text| words.read(text).expect("words that are known"))
}

/// A figure a bench may show: from a thousandth to some hundreds.
fn plain() -> impl Strategy<Value = f64> {
    (-3.0..3.0).prop_map(|power| 10_f64.powf(power))
}

fn figure(parameter: &Parameter) -> BoxedStrategy<f64> {
    let usual = match (parameter.default, parameter.kind) {
        (Some(Taken::Figure(figure)), _) => figure,
        (_, Kind::Figure(_, ends)) if ends.least.is_finite() => ends.least + 10.0,
        _ => 10.0,
    };
    prop_oneof![
        12 => plain(),
        6 => (0.5..1.5).prop_map(move |part| usual * part),
        2 => Just(usual),
        1 => select(ODD),
        1 => prop::num::f64::ANY,
    ]
    .boxed()
}

/// A material of a manual's own, with any coefficient.
fn own_material() -> impl Strategy<Value = Word> {
    (
        prop::num::f64::ANY,
        select(vec![None, Some((0.0, 0.0)), Some((207e3, 0.29))]),
    )
        .prop_map(|(expansion, elastic)| {
            Word::Material(Material {
                name: None,
                expansion,
                spread: 0.0,
                elastic,
            })
        })
}

/// The right word, or none, or one of another kind, or an odd material.
fn word(parameter: &Parameter) -> BoxedStrategy<Option<Word>> {
    let Kind::Word(words) = parameter.kind else {
        return Just(None).boxed();
    };
    prop_oneof![
        20 => read(words).prop_map(Some),
        1 => Just(None),
        1 => select(&ALL_WORDS[..]).prop_flat_map(read).prop_map(Some),
        1 => own_material().prop_map(Some),
    ]
    .boxed()
}

/// Figures, words, and how many of the figures are missing at the end.
fn arguments(function: &Function) -> impl Strategy<Value = (Vec<f64>, Vec<Option<Word>>)> + use<> {
    let figures: Vec<_> = function.parameters.iter().map(figure).collect();
    let words: Vec<_> = function.parameters.iter().map(word).collect();
    let missing = prop_oneof![30 => Just(0_usize), 1 => 1_usize..4];
    (figures, words, missing).prop_map(|(mut figures, words, missing)| {
        figures.truncate(figures.len().saturating_sub(missing));
        (figures, words)
    })
}

fn is_sound(function: &Function, result: &Result<f64, Refused>) -> bool {
    match result {
        Ok(figure) => figure.is_finite() || (function.is_range && *figure == f64::INFINITY),
        Err(refused) => refused.parameter < function.parameters.len() && refused.why.chars().any(char::is_alphabetic),
    }
}

/// Whether a figure that is asked for is missing or no number.
fn lacks(function: &Function, given: &Given<'_>) -> bool {
    let asked = |kind: &Kind| !matches!(kind, Kind::Word(_));
    let mut places = function.parameters.iter().enumerate();
    places.any(|(place, parameter)| asked(&parameter.kind) && !given.figure(place).is_finite())
}

/// No call panics, gives what is no number, or is refused without a sentence; and what lacks a figure is refused.
#[test]
fn any_call_comes_to_a_number_or_a_sentence() {
    for function in all() {
        let (worked, refused) = (Cell::new(0), Cell::new(0));
        let mut runner = TestRunner::new(Config {
            cases: 2000,
            failure_persistence: None,
            ..Config::default()
        });
        let checked = runner.run(&arguments(function), |(figures, words)| {
            let given = Given {
                figures: &figures,
                words: &words,
            };
            let result = function.call(&given);
            prop_assert!(is_sound(function, &result), "{}: {result:?}", function.name);
            prop_assert!(
                result.is_err() || !lacks(function, &given),
                "{}: {result:?}",
                function.name
            );
            let count = if result.is_ok() { &worked } else { &refused };
            count.set(count.get() + 1);
            Ok(())
        });
        checked.unwrap_or_else(|failed| panic!("{}: {failed}", function.name));
        // Both ways were gone: a function that refuses everything would be sound as well.
        assert!(worked.get() > 0, "{} was never worked", function.name);
        assert!(refused.get() > 0, "{} never refused", function.name);
    }
}

/// Each odd figure in each place, the others as a bench shows them.
#[test]
fn one_odd_figure_at_a_time() {
    for function in all() {
        for place in 0..function.parameters.len() {
            for odd in ODD {
                let mut figures = vec![10.0; function.parameters.len()];
                figures[place] = *odd;
                let words: Vec<Option<Word>> = function.parameters.iter().map(first_word).collect();
                let result = function.call(&Given {
                    figures: &figures,
                    words: &words,
                });
                assert!(is_sound(function, &result), "{} {figures:?}: {result:?}", function.name);
            }
        }
    }
}

fn first_word(parameter: &Parameter) -> Option<Word> {
    match parameter.kind {
        Kind::Word(words) => words.read(texts(words)[0]).ok(),
        _ => None,
    }
}

proptest! {
    /// Whatever is written for words is read, or refused with a sentence; what was read of a class or fit has limits that are numbers.
    #[test]
    fn any_text_is_words_or_a_sentence(
        words in select(&ALL_WORDS[..]),
        text in prop_oneof!["\\PC{0,12}", "[0-9.,]{0,4} ?[A-Za-z]{0,2}[0-9]{0,2}(/[A-Za-z]{0,2}[0-9]{0,2})?", "[Mm][0-9.,]{0,4}([x×][0-9.]{0,4})?"],
    ) {
        match words.read(&text) {
            Ok(Word::Zone(zone)) => {
                let (least, greatest) = zone.limits().map_err(TestCaseError::fail)?;
                prop_assert!(least < greatest, "{}", text);
            }
            Ok(Word::Fit(fit)) => {
                let (least, greatest) = fit.clearance().map_err(TestCaseError::fail)?;
                prop_assert!(least < greatest, "{}", text);
            }
            Ok(Word::Thread(thread)) => prop_assert!(thread.root() > 0.0 && thread.area() > 0.0, "{}", text),
            Ok(_) => {}
            Err(why) => prop_assert!(why.chars().any(char::is_alphabetic), "{}", text),
        }
    }
}
