//! Order over a finite log: patterns of steps, and what a log makes of each. It knows no manual and no job: steps are any values that can be
//! compared, and a log is the list of what was done.
//!
//! The patterns are those of declarative procedures over finite traces. For a closed log each is kept or broken, as the formula of linear temporal
//! logic over finite traces (De Giacomo and Vardi, 2013) that stands beside it says. For an open one it is broken only if no way to go on could keep
//! it any more, and open if it is not kept yet. `tests/outside/order.py` holds all of it against the package `flloat`.

mod pattern;
mod slices;

pub use pattern::{Breach, Outcome, Pattern, State};

/// One time a step was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Occurrence<'a, S> {
    /// The step.
    pub step: S,
    /// The only parts or places it was done on; none means all.
    pub on: Vec<&'a str>,
}

/// What was done, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace<'a, S> {
    /// Each time a step was done.
    pub occurrences: Vec<Occurrence<'a, S>>,
    /// Whether nothing will be added.
    pub is_closed: bool,
}

impl<S> Default for Trace<'_, S> {
    fn default() -> Self {
        Trace {
            occurrences: Vec::new(),
            is_closed: false,
        }
    }
}
