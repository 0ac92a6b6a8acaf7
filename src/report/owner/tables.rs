//! Figures that were written as a table, and bores as drawn cylinders.

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::Given;
use super::fits::float;
use crate::judge::account::{Cell, Table};
use crate::judge::figures::Figure;
use crate::quantity::Verdict;
use crate::report::draw::class;
use crate::report::draw::cylinder::{Direction, Point, cylinder};
use crate::report::page::{own, plain};

/// Tables that are shown, the last ones: a job that has more has them as data.
const MOST: usize = 40;

pub(super) fn tables(given: &Given<'_>) -> Markup {
    let all = &given.account.tables;
    let shown = shown(given);
    html! {
        @if shown.len() < all.len() { p class="small" { "The last " (MOST) " of " (all.len()) " tables are shown." } }
        @for table in shown {
            h3 { (own(&table.name)) }
            div class="pictures" {
                @if is_bore(table) { (picture(given, table)) }
                section class="wide" tabindex="0" aria-label={ (plain(&table.name)) ", the figures" } { (figures(given, table)) }
            }
        }
    }
}

/// The tables that are shown.
pub(super) fn shown<'a>(given: &Given<'a>) -> &'a [Table] {
    let all = &given.account.tables;
    all.get(all.len().saturating_sub(MOST)..).unwrap_or_default()
}

/// Whether it is a hole, measured at several heights.
fn is_bore(table: &Table) -> bool {
    let name = table.name.to_lowercase();
    let is_hole = ["bore", "cylinder", "liner", "sleeve"]
        .iter()
        .any(|word| name.contains(word));
    is_hole && table.rows.len() > 1 && cells(table).count() > 1
}

fn cells(table: &Table) -> impl Iterator<Item = &Figure> {
    let all = table.rows.iter().flat_map(|row| &row.cells);
    all.filter_map(|cell| match cell {
        Cell::Figure(figure) => Some(figure.as_ref()),
        Cell::Not => None,
    })
}

fn picture(given: &Given<'_>, table: &Table) -> Markup {
    let Some(least) = cells(table).map(|figure| figure.estimate.best).min() else {
        return html! {};
    };
    let widest = table.rows.iter().map(|row| row.cells.len()).max().unwrap_or(0);
    let direction = |column: usize| Direction {
        name: table
            .columns
            .get(column)
            .map_or_else(|| format!("{}", column + 1), |name| plain(name)),
        points: table
            .rows
            .iter()
            .map(|row| match row.cells.get(column) {
                Some(Cell::Figure(figure)) => {
                    let wider = figure.estimate.best.checked_sub(least).unwrap_or_default();
                    Some(Point {
                        wider: float(given.style.unit(table.unit), wider).unwrap_or(0.0),
                        words: more(given, wider, table),
                        verdict: figure.decision.map(|decision| decision.verdict),
                    })
                }
                _ => None,
            })
            .collect(),
    };
    let directions: Vec<Direction> = (0..widest).map(direction).collect();
    let label = format!(
        "{}, the wall drawn by how much it is wider than {}, the smallest figure",
        plain(&table.name),
        given.style.figure(least, table.unit)
    );
    let all = given
        .style
        .alike(cells(table).map(|figure| figure.estimate.best), table.unit);
    let smallest = cells(table)
        .zip(all)
        .find(|(figure, _)| figure.estimate.best == least)
        .map(|(_, text)| text)
        .unwrap_or_default();
    html! {
        figure {
            (cylinder(&directions, &label))
            figcaption {
                "Smallest " (smallest) " " (given.style.label(table.unit)) "; beside the wall how much wider it is there, drawn many times too large."
            }
        }
    }
}

/// `+ 0.009`
fn more(given: &Given<'_>, wider: Decimal, table: &Table) -> String {
    if wider.is_zero() {
        return "smallest".to_owned();
    }
    let text = given.style.difference(wider, table.unit);
    let label = given.style.label(table.unit);
    format!("+{}", text.strip_suffix(label).unwrap_or(&text).trim_end())
}

fn figures(given: &Given<'_>, table: &Table) -> Markup {
    let mut all = given
        .style
        .alike(cells(table).map(|figure| figure.estimate.best), table.unit)
        .into_iter();
    let has_labels = table.rows.iter().any(|row| !row.label.is_empty());
    html! {
        table {
            caption {
                @if !table.stage.is_empty() { (own(&table.stage)) ", " }
                "line " (table.line) @if table.unit.is_some() { ", " (given.style.label(table.unit)) }
                @if let Some(limit) = cells(table).find_map(|figure| figure.limit.as_ref()) { "; " (limit.name()) " " (given.style.limit(limit)) }
            }
            @if !table.columns.is_empty() {
                thead {
                    tr {
                        @if has_labels { td {} }
                        @for column in &table.columns { th class="n" scope="col" { (own(column)) } }
                    }
                }
            }
            tbody {
                @for row in &table.rows {
                    tr {
                        @if has_labels { th scope="row" { (own(&row.label)) } }
                        @for cell in &row.cells { (one(cell, &mut all)) }
                    }
                }
            }
        }
    }
}

fn one(cell: &Cell, figures: &mut impl Iterator<Item = String>) -> Markup {
    match cell {
        Cell::Figure(figure) => {
            let verdict = figure.decision.map(|decision| decision.verdict);
            html! {
                td class="n" {
                    (figures.next().unwrap_or_default())
                    @if let Some(verdict) = verdict.filter(|verdict| *verdict != Verdict::In) {
                        " " span class={ "small " (class(Some(verdict))) } { (verdict.word()) }
                    }
                }
            }
        }
        Cell::Not => html! { td class="n" { span class="small" { "not read" } } },
    }
}
