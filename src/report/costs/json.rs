//! Costs for programs, and their schema.

use rust_decimal::Decimal;
use schemars::JsonSchema;
use serde::Serialize;

use super::line_of;
use crate::judge::Analysis;
use crate::judge::costs::{Awaited, CostLine, Costs, Kind, OptionPrice, PartState, PartStory, Tax, Total};
use crate::quantity::{Unit, number};

/// Number of the shape; see [`crate::report::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// What `gudgeon costs --as json` writes.
#[derive(Serialize, JsonSchema)]
pub struct Bills {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// The logs, in the order they were given.
    pub logs: Vec<Log>,
}

/// One log.
#[derive(Serialize, JsonSchema)]
pub struct Log {
    /// Path as given.
    pub path: String,
    /// The last day it tells of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_day: Option<String>,
    /// Every line of costs, by place in the log.
    pub lines: Vec<Line>,
    /// The sums, one a currency.
    pub totals: Vec<Sum>,
    /// What became of each part.
    pub parts: Vec<Part>,
    /// What is on order or waited for, the longest first.
    pub on_order: Vec<Waited>,
    /// The ways to go.
    pub options: Vec<Way>,
    /// The chosen way's estimate against the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub comparison: Option<Against>,
    /// What is to be known of the sums before they are believed.
    pub notes: Vec<String>,
}

/// Money: exact, and so as text.
#[derive(Serialize, JsonSchema)]
pub struct Money {
    /// The figure, exact: `7.82`.
    pub amount: String,
    /// The currency, by ISO 4217.
    pub currency: String,
}

/// One line of costs.
#[derive(Serialize, JsonSchema)]
pub struct Line {
    /// The line of the log where it is said.
    pub line: usize,
    /// The day, where the log has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// The part or the cost it belongs to.
    pub of: String,
    /// What the item is called; empty where it has no name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub what: String,
    /// What it is for.
    pub kind: Kind,
    /// How many or how long, exact.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quantity: Option<String>,
    /// The unit of the quantity; none for pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quantity_unit: Option<String>,
    /// The price of one, exact, in the line's currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub each: Option<String>,
    /// What it comes to.
    pub money: Money,
    /// Whether the VAT is in it.
    pub tax: Tax,
    /// Whether it was ordered and has not come.
    pub to_come: bool,
}

/// The sum in one currency.
#[derive(Serialize, JsonSchema)]
pub struct Sum {
    /// The currency, by ISO 4217.
    pub currency: String,
    /// What was paid or has come, less what came back; exact.
    pub landed: String,
    /// What was ordered and has not come; exact.
    pub to_come: String,
}

/// What became of a part.
#[derive(Serialize, JsonSchema)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// Its number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// The number it was ordered as, where that is another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ordered_as: Option<String>,
    /// From whom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// How many were ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ordered: Option<String>,
    /// How many came.
    pub got: String,
    /// The day of its first order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ordered_on: Option<String>,
    /// The day of its last arrival.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub got_on: Option<String>,
    /// Days waited.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub days: Option<i32>,
    /// Where it stands.
    pub state: PartState,
    /// Whether all of it has a price.
    pub priced: bool,
}

/// What is on order.
#[derive(Serialize, JsonSchema)]
pub struct Waited {
    /// The line of the log.
    pub line: usize,
    /// Its name.
    pub name: String,
    /// Since when.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub since: Option<String>,
    /// Days from then to the last day of the log.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub days: Option<i32>,
    /// What is still to be paid for it.
    pub to_come: Vec<Money>,
}

/// A way to go.
#[derive(Serialize, JsonSchema)]
pub struct Way {
    /// Its name.
    pub name: String,
    /// What it costs in each currency, what may go wrong included.
    pub total: Vec<Money>,
    /// Of that, what may go wrong, exact, where it is in one currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<String>,
    /// What an hour of it costs, to the cent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub an_hour: Option<Money>,
    /// Whether every item could be read.
    pub whole: bool,
    /// Whether it was chosen.
    pub taken: bool,
}

/// The chosen way against the job.
#[derive(Serialize, JsonSchema)]
pub struct Against {
    /// The chosen way.
    pub name: String,
    /// The currency, by ISO 4217.
    pub currency: String,
    /// Its estimate, without what might go wrong; exact.
    pub estimate: String,
    /// How much more the job costs, with what has still to come; less than nothing where it is cheaper.
    pub over: String,
}

/// The schema of `Bills`, as text.
pub fn schema() -> String {
    crate::report::schema_of::<Bills>()
}

fn exact(figure: Decimal) -> String {
    figure.normalize().to_string()
}

fn money(amount: Decimal, unit: &Unit) -> Money {
    Money {
        amount: exact(amount),
        currency: unit.symbol.to_owned(),
    }
}

/// Logs for programs: `Bills`.
pub fn json(logs: &[(Analysis, Costs)]) -> String {
    let bills = Bills {
        gudgeon: env!("CARGO_PKG_VERSION").to_owned(),
        schema: SCHEMA,
        logs: logs.iter().map(|(analysis, costs)| log(analysis, costs)).collect(),
    };
    let mut text = serde_json::to_string(&bills).unwrap_or_default();
    text.push('\n');
    text
}

fn log(analysis: &Analysis, costs: &Costs) -> Log {
    Log {
        path: analysis.source.name.clone(),
        last_day: costs.last_day.map(|day| day.to_string()),
        lines: costs.lines.iter().map(|line| row(analysis, line)).collect(),
        totals: costs.totals.iter().map(sum).collect(),
        parts: costs.parts.iter().map(part).collect(),
        on_order: costs.on_order.iter().map(|one| waited(analysis, one)).collect(),
        options: costs.options.iter().map(way).collect(),
        comparison: costs.comparison.as_ref().map(|against| Against {
            name: against.name.clone(),
            currency: against.unit.symbol.to_owned(),
            estimate: exact(against.estimate),
            over: exact(against.over()),
        }),
        notes: costs.notes(),
    }
}

pub(super) fn row(analysis: &Analysis, line: &CostLine) -> Line {
    Line {
        line: line_of(analysis, line.span),
        date: line.date.map(|day| day.to_string()),
        of: line.of.clone(),
        what: line.what.clone(),
        kind: line.kind,
        quantity: line.quantity.map(exact),
        quantity_unit: line.quantity_unit.map(|unit| unit.symbol.to_owned()),
        each: line.each.map(exact),
        money: money(line.amount, line.unit),
        tax: line.tax,
        to_come: line.is_estimate,
    }
}

fn sum(total: &Total) -> Sum {
    Sum {
        currency: total.unit.symbol.to_owned(),
        landed: exact(total.landed),
        to_come: exact(total.to_come),
    }
}

fn part(part: &PartStory) -> Part {
    Part {
        name: part.name.clone(),
        number: part.number.clone(),
        ordered_as: part.ordered_as.clone(),
        from: part.from.clone(),
        ordered: part.ordered.map(exact),
        got: exact(part.got),
        ordered_on: part.ordered_on.map(|day| day.to_string()),
        got_on: part.got_on.map(|day| day.to_string()),
        days: part.days,
        state: part.state,
        priced: part.is_priced,
    }
}

fn waited(analysis: &Analysis, one: &Awaited) -> Waited {
    Waited {
        line: line_of(analysis, one.span),
        name: one.name.clone(),
        since: one.since.map(|day| day.to_string()),
        days: one.days,
        to_come: one.to_come.iter().map(|(sum, unit)| money(*sum, unit)).collect(),
    }
}

fn way(way: &OptionPrice) -> Way {
    let is_one = way.total.len() == 1;
    Way {
        name: way.name.clone(),
        total: way.total.iter().map(|(sum, unit)| money(*sum, unit)).collect(),
        risk: is_one.then(|| exact(way.risk)),
        an_hour: way
            .an_hour
            .map(|(price, unit)| money(number::rounded(price, unit.decimals()), unit)),
        whole: way.is_whole,
        taken: way.is_taken,
    }
}
