//! Derived features: sums compiled and checked for dimension ([`sum`]), given the readings of a job ([`formula`]), and worked out with
//! their uncertainty ([`mod@work`], [`estimate`]).
//!
//! Nothing here decides: whether what comes out is in its limit is the judge's affair, and formulas of the trade live in `trade`.

mod call;
pub mod estimate;
mod evaluate;
pub mod formula;
pub mod function;
pub mod question;
pub mod reckon;
mod resolve;
pub mod sum;
pub mod trade;
pub mod work;

use crate::model::Book;
use crate::model::book::FeatureId;
use crate::model::job::{Reading, ReadingKind};
use crate::quantity::unit;
use crate::syntax::ast::SyntaxError;

pub use estimate::Known;
pub use sum::Sum;
pub use work::{Impossible, Reason, Scope, Supposed, Worked, work};

/// A book with its sums compiled: everything a log is judged by. Shared by all logs that name the same manuals.
#[derive(Debug, Default)]
pub struct Rulebook {
    /// The manuals put together.
    pub book: Book,
    /// The sum of each feature, in the order of `book.features`.
    pub sums: Vec<Option<Sum>>,
    /// What is wrong with the sums, with the index of the manual it stands in.
    pub problems: Vec<(usize, SyntaxError)>,
}

impl Rulebook {
    /// Every feature that a derived one rests on, through others too; none for what is only read.
    pub fn rests_on(&self, feature: FeatureId) -> Vec<FeatureId> {
        let mut list: Vec<FeatureId> = Vec::new();
        let mut open = vec![feature];
        // No sum of a workshop rests on so many; one that does is not followed to its end.
        while let Some(next) = open.pop().filter(|_| list.len() < 1000) {
            let Some(Some(sum)) = self.sums.get(next) else { continue };
            for input in sum.features() {
                if input != feature && !list.contains(&input) {
                    list.push(input);
                    open.push(input);
                }
            }
        }
        list
    }

    /// Compiles the sums of a book. A derived feature without a unit of its own is shown in the usual one of its dimension. The limits of one
    /// that comes to a difference were read before that was known: 40 °C in them is then 40 °C of difference.
    pub fn new(mut book: Book) -> Rulebook {
        let (sums, problems) = sum::compile(&book);
        for (feature, sum) in book.features.iter_mut().zip(&sums) {
            let Some(dimension) = sum.as_ref().and_then(|s| s.dimension) else {
                continue;
            };
            match feature.unit {
                None => feature.unit = unit::usual(dimension),
                Some(_) => feature.read_as(dimension),
            }
        }
        Rulebook { book, sums, problems }
    }
}

/// Whether a reading of a derived feature is a claim (a figure worked in the head) rather than a measurement: a single figure, by
/// no tool.
pub fn is_claim(reading: &Reading) -> bool {
    reading.tool.is_none() && matches!(reading.kind, ReadingKind::Single | ReadingKind::Sum(_))
}
