//! What an honest report says of itself.

use maud::{Markup, html};

use super::Given;
use crate::judge::account::Unsourced;
use crate::report::page::{own, remark};

/// Names in one list before the rest is only counted.
const MOST: usize = 80;

pub(super) fn gaps(given: &Given<'_>) -> Markup {
    let gaps = &given.account.gaps;
    let lists: [(&str, &[String]); 6] = [
        ("Asked for by the manuals, and not measured", &gaps.owed),
        ("Left out with a dash", &gaps.dashes),
        (
            "In this machine's own manual, and not measured in this job",
            &gaps.never_read,
        ),
        (
            "Read before a later step that may have moved it, and not read again",
            &gaps.stale,
        ),
        ("Read with something too coarse for its limit", &gaps.too_coarse),
        ("Marked in the log as not sure", &gaps.unsure),
    ];
    let is_whole = lists.iter().all(|(_, list)| list.is_empty());
    html! {
        @for (heading, names) in lists { (list(heading, names)) }
        (sourced(given, "Limits whose manual does not say where they come from", &gaps.no_source))
        (sourced(given, "Limits that are rules of thumb of the trade, and not this machine's own", &gaps.rules_of_thumb))
        @match gaps.no_limit.len() {
            0 => {},
            1 => { p { "One figure was measured for which no limit is known; it stands above." } },
            many => { p { (many) " figures were measured for which no limit is known; they stand above." } },
        }
        @if is_whole { p { "Everything that the manuals ask for was measured." } }
    }
}

fn list(heading: &str, names: &[String]) -> Markup {
    let more = names.len().saturating_sub(MOST);
    html! {
        @if !names.is_empty() {
            h3 { (heading) }
            ul class="gap" {
                @for name in names.iter().take(MOST) { li { (remark(name)) } }
                @if more > 0 { li { "and " (more) " more" } }
            }
        }
    }
}

fn sourced(given: &Given<'_>, heading: &str, limits: &[Unsourced]) -> Markup {
    let more = limits.len().saturating_sub(MOST);
    html! {
        @if !limits.is_empty() {
            h3 { (heading) }
            ul class="gap" {
                @for one in limits.iter().take(MOST) {
                    li {
                        (own(&one.feature)) ": " (given.style.limit(&one.limit))
                        span class="small" { " (" (own(&one.manual)) @if !one.source.is_empty() { "; " (own(&one.source)) } ")" }
                    }
                }
                @if more > 0 { li { "and " (more) " more" } }
            }
        }
    }
}
