//! Where a log stands in time: its days, its stages, its end.

use super::card::{Card, code, plain};
use super::history::key_at;
use super::things::plural;
use crate::judge::Finding;
use crate::judge::Severity;
use crate::judge::case::Case;
use crate::model::stage::Stage;
use crate::syntax::Span;

/// A day: how long after the one before, and what was done on it.
pub(super) fn day(case: &Case<'_>, date: Span) -> Option<Card> {
    let number = day_number(case, date)?;
    let mut card = Card::new(format!("**{}**", plain(date.text(case.text()))));
    if let Some(Some(today)) = case.job.dates.get(number) {
        let before = case.job.dates.get(..number)?.iter().flatten().next_back();
        if let Some(before) = before
            && let Ok(span) = today.since(*before)
        {
            card.fact(match span.get_days() {
                0 => "the same day as the one above".to_owned(),
                1 => "1 day after the one above".to_owned(),
                days => format!("{days} days after the one above"),
            });
        }
        let first = case.job.dates.iter().flatten().next();
        if let Some(first) = first.filter(|first| *first != today)
            && let Ok(span) = today.since(*first)
        {
            card.fact(format!("day {} of the job", i64::from(span.get_days()) + 1));
        }
    }
    let events = case.job.events.iter().filter(|event| event.day == number);
    let mut steps = 0;
    let mut readings = 0;
    for event in events {
        match &event.kind {
            crate::model::job::EventKind::Did(_) => steps += 1,
            crate::model::job::EventKind::Readings(range) => readings += range.len(),
            _ => {}
        }
    }
    card.fact(format!(
        "{steps} {} and {readings} {}",
        plural(steps, "step"),
        plural(readings, "reading")
    ));
    Some(card)
}

/// Which day a date begins, counted from 1.
fn day_number(case: &Case<'_>, date: Span) -> Option<usize> {
    let days = case.tree.entries.iter().filter_map(|entry| match entry.statement {
        crate::syntax::ast::Statement::Day { date, .. } => Some(date),
        _ => None,
    });
    days.enumerate()
        .find(|(_, day)| *day == date)
        .map(|(number, _)| number + 1)
}

/// A stage: which limits it picks.
pub(super) fn stage(case: &Case<'_>, span: Span) -> Card {
    let stage = Stage {
        key: key_at(case, span),
    };
    let mut card = Card::new(format!("**{}**, a stage", code(span.text(case.text()))));
    let (first, second) = if stage.is_service() {
        ("service", "build")
    } else {
        ("build", "service")
    };
    let features = &case.rules.book.features;
    let own = features
        .iter()
        .filter(|feature| feature.limits.iter().any(|limit| limit.stage == stage.key))
        .count();
    if own > 0 && stage.key != first {
        card.fact(format!(
            "{own} features have a limit of its own name, which comes first"
        ));
    }
    card.fact(format!(
        "judged by the `{first}` limit if there is one, else the `{second}` limit"
    ));
    if stage.is_service() && !case.is_closed() {
        card.fact("out of limit here is how the machine came in: open, until it is put right");
    }
    if !Stage::is_known(&stage.key) && own == 0 {
        card.fact("no stage that every log may use, and no manual has a limit of this name");
    }
    card
}

/// The end of a job.
pub(super) fn closed(case: &Case<'_>, findings: &[Finding]) -> Card {
    let mut card = Card::new("**closed**: what is still open is now a fault");
    let count = |severity: Severity| findings.iter().filter(|finding| finding.severity == severity).count();
    let kinds = [
        (Severity::Danger, "danger"),
        (Severity::Fault, "fault"),
        (Severity::Doubt, "doubt"),
    ];
    let told = kinds.map(|(severity, word)| format!("{} {}", count(severity), plural(count(severity), word)));
    card.fact(format!("in this log: {}", told.join(", ")));
    let days: Vec<_> = case.job.dates.iter().flatten().collect();
    if let (Some(first), Some(last)) = (days.first(), days.last())
        && let Ok(span) = last.since(**first)
    {
        let days = i64::from(span.get_days()) + 1;
        let word = if days == 1 { "day" } else { "days" };
        card.fact(format!("{days} {word} from the first to the last"));
    }
    card
}
