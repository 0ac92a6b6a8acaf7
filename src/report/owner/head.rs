//! The tag at the head of the report: which machine, whose, what for, by which manuals.

use maud::{Markup, html};

use super::Given;
use crate::report::page::own;

pub(super) fn head(given: &Given<'_>, shop: &str) -> Markup {
    let head = &given.account.head;
    let facts: Vec<(&str, Markup)> = [
        ("Job", own(&head.job), head.job.is_empty()),
        ("Owner", own(&head.owner), head.owner.is_empty()),
        ("Work by", own(&head.by), head.by.is_empty()),
        ("Meter", meter(given), head.meter.is_empty()),
        ("Days", days(given), head.dates.is_none()),
        ("Judged by", manuals(given), false),
    ]
    .into_iter()
    .filter(|(_, _, is_empty)| !is_empty)
    .map(|(name, text, _)| (name, text))
    .collect();
    html! {
        @if !shop.is_empty() { p class="small" { (own(shop)) } }
        h1 {
            @if head.machine.is_empty() { "Rebuild report" } @else { (own(&head.machine)) }
        }
        dl class="facts" {
            @for (name, text) in &facts { dt { (name) } dd { (text) } }
        }
    }
}

fn meter(given: &Given<'_>) -> Markup {
    let meter = &given.account.head.meter;
    let shown: Vec<String> = meter
        .iter()
        .map(|shown| given.style.figure(shown.base, Some(shown.unit)))
        .collect();
    let text = match shown.as_slice() {
        [one] => one.clone(),
        [first, .., last] => format!("{first} at first, {last} at last"),
        [] => String::new(),
    };
    html! { (text) }
}

fn days(given: &Given<'_>) -> Markup {
    let head = &given.account.head;
    let state = if head.is_closed { "closed" } else { "not closed yet" };
    match head.dates {
        Some((first, last)) if first == last => html! { (first) ", " (state) },
        Some((first, last)) => html! { (first) " to " (last) ", " (state) },
        None => html! { (state) },
    }
}

fn manuals(given: &Given<'_>) -> Markup {
    let named: Vec<&str> = given
        .account
        .head
        .manuals
        .iter()
        .filter(|manual| manual.is_named)
        .map(|manual| manual.name.as_str())
        .collect();
    let shelf = given.account.head.manuals.iter().any(|manual| manual.on_shelf);
    html! {
        @if named.is_empty() { "general rules of thumb: no manual of this machine is named" }
        @else {
            (own(&named.join("; ")))
            @if shelf { ", and where that is silent by general rules of thumb" }
        }
    }
}
