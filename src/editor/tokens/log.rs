//! The words of a log.

use super::super::shape::is_decision;
use super::filler::Gaps;
use super::words::Words;
use super::{Marks, Painted, Painter, TokenKind};
use crate::judge::Analysis;
use crate::judge::standing::Standings;
use crate::model::job::{Event, EventKind};
use crate::model::names::key;
use crate::syntax::Span;
use crate::syntax::ast::{Cell, CostBy, Detail, DetailKind, Entry, FixTarget, Reading, Statement};

/// A log to be painted.
pub(super) struct Log<'a> {
    analysis: &'a Analysis,
    standings: &'a Standings,
}

impl<'a> Log<'a> {
    pub fn new(analysis: &'a Analysis) -> Log<'a> {
        Log {
            analysis,
            standings: analysis.standings(),
        }
    }

    /// What happened on the line of an entry.
    fn event(&self, entry: &Entry) -> Option<&'a EventKind> {
        let events: &[Event] = &self.analysis.job.events;
        let at = events.partition_point(|event| event.span.start < entry.span.start);
        let event = events.get(at).filter(|event| event.span == entry.span)?;
        Some(&event.kind)
    }

    fn reading(&self, entry: &Entry, reading: &Reading, words: &mut Words<'_>) {
        let range = match self.event(entry) {
            Some(EventKind::Readings(range)) => range.clone(),
            _ => 0..0,
        };
        // Where figures stand that do not count any more.
        let mut gone: Vec<Span> = Vec::new();
        let mut stale = 0;
        for index in range.clone() {
            let (Some(own), Some(standing)) = (
                self.analysis.job.readings.get(index),
                self.standings.readings.get(index),
            ) else {
                continue;
            };
            let is_stale = standing.standing.stale_by.is_some();
            stale += usize::from(is_stale);
            if is_stale || own.mended.is_some() {
                gone.push(own.figure_span);
            }
        }
        let mut name = words.of_feature(reading.subject.feature);
        name.deprecated = stale > 0 && stale == range.len();
        words.mark(reading.subject.feature, TokenKind::Property, name);
        words.where_(&reading.subject);
        words.amounts(&reading.at);
        if let Some(tool) = reading.tool {
            words.put(tool, TokenKind::Variable);
        }
        words.details(&reading.details);
        words.all(&reading.table.columns, TokenKind::Parameter);
        let from = words.list.len();
        words.figure(&reading.figure);
        for row in &reading.table.rows {
            if let Some(label) = row.label {
                words.put(label, TokenKind::Parameter);
            }
            for cell in &row.cells {
                match cell {
                    Cell::Amount(amount) => words.amount(amount),
                    Cell::Ditto(span) | Cell::Dash(span) => words.put(*span, TokenKind::Operator),
                }
            }
        }
        // Both are in order of place, so that a long table is gone through once.
        let mut gone = gone.into_iter().peekable();
        for token in words.list.iter_mut().skip(from) {
            while gone.next_if(|span| span.end <= token.span.start).is_some() {}
            let is_gone = gone
                .peek()
                .is_some_and(|span| span.start <= token.span.start && token.span.end <= span.end);
            token.marks.deprecated |= is_gone && token.kind == TokenKind::Number;
        }
    }

    fn statement(&self, entry: &Entry, words: &mut Words<'_>) -> Gaps {
        let declared = Marks {
            declaration: true,
            ..Marks::default()
        };
        match &entry.statement {
            Statement::Head(_, text) | Statement::Photo(text) => words.put(*text, TokenKind::String),
            Statement::Note(text) => {
                words.put(*text, TokenKind::String);
                // Lines below it are prose too.
                return Gaps::ProseFrom(entry.span.end);
            }
            Statement::Manual(name) => words.manual(*name, None),
            Statement::Procedure(name) => words.put(*name, TokenKind::Function),
            Statement::Units(items) => words.all(items, TokenKind::Type),
            Statement::Hours(amount) => words.amount(amount),
            Statement::Tool(name, details) => {
                words.mark(*name, TokenKind::Variable, declared);
                words.details(details);
            }
            Statement::Day { date, stage } => {
                words.put(*date, TokenKind::Namespace);
                if let Some(stage) = stage {
                    words.put(*stage, TokenKind::Namespace);
                }
                return behind_comma(entry, stage.map_or(date.end, |stage| stage.end), words.text);
            }
            Statement::Reading(reading) => self.reading(entry, reading, words),
            Statement::Did(name, details) => {
                let mut marks = words.of_step(*name);
                marks.deprecated = matches!(self.event(entry), Some(EventKind::Did(done)) if done.is_undone());
                words.mark(*name, TokenKind::Function, marks);
                words.details(details);
            }
            Statement::Undid(name, details) => {
                words.step(*name);
                words.details(details);
            }
            Statement::Found(name, details) => {
                words.put(*name, TokenKind::Class);
                let (decided, others): (Vec<&Detail>, Vec<&Detail>) = details
                    .iter()
                    .partition(|detail| is_tick(detail) && is_decision(detail.span.text(words.text)));
                for detail in decided {
                    words.put(detail.span, TokenKind::Keyword);
                }
                words.details(&others.into_iter().cloned().collect::<Vec<_>>());
            }
            Statement::Ordered(name, details) | Statement::Got(name, details) | Statement::Waiting(name, details) => {
                words.put(*name, TokenKind::Class);
                words.details(details);
            }
            Statement::Stock(name, pieces) => {
                words.mark(*name, TokenKind::Class, declared);
                words.amounts(pieces.iter().map(|piece| &piece.size));
            }
            Statement::Option(name, costs) | Statement::Cost(name, costs) => {
                words.mark(*name, TokenKind::Class, declared);
                for cost in costs {
                    match &cost.amount {
                        None => words.put(cost.span, TokenKind::String),
                        Some(amount) => words.amount(amount),
                    }
                    if let Some(name) = cost.name.filter(|_| cost.amount.is_some()) {
                        words.put(name, TokenKind::Property);
                    }
                    if let CostBy::At(amount, _) | CostBy::Of(amount) | CostBy::Times(amount) = &cost.by {
                        words.amount(amount);
                    }
                }
            }
            Statement::Chose(name, over, details) => {
                words.put(*name, TokenKind::Class);
                if let Some(over) = over {
                    words.put(*over, TokenKind::Class);
                }
                words.details(details);
            }
            Statement::Fix {
                target,
                old,
                new,
                reason,
            } => {
                match &**target {
                    FixTarget::Reading(subject) => words.subject(subject),
                    FixTarget::Step(step, amount) => {
                        words.step(*step);
                        words.put(*amount, TokenKind::Property);
                    }
                }
                words.figures.deprecated = true;
                words.figure(old);
                words.figures.deprecated = false;
                words.figure(new);
                if let Some(reason) = reason {
                    words.put(*reason, TokenKind::String);
                }
            }
            Statement::Amend(name, subject, details) => {
                let is_step = words.rules.book.step_id(&key(name.text(words.text))).is_some();
                if is_step {
                    words.step(*name);
                } else {
                    words.subject(subject);
                }
                words.details(details);
            }
            Statement::Held(details) => words.details(details),
            Statement::Checked(name, details) => {
                words.put(*name, TokenKind::Variable);
                words.details(details);
            }
            Statement::Closed(date) => {
                if let Some(date) = date {
                    words.put(*date, TokenKind::Namespace);
                }
                let keyword = entry.span.text(words.text).find(char::is_whitespace);
                let keyword = keyword.map_or(entry.span.end, |at| entry.span.start + at as u32);
                return Gaps::ProseFrom(date.map_or(keyword, |date| date.end));
            }
            Statement::Unread => return Gaps::Unread,
        }
        Gaps::Grammar
    }
}

impl Painter for Log<'_> {
    fn entry_at(&self, line: usize) -> Option<(usize, std::ops::Range<usize>)> {
        let entries = &self.analysis.tree.entries;
        let number = entries.partition_point(|entry| entry.line <= line).checked_sub(1)?;
        let entry = entries.get(number)?;
        Some((number, entry.line..entry.line + entry.lines))
    }

    fn paint(&self, number: usize) -> Painted {
        let mut words = Words::new(&self.analysis.source.text, &self.analysis.rules);
        let Some(entry) = self.analysis.tree.entries.get(number) else {
            return Painted::default();
        };
        if let Some(clock) = entry.clock {
            words.put(clock, TokenKind::Namespace);
        }
        let gaps = self.statement(entry, &mut words);
        Painted {
            words: words.list,
            gaps,
        }
    }
}

/// What stands behind the next comma is prose.
fn behind_comma(entry: &Entry, from: u32, text: &str) -> Gaps {
    let rest = Span {
        start: from,
        end: entry.span.end,
    };
    match rest.text(text).find([',', ';']) {
        Some(at) => Gaps::ProseFrom(Span::new(from as usize + at, 0).start),
        None => Gaps::Grammar,
    }
}

fn is_tick(detail: &Detail) -> bool {
    matches!(detail.kind, DetailKind::Tick(_))
}
