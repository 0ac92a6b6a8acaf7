//! Parts with their numbers, what is on order since when, and what the job comes to; money in each currency by itself.

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::Given;
use crate::judge::costs::{Awaited, Comparison, CostLine, PartState, PartStory};
use crate::quantity::Unit;
use crate::report::page::own;

pub(super) fn money(given: &Given<'_>) -> Markup {
    let costs = &given.account.costs;
    html! {
        @if !costs.parts.is_empty() { (parts(given)) }
        @if !costs.on_order.is_empty() { (on_order(given)) }
        @if !costs.lines.is_empty() { (bill(given)) }
        @for note in costs.notes() { p class="small" { (own(&note)) "." } }
        @if let Some(comparison) = &costs.comparison { (compared(given, comparison)) }
    }
}

fn parts(given: &Given<'_>) -> Markup {
    html! {
        table class="stack" {
            caption { "Parts that were ordered, waited for or came" }
            thead {
                tr {
                    th scope="col" { "Part" }
                    th scope="col" { "Number" }
                    th scope="col" { "How many" }
                    th scope="col" { "Ordered" }
                    th scope="col" { "Came" }
                    th scope="col" { "Where" }
                }
            }
            tbody { @for part in &given.account.costs.parts { (one_part(given, part)) } }
        }
    }
}

fn one_part(given: &Given<'_>, part: &PartStory) -> Markup {
    let line = given.analysis.source.lines.line_of(part.span.start) + 1;
    html! {
        tr {
            th scope="row" {
                (own(&part.name))
                @if let Some(from) = &part.from { br; span class="small" { "from " (own(from)) } }
            }
            td data-of="Number" {
                @if let Some(number) = &part.number { (own(number)) }
                @if let Some(number) = &part.ordered_as { br; span class="small" { "ordered as " (own(number)) } }
            }
            td data-of="How many" {
                @match part.ordered {
                    Some(ordered) if ordered == part.got => { (ordered.normalize()) },
                    Some(ordered) => { (part.got.normalize()) " of " (ordered.normalize()) },
                    None => { (part.got.normalize()) },
                }
            }
            td data-of="Ordered" { @if let Some(date) = part.ordered_on { (date) } }
            td data-of="Came" {
                @match part.state {
                    PartState::Came | PartState::PartCame => {
                        @if let Some(date) = part.got_on { (date) } @else { "came" }
                        @if part.state == PartState::PartCame { br; span class="small v-np" { "not all of it yet" } }
                    },
                    PartState::OnOrder => { span class="v-np" { "not yet" } },
                    PartState::Left => { span class="small" { "another was chosen" } },
                }
                @if let Some(days) = part.days.filter(|days| *days > 0) { br; span class="small" { (waited(days)) } }
            }
            td { (super::line(line)) }
        }
    }
}

fn waited(days: i32) -> String {
    if days == 1 {
        "after a day".to_owned()
    } else {
        format!("after {days} days")
    }
}

fn on_order(given: &Given<'_>) -> Markup {
    html! {
        h3 { "Still awaited" }
        ul class="gap" { @for awaited in &given.account.costs.on_order { (one_awaited(given, awaited)) } }
    }
}

fn one_awaited(given: &Given<'_>, awaited: &Awaited) -> Markup {
    let sums: Vec<String> = awaited
        .to_come
        .iter()
        .map(|(sum, unit)| given.style.money(*sum, unit))
        .collect();
    html! {
        li {
            @if let Some(quantity) = awaited.quantity { (quantity.normalize()) " " }
            (own(&awaited.name))
            @if let Some(since) = awaited.since { ", since " (since) }
            @if let Some(days) = awaited.days { ", by the last day of the log for " (days) @if days == 1 { " day" } @else { " days" } }
            @if !sums.is_empty() { "; " (sums.join(" and ")) " to come" }
        }
    }
}

/// Every line with what it comes to, and the sum in each currency.
fn bill(given: &Given<'_>) -> Markup {
    let costs = &given.account.costs;
    html! {
        table class="stack" {
            caption { "What the job comes to; what is ordered and has not come is marked" }
            thead { tr { th scope="col" { "For" } th scope="col" { "How many" } th class="n" scope="col" { "Each" } th class="n" scope="col" { "Comes to" } th scope="col" { "Where" } } }
            tbody {
                @for line in &costs.lines { (row(given, line)) }
                @for total in &costs.totals {
                    @if total.landed != Decimal::ZERO || total.to_come == Decimal::ZERO { (sum(given, "Paid or come", total.landed, total.unit)) }
                    @if total.to_come != Decimal::ZERO {
                        (sum(given, "Still to come", total.to_come, total.unit))
                        (sum(given, "Together", total.landed.saturating_add(total.to_come), total.unit))
                    }
                }
            }
        }
    }
}

fn row(given: &Given<'_>, line: &CostLine) -> Markup {
    let number = given.analysis.source.lines.line_of(line.span.start) + 1;
    let quantity = line.quantity.map(|quantity| match line.quantity_unit {
        Some(unit) => given.style.plain(quantity, unit.label()),
        None => given.style.plain(quantity, ""),
    });
    html! {
        tr {
            th scope="row" {
                (own(&line.of))
                @if !line.what.is_empty() && line.what != line.of { ": " (own(&line.what)) }
                @let kind = Some(line.kind.word()).filter(|word| !word.eq_ignore_ascii_case(&line.of));
                @let state = line.is_estimate.then_some("not come yet").or(line.is_as_ordered.then_some("at the ordered price"));
                @let remarks: Vec<&str> = kind.into_iter().chain(state).collect();
                @if !remarks.is_empty() { " " span class="small" { (remarks.join(", ")) } }
            }
            td data-of="How many" { (quantity.unwrap_or_default()) }
            td class="n" data-of="Each" { @if let Some(each) = line.each { (given.style.money(each, line.unit)) } }
            td class="n" data-of="Comes to" { (given.style.money(line.amount, line.unit)) }
            td { (super::line(number)) }
        }
    }
}

fn sum(given: &Given<'_>, name: &str, amount: Decimal, unit: &'static Unit) -> Markup {
    html! {
        tr class="sum" {
            th scope="row" { (name) ", " (unit.label()) }
            td {}
            td {}
            td class="n" { (given.style.money(amount, unit)) }
            td {}
        }
    }
}

fn compared(given: &Given<'_>, one: &Comparison) -> Markup {
    let money = |amount: Decimal| given.style.money(amount, one.unit);
    let over = one.over();
    html! {
        p {
            "The way that was chosen, " (own(&one.name)) ", was estimated at " (money(one.estimate))
            @if one.risk != Decimal::ZERO { " and " (money(one.risk)) " for what might go wrong" }
            "; the job comes to " (money(one.landed.saturating_add(one.to_come)))
            @if over.is_sign_negative() && !over.is_zero() { ", which is " (money(-over)) " less" }
            @else if !over.is_zero() { ", which is " (money(over)) " more" }
            "."
        }
    }
}
