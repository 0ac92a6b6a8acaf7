//! What an honest report says of itself.

use maud::{Markup, html};

use super::Given;
use crate::judge::account::Unsourced;
use crate::report::page::{own, remark};

/// Names in one list before the rest is only counted.
const MOST: usize = 80;

pub(super) fn gaps(given: &Given<'_>) -> Markup {
    let gaps = &given.account.gaps;
    html! {
        @for (heading, names) in gaps.not_measured() { (list(heading, names)) }
        @for (heading, limits) in gaps.not_its_own() { (sourced(given, heading, limits)) }
        @match gaps.no_limit.len() {
            0 => {},
            1 => { p { "One figure was measured for which no limit is known; it stands above." } },
            many => { p { (many) " figures were measured for which no limit is known; they stand above." } },
        }
        @if gaps.not_measured().is_empty() && !given.account.fits.is_empty() { p { "Everything that the manuals ask for was measured." } }
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
