//! What was looked at and decided, the ways there were to go, and the figures that were mended.

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::Given;
use crate::judge::account::ToldKind;
use crate::judge::costs::OptionPrice;
use crate::report::page::own;

pub(super) fn decided(given: &Given<'_>) -> Markup {
    let account = given.account;
    html! {
        @if !account.inspections.is_empty() { (inspections(given)) }
        (chosen(given))
        @if !account.costs.options.is_empty() { (ways(given)) }
        @if !account.corrections.is_empty() { (corrections(given)) }
    }
}

fn inspections(given: &Given<'_>) -> Markup {
    html! {
        table class="stack" {
            caption { "Parts that were looked at" }
            thead { tr { th scope="col" { "Part" } th scope="col" { "Found" } th scope="col" { "Decided" } th scope="col" { "Where" } } }
            tbody {
                @for one in &given.account.inspections {
                    tr {
                        th scope="row" { (own(&one.part)) }
                        td data-of="Found" { (own(&one.condition)) }
                        td data-of="Decided" { @if one.decision.is_empty() { span class="small" { "nothing is said" } } @else { (own(&one.decision)) } }
                        td { @if let Some(date) = one.date { (date) ", " } (super::line(one.line)) }
                    }
                }
            }
        }
    }
}

/// What was taken over what, with the reason, in the log's own words.
fn chosen(given: &Given<'_>) -> Markup {
    let told = given.account.days.iter().flat_map(|day| &day.told);
    let chosen: Vec<_> = told.filter(|told| told.kind == ToldKind::Chose).collect();
    html! {
        @if !chosen.is_empty() {
            h3 { "Chosen" }
            ul class="gap" { @for told in chosen { li { (own(&told.text)) " " (super::line(told.line)) } } }
        }
    }
}

fn ways(given: &Given<'_>) -> Markup {
    let has_hours = given.account.costs.options.iter().any(|way| way.an_hour.is_some());
    let has_time = given.account.costs.options.iter().any(|way| way.takes.is_some());
    html! {
        table class="stack" {
            caption { "The ways there were to go; what may go wrong is in the sum with its share" }
            thead {
                tr {
                    th scope="col" { "Way" }
                    th scope="col" { "Comes to" }
                    th scope="col" { "of that, what may happen" }
                    @if has_hours { th scope="col" { "An hour of it" } }
                    @if has_time { th scope="col" { "Takes" } }
                }
            }
            tbody { @for way in &given.account.costs.options { (one_way(given, way, has_hours, has_time)) } }
        }
    }
}

fn one_way(given: &Given<'_>, way: &OptionPrice, has_hours: bool, has_time: bool) -> Markup {
    let style = &given.style;
    let sums: Vec<String> = way.total.iter().map(|(sum, unit)| style.money(*sum, unit)).collect();
    let currency = way.total.first().map(|(_, unit)| *unit);
    html! {
        tr {
            th scope="row" { (own(&way.name)) @if way.is_taken { " " span class="verdict v-in" { "taken" } } }
            td data-of="Comes to" {
                (sums.join(" and "))
                @if sums.len() > 1 { br; span class="small" { "money of two currencies is not added" } }
                @if !way.is_whole { br; span class="small" { "not all of it could be reckoned with" } }
            }
            td data-of="Of that, what may happen" { @if let Some(unit) = currency.filter(|_| way.total.len() == 1) { (style.money(way.risk, unit)) } }
            @if has_hours { td data-of="An hour of it" { @if let Some((price, unit)) = way.an_hour { (style.money(price, unit)) } } }
            @if has_time { td data-of="Takes" { @if let Some(takes) = way.takes { (days(takes)) } } }
        }
    }
}

/// A time in days, where it is not less than one; else in hours.
pub(super) fn days(seconds: Decimal) -> String {
    let (figure, one, more) = if seconds >= Decimal::from(86_400) {
        (seconds / Decimal::from(86_400), "day", "days")
    } else {
        (seconds / Decimal::from(3600), "hour", "hours")
    };
    let figure = figure.round_dp(1).normalize();
    let word = if figure == Decimal::ONE { one } else { more };
    format!("{figure} {word}")
}

fn corrections(given: &Given<'_>) -> Markup {
    html! {
        table class="stack" {
            caption { "Figures that were mended: the old one stays in the record" }
            thead { tr { th scope="col" { "What" } th scope="col" { "Was" } th scope="col" { "Is" } th scope="col" { "Why" } th scope="col" { "Where" } } }
            tbody {
                @for one in &given.account.corrections {
                    tr {
                        th scope="row" { (own(&one.what)) }
                        td data-of="Was" { del { (own(&one.old)) } }
                        td data-of="Is" { ins { (own(&one.new)) } }
                        td data-of="Why" { (own(&one.reason)) }
                        td { (super::line(one.line)) }
                    }
                }
            }
        }
    }
}
