//! Everything that was read or worked out, with all its figures from the first to the last.

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use crate::judge::case::Case;
use crate::judge::figures::Figure;
use crate::judge::words;
use crate::quantity::{Unit, Verdict};

/// A feature at a part and a place, with every time it was read.
#[derive(Debug)]
pub struct Fit {
    /// What it is called, with its part and place.
    pub name: String,
    /// The feature alone.
    pub feature: String,
    /// Its part.
    pub part: Option<String>,
    /// Its place.
    pub place: Option<String>,
    /// Whether it is worked out by a sum.
    pub is_derived: bool,
    /// The unit its figures are shown in: that of the latest.
    pub unit: Option<&'static Unit>,
    /// The times it was read, in order; at least one.
    pub looks: Vec<Look>,
}

/// One time that a fit was read: a figure, or all the figures of a ring.
#[derive(Debug)]
pub struct Look {
    /// The reading: index into `Job::readings`.
    pub reading: Option<usize>,
    /// The line it stands on, from 1.
    pub line: usize,
    /// Its stage; empty before the first is named.
    pub stage: String,
    /// The tool, as written.
    pub tool: Option<String>,
    /// Its figures: one, or one for each angle of a ring.
    pub figures: Vec<Figure>,
    /// The figure before it was mended, in the unit of the reading.
    pub was: Option<Decimal>,
    /// The line of the step that has overtaken it, from 1.
    pub stale_by: Option<usize>,
    /// Marked in the log as not sure.
    pub is_unsure: bool,
}

impl Look {
    /// The worst of the verdicts of its figures: out before not proven before in.
    pub fn verdict(&self) -> Option<Verdict> {
        let weight = |verdict: &Verdict| match verdict {
            Verdict::In => 0,
            Verdict::NotProven => 1,
            Verdict::Out => 2,
        };
        let verdicts = self.figures.iter().filter_map(|figure| Some(figure.decision?.verdict));
        verdicts.max_by_key(weight)
    }

    /// Whether a limit lies within the uncertainty of one of its figures.
    pub fn is_close(&self) -> bool {
        self.figures
            .iter()
            .any(|figure| figure.decision.is_some_and(|decision| decision.is_close))
    }
}

impl Fit {
    /// The latest look, which is the one that counts unless it was overtaken.
    pub fn last(&self) -> Option<&Look> {
        self.looks.last()
    }

    /// Feature and part: what places of one thing are gathered under.
    pub fn whole(&self) -> (&str, Option<&str>) {
        (&self.feature, self.part.as_deref())
    }
}

/// Every fit, in the order in which it is first read; what is worked out stands behind what it rests on. Forecasts are left out.
pub(super) fn fits(case: &Case<'_>, figures: Vec<Figure>) -> Vec<Fit> {
    type Key = (String, Option<String>, Option<String>, bool);
    let mut places: FxHashMap<Key, usize> = FxHashMap::default();
    let mut list: Vec<Fit> = Vec::new();
    for figure in figures.into_iter().filter(|figure| !figure.is_forecast) {
        let key = (
            figure.feature.clone(),
            figure.part.clone(),
            figure.place.clone(),
            figure.is_derived,
        );
        let place = *places.entry(key).or_insert_with(|| {
            list.push(Fit {
                name: figure.name.clone(),
                feature: figure.feature.clone(),
                part: figure.part.clone(),
                place: figure.place.clone(),
                is_derived: figure.is_derived,
                unit: figure.unit,
                looks: Vec::new(),
            });
            list.len() - 1
        });
        let Some(fit) = list.get_mut(place) else { continue };
        fit.unit = figure.unit.or(fit.unit);
        match fit.looks.last_mut() {
            Some(last) if last.reading.is_some() && last.reading == figure.reading => last.figures.push(figure),
            _ => fit.looks.push(look(case, figure)),
        }
    }
    // By the line of the first look, since `figures` has the worked-out ones behind all others; and all places of one thing together.
    let first = |fit: &Fit| (fit.looks.first().map_or(0, |look| look.line), fit.is_derived);
    let mut begins: FxHashMap<(String, Option<String>), (usize, bool)> = FxHashMap::default();
    for fit in &list {
        let own = (fit.feature.clone(), fit.part.clone());
        let known = begins.entry(own).or_insert_with(|| first(fit));
        *known = first(fit).min(*known);
    }
    list.sort_by_cached_key(|fit| {
        let whole = (fit.feature.clone(), fit.part.clone());
        (begins.get(&whole).copied(), whole, first(fit))
    });
    list
}

fn look(case: &Case<'_>, figure: Figure) -> Look {
    let reading = figure.reading.and_then(|index| case.job.readings.get(index));
    let is_read = !figure.is_derived;
    let tool = reading.filter(|_| is_read).and_then(|reading| reading.tool.as_ref());
    Look {
        reading: figure.reading,
        line: case.source.lines.line_of(figure.span.start) + 1,
        stage: reading.map_or_else(String::new, |reading| case.stage(reading.event).key.clone()),
        tool: tool.map(|tool| words::fold(tool.span.text(case.text()))),
        was: reading.filter(|_| is_read).and_then(|reading| Some(reading.mended?.1)),
        stale_by: figure.stale_by.map(|event| case.line_of(event)),
        is_unsure: is_read && reading.is_some_and(|reading| reading.unsure),
        figures: vec![figure],
    }
}
