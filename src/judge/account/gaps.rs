//! What an honest account says of itself: what was not measured, which limits had no source, which readings were too coarse.

use std::collections::BTreeMap;

use rustc_hash::FxHashSet;

use super::fits::Fit;
use crate::judge::case::Case;
use crate::judge::finding::Finding;
use crate::judge::owed::owed_readings;
use crate::judge::words;
use crate::model::limit::Limit;
use crate::syntax::ast::{Cell, Statement};

/// What was not measured, not sourced, or read too coarsely.
#[derive(Clone, Debug, Default)]
pub struct Gaps {
    /// What the manuals ask for and nobody read.
    pub owed: Vec<String>,
    /// What a table has a dash for: measured nowhere.
    pub dashes: Vec<String>,
    /// What the machine's own manuals have a limit for, and this job has no reading of.
    pub never_read: Vec<String>,
    /// What was read, but no limit is known for.
    pub no_limit: Vec<String>,
    /// Limits that were used, and whose manual does not say where they come from.
    pub no_source: Vec<Unsourced>,
    /// Limits that were used, and are rules of thumb of the trade.
    pub rules_of_thumb: Vec<Unsourced>,
    /// Readings whose instrument is too coarse for their limit: the judge's own sentence.
    pub too_coarse: Vec<String>,
    /// Readings that a later step has overtaken, and that were not taken again.
    pub stale: Vec<String>,
    /// Readings that the log itself marks as not sure.
    pub unsure: Vec<String>,
}

impl Gaps {
    /// What was not measured, or not well: a heading and the names below it, those that have any.
    pub fn not_measured(&self) -> Vec<(&'static str, &[String])> {
        let lists = [
            ("Asked for by the manuals, and not measured", &self.owed),
            ("Left out with a dash", &self.dashes),
            (
                "In this machine's own manual, and not measured in this job",
                &self.never_read,
            ),
            (
                "Read before a later step that may have moved it, and not read again",
                &self.stale,
            ),
            ("Read with something too coarse for its limit", &self.too_coarse),
            ("Marked in the log as not sure", &self.unsure),
        ];
        let has_any = lists.into_iter().filter(|(_, names)| !names.is_empty());
        has_any.map(|(heading, names)| (heading, names.as_slice())).collect()
    }

    /// Limits that are not known to be this machine's: a heading and the limits below it, those that have any.
    pub fn not_its_own(&self) -> Vec<(&'static str, &[Unsourced])> {
        let lists = [
            ("Limits whose manual does not say where they come from", &self.no_source),
            (
                "Limits that are rules of thumb of the trade, and not this machine's own",
                &self.rules_of_thumb,
            ),
        ];
        let has_any = lists.into_iter().filter(|(_, limits)| !limits.is_empty());
        has_any.map(|(heading, limits)| (heading, limits.as_slice())).collect()
    }
}

/// A limit with what it is for.
#[derive(Clone, Debug)]
pub struct Unsourced {
    /// The feature.
    pub feature: String,
    /// The limit.
    pub limit: Limit,
    /// The manual that gives it.
    pub manual: String,
    /// What its source says; empty if there is none.
    pub source: String,
}

pub(super) fn gaps(case: &Case<'_>, fits: &[Fit], findings: &[Finding]) -> Gaps {
    let mut gaps = Gaps {
        owed: owed_readings(case).into_iter().flat_map(|owed| owed.absent).collect(),
        dashes: dashes(case),
        never_read: never_read(case),
        ..Gaps::default()
    };
    // Once for all the parts and places of a feature.
    let (mut without, mut thumbs) = (BTreeMap::new(), BTreeMap::new());
    for fit in fits {
        let Some(last) = fit.last() else { continue };
        let limit = last.figures.iter().find_map(|figure| figure.limit.as_ref());
        match limit {
            None => gaps.no_limit.push(fit.name.clone()),
            Some(limit) => {
                let told = || Unsourced {
                    feature: fit.feature.clone(),
                    limit: limit.clone(),
                    manual: case
                        .rules
                        .book
                        .manuals
                        .get(limit.manual)
                        .map_or_else(String::new, |entry| entry.manual.name.clone()),
                    source: limit.source.as_deref().unwrap_or_default().to_owned(),
                };
                if limit.source.is_none() {
                    without.insert((fit.feature.clone(), limit.words()), told());
                } else if limit.is_advisory() {
                    thumbs.insert((fit.feature.clone(), limit.words()), told());
                }
            }
        }
        if last.stale_by.is_some() {
            gaps.stale.push(fit.name.clone());
        }
        if last.is_unsure {
            gaps.unsure.push(fit.name.clone());
        }
    }
    gaps.no_source = without.into_values().collect();
    gaps.rules_of_thumb = thumbs.into_values().collect();
    let coarse = findings.iter().filter(|finding| finding.code == "tool.coarse");
    gaps.too_coarse = coarse.map(|finding| finding.message.clone()).collect();
    gaps
}

/// What the machine's own manuals, not those of the shelf, have a limit for, and nothing of it was read or worked out.
fn never_read(case: &Case<'_>) -> Vec<String> {
    let worked: FxHashSet<usize> = case
        .finals
        .iter()
        .filter(|known| known.result.is_ok())
        .map(|known| known.id)
        .collect();
    let mut list = Vec::new();
    for (id, feature) in case.rules.book.features.iter().enumerate() {
        let is_own = feature.limits.iter().any(|limit| {
            let manual = case.rules.book.manuals.get(limit.manual);
            manual.is_some_and(|entry| !entry.on_shelf)
        });
        let was_read = case.by_feature.get(id).is_some_and(|read| !read.is_empty());
        if is_own && !was_read && !worked.contains(&id) && !feature.is_ahead && !feature.is_lent {
            list.push(feature.name.name.clone());
        }
    }
    list
}

fn dashes(case: &Case<'_>) -> Vec<String> {
    let said = |span: crate::syntax::Span| words::fold(span.text(case.text()));
    let mut list = Vec::new();
    for entry in &case.tree.entries {
        let Statement::Reading(reading) = &entry.statement else {
            continue;
        };
        for row in &reading.table.rows {
            for (number, cell) in row.cells.iter().enumerate() {
                if !matches!(cell, Cell::Dash(_)) {
                    continue;
                }
                let at = [row.label, reading.table.columns.get(number).copied()];
                let at: Vec<String> = at.into_iter().flatten().map(said).collect();
                list.push(format!("{} at {}", said(reading.subject.span()), at.join(" ")));
            }
        }
    }
    list
}
