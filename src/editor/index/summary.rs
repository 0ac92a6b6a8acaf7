//! What is kept of a file that is not open.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rustc_hash::FxHashMap;

use crate::editor::mentions::{Alike, Entity, Mention, Tick, of_log_and_ticks, of_manual_and_ticks, words_within};
use crate::model::names::{key, says};
use crate::syntax::ast::{HeadKind, LogTree, ManualTree, Rule, Statement};
use crate::syntax::{FileKind, LineIndex, Span, parse_log, parse_manual};

/// What is kept of a file that is not open: its names, and what its head says. Small: there may be thousands. A name is kept once a file, and each place it
/// stands at takes 16 bytes.
#[derive(Debug)]
pub struct Summary {
    /// Which kind of file.
    pub kind: FileKind,
    /// What stands behind `machine`.
    pub machine: Option<Box<str>>,
    /// What stands behind `job`; of a manual the name on its `manual` line.
    pub title: Option<Box<str>>,
    /// The first and the last date of a log, by the calendar.
    pub dates: Option<(Date, Date)>,
    /// What the meter showed first and last, as written: `312`, `31240 km`.
    pub hours: Option<(Box<str>, Box<str>)>,
    /// Manuals that a log names, or that a manual extends, as written.
    pub manuals: Box<[Box<str>]>,
    /// Every name once, one behind the other: keys, and names as written where they are introduced.
    words: Box<str>,
    /// Where each of them ends.
    ends: Box<[u32]>,
    places: Box<[PlaceOf]>,
    /// Names as written where they are introduced: the number of the place, and of the word.
    written: Box<[(u32, u32)]>,
    ticks: Box<[TickOf]>,
    /// Where the `job` line names the job.
    title_span: Span,
}

/// A name at a place.
#[derive(Debug)]
struct PlaceOf {
    start: u32,
    line: u32,
    word: u32,
    length: u16,
    entity: Entity,
    is_declaration: bool,
}

/// What is said on a step's line, or needed by a step of a manual.
#[derive(Debug)]
struct TickOf {
    start: u32,
    line: u32,
    /// The tick as written.
    word: u32,
    /// The step.
    step: u32,
    length: u16,
}

/// A name of a file with the number of its line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing<'s> {
    /// What it names.
    pub entity: Entity,
    /// Its key.
    pub key: &'s str,
    /// Where.
    pub span: Span,
    /// The number of its line, from 1.
    pub line: u32,
    /// Whether it is introduced here.
    pub is_declaration: bool,
}

/// A tick of a step's line that says a need.
#[derive(Clone, Copy, Debug)]
pub struct SaidNeed<'s> {
    /// The words that say it; all of the tick where they do not stand one behind the other.
    pub place: Standing<'s>,
    /// Whether they do.
    pub is_exact: bool,
    /// All of the tick.
    pub tick: Span,
}

impl Summary {
    /// Reads a text for its names alone; nothing is judged.
    pub fn read(kind: FileKind, text: &str) -> Summary {
        match kind {
            FileKind::Log => Summary::of_log(&parse_log(text), text),
            FileKind::Manual => Summary::of_manual(&parse_manual(text), text),
        }
    }

    /// The same of a log that has been read already.
    pub fn of_log(tree: &LogTree, text: &str) -> Summary {
        let (mentions, ticks) = of_log_and_ticks(tree, text);
        let mut summary = gathered(FileKind::Log, text, &mentions, &ticks);
        let mut manuals: Vec<Box<str>> = Vec::new();
        let mut dates: Vec<Date> = Vec::new();
        for entry in &tree.entries {
            match &entry.statement {
                Statement::Head(HeadKind::Job, title) if summary.title.is_none() => {
                    summary.title = Some(title.text(text).into());
                    summary.title_span = *title;
                }
                Statement::Head(HeadKind::Machine, name) if summary.machine.is_none() => {
                    summary.machine = Some(name.text(text).into());
                }
                Statement::Manual(name) => manuals.push(name.text(text).into()),
                Statement::Hours(amount) => {
                    let shown: Box<str> = amount.span().text(text).into();
                    let first = summary.hours.take().map_or_else(|| shown.clone(), |(first, _)| first);
                    summary.hours = Some((first, shown));
                }
                Statement::Day { date, .. } | Statement::Closed(Some(date)) => {
                    dates.extend(date.text(text).parse::<Date>().ok());
                }
                _ => {}
            }
        }
        summary.manuals = manuals.into();
        summary.dates = dates.iter().min().copied().zip(dates.iter().max().copied());
        summary
    }

    /// The same of a manual that has been read already.
    pub fn of_manual(tree: &ManualTree, text: &str) -> Summary {
        let (mentions, ticks) = of_manual_and_ticks(tree, text);
        let mut summary = gathered(FileKind::Manual, text, &mentions, &ticks);
        let mut manuals: Vec<Box<str>> = Vec::new();
        for entry in &tree.entries {
            match &entry.rule {
                Rule::Manual(name) if summary.title.is_none() => {
                    summary.title = Some(name.text(text).into());
                    summary.title_span = *name;
                }
                Rule::Extends(name) => manuals.push(name.text(text).into()),
                _ => {}
            }
        }
        summary.manuals = manuals.into();
        summary
    }

    /// Where its title stands; empty if it has none.
    pub fn title_span(&self) -> Span {
        self.title_span
    }

    /// Its names, in order of place.
    pub fn all(&self) -> impl Iterator<Item = Standing<'_>> {
        self.places.iter().map(|place| self.standing(place))
    }

    /// How many bytes it takes, but for what its head says.
    pub fn bytes(&self) -> usize {
        use std::mem::size_of_val;
        size_of_val(self)
            + size_of_val(&*self.words)
            + size_of_val(&*self.ends)
            + size_of_val(&*self.places)
            + size_of_val(&*self.written)
            + size_of_val(&*self.ticks)
    }

    /// The names it introduces, as written.
    pub fn declared(&self) -> impl Iterator<Item = (Standing<'_>, &str)> {
        self.written.iter().filter_map(|(place, word)| {
            let place = self.places.get(*place as usize)?;
            Some((self.standing(place), self.word(*word)))
        })
    }

    /// Where a thing is named, in order of place.
    pub fn named<'s>(&'s self, what: &'s Alike) -> impl Iterator<Item = Standing<'s>> + 's {
        // Asked of the words first, since each stands at many places.
        let count = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
        let wanted: BTreeSet<u32> = (0..count).filter(|word| what.keys.contains(self.word(*word))).collect();
        let places = self.places.iter();
        places
            .filter(move |place| place.entity == what.entity && wanted.contains(&place.word))
            .map(|place| self.standing(place))
    }

    /// Keys of the steps of a manual that need one of these.
    pub fn steps_needing<'s>(&'s self, needs: &'s BTreeSet<String>) -> impl Iterator<Item = &'s str> + 's {
        let ticks = self.ticks.iter().filter(|_| self.kind == FileKind::Manual);
        ticks
            .filter(|tick| needs.contains(&*key(self.word(tick.word))))
            .map(|tick| self.word(tick.step))
    }

    /// Where the lines of these steps in a log say one of these needs.
    pub fn said_needs<'s>(
        &'s self,
        steps: &'s BTreeSet<String>,
        needs: &'s BTreeSet<String>,
    ) -> impl Iterator<Item = SaidNeed<'s>> + 's {
        let ticks = self.ticks.iter().filter(|_| self.kind == FileKind::Log);
        ticks
            .filter(|tick| steps.contains(self.word(tick.step)))
            .filter_map(|tick| self.said_need(tick, needs))
    }

    fn said_need<'s>(&'s self, tick: &TickOf, needs: &'s BTreeSet<String>) -> Option<SaidNeed<'s>> {
        let written = self.word(tick.word);
        let said = key(written);
        let whole = Span {
            start: tick.start,
            end: tick.start.saturating_add(u32::from(tick.length)),
        };
        let said_by = || needs.iter().filter(|need| says(&said, need));
        let exactly = |need: &'s String| {
            let in_it = words_within(Span::new(0, written.len()), written, need)?;
            let from = |offset: u32| whole.start.saturating_add(offset);
            let span = Span {
                start: from(in_it.start),
                end: from(in_it.end),
            };
            Some((need, span))
        };
        let exact = said_by().find_map(exactly);
        let (need, span) = exact.or_else(|| Some((said_by().next()?, whole)))?;
        let place = Standing {
            entity: Entity::Need,
            key: need,
            span,
            line: tick.line,
            is_declaration: false,
        };
        Some(SaidNeed {
            place,
            is_exact: exact.is_some(),
            tick: whole,
        })
    }

    fn word(&self, number: u32) -> &str {
        let number = number as usize;
        let start = number
            .checked_sub(1)
            .and_then(|before| self.ends.get(before))
            .map_or(0, |end| *end as usize);
        let end = self.ends.get(number).map_or(0, |end| *end as usize);
        self.words.get(start..end).unwrap_or("")
    }

    fn standing(&self, place: &PlaceOf) -> Standing<'_> {
        Standing {
            entity: place.entity,
            key: self.word(place.word),
            span: Span {
                start: place.start,
                end: place.start.saturating_add(u32::from(place.length)),
            },
            line: place.line,
            is_declaration: place.is_declaration,
        }
    }
}

/// Words as they are met, each once.
#[derive(Default)]
struct Words {
    known: FxHashMap<Box<str>, u32>,
    text: String,
    ends: Vec<u32>,
}

impl Words {
    fn number(&mut self, word: &str) -> u32 {
        if let Some(number) = self.known.get(word) {
            return *number;
        }
        let number = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
        self.text.push_str(word);
        self.ends.push(u32::try_from(self.text.len()).unwrap_or(u32::MAX));
        self.known.insert(word.into(), number);
        number
    }
}

fn gathered(kind: FileKind, text: &str, mentions: &[Mention], ticks: &[Tick]) -> Summary {
    let lines = LineIndex::new(text);
    let line = |span: Span| u32::try_from(lines.line_of(span.start) + 1).unwrap_or(u32::MAX);
    // A line of more than 16 KiB is not read, so no name is longer.
    let length = |span: Span| u16::try_from(span.len()).unwrap_or(u16::MAX);
    let mut words = Words::default();
    let mut written = Vec::new();
    let mut places = Vec::with_capacity(mentions.len());
    for mention in mentions {
        if mention.is_declaration {
            let place = u32::try_from(places.len()).unwrap_or(u32::MAX);
            written.push((place, words.number(mention.span.text(text))));
        }
        places.push(PlaceOf {
            start: mention.span.start,
            line: line(mention.span),
            word: words.number(&mention.key),
            length: length(mention.span),
            entity: mention.entity,
            is_declaration: mention.is_declaration,
        });
    }
    let ticks = ticks.iter().map(|tick| TickOf {
        start: tick.span.start,
        line: line(tick.span),
        word: words.number(tick.span.text(text)),
        step: words.number(&tick.step),
        length: length(tick.span),
    });
    let ticks: Box<[TickOf]> = ticks.collect();
    Summary {
        kind,
        machine: None,
        title: None,
        dates: None,
        hours: None,
        manuals: Box::default(),
        words: words.text.into(),
        ends: words.ends.into(),
        places: places.into(),
        written: written.into(),
        ticks,
        title_span: Span::default(),
    }
}
