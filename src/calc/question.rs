//! What a reading says besides its figure: where a dial read highest, how the crank was held, a figure of a ring, a word.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use crate::metrology::{Measured, Which, measure};
use crate::model::Job;
use crate::model::book::Book;
use crate::model::job::{Reading, Said, SaidAmount, SaidKind};
use crate::model::names::says;
use crate::quantity::{Band, Dimension};
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::{Budget, Cause, Origin, Scope, Shape, Source};

/// How far a high point found by eye may be off, either way, degrees. Common practice, no source.
pub const HIGH_DOUBT: f64 = 5.0;

/// Something asked of a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// The angle at which a dial reads highest: `high at 80°`.
    High,
    /// From the middle of the pin to what holds this end: `support 75 mm`, or half of `supports 150 mm apart`.
    Support,
    /// From the middle of the pin to the dial: `dial 35 mm`, or `dial 40 mm inboard` of its support, or `outboard`.
    Dial,
    /// The figure of a ring at an angle, degrees.
    At(Decimal),
    /// Its figure, where it says these words (a key), or a `held` line said them for it.
    IfSaid(String),
    /// Whether it says these words (a key), or a `held` line said them for it: 1 or 0.
    Says(String),
}

impl Question {
    /// What is missing where a reading has no answer.
    pub fn missing(&self) -> String {
        match self {
            Question::High => "where it reads highest (`high at 80°`) of".to_owned(),
            Question::Support => {
                "the distance of the support (`held on centres, supports 150 mm apart`) from".to_owned()
            }
            Question::Dial => "the distance of the dial (`dial 40 mm inboard`) from".to_owned(),
            Question::At(angle) => format!("the figure at {}° of", angle.normalize()),
            Question::Says(_) => "a reading of".to_owned(),
            Question::IfSaid(words) => format!("a figure that says `{words}` of"),
        }
    }

    /// The answer of a reading; `None` if it has none.
    pub fn answer(&self, job: &Job, book: &Book, index: usize) -> Option<Measured> {
        let reading = job.readings.get(index)?;
        match self {
            Question::High => {
                let amount = amount(reading, |amount| amount.name == "high at")?;
                let half = match stated(amount) {
                    Some(half) => half,
                    None => half_step(amount).max(HIGH_DOUBT),
                };
                let cause = if stated(amount).is_some() {
                    Cause::Stated
                } else {
                    Cause::Usual
                };
                Some(known(amount.last, half, origin(index, 1, cause)))
            }
            Question::Support => distance(reading, index),
            Question::Dial => {
                let own = amount(reading, |amount| amount.name == "dial" || amount.name == "dials")?;
                if own.unit.is_none_or(|unit| unit.dimension != Dimension::LENGTH) {
                    return None;
                }
                let dial = known(own.last, half_step(own), origin(index, 3, Cause::Resolution));
                let said = said_of(reading, own)?;
                let (inboard, outboard) = (said.key.contains("inboard"), said.key.contains("outboard"));
                if !inboard && !outboard {
                    return Some(dial);
                }
                let support = distance(reading, index)?;
                let sign = if outboard { 1 } else { -1 };
                Some(Measured {
                    best: support.best.checked_add(dial.best.checked_mul(sign.into())?)?,
                    between: None,
                    budget: support.budget.add(dial.budget.scale(f64::from(sign))),
                    corrections: Vec::new(),
                })
            }
            Question::At(angle) => {
                let place = reading.angles.iter().position(|at| at == angle)?;
                measure(job, book, index, Which::Point(place))
            }
            Question::IfSaid(words) => {
                let mut said = reading.said.iter();
                let is_said = said.any(|said| said.is_tick() && says(&said.key, words));
                is_said.then(|| measure(job, book, index, Which::Whole)).flatten()
            }
            Question::Says(words) => {
                let is_said = reading.said.iter().any(|said| said.is_tick() && says(&said.key, words));
                Some(Measured {
                    best: Decimal::from(u8::from(is_said)),
                    between: None,
                    budget: Budget::default(),
                    corrections: Vec::new(),
                })
            }
        }
    }
}

/// From the middle of the pin to the support.
fn distance(reading: &Reading, index: usize) -> Option<Measured> {
    let own = amount(reading, |amount| amount.name == "support" || amount.name == "supports")?;
    if own.unit.is_none_or(|unit| unit.dimension != Dimension::LENGTH) {
        return None;
    }
    let is_apart = said_of(reading, own)?.key.contains("apart");
    let share = if is_apart { Decimal::TWO } else { Decimal::ONE };
    let half = half_step(own) / if is_apart { 2.0 } else { 1.0 };
    Some(known(
        own.last.checked_div(share)?,
        half,
        origin(index, 2, Cause::Resolution),
    ))
}

/// The latest amount of a reading that is asked for: what it says itself comes before what a `held` line said.
fn amount(reading: &Reading, is_it: impl Fn(&SaidAmount) -> bool) -> Option<&SaidAmount> {
    reading.said.iter().find_map(|said| match &said.kind {
        SaidKind::Amount(amount) if is_it(amount) => Some(amount),
        _ => None,
    })
}

fn said_of<'a>(reading: &'a Reading, wanted: &SaidAmount) -> Option<&'a Said> {
    reading
        .said
        .iter()
        .find(|said| matches!(&said.kind, SaidKind::Amount(amount) if amount.span == wanted.span))
}

/// Half a unit of the last digit, base units.
fn half_step(amount: &SaidAmount) -> f64 {
    let half = crate::quantity::number::half_step(amount.written);
    let base = amount.unit.map_or(Some(half), |unit| unit.difference_to_base(half));
    base.and_then(|half| half.to_f64()).unwrap_or(0.0)
}

/// What stands behind `±`, base units.
fn stated(amount: &SaidAmount) -> Option<f64> {
    let Band {
        lo: Some(lo),
        hi: Some(hi),
        ..
    } = amount.band
    else {
        return None;
    };
    if lo == hi {
        return None;
    }
    hi.checked_sub(lo)?.to_f64().map(|width| width / 2.0)
}

/// One error for one detail of one reading; the numbers only tell details apart.
fn origin(index: usize, detail: u32, cause: Cause) -> Origin {
    let index = u32::try_from(index).unwrap_or(u32::MAX);
    Origin {
        scope: Scope::Point(index, u32::MAX - detail),
        cause,
    }
}

fn known(best: Decimal, half: f64, origin: Origin) -> Measured {
    let source = Source::within(origin, Shape::Rectangular, half);
    Measured {
        best,
        between: None,
        budget: if decimal(half).is_some_and(|half| half.is_zero()) {
            Budget::default()
        } else {
            Budget::of([source])
        },
        corrections: Vec::new(),
    }
}
