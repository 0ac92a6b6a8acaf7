//! From the tree of a log to the job it tells of: names looked up in the book, units resolved, figures as bands, corrections
//! carried out. Problems are collected, never fatal. Here are the walk over the log and the lines that are one event each.

mod corrections;
mod head;
mod offers;
mod readings;
mod tables;

use rustc_hash::FxHashMap;

use super::book::{Book, StepId};
use super::details::{Details, said};
use super::job::*;
use super::names::key;
use super::stage::Stage;
use crate::quantity::Dimension;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, FixTarget, HeadKind, LogTree, Statement, SyntaxError};

pub(super) use head::UnitsLine;
use offers::Purpose;

/// Lowers a log by a book.
pub fn lower_job(tree: &LogTree, text: &str, book: &Book) -> (Job, Vec<SyntaxError>) {
    let mut lowering = Lowering {
        text,
        book,
        job: Job::default(),
        problems: Vec::new(),
        units: UnitsLine::default(),
        index: FxHashMap::default(),
        steps: FxHashMap::default(),
        tools: FxHashMap::default(),
        held: Vec::new(),
        stage: 0,
        day: 0,
        latest: None,
        time: None,
        latest_time: None,
        meters: FxHashMap::default(),
        is_reopened: false,
    };
    lowering.job.stages.push(Stage { key: String::new() });
    lowering.job.head = tree.entries.first().map(|e| e.span).unwrap_or_default();
    lowering.job.events.reserve(tree.entries.len());
    lowering.job.readings.reserve(tree.entries.len());
    for entry in &tree.entries {
        lowering.time = entry.clock.and_then(|clock| lowering.time_of_day(clock));
        lowering.entry(entry.span, &entry.statement);
    }
    lowering.find_tools();
    (lowering.job, lowering.problems)
}

struct Lowering<'a> {
    text: &'a str,
    book: &'a Book,
    job: Job,
    problems: Vec<SyntaxError>,
    units: UnitsLine,
    /// Feature, part and place, folded, to the instance.
    index: FxHashMap<String, usize>,
    /// The events at which each step was done, in order.
    steps: FxHashMap<StepKey, Vec<usize>>,
    /// Key of a tool to its index in the job.
    tools: FxHashMap<String, usize>,
    held: Vec<Said>,
    stage: usize,
    day: usize,
    /// The latest date so far.
    latest: Option<Span>,
    /// The time of day in front of the entry being read, minutes since midnight.
    time: Option<u16>,
    /// The latest time of the day so far.
    latest_time: Option<(u16, Span)>,
    /// The reading of each kind of meter that shows most: an index into the job's.
    meters: FxHashMap<Dimension, usize>,
    /// Whether something has happened since the job was closed.
    is_reopened: bool,
}

/// What a step is found again by: its number in the book, by whatever name it is called; else its own words.
#[derive(PartialEq, Eq, Hash)]
enum StepKey {
    Known(StepId),
    Own(String),
}

impl<'a> Lowering<'a> {
    fn step_key(&self, name: Span) -> StepKey {
        let key = self.word(name).key;
        match self.book.step_id(&key) {
            Some(id) => StepKey::Known(id),
            None => StepKey::Own(key),
        }
    }

    fn word(&self, span: Span) -> Word {
        Word {
            key: key(span.text(self.text)).into_owned(),
            span,
        }
    }

    fn problem(&mut self, code: &'static str, span: Span, message: String, help: String) {
        self.problems.push(SyntaxError {
            code,
            span,
            message,
            help,
            suggestion: None,
        });
    }

    fn event(&mut self, span: Span, kind: EventKind) {
        self.job.events.push(Event {
            span,
            stage: self.stage,
            day: self.day,
            time: self.time,
            kind,
        });
    }

    /// Tells each reading its tool. This is done last, since a tool may be declared below its use.
    fn find_tools(&mut self) {
        for reading in &mut self.job.readings {
            let key = reading.tool.as_ref().map(|tool| &tool.key);
            reading.tool_index = key.and_then(|key| self.tools.get(key)).copied();
        }
    }

    fn said(&mut self, details: &[Detail], wanted: Details<'_>) -> Vec<Said> {
        details
            .iter()
            .map(|detail| said(detail, self.text, &self.units, wanted, &mut self.problems))
            .collect()
    }

    fn entry(&mut self, span: Span, statement: &Statement) {
        self.after_closed(span, statement);
        match statement {
            Statement::Head(HeadKind::Job, title) => self.title(span, *title),
            Statement::Head(..) | Statement::Note(_) | Statement::Photo(_) | Statement::Unread => {}
            Statement::Manual(name) => {
                let word = self.word(*name);
                self.job.manuals.push(word);
            }
            Statement::Procedure(name) => {
                let word = self.word(*name);
                self.job.procedures.push(word);
            }
            Statement::Units(items) => self.units_line(items),
            Statement::Hours(amount) => self.hours(amount),
            Statement::Tool(name, details) => self.tool(*name, details),
            Statement::Day { date, stage } => self.begin_day(*date, *stage),
            Statement::Reading(written) => self.reading(span, written),
            Statement::Did(name, details) => self.did(span, *name, details),
            Statement::Found(name, details) => {
                let said = self.said(details, Details::Any);
                let word = self.word(*name);
                self.event(span, EventKind::Found(word, said));
            }
            Statement::Ordered(name, details) => {
                let part = self.part(*name, details);
                self.event(span, EventKind::Ordered(part));
            }
            Statement::Got(name, details) => {
                let part = self.part(*name, details);
                self.event(span, EventKind::Got(part));
            }
            Statement::Waiting(name, details) => {
                let said = self.said(details, Details::Any);
                let word = self.word(*name);
                self.event(span, EventKind::Waiting(word, said));
            }
            Statement::Stock(name, pieces) => {
                let stock = self.stock(*name, pieces);
                self.event(span, EventKind::Stock(stock));
            }
            Statement::Option(name, costs) => {
                let offer = self.offer(*name, costs, Purpose::Choice);
                self.event(span, EventKind::Option(offer));
            }
            Statement::Cost(name, costs) => {
                let paid = self.offer(*name, costs, Purpose::Paid);
                self.event(span, EventKind::Cost(paid));
            }
            Statement::Chose(taken, left, details) => {
                self.said(details, Details::Any);
                let (taken, left) = (self.word(*taken), left.map(|l| self.word(l)));
                self.event(span, EventKind::Chose(taken, left));
            }
            Statement::Held(details) => {
                self.held = self.said(details, Details::Any);
                let said = self.held.clone();
                self.event(span, EventKind::Held(said));
            }
            Statement::Checked(name, details) => {
                self.said(details, Details::Any);
                let word = self.word(*name);
                self.event(span, EventKind::Checked(word));
            }
            Statement::Undid(name, details) => self.undid(span, *name, details),
            Statement::Amend(whole, subject, details) => self.amend(span, *whole, subject, details),
            Statement::Fix { target, old, new, .. } => match &**target {
                FixTarget::Reading(subject) => self.fix_reading(span, subject, old, new),
                FixTarget::Step(step, amount) => self.fix_step(span, *step, *amount, old, new),
            },
            Statement::Closed(date) => {
                self.job.closed.get_or_insert(span);
                if let Some(date) = date {
                    self.calendar(*date);
                }
            }
        }
    }

    /// A closed job is closed: what happens below is said, once. Corrections and remarks may still come.
    fn after_closed(&mut self, span: Span, statement: &Statement) {
        let may_come = matches!(
            statement,
            Statement::Fix { .. } | Statement::Amend(..) | Statement::Note(_) | Statement::Photo(_) | Statement::Unread
        );
        if self.job.closed.is_some() && !may_come && !self.is_reopened {
            self.is_reopened = true;
            self.problem(
                "job.after-closed",
                span,
                "the job goes on below the line that closes it".to_owned(),
                "put `closed` at the end, or begin a new log for the next job".to_owned(),
            );
        }
    }

    fn part(&mut self, name: Span, details: &[Detail]) -> Part {
        let said = self.said(details, Details::Any);
        Part {
            name: self.word(name),
            said,
        }
    }

    fn did(&mut self, span: Span, name: Span, details: &[Detail]) {
        let word = self.word(name);
        let step = self.book.step_id(&word.key);
        let wanted = step
            .and_then(|id| self.book.step(id))
            .map_or(Details::Any, Details::Step);
        let said = self.said(details, wanted);
        for second in said.iter().filter(|said| said.key.starts_with("did ")) {
            let message = format!(
                "`{}` is a second step on one line, so it is not read",
                second.span.text(self.text)
            );
            self.problem(
                "line.unread",
                second.span,
                message,
                "give it a line of its own".to_owned(),
            );
        }
        let key = match step {
            Some(id) => StepKey::Known(id),
            None => StepKey::Own(word.key.clone()),
        };
        self.steps.entry(key).or_default().push(self.job.events.len());
        self.event(
            span,
            EventKind::Did(Done {
                name: word,
                step,
                said,
                undone: None,
            }),
        );
    }
}
