//! A reading: the figure as it was understood, its limit and verdict, how sure it is, whether it counts, and what was read before.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::card::{Card, code};
use super::history::{in_earlier, in_this_job};
use super::verdict::{correction_line, doubt_lines, limit_line, verdict_line};
use super::{history, manual_name, sum};
use crate::calc::is_claim;
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::quantity::{Band, Unit, number, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Cell, Figure, Reading as Written, Statement, Value};

/// Everything that is known of one reading, or of one of its figures.
pub(super) fn card(case: &Case<'_>, index: usize, which: Option<Which>, earlier: &[Arc<Analysis>]) -> Option<Card> {
    let reading = case.job.readings.get(index)?;
    let instance = case.instance(reading)?;
    let mut card = Card::new(format!("**{}**", code(&words::subject(case, instance))));
    let is_derived = instance.feature.is_some_and(|id| case.is_derived(id));
    as_read(case, reading, which, &mut card);
    if is_derived && is_claim(reading) {
        sum::claim(case, instance, reading, &mut card);
        if case.latest(instance).is_none_or(|(latest, _)| latest != index) {
            card.fact(counts(case, index, instance, reading));
        }
    } else {
        judged(case, index, instance, which, &mut card);
        if is_derived {
            sum::from_parts(case, instance, reading, &mut card);
        }
    }
    card.list(
        "also read in this job, newest first:",
        in_this_job(case, instance, index),
    );
    card.list(
        "in earlier jobs of this machine:",
        in_earlier(case, instance, &case.source.name, earlier),
    );
    Some(card)
}

/// The figure as it was understood, with the unit that was taken and where that came from.
fn as_read(case: &Case<'_>, reading: &Reading, which: Option<Which>, card: &mut Card) {
    if reading.points.is_empty() {
        card.fact("**no figure yet**: measure it and write it behind the `=`");
        return;
    }
    let unit = reading.unit;
    let one = match which {
        Some(Which::Point(number)) => reading.points.get(number),
        _ => None,
    };
    let digits = reading
        .points
        .iter()
        .map(|point| point.written.scale())
        .max()
        .unwrap_or(0);
    let understood = match (one, reading.kind.clone()) {
        (Some(point), _) => shown(&point.band, point.written.scale(), unit),
        (None, ReadingKind::Repeats) => {
            let mean = reading
                .best()
                .map_or_else(String::new, |mean| shown(&Band::exact(mean), digits, unit));
            format!("{mean}, the mean of {} figures", reading.points.len())
        }
        (None, ReadingKind::Ring) => {
            let all = reading
                .band()
                .map_or_else(String::new, |band| shown(&band, digits, unit));
            format!("{all}, {} figures of a ring", reading.points.len())
        }
        (None, ReadingKind::PlusMinus) => words::reading(case, reading),
        (None, _) => reading
            .band()
            .map_or_else(String::new, |band| shown(&band, digits, unit)),
    };
    let blades = match reading.kind {
        ReadingKind::Blades => ": the first blade goes, the second does not",
        ReadingKind::OneBlade => ": one blade alone leaves the other side open",
        _ => "",
    };
    card.fact(format!("read as {understood}{blades}{}", unit_note(case, reading)));
    if let Some((event, _)) = reading.mended {
        card.fact(mended(case, reading, event));
    }
    if reading.unsure {
        card.fact("marked as not sure: read it again before it is relied on");
    }
}

/// A band with the decimals that were written: `0.40 to 0.45 mm`, not `0.4`; with more where it needs them.
fn shown(band: &Band, digits: u32, unit: Option<&'static Unit>) -> String {
    let figure = |base: Decimal| {
        let value = unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
        number::padded(number::rounded(value, digits.max(4)).normalize(), digits)
    };
    let label = unit.map_or("", |unit| unit.label());
    let words = match (band.lo, band.hi) {
        (Some(lo), Some(hi)) if lo == hi => figure(lo),
        (Some(lo), Some(hi)) => format!("{} to {}", figure(lo), figure(hi)),
        (Some(lo), None) => format!("at least {}", figure(lo)),
        (None, Some(hi)) => format!("less than {}", figure(hi)),
        (None, None) => String::new(),
    };
    format!("{words} {label}").trim().to_owned()
}

/// That a figure was mended, and by which line.
fn mended(case: &Case<'_>, reading: &Reading, event: usize) -> String {
    let was = code(reading.figure_span.text(case.text()));
    // The line of the correction is no event: it stands between the events on both sides of it.
    let before = case.event_span(event.saturating_sub(1)).start;
    let after = case.job.events.get(event).map_or(u32::MAX, |event| event.span.start);
    let line = case.tree.entries.iter().rev().find(|entry| {
        let is_fix = matches!(entry.statement, Statement::Fix { .. });
        is_fix && before < entry.span.start && entry.span.start < after
    });
    match line {
        Some(entry) => format!("mended on line {}; it was written as {was}", entry.line + 1),
        None => format!("mended; it was written as {was}"),
    }
}

/// Where the unit of a figure comes from, where it was not written with it.
fn unit_note(case: &Case<'_>, reading: &Reading) -> String {
    let Some(unit) = reading.unit.filter(|unit| !unit.label().is_empty()) else {
        return String::new();
    };
    let written = written_of(case, reading);
    if written.is_some_and(|written| is_unit_written(written, reading.figure_span)) {
        return String::new();
    }
    let label = unit.label();
    let is_blades = matches!(reading.kind, ReadingKind::Blades | ReadingKind::OneBlade);
    if let Some(line) = units_line(case, unit, is_blades) {
        return format!("; {label} by the job's `units` on line {line}");
    }
    let feature = case.instance(reading).and_then(|instance| case.feature(instance));
    match feature.filter(|feature| feature.unit.is_some()) {
        Some(feature) => format!(
            "; {label} by the manual ({})",
            manual_name(&case.rules.book, feature.manual)
        ),
        None => String::new(),
    }
}

/// The statement a reading was written as.
pub(super) fn written_of<'c>(case: &'c Case<'_>, reading: &Reading) -> Option<&'c Written> {
    let span = case.event_span(reading.event);
    let at = case.tree.entries.partition_point(|entry| entry.span.start < span.start);
    match &case.tree.entries.get(at)?.statement {
        Statement::Reading(written) => Some(written),
        _ => None,
    }
}

/// Whether a unit stands with a figure, or for all of its table.
fn is_unit_written(written: &Written, figure: Span) -> bool {
    let cell = written.table.rows.iter().flat_map(|row| &row.cells);
    let own = cell.filter_map(|cell| match cell {
        Cell::Amount(amount) if amount.span() == figure => Some(amount),
        _ => None,
    });
    written.figure.unit.is_some()
        || matches!(written.figure.value, Value::Words(_))
        || own.chain(amounts(&written.figure)).any(|amount| amount.unit.is_some())
}

/// Every figure of a value, in the order they stand.
pub(in crate::editor) fn amounts(figure: &Figure) -> Vec<&Amount> {
    match &figure.value {
        Value::Empty | Value::Words(_) => Vec::new(),
        Value::Single(amount) | Value::Times(amount, _) => vec![amount],
        Value::Blades { go, no_go } => [go, no_go].into_iter().flatten().collect(),
        Value::Range(a, b) | Value::PlusMinus(a, b) => vec![a, b],
        Value::Many(list) | Value::Stages(list) | Value::Ring(list, _) => list.iter().collect(),
        Value::Sum { first, terms, result } => {
            let terms = terms.iter().map(|(_, amount)| amount);
            std::iter::once(first).chain(terms).chain([result]).collect()
        }
    }
}

/// The line of the `units` statement that gives bare figures this unit.
fn units_line(case: &Case<'_>, wanted: &Unit, is_blades: bool) -> Option<usize> {
    let text = case.text();
    case.tree.entries.iter().find_map(|entry| {
        let Statement::Units(items) = &entry.statement else {
            return None;
        };
        let gives = |item: &Span| {
            let said = item.text(text);
            let said = match said.split_once([' ', '\t']) {
                Some((word, unit)) if word.eq_ignore_ascii_case("blades") || word.eq_ignore_ascii_case("blade") => {
                    if is_blades {
                        unit
                    } else {
                        return false;
                    }
                }
                _ => said,
            };
            unit::find(said.trim(), Some(wanted.dimension)).is_some_and(|unit| unit.symbol == wanted.symbol)
        };
        items.iter().any(gives).then_some(entry.line + 1)
    })
}

/// The limit with its source, the verdict, and how sure the figure is.
fn judged(case: &Case<'_>, index: usize, instance: &Instance, which: Option<Which>, card: &mut Card) {
    let Some(reading) = case.job.readings.get(index) else {
        return;
    };
    if reading.points.is_empty() {
        if let Some(limit) = case.limit_of(reading) {
            card.fact(limit_line(limit, &case.rules.book));
        }
        return;
    }
    let decided = case
        .decisions
        .get(index)
        .and_then(Option::as_ref)
        .map(|(which, _)| *which);
    // A ring of a run-out is judged by its swing, whichever of its figures is asked about.
    let judged = case.judged(reading);
    let which = match which {
        Some(which) if judged.contains(&which) => which,
        _ => decided.or(judged.first().copied()).unwrap_or(Which::Whole),
    };
    let Some(measured) = case.measured(index, which) else {
        return;
    };
    let Some(estimate) = measured.estimate() else { return };
    let unit = reading.unit;
    for correction in &measured.corrections {
        card.fact(correction_line(correction, unit));
    }
    if which == Which::Swing {
        card.fact(format!(
            "a run-out is its swing, the greatest less the least: {}",
            words::band(&estimate.bare(), unit)
        ));
    }
    match case.limit_of(reading) {
        Some(limit) => {
            let decision = case.decide_figure(reading, &estimate, limit);
            let at = match which {
                Which::Point(number) if reading.kind == ReadingKind::Ring => {
                    let angle = reading.angles.get(number);
                    angle.map_or_else(String::new, |angle| format!("at {}°: ", angle.normalize()))
                }
                _ => String::new(),
            };
            let line = verdict_line(&decision, &estimate.bare(), &case.allowed(reading, limit), unit);
            card.fact(format!("{at}{line}"));
            card.fact(counts(case, index, instance, reading));
            card.fact(limit_line(limit, &case.rules.book));
            if let Some(reason) = reading.reason() {
                card.fact(format!("written with it: {}", code(reason.span.text(case.text()))));
            }
        }
        None => {
            card.fact("no limit is known for it");
            card.fact(counts(case, index, instance, reading));
        }
    }
    for line in doubt_lines(&estimate, &measured, unit) {
        card.fact(line);
    }
}

/// Whether a reading counts, or what has overtaken it.
fn counts(case: &Case<'_>, index: usize, instance: &Instance, reading: &Reading) -> String {
    if reading.points.is_empty() {
        return String::new();
    }
    if case.is_left(instance) {
        return "does not count: the part was left for another".to_owned();
    }
    match case.latest(instance) {
        Some((latest, later)) if latest != index => {
            return format!("history: read again on line {}", case.line_of(later.event));
        }
        _ => {}
    }
    let overtaker = instance
        .feature
        .and_then(|feature| case.disturbed_after(feature, instance, reading.event));
    match overtaker {
        Some(event) => {
            let step = case
                .done_at(event)
                .map_or_else(String::new, |done| code(done.name.span.text(case.text())));
            format!(
                "**overtaken** by {step} on line {}: it proves nothing any more, read it again",
                case.line_of(event)
            )
        }
        None => "counts: the latest of its kind".to_owned(),
    }
}

/// Several readings of one line, or of a row or column of its table: each with its verdict.
pub(super) fn several(case: &Case<'_>, title: &str, indices: &[usize]) -> Card {
    let mut card = Card::new(format!("**{}**", code(title)));
    let mut outs = 0;
    let lines: Vec<String> = indices
        .iter()
        .filter_map(|index| Some((*index, case.job.readings.get(*index)?)))
        .filter_map(|(index, reading)| Some((index, reading, case.instance(reading)?)))
        .map(|(index, reading, instance)| {
            let place = [&instance.part, &instance.place].into_iter().flatten();
            let place: Vec<&str> = place.map(|word| word.key.as_str()).collect();
            let verdict = case.verdict(index);
            outs += usize::from(verdict.is_some_and(|verdict| verdict != crate::quantity::Verdict::In));
            let verdict = verdict.map_or_else(String::new, |verdict| format!(", {}", verdict.word()));
            let figure = code(&words::reading(case, reading));
            format!("{}: {figure}{verdict}", code(&place.join(", ")))
        })
        .collect();
    if lines.len() > 1 {
        card.fact(match outs {
            0 => format!("{} readings", lines.len()),
            outs => format!("{} readings, {outs} of them not in", lines.len()),
        });
    }
    if let Some(limit) = indices
        .first()
        .and_then(|index| case.job.readings.get(*index))
        .and_then(|reading| case.limit_of(reading))
    {
        card.fact(limit_line(limit, &case.rules.book));
    }
    card.list("each:", lines);
    card
}

/// The reading of a subject that a correction on a line below it speaks of: the last one above it.
pub(super) fn above(case: &Case<'_>, subject: &crate::syntax::ast::Subject, before: u32) -> Option<usize> {
    let name = history::key_at(case, subject.feature);
    let id = case.rules.book.feature(&name);
    let key = |span: Option<Span>| span.map(|span| history::key_at(case, span));
    let (part, place) = (key(subject.part), key(subject.place));
    case.job.readings.iter().enumerate().rev().find_map(|(index, reading)| {
        let instance = case.instance(reading)?;
        let is_it = match id {
            Some(_) => instance.feature == id,
            None => instance.name.key == name,
        };
        let is = |wanted: &Option<String>, own: &Option<crate::model::job::Word>| match wanted {
            Some(wanted) => own.as_ref().is_some_and(|own| own.key == *wanted),
            None => true,
        };
        let fits = is_it && is(&part, &instance.part) && is(&place, &instance.place);
        (fits && reading.figure_span.start < before).then_some(index)
    })
}
