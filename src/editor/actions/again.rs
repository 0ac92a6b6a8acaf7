//! What a later step has overtaken, written once more with the figures left out.

use super::lines::at_end;
use super::missing::empty_line;
use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::editor::hover::case_of;
use crate::judge::owed::stale_readings;
use crate::judge::{Analysis, Edit, words};
use crate::syntax::Span;

/// The first word of its data: the readings of one line.
pub(super) const ONE: &str = "again";
/// All of them.
pub(super) const ALL: &str = "again-all";

/// Offered at a reading that a step has overtaken, and at the step.
pub(super) fn offer(page: &Page, span: Span, list: &mut Vec<Action>) {
    let stale: Vec<(usize, &crate::judge::Finding)> = page
        .findings()
        .iter()
        .enumerate()
        .filter(|(_, finding)| finding.code == "reading.stale")
        .collect();
    let is_here = |finding: &crate::judge::Finding| {
        let step = finding.related.iter().filter(|related| related.source.is_none());
        meets(finding.span, span) || step.into_iter().any(|step| meets(step.span, span))
    };
    let here: Vec<_> = stale.iter().filter(|(_, finding)| is_here(finding)).collect();
    let Page::Log(log) = page else { return };
    for (index, finding) in &here {
        let ticket = Ticket::new(page, ONE, finding.span, "");
        if at_end(log, &[]).is_some() && edits(log, &ticket).is_some() {
            let title = "read it again: add its line, with an empty figure, at the end of the last day";
            list.push(Action::rewrite(title, &ticket).about(*index));
        }
    }
    if stale.len() > 1 && !here.is_empty() {
        let whole = here.first().map_or(span, |(_, finding)| finding.span);
        let ticket = Ticket::new(page, ALL, whole, "");
        if edits(log, &ticket).is_some() {
            let title =
                "read all again that was overtaken: add the lines, with empty figures, at the end of the last day";
            list.push(Action::rewrite(title, &ticket));
        }
    }
}

/// A line with an empty figure for each.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let case = case_of(log);
    let line = |offset: u32| log.source.lines.line_of(offset);
    let span = ticket.span();
    let mut lines: Vec<String> = Vec::new();
    for (instance, reading, _) in stale_readings(&case) {
        let event = case.event_span(reading.event);
        let is_of = ticket.what == ALL || line(event.start) == line(span.start) || meets(reading.figure_span, span);
        if is_of {
            let name = words::target(&case, instance);
            lines.push(empty_line(&case, &name, Some(reading), reading.unit));
        }
    }
    lines.dedup();
    if lines.is_empty() {
        return None;
    }
    Some(vec![at_end(log, &lines)?])
}
