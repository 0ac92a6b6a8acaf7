//! A tool: what it is, what it is good to and rated for, and how often the log used it.

use rust_decimal::Decimal;

use super::card::{Card, code, plain};
use super::history::when;
use super::things::plural;
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{EventKind, SaidKind};
use crate::model::names::key;
use crate::model::tools::Tool;
use crate::quantity::{Dimension, unit};

/// A tool: what it is, what it is good to and rated for, and how often the log used it.
pub(super) fn card(case: &Case<'_>, name: &str, used_on: Option<usize>) -> Card {
    let own = key(name).into_owned();
    let mut card = Card::new(format!("**{}**", code(name)));
    let last_use = || {
        let readings = case
            .job
            .readings
            .iter()
            .filter(|r| r.tool.as_ref().is_some_and(|t| t.key == own));
        readings.map(|reading| reading.event).max()
    };
    match case.job.tool(&own) {
        Some(tool) => facts(case, tool, used_on.or_else(last_use), &mut card),
        None => {
            card.fact("not declared in this log: a `tool` line at the head says what it is good to");
            if let Some(kind) = crate::model::instruments::instrument(&own) {
                card.fact(format!("a {}: what such a tool is usually good to is taken", kind.name));
            }
        }
    }
    let readings = case.job.readings.iter();
    let count = readings
        .filter(|reading| reading.tool.as_ref().is_some_and(|t| t.key == own))
        .count();
    let steps = case
        .done
        .iter()
        .flat_map(|(_, done)| &done.said)
        .filter(|said| match &said.kind {
            SaidKind::Amount(amount) => amount.tool.as_ref().is_some_and(|tool| tool.key == own),
            _ => false,
        });
    let steps = steps.count();
    card.fact(match (count, steps) {
        (0, 0) => "not used in this log".to_owned(),
        (count, 0) => format!("{count} {} by it in this log", plural(count, "reading")),
        (0, steps) => format!("{steps} {} of steps read on it", plural(steps, "amount")),
        (count, steps) => format!(
            "{count} {} by it, and {steps} {} of steps read on it",
            plural(count, "reading"),
            plural(steps, "amount")
        ),
    });
    let checked = case
        .job
        .events
        .iter()
        .enumerate()
        .rev()
        .find(|(_, event)| match &event.kind {
            EventKind::Checked(tool) => tool.key == own,
            _ => false,
        });
    if let Some((event, _)) = checked {
        card.fact(format!(
            "last checked {} (line {})",
            when(case, event),
            case.line_of(event)
        ));
    }
    card
}

fn facts(case: &Case<'_>, tool: &Tool, used_on: Option<usize>, card: &mut Card) {
    let kind = if tool.kind.is_empty() {
        tool.instrument()
            .map_or_else(|| "no kind is written".to_owned(), |kind| format!("a {}", kind.name))
    } else {
        plain(&tool.kind)
    };
    card.fact(kind);
    // What can hurt stands before what may be wrong.
    if let Some((rating, unit)) = tool.rated {
        card.fact(format!("**rated {}**", words::figure(rating, Some(unit))));
    }
    let shown = |of: Dimension| unit::usual(of);
    if let Some((step, of)) = tool.reads_to {
        card.fact(format!("reads to {}", words::difference(step, shown(of))));
    }
    match (tool.good_to, tool.good_to_share) {
        (None, None) if tool.instrument().is_some() => {
            card.fact("its permissible error is not said: what such a tool is usually good to is taken");
        }
        (None, None) => {}
        (error, share) => {
            let error = error.map(|(error, of)| words::difference(error, shown(of)));
            let share = share.and_then(|share| share.checked_mul(Decimal::ONE_HUNDRED));
            let share = share.map(|share| format!("{} % of the figure", share.normalize()));
            let both: Vec<String> = error.into_iter().chain(share).collect();
            card.fact(format!("good to {} either way", both.join(" and ")));
        }
    }
    if let Some((deviation, of)) = tool.repeats_to {
        card.fact(format!("repeats to {}", words::difference(deviation, shown(of))));
    }
    if let Some((zero, of)) = tool.zero {
        card.fact(format!(
            "shows {} at zero: that is taken off its readings",
            words::difference(zero, shown(of))
        ));
    }
    if let Some((least, most, of)) = tool.range {
        card.fact(format!(
            "measures {}",
            words::band(&crate::quantity::Band::between(least, most), shown(of))
        ));
    }
    if let Some(at) = tool.temperature {
        card.fact(format!("it is at {}", words::celsius(at)));
    }
    if let Some(due) = &tool.due {
        // Dates are written year first, so they compare as text.
        let day = used_on
            .and_then(|event| case.job.date(event))
            .map(|date| date.to_string());
        let past = day.filter(|day| *day > due.key);
        card.fact(match past {
            Some(day) => format!("due {}: **past due** when it was used on {day}", plain(&due.key)),
            None => format!("due {}", plain(&due.key)),
        });
    }
    if tool.checked_daily {
        card.fact("to be checked on each day it is used");
    }
}
