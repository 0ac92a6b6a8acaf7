//! Costs for people.

use rust_decimal::Decimal;

use super::line_of;
use crate::judge::Analysis;
use crate::judge::costs::{Awaited, CostLine, Costs, Kind, OptionPrice, Tax, Total};
use crate::judge::words;
use crate::quantity::number;
use crate::report::visible::{one_line, wrap};

/// The longest title that is printed.
const TITLE: usize = 100;

/// One log for people.
pub fn text(analysis: &Analysis, costs: &Costs, width: usize) -> String {
    let text = &analysis.source.text;
    let title = analysis.job.title.map_or(String::new(), |title| {
        format!(": {}", one_line(title.text(text), TITLE))
    });
    let day = costs
        .last_day
        .map_or(String::new(), |day| format!("  (last day {day})"));
    let mut out = format!("{}{title}{day}\n", analysis.source.name);
    if costs.is_empty() {
        out.push_str("\n  The log says nothing of money or parts. Write `cost NAME: …`, or `price …` where a part is ordered or comes.\n");
        return out;
    }
    let mut chapter = |heading: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            out.push_str(&format!("\n{heading}\n"));
        }
        for line in lines {
            out.push_str(&wrap(&line, width, "  "));
            out.push('\n');
        }
    };
    let of = |is_estimate: bool| {
        let lines = costs.lines.iter().filter(|line| line.is_estimate == is_estimate);
        lines.map(|line| told(analysis, line)).collect::<Vec<_>>()
    };
    chapter("paid", of(false));
    chapter("still to come", of(true));
    chapter("in all", costs.totals.iter().map(in_all).collect());
    chapter(
        "on order",
        costs.on_order.iter().map(|one| on_order(analysis, one)).collect(),
    );
    let mut ways: Vec<String> = costs.options.iter().map(offered).collect();
    if let Some(against) = &costs.comparison {
        let over = against.over();
        let side = if over < Decimal::ZERO { "below" } else { "above" };
        ways.push(format!(
            "the whole job comes to {}, {} {side} the {} that {} was estimated at",
            words::money(against.landed.saturating_add(against.to_come), against.unit),
            words::money(over.abs(), against.unit),
            words::money(against.estimate, against.unit),
            against.name
        ));
    }
    chapter("ways to go", ways);
    chapter("to know", costs.notes());
    out
}

/// `line 4: main bearings, 2 x 17.00 EUR: 34.00 EUR, net`
fn told(analysis: &Analysis, line: &CostLine) -> String {
    let mut text = format!("line {}: {}", line_of(analysis, line.span), line.of);
    if line.kind == Kind::Vat && line.what == "vat" {
        text.push_str(", VAT");
    } else if !line.what.is_empty() {
        text.push_str(&format!(", {}", line.what));
    } else if !matches!(line.kind, Kind::Part | Kind::Cost) && line.kind.word() != line.of {
        text.push_str(&format!(", {}", line.kind.word()));
    }
    let is_one = line.quantity == Some(Decimal::ONE) && line.quantity_unit.is_none();
    if let (Some(quantity), Some(each), false) = (line.quantity, line.each, is_one) {
        let unit = line
            .quantity_unit
            .map_or(String::new(), |unit| format!(" {}", unit.label()));
        let each = words::money(each, line.unit);
        let at = if line.quantity_unit.is_some() { "at" } else { "x" };
        text.push_str(&format!(", {}{unit} {at} {each}", number::show(quantity, 9)));
    }
    text.push_str(&format!(": {}", words::money(line.amount, line.unit)));
    text.push_str(match line.tax {
        Tax::NotSaid => "",
        Tax::Net => ", net",
        Tax::Gross => ", with VAT",
    });
    if line.is_as_ordered {
        text.push_str(", as ordered");
    }
    text
}

fn in_all(total: &Total) -> String {
    let money = |sum| words::money(sum, total.unit);
    let mut text = format!("{} paid", money(total.landed));
    if !total.back.is_zero() {
        text.push_str(&format!(", {} that came back taken off", money(total.back.abs())));
    }
    if !total.to_come.is_zero() {
        let all = total.landed.saturating_add(total.to_come);
        text.push_str(&format!(", {} still to come: {}", money(total.to_come), money(all)));
    }
    text
}

fn on_order(analysis: &Analysis, one: &Awaited) -> String {
    let mut text = format!("line {}: {}", line_of(analysis, one.span), one.name);
    if let Some(since) = one.since {
        text.push_str(&format!(", since {since}"));
    }
    match one.days {
        Some(1) => text.push_str(", a day"),
        Some(days) if days > 1 => text.push_str(&format!(", {days} days")),
        _ => {}
    }
    let sums: Vec<String> = one.to_come.iter().map(|(sum, unit)| words::money(*sum, unit)).collect();
    if !sums.is_empty() {
        text.push_str(&format!(": {}", words::list(&sums)));
    }
    text
}

fn offered(way: &OptionPrice) -> String {
    let sums: Vec<String> = way.total.iter().map(|(sum, unit)| words::money(*sum, unit)).collect();
    let taken = if way.is_taken { ", which was chosen" } else { "" };
    let sums = if sums.is_empty() {
        "no price".to_owned()
    } else {
        words::list(&sums)
    };
    let mut text = format!("{}{taken}: {sums}", way.name);
    if let ([(_, unit)], false) = (way.total.as_slice(), way.risk.is_zero()) {
        text.push_str(&format!(
            ", of it {} for what may go wrong",
            words::money(way.risk, unit)
        ));
    }
    if let Some((price, unit)) = way.an_hour {
        text.push_str(&format!("; {} an hour", words::money(price, unit)));
    }
    if !way.is_whole {
        text.push_str("; an item of it could not be read, so the sum is not whole");
    }
    text
}
