//! What stands behind `if` in a manual, against what the log says.

use super::last_before;
use crate::judge::case::Case;
use crate::judge::rules::evidence::expected;
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

/// The latest reading of any part and place of it that is asked about; of a derived feature, what it comes to.
fn feature(case: &Case<'_>, target: &Target, state: FeatureState, before: Option<usize>) -> bool {
    let book = &case.rules.book;
    let Some((id, feature)) = book
        .feature(&target.feature)
        .and_then(|id| Some((id, book.features.get(id)?)))
    else {
        return false;
    };
    let end = before.unwrap_or(case.job.events.len());
    let read: Vec<Option<Verdict>> = expected(feature, Some(target))
        .into_iter()
        .filter_map(|(part, place)| last_before(case, id, part, place, end))
        .map(|(_, reading)| case.verdict_of(reading))
        .collect();
    let worked = case.finals.iter().filter(|f| f.id == id && f.result.is_ok());
    let worked = worked.map(|f| f.decision.map(|decision| decision.verdict));
    let mut all = read.into_iter().chain(worked).peekable();
    match state {
        FeatureState::Read => all.peek().is_some(),
        FeatureState::Out => all.any(|verdict| verdict == Some(Verdict::Out)),
        FeatureState::In => all.peek().is_some() && all.all(|verdict| verdict == Some(Verdict::In)),
    }
}
