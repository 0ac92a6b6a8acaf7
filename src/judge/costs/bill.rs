//! What an `ordered` or a `got` line says of money: the price of one or of all, post, duty, VAT, and whether the VAT is in it.

use rust_decimal::Decimal;

use super::Tax;
use crate::model::job::{Part, Said, SaidAmount, SaidKind};
use crate::quantity::Unit;
use crate::syntax::Span;

/// Money in one currency.
pub(in crate::judge) type Money = (Decimal, &'static Unit);

/// A price.
#[derive(Clone, Copy, Debug)]
pub(in crate::judge) struct Price {
    pub money: Money,
    /// Whether it is for all that the line speaks of, and not for one.
    pub is_total: bool,
    pub span: Span,
}

/// Value added tax: a share of the price, or a sum.
#[derive(Clone, Copy, Debug)]
pub(in crate::judge) enum Vat {
    Share(Decimal, Span),
    Sum(Money, Span),
}

/// What a line says of money.
#[derive(Clone, Debug, Default)]
pub(in crate::judge) struct Bill {
    pub price: Option<Price>,
    pub post: Option<(Money, Span)>,
    pub duty: Option<(Money, Span)>,
    pub vat: Option<Vat>,
    pub tax: Tax,
    /// How many, where it is said and more than nothing.
    pub quantity: Option<Decimal>,
    /// What is meant to be money, or a number of pieces, and cannot be reckoned with.
    pub unreckoned: Vec<Span>,
}

/// What a named amount is for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum For {
    One,
    All,
    Post,
    Duty,
    Vat,
}

/// What a word stands for on the line of a part; a sum of money without a word is the price of one.
fn purpose(word: &str) -> Option<For> {
    Some(match word {
        "price" | "price each" | "each" => For::One,
        "total" | "price total" | "total price" | "in all" => For::All,
        "post" | "postage" | "shipping" | "carriage" | "freight" | "delivery" => For::Post,
        "duty" | "customs" | "import duty" => For::Duty,
        "vat" | "tax" => For::Vat,
        _ => return None,
    })
}

impl Bill {
    /// What is said with a part.
    pub fn new(part: &Part) -> Bill {
        let mut bill = Bill::default();
        for said in &part.said {
            match &said.kind {
                SaidKind::Amount(amount) => bill.amount(said, amount),
                SaidKind::Tick => bill.words(said),
                _ => {}
            }
        }
        if let Some(quantity) = part.quantity() {
            if quantity.written > Decimal::ZERO {
                bill.quantity = Some(quantity.written);
            } else {
                bill.unreckoned.push(quantity.span);
            }
        }
        bill
    }

    fn amount(&mut self, said: &Said, amount: &SaidAmount) {
        let currency = amount.unit.filter(|unit| unit.dimension.currency().is_some());
        let wanted = match amount.name.as_str() {
            "" if currency.is_some() => Some(For::One),
            name => purpose(name),
        };
        let Some(wanted) = wanted else { return };
        let is_one_figure = amount.stages == 1 && amount.last >= Decimal::ZERO;
        let money = currency.filter(|_| is_one_figure).map(|unit| (amount.last, unit));
        let is_percent = amount.unit.is_some_and(|unit| matches!(unit.symbol, "%" | "‰"));
        match (wanted, money) {
            (For::One | For::All, Some(money)) => {
                self.price = Some(Price {
                    money,
                    is_total: wanted == For::All,
                    span: said.span,
                });
            }
            (For::Post, Some(money)) => self.post = Some((money, said.span)),
            (For::Duty, Some(money)) => self.duty = Some((money, said.span)),
            (For::Vat, Some(money)) => self.vat = Some(Vat::Sum(money, said.span)),
            (For::Vat, None) if is_percent && is_one_figure => self.vat = Some(Vat::Share(amount.last, said.span)),
            _ => self.unreckoned.push(said.span),
        }
        self.taxed(&said.key);
    }

    /// `vat included`, `net`; or a price that is no figure with a currency.
    fn words(&mut self, said: &Said) {
        let first = said.key.split(' ').next().unwrap_or("");
        if purpose(first).is_some() && said.key.bytes().any(|byte| byte.is_ascii_digit()) {
            self.unreckoned.push(said.span);
        }
        // Words of other things may be net too: a filter, an oil.
        let is_of_tax = said.key.split(' ').any(|word| matches!(word, "vat" | "tax"));
        if is_of_tax || matches!(said.key.as_str(), "net" | "gross") {
            self.taxed(&said.key);
        }
    }

    fn taxed(&mut self, key: &str) {
        let has = |wanted: &[&str]| key.split(' ').any(|word| wanted.contains(&word));
        if has(&[
            "not",
            "excl",
            "excluded",
            "excluding",
            "without",
            "plus",
            "extra",
            "net",
            "ex",
        ]) {
            self.tax = Tax::Net;
        } else if has(&["incl", "included", "including", "gross"]) {
            self.tax = Tax::Gross;
        }
    }

    /// The price of one, of so many.
    pub fn each(&self, quantity: Decimal) -> Option<Money> {
        let price = self.price?;
        let (amount, unit) = price.money;
        if price.is_total {
            Some((amount.checked_div(quantity)?, unit))
        } else {
            Some((amount, unit))
        }
    }

    /// The price of so many.
    pub fn all(&self, quantity: Decimal) -> Option<Money> {
        let price = self.price?;
        let (amount, unit) = price.money;
        if price.is_total {
            Some(price.money)
        } else {
            Some((amount.checked_mul(quantity)?, unit))
        }
    }

    /// The share of a price that is VAT on top of it; `None` where it is in the price, or said as a sum, or not at all.
    pub fn on_top(&self) -> Option<(Decimal, Span)> {
        match self.vat {
            Some(Vat::Share(share, span)) if self.tax != Tax::Gross => Some((share, span)),
            _ => None,
        }
    }
}
