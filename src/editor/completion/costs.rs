//! Ways to go and what was paid: the items, in the currency that the log is kept in.

use super::Completion;
use super::CompletionKind::{Keyword, Part, Value};
use super::draft::Draft;
use super::facts::Facts;
use super::list::List;
use super::written::Written;
use crate::model::job::{EventKind, SaidKind};
use crate::model::names::key;
use crate::syntax::ast::Cost;

/// The currency that is proposed where the log has none yet.
const USUAL: &str = "EUR";

/// What a cost is usually for, with its first item.
const COSTS: &[(&str, &str, &str)] = &[
    ("labour", "hours at a price", "{} h at {} ¤"),
    ("post", "paid for post alone", "{} ¤"),
    ("consumables", "oil, cleaner, abrasives", "{} ¤"),
    ("hire", "a tool, shared by several jobs", "{} ¤ over {} jobs"),
];

/// Items of either: what is typed, what it says, what stands behind it.
const ITEMS: &[(&str, &str, &str)] = &[
    ("work", "a sum", " {} ¤"),
    ("labour", "hours at a price", " {} h at {} ¤"),
    ("post", "a sum", " {} ¤"),
    ("duty", "a sum", " {} ¤"),
    ("vat", "a share of what stands before it", " {} %"),
    ("less", "what comes back", " {} {} ¤"),
];

/// Items that only a way to go has.
const OF_OPTIONS: &[(&str, &str, &str)] = &[
    ("parts", "a sum", " {} ¤"),
    (
        "risk",
        "what may go wrong: a share of what it would cost",
        " {} % of {} ¤",
    ),
    ("takes", "how long it takes", " {} days"),
    ("lasts", "how long it is good for", " {} h"),
];

/// Behind `option` or `cost`: the name, then the items.
pub(super) fn offers(facts: &Facts<'_>, word: &str, rest: Written<'_>) -> Vec<Completion> {
    if let Some(colon) = rest.said.find(':') {
        return items(facts, word, &[], rest.skip(colon + 1).trimmed(), rest);
    }
    let mut list = List::new(rest.typed());
    if word == "option" {
        return list.done();
    }
    let currency = currency(facts);
    for (name, detail, behind) in COSTS {
        let draft = filled(Draft::of(name).say(": "), behind, currency);
        list.add(Keyword, name, *detail, draft, String::new());
    }
    // What came back of a part, or was paid for it.
    for (at, event) in facts.events().rev() {
        if let EventKind::Got(part) = &event.kind {
            let name = facts.written(&part.name);
            let draft = Draft::of(&name).say(": ").stop("");
            let came = format!("came on line {}", facts.line_of(at));
            list.add(Part, &name, came, draft, format!("part {}", key(&name)));
        }
    }
    list.done()
}

/// More items, on a line below one that has these already.
pub(super) fn more_items(facts: &Facts<'_>, word: &str, costs: &[Cost], written: Written<'_>) -> Vec<Completion> {
    let own = written.base - written.indent;
    let above = costs.iter().filter(|cost| (cost.span.start as usize) < own);
    let above: Vec<&str> = above.map(|cost| cost.span.text(facts.text())).collect();
    items(facts, word, &above, written, written)
}

/// What may be an item; those that were said already, above or on the line, are left out.
fn items(facts: &Facts<'_>, word: &str, above: &[&str], behind: Written<'_>, line: Written<'_>) -> Vec<Completion> {
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(line));
    let mut said = above.to_vec();
    said.extend(behind.items_before());
    let currency = currency(facts);
    let of_options = if word == "option" { OF_OPTIONS } else { &[] };
    for (name, detail, behind) in ITEMS.iter().chain(of_options) {
        let is_said = said.iter().any(|item| key(item).starts_with(name));
        // VAT is a share of something.
        let is_first = *name == "vat" && said.is_empty();
        if is_said || is_first {
            continue;
        }
        let draft = filled(Draft::of(name), behind, currency);
        list.add(Value, name, *detail, draft, String::new());
    }
    list.done()
}

/// A draft with places to fill in where the text has `{}`, and the currency for `¤`.
fn filled(draft: Draft, behind: &str, currency: &str) -> Draft {
    let text = behind.replace('¤', currency);
    let mut pieces = text.split("{}");
    let first = draft.say(pieces.next().unwrap_or(""));
    pieces.fold(first, |draft, piece| draft.stop("").say(piece))
}

/// The currency that the log last spoke of.
fn currency<'f>(facts: &Facts<'f>) -> &'f str {
    let money = facts.events().rev().find_map(|(_, event)| match &event.kind {
        EventKind::Cost(offer) | EventKind::Option(offer) => {
            let mut units = offer.items.iter().rev().map(|item| item.unit);
            units.find(|unit| unit.dimension.currency().is_some())
        }
        EventKind::Ordered(part) | EventKind::Got(part) => part.said.iter().find_map(|said| match &said.kind {
            SaidKind::Amount(amount) => amount.unit.filter(|unit| unit.dimension.currency().is_some()),
            _ => None,
        }),
        _ => None,
    });
    money.map_or(USUAL, |unit| unit.label())
}
