//! The rules, one file for each family, all alike: what it is about; `check`, which looks at a job and adds findings; what that needs; `RULES`, which
//! explains each code with a log that gives it and one that does not. What several families share lies in `shared`; what is known of a job, and not
//! only said of it, is no rule and lies in `judge`.

mod agreement;
mod alike;
mod bounds;
mod circumstances;
mod costs;
mod counts;
pub mod derived;
mod drift;
mod evidence;
pub mod head;
pub mod instruments;
mod limits;
pub mod manuals;
mod names;
mod needs;
mod nominal;
mod offers;
mod opposite;
pub mod order;
mod parts;
mod ratings;
mod readings;
mod shared;
pub mod slips;
mod text;
mod threads;
mod tools;
mod twice;

use rayon::prelude::*;

use super::case::Case;
use super::finding::{Finding, Rule};

/// Looks at a job and adds findings, in any order.
type Check = fn(&Case<'_>, &mut Vec<Finding>);

/// Every family that looks at a job, in the order of the page of findings. A new one is a line here, and its `mod` above.
const FAMILIES: &[(Check, &[Rule])] = &[
    (needs::check, needs::RULES),
    (bounds::check, bounds::RULES),
    (ratings::check, ratings::RULES),
    (tools::check, tools::RULES),
    (threads::check, threads::RULES),
    (counts::check, counts::RULES),
    (limits::check, limits::RULES),
    (instruments::check, instruments::RULES),
    (readings::check, readings::RULES),
    (slips::check, slips::RULES),
    (derived::check, derived::RULES),
    (agreement::check, agreement::RULES),
    (evidence::check, evidence::RULES),
    (order::check, order::RULES),
    (circumstances::check, circumstances::RULES),
    (parts::check, parts::RULES),
    (offers::check, offers::RULES),
    (costs::check, costs::RULES),
    (names::check, names::RULES),
    (twice::check, twice::RULES),
    (drift::check, drift::RULES),
    (opposite::check, opposite::RULES),
    (nominal::check, nominal::RULES),
    (alike::check, alike::RULES),
];

/// What is said of a file before there is a job: of its text, of the manuals it names, of a manual by itself. `judge` calls these.
const OF_FILES: &[&[Rule]] = &[head::RULES, text::RULES, manuals::RULES];

/// Runs every rule over a case.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    if !is_long(case) {
        for (check, _) in FAMILIES {
            check(case, out);
        }
        return;
    }
    // What each rule says comes in the order of the rules, whichever is done first.
    let found: Vec<Vec<Finding>> = FAMILIES
        .par_iter()
        .map(|(check, _)| {
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
    let of_jobs = FAMILIES.iter().map(|(_, rules)| *rules);
    of_jobs.chain(OF_FILES.iter().copied()).flatten()
}
