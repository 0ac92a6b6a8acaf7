//! The ways to go with what each costs, reckoned and compared: do it here, send it out, buy it assembled.

use rust_decimal::Decimal;

use super::case::Case;
use crate::model::job::{EventKind, Offer, OfferItem};
use crate::quantity::{Dimension, Unit};
use crate::syntax::Span;

/// A way to go, reckoned.
#[derive(Clone, Debug)]
pub struct Way<'a> {
    /// Its name: a key.
    pub name: &'a str,
    /// Where it is named.
    pub span: Span,
    /// Whether every item could be read.
    pub is_whole: bool,
    /// What it costs in each currency, what may happen included: base units with the unit.
    pub total: Vec<(Decimal, &'static Unit)>,
    /// Of that, what may happen: its share times what it would cost.
    pub risk: Decimal,
    /// How long it lasts, seconds; `None` where nothing is said.
    pub lasts: Option<Decimal>,
    /// How long it takes, seconds.
    pub takes: Option<Decimal>,
}

impl Way<'_> {
    /// What it costs, where that is of one currency.
    pub fn cost(&self) -> Option<(Decimal, &'static Unit)> {
        match self.total.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// What an hour of it costs, where it is known how long it lasts.
    pub fn an_hour(&self) -> Option<(Decimal, &'static Unit)> {
        let (cost, unit) = self.cost()?;
        let hours = self.lasts?.checked_div(Decimal::from(3600))?;
        Some((cost.checked_div(hours)?, unit))
    }
}

/// The options of a log that stand to be chosen from; of one named twice the later counts. Those of one currency by what they cost, the cheapest first: by
/// the hour where it is known of all how long they last.
pub fn ways<'a>(case: &Case<'a>) -> Vec<Way<'a>> {
    let mut list: Vec<Way<'a>> = Vec::new();
    for event in &case.job.events {
        let EventKind::Option(offer) = &event.kind else {
            continue;
        };
        list.retain(|other| other.name != offer.name.key);
        list.push(reckoned(offer));
    }
    let currency = |option: &Way<'_>| option.cost().map(|(_, unit)| unit.symbol);
    let is_alike = list.windows(2).all(|pair| match pair {
        [a, b] => currency(a).is_some() && currency(a) == currency(b),
        _ => true,
    });
    if is_alike {
        let by_hour = list.iter().all(|option| option.an_hour().is_some());
        let price = |option: &Way<'_>| {
            let price = if by_hour { option.an_hour() } else { option.cost() };
            price.map_or(Decimal::MAX, |(price, _)| price)
        };
        list.sort_by_key(price);
    }
    list
}

/// Which of the options was taken.
pub fn taken<'a>(case: &Case<'a>, ways: &[Way<'_>]) -> Option<&'a str> {
    case.job.events.iter().rev().find_map(|event| match &event.kind {
        EventKind::Chose(taken, _) => ways
            .iter()
            .any(|way| way.name == taken.key)
            .then_some(taken.key.as_str()),
        _ => None,
    })
}

fn reckoned(offer: &Offer) -> Way<'_> {
    let mut way = Way {
        name: &offer.name.key,
        span: offer.name.span,
        is_whole: offer.is_whole,
        total: Vec::new(),
        risk: Decimal::ZERO,
        lasts: None,
        takes: None,
    };
    for item in &offer.items {
        if item.unit.dimension == Dimension::TIME {
            time(&mut way, item);
            continue;
        }
        if item.is_risk {
            way.risk = way.risk.saturating_add(item.amount);
        }
    }
    way.total = sums(&offer.items);
    way
}

/// The sum of items in each currency, in the order in which the currencies come; times are left out.
pub fn sums(items: &[OfferItem]) -> Vec<(Decimal, &'static Unit)> {
    let mut list: Vec<(Decimal, &'static Unit)> = Vec::new();
    for item in items.iter().filter(|item| item.unit.dimension != Dimension::TIME) {
        match list.iter_mut().find(|(_, unit)| unit.dimension == item.unit.dimension) {
            Some((sum, _)) => *sum = sum.saturating_add(item.amount),
            None => list.push((item.amount, item.unit)),
        }
    }
    list
}

fn time(way: &mut Way<'_>, item: &OfferItem) {
    let slot = match item.name.as_str() {
        "lasts" | "good for" | "expected" => &mut way.lasts,
        _ => &mut way.takes,
    };
    *slot = Some(slot.unwrap_or_default().saturating_add(item.amount));
}
