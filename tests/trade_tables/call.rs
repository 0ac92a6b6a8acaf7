//! The trade's functions called by the names of their parameters, and figures compared.
#![allow(dead_code)]

use std::fmt::Debug;

use gudgeon::trade::function::Default as Taken;
use gudgeon::trade::materials::Material;
use gudgeon::trade::{Given, Kind, Refused, Word, named};

/// What is given for a parameter.
#[derive(Clone, Debug)]
pub enum Argument {
    Figure(f64),
    Text(String),
    Word(Word),
}

impl From<f64> for Argument {
    fn from(figure: f64) -> Argument {
        Argument::Figure(figure)
    }
}

impl From<&str> for Argument {
    fn from(text: &str) -> Argument {
        Argument::Text(text.to_owned())
    }
}

impl From<String> for Argument {
    fn from(text: String) -> Argument {
        Argument::Text(text)
    }
}

impl From<Word> for Argument {
    fn from(word: Word) -> Argument {
        Argument::Word(word)
    }
}

/// Calls a function; what is not given is taken from its defaults.
#[track_caller]
pub fn call(name: &str, arguments: &[(&str, Argument)]) -> Result<f64, Refused> {
    let function = named(name).unwrap_or_else(|| panic!("no function {name}"));
    let mut figures = vec![f64::NAN; function.parameters.len()];
    let mut words: Vec<Option<Word>> = vec![None; function.parameters.len()];
    for (place, parameter) in function.parameters.iter().enumerate() {
        let taken = parameter.default.map(|taken| match taken {
            Taken::Figure(figure) => Argument::Figure(figure),
            Taken::Word(word) => word.into(),
        });
        let own = arguments.iter().find(|(own, _)| *own == parameter.name);
        match (parameter.kind, own.map(|(_, argument)| argument.clone()).or(taken)) {
            (Kind::Word(_), Some(Argument::Word(word))) => words[place] = Some(word),
            (Kind::Word(kind), Some(Argument::Text(text))) => match kind.read(&text) {
                Ok(word) => words[place] = Some(word),
                Err(why) => return Err(Refused::new(place, why)),
            },
            (Kind::Figure(..) | Kind::Like, Some(Argument::Figure(figure))) => figures[place] = figure,
            (_, other) => panic!("{name} takes no {other:?} for its {}", parameter.name),
        }
    }
    for (own, _) in arguments {
        assert!(function.place_of(own).is_some(), "{name} has no {own}");
    }
    function.call(&Given {
        figures: &figures,
        words: &words,
    })
}

/// `worked!("press force", "interference" = 0.06, …)`: what the function gives, or why it is refused.
macro_rules! worked {
    ($name:expr $(, $parameter:literal = $value:expr)* $(,)?) => {
        $crate::call::call($name, &[$(($parameter, $crate::call::Argument::from($value))),*])
    };
}
pub(crate) use worked;

/// The same where it must not be refused.
macro_rules! work {
    ($name:expr $(, $parameter:literal = $value:expr)* $(,)?) => {
        $crate::call::worked!($name $(, $parameter = $value)*).unwrap_or_else(|refused| panic!("{}: {refused:?}", $name))
    };
}
pub(crate) use work;

/// A material of which only the modulus and Poisson's ratio are asked.
pub fn elastic(modulus: f64, ratio: f64) -> Word {
    Word::Material(Material {
        name: None,
        expansion: 0.0,
        spread: 0.0,
        elastic: Some((modulus, ratio)),
    })
}

/// A material of which only the expansion is asked, in 10⁻⁶/°C.
pub fn growing(expansion: f64) -> Word {
    Word::Material(Material {
        name: None,
        expansion: expansion * 1e-6,
        spread: 0.0,
        elastic: None,
    })
}

/// Equal within so much either way.
#[track_caller]
pub fn near(got: f64, expected: f64, within: f64, what: impl Debug) {
    let off = (got - expected).abs();
    assert!(off <= within, "{what:?}: {got} is not {expected} within {within}");
}

/// Equal within a part of the figure.
#[track_caller]
pub fn relative(got: f64, expected: f64, part: f64, what: impl Debug) {
    near(got, expected, part * expected.abs(), what);
}

/// Equal after rounding to the digits that are printed.
#[track_caller]
pub fn prints(got: f64, printed: &str, what: impl Debug) {
    let places = printed.split_once('.').map_or(0, |(_, behind)| behind.len());
    let half = 0.5 * 10_f64.powi(-(places as i32));
    let figure: f64 = printed.parse().expect("a printed figure");
    near(got, figure, half * (1.0 + 1e-9), what);
}
