//! What is shown between the words, without being written: a figure worked again, a verdict with its room to spare, what went stale.

mod phrases;

use std::ops::Range;

use super::Page;
use crate::judge::Analysis;
use crate::judge::standing::{Standing, Standings, WorkedStanding};
use crate::model::job::{Event, EventKind, Reading};
use crate::quantity::Verdict;
use crate::syntax::Span;
use crate::syntax::ast::{Entry, Statement};
use phrases::{Phrases, gravity};

/// What a hint tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HintKind {
    /// A sum worked again.
    Worked,
    /// A verdict.
    Verdict,
    /// A reading that was overtaken.
    Stale,
}

/// A hint behind an offset.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// Behind which byte.
    pub at: u32,
    /// Its text: short, without blanks at the ends.
    pub text: String,
    /// More, in markdown; may be empty.
    pub tip: String,
    /// What it tells.
    pub kind: HintKind,
}

/// How many hints stand behind one figure at most.
const MOST: usize = 2;

/// The hints within a span, in order of place: of a log only.
pub fn hints(page: &Page, within: Span) -> Vec<Hint> {
    let Page::Log(log) = page else {
        return Vec::new();
    };
    let lines = &log.source.lines;
    let (first, last) = (lines.line_of(within.start), lines.line_of(within.end));
    let entries = &log.tree.entries;
    // A table that begins above may reach into it.
    let from = entries.partition_point(|entry| entry.line <= first).saturating_sub(1);
    let own = Hints {
        log,
        standings: log.standings(),
        phrases: Phrases::new(log),
    };
    let mut list = Vec::new();
    for entry in entries.iter().skip(from).take_while(|entry| entry.line <= last) {
        own.entry(entry, &mut list);
    }
    list.retain(|hint| within.start <= hint.at && hint.at <= within.end);
    list
}

struct Hints<'a> {
    log: &'a Analysis,
    standings: &'a Standings,
    phrases: Phrases<'a>,
}

impl Hints<'_> {
    fn entry(&self, entry: &Entry, list: &mut Vec<Hint>) {
        let Statement::Reading(reading) = &entry.statement else {
            return;
        };
        let Some(readings) = self.readings(entry) else { return };
        if reading.table.rows.is_empty() {
            let at = reading.figure.span.end;
            match readings.len() {
                1 => self.one(readings.start, at, list),
                _ => self.row(readings, at, list),
            }
            return;
        }
        // The cells of a row stand on one line.
        let mut from = readings.start;
        while from < readings.end {
            let line = self.line_of(from);
            let to = (from..readings.end)
                .find(|index| self.line_of(*index) != line)
                .unwrap_or(readings.end);
            if let Some(line) = line.and_then(|line| self.log.tree.lines.get(line)) {
                self.row(from..to, line.content.end, list);
            }
            from = to;
        }
    }

    /// The readings taken on the line of an entry.
    fn readings(&self, entry: &Entry) -> Option<Range<usize>> {
        let events: &[Event] = &self.log.job.events;
        let at = events.partition_point(|event| event.span.start < entry.span.start);
        match &events.get(at).filter(|event| event.span == entry.span)?.kind {
            EventKind::Readings(range) => Some(range.clone()),
            _ => None,
        }
    }

    fn reading(&self, index: usize) -> Option<&Reading> {
        self.log.job.readings.get(index)
    }

    /// The line that the figure of a reading stands on.
    fn line_of(&self, index: usize) -> Option<usize> {
        let figure = self.reading(index)?.figure_span;
        Some(self.log.source.lines.line_of(figure.start))
    }

    /// A reading by itself: its sum worked again, its verdict, and one derived feature that it was the last to be read for.
    fn one(&self, index: usize, at: u32, list: &mut Vec<Hint>) {
        let (Some(reading), Some(own)) = (self.reading(index), self.standings.readings.get(index)) else {
            return;
        };
        let beside = self.standings.worked_beside(index);
        let mut hints = Vec::new();
        if let Some(claim) = beside.iter().find(|worked| worked.is_claim) {
            hints.push(Hint {
                at,
                text: format!("= {}", claim.known()),
                tip: self.phrases.tip(&claim.standing),
                kind: HintKind::Worked,
            });
        }
        if own.standing.stale_by.is_some() || own.standing.decision.is_some() {
            let verdict = self.phrases.of_reading(reading, &own.standing);
            hints.push(Hint {
                at,
                // The figure that is judged is not the one in front of it.
                text: match reading.mended {
                    Some(_) => format!("mended to {}, {verdict}", own.figure),
                    None => verdict,
                },
                tip: self.phrases.tip(&own.standing),
                kind: match own.standing.stale_by {
                    Some(_) => HintKind::Stale,
                    None => HintKind::Verdict,
                },
            });
        }
        let unwritten: Vec<&WorkedStanding> = beside.iter().filter(|worked| !worked.is_claim).collect();
        hints.extend(self.unwritten(&unwritten, at));
        hints.truncate(MOST);
        list.extend(hints);
    }

    /// Several readings on one line: one hint, and only where something is not plainly in; else what they were the last to be read for, if that is not.
    fn row(&self, readings: Range<usize>, at: u32, list: &mut Vec<Hint>) {
        let is_told = |standing: &Standing| {
            let is_in = standing
                .decision
                .is_none_or(|d| d.verdict == Verdict::In && !d.is_close);
            standing.stale_by.is_some() || !is_in
        };
        let all = readings.clone().filter_map(|index| {
            let standing = &self.standings.readings.get(index)?.standing;
            Some((self.reading(index)?, standing))
        });
        let told: Vec<_> = all.filter(|(_, standing)| is_told(standing)).collect();
        let unwritten: Vec<&WorkedStanding> = readings
            .flat_map(|index| self.standings.worked_beside(index))
            .filter(|worked| !worked.is_claim && is_told(&worked.standing))
            .collect();
        list.extend(
            self.phrases
                .of_row(&told, at)
                .or_else(|| self.unwritten(&unwritten, at)),
        );
    }

    /// The gravest of what was worked out and nobody wrote; the others are told in its tip.
    fn unwritten(&self, worked: &[&WorkedStanding], at: u32) -> Option<Hint> {
        let worst = worked.iter().rev().max_by_key(|worked| gravity(&worked.standing))?;
        let mut tip = vec![self.phrases.tip(&worst.standing)];
        let others = worked.iter().filter(|other| !std::ptr::eq(**other, *worst));
        tip.extend(others.map(|other| self.phrases.of_worked(other)));
        Some(Hint {
            at,
            text: self.phrases.of_worked(worst),
            tip: tip.join("\n\n"),
            kind: HintKind::Worked,
        })
    }
}
