//! What was read of a feature at a part and place before and since, in this job and in earlier ones of the machine.

use super::card::{code, plain};
use super::case_of;
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{Instance, Reading, Word};
use crate::model::names::key;

/// The other readings of an instance in this job, newest first: date, stage, figure, verdict, line.
pub(super) fn in_this_job(case: &Case<'_>, instance: &Instance, but: usize) -> Vec<String> {
    let others = instance.readings.iter().rev().filter(|index| **index != but);
    others
        .filter_map(|index| Some((*index, case.job.readings.get(*index)?)))
        .filter(|(_, reading)| !reading.points.is_empty())
        .map(|(index, reading)| {
            let verdict = case
                .verdict(index)
                .map_or_else(String::new, |verdict| format!(", {}", verdict.word()));
            let when = when(case, reading.event);
            let line = case.line_of(reading.event);
            format!("{when}: {}{verdict} (line {line})", figure(case, reading))
        })
        .collect()
}

/// The readings of the same feature, part and place in earlier logs, newest first: date, hours, figure.
pub(super) fn in_earlier(
    case: &Case<'_>,
    instance: &Instance,
    own: &str,
    earlier: &[std::sync::Arc<Analysis>],
) -> Vec<String> {
    let mut lines = Vec::new();
    for log in earlier.iter().rev().filter(|log| log.source.name != own) {
        let then = case_of(log);
        let same = then
            .job
            .instances
            .iter()
            .filter(|other| is_same(case, instance, &then, other));
        let mut indices: Vec<usize> = same.flat_map(|other| other.readings.iter().copied()).collect();
        indices.sort_unstable();
        for reading in indices.iter().rev().filter_map(|index| then.job.readings.get(*index)) {
            if reading.points.is_empty() {
                continue;
            }
            let meter = meter_at(&then, reading.event).map_or_else(String::new, |meter| format!(", {meter}"));
            lines.push(format!(
                "{}{meter}: {} ({}, line {})",
                when(&then, reading.event),
                figure(&then, reading),
                plain(file_of(&log.source.name)),
                then.line_of(reading.event)
            ));
        }
    }
    lines
}

/// The last part of a path.
pub(super) fn file_of(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// Whether two logs read the same thing: the feature by any of the names that both manuals give it, the same part and place.
fn is_same(case: &Case<'_>, own: &Instance, then: &Case<'_>, other: &Instance) -> bool {
    let part = |word: &Option<Word>| word.as_ref().map(|word| word.key.clone());
    if part(&own.part) != part(&other.part) || part(&own.place) != part(&other.place) {
        return false;
    }
    let is_named = |case: &Case<'_>, instance: &Instance, name: &str| {
        case.key_of(instance) == name
            || case
                .feature(instance)
                .is_some_and(|f| f.also.iter().any(|also| also == name))
    };
    is_named(case, own, then.key_of(other)) || is_named(then, other, case.key_of(own))
}

/// A figure as it was written; struck out with what it was mended to, if it was.
fn figure(case: &Case<'_>, reading: &Reading) -> String {
    let shown = code(&words::reading(case, reading));
    match &reading.mended {
        Some(_) => format!("~~{}~~ {shown}", code(reading.figure_span.text(case.text()))),
        None => shown,
    }
}

/// The date and the stage of an event: `2026-03-14 as found`.
pub(super) fn when(case: &Case<'_>, event: usize) -> String {
    let stage = plain(&case.stage(event).key);
    let date = case
        .job
        .date(event)
        .map_or_else(|| "no date".to_owned(), |date| date.to_string());
    format!("{date} {stage}").trim_end().to_owned()
}

/// What the meter last showed by an event.
pub(super) fn meter_at(case: &Case<'_>, event: usize) -> Option<String> {
    let meter = case.job.hours.iter().rev().find(|meter| meter.event <= event)?;
    Some(words::figure(meter.base, Some(meter.unit)))
}

/// The number of a line, from 1, by an offset.
pub(super) fn line_at(case: &Case<'_>, offset: u32) -> usize {
    case.source.lines.line_of(offset) + 1
}

/// The key of the text under a span.
pub(super) fn key_at(case: &Case<'_>, span: crate::syntax::Span) -> String {
    key(span.text(case.text())).into_owned()
}
