//! Every figure of a log with what is known of it: for `gudgeon why`, and for programs.

use rustc_hash::FxHashSet;

use super::Analysis;
use super::case::Case;
use super::words;
use crate::calc::is_claim;
use crate::metrology::{Correction, Which};
use crate::model::job::{Reading, ReadingKind};
use crate::model::limit::Limit;
use crate::model::names::named;
use crate::quantity::Unit;
use crate::syntax::Span;
use crate::uncertainty::{Acceptance, Decision, Estimate, Scope, Share};

/// A figure, read or worked out, in base units.
#[derive(Clone, Debug)]
pub struct Figure {
    /// What it is called, with its part and place: `bore of cylinder 1 at top`.
    pub name: String,
    /// The feature's name alone.
    pub feature: String,
    /// Its part.
    pub part: Option<String>,
    /// Its place.
    pub place: Option<String>,
    /// Whether it is worked out by a sum.
    pub is_derived: bool,
    /// The reading it is, or the latest that its sum rests on: index into `Job::readings`.
    pub reading: Option<usize>,
    /// Which figure of a ring it is.
    pub point: Option<usize>,
    /// Whether it was marked as not sure; of a derived figure, whether any it rests on was.
    pub is_unsure: bool,
    /// The event of the step that has overtaken it, where it is the latest of its kind.
    pub stale_by: Option<usize>,
    /// The event of the first step that did, from which on it proved nothing.
    pub stale_since: Option<usize>,
    /// Where it stands; of a derived figure, the latest reading it rests on.
    pub span: Span,
    /// As it was written; of a derived figure, empty.
    pub written: String,
    /// The angle, degrees, of a figure of a ring.
    pub angle: Option<rust_decimal::Decimal>,
    /// The unit it is shown in.
    pub unit: Option<&'static Unit>,
    /// Whether it is the one that counts: the latest, and not overtaken by a later step.
    pub counts: bool,
    /// Whether it is only told ahead: it then judges nothing.
    pub is_forecast: bool,
    /// What is known of it.
    pub estimate: Estimate,
    /// What was corrected.
    pub corrections: Vec<Correction>,
    /// What it may be off by, the greatest first.
    pub budget: Vec<Entry>,
    /// The limit it is held against.
    pub limit: Option<Limit>,
    /// By which rule.
    pub rule: Acceptance,
    /// What is decided.
    pub decision: Option<Decision>,
}

/// A line of a budget.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The source, with what the figure follows it by.
    pub share: Share,
    /// Whose error it is: a tool, a reading with its line.
    pub of: String,
    /// Its share of the whole, 0 to 1: of the squares of the effects.
    pub part: f64,
}

/// Every figure of a log, read ones in their order, then those worked out.
pub fn figures(analysis: &Analysis) -> Vec<Figure> {
    of_case(&analysis.case())
}

/// The same of a case.
pub(super) fn of_case(case: &Case<'_>) -> Vec<Figure> {
    let mut list = Vec::new();
    for index in 0..case.job.readings.len() {
        read(case, index, &mut list);
    }
    worked(case, &mut list);
    list
}

fn read(case: &Case<'_>, index: usize, list: &mut Vec<Figure>) {
    let Some(reading) = case.job.readings.get(index) else {
        return;
    };
    let Some(instance) = case.instance(reading) else {
        return;
    };
    let is_claimed = instance.feature.is_some_and(|f| case.is_derived(f)) && is_claim(reading);
    if reading.points.is_empty() || is_claimed {
        return;
    }
    let is_latest = case.latest(instance).is_some_and(|(latest, _)| latest == index);
    let is_stale = case.is_overtaken(reading.instance);
    let limit = case.limit_of(reading);
    let rule = case.acceptance(instance);
    for which in case.judged(reading) {
        let Some(measured) = case.measured(index, which) else {
            continue;
        };
        let Some(estimate) = measured.estimate() else { continue };
        let (span, angle) = match which {
            Which::Point(number) => (
                reading.points.get(number).map_or(reading.figure_span, |p| p.span),
                reading.angles.get(number).copied(),
            ),
            Which::Whole | Which::Swing => (reading.figure_span, None),
        };
        let written = match reading.kind {
            ReadingKind::Ring if which != Which::Swing => words::fold(span.text(case.text())),
            _ => words::reading(case, reading),
        };
        list.push(Figure {
            name: words::subject(case, instance),
            feature: case
                .feature(instance)
                .map_or_else(|| instance.name.key.clone(), |f| f.name.name.clone()),
            part: instance.part.as_ref().map(|p| p.key.clone()),
            place: instance.place.as_ref().map(|p| p.key.clone()),
            is_derived: false,
            reading: Some(index),
            point: match which {
                Which::Point(number) => Some(number),
                Which::Whole | Which::Swing => None,
            },
            is_unsure: reading.unsure,
            stale_since: first_overtaker(case, index).filter(|_| is_latest),
            stale_by: case
                .overtaken
                .get(reading.instance)
                .copied()
                .flatten()
                .filter(|_| is_latest),
            span,
            written,
            angle,
            unit: reading.unit,
            is_forecast: false,
            counts: is_latest && !is_stale && !case.is_left(instance),
            budget: entries(case, &measured.budget.merged()),
            corrections: measured.corrections,
            decision: limit.map(|limit| case.decide_figure(reading, &estimate, limit)),
            limit: limit.cloned(),
            estimate,
            rule,
        });
    }
}

fn worked(case: &Case<'_>, list: &mut Vec<Figure>) {
    for figure in &case.finals {
        let Ok(worked) = &figure.result else { continue };
        let Some(known) = figure.known() else { continue };
        let limit = figure.limit;
        let rule = figure.acceptance(case);
        let inputs: FxHashSet<usize> = worked.inputs.iter().copied().collect();
        let overtaker = |reading: &Reading| case.overtaken.get(reading.instance).copied().flatten();
        let stale_by = inputs
            .iter()
            .filter_map(|index| overtaker(case.job.readings.get(*index)?))
            .max();
        list.push(Figure {
            name: named(&figure.feature.name.name, figure.part, figure.place),
            feature: figure.feature.name.name.clone(),
            part: figure.part.map(str::to_owned),
            place: figure.place.map(str::to_owned),
            is_derived: true,
            reading: inputs
                .iter()
                .copied()
                .max_by_key(|index| (case.job.readings.get(*index).map(|reading| reading.event), *index)),
            point: None,
            is_unsure: inputs
                .iter()
                .any(|index| case.job.readings.get(*index).is_some_and(|reading| reading.unsure)),
            stale_by,
            stale_since: inputs.iter().filter_map(|index| first_overtaker(case, *index)).min(),
            span: case.latest_input(worked).map(|r| r.figure_span).unwrap_or_default(),
            written: String::new(),
            angle: None,
            unit: figure.feature.shown_in(),
            is_forecast: figure.is_forecast(),
            counts: stale_by.is_none() && !figure.is_forecast(),
            budget: entries(case, &worked.budget.merged()),
            corrections: Vec::new(),
            decision: limit.map(|limit| known.decide(&limit.band, rule)),
            limit: limit.cloned(),
            estimate: known.estimate,
            rule,
        });
    }
}

/// The first event that overtook the latest reading of an instance; `None` where none did.
fn first_overtaker(case: &Case<'_>, index: usize) -> Option<usize> {
    let reading = case.job.readings.get(index)?;
    if !case.is_overtaken(reading.instance) {
        return None;
    }
    let instance = case.instance(reading)?;
    let overtakers = case.overtakers(instance.feature?, instance, reading.event);
    overtakers.first().copied()
}

/// Shares with the names of what they belong to.
fn entries(case: &Case<'_>, shares: &[Share]) -> Vec<Entry> {
    let total: f64 = shares.iter().map(|share| share.effect().powi(2)).sum();
    shares
        .iter()
        .map(|share| Entry {
            share: *share,
            of: owner(case, share.source.origin.scope),
            part: if total > 0.0 {
                share.effect().powi(2) / total
            } else {
                0.0
            },
        })
        .collect()
}

/// Whose error it is, in words.
fn owner(case: &Case<'_>, scope: Scope) -> String {
    let tool = |index: u32| {
        let tool = case.job.tools.get(index as usize);
        tool.map_or_else(String::new, |tool| words::fold(tool.name.span.text(case.text())))
    };
    let reading = |index: u32| {
        let reading = case.job.readings.get(index as usize);
        reading
            .and_then(|reading| {
                let instance = case.instance(reading)?;
                let line = case.source.lines.line_of(reading.figure_span.start) + 1;
                Some(format!("{}, line {line}", words::subject(case, instance)))
            })
            .unwrap_or_default()
    };
    match scope {
        Scope::Point(index, _) | Scope::Reading(index) => reading(index),
        Scope::Tool(index) => tool(index),
        Scope::ToolOn(index, feature) => match case.rules.book.features.get(feature as usize) {
            Some(feature) => format!("{}, on {}", tool(index), feature.name.name),
            None => tool(index),
        },
        Scope::Event(event) => format!("line {}", case.line_of(event as usize)),
        Scope::Material(_) => String::new(),
    }
}
