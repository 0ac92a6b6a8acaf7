//! A part: what became of it in this job, in order, and what was measured of it.

use super::card::{Card, code, plain};
use super::history::{key_at, when};
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{EventKind, Part, Said, SaidKind};
use crate::syntax::Span;

/// The story of a part by its name.
pub(super) fn card(case: &Case<'_>, span: Span) -> Card {
    let own = key_at(case, span);
    let mut card = Card::new(format!("**{}**", code(span.text(case.text()))));
    if case.left.contains(&own) {
        card.fact("left for another: it does not count any more");
    }
    let mut story = Vec::new();
    let mut is_awaited = false;
    for (number, event) in case.job.events.iter().enumerate() {
        let told = match &event.kind {
            EventKind::Found(name, said) if name.key == own => Some(format!("found: {}", all_said(case, said))),
            EventKind::Ordered(part) if part.name.key == own => {
                is_awaited = true;
                Some(of_part(case, "ordered", part))
            }
            EventKind::Got(part) if part.name.key == own => {
                is_awaited = false;
                Some(of_part(case, "came", part))
            }
            EventKind::Waiting(name, _) if name.key == own => {
                is_awaited = true;
                Some("waited for".to_owned())
            }
            EventKind::Chose(taken, other) if taken.key == own => {
                let over = other.as_ref().map_or_else(String::new, |other| {
                    format!(" over {}", code(other.span.text(case.text())))
                });
                Some(format!("chosen{over}"))
            }
            EventKind::Chose(taken, Some(other)) if other.key == own => {
                Some(format!("left for {}", code(taken.span.text(case.text()))))
            }
            EventKind::Did(done) if takes(&done.said, &own) => {
                Some(format!("fitted by {}", code(done.name.span.text(case.text()))))
            }
            _ => None,
        };
        if let Some(told) = told {
            story.push(format!(
                "{}, {told} (line {})",
                when(case, number),
                case.line_of(number)
            ));
        }
    }
    if is_awaited {
        card.fact("**awaited**: it has not come");
    }
    let read = case
        .job
        .instances
        .iter()
        .filter(|instance| instance.part.as_ref().is_some_and(|p| p.key == own));
    let read: Vec<String> = read
        .filter_map(|instance| {
            let (index, reading) = case.latest(instance)?;
            let verdict = case
                .verdict(index)
                .map_or_else(String::new, |v| format!(", {}", v.word()));
            Some(format!(
                "{}: {}{verdict} (line {})",
                code(&words::subject(case, instance)),
                code(&words::reading(case, reading)),
                case.line_of(reading.event)
            ))
        })
        .collect();
    if story.is_empty() && read.is_empty() {
        card.fact("nothing else in this log speaks of it");
    }
    card.list("what became of it:", story);
    card.list("measured, the latest of each:", read);
    card
}

/// Whether a step takes a part: `from rod kit A`.
fn takes(said: &[Said], key: &str) -> bool {
    said.iter()
        .any(|said| matches!(&said.kind, SaidKind::From(part) if part == key))
}

/// What was said with a part.
fn all_said(case: &Case<'_>, said: &[Said]) -> String {
    let all: Vec<String> = said.iter().map(|said| plain(said.span.text(case.text()))).collect();
    all.join(", ")
}

/// `ordered: number 4471-02, price 129 EUR`
fn of_part(case: &Case<'_>, what: &str, part: &Part) -> String {
    if part.said.is_empty() {
        return what.to_owned();
    }
    format!("{what}: {}", all_said(case, &part.said))
}
