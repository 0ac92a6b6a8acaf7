//! What there is to choose from: stocks, and options with what they cost; and what was paid.

use rust_decimal::Decimal;

use super::Lowering;
use crate::model::job::{Offer, OfferItem, Stock, StockPiece};
use crate::model::names::{key, says};
use crate::model::units::{Meant, Quantity, read, read_unit};
use crate::quantity::{Dimension, Unit, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Cost, CostBy, Per, Piece};

/// An hour, in seconds: a price behind `at` is for an hour.
const HOUR: i64 = 3600;
/// A day of an option, in seconds.
const DAY: i64 = 86_400;

/// What items are written for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Purpose {
    /// An `option`: what it would cost.
    Choice,
    /// A `cost`: what was paid.
    Paid,
}

/// What an item of an option may be.
const OFFERED: &str = "an item is money, as `parts 128 EUR`, `2 x 19 EUR`, `labour 6 h at 30 EUR`, `puller 240 EUR over 8 jobs`, `vat 23 %` of what stands before it, \
                       `risk 15 % of 190 EUR`, `less old crank 40 EUR`; or a time, as `takes 5 days`, `lasts 300 h`";
/// What an item of a cost may be.
const PAID: &str = "an item is money that was paid, as `work 45 EUR`, `post 2 x 6 EUR`, `labour 6 h at 30 EUR`, `puller 240 EUR over 8 jobs`, `vat 23 %` of what \
                    stands before it; or that came back, as `less deposit 45 EUR`";

impl Lowering<'_> {
    /// Sizes without a unit take the one behind the last, else that of lengths.
    pub(super) fn stock(&mut self, name: Span, pieces: &[Piece]) -> Stock {
        let behind = pieces.iter().rev().find_map(|piece| piece.size.unit);
        let unit = match behind.map(|span| read_unit(span, self.text, None)) {
            Some(Ok(unit)) => Some(unit),
            Some(Err(error)) => {
                self.problems.push(*error);
                None
            }
            None => self
                .units
                .of(None)
                .or_else(|| unit::find("mm", Some(Dimension::LENGTH))),
        };
        let meant = Meant {
            dimension: unit.map(|unit| unit.dimension),
            unit,
        };
        let mut list = Vec::new();
        for piece in pieces {
            let bare = Amount {
                unit: piece.size.unit.filter(|span| Some(*span) != behind),
                ..piece.size
            };
            match read(&bare, self.text, meant) {
                Ok(size) => list.push(StockPiece {
                    size: size.base,
                    half_step: size.half_step,
                    unit: size.unit,
                    count: piece.count,
                    span: piece.size.span(),
                }),
                Err(error) => self.problems.push(*error),
            }
        }
        Stock {
            name: self.word(name),
            pieces: list,
        }
    }

    pub(super) fn offer(&mut self, name: Span, costs: &[Cost], purpose: Purpose) -> Offer {
        let mut items: Vec<OfferItem> = Vec::new();
        let mut is_whole = true;
        for (cost, amount) in costs.iter().filter_map(|cost| Some((cost, cost.amount?))) {
            match self.item(cost, &amount, &items, purpose) {
                Some(item) => items.push(item),
                None => is_whole = false,
            }
        }
        if purpose == Purpose::Paid && items.is_empty() && is_whole {
            let message = format!("`{}` says no sum, so nothing is counted", name.text(self.text));
            self.problem("cost.item", name, message, PAID.to_owned());
        }
        Offer {
            name: self.word(name),
            items,
            is_whole,
        }
    }

    fn figure(&mut self, amount: &Amount) -> Option<Quantity> {
        match read(amount, self.text, Meant::default()) {
            Ok(quantity) => Some(quantity),
            Err(error) => {
                self.problems.push(*error);
                None
            }
        }
    }

    /// One item, behind those before it on its line: what it comes to, in its unit.
    fn item(&mut self, cost: &Cost, amount: &Amount, before: &[OfferItem], purpose: Purpose) -> Option<OfferItem> {
        let first = self.figure(amount)?;
        let name = cost
            .name
            .map_or_else(String::new, |name| key(name.text(self.text)).into_owned());
        let is_plain = first.dimension().is_none();
        let count = Some((first.written, first.unit));
        let none = (None, None);
        let ((amount, unit), (count, each)): (Reckoned, _) = match cost.by {
            // `vat 23 %`: of all that stands before it.
            CostBy::Itself if is_plain && first.unit.is_some() && is_share(&name) => {
                (share_of(first.base, before), none)
            }
            CostBy::Itself => ((Some(first.base), first.unit), none),
            CostBy::Over(0) => ((None, first.unit), none),
            CostBy::Over(jobs) => ((first.base.checked_div(jobs.into()), first.unit), none),
            CostBy::Of(of) => {
                let whole = self.figure(&of)?;
                let share = is_plain.then(|| first.base.checked_mul(whole.base)).flatten();
                ((share, whole.unit), none)
            }
            CostBy::Times(each) => {
                let each = self.figure(&each)?;
                let all = is_plain.then(|| first.base.checked_mul(each.base)).flatten();
                ((all, each.unit), (count, Some(each.base)))
            }
            CostBy::At(price, per) => {
                let price = self.figure(&price)?;
                // Multiplied before it is divided: 20 min at 30 EUR are 10 EUR, and not 9.99….
                let all = price_for(&first, per).and_then(|one| first.base.checked_mul(price.base)?.checked_div(one));
                ((all, price.unit), (count, Some(price.base)))
            }
        };
        let is_money = |unit: &Unit| unit.dimension.currency().is_some();
        let is_risk = matches!(cost.by, CostBy::Of(_)) && !is_share(&name);
        let fits = |unit: &&'static Unit| match purpose {
            Purpose::Choice => is_money(unit) || unit.dimension == Dimension::TIME,
            // What may go wrong was not paid, nor was a time.
            Purpose::Paid => is_money(unit) && !says(&name, "risk"),
        };
        match (amount, unit.filter(fits)) {
            (Some(amount), Some(unit)) => Some(OfferItem {
                span: cost.span,
                name,
                amount: if cost.is_less { -amount } else { amount },
                count,
                each,
                unit,
                is_risk: is_risk && purpose == Purpose::Choice,
            }),
            _ => {
                let message = format!("`{}` is no cost that can be reckoned with", cost.span.text(self.text));
                let (code, help) = match purpose {
                    Purpose::Choice => ("option.item", OFFERED),
                    Purpose::Paid => ("cost.item", PAID),
                };
                self.problem(code, cost.span, message, help.to_owned());
                None
            }
        }
    }
}

/// What an item comes to, and its unit; `None` where it cannot be reckoned.
type Reckoned = (Option<Decimal>, Option<&'static Unit>);

/// Whether a share of this name is part of a price, and no chance that something goes wrong.
fn is_share(name: &str) -> bool {
    ["vat", "tax", "duty", "customs", "discount"]
        .iter()
        .any(|word| says(name, word))
}

/// A share of what stands before it, if that is of one currency.
fn share_of(share: Decimal, before: &[OfferItem]) -> Reckoned {
    let mut money = before.iter().filter(|item| item.unit.dimension.currency().is_some());
    let Some(unit) = money.clone().next().map(|item| item.unit) else {
        return (None, None);
    };
    let sum = money.try_fold(Decimal::ZERO, |sum, item| {
        (item.unit == unit).then(|| sum.checked_add(item.amount)).flatten()
    });
    (sum.and_then(|sum| sum.checked_mul(share)), Some(unit))
}

/// How much of what stands before `at` has the price behind it, in base units: a second's worth of an hour, a piece. `None` where that is not said, as of
/// hours at a day's price: how many hours make a day in the workshop, nobody says.
fn price_for(first: &Quantity, per: Option<Per>) -> Option<Decimal> {
    let is_days = first.unit.is_some_and(|unit| unit.symbol == "day");
    let is_time = first.dimension() == Dimension::TIME;
    match per {
        Some(Per::Piece) | None if first.dimension().is_none() => Some(Decimal::ONE),
        Some(Per::Day) | None if is_days => Some(DAY.into()),
        Some(Per::Hour) | None if is_time && !is_days => Some(HOUR.into()),
        _ => None,
    }
}
