//! The way to mend a finding that the judge knows.

use super::ticket::Ticket;
use super::{Action, ActionKind, meets};
use crate::editor::Page;
use crate::judge::{Edit, Finding, Severity};
use crate::syntax::Span;

/// The first word of its data.
pub(super) const WHAT: &str = "fix";

/// Each finding at a span that has a way to be mended. It is the one to take where it is the only one, and claims nothing that somebody must vouch for.
pub(super) fn offer(page: &Page, span: Span, list: &mut Vec<Action>) {
    let at: Vec<(usize, &Finding)> = page
        .findings()
        .iter()
        .enumerate()
        .filter(|(_, finding)| finding.fix.is_some() && meets(finding.span, span))
        .collect();
    let is_only = at.len() == 1;
    for (index, finding) in at {
        let Some(fix) = &finding.fix else { continue };
        let can_hurt = finding.severity == Severity::Danger || finding.was == Some(Severity::Danger);
        let title = if can_hurt {
            format!("only if that is how it was: {}", fix.title)
        } else {
            fix.title.clone()
        };
        list.push(Action {
            title,
            kind: ActionKind::Quickfix,
            finding: Some(index),
            is_preferred: is_only && !can_hurt,
            data: Ticket::new(page, WHAT, finding.span, finding.code).written(),
        });
    }
}

/// The edits of the finding that a ticket names by its code and place.
pub(super) fn edits(page: &Page, ticket: &Ticket) -> Option<Vec<Edit>> {
    let finding = page
        .findings()
        .iter()
        .find(|finding| finding.code == ticket.more && finding.span == ticket.span() && finding.fix.is_some())?;
    Some(finding.fix.as_ref()?.edits.clone())
}
