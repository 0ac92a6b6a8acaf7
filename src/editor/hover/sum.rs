//! What is worked out: the sum with the readings it rests on, what it comes to, and whether a figure written for it agrees.

use rust_decimal::Decimal;

use super::card::{Card, code};
use super::history::line_at;
use super::manual_name;
use super::verdict::{limit_line, verdict_line};
use crate::calc::{Reason, Scope, Worked, work};
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::Book;
use crate::model::job::{Instance, Reading};
use crate::model::manual::Feature;
use crate::quantity::Band;
use crate::syntax::Span;

/// A figure that was written for a derived feature and is no measurement: worked again, compared, and judged by what it comes to.
pub(super) fn claim(case: &Case<'_>, instance: &Instance, reading: &Reading, card: &mut Card) {
    let Some(feature) = case.feature(instance) else { return };
    card.fact("worked out, not measured: the sum decides");
    match worked(case, instance, Some(reading.event)) {
        Some(Ok(worked)) => {
            let bare = worked.bare();
            let agrees = match (is_apart(reading, bare), is_apart(reading, worked.written)) {
                (false, _) => "agrees",
                (true, false) => "though it fits the figures as they were written, before corrections and means",
                (true, true) => "**does not agree**",
            };
            card.fact(format!(
                "worked again: {}, {agrees}",
                words::band(&bare, reading.unit.or(feature.unit))
            ));
            judged(case, feature, instance, &worked, card);
            told(case, feature, &worked, card);
        }
        Some(Err(reason)) => {
            card.fact(format!("cannot be worked again: {}", why(&reason)));
            card.fact(sum_line(&case.rules.book, feature));
        }
        None => {}
    }
}

/// What something that was measured comes to from its parts.
pub(super) fn from_parts(case: &Case<'_>, instance: &Instance, reading: &Reading, card: &mut Card) {
    let Some(feature) = case.feature(instance) else { return };
    if let Some(Ok(worked)) = worked(case, instance, Some(reading.event)) {
        let agrees = if disagrees(case, reading) {
            "; **does not agree**"
        } else {
            ""
        };
        card.fact(format!(
            "from its parts it comes to {}{agrees}",
            words::band(&worked.bare(), reading.unit.or(feature.unit))
        ));
        told(case, feature, &worked, card);
    }
}

/// The sum of a derived feature as the manual has it.
pub(super) fn sum_line(book: &Book, feature: &Feature) -> String {
    feature.calc.as_ref().map_or_else(String::new, |calc| {
        let sum = calc.expr.span().text(&calc.source.text);
        format!(
            "{} ({})",
            code(&format!("{} = {sum}", feature.name.name)),
            manual_name(book, feature.manual)
        )
    })
}

/// Whether a figure that was worked out in the head is not what the sum comes to, with half of its last digit either way.
fn is_apart(reading: &Reading, band: Band) -> bool {
    reading.points.first().is_some_and(|point| {
        let wide = band.widen(point.half_step).unwrap_or(band);
        beyond(wide.lo, point.band.hi) || beyond(point.band.lo, wide.hi)
    })
}

/// Whether the first end lies above the second.
fn beyond(first: Option<Decimal>, second: Option<Decimal>) -> bool {
    first.zip(second).is_some_and(|(first, second)| first > second)
}

/// Whether the judge says that a figure and its sum, or a sum by hand, do not agree.
fn disagrees(case: &Case<'_>, reading: &Reading) -> bool {
    // What the judge compares is asked of the judge, so that the two never say different things.
    let mut findings = Vec::new();
    crate::judge::rules::derived::check(case, &mut findings);
    findings.iter().any(|finding| {
        let is_it = matches!(finding.code, "calc.disagrees" | "calc.sum" | "reading.slip");
        let own = |span: Span| reading.figure_span.start <= span.start && span.end <= reading.figure_span.end;
        is_it && (own(finding.span) || finding.related.iter().any(|r| r.source.is_none() && own(r.span)))
    })
}

/// The sum worked from what was read by then; from all there is, where what it rests on stands further down.
fn worked(case: &Case<'_>, instance: &Instance, before: Option<usize>) -> Option<Result<Worked, Reason>> {
    let id = instance.feature?;
    let scope = |before| Scope {
        before,
        part: instance.part.as_ref().map(|p| p.key.as_str()),
        place: instance.place.as_ref().map(|p| p.key.as_str()),
        left: &case.left,
        supposed: None,
    };
    match work(case.rules, case.job, &case.by_feature, id, scope(before))? {
        Ok(worked) => Some(Ok(worked)),
        Err(_) => work(case.rules, case.job, &case.by_feature, id, scope(None)),
    }
}

fn judged(case: &Case<'_>, feature: &Feature, instance: &Instance, worked: &Worked, card: &mut Card) {
    let Some(limit) = case
        .latest_input(worked)
        .and_then(|reading| feature.limit_at(case.stage(reading.event)))
    else {
        card.fact("no limit is known for it");
        return;
    };
    if let Some((decision, _)) = worked.decide(&limit.band, case.acceptance(instance)) {
        let line = verdict_line(&decision, &worked.bare(), &limit.band, feature.unit);
        card.fact(format!("by the sum: {line}"));
    }
    card.fact(limit_line(limit, &case.rules.book));
}

/// The sum, and the readings it rests on with their lines.
fn told(case: &Case<'_>, feature: &Feature, worked: &Worked, card: &mut Card) {
    let inputs: Vec<String> = worked
        .inputs
        .iter()
        .filter_map(|index| case.job.readings.get(*index))
        .filter_map(|reading| {
            let name = words::subject(case, case.instance(reading)?);
            let line = line_at(case, reading.figure_span.start);
            Some(format!(
                "{}: {} (line {line})",
                code(&name),
                code(&words::reading(case, reading))
            ))
        })
        .collect();
    card.list(&sum_line(&case.rules.book, feature), inputs);
}

/// Why a sum cannot be worked, in words.
fn why(reason: &Reason) -> String {
    match reason {
        Reason::Missing(name) if !name.is_empty() => format!("{} was not read", code(name)),
        Reason::Missing(_) => "a reading that it rests on is not there".to_owned(),
        Reason::Several(name, count) => format!("{} has {count} readings where one is wanted", code(name)),
        Reason::Alone => "it compares readings with each other, and there is only one".to_owned(),
        Reason::Arithmetic(error) => error.to_string(),
        Reason::TooDeep => "its sums rest on each other too deeply".to_owned(),
        Reason::Refused(refused) => refused.why.clone(),
    }
}

/// What some bound allows of an amount, as a verdict in words; nothing where it holds.
pub(super) fn is_beyond(band: &Band, limit: &Band) -> bool {
    crate::quantity::verdict(band, limit) != crate::quantity::Verdict::In
}
