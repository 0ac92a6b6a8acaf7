//! What is wrong and stays so, for a reason: the room for the reason, on the line that it stands on.

use super::lines::{entry_at, is_on};
use super::mend::figure_at;
use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::judge::{Analysis, Edit, Finding, Severity};
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Entry, Statement};

/// The first word of its data.
pub(super) const WHAT: &str = "because";

/// Findings that weigh less, or are not made, where the line says why. Never a danger: a reason makes nothing that can hurt any less so.
pub(in crate::editor) const HONOURED: &[&str] = &[
    "limit.out",
    "limit.not-proven",
    "pair.apart",
    "part.mismatch",
    "part.not-renewed",
    "part.reused",
];

/// Offered at such a finding, where no reason is written yet.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    for (index, finding) in page.findings().iter().enumerate() {
        if !meets(finding.span, span) || !is_accepted_so(finding) || !is_own(log, finding) {
            continue;
        }
        let ticket = Ticket::new(page, WHAT, finding.span, "");
        if edits(log, &ticket).is_some() {
            let title = "accept it as it is: write the reason behind `because`";
            list.push(Action::rewrite(title, &ticket).about(index));
        }
    }
}

/// A doubt is as light as a reason makes it, unless the reason takes it away.
fn is_accepted_so(finding: &Finding) -> bool {
    let weighs = match finding.severity {
        Severity::Danger => false,
        Severity::Fault | Severity::Open => true,
        Severity::Doubt => finding.code == "part.mismatch",
    };
    weighs && HONOURED.contains(&finding.code)
}

/// Whether a limit is that of the reading on the line, and not of a sum that rests on it: what is worked out is accepted nowhere.
fn is_own(log: &Analysis, finding: &Finding) -> bool {
    if !finding.code.starts_with("limit.") {
        return true;
    }
    let feature = figure_at(log, finding.span)
        .and_then(|reading| log.job.instances.get(reading.instance))
        .and_then(|instance| log.rules.book.features.get(instance.feature?));
    feature.is_some_and(|feature| {
        let mut limits = feature.limits.iter().chain(&feature.nominal);
        limits.any(|limit| finding.related.iter().any(|related| related.span == limit.span))
    })
}

/// `, because ` at the end of the line. An empty reason counts for nothing, so the finding stays until it is written.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let entry = entry_at(log, ticket.start)?;
    let details = details_of(entry)?;
    let has_reason = details
        .iter()
        .any(|detail| matches!(detail.kind, DetailKind::Because(_)));
    if has_reason || !is_on(log, entry, ticket.span()) {
        return None;
    }
    let end = log.tree.lines.get(entry.line)?.content.end;
    // Behind `got rod kit` nothing is said yet, and what is said of a part stands behind a colon.
    let is_part = matches!(entry.statement, Statement::Got(..) | Statement::Ordered(..)) && details.is_empty();
    let mark = if is_part { ":" } else { "," };
    Some(vec![Edit {
        span: Span { start: end, end },
        text: format!("{mark} because "),
    }])
}

/// What stands behind the commas of a line that may have a reason; a table has its own lines below, and the reason stands on the first.
fn details_of(entry: &Entry) -> Option<&[Detail]> {
    match &entry.statement {
        Statement::Reading(reading) => Some(&reading.details),
        Statement::Did(_, details) | Statement::Got(_, details) => Some(details),
        _ => None,
    }
}
