//! The head of an account.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::words;
use crate::quantity::Unit;
use crate::syntax::Span;
use crate::syntax::ast::{HeadKind, Statement};

/// What, whose, of which machine, by which manuals, from when to when.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// What stands behind `job`; empty if nothing does.
    pub job: String,
    /// What stands behind `machine`.
    pub machine: String,
    /// What stands behind `owner`.
    pub owner: String,
    /// What stands behind `by`: whoever did the work.
    pub by: String,
    /// What the meter showed, in order.
    pub meter: Vec<Meter>,
    /// What the job was judged by.
    pub manuals: Vec<ManualUsed>,
    /// The first and the last date.
    pub dates: Option<(Date, Date)>,
    /// Whether the job is closed.
    pub is_closed: bool,
}

/// What the meter showed.
#[derive(Clone, Debug)]
pub struct Meter {
    /// Base units.
    pub base: Decimal,
    /// The unit it was written in.
    pub unit: &'static Unit,
}

/// A manual that a job is judged by.
#[derive(Clone, Debug)]
pub struct ManualUsed {
    /// Its name.
    pub name: String,
    /// Whether it is one of the built-in general manuals.
    pub on_shelf: bool,
    /// Whether the log names it itself, and not only a manual that builds on it.
    pub is_named: bool,
}

pub(super) fn head(case: &Case<'_>) -> Head {
    let mut head = Head {
        is_closed: case.is_closed(),
        ..Head::default()
    };
    let said = |span: &Span| words::fold(span.text(case.text()));
    for entry in &case.tree.entries {
        if let Statement::Head(kind, text) = &entry.statement {
            let slot = match kind {
                HeadKind::Job => &mut head.job,
                HeadKind::Machine => &mut head.machine,
                HeadKind::Owner => &mut head.owner,
                HeadKind::By => &mut head.by,
            };
            if slot.is_empty() {
                *slot = said(text);
            }
        }
    }
    head.meter = case
        .job
        .hours
        .iter()
        .map(|shown| Meter {
            base: shown.base,
            unit: shown.unit,
        })
        .collect();
    let closed = case.tree.entries.iter().find_map(|entry| match &entry.statement {
        Statement::Closed(date) => date.as_ref().and_then(|date| said(date).parse::<Date>().ok()),
        _ => None,
    });
    let dates = || case.job.dates.iter().flatten().copied().chain(closed);
    head.dates = dates().min().zip(dates().max());
    let book = &case.rules.book;
    // Without a manual of its own a job is judged by the whole shelf: its list would say nothing.
    if !case.job.manuals.is_empty() {
        let mut roots = Vec::new();
        for entry in &book.manuals {
            let is_named = !roots.contains(&entry.root);
            roots.push(entry.root);
            head.manuals.push(ManualUsed {
                name: entry.manual.name.clone(),
                on_shelf: entry.on_shelf,
                is_named,
            });
        }
    }
    head
}
