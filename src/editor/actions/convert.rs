//! A figure in another unit: the one of the manual, and the one it is usually turned into. As fine as it was read and no finer.

use rust_decimal::Decimal;

use super::lines::entry_at;
use super::same::is_decided_alike;
use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::editor::hover::{amounts, usual_pair};
use crate::judge::{Analysis, Edit};
use crate::model::job::Reading;
use crate::quantity::{Unit, number, unit, written};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Figure, Statement, Value};

/// The first word of its data.
pub(super) const WHAT: &str = "convert";

/// More decimals than this no reading has.
const MOST_DECIMALS: u32 = 6;

/// Offered on the figure of a reading.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    let Some((figure, reading)) = figure_at(log, span) else {
        return;
    };
    let Some(own) = reading.unit else { return };
    let instance = log.job.instances.get(reading.instance);
    let feature = instance
        .and_then(|i| i.feature)
        .and_then(|id| log.rules.book.features.get(id));
    let of_manual = feature.and_then(|feature| feature.unit);
    let mut wanted: Vec<&'static Unit> = Vec::new();
    for unit in of_manual.into_iter().chain(usual_pair(own)) {
        let is_new = unit.symbol != own.symbol && !wanted.iter().any(|known| known.symbol == unit.symbol);
        if is_new && unit.dimension == own.dimension {
            wanted.push(unit);
        }
    }
    for unit in wanted {
        let ticket = Ticket::new(page, WHAT, figure.span, unit.symbol);
        let Some(edits) = edits(log, &ticket) else { continue };
        let shown: Vec<&str> = edits.iter().map(|edit| edit.text.as_str()).collect();
        let is_of_manual = of_manual.is_some_and(|own| own.symbol == unit.symbol);
        let why = if is_of_manual { ", the manual's unit" } else { "" };
        list.push(Action::rewrite(
            format!("write it as `{}`{why}", shown.join(" … ")),
            &ticket,
        ));
    }
}

/// The figure that a place is in, with its reading; tables, sums by hand and stages are left alone.
fn figure_at(log: &Analysis, span: Span) -> Option<(&Figure, &Reading)> {
    let Statement::Reading(written) = &entry_at(log, span.start)?.statement else {
        return None;
    };
    let figure = &written.figure;
    let is_one = matches!(
        figure.value,
        Value::Single(_) | Value::Blades { .. } | Value::Range(..) | Value::PlusMinus(..)
    );
    if !is_one || !meets(figure.span, span) {
        return None;
    }
    let reading = log
        .job
        .readings
        .iter()
        .find(|reading| reading.figure_span == figure.span)?;
    (reading.mended.is_none() && !reading.points.is_empty()).then_some((figure, reading))
}

/// Each figure in the other unit, with that unit behind it.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let (figure, reading) = figure_at(log, ticket.span())?;
    let own = reading.unit?;
    let wanted = unit::find(&ticket.more, Some(own.dimension)).filter(|unit| unit.dimension == own.dimension)?;
    // One decimal more where rounding would move a figure over a limit.
    (0..2).find_map(|more| {
        let edits = converted(log, figure, own, wanted, more)?;
        is_decided_alike(log, &edits).then_some(edits)
    })
}

fn converted(
    log: &Analysis,
    figure: &Figure,
    own: &'static Unit,
    wanted: &'static Unit,
    more: u32,
) -> Option<Vec<Edit>> {
    let text = &log.source.text;
    let all = amounts(figure);
    let count = all.len();
    let mut edits = Vec::with_capacity(count);
    // Of several figures the finest says how fine all are written.
    let mut decimals = 0;
    for amount in &all {
        decimals = decimals.max(decimals_of(amount, text, own, wanted)?);
    }
    let decimals = (decimals + more).min(MOST_DECIMALS);
    for (at, amount) in all.iter().enumerate() {
        // Each in its own unit, where it has one: `go 0.40 mm, no-go 0.45 mm`.
        let written_in = match amount.unit {
            Some(span) => unit::find(span.text(text), Some(own.dimension))?,
            None => own,
        };
        if written_in.dimension.difference() != own.dimension.difference() {
            return None;
        }
        let value = written::read(amount.number.text(text)).ok()?.value;
        // What stands behind `±` is a difference.
        let is_difference = at == 1 && matches!(figure.value, Value::PlusMinus(..));
        let turned = if is_difference {
            wanted.difference_from_base(written_in.difference_to_base(value)?)?
        } else {
            wanted.from_base(written_in.to_base(value)?)?
        };
        let shown = number::padded(number::rounded(turned, decimals).normalize(), decimals);
        // The last one carries the unit, where it was not written with each.
        let is_last = at + 1 == count;
        let has_unit = amount.unit.is_some() || (is_last && figure.unit.is_none());
        edits.push(Edit {
            span: amount.span(),
            text: if has_unit {
                format!("{shown} {}", wanted.label())
            } else {
                shown
            },
        });
    }
    if let Some(span) = figure
        .unit
        .filter(|span| all.iter().all(|amount| amount.unit != Some(*span)))
    {
        edits.push(Edit {
            span,
            text: wanted.label().to_owned(),
        });
    }
    // Two blades are written in the plain form, whatever words they had.
    if let (
        Value::Blades {
            go: Some(_),
            no_go: Some(_),
        },
        [low, high],
    ) = (&figure.value, all.as_slice())
    {
        let shown = |amount: &Amount| {
            let edit = edits.iter().find(|edit| edit.span == amount.span());
            edit.map_or("", |edit| edit.text.trim_end_matches(wanted.label()).trim_end())
        };
        let mark = if figure.unsure { " ?" } else { "" };
        let written = format!("go {}, no-go {} {}{mark}", shown(low), shown(high), wanted.label());
        return Some(vec![Edit {
            span: figure.span,
            text: written,
        }]);
    }
    Some(edits)
}

/// The decimals by which a figure is as fine in the other unit as it was written, and no finer than it must be: `2.047 in` is `51.99 mm`. Its last digit is
/// then at most twice what it was, and the rounding moves it by no more than half of what it was, so that the way back, rounded as
/// it was written, gives the same figure.
fn decimals_of(amount: &Amount, text: &str, own: &'static Unit, wanted: &'static Unit) -> Option<u32> {
    let own = match amount.unit {
        Some(span) => unit::find(span.text(text), Some(own.dimension))?,
        None => own,
    };
    let written = written::read(amount.number.text(text)).ok()?;
    let half = wanted.difference_from_base(own.difference_to_base(written.half_step)?)?;
    let turned = wanted.from_base(own.to_base(written.value)?)?;
    let twice = half.checked_mul(Decimal::from(4))?;
    (0..=MOST_DECIMALS).find(|decimals| {
        let moved = number::rounded(turned, *decimals).checked_sub(turned);
        Decimal::new(1, *decimals) <= twice && moved.is_some_and(|moved| moved.abs() <= half)
    })
}
