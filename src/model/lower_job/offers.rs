//! What there is to choose from: stocks, and options with what they cost.

use rust_decimal::Decimal;

use super::Lowering;
use crate::model::job::{Offer, OfferItem, Stock, StockPiece};
use crate::model::names::key;
use crate::model::units::{Meant, Quantity, read, read_unit};
use crate::quantity::{Dimension, Unit, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Cost, CostBy, Piece};

/// An hour, in seconds: a price behind `at` is for an hour.
const HOUR: i64 = 3600;
/// A day of an option, in seconds.
const DAY: i64 = 86_400;

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

    pub(super) fn offer(&mut self, name: Span, costs: &[Cost]) -> Offer {
        let mut items = Vec::new();
        let mut is_whole = true;
        for (cost, amount) in costs.iter().filter_map(|cost| Some((cost, cost.amount?))) {
            match self.item(cost, &amount) {
                Some(item) => items.push(item),
                None => is_whole = false,
            }
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

    /// One item: what it comes to, in its unit.
    fn item(&mut self, cost: &Cost, amount: &Amount) -> Option<OfferItem> {
        let first = self.figure(amount)?;
        let (amount, unit): (Option<Decimal>, Option<&'static Unit>) = match cost.by {
            CostBy::Itself => (Some(first.base), first.unit),
            CostBy::Over(0) => (None, first.unit),
            CostBy::Over(jobs) => (first.base.checked_div(jobs.into()), first.unit),
            CostBy::Of(of) => {
                let whole = self.figure(&of)?;
                let is_share = first.dimension().is_none();
                (
                    is_share.then(|| first.base.checked_mul(whole.base)).flatten(),
                    whole.unit,
                )
            }
            CostBy::Times(each) => {
                let each = self.figure(&each)?;
                let is_count = first.dimension().is_none();
                (is_count.then(|| first.base.checked_mul(each.base)).flatten(), each.unit)
            }
            CostBy::At(price) => {
                let price = self.figure(&price)?;
                let per = match first.unit.map(|unit| unit.symbol) {
                    Some("day") => DAY,
                    _ => HOUR,
                };
                let hours = (first.dimension() == Dimension::TIME)
                    .then(|| first.base.checked_div(per.into()))
                    .flatten();
                // Of pieces the price is for each.
                let count = first.dimension().is_none().then_some(first.base);
                (
                    hours.or(count).and_then(|count| count.checked_mul(price.base)),
                    price.unit,
                )
            }
        };
        let is_known = |unit: &&'static Unit| unit.dimension.currency().is_some() || unit.dimension == Dimension::TIME;
        match (amount, unit.filter(is_known)) {
            (Some(amount), Some(unit)) => Some(OfferItem {
                span: cost.span,
                name: cost
                    .name
                    .map_or_else(String::new, |name| key(name.text(self.text)).into_owned()),
                amount: if cost.is_less { -amount } else { amount },
                unit,
                is_risk: matches!(cost.by, CostBy::Of(_)),
            }),
            _ => {
                let message = format!("`{}` is no cost that can be reckoned with", cost.span.text(self.text));
                let help = "an item is money, as `parts 128 EUR`, `2 x 19 EUR`, `labour 6 h at 30 EUR`, `puller 240 EUR over 8 jobs`, `risk 15 % of 190 EUR`, \
                            `less old crank 40 EUR`; or a time, as `takes 5 days`, `lasts 300 h`";
                self.problem("option.item", cost.span, message, help.to_owned());
                None
            }
        }
    }
}
