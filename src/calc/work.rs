//! Works a derived feature out from the readings of a job.

use std::sync::Arc;

use super::Rulebook;
use super::evaluate::evaluate;
use super::formula::{Formula, Leaf, Resolved};
use super::resolve::resolve;
use crate::metrology::Measured;
use crate::model::Job;
use crate::model::book::FeatureId;
use crate::quantity::{Band, BandError};
use crate::uncertainty::Budget;
use rust_decimal::Decimal;

/// What a sum came to, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// From the figures as written: what a sum in the head comes to.
    pub written: Band,
    /// The best single value, from the corrected figures.
    pub best: Decimal,
    /// What blades and ranges among its figures leave open; `None` for a single value.
    pub between: Option<Band>,
    /// Everything it may be off by, first order (JCGM 100:2008).
    pub budget: Budget,
    /// The sum with its figures.
    pub resolved: Resolved,
    /// Every reading it rests on: indices into `Job::readings`.
    pub inputs: Vec<usize>,
    /// Those that decided it: of `smallest(bore)` only the smallest.
    pub deciding: Vec<usize>,
}

/// Why a sum came to nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// A feature was not read: its name, part, place.
    Missing(String),
    /// A feature has several readings where one is wanted: its name, how many.
    Several(String, usize),
    /// All it takes is one figure, held against itself: the spread of one reading, a bore read once less itself. It says nothing.
    Alone,
    /// The figures cannot be worked with.
    Arithmetic(BandError),
    /// Derived features rest on each other too deeply.
    TooDeep,
    /// A function of the trade cannot be worked with what it was given.
    Refused(Box<Impossible>),
}

/// What a function of the trade cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Impossible {
    /// The function.
    pub function: &'static str,
    /// Why not, in workshop words.
    pub why: String,
    /// The readings behind the figure that is to be looked at: indices into `Job::readings`.
    pub readings: Vec<usize>,
}

/// Which readings count, and for which part and place the sum is worked.
#[derive(Clone, Copy)]
pub struct Scope<'a> {
    /// Readings of events before this one; `None`: all.
    pub before: Option<usize>,
    /// The sum's own part: key.
    pub part: Option<&'a str>,
    /// The sum's own place: key.
    pub place: Option<&'a str>,
    /// Parts that were left for others: keys. Their readings do not count.
    pub left: &'a [String],
    /// A figure that stands for a feature, whatever was read of it: a shim of the stock.
    pub supposed: Option<&'a Supposed>,
}

/// A figure that is only supposed.
#[derive(Clone, Debug)]
pub struct Supposed {
    /// Of which feature.
    pub feature: FeatureId,
    /// What is known of it.
    pub measured: Measured,
}

/// Works out a derived feature. `None` if it has no sum.
pub fn work(
    rules: &Rulebook,
    job: &Job,
    by_feature: &[Vec<usize>],
    feature: FeatureId,
    scope: Scope<'_>,
) -> Option<Result<Worked, Reason>> {
    Some(resolve(rules, job, by_feature, feature, scope)?.and_then(evaluate))
}

/// A call of a function of the trade, with its figures.
#[derive(Clone, Debug)]
pub struct Call<'a> {
    /// Its figures at their best, in the function's own units.
    pub figures: Vec<f64>,
    /// What stands for each, where that is one figure of the log.
    pub leaves: Vec<Option<&'a Leaf>>,
}

impl Worked {
    /// The call of a function of the trade that the sum is. `None` for any other sum.
    pub fn call(&self) -> Option<Call<'_>> {
        let Formula::Trade(called, arguments) = &self.resolved.formula else {
            return None;
        };
        let best = |leaf: usize| {
            let leaf = self.resolved.leaves.get(leaf);
            leaf.map_or(f64::NAN, |leaf| super::formula::float(leaf.measured.best))
        };
        let figures: Vec<f64> = arguments.iter().map(|argument| argument.float(&best)).collect();
        let leaves = arguments.iter().map(|argument| match argument {
            Formula::Leaf(leaf) => self.resolved.leaves.get(*leaf),
            _ => None,
        });
        Some(Call {
            figures: called.figures(&figures),
            leaves: leaves.collect(),
        })
    }

    /// What another function of the trade makes of the same figures: the spread of a crank whose twist this is. `None` if there is none of that name, or it
    /// cannot be worked.
    pub fn also(&self, name: &str) -> Option<Worked> {
        let Formula::Trade(called, arguments) = &self.resolved.formula else {
            return None;
        };
        let called = called.as_another(crate::trade::named(name)?)?;
        let resolved = Resolved {
            formula: Formula::Trade(Arc::new(called), arguments.clone()),
            leaves: self.resolved.leaves.clone(),
        };
        evaluate(resolved).ok()
    }
}
