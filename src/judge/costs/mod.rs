//! What a job costs: what was paid and what is still to come, line by line and in each currency; what is on order and since when; and the ways to go with
//! what each would cost, against what the job came to. Money of two currencies is never added, and nothing is rounded here ([`words::money`] does that when it
//! is shown).

pub(super) mod bill;
pub(super) mod traffic;

use jiff::civil::Date;
use rust_decimal::Decimal;

use super::case::Case;
use super::offers::{taken, ways};
use super::{Analysis, words};
use crate::model::job::{EventKind, Offer, OfferItem, Said, SaidKind};
use crate::model::names::says;
use crate::quantity::{Dimension, Unit};
use crate::syntax::Span;
use traffic::{Stream, streams};

/// What a line of costs is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A part.
    Part,
    /// Work sent out, consumables, hire: what a `cost` line says and is nothing else here.
    Cost,
    /// Hours at a price, or what is called labour.
    Labour,
    /// Post, carriage, freight.
    Post,
    /// Customs duty.
    Duty,
    /// Value added tax.
    Vat,
    /// What came back; its amount is less than nothing.
    Back,
}

impl Kind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Part => "part",
            Kind::Cost => "cost",
            Kind::Labour => "labour",
            Kind::Post => "post",
            Kind::Duty => "duty",
            Kind::Vat => "VAT",
            Kind::Back => "back",
        }
    }
}

/// How a price stands to the VAT.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Tax {
    /// Nothing is said.
    #[default]
    NotSaid,
    /// Without it: it is said, or VAT stands on top of it.
    Net,
    /// With it.
    Gross,
}

/// One line of costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostLine {
    /// The part or the `cost` line it belongs to, as written.
    pub of: String,
    /// What the item of a `cost` line is called (a key); empty for what belongs to a part, and where it has no name.
    pub what: String,
    /// What it is for.
    pub kind: Kind,
    /// How many or how long, in `quantity_unit`; `None` for a plain sum.
    pub quantity: Option<Decimal>,
    /// The unit of the quantity, as hours; `None` for pieces.
    pub quantity_unit: Option<&'static Unit>,
    /// The price of one, where there is a quantity.
    pub each: Option<Decimal>,
    /// What it comes to, exact, in `unit`. Less than nothing for what came back.
    pub amount: Decimal,
    /// The currency.
    pub unit: &'static Unit,
    /// Whether the VAT is in it, where that is said.
    pub tax: Tax,
    /// Where it is said in the log; of what came at the ordered price, where that price stands.
    pub span: Span,
    /// The day it was paid, came, or was ordered; `None` where the log has no date for it.
    pub date: Option<Date>,
    /// Whether it is an estimate: ordered, and not come yet.
    pub is_estimate: bool,
    /// Whether it came without a price of its own, so that the ordered one counts.
    pub is_as_ordered: bool,
}

/// What a job came to in one currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Total {
    /// The currency.
    pub unit: &'static Unit,
    /// What was paid or has come, less what came back.
    pub landed: Decimal,
    /// What was ordered and has not come.
    pub to_come: Decimal,
    /// Of the landed sum, what came back; nothing or less.
    pub back: Decimal,
}

/// Where a part stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PartState {
    /// All of it is on order, or waited for.
    OnOrder,
    /// Some has come, and some is on order.
    PartCame,
    /// All that was ordered has come, or it came without an order.
    Came,
    /// Another was chosen over it.
    Left,
}

/// What became of a part that was ordered, waited for or came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartStory {
    /// Its name as written.
    pub name: String,
    /// Where it is first named.
    pub span: Span,
    /// The number it came with, else that of the order, as written.
    pub number: Option<String>,
    /// The number it was ordered as, where that is another.
    pub ordered_as: Option<String>,
    /// From whom, as written.
    pub from: Option<String>,
    /// How many were ordered; `None` without an order.
    pub ordered: Option<Decimal>,
    /// How many came.
    pub got: Decimal,
    /// The day of its first order; of a part that is only waited for, since when.
    pub ordered_on: Option<Date>,
    /// The day of its last arrival.
    pub got_on: Option<Date>,
    /// Days from the first order to the last arrival, or to the last day of the log while some of it is on order. `None` without both days.
    pub days: Option<i32>,
    /// Where it stands.
    pub state: PartState,
    /// Whether all of it has a price.
    pub is_priced: bool,
}

/// Something on order, or waited for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// Its name as written.
    pub name: String,
    /// Where it was ordered, or is said to be waited for.
    pub span: Span,
    /// Since when.
    pub since: Option<Date>,
    /// Days from then to the last day of the log.
    pub days: Option<i32>,
    /// How many are still to come; `None` where it is only waited for.
    pub quantity: Option<Decimal>,
    /// What is still to be paid for it in each currency, with post, duty and VAT; empty where it has no price.
    pub to_come: Vec<(Decimal, &'static Unit)>,
}

/// A way to go, with its price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OptionPrice {
    /// Its name: a key.
    pub name: String,
    /// Where it is named.
    pub span: Span,
    /// What it costs in each currency, what may go wrong included.
    pub total: Vec<(Decimal, &'static Unit)>,
    /// Of that, what may go wrong: its share times what it would cost.
    pub risk: Decimal,
    /// What an hour of it costs, where it says how long it lasts and is in one currency.
    pub an_hour: Option<(Decimal, &'static Unit)>,
    /// How long it takes, seconds.
    pub takes: Option<Decimal>,
    /// How long it lasts, seconds.
    pub lasts: Option<Decimal>,
    /// Whether every item could be read; else its sum is too small.
    pub is_whole: bool,
    /// Whether it is the one that was chosen.
    pub is_taken: bool,
}

/// What the chosen way was estimated at, against what the whole job came to in the same currency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Comparison {
    /// The way that was chosen: a key.
    pub name: String,
    /// The currency.
    pub unit: &'static Unit,
    /// What it was estimated at, without what might go wrong.
    pub estimate: Decimal,
    /// What might go wrong, by its share.
    pub risk: Decimal,
    /// What was paid or has come in this currency, in the whole job.
    pub landed: Decimal,
    /// What has still to come in it.
    pub to_come: Decimal,
}

impl Comparison {
    /// How much more than the estimate the job costs, with what has still to come; less than nothing where it is cheaper.
    pub fn over(&self) -> Decimal {
        self.landed.saturating_add(self.to_come).saturating_sub(self.estimate)
    }
}

/// What a job costs, and what it waits for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Costs {
    /// Every line, by place in the log.
    pub lines: Vec<CostLine>,
    /// The sum in each currency, by the letters of the currency.
    pub totals: Vec<Total>,
    /// Parts that have no price, or not for all of them, as written: the sums are too small by them.
    pub unpriced: Vec<String>,
    /// `cost` lines with an item that could not be reckoned, as written: the sums are without it.
    pub unreckoned: Vec<String>,
    /// Every part that was ordered, waited for or came, in the order in which they are first named.
    pub parts: Vec<PartStory>,
    /// What is on order, the longest waited for first.
    pub on_order: Vec<Awaited>,
    /// The ways to go, as [`ways`] ranks them.
    pub options: Vec<OptionPrice>,
    /// The chosen way against the job; `None` where none was chosen, or not in one currency, or nothing was paid in that.
    pub comparison: Option<Comparison>,
    /// The last day of the log, up to which waiting is counted.
    pub last_day: Option<Date>,
}

impl Costs {
    /// Whether the log says nothing of money, parts or options.
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty() && self.parts.is_empty() && self.options.is_empty() && self.unreckoned.is_empty()
    }

    /// What is to be known of the sums before they are believed, a sentence each; empty where nothing is.
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        let short = |names: &[String], one: &str, many: &str| {
            let have = if names.len() == 1 { one } else { many };
            let them = if names.len() == 1 { "it" } else { "them" };
            format!(
                "{} {have}, so the sum is too small by {them}: {}",
                names.len(),
                words::list(names)
            )
        };
        if !self.unpriced.is_empty() {
            notes.push(short(&self.unpriced, "part has no price", "parts have no price"));
        }
        if !self.unreckoned.is_empty() {
            let (one, many) = (
                "cost has an item that cannot be reckoned",
                "costs have an item that cannot be reckoned",
            );
            notes.push(short(&self.unreckoned, one, many));
        }
        if self.totals.len() > 1 {
            let sums: Vec<&str> = self.totals.iter().map(|total| total.unit.label()).collect();
            notes.push(format!(
                "money of {} currencies ({}) is never added: there is no rate of exchange in a notebook",
                sums.len(),
                sums.join(", ")
            ));
        }
        let has_vat = |line: &CostLine| {
            let mut others = self.lines.iter();
            others.any(|other| other.kind == Kind::Vat && other.of == line.of)
        };
        let mut net: Vec<String> = Vec::new();
        for line in self.lines.iter().filter(|line| line.tax == Tax::Net && !has_vat(line)) {
            if !net.contains(&line.of) {
                net.push(line.of.clone());
            }
        }
        if !net.is_empty() {
            let is = if net.len() == 1 { "is" } else { "are" };
            notes.push(format!(
                "{} {is} net, and nothing says the VAT on top",
                words::list(&net)
            ));
        }
        notes
    }
}

/// What a judged job costs, and what it waits for. Never fails: what cannot be reckoned is named in the result.
pub fn costs(analysis: &Analysis) -> Costs {
    let case = Case::begun(
        &analysis.source,
        &analysis.tree,
        &analysis.job,
        &analysis.rules,
        analysis.settings.clone(),
    );
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
