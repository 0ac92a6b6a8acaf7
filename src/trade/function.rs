//! What a function of the trade is: its name, what it takes, where it holds, and how it is found.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use super::codes::{self, Fit, Zone};
use super::fasteners::{PropertyClass, Thread};
use super::materials::Material;
use super::{bearings, crank, cylinder, fasteners, fits, leaks, materials, mesh, wear};
use crate::quantity::Dimension;

/// A calculation of the trade.
#[derive(Debug)]
pub struct Function {
    /// Its name, as it is called in a sum.
    pub name: &'static str,
    /// Which chapter of the page it stands in.
    pub group: Group,
    /// What it gives, in one sentence.
    pub says: &'static str,
    /// What it takes, in order.
    pub parameters: &'static [Parameter],
    /// What its result is a measure of.
    pub gives: Gives,
    /// Where it holds, and where it does not.
    pub holds: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// A call and what it comes to; run as a test.
    pub example: Example,
    /// Its work: in and out in mm, N, N/mm², s, °C, degrees, tonnes.
    pub work: fn(&Given<'_>) -> Result<f64, Refused>,
    /// Whether its result is a range over everything its figures may be, and no distribution: hours left, which have no upper end where no wear is proven.
    pub is_range: bool,
}

/// The chapters of the page of functions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Limits and fits, press and heat fits.
    Fits,
    /// Rolling bearings.
    Bearings,
    /// Built-up crankshafts.
    Crankshaft,
    /// Gears and shims.
    Mesh,
    /// Stroke, ports, spark, compression.
    Cylinder,
    /// Bolts.
    Fasteners,
    /// Leaks, mixtures and pumps.
    Leaks,
    /// Wear.
    Wear,
}

impl Group {
    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Group::Fits => "Fits",
            Group::Bearings => "Rolling bearings",
            Group::Crankshaft => "Built-up crankshafts",
            Group::Mesh => "Gears, guides and shims",
            Group::Cylinder => "Cylinder, ports and spark",
            Group::Fasteners => "Fasteners",
            Group::Leaks => "Leaks, mixtures and pumps",
            Group::Wear => "Wear",
        }
    }
}

/// A call as it is written in a manual, and its result.
#[derive(Clone, Copy, Debug)]
pub struct Example {
    /// The call.
    pub call: &'static str,
    /// What it comes to, with its unit.
    pub gives: &'static str,
    /// Where that figure comes from.
    pub source: &'static str,
}

/// What a result is a measure of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// Always of this.
    Of(Dimension),
    /// Of what its figures of any kind are, by time.
    LikeByTime,
}

/// One thing that a function takes.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name; an argument may be given as `name = …`.
    pub name: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// What it means.
    pub says: &'static str,
    /// What is taken where nothing is given.
    pub default: Option<Default>,
}

/// What is taken for an argument that is not given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Default {
    /// A figure.
    Figure(f64),
    /// A word.
    Word(&'static str),
}

/// What may stand for a parameter.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A figure of this dimension, within these ends.
    Figure(Dimension, Ends),
    /// A figure of any dimension; all such figures of a call are of one.
    Like,
    /// Words.
    Word(Words),
}

/// Where a figure must lie.
#[derive(Clone, Copy, Debug)]
pub struct Ends {
    /// Not below this.
    pub least: f64,
    /// Not above this.
    pub most: f64,
    /// Whether `least` itself is no such figure.
    pub above: bool,
}

/// What words may stand for a parameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// `25 k5`
    Zone,
    /// `25 H7/p6`
    Fit,
    /// `k5`
    Class,
    /// `C3`
    Clearance,
    /// `aluminium`
    Material,
    /// `M8`, `M8x1`
    Thread,
    /// `8.8`
    PropertyClass,
}

impl Words {
    /// What is written there, for the page and for messages.
    pub fn shown(self) -> &'static str {
        match self {
            Words::Zone => "a size with its class, as `25 k5`",
            Words::Fit => "a fit, as `25 H7/p6`",
            Words::Class => "a class, as `k5`",
            Words::Clearance => "a clearance class: C2, CN, C3, C4 or C5",
            Words::Material => "a material: steel, cast iron, aluminium, bronze, magnesium, titanium …",
            Words::Thread => "a thread, as `M8` or `M8x1`",
            Words::PropertyClass => "a property class: 4.8, 5.8, 8.8, 10.9 or 12.9",
        }
    }

    /// Reads what is written there.
    pub fn read(self, text: &str) -> Result<Word, String> {
        let text = text.trim();
        match self {
            Words::Zone => codes::zone(text).map(Word::Zone),
            Words::Fit => codes::fit(text).map(Word::Fit),
            Words::Class => codes::class(text).map(Word::Class),
            Words::Clearance => bearings::Clearance::read(text).map(Word::Clearance),
            Words::Material => materials::material(&text.to_lowercase())
                .map(Word::Material)
                .ok_or_else(|| {
                    format!(
                        "`{text}` is no material that is known; there are {}",
                        materials::names().collect::<Vec<_>>().join(", ")
                    )
                }),
            Words::Thread => Thread::read(text).map(Word::Thread),
            Words::PropertyClass => PropertyClass::read(text).map(Word::PropertyClass),
        }
    }
}

/// Words that were read.
#[derive(Clone, Debug, PartialEq)]
pub enum Word {
    /// A size with its class.
    Zone(Zone),
    /// Two classes on one size.
    Fit(Fit),
    /// A class alone.
    Class(codes::Class),
    /// Of a bearing's internal clearance.
    Clearance(bearings::Clearance),
    /// A material.
    Material(Material),
    /// A thread.
    Thread(Thread),
    /// Of a bolt.
    PropertyClass(PropertyClass),
}

/// Why a function cannot be worked with what it was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Which parameter is to be looked at: its place in the list.
    pub parameter: usize,
    /// What is wrong, in workshop words.
    pub why: String,
}

impl Refused {
    /// A refusal for a parameter by its place.
    pub fn new(parameter: usize, why: impl Into<String>) -> Refused {
        Refused {
            parameter,
            why: why.into(),
        }
    }
}

/// What a function was given: a figure or a word for each parameter.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// Figures by place; what stands for a word is not asked for.
    pub figures: &'a [f64],
    /// Words by place.
    pub words: &'a [Option<Word>],
}

impl Given<'_> {
    /// The figure of a parameter; `NaN` where there is none.
    pub fn figure(&self, place: usize) -> f64 {
        self.figures.get(place).copied().unwrap_or(f64::NAN)
    }

    /// The word of a parameter.
    pub fn word(&self, place: usize) -> Option<&Word> {
        self.words.get(place).and_then(Option::as_ref)
    }
}

impl Parameter {
    const fn of(name: &'static str, kind: Kind, says: &'static str) -> Parameter {
        Parameter {
            name,
            kind,
            says,
            default: None,
        }
    }

    /// A figure of any size.
    pub const fn figure(name: &'static str, dimension: Dimension, says: &'static str) -> Parameter {
        Parameter::within(name, dimension, f64::NEG_INFINITY, f64::INFINITY, says)
    }

    /// A figure above nothing.
    pub const fn positive(name: &'static str, dimension: Dimension, says: &'static str) -> Parameter {
        let ends = Ends {
            least: 0.0,
            most: f64::INFINITY,
            above: true,
        };
        Parameter::of(name, Kind::Figure(dimension, ends), says)
    }

    /// A figure from `least` to `most`.
    pub const fn within(
        name: &'static str,
        dimension: Dimension,
        least: f64,
        most: f64,
        says: &'static str,
    ) -> Parameter {
        let ends = Ends {
            least,
            most,
            above: false,
        };
        Parameter::of(name, Kind::Figure(dimension, ends), says)
    }

    /// A figure of whatever kind the others of its call are.
    pub const fn like(name: &'static str, says: &'static str) -> Parameter {
        Parameter::of(name, Kind::Like, says)
    }

    /// Words.
    pub const fn word(name: &'static str, words: Words, says: &'static str) -> Parameter {
        Parameter::of(name, Kind::Word(words), says)
    }

    /// The same with what is taken where nothing is given.
    pub const fn or(self, figure: f64) -> Parameter {
        Parameter {
            default: Some(Default::Figure(figure)),
            ..self
        }
    }

    /// The same with the word that is taken where none is given.
    pub const fn or_word(self, word: &'static str) -> Parameter {
        Parameter {
            default: Some(Default::Word(word)),
            ..self
        }
    }
}

/// A figure for a message: four digits at most, without a tail of noughts.
pub(super) fn shown(figure: f64) -> String {
    if figure == 0.0 || !figure.is_finite() {
        return format!("{figure}");
    }
    let size = figure.abs().log10().floor();
    let places = (3.0 - size).clamp(0.0, 6.0) as usize;
    let text = format!("{figure:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

impl Function {
    /// Works it out. What lies outside its parameters' ends, and what does not come to a number, is refused.
    ///
    /// The result is a number, or infinite only where the function is a range.
    pub fn call(&self, given: &Given<'_>) -> Result<f64, Refused> {
        for (place, parameter) in self.parameters.iter().enumerate() {
            let figure = given.figure(place);
            let ends = match parameter.kind {
                Kind::Word(_) => continue,
                Kind::Like if figure.is_finite() => continue,
                Kind::Like => None,
                Kind::Figure(_, ends) => Some(ends),
            };
            if let Some(why) = outside(parameter, figure, ends) {
                return Err(Refused::new(place, why));
            }
        }
        let result = (self.work)(given)?;
        if result.is_finite() || (self.is_range && result == f64::INFINITY) {
            Ok(result)
        } else {
            Err(Refused::new(0, "these figures come to no number"))
        }
    }

    /// The place of a parameter by its name, in any case.
    pub fn place_of(&self, name: &str) -> Option<usize> {
        self.parameters.iter().position(|p| p.name.eq_ignore_ascii_case(name))
    }
}

/// What is wrong with a figure that lies outside its ends.
fn outside(parameter: &Parameter, figure: f64, ends: Option<Ends>) -> Option<String> {
    let name = parameter.name;
    if !figure.is_finite() {
        return Some(format!("the {name} is no number"));
    }
    let ends = ends?;
    if ends.above && figure <= ends.least {
        return Some(format!("the {name} must be more than {}", shown(ends.least)));
    }
    if figure < ends.least {
        return Some(format!("the {name} must not be less than {}", shown(ends.least)));
    }
    (figure > ends.most).then(|| format!("the {name} must not be more than {}", shown(ends.most)))
}

/// Every function, chapter by chapter.
pub fn all() -> &'static [&'static Function] {
    static ALL: LazyLock<Vec<&'static Function>> = LazyLock::new(|| {
        [
            fits::FUNCTIONS,
            bearings::FUNCTIONS,
            crank::FUNCTIONS,
            mesh::FUNCTIONS,
            cylinder::FUNCTIONS,
            fasteners::FUNCTIONS,
            leaks::FUNCTIONS,
            wear::FUNCTIONS,
        ]
        .into_iter()
        .flatten()
        .collect()
    });
    &ALL
}

/// A function by its name, in any case and spacing.
pub fn named(name: &str) -> Option<&'static Function> {
    static NAMED: LazyLock<FxHashMap<String, &'static Function>> = LazyLock::new(|| {
        all()
            .iter()
            .map(|function| (folded(function.name), *function))
            .collect()
    });
    NAMED.get(folded(name).as_str()).copied()
}

/// Lower case, one space between words.
fn folded(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for word in name.split_whitespace() {
        if !folded.is_empty() {
            folded.push(' ');
        }
        folded.extend(word.chars().map(|c| c.to_ascii_lowercase()));
    }
    folded
}

/// All names.
pub fn names() -> impl Iterator<Item = &'static str> {
    all().iter().map(|function| function.name)
}
