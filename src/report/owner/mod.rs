//! The report of a job for the machine's owner and for the shop's shelf: one page that says what was done, found and decided, how every fit stands, and what
//! was not measured.

mod decided;
mod fits;
mod foot;
mod gaps;
mod glance;
mod head;
pub mod index;
mod money;
mod pressing;
mod run_out;
mod story;
mod tables;

use maud::{Markup, html};

pub(in crate::report) use foot::GENERAL;
pub(in crate::report) use story::kind;

use super::page::{page, plain};
use super::style::Style;
use super::trend::{CAUTION, wear};
use crate::history::Machine;
use crate::judge::Analysis;
use crate::judge::account::Account;
use crate::quantity::Verdict;
use crate::workspace::photos::Photo;

/// How a report is to look.
#[derive(Clone, Debug, Default)]
pub struct Wishes {
    /// Units and decimal mark.
    pub style: Style,
    /// The name and the address of the shop; empty if nothing is to stand there.
    pub shop: String,
    /// The machine over its jobs, where its other logs are at hand.
    pub history: Option<Machine>,
}

/// What every part of the report is made from.
struct Given<'a> {
    analysis: &'a Analysis,
    account: &'a Account,
    style: Style,
    photos: &'a [(usize, Photo)],
    history: Option<&'a Machine>,
}

/// The page. `photos` are those the log names, each with the number of its line.
pub fn html(analysis: &Analysis, account: &Account, photos: &[(usize, Photo)], wishes: &Wishes) -> String {
    let given = Given {
        analysis,
        account,
        style: wishes.style,
        photos,
        history: wishes.history.as_ref(),
    };
    let parts: [(&str, &str, Markup); 8] = [
        ("glance", "At a glance", glance::glance(&given)),
        ("decided", "Found and decided", decided::decided(&given)),
        ("measured", "Measured", measured(&given)),
        ("over", "Over its jobs", over(&given)),
        ("gaps", "Not measured, not known", gaps::gaps(&given)),
        ("money", "Parts and money", money::money(&given)),
        ("story", "Day by day", story::story(&given)),
        ("care", "For care", foot::care(&given)),
    ];
    let shown: Vec<&(&str, &str, Markup)> = parts.iter().filter(|(_, _, part)| !part.0.is_empty()).collect();
    let nav: Vec<(&str, &str)> = shown.iter().map(|(id, name, _)| (*id, *name)).collect();
    let body = html! {
        @for (id, name, part) in &shown {
            section id=(id) aria-labelledby={ (id) "-name" } {
                h2 id={ (id) "-name" } { (name) }
                (part)
            }
        }
    };
    page(
        &title(account),
        &head::head(&given, &wishes.shop),
        &nav,
        &body,
        &foot::foot(&given),
    )
}

/// `Rebuild report: Corvane 250 trials, big end`
fn title(account: &Account) -> String {
    let said: Vec<&str> = [&account.head.machine, &account.head.job]
        .into_iter()
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    if said.is_empty() {
        "Rebuild report".to_owned()
    } else {
        plain(&format!("Rebuild report: {}", said.join(", ")))
    }
}

/// What wears from job to job, and what is left of it.
fn over(given: &Given<'_>) -> Markup {
    let Some(machine) = given.history else { return html! {} };
    let days = machine.jobs.iter().filter_map(|job| job.days);
    let (first, last) = (days.clone().map(|days| days.0).min(), days.map(|days| days.1).max());
    html! {
        p {
            (machine.jobs.len()) @if machine.jobs.len() == 1 { " job of this machine is" } @else { " jobs of this machine are" } " known"
            @if let (Some(first), Some(last)) = (first, last) { ", " (first) " to " (last) }
            ". A life is what nothing renewed, reworked or moved in between; figures here are in the units of the logs."
        }
        (wear(machine))
        p class="small" { (CAUTION) }
    }
}

/// Everything that is drawn.
fn measured(given: &Given<'_>) -> Markup {
    html! {
        (fits::judged(given))
        (tables::tables(given))
        (run_out::run_outs(given))
        (pressing::pressings(given))
        (fits::bare(given))
    }
}

/// A verdict in a word, coloured; of what was overtaken that it was, and what it was before.
fn verdict(verdict: Option<Verdict>, is_close: bool, is_stale: bool) -> Markup {
    let (class, word) = match (verdict, is_close) {
        (Some(Verdict::In), true) => ("v-in", "in, but close"),
        (Some(Verdict::In), false) => ("v-in", "in limit"),
        (Some(Verdict::Out), true) => ("v-out", "out, but close"),
        (Some(Verdict::Out), false) => ("v-out", "out of limit"),
        (Some(Verdict::NotProven), _) => ("v-np", "not proven"),
        (None, _) => ("v-none", "no limit known"),
    };
    html! {
        @if is_stale {
            span class="verdict is-stale" { "stale: measure again" }
            div class="small" { "when it was read: " (word) }
        } @else {
            span class={ "verdict " (class) } { (word) }
        }
    }
}

/// `line 24`
fn line(number: usize) -> Markup {
    html! { span class="small" { "line " (number) } }
}
