//! The words of hints: verdicts with their room, what went stale, and what a tip adds.

use rust_decimal::Decimal;

use super::{Hint, HintKind};
use crate::judge::Analysis;
use crate::judge::standing::{Standing, WorkedStanding};
use crate::judge::words;
use crate::model::job::{EventKind, Reading, ReadingKind};
use crate::quantity::{Unit, Verdict, number};

/// How many figures of a row are named; of more only the number is told.
const MOST_NAMED: usize = 2;

/// How grave a standing is, to tell the gravest: out, not proven, stale, too close to call, in.
pub(super) fn gravity(standing: &Standing) -> u8 {
    match standing.decision {
        _ if standing.stale_by.is_some() => 2,
        Some(decision) => match decision.verdict {
            Verdict::Out => 4,
            Verdict::NotProven => 3,
            Verdict::In if decision.is_close => 1,
            Verdict::In => 0,
        },
        None => 0,
    }
}

/// The words of hints on a log.
pub(super) struct Phrases<'a> {
    log: &'a Analysis,
}

impl<'a> Phrases<'a> {
    pub fn new(log: &'a Analysis) -> Phrases<'a> {
        Phrases { log }
    }

    /// `in, 0.02 to spare`, in the reading's unit and with its decimals.
    pub fn of_reading(&self, reading: &Reading, standing: &Standing) -> String {
        let decimals = reading.points.iter().map(|point| point.written.scale()).max();
        let decimals = decimals.unwrap_or_default();
        let is_open = matches!(
            reading.kind,
            ReadingKind::Blades | ReadingKind::OneBlade | ReadingKind::Range
        );
        self.verdict(standing, is_open, &|room| shown(room, reading.unit, decimals, decimals))
    }

    /// `side play from parts = 0.420 ± 0.013 mm, in, 0.07 to spare`.
    pub fn of_worked(&self, worked: &WorkedStanding) -> String {
        let decimals = worked.unit.map_or(2, Unit::decimals);
        let verdict = self.verdict(&worked.standing, false, &|room| shown(room, worked.unit, 0, decimals));
        let comma = if verdict.is_empty() { "" } else { ", " };
        format!("{} = {}{comma}{verdict}", worked.name, worked.known())
    }

    /// What is to be told of a row; nothing where all is plainly in.
    pub fn of_row(&self, told: &[(&Reading, &Standing)], at: u32) -> Option<Hint> {
        let (_, gravest) = told.iter().max_by_key(|(_, standing)| gravity(standing))?;
        let stale = |standing: &Standing| standing.stale_by;
        let is_one = told.iter().all(|(_, standing)| stale(standing) == stale(gravest));
        let text = if let Some(event) = stale(gravest).filter(|_| is_one) {
            self.stale(event)
        } else if told.len() <= MOST_NAMED {
            let named: Vec<String> = told
                .iter()
                .map(|(reading, standing)| format!("{} {}", written(reading), self.of_reading(reading, standing)))
                .collect();
            named.join("; ")
        } else {
            counted(told)
        };
        Some(Hint {
            at,
            text,
            tip: self.tip(gravest),
            kind: match gravest.stale_by {
                Some(_) => HintKind::Stale,
                None => HintKind::Verdict,
            },
        })
    }

    /// More of a standing, in markdown: the limit with its source, how likely, what overtook it.
    pub fn tip(&self, standing: &Standing) -> String {
        let mut parts: Vec<String> = Vec::new();
        if let Some(event) = standing.stale_by {
            let line = self.line_of(event);
            parts.push(format!(
                "`{}` on line {line} came after it: it proves nothing any more. Read it again, and write it below that line.",
                self.step(event)
            ));
        }
        if let Some(decision) = standing.decision {
            let limit = standing.limit.as_deref().unwrap_or("no limit");
            parts.push(format!("**{}**: {limit}", decision.verdict.word()));
            let likely = words::likely("", &decision);
            if decision.is_close {
                let comma = if likely.is_empty() { "" } else { ", " };
                parts.push(format!("Too close to call{comma}{likely}."));
            } else if decision.verdict == Verdict::NotProven && !likely.is_empty() {
                parts.push(format!("It is {likely}."));
            }
        }
        parts.join("\n\n")
    }

    /// `room` writes a difference; `is_open`: it may be more.
    fn verdict(&self, standing: &Standing, is_open: bool, room: &dyn Fn(Decimal) -> Option<String>) -> String {
        if let Some(event) = standing.stale_by {
            return self.stale(event);
        }
        let Some(decision) = standing.decision else {
            return String::new();
        };
        let word = decision.verdict.word();
        let room = standing.room.map(room);
        let text = match (decision.verdict, room) {
            (Verdict::In, Some(None)) => format!("{word}, at the limit"),
            (Verdict::In, Some(Some(room))) => format!("{word}, {room} to spare"),
            (Verdict::Out, Some(Some(room))) if is_open => format!("{word} by {room} or more"),
            (Verdict::Out, Some(Some(room))) => format!("{word} by {room}"),
            _ => word.to_owned(),
        };
        let close = if decision.is_close { ", close" } else { "" };
        format!("{text}{close}")
    }

    fn stale(&self, event: usize) -> String {
        format!("stale since line {}", self.line_of(event))
    }

    fn line_of(&self, event: usize) -> usize {
        let start = self.log.job.events.get(event).map_or(0, |event| event.span.start);
        self.log.source.lines.line_of(start) + 1
    }

    fn step(&self, event: usize) -> String {
        match self.log.job.events.get(event).map(|event| &event.kind) {
            Some(EventKind::Did(done) | EventKind::Undid(done)) => {
                words::fold(done.name.span.text(&self.log.source.text))
            }
            _ => "a step".to_owned(),
        }
    }
}

/// A difference in base units, in a unit, with at least and at most so many decimals, more where it would show as nothing; `None` for nothing at all.
fn shown(base: Decimal, unit: Option<&'static Unit>, least: u32, most: u32) -> Option<String> {
    let value = unit.and_then(|unit| unit.difference_from_base(base)).unwrap_or(base);
    let rounded = number::rounded(value, most).normalize();
    if !rounded.is_zero() {
        return Some(number::padded(rounded, least));
    }
    let finer = number::significant(value, 1);
    (!finer.is_zero()).then(|| finer.normalize().to_string())
}

/// The figure of a cell as it was written; of a `"` that of the cell above it.
fn written(reading: &Reading) -> String {
    let figure = reading.points.first().map(|point| point.written);
    figure.map_or_else(String::new, |figure| number::padded(figure, figure.scale()))
}

/// `3 out, 1 not proven`.
fn counted(told: &[(&Reading, &Standing)]) -> String {
    let words = [
        (4, Verdict::Out.word()),
        (3, Verdict::NotProven.word()),
        (2, "stale"),
        (1, "close"),
    ];
    let count = |grave: u8| told.iter().filter(|(_, s)| gravity(s) == grave).count();
    let parts = words.iter().filter_map(|(grave, word)| {
        let count = count(*grave);
        (count > 0).then(|| format!("{count} {word}"))
    });
    parts.collect::<Vec<_>>().join(", ")
}
