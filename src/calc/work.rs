//! Works a derived feature out from the readings of a job.

use super::Rulebook;
use super::evaluate::evaluate;
use super::formula::Resolved;
use super::resolve::resolve;
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
