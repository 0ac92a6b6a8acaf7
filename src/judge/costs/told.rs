//! What is told of a job's costs: lines, sums in each currency, parts, what is awaited, ways to go.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::judge::words;
use crate::quantity::Unit;
use crate::syntax::Span;

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
    /// The ways to go, the cheapest first.
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
