//! Everything mended at once that has one plain way to be mended.

use super::near::slips;
use super::ticket::Ticket;
use super::{Action, ActionKind};
use crate::editor::Page;
use crate::judge::{Edit, Severity};
use crate::syntax::Span;

/// The first word of its data.
pub(super) const WHAT: &str = "all";

/// Findings whose mending only writes a word as it is known: no figure changes by it, and nothing is claimed to have been done. A slip of a figure, a sum
/// and a forgotten `did` are for whoever stands at the bench, one by one; so is a unit, since the nearest one may be another.
const PLAIN: &[&str] = &["line.unread"];

/// Offered wherever the cursor is, if there is anything to mend so.
pub(super) fn offer(page: &Page, list: &mut Vec<Action>) {
    let count = plain(page).len();
    if count == 0 {
        return;
    }
    let whole = Span::new(0, page.text().len());
    list.push(Action {
        title: match count {
            1 => "mend the one misspelt word of this file".to_owned(),
            count => format!("mend the {count} misspelt words of this file"),
        },
        kind: ActionKind::FixAll,
        finding: None,
        is_preferred: false,
        data: Ticket::new(page, WHAT, whole, "").written(),
    });
}

/// All plain edits; of two that overlap the first.
pub(super) fn edits(page: &Page) -> Option<Vec<Edit>> {
    let edits = plain(page);
    (!edits.is_empty()).then_some(edits)
}

fn plain(page: &Page) -> Vec<Edit> {
    let fixes = page
        .findings()
        .iter()
        .filter(|finding| PLAIN.contains(&finding.code) && finding.severity != Severity::Danger)
        .filter_map(|finding| finding.fix.as_ref());
    let mut edits: Vec<Edit> = fixes
        .flat_map(|fix| fix.edits.iter().cloned())
        .chain(slips(page))
        .collect();
    edits.sort_by_key(|edit| (edit.span.start, edit.span.end));
    let mut end = 0;
    edits.retain(|edit| {
        // A word that is written in place of another is no figure: whatever has a digit is looked at by itself.
        let has_figure = edit
            .text
            .bytes()
            .chain(edit.span.text(page.text()).bytes())
            .any(|b| b.is_ascii_digit());
        let is_apart = edit.span.start >= end && !has_figure && !edit.span.is_empty();
        if is_apart {
            end = edit.span.end;
        }
        is_apart
    });
    edits
}
