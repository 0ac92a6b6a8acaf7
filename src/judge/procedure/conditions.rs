//! What stands behind `if` in a manual, against what the log says.

use super::measured;
use crate::judge::case::Case;
use crate::model::job::EventKind;
use crate::model::manual::{Condition, ConditionKind, FeatureState, Target};
use crate::model::names::says;
use crate::quantity::Verdict;

/// Whether a condition holds by an event, or by the end of the log.
pub fn holds(case: &Case<'_>, condition: &Condition, before: Option<usize>) -> bool {
    let is_before = |event: usize| before.is_none_or(|before| event < before);
    match &condition.kind {
        ConditionKind::Did(step) => was_done(case, step, before),
        ConditionKind::NotDid(step) => !was_done(case, step, before),
        ConditionKind::Found(part, decision) => case.job.events.iter().enumerate().any(|(at, event)| {
            matches!(&event.kind, EventKind::Found(found, said)
                if is_before(at) && says(&found.key, part) && said.iter().any(|said| says(&said.key, decision)))
        }),
        ConditionKind::Got(part) => case.job.events.iter().enumerate().any(
            |(at, event)| matches!(&event.kind, EventKind::Got(got) if is_before(at) && says(&got.name.key, part)),
        ),
        ConditionKind::Feature(target, state) => feature(case, target, *state, before),
    }
}

fn was_done(case: &Case<'_>, step: &str, before: Option<usize>) -> bool {
    let id = case.rules.book.step_id(step);
    let first = id.and_then(|id| case.course.first(id));
    first.is_some_and(|first| before.is_none_or(|before| first < before))
}

/// What was last read of each part and place of it by then, or worked out.
fn feature(case: &Case<'_>, target: &Target, state: FeatureState, before: Option<usize>) -> bool {
    let end = before.unwrap_or(case.job.events.len());
    let mut known = measured(case, std::slice::from_ref(target), end);
    known.retain(|one| one.is_known);
    match state {
        FeatureState::Read => !known.is_empty(),
        FeatureState::Out => known.iter().any(|one| one.verdict == Some(Verdict::Out)),
        FeatureState::In => !known.is_empty() && known.iter().all(|one| one.verdict == Some(Verdict::In)),
    }
}
