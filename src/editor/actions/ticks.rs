//! What a step's line must say and does not: added below, by whoever can vouch for it.

use super::lines::{below, entry_at};
use super::ticket::Ticket;
use super::{Action, ActionKind, meets};
use crate::editor::Page;
use crate::judge::{Analysis, Edit, Finding, words};
use crate::model::job::{Done, EventKind};
use crate::model::manual::Named;
use crate::syntax::Span;

/// The first word of its data.
pub(super) const WHAT: &str = "tick";

/// Offered at a step that does not say what it needs. It claims that something was done, so the title asks for that, it is never the one to take, and
/// never done for all at once.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    let here = page
        .findings()
        .iter()
        .enumerate()
        .filter(|(_, finding)| meets(finding.span, span));
    for (index, finding) in here {
        let Some((done, need)) = need_of(log, finding) else {
            continue;
        };
        let step = words::fold(done.name.span.text(&log.source.text));
        for tick in need.name.split(" or ") {
            let ticket = Ticket::new(page, WHAT, finding.span, tick);
            list.push(Action {
                title: format!("only if it was so and not written: add `fix {step}, {tick}` below"),
                kind: ActionKind::Quickfix,
                finding: Some(index),
                is_preferred: false,
                data: ticket.written(),
            });
        }
    }
}

/// The step and the need that a finding speaks of: it points to the need's place in its manual.
fn need_of<'a>(log: &'a Analysis, finding: &Finding) -> Option<(&'a Done, &'a Named)> {
    if !matches!(finding.code, "danger.precaution" | "step.need") {
        return None;
    }
    let done = log.job.events.iter().find_map(|event| match &event.kind {
        EventKind::Did(done) if done.name.span == finding.span => Some(done),
        _ => None,
    })?;
    let step = log.rules.book.step(done.step?)?;
    let is_told = |need: &&Named| {
        let mut related = finding.related.iter();
        related.any(|related| related.source.is_some() && related.span == need.span)
    };
    Some((done, step.needs.iter().find(is_told)?))
}

/// `fix STEP, TICK` below the step's line.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let entry = entry_at(log, ticket.start)?;
    let step = words::fold(ticket.span().text(&log.source.text));
    let is_asked = log.findings.iter().any(|finding| {
        finding.span == ticket.span()
            && need_of(log, finding).is_some_and(|(_, need)| need.name.split(" or ").any(|tick| tick == ticket.more))
    });
    if !is_asked {
        return None;
    }
    Some(vec![below(log, entry, &[format!("fix {step}, {}", ticket.more)])?])
}
