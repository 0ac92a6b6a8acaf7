//! Readings that are owed, as lines to be filled in: with the unit that is meant and the tool that was used before.

use super::lines::{at_end, entry_at};
use super::ticket::Ticket;
use super::{Action, meets};
use crate::calc::Reason;
use crate::editor::Page;
use crate::editor::hover::case_of;
use crate::judge::case::Case;
use crate::judge::owed::absent;
use crate::judge::procedure::{holds, in_play};
use crate::judge::{Analysis, Edit, words};
use crate::model::book::FeatureId;
use crate::model::job::Reading;
use crate::model::manual::Target;
use crate::quantity::Unit;
use crate::syntax::Span;
use crate::syntax::ast::Statement;

/// The first word of its data.
pub(super) const WHAT: &str = "missing";

/// Offered where readings are missing: at the finding, on the line of a day, and at the head of the log.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    let missing: Vec<usize> = page
        .findings()
        .iter()
        .enumerate()
        .filter(|(_, finding)| finding.code == "reading.missing")
        .map(|(index, _)| index)
        .collect();
    let Some(first) = missing.first() else { return };
    let is_day = entry_at(log, span.start).is_some_and(|entry| matches!(entry.statement, Statement::Day { .. }));
    let touched = missing.iter().copied().find(|index| {
        page.findings()
            .get(*index)
            .is_some_and(|finding| meets(finding.span, span))
    });
    if !is_day && touched.is_none() {
        return;
    }
    let ticket = Ticket::new(page, WHAT, span, "");
    let Some(count) = edits(log, &ticket).and_then(|edits| Some(edits.first()?.text.lines().count().saturating_sub(1)))
    else {
        return;
    };
    let title = match count {
        1 => "add a line for the reading that is owed, with an empty figure".to_owned(),
        count => format!("add lines for the {count} readings that are owed, with empty figures"),
    };
    list.push(Action::rewrite(title, &ticket).about(touched.unwrap_or(*first)));
}

/// A line for each reading that is owed.
pub(super) fn edits(log: &Analysis, _ticket: &Ticket) -> Option<Vec<Edit>> {
    let case = case_of(log);
    let lines: Vec<String> = owed(&case)
        .into_iter()
        .map(|(id, name)| {
            let last = last_of(&case, id);
            let unit = last.and_then(|reading| reading.unit);
            let of_feature = case.rules.book.features.get(id).and_then(|feature| feature.unit);
            empty_line(&case, &name, last, unit.or(of_feature))
        })
        .collect();
    if lines.is_empty() {
        return None;
    }
    Some(vec![at_end(log, &lines)?])
}

/// Every reading that is owed, in the order of the manual: required ones, then those of the steps that are there to take them.
fn owed(case: &Case<'_>) -> Vec<(FeatureId, String)> {
    let book = &case.rules.book;
    let mut list: Vec<(FeatureId, String)> = Vec::new();
    // With no manual named, the shelf stands ready but asks for nothing.
    if !case.job.manuals.is_empty() {
        for (id, feature) in book.features.iter().enumerate() {
            for stage in &feature.required {
                add(case, id, absent(case, id, feature, None, Some(stage)), &mut list);
            }
        }
    }
    for (_, procedure) in in_play(case) {
        for step in &procedure.steps {
            let mut conditions = step.owed_if.iter().chain(&step.only_if);
            let is_due = conditions.all(|condition| holds(case, condition, None));
            let was_done = case
                .done
                .iter()
                .any(|(_, done)| case.step(done).is_some_and(|s| std::ptr::eq(s, step)));
            if was_done || (!step.optional && is_due) {
                let until: &[Target] = if was_done { &step.until } else { &[] };
                for target in step.reads.iter().chain(until) {
                    let Some(id) = book.feature(&target.feature) else {
                        continue;
                    };
                    let Some(feature) = book.features.get(id) else { continue };
                    add(case, id, absent(case, id, feature, Some(target), None), &mut list);
                }
            }
        }
    }
    list
}

/// Adds what was not read; of what is worked out, the reading that it lacks.
fn add(case: &Case<'_>, id: FeatureId, names: Vec<String>, list: &mut Vec<(FeatureId, String)>) {
    if names.is_empty() {
        return;
    }
    let names: Vec<(FeatureId, String)> = if case.is_derived(id) {
        let lacking = case
            .finals
            .iter()
            .filter(|figure| figure.id == id)
            .filter_map(|figure| match &figure.result {
                Err(Reason::Missing(name)) if !name.is_empty() => Some(name.clone()),
                _ => None,
            });
        // What is lacking is named with its part and place; its feature is the longest name it begins with.
        lacking
            .filter_map(|name| {
                let features = case.rules.book.features.iter().enumerate();
                let own = features.filter(|(_, feature)| name.starts_with(&feature.name.name));
                let (id, _) = own.max_by_key(|(_, feature)| feature.name.name.len())?;
                Some((id, name))
            })
            .collect()
    } else {
        names.into_iter().map(|name| (id, name)).collect()
    };
    for (id, name) in names {
        if !list.iter().any(|(_, known)| *known == name) {
            list.push((id, name));
        }
    }
}

/// The last reading of a feature, at any part and place.
fn last_of<'a>(case: &Case<'a>, id: FeatureId) -> Option<&'a Reading> {
    let readings = case
        .instances_at(id, None, None)
        .flat_map(|instance| instance.readings.iter());
    let last = readings
        .filter(|index| case.job.readings.get(**index).is_some_and(|r| !r.points.is_empty()))
        .max()?;
    case.job.readings.get(*last)
}

/// `side play = mm by feelers`: the figure belongs in front of the unit. The judge says that it is missing until it is there.
pub(super) fn empty_line(case: &Case<'_>, name: &str, like: Option<&Reading>, unit: Option<&'static Unit>) -> String {
    let unit = unit.map_or("", |unit| unit.label());
    let tool = like.and_then(|reading| reading.tool.as_ref());
    let tool = tool.map_or_else(String::new, |tool| {
        format!(" by {}", words::fold(tool.span.text(case.text())))
    });
    let line = format!("{name} = {unit}");
    format!("{}{tool}", line.trim_end())
}
