//! The rules, one file for each family. Each has a `check` that adds findings, and `RULES` that explains them.

mod agreement;
mod bounds;
pub mod circumstances;
pub mod consistency;
mod costs;
mod counts;
pub mod derived;
pub mod evidence;
pub mod head;
mod holds;
pub mod instruments;
pub mod limits;
pub mod manuals;
pub mod names;
pub mod needs;
mod offers;
pub mod order;
pub mod parts;
mod ratings;
pub mod readings;
pub mod slips;
pub mod text;
mod threads;
mod tools;
mod traced;
mod unworked;
mod weight;

use rayon::prelude::*;

use super::case::Case;
use super::finding::{Finding, Rule};

/// Every rule that looks at a job.
const CHECKS: &[fn(&Case<'_>, &mut Vec<Finding>)] = &[
    names::check,
    readings::check,
    slips::check,
    limits::check,
    instruments::check,
    derived::check,
    agreement::check,
    consistency::check,
    evidence::check,
    order::check,
    needs::check,
    ratings::check,
    tools::check,
    counts::check,
    parts::check,
    offers::check,
    costs::check,
];

/// Runs every rule over a case.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    if !is_long(case) {
        for check in CHECKS {
            check(case, out);
        }
        return;
    }
    // What each rule says comes in the order of the rules, whichever is done first.
    let found: Vec<Vec<Finding>> = CHECKS
        .par_iter()
        .map(|check| {
            let mut found = Vec::new();
            check(case, &mut found);
            found
        })
        .collect();
    out.extend(found.into_iter().flatten());
}

/// Whether a job is so long that it pays to share the work between processors.
pub fn is_long(case: &Case<'_>) -> bool {
    case.job.events.len() > LONG
}

/// From how many events on.
const LONG: usize = 2000;

/// The explanation of every code, by family.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    [
        needs::RULES,
        bounds::RULES,
        ratings::RULES,
        tools::RULES,
        threads::RULES,
        counts::RULES,
        limits::RULES,
        instruments::RULES,
        readings::RULES,
        slips::RULES,
        derived::RULES,
        agreement::RULES,
        evidence::RULES,
        order::RULES,
        circumstances::RULES,
        parts::RULES,
        offers::RULES,
        costs::RULES,
        names::RULES,
        head::RULES,
        text::RULES,
        manuals::RULES,
    ]
    .into_iter()
    .flatten()
    .chain(consistency::rules())
}
