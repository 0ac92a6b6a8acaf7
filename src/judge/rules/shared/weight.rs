//! How much it weighs that a figure is out of its limit, or is not proven to be in.

use crate::judge::case::Case;
use crate::judge::finding::Severity;
use crate::model::limit::Limit;
use crate::quantity::Verdict;
use crate::uncertainty::{Acceptance, Decision};

/// Whether a figure needs no word: it is in, and not too close to call. By a rule of thumb, near it is near enough.
pub fn needs_no_word(decision: &Decision, limit: &Limit) -> bool {
    decision.verdict == Verdict::In && (!decision.is_close || limit.is_advisory())
}

/// A figure of an event that is out. What was accepted with a written reason is said, and does not stop the job.
pub fn of_out(case: &Case<'_>, event: usize, limit: &Limit, is_accepted: bool) -> Severity {
    if is_accepted || limit.is_advisory() {
        Severity::Doubt
    } else if case.came_in_worn(event) {
        Severity::Open
    } else {
        Severity::Fault
    }
}

/// A figure of an event that is not proven. Where a manual asks for proof, it weighs as much as one that is out.
pub fn of_unproven(case: &Case<'_>, event: usize, limit: &Limit, rule: Acceptance, is_accepted: bool) -> Severity {
    match rule {
        Acceptance::Plain => Severity::Doubt,
        Acceptance::Guarded | Acceptance::Probable(_) => of_out(case, event, limit, is_accepted),
    }
}
