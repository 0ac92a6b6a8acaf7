//! A figure mended the way a log is mended: by a line below it, and the old figure stays.

use super::blades::plain;
use super::lines::{below, entry_at};
use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::editor::hover::case_of;
use crate::judge::case::Case;
use crate::judge::{Analysis, Edit, words};
use crate::model::job::{Reading, ReadingKind};
use crate::syntax::Span;
use crate::syntax::ast::Statement;

/// The first word of its data.
pub(super) const WHAT: &str = "mend";

/// Offered on the figure of a reading.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    let Some(entry) = entry_at(log, span.start) else { return };
    if !matches!(entry.statement, Statement::Reading(_)) {
        return;
    }
    // A slip that the judge has found has its own way to be mended, with the figure.
    let is_known = page
        .findings()
        .iter()
        .any(|f| f.code == "reading.slip" && f.fix.is_some() && meets(f.span, span));
    let Some(reading) = figure_at(log, span).filter(|_| !is_known) else {
        return;
    };
    let old = old(log, reading, span);
    if old.is_empty() {
        return;
    }
    let ticket = Ticket::new(page, WHAT, span, "");
    list.push(Action::rewrite(
        format!("mend it below: `fix … {} ->`, the old figure stays", words::fold(&old)),
        &ticket,
    ));
}

/// The reading whose figure a place is in.
pub(super) fn figure_at(log: &Analysis, span: Span) -> Option<&Reading> {
    let is_here = |reading: &&Reading| {
        !reading.points.is_empty() && reading.figure_span != reading.name_span && meets(reading.figure_span, span)
    };
    log.job.readings.iter().find(is_here)
}

/// The figure as it is named in a correction: one of several by itself, blades and ranges as a whole, with their words.
fn old(log: &Analysis, reading: &Reading, span: Span) -> String {
    let text = &log.source.text;
    let first = reading.points.first().map(|point| point.span);
    let one = reading
        .points
        .iter()
        .map(|point| point.span)
        .find(|point| meets(*point, span));
    let whole = match reading.kind {
        ReadingKind::Blades | ReadingKind::OneBlade | ReadingKind::Range | ReadingKind::PlusMinus => {
            reading.figure_span
        }
        _ => one.or(first).unwrap_or(reading.figure_span),
    };
    // However the blades were written, a correction names them in the plain form.
    let blades = entry_at(log, whole.start).and_then(|entry| match &entry.statement {
        Statement::Reading(written) => plain(&written.figure, text),
        _ => None,
    });
    let written = blades.unwrap_or_else(|| words::fold(whole.text(text)));
    // A `"` in a table stands for the figure above it.
    if written.bytes().any(|b| b.is_ascii_digit()) {
        written.trim_end_matches(['?', ' ']).to_owned()
    } else {
        reading
            .best()
            .map_or_else(String::new, |best| words::figure(best, reading.unit))
    }
}

/// `fix NAME OLD -> `; the judge says what is missing until the new figure is there.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let span = ticket.span();
    let entry = entry_at(log, span.start)?;
    let reading = figure_at(log, span)?;
    let case: Case<'_> = case_of(log);
    let name = words::target(&case, case.instance(reading)?);
    let line = format!("fix {name} {} -> ", old(log, reading, span));
    Some(vec![below(log, entry, &[line])?])
}
