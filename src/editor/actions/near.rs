//! A name that nobody knows, and the known one that is nearly it: written so everywhere it stands.

use super::ticket::Ticket;
use super::{Action, ActionKind, meets};
use crate::editor::Page;
use crate::judge::{Analysis, Edit, Finding};
use crate::model::names::key;
use crate::model::stage::Stage;
use crate::model::tools::plain_names;
use crate::syntax::ast::{Detail, DetailKind, FixTarget, Statement};
use crate::syntax::{Span, nearest};

/// The first word of its data.
pub(super) const WHAT: &str = "near";

/// A slip of the pen is at most so many letters wrong, in a word of at least so many.
const MOST_LETTERS: usize = 2;
const LEAST_LENGTH: usize = 5;

/// Offered at a name that is not known and nearly one that is.
pub(super) fn offer(page: &Page, span: Span, list: &mut Vec<Action>) {
    let here = page
        .findings()
        .iter()
        .enumerate()
        .filter(|(_, finding)| meets(finding.span, span));
    for (index, finding) in here {
        let Some(known) = known(page, finding) else { continue };
        let written = finding.span.text(page.text());
        list.push(Action {
            title: format!("write `{known}`"),
            kind: ActionKind::Quickfix,
            finding: Some(index),
            is_preferred: is_slip(written, &known),
            data: Ticket::new(page, WHAT, finding.span, finding.code).written(),
        });
    }
}

/// The edits of the finding that a ticket names.
pub(super) fn edits(page: &Page, ticket: &Ticket) -> Option<Vec<Edit>> {
    let mut findings = page.findings().iter();
    let finding = findings.find(|finding| finding.code == ticket.more && finding.span == ticket.span())?;
    edits_of(page, finding)
}

/// What is surely a slip of the pen, for all findings at once. What was done is for one at a time, since a wrong name there claims a step.
pub(super) fn slips(page: &Page) -> Vec<Edit> {
    let findings = page.findings().iter().filter(|finding| finding.code != "unknown.step");
    let surely = findings
        .filter(|finding| known(page, finding).is_some_and(|known| is_slip(finding.span.text(page.text()), &known)));
    surely.filter_map(|finding| edits_of(page, finding)).flatten().collect()
}

fn is_slip(written: &str, known: &str) -> bool {
    let written = key(written);
    written.chars().count() >= LEAST_LENGTH && strsim::osa_distance(&written, known) <= MOST_LETTERS
}

/// The known name that is near; `None` where no other name is wrong, or none is near.
fn known(page: &Page, finding: &Finding) -> Option<String> {
    if finding.fix.is_some() || finding.span.is_empty() {
        return None;
    }
    let book = &page.rules().book;
    let written = key(finding.span.text(page.text())).into_owned();
    let near = match (page, finding.code) {
        (Page::Log(_), "unknown.feature") => nearest(&written, book.feature_names()),
        (Page::Log(_), "unknown.step") => nearest(&written, book.step_names()),
        (Page::Log(_), "unknown.stage") => nearest(&written, Stage::all()),
        (Page::Log(_), "unknown.procedure") => nearest(&written, book.procedures.iter().map(|p| p.name.key.as_str())),
        (Page::Log(log), "unknown.tool") => {
            let declared = log.job.tools.iter().map(|tool| tool.name.key.as_str());
            nearest(&written, declared).or_else(|| nearest(&written, plain_names()))
        }
        (Page::Manual(_), "manual.unknown-name") => {
            let names = book.feature_names().chain(book.step_names());
            nearest(
                &written,
                names.chain(book.precautions.iter().map(|p| p.name.key.as_str())),
            )
        }
        _ => None,
    }?;
    // What only shares words with it (`run-out drive side`) is no spelling of it.
    let is_spelling = strsim::osa_distance(&written, near) * 3 <= written.chars().count().max(near.chars().count());
    // It is said of this very name, and not of one that it only holds.
    (is_spelling && near != written && finding.help.contains(near)).then(|| near.to_owned())
}

fn edits_of(page: &Page, finding: &Finding) -> Option<Vec<Edit>> {
    let known = known(page, finding)?;
    let written = key(finding.span.text(page.text())).into_owned();
    let mut spans = match page {
        Page::Log(log) => alike(log, finding.code, &written),
        Page::Manual(_) => Vec::new(),
    };
    if !spans.contains(&finding.span) {
        spans.push(finding.span);
    }
    spans.sort_unstable();
    spans.dedup();
    let edit = |span| Edit {
        span,
        text: known.clone(),
    };
    Some(spans.into_iter().map(edit).collect())
}

/// Every place of a log where the same name stands for the same kind of thing: it is named as unknown once only.
fn alike(log: &Analysis, code: &str, written: &str) -> Vec<Span> {
    let text = &log.source.text;
    let tools_of = |details: &[Detail]| -> Vec<Span> {
        let tools = details.iter().filter_map(|detail| match detail.kind {
            DetailKind::Amount { tool, .. } => tool,
            _ => None,
        });
        tools.collect()
    };
    let entries = log.tree.entries.iter().map(|entry| &entry.statement);
    let spans = entries.flat_map(|statement| match (code, statement) {
        ("unknown.feature", Statement::Reading(reading)) => vec![reading.subject.feature],
        ("unknown.feature", Statement::Amend(_, subject, _)) => vec![subject.feature],
        ("unknown.feature", Statement::Fix { target, .. }) => match &**target {
            FixTarget::Reading(subject) => vec![subject.feature],
            FixTarget::Step(..) => Vec::new(),
        },
        ("unknown.step", Statement::Did(name, _) | Statement::Undid(name, _)) => vec![*name],
        ("unknown.stage", Statement::Day { stage, .. }) => stage.iter().copied().collect(),
        ("unknown.procedure", Statement::Procedure(name)) => vec![*name],
        ("unknown.tool", Statement::Reading(reading)) => {
            reading.tool.into_iter().chain(tools_of(&reading.details)).collect()
        }
        ("unknown.tool", Statement::Did(_, details)) => tools_of(details),
        ("unknown.tool", Statement::Checked(name, _)) => vec![*name],
        _ => Vec::new(),
    });
    spans.filter(|span| key(span.text(text)) == written).collect()
}
