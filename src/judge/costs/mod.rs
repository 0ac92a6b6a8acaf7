//! What a job costs: what was paid and what is still to come, line by line and in each currency; what is on order and since when; and the ways to go with
//! what each would cost, against what the job came to. Money of two currencies is never added, and nothing is rounded here ([`words::money`] does that when it
//! is shown).

pub(super) mod bill;
mod told;
pub(super) mod traffic;

use jiff::civil::Date;
use rust_decimal::Decimal;

use super::case::Case;
use super::offers::{taken, ways};
use super::{Analysis, words};
use crate::model::job::{EventKind, Offer, OfferItem, Said, SaidKind};
use crate::model::names::says;
use crate::quantity::Dimension;
pub use told::{Awaited, Comparison, CostLine, Costs, Kind, OptionPrice, PartState, PartStory, Tax, Total};
use traffic::{Stream, streams};

/// What a judged job costs, and what it waits for. Never fails: what cannot be reckoned is named in the result.
pub fn costs(analysis: &Analysis) -> Costs {
    let case = analysis.begun();
    of_case(&case)
}

/// The same of a case.
pub(super) fn of_case(case: &Case<'_>) -> Costs {
    let last_day = case.job.dates.iter().rev().flatten().next().copied();
    let mut costs = Costs {
        last_day,
        ..Costs::default()
    };
    for stream in streams(case) {
        costs.parts.push(story(case, &stream, last_day));
        costs.on_order.extend(awaited(case, &stream, last_day));
        if stream.is_unpriced {
            costs.unpriced.push(words::fold(stream.name.span.text(case.text())));
        }
        costs.lines.extend(stream.lines);
    }
    for (at, event) in case.job.events.iter().enumerate() {
        if let EventKind::Cost(paid) = &event.kind {
            costs
                .lines
                .extend(paid.items.iter().map(|item| line(case, at, paid, item)));
            if !paid.is_whole || paid.items.is_empty() {
                costs.unreckoned.push(words::fold(paid.name.span.text(case.text())));
            }
        }
    }
    costs
        .lines
        .sort_by_key(|line| (line.span.start, line.kind, line.is_estimate));
    costs
        .on_order
        .sort_by_key(|one| (one.since.is_none(), one.since, one.span.start));
    costs.totals = totals(&costs.lines);
    options(case, &mut costs);
    costs
}

/// An item of a `cost` line.
fn line(case: &Case<'_>, event: usize, paid: &Offer, item: &OfferItem) -> CostLine {
    CostLine {
        of: words::fold(paid.name.span.text(case.text())),
        what: item.name.clone(),
        kind: kind(paid, item),
        quantity: item.count.map(|(count, _)| count),
        quantity_unit: item.count.and_then(|(_, unit)| unit),
        each: item.each,
        amount: item.amount,
        unit: item.unit,
        tax: Tax::NotSaid,
        span: item.span,
        date: case.job.date(event),
        is_estimate: false,
        is_as_ordered: false,
    }
}

/// What an item is for: by its own name, else by that of its line.
fn kind(paid: &Offer, item: &OfferItem) -> Kind {
    if item.amount < Decimal::ZERO {
        return Kind::Back;
    }
    let is_time = item
        .count
        .and_then(|(_, unit)| unit)
        .is_some_and(|unit| unit.dimension == Dimension::TIME);
    let named = |name: &str| {
        let any = |words: &[&str]| words.iter().any(|word| says(name, word));
        if any(&["vat", "tax"]) {
            Some(Kind::Vat)
        } else if any(&["duty", "customs"]) {
            Some(Kind::Duty)
        } else if any(&["post", "postage", "shipping", "carriage", "freight", "delivery"]) {
            Some(Kind::Post)
        } else if any(&["labour", "labor"]) {
            Some(Kind::Labour)
        } else {
            None
        }
    };
    let own = if item.name.is_empty() {
        paid.name.key.as_str()
    } else {
        item.name.as_str()
    };
    named(own).unwrap_or(if is_time { Kind::Labour } else { Kind::Cost })
}

fn totals(lines: &[CostLine]) -> Vec<Total> {
    let mut list: Vec<Total> = Vec::new();
    for line in lines {
        let at = list
            .iter()
            .position(|total| total.unit == line.unit)
            .unwrap_or_else(|| {
                list.push(Total {
                    unit: line.unit,
                    landed: Decimal::ZERO,
                    to_come: Decimal::ZERO,
                    back: Decimal::ZERO,
                });
                list.len() - 1
            });
        let Some(total) = list.get_mut(at) else { continue };
        let sum = if line.is_estimate {
            &mut total.to_come
        } else {
            &mut total.landed
        };
        *sum = sum.saturating_add(line.amount);
        if line.kind == Kind::Back {
            total.back = total.back.saturating_add(line.amount);
        }
    }
    list.sort_by_key(|total| total.unit.symbol);
    list
}

/// Whole days from one day to another.
fn days(from: Option<Date>, to: Option<Date>) -> Option<i32> {
    from?.until(to?).ok().map(|passed| passed.get_days())
}

/// A detail as it is written, without the word that says what it is.
fn written(case: &Case<'_>, said: &Said) -> String {
    let text = words::fold(said.span.text(case.text()));
    let word = match said.kind {
        SaidKind::Number(_) => "number",
        SaidKind::OrderedAs(_) => "ordered as",
        SaidKind::From(_) => "from",
        _ => "",
    };
    let begins = text
        .get(..word.len())
        .is_some_and(|begin| begin.eq_ignore_ascii_case(word));
    let rest = text.get(word.len()..).filter(|_| begins).map(str::trim_start);
    rest.map(str::to_owned).unwrap_or(text)
}

fn story(case: &Case<'_>, stream: &Stream<'_>, last: Option<Date>) -> PartStory {
    let said = || {
        let came = stream.arrivals.iter().rev().map(|arrival| arrival.part);
        came.chain(stream.orders.iter().rev().map(|order| order.part))
    };
    let number = said().find_map(|part| part.number());
    let as_said = said()
        .flat_map(|part| &part.said)
        .find(|said| matches!(said.kind, SaidKind::OrderedAs(_)));
    let of_order = stream.orders.iter().rev().find_map(|order| order.part.number());
    let ordered_as = as_said.or(of_order);
    let is_other = |as_ordered: &&Said| number.is_none_or(|number| number.as_number() != as_ordered.as_number());
    let mut from = said().flat_map(|part| &part.said);
    let from = from.find(|said| matches!(said.kind, SaidKind::From(_)));
    let sum = |figures: &mut dyn Iterator<Item = Decimal>| figures.fold(Decimal::ZERO, Decimal::saturating_add);
    let ordered_on = stream.orders.first().and_then(|order| case.job.date(order.event));
    let ordered_on = ordered_on.or_else(|| since(case, *stream.waiting.first()?));
    let got_on = stream.arrivals.last().and_then(|arrival| case.job.date(arrival.event));
    let is_open = is_open(stream);
    let state = match (
        case.left.contains(&stream.name.key),
        is_open,
        stream.arrivals.is_empty(),
    ) {
        (true, ..) => PartState::Left,
        (_, true, true) => PartState::OnOrder,
        (_, true, false) => PartState::PartCame,
        (_, false, _) => PartState::Came,
    };
    PartStory {
        name: words::fold(stream.name.span.text(case.text())),
        span: stream.name.span,
        ordered_as: ordered_as.filter(is_other).map(|said| written(case, said)),
        number: number.map(|said| written(case, said)),
        from: from.map(|said| written(case, said)),
        ordered: (!stream.orders.is_empty()).then(|| sum(&mut stream.orders.iter().map(|order| order.quantity))),
        got: sum(&mut stream.arrivals.iter().map(|arrival| arrival.quantity)),
        ordered_on,
        got_on,
        days: days(ordered_on, if is_open { last } else { got_on }),
        state,
        is_priced: !stream.is_unpriced,
    }
}

/// Whether some of a part has still to come: of an order, or since it was said to be waited for.
fn is_open(stream: &Stream<'_>) -> bool {
    let last = stream.arrivals.last().map(|arrival| arrival.event);
    let is_waited = stream.orders.is_empty() && stream.waiting.iter().any(|at| last.is_none_or(|last| *at > last));
    is_waited || stream.orders.iter().any(|order| !order.left.is_zero())
}

/// The day since when a `waiting` line says a part is waited for; else its own.
fn since(case: &Case<'_>, event: usize) -> Option<Date> {
    let said = |said: &Said| said.key.strip_prefix("since ")?.trim().parse().ok();
    match case.job.events.get(event).map(|event| &event.kind) {
        Some(EventKind::Waiting(_, all)) => all.iter().find_map(said).or_else(|| case.job.date(event)),
        _ => case.job.date(event),
    }
}

fn awaited(case: &Case<'_>, stream: &Stream<'_>, last: Option<Date>) -> Option<Awaited> {
    if case.left.contains(&stream.name.key) || !is_open(stream) {
        return None;
    }
    let order = stream.orders.iter().find(|order| !order.left.is_zero());
    let event = order.map(|order| order.event).or(stream.waiting.last().copied())?;
    let since = match order {
        Some(order) => case.job.date(order.event),
        None => stream.waiting.iter().find_map(|at| since(case, *at)),
    };
    let left = stream
        .orders
        .iter()
        .fold(Decimal::ZERO, |sum, order| sum.saturating_add(order.left));
    let open: Vec<CostLine> = stream.lines.iter().filter(|line| line.is_estimate).cloned().collect();
    Some(Awaited {
        name: words::fold(stream.name.span.text(case.text())),
        span: case.event_span(event),
        since,
        days: days(since, last),
        quantity: order.map(|_| left),
        to_come: totals(&open)
            .into_iter()
            .map(|total| (total.to_come, total.unit))
            .collect(),
    })
}

fn options(case: &Case<'_>, costs: &mut Costs) {
    let ways = ways(case);
    let chosen = taken(case, &ways);
    for way in &ways {
        costs.options.push(OptionPrice {
            name: way.name.to_owned(),
            span: way.span,
            total: way.total.clone(),
            risk: way.risk,
            an_hour: way.an_hour(),
            takes: way.takes,
            lasts: way.lasts,
            is_whole: way.is_whole,
            is_taken: chosen == Some(way.name),
        });
    }
    costs.comparison = ways.iter().find(|way| chosen == Some(way.name)).and_then(|way| {
        let (all, unit) = way.cost()?;
        let total = costs.totals.iter().find(|total| total.unit == unit)?;
        Some(Comparison {
            name: way.name.to_owned(),
            unit,
            estimate: all.saturating_sub(way.risk),
            risk: way.risk,
            landed: total.landed,
            to_come: total.to_come,
        })
    });
}
