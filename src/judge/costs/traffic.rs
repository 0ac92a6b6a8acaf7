//! Orders and arrivals of each part, matched: which of what was ordered has come, at which price, and what is still on order.

use rust_decimal::Decimal;

use super::bill::{Bill, Money, Vat};
use super::{CostLine, Kind, Tax};
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{EventKind, Part, Word};
use crate::quantity::Unit;
use crate::syntax::Span;

/// An order, and how much of it is still to come.
#[derive(Debug)]
pub(in crate::judge) struct Order<'a> {
    pub event: usize,
    pub part: &'a Part,
    pub bill: Bill,
    /// How many were ordered; one where nothing is said.
    pub quantity: Decimal,
    /// How many of them have not come.
    pub left: Decimal,
    /// Whether any of it has come: post, duty and VAT said as a sum are then paid.
    is_begun: bool,
}

/// An arrival.
#[derive(Debug)]
pub(in crate::judge) struct Arrival<'a> {
    pub event: usize,
    pub part: &'a Part,
    pub quantity: Decimal,
}

/// What came at another price than it was ordered at.
#[derive(Clone, Copy, Debug)]
pub(in crate::judge) struct Changed {
    pub ordered: (Money, Span),
    pub came: (Money, Span),
}

/// All that is said of one part.
#[derive(Debug)]
pub(in crate::judge) struct Stream<'a> {
    pub name: &'a Word,
    pub orders: Vec<Order<'a>>,
    /// How many of them, from the first on, have come whole.
    done: usize,
    pub arrivals: Vec<Arrival<'a>>,
    /// Where it is said to be waited for.
    pub waiting: Vec<usize>,
    pub lines: Vec<CostLine>,
    pub changed: Vec<Changed>,
    /// Whether something of it has no price.
    pub is_unpriced: bool,
}

/// Every part of a job, in the order in which they are first named.
pub(in crate::judge) fn streams<'a>(case: &Case<'a>) -> Vec<Stream<'a>> {
    let mut list: Vec<Stream<'a>> = Vec::new();
    let mut index: rustc_hash::FxHashMap<&'a str, usize> = rustc_hash::FxHashMap::default();
    for (at, event) in case.job.events.iter().enumerate() {
        let name = match &event.kind {
            EventKind::Ordered(part) | EventKind::Got(part) => &part.name,
            EventKind::Waiting(name, _) => name,
            _ => continue,
        };
        let number = *index.entry(name.key.as_str()).or_insert_with(|| {
            list.push(Stream::new(name));
            list.len() - 1
        });
        let Some(stream) = list.get_mut(number) else { continue };
        match &event.kind {
            EventKind::Ordered(part) => stream.ordered(at, part),
            EventKind::Got(part) => stream.came(case, at, part),
            _ => stream.waiting.push(at),
        }
    }
    for stream in &mut list {
        let is_left = case.left.contains(&stream.name.key);
        if !is_left {
            stream.await_rest(case);
        }
    }
    list
}

impl<'a> Stream<'a> {
    fn new(name: &'a Word) -> Stream<'a> {
        Stream {
            name,
            orders: Vec::new(),
            done: 0,
            arrivals: Vec::new(),
            waiting: Vec::new(),
            lines: Vec::new(),
            changed: Vec::new(),
            is_unpriced: false,
        }
    }

    fn ordered(&mut self, event: usize, part: &'a Part) {
        let bill = Bill::new(part);
        let quantity = bill.quantity.unwrap_or(Decimal::ONE);
        self.orders.push(Order {
            event,
            part,
            bill,
            quantity,
            left: quantity,
            is_begun: false,
        });
    }

    /// What came is of the earliest orders first. Without a number it is all that was on order.
    fn came(&mut self, case: &Case<'a>, event: usize, part: &'a Part) {
        let bill = Bill::new(part);
        let mut rest = bill.quantity;
        let mut pieces: Vec<(Decimal, Option<usize>)> = Vec::new();
        let is_done = |order: &Order<'_>| order.left.is_zero();
        while self.orders.get(self.done).is_some_and(is_done) {
            self.done += 1;
        }
        for (number, order) in self.orders.iter_mut().enumerate().skip(self.done) {
            if order.left.is_zero() || rest.is_some_and(|rest| rest.is_zero()) {
                continue;
            }
            // Of an order that does not say how many, what comes is all.
            let taken = match rest {
                Some(rest) if order.bill.quantity.is_none() => rest,
                Some(rest) => rest.min(order.left),
                None => order.left,
            };
            order.left = order.left.saturating_sub(taken).max(Decimal::ZERO);
            rest = rest.map(|rest| rest - taken);
            pieces.push((taken, Some(number)));
        }
        match rest {
            Some(rest) if !rest.is_zero() => pieces.push((rest, None)),
            None if pieces.is_empty() => pieces.push((Decimal::ONE, None)),
            _ => {}
        }
        let quantity = pieces
            .iter()
            .fold(Decimal::ZERO, |sum, (piece, _)| sum.saturating_add(*piece));
        self.arrivals.push(Arrival { event, part, quantity });
        self.priced(case, event, &bill, &pieces);
        // Post, duty and VAT as a sum: what is said where it came takes the place of what was said with the order.
        let mut bills = vec![(event, bill)];
        for number in pieces.iter().filter_map(|(_, order)| *order) {
            let Some(order) = self.orders.get_mut(number).filter(|order| !order.is_begun) else {
                continue;
            };
            order.is_begun = true;
            let own = bills.first().map(|(_, bill)| bill);
            let mut extras = Bill {
                price: None,
                ..order.bill.clone()
            };
            extras.post = extras.post.filter(|_| own.is_none_or(|own| own.post.is_none()));
            extras.duty = extras.duty.filter(|_| own.is_none_or(|own| own.duty.is_none()));
            extras.vat = extras.vat.filter(|_| own.is_none_or(|own| own.vat.is_none()));
            bills.push((order.event, extras));
        }
        for (_, bill) in bills {
            self.extras(case, event, &bill, false);
        }
    }

    /// What was paid for the pieces of an arrival: by its own price, else by that of the order they are of, else by that of the last order.
    fn priced(&mut self, case: &Case<'a>, event: usize, bill: &Bill, pieces: &[(Decimal, Option<usize>)]) {
        let order_of = |number: Option<usize>| match number {
            Some(number) => self.orders.get(number),
            None => self.orders.last(),
        };
        let all = pieces
            .iter()
            .fold(Decimal::ZERO, |sum, (piece, _)| sum.saturating_add(*piece));
        let mut priced: Vec<Priced> = Vec::new();
        let mut changed = None;
        if let (Some(price), Some(each), Some(money)) = (bill.price, bill.each(all), bill.all(all)) {
            let order = order_of(pieces.first().and_then(|(_, order)| *order));
            let of_order = order.map(|order| &order.bill);
            // What is not said of the VAT is as it was ordered.
            let both = Bill {
                vat: bill.vat.or(of_order.and_then(|bill| bill.vat)),
                tax: match bill.tax {
                    Tax::NotSaid => of_order.map_or(Tax::NotSaid, |bill| bill.tax),
                    said => said,
                },
                ..bill.clone()
            };
            changed = order.and_then(|order| price_change(order, &both, each, price.span));
            priced.push(Priced::new(all, each, money, &both, price.span, false));
        } else {
            for (piece, number) in pieces {
                let price = order_of(*number).and_then(|order| {
                    let each = order.bill.each(order.quantity)?;
                    let money = if *piece == order.quantity {
                        order.bill.all(*piece)?
                    } else {
                        (each.0.checked_mul(*piece)?, each.1)
                    };
                    let mut both = order.bill.clone();
                    both.vat = bill.vat.or(both.vat);
                    Some(Priced::new(*piece, each, money, &both, order.bill.price?.span, true))
                });
                match price {
                    Some(price) => priced.push(price),
                    None => self.is_unpriced = true,
                }
            }
        }
        self.changed.extend(changed);
        for price in priced {
            self.push(case, event, &price, false);
        }
    }

    /// What has still to come of each order.
    fn await_rest(&mut self, case: &Case<'a>) {
        let open: Vec<(usize, Decimal, Bill, Decimal, bool)> = self
            .orders
            .iter()
            .filter(|order| !order.left.is_zero())
            .map(|order| {
                (
                    order.event,
                    order.left,
                    order.bill.clone(),
                    order.quantity,
                    order.is_begun,
                )
            })
            .collect();
        for (event, left, bill, quantity, is_begun) in open {
            let money = if left == quantity {
                bill.all(left)
            } else {
                bill.each(quantity)
                    .and_then(|(each, unit)| Some((each.checked_mul(left)?, unit)))
            };
            match (bill.each(quantity), money, bill.price) {
                (Some(each), Some(money), Some(price)) => {
                    let price = Priced::new(left, each, money, &bill, price.span, false);
                    self.push(case, event, &price, true);
                }
                _ => self.is_unpriced = true,
            }
            if !is_begun {
                self.extras(case, event, &bill, true);
            }
        }
        let is_only_waited_for = self.orders.is_empty() && self.arrivals.is_empty();
        self.is_unpriced |= is_only_waited_for;
    }

    /// A line for a price, and one for the VAT on top of it.
    fn push(&mut self, case: &Case<'a>, event: usize, price: &Priced, is_estimate: bool) {
        let line = CostLine {
            quantity: Some(price.quantity),
            each: Some(price.each),
            is_as_ordered: price.is_as_ordered,
            tax: price.tax,
            ..self.line(case, event, Kind::Part, price.money, price.span, is_estimate)
        };
        self.lines.push(line);
        let Some((share, span)) = price.vat else { return };
        match price.money.0.checked_mul(share) {
            Some(amount) => {
                let line = self.line(case, event, Kind::Vat, (amount, price.money.1), span, is_estimate);
                self.lines.push(line);
            }
            None => self.is_unpriced = true,
        }
    }

    /// Lines for what is paid once: post, duty, VAT as a sum.
    fn extras(&mut self, case: &Case<'a>, event: usize, bill: &Bill, is_estimate: bool) {
        let vat = match bill.vat {
            Some(Vat::Sum(money, span)) if bill.tax != Tax::Gross => Some((money, span)),
            _ => None,
        };
        for (kind, extra) in [(Kind::Post, bill.post), (Kind::Duty, bill.duty), (Kind::Vat, vat)] {
            if let Some((money, span)) = extra {
                let line = self.line(case, event, kind, money, span, is_estimate);
                self.lines.push(line);
            }
        }
    }

    fn line(&self, case: &Case<'a>, event: usize, kind: Kind, money: Money, span: Span, is_estimate: bool) -> CostLine {
        let (amount, unit): (Decimal, &'static Unit) = money;
        CostLine {
            of: words::fold(self.name.span.text(case.text())),
            what: String::new(),
            kind,
            quantity: None,
            quantity_unit: None,
            each: None,
            amount,
            unit,
            tax: Tax::NotSaid,
            span,
            date: case.job.date(event),
            is_estimate,
            is_as_ordered: false,
        }
    }
}

/// So many at a price.
struct Priced {
    quantity: Decimal,
    each: Decimal,
    money: Money,
    vat: Option<(Decimal, Span)>,
    tax: Tax,
    span: Span,
    is_as_ordered: bool,
}

impl Priced {
    fn new(quantity: Decimal, each: Money, money: Money, bill: &Bill, span: Span, is_as_ordered: bool) -> Priced {
        Priced {
            quantity,
            each: each.0,
            money,
            vat: bill.on_top(),
            tax: bill.taxed_as(),
            span,
            is_as_ordered,
        }
    }
}

impl Bill {
    /// How its price stands to the VAT: a price with VAT on top of it is a net one.
    fn taxed_as(&self) -> Tax {
        match (self.tax, self.vat) {
            (Tax::NotSaid, Some(_)) => Tax::Net,
            (said, _) => said,
        }
    }
}

/// Whether it came at another price than it was ordered at: both with VAT where both say it, else as they are, unless one has it in and of the other nobody
/// can say what it would be with it.
fn price_change(order: &Order<'_>, came: &Bill, each: Money, span: Span) -> Option<Changed> {
    let ordered = order.bill.each(order.quantity)?;
    let before = (ordered, order.bill.price?.span);
    let (old, new) = (order.bill.taxed_as(), came.taxed_as());
    let with = |money: Money, bill: &Bill| match bill.on_top() {
        Some((share, _)) => share
            .checked_add(Decimal::ONE)
            .and_then(|times| times.checked_mul(money.0)),
        None => (bill.taxed_as() == Tax::Gross).then_some(money.0),
    };
    let is_same = if old == new || old == Tax::NotSaid || new == Tax::NotSaid {
        ordered == each
    } else {
        let (before, after) = (with(ordered, &order.bill)?, with(each, came)?);
        // To the cent: a price with VAT in it was rounded.
        let decimals = ordered.1.decimals();
        let rounded = |amount| crate::quantity::number::rounded(amount, decimals);
        ordered.1 == each.1 && rounded(before) == rounded(after)
    };
    (!is_same).then_some(Changed {
        ordered: before,
        came: (each, span),
    })
}
