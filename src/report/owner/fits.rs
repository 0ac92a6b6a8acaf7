//! Every fit with its limit and all it may be off by, on a scale.

use std::collections::BTreeSet;

use maud::{Markup, html};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::Given;
use crate::judge::account::{Fit, Look};
use crate::judge::figures::Figure;
use crate::model::limit::Limit;
use crate::quantity::{Unit, Verdict};
use crate::report::draw::scale::{Mark, Scale, scale};
use crate::report::page::own;
use crate::report::style::Style;

/// Scales that are drawn at most; what is plainly in limit beyond that stands in a table.
const MOST_SCALES: usize = 240;
/// Earlier looks that are told beside a scale.
const EARLIER: usize = 6;
/// Rows of the table of figures without a limit; whoever wants all of them takes the readings as data.
const MOST_ROWS: usize = 400;

/// What is held against a limit, on scales.
pub(super) fn judged(given: &Given<'_>) -> Markup {
    let in_tables = in_tables(given);
    let all = given.account.fits.iter().filter(|fit| limit(fit).is_some());
    // What is plainly in limit and stands in a table that is shown needs no second picture.
    let judged: Vec<&Fit> = all.filter(|fit| !(is_plain(fit) && is_of(fit, &in_tables))).collect();
    let drawn = to_draw(&judged);
    let is_tabled = |place: &usize| !drawn.contains(place);
    let tabled: Vec<&Fit> = (0..judged.len())
        .filter(is_tabled)
        .filter_map(|place| judged.get(place).copied())
        .collect();
    html! {
        @if given.account.fits.is_empty() { p { "Nothing was measured in this job, or nothing that could be read." } }
        @if !judged.is_empty() {
            p class="small" {
                "The shaded way is what the limit leaves; the bar is all that the figure may be, by its tool, its repeats and its temperature (95 %). A diamond is in limit, a cross out, "
                "a ring not proven; dashed is what a later step has overtaken. Small circles are earlier readings; an arrow stands for a figure far off the picture."
            }
        }
        @for (place, fit) in judged.iter().enumerate().filter(|(place, _)| drawn.contains(place)) {
            @let alone = begins(&judged, &drawn, place) && ends(&judged, &drawn, place);
            @if begins(&judged, &drawn, place) && !alone { h3 { (own(&whole(fit))) } }
            (one(given, fit, alone))
        }
        @if !tabled.is_empty() { (table(given, &tabled, "Further figures, all plainly in limit", tabled.len())) }
    }
}

/// What no limit is known for, in rows; but for what stands in a table of its own.
pub(super) fn bare(given: &Given<'_>) -> Markup {
    let in_tables = in_tables(given);
    let all = given.account.fits.iter().filter(|fit| limit(fit).is_none());
    let bare: Vec<&Fit> = all.filter(|fit| !is_of(fit, &in_tables)).collect();
    html! {
        @if !bare.is_empty() {
            h3 { "No limit is known for" }
            (table(given, &bare, "Figures as they stand at the end", MOST_ROWS))
        }
    }
}

/// The readings of the tables that are shown.
fn in_tables(given: &Given<'_>) -> BTreeSet<usize> {
    let tables = super::tables::shown(given).iter();
    tables.flat_map(|table| table.readings.clone()).collect()
}

/// Whether the latest look at a fit is one of these readings.
fn is_of(fit: &Fit, readings: &BTreeSet<usize>) -> bool {
    let last = fit.last().and_then(|last| last.reading);
    !fit.is_derived && last.is_some_and(|reading| readings.contains(&reading))
}

/// Whether nothing more is to be said of a fit than that it is in limit.
fn is_plain(fit: &Fit) -> bool {
    fit.last().is_some_and(|last| {
        last.verdict() == Some(Verdict::In) && !last.is_close() && last.stale_by.is_none() && !last.is_unsure
    })
}

/// The limit that the latest look is held against.
fn limit(fit: &Fit) -> Option<&Limit> {
    fit.last()?.figures.iter().find_map(|figure| figure.limit.as_ref())
}

/// Feature and part in words.
fn whole(fit: &Fit) -> String {
    match &fit.part {
        Some(part) => format!("{} of {part}", fit.feature),
        None => fit.feature.clone(),
    }
}

/// Whether a fit is the first of its feature and part.
fn begins(judged: &[&Fit], drawn: &BTreeSet<usize>, place: usize) -> bool {
    let before = drawn.range(..place).next_back().and_then(|before| judged.get(*before));
    let own = judged.get(place);
    before.map(|fit| fit.whole()) != own.map(|fit| fit.whole())
}

/// Whether a fit is the last of its feature and part.
fn ends(judged: &[&Fit], drawn: &BTreeSet<usize>, place: usize) -> bool {
    let behind = drawn.range(place + 1..).next().and_then(|behind| judged.get(*behind));
    behind.map(|fit| fit.whole()) != judged.get(place).map(|fit| fit.whole())
}

/// All of them, if they are few; else first those that are to be looked at.
fn to_draw(judged: &[&Fit]) -> BTreeSet<usize> {
    let mut order: Vec<usize> = (0..judged.len()).collect();
    order.sort_by_key(|place| judged.get(*place).is_some_and(|fit| is_plain(fit)));
    let to_look_at = judged.iter().filter(|fit| !is_plain(fit)).count();
    order
        .into_iter()
        .take(MOST_SCALES.max(to_look_at.min(4 * MOST_SCALES)))
        .collect()
}

/// One fit; `alone` where no other place of it is drawn, so that its name stands here and not above.
fn one(given: &Given<'_>, fit: &Fit, alone: bool) -> Markup {
    let (Some(last), Some(limit)) = (fit.last(), limit(fit)) else {
        return html! {};
    };
    let style = &given.style;
    let place = if alone {
        fit.name.as_str()
    } else {
        fit.place.as_deref().unwrap_or_default()
    };
    html! {
        div class="fit" {
            div class="what" {
                @if !place.is_empty() { @if alone { h3 { (own(place)) } } @else { div { (own(place)) } } }
                div class="now" { (now(style, fit, last)) }
            }
            (drawn(style, fit, limit))
            div {
                (super::verdict(last.verdict(), last.is_close(), last.stale_by.is_some()))
                div class="small" { (limit.name()) " " (style.limit(limit)) @match &limit.source { None => { ", no source given" }, Some(_) if limit.is_advisory() => { ", rule of thumb" }, Some(source) => { ", " (own(source)) } } }
            }
            (then(style, fit, last))
        }
    }
}

/// The latest figure with what it is known to; of a ring all of them.
fn now(style: &Style, fit: &Fit, look: &Look) -> Markup {
    match look.figures.as_slice() {
        [figure] => html! { (style.known(&figure.estimate, fit.unit)) @if look.is_unsure { " (marked as not sure)" } },
        ring => {
            let figures = style.alike(ring.iter().map(|figure| figure.estimate.best), fit.unit);
            html! { (figures.join(" ")) " " (style.label(fit.unit)) }
        }
    }
}

fn drawn(style: &Style, fit: &Fit, limit: &Limit) -> Markup {
    let unit = style.unit(fit.unit.or(Some(limit.unit)));
    let figure = |base: Decimal| float(unit, base);
    let mut marks: Vec<Mark> = Vec::new();
    let count = fit.looks.len();
    for (number, look) in fit.looks.iter().enumerate() {
        let is_latest = number + 1 == count;
        marks.extend(look.figures.iter().map(|known| mark(known, is_latest, look, &figure)));
    }
    let label = format!(
        "{}: {}, {} {}",
        fit.name,
        fit.last()
            .and_then(|look| look.figures.first())
            .map_or_else(String::new, |known| style.known(&known.estimate, fit.unit)),
        limit.name(),
        style.limit(limit)
    );
    scale(&Scale {
        from: limit.band.lo.and_then(figure),
        to: limit.band.hi.and_then(figure),
        ends: style.ends(limit, fit.unit),
        marks: &marks,
        label: crate::report::page::plain(&label),
    })
}

fn mark(known: &Figure, is_latest: bool, look: &Look, figure: &impl Fn(Decimal) -> Option<f64>) -> Mark {
    let reach = known.estimate.reach();
    Mark {
        best: figure(known.estimate.best).unwrap_or(f64::NAN),
        low: reach.and_then(|reach| reach.lo).and_then(figure),
        high: reach.and_then(|reach| reach.hi).and_then(figure),
        verdict: known.decision.map(|decision| decision.verdict),
        is_latest,
        is_stale: is_latest && look.stale_by.is_some(),
    }
}

/// A figure in base units as a number in a unit.
pub(super) fn float(unit: Option<&'static Unit>, base: Decimal) -> Option<f64> {
    let value = match unit {
        Some(unit) => unit.from_base(base)?,
        None => base,
    };
    value.to_f64()
}

/// Where and with what it was read, what has overtaken it, and how it was before.
fn then(style: &Style, fit: &Fit, last: &Look) -> Markup {
    let earlier: Vec<&Look> = fit.looks.iter().rev().skip(1).collect();
    let more = earlier.len().saturating_sub(EARLIER);
    html! {
        p class="then" {
            @if fit.is_derived { "worked out, from line " (last.line) } @else { (when(last)) }
            @if let Some(tool) = &last.tool { " by " (own(tool)) }
            @if let Some(was) = last.was { ", written first as " del { (was.normalize()) } }
            @if let Some(step) = last.stale_by { "; overtaken by the step on line " (step) ": it proves nothing any more" }
            @for look in earlier.iter().take(EARLIER) {
                " · before: " (now(style, fit, look)) " (" (when(look))
                @if let Some(word) = look.verdict() { ", " (word.word()) }
                ")"
            }
            @if more > 0 { " · and " (more) " earlier" }
        }
    }
}

/// `as found, line 24`
fn when(look: &Look) -> Markup {
    html! {
        @if !look.stage.is_empty() { (own(&look.stage)) ", " }
        "line " (look.line)
    }
}

/// Figures in rows, without pictures.
fn table(given: &Given<'_>, fits: &[&Fit], caption: &str, most: usize) -> Markup {
    let style = &given.style;
    let more = fits.len().saturating_sub(most);
    html! {
        table class="stack dense" {
            caption { (caption) }
            thead { tr { th scope="col" { "What" } th scope="col" { "Known to be" } th scope="col" { "Where" } } }
            tbody {
                @for fit in fits.iter().take(most) {
                    @if let Some(last) = fit.last() {
                        tr {
                            th scope="row" { (own(&fit.name)) @if fit.is_derived { " (worked out)" } }
                            td data-of="Known to be" { (now(style, fit, last)) }
                            td { (when(last)) @if last.stale_by.is_some() { ", " span class="is-stale" { "read before a later step" } } }
                        }
                    }
                }
            }
        }
        @if more > 0 { p class="small" { "and " (more) " more: the readings can be had as data" } }
    }
}
