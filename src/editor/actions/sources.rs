//! Where a limit of a manual comes from. Nobody but the mechanic knows; so those are offered that the manual names already, and no page is made up.

use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::judge::{Edit, ManualAnalysis, words};
use crate::syntax::Span;
use crate::syntax::ast::{LimitNode, Rule, RuleEntry};

/// The first word of its data.
pub(super) const WHAT: &str = "source";

/// So many of the manual's own sources are offered.
const MOST: usize = 3;

/// Makes a limit a rule of thumb, which is what a limit of unknown origin is.
const THUMB: &str = "common practice";

/// Offered on a limit that has no source, where the manual has none at its head either.
pub(super) fn offer(page: &Page, manual: &ManualAnalysis, span: Span, list: &mut Vec<Action>) {
    let has_head = manual
        .tree
        .entries
        .iter()
        .any(|entry| matches!(entry.rule, Rule::Source(_)));
    let bare = manual
        .tree
        .entries
        .iter()
        .find(|entry| meets(entry.span, span) && is_bare(entry));
    let Some(entry) = bare.filter(|_| !has_head) else {
        return;
    };
    let named = sources(manual).into_iter().filter(|source| source != THUMB).take(MOST);
    let named: Vec<String> = named.collect();
    for source in named {
        let ticket = Ticket::new(page, WHAT, entry.span, source.as_str());
        list.push(Action::rewrite(
            format!("it comes from there too: add `, source {source}`"),
            &ticket,
        ));
    }
    let ticket = Ticket::new(page, WHAT, entry.span, THUMB);
    list.push(Action::rewrite(
        format!("it is a rule of thumb: add `, source {THUMB}`; what lies outside it is then a doubt"),
        &ticket,
    ));
}

/// Whether a line is a limit without a source of its own.
fn is_bare(entry: &RuleEntry) -> bool {
    // A class of a standard has that standard for its source.
    let (Rule::Limit(_, node, None) | Rule::Nominal(node, None) | Rule::Alike(node, None)) = &entry.rule else {
        return false;
    };
    !matches!(node, LimitNode::Coded(_))
}

/// Every source that a limit of this manual names, the most used first.
fn sources(manual: &ManualAnalysis) -> Vec<String> {
    let text = &manual.source.text;
    let mut all: Vec<(String, usize)> = Vec::new();
    for entry in &manual.tree.entries {
        let (Rule::Limit(_, _, Some(source))
        | Rule::Nominal(_, Some(source))
        | Rule::Alike(_, Some(source))
        | Rule::Aim(_, Some(source))) = &entry.rule
        else {
            continue;
        };
        let source = words::fold(source.text(text));
        match all.iter_mut().find(|(known, _)| *known == source) {
            Some((_, count)) => *count += 1,
            None => all.push((source, 1)),
        }
    }
    // A stable sort: of equals the one that stands first.
    all.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    all.into_iter().map(|(source, _)| source).collect()
}

/// The source behind the limit.
pub(super) fn edits(manual: &ManualAnalysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let entry = manual
        .tree
        .entries
        .iter()
        .find(|entry| entry.span == ticket.span() && is_bare(entry))?;
    let end = entry.span.end;
    Some(vec![Edit {
        span: Span { start: end, end },
        text: format!(", source {}", ticket.more),
    }])
}
