//! The names of a log, in one walk over its tree.

use rustc_hash::FxHashSet;

use super::{Entity, Mention, Names, Tick, needs_of, words_within};
use crate::model::Book;
use crate::model::book::{FeatureId, StepId};
use crate::model::names::{key, says};
use crate::model::tools::is_plain;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Entry, FixTarget, HeadKind, LogTree, Reading, Statement, Subject, Value};

/// The names of a log, and what its steps' lines say besides.
pub(super) fn names(tree: &LogTree, text: &str, book: Option<&Book>) -> (Vec<Mention>, Vec<Tick>) {
    let mut walk = Walk {
        text,
        book,
        names: Names::new(text),
        ticks: Vec::new(),
        tools: FxHashSet::default(),
        parts: FxHashSet::default(),
        places: FxHashSet::default(),
        options: FxHashSet::default(),
        done: FxHashSet::default(),
        steps: FxHashSet::default(),
    };
    // A tool may be declared below its use, and a part named before it came.
    for entry in &tree.entries {
        walk.declare(&entry.statement);
    }
    for entry in &tree.entries {
        walk.entry(entry);
    }
    let mut list = walk.names.finish();
    parts_came_in(tree, text, &mut list);
    (list, walk.ticks)
}

struct Walk<'a> {
    text: &'a str,
    book: Option<&'a Book>,
    names: Names<'a>,
    ticks: Vec<Tick>,
    /// Keys of what is declared or named anywhere in the log.
    tools: FxHashSet<String>,
    parts: FxHashSet<String>,
    places: FxHashSet<String>,
    options: FxHashSet<String>,
    /// Steps done so far: keys, and what the book knows them as.
    done: FxHashSet<String>,
    steps: FxHashSet<StepId>,
}

impl Walk<'_> {
    fn key(&self, span: Span) -> String {
        self.names.key(span)
    }

    fn declare(&mut self, statement: &Statement) {
        match statement {
            Statement::Tool(name, _) => {
                let key = self.key(*name);
                self.tools.insert(key);
            }
            Statement::Option(name, _) => {
                let key = self.key(*name);
                self.options.insert(key);
            }
            Statement::Found(part, _)
            | Statement::Ordered(part, _)
            | Statement::Got(part, _)
            | Statement::Waiting(part, _) => {
                let key = self.key(*part);
                self.parts.insert(key);
            }
            Statement::Reading(reading) => {
                let part = reading.subject.part.map(|part| self.key(part));
                let place = reading.subject.place.map(|place| self.key(place));
                self.parts.extend(part);
                self.places.extend(place);
            }
            _ => {}
        }
    }

    fn entry(&mut self, entry: &Entry) {
        match &entry.statement {
            Statement::Head(HeadKind::Machine, name) => self.names.add(Entity::Machine, *name, true),
            Statement::Manual(name) => self.names.manual(*name),
            Statement::Procedure(name) => self.names.named(Entity::Procedure, *name),
            Statement::Tool(name, _) => self.names.add(Entity::Tool, *name, true),
            Statement::Reading(reading) => self.reading(reading),
            Statement::Did(step, details) => {
                self.names.named(Entity::Step, *step);
                let key = self.key(*step);
                self.steps.extend(self.book.and_then(|book| book.step_id(&key)));
                self.ticks(&key, details);
                self.done.insert(key);
                self.step_details(details);
            }
            Statement::Undid(step, details) => {
                self.names.named(Entity::Step, *step);
                self.step_details(details);
            }
            Statement::Found(part, _)
            | Statement::Ordered(part, _)
            | Statement::Got(part, _)
            | Statement::Waiting(part, _) => self.names.named(Entity::Part, *part),
            Statement::Stock(name, _) => self.names.add(Entity::Stock, *name, true),
            Statement::Option(name, _) => self.names.add(Entity::Choice, *name, true),
            Statement::Cost(name, _) => {
                if self.parts.contains(&self.key(*name)) {
                    self.names.named(Entity::Part, *name);
                }
            }
            Statement::Chose(taken, left, _) => {
                for name in [Some(*taken), *left].into_iter().flatten() {
                    let is_option = self.options.contains(&self.key(name));
                    let entity = if is_option { Entity::Choice } else { Entity::Part };
                    self.names.named(entity, name);
                }
            }
            Statement::Fix { target, .. } => match &**target {
                FixTarget::Reading(subject) => self.subject(subject),
                FixTarget::Step(step, _) => self.names.named(Entity::Step, *step),
            },
            Statement::Amend(whole, subject, details) => self.amend(*whole, subject, details),
            Statement::Checked(tool, _) => self.names.named(Entity::Tool, *tool),
            Statement::Head(..)
            | Statement::Units(_)
            | Statement::Hours(_)
            | Statement::Day { .. }
            | Statement::Held(_)
            | Statement::Note(_)
            | Statement::Photo(_)
            | Statement::Closed(_)
            | Statement::Unread => {}
        }
    }

    fn subject(&mut self, subject: &Subject) {
        self.names.named(Entity::Feature, subject.feature);
        for (entity, span) in [(Entity::Part, subject.part), (Entity::Place, subject.place)] {
            if let Some(span) = span {
                self.names.named(entity, span);
            }
        }
    }

    /// A `fix` without an arrow speaks of the latest step of that name, and failing that of a reading.
    fn amend(&mut self, whole: Span, subject: &Subject, details: &[Detail]) {
        let key = self.key(whole);
        let step = self.book.and_then(|book| book.step_id(&key));
        let was_done = self.done.contains(&key) || step.is_some_and(|step| self.steps.contains(&step));
        let feature = self.feature(&self.key(subject.feature));
        if was_done || (step.is_some() && feature.is_none()) {
            self.names.named(Entity::Step, whole);
            self.ticks(&key, details);
            self.step_details(details);
        } else {
            self.subject(subject);
            self.reading_details(details);
        }
    }

    fn feature(&self, key: &str) -> Option<FeatureId> {
        self.book.and_then(|book| book.feature(key))
    }

    fn reading(&mut self, reading: &Reading) {
        self.subject(&reading.subject);
        if let Some(tool) = reading.tool {
            self.tool(tool);
        }
        self.reading_details(&reading.details);
        let feature = self.feature(&self.key(reading.subject.feature));
        let feature = feature.and_then(|id| self.book?.features.get(id));
        if let Value::Ring(amounts, places) = &reading.figure.value
            && amounts.len() == places.len()
        {
            let begins_with_figure = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
            let is_named = |place: &Span| !place.text(self.text).starts_with(begins_with_figure);
            let is_listed = |place: &Span| feature.is_some_and(|f| f.places.iter().any(|p| p.key == self.key(*place)));
            if places.iter().all(is_named) || places.iter().all(is_listed) {
                for place in places {
                    self.names.named(Entity::Place, *place);
                }
            }
        }
        let is_part = |word: &str| {
            reading.subject.part.is_none() && feature.is_some_and(|f| f.parts.iter().any(|p| p.key == word))
        };
        let labels = reading.table.rows.iter().filter_map(|row| row.label);
        let words: Vec<Span> = reading.table.columns.iter().copied().chain(labels).collect();
        for word in words {
            let entity = if is_part(&self.key(word)) {
                Entity::Part
            } else {
                Entity::Place
            };
            self.names.named(entity, word);
        }
    }

    /// What stands behind `by` is a tool; behind `on` only if it is declared or the plain name of one, else it says how the work was held.
    fn tool(&mut self, span: Span) {
        let before = self.text.get(..span.start as usize).unwrap_or("").trim_end();
        let is_by = before
            .get(before.len().saturating_sub(2)..)
            .is_some_and(|word| word.eq_ignore_ascii_case("by"));
        let key = self.key(span);
        if is_by || self.tools.contains(&key) || is_plain(&key) {
            self.names.named(Entity::Tool, span);
        }
    }

    /// `, by mic`: the comma is one too many, but what is meant is plain.
    fn reading_details(&mut self, details: &[Detail]) {
        for detail in details {
            if let Some(behind) = self.behind(detail.span, &["by ", "on "]) {
                self.tool(behind);
            }
        }
    }

    /// What stands behind one of these words at the front of a detail; the words are lower case and end in a blank.
    fn behind(&self, span: Span, leads: &[&str]) -> Option<Span> {
        let written = span.text(self.text);
        let lead = leads.iter().find(|lead| {
            let front = written.get(..lead.len());
            front.is_some_and(|front| front.eq_ignore_ascii_case(lead))
        })?;
        Some(Span {
            start: span.start.saturating_add(u32::try_from(lead.len()).ok()?),
            ..span
        })
    }

    fn step_details(&mut self, details: &[Detail]) {
        for detail in details {
            match &detail.kind {
                DetailKind::From(part) => self.names.named(Entity::Part, *part),
                DetailKind::Because(_) | DetailKind::Number(_) | DetailKind::OrderedAs(_) | DetailKind::Date { .. } => {
                }
                DetailKind::Amount { figure, tool, .. } => {
                    if let Some(tool) = tool {
                        self.names.named(Entity::Tool, *tool);
                    }
                    // `on cylinder 1` has the looks of an amount.
                    if matches!(&figure.value, Value::Single(amount) if amount.unit.is_none()) && tool.is_none() {
                        self.only_on(detail.span);
                    }
                }
                DetailKind::Tick(tick) => {
                    self.only_on(*tick);
                    self.load_through(*tick);
                }
            }
        }
    }

    /// `on cylinder 1`: the part or place that the step was done on.
    fn only_on(&mut self, span: Span) {
        let Some(name) = self.behind(span, &["on ", "of ", "at "]) else {
            return;
        };
        let key = self.key(name);
        let entity = if self.tools.contains(&key) {
            Entity::Tool
        } else if self.places.contains(&key) && !self.parts.contains(&key) {
            Entity::Place
        } else {
            Entity::Part
        };
        self.names.named(entity, name);
    }

    /// `with splitter`: a declared tool that the load goes through.
    fn load_through(&mut self, span: Span) {
        let behind = self.behind(span, &["with ", "through ", "under "]).unwrap_or(span);
        let name = self.behind(behind, &["the "]).unwrap_or(behind);
        if self.tools.contains(&self.key(name)) {
            self.names.named(Entity::Tool, name);
        }
    }

    /// What is said on a step's line; a tick is a name where it says what the step needs.
    fn ticks(&mut self, step: &str, details: &[Detail]) {
        let needs = self.book.map(|book| needs_of(book, step)).unwrap_or_default();
        for detail in details {
            if matches!(detail.kind, DetailKind::Because(_)) {
                continue;
            }
            self.ticks.push(Tick {
                step: step.to_owned(),
                span: detail.span,
            });
            let said = key(detail.span.text(self.text)).into_owned();
            for need in needs.iter().filter(|need| says(&said, need)) {
                if let Some(span) = words_within(detail.span, self.text, need) {
                    self.names.named(Entity::Need, span);
                }
            }
        }
    }
}

/// Marks where each part came in: where it was got, else ordered, chosen, found, or named first.
fn parts_came_in(tree: &LogTree, text: &str, list: &mut [Mention]) {
    let rank = |statement: &Statement| match statement {
        Statement::Got(part, _) => Some((0, *part)),
        Statement::Ordered(part, _) => Some((1, *part)),
        Statement::Chose(part, ..) => Some((2, *part)),
        Statement::Found(part, _) => Some((3, *part)),
        _ => None,
    };
    let mut came: rustc_hash::FxHashMap<String, (u8, u32)> = rustc_hash::FxHashMap::default();
    for entry in &tree.entries {
        let Some((rank, span)) = rank(&entry.statement) else {
            continue;
        };
        let best = came
            .entry(key(span.text(text)).into_owned())
            .or_insert((rank, span.start));
        if rank < best.0 {
            *best = (rank, span.start);
        }
    }
    for mention in list.iter_mut().filter(|m| m.entity == Entity::Part) {
        let here = came.get(&mention.key).map(|(_, start)| *start);
        mention.is_declaration = here == Some(mention.span.start);
    }
}
