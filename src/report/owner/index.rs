//! The shop's shelf: a page that leads to the reports of many jobs.

use maud::{Markup, html};

use crate::judge::Tally;
use crate::judge::account::Head;
use crate::report::Counts;
use crate::report::page::{own, page};
use crate::workspace::address::encoded;

/// A report on the shelf.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The name of its file beside the page.
    pub file: String,
    /// The head of the job.
    pub head: Head,
    /// What was judged.
    pub tally: Tally,
    /// What was found.
    pub counts: Counts,
}

/// The page, in the order of the entries. `shop` is the name of the shop; empty if nothing is to stand there.
pub fn index(entries: &[Entry], shop: &str) -> String {
    let title = format!("{} rebuild reports", entries.len());
    let tag = html! {
        @if !shop.is_empty() { p class="small" { (own(shop)) } }
        h1 { (title) }
    };
    let body = html! {
        table class="stack" {
            caption { "Each job with the days it took, and what was found in it" }
            thead { tr { th scope="col" { "Machine" } th scope="col" { "Job" } th scope="col" { "Days" } th scope="col" { "Figures" } th scope="col" { "Found" } } }
            tbody { @for entry in entries { (row(entry)) } }
        }
    };
    let foot = html! { p { "Made by gudgeon " (env!("CARGO_PKG_VERSION")) "." } };
    page(&title, &tag, &[], &body, &foot)
}

fn row(entry: &Entry) -> Markup {
    let head = &entry.head;
    let machine = if head.machine.is_empty() {
        "no machine is named"
    } else {
        &head.machine
    };
    html! {
        tr {
            th scope="row" { a href={ "./" (encoded(&entry.file)) } { (own(machine)) } }
            td data-of="Job" { (own(&head.job)) }
            td {
                @match head.dates {
                    Some((first, last)) if first == last => { (first) },
                    Some((first, last)) => { (first) " to " (last) },
                    None => {},
                }
                @if !head.is_closed { br; span class="small" { "not closed yet" } }
            }
            td data-of="Figures" { span class="whole" { (entry.tally.inside) " of " (entry.tally.judged) " in" } }
            td data-of="Found" { (found(&entry.counts)) }
        }
    }
}

/// `1 danger, 3 faults`
fn found(counts: &Counts) -> Markup {
    let told: Vec<(usize, &str, &str, &str)> = [
        (counts.danger, "danger", "dangers", "v-out"),
        (counts.fault, "fault", "faults", "v-out"),
        (counts.doubt, "doubt", "doubts", "v-np"),
        (counts.open, "open", "open", ""),
    ]
    .into_iter()
    .filter(|(count, ..)| *count > 0)
    .collect();
    html! {
        @for (place, (count, one, many, class)) in told.iter().enumerate() {
            @if place > 0 { ", " }
            span class={ "whole " (class) } { (count) " " @if *count == 1 { (one) } @else { (many) } }
        }
        @if told.is_empty() { span class="whole v-in" { "nothing" } }
    }
}
