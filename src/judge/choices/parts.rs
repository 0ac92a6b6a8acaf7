//! One of several parts at hand: a rod kit, a piston, a bearing.

use super::{Case, Choice, by_worth, candidate, is_fresh, scope};
use crate::calc::work;
use crate::judge::ahead::as_written;
use crate::model::book::FeatureId;
use crate::model::job::{EventKind, SaidKind};
use crate::model::manual::{self, Feature};
use crate::model::names::names_thing;

/// The parts that a choice is between: those of the log whose names have all its words, in the order they came up.
pub fn parts_to_choose<'a>(case: &Case<'a>, choice: &manual::Choice) -> Vec<&'a str> {
    let mut parts: Vec<&str> = Vec::new();
    for instance in &case.job.instances {
        let Some(part) = &instance.part else { continue };
        if names_thing(&part.key, &choice.what.key) && !parts.contains(&part.key.as_str()) {
            parts.push(&part.key);
        }
    }
    parts
}

/// The part that was taken: by a `chose` line, or by a step `from` it.
pub fn chosen<'a>(case: &Case<'a>, choice: &manual::Choice) -> Option<&'a str> {
    let is_it = |name: &str| names_thing(name, &choice.what.key);
    case.job.events.iter().rev().find_map(|event| match &event.kind {
        EventKind::Chose(taken, _) if is_it(&taken.key) => Some(taken.key.as_str()),
        EventKind::Did(done) if !done.is_undone() => done.said.iter().find_map(|said| match &said.kind {
            SaidKind::From(part) if is_it(part) => Some(part.as_str()),
            _ => None,
        }),
        _ => None,
    })
}

pub(super) fn among_parts<'a>(
    case: &Case<'a>,
    id: FeatureId,
    feature: &'a Feature,
    choice: &manual::Choice,
) -> Option<Choice<'a>> {
    if chosen(case, choice).is_some() {
        return None;
    }
    let limit = feature.new_limit();
    let aim = feature.aimed_at();
    let mut candidates = Vec::new();
    for part in parts_to_choose(case, choice) {
        let scope = scope(case, Some(part), None, None);
        let worked = work(case.rules, case.job, &case.by_feature, id, scope).and_then(Result::ok);
        let Some(worked) = worked.filter(|worked| is_fresh(case, worked)) else {
            continue;
        };
        let name = as_written(case, part);
        candidates.extend(candidate(case, feature, limit, aim, name, Vec::new(), &worked));
    }
    if candidates.len() < 2 {
        return None;
    }
    candidates.sort_by(by_worth);
    Some(Choice {
        what: choice.what.name.clone(),
        result: feature.name.name.clone(),
        unit: feature.shown_in(),
        limit,
        aim,
        wanted: None,
        effects: Vec::new(),
        candidates,
        taken: Some(0),
    })
}
