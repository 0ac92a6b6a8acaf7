//! Every name on a page: where it stands, and what it names.

mod alike;
mod of_log;
mod of_manual;

use super::Page;
use crate::model::Book;
use crate::model::names::{file_key, key};
use crate::syntax::Span;
use crate::syntax::ast::{LogTree, ManualTree};

pub use alike::{Alike, names_of};

/// What a name names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entity {
    /// Something that is measured or worked out.
    Feature,
    /// A step, forbidden ones too.
    Step,
    /// A part.
    Part,
    /// A place on a part.
    Place,
    /// An instrument or a machine.
    Tool,
    /// A manual.
    Manual,
    /// A procedure of a manual.
    Procedure,
    /// A precaution or a tick that a step needs.
    Need,
    /// The machine that the log is of.
    Machine,
    /// A stock.
    Stock,
    /// A way to go.
    Choice,
    /// A job: what a log is found by ([`super::search`]). It is prose, so no mention of a page is one.
    Job,
}

impl Entity {
    /// What it is called in messages.
    pub fn word(self) -> &'static str {
        match self {
            Entity::Feature => "feature",
            Entity::Step => "step",
            Entity::Part => "part",
            Entity::Place => "place",
            Entity::Tool => "tool",
            Entity::Manual => "manual",
            Entity::Procedure => "procedure",
            Entity::Need => "need",
            Entity::Machine => "machine",
            Entity::Stock => "stock",
            Entity::Choice => "way to go",
            Entity::Job => "job",
        }
    }

    /// The form in which its names are compared.
    pub fn key(self, name: &str) -> String {
        match self {
            Entity::Manual => file_key(name),
            _ => key(name).into_owned(),
        }
    }
}

/// A name at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mention {
    /// What it names.
    pub entity: Entity,
    /// The name as it is compared ([`crate::model::names::key`]; of a manual [`crate::model::names::file_key`]).
    pub key: String,
    /// Where.
    pub span: Span,
    /// Whether it is introduced here: `tool NAME:`, `feature NAME`, `step NAME`, `also NAME`; of a part the line on which it came in.
    pub is_declaration: bool,
}

/// Every name of a page, in order of place, none over another. What only the book can tell is asked of it: which tick says a need, which row of a table is a
/// part.
pub fn mentions(page: &Page) -> Vec<Mention> {
    let book = Some(&page.rules().book);
    match page {
        Page::Log(log) => of_log::names(&log.tree, &log.source.text, book).0,
        Page::Manual(manual) => of_manual::names(&manual.tree, &manual.source.text, book).0,
    }
}

/// The names of a log as far as its own text tells them: no ticks, since only a manual knows what a step needs.
pub fn mentions_of_log(tree: &LogTree, text: &str) -> Vec<Mention> {
    of_log::names(tree, text, None).0
}

/// The names of a manual as far as its own text tells them.
pub fn mentions_of_manual(tree: &ManualTree, text: &str) -> Vec<Mention> {
    of_manual::names(tree, text, None).0
}

/// The names of a log as its own text tells them, with what its steps' lines say.
pub(super) fn of_log_and_ticks(tree: &LogTree, text: &str) -> (Vec<Mention>, Vec<Tick>) {
    of_log::names(tree, text, None)
}

/// The names of a manual as its own text tells them, with what its steps need.
pub(super) fn of_manual_and_ticks(tree: &ManualTree, text: &str) -> (Vec<Mention>, Vec<Tick>) {
    of_manual::names(tree, text, None)
}

/// The name at an offset; at the end of a name still that name.
pub fn mention_at(page: &Page, offset: u32) -> Option<Mention> {
    let mut touching = mentions(page)
        .into_iter()
        .filter(|m| m.span.start <= offset && offset <= m.span.end);
    let first = touching.next()?;
    // Where one name ends as the next begins, the cursor stands on the next.
    Some(touching.next().unwrap_or(first))
}

/// What is said on a step's line, or what a step of a manual needs: a tick may say a need, and only the manual knows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Tick {
    /// Key of the step.
    pub step: String,
    /// All of it.
    pub span: Span,
}

/// Names as they are gathered.
struct Names<'a> {
    text: &'a str,
    list: Vec<Mention>,
}

impl<'a> Names<'a> {
    fn new(text: &'a str) -> Self {
        Names { text, list: Vec::new() }
    }

    fn key(&self, span: Span) -> String {
        key(span.text(self.text)).into_owned()
    }

    fn add(&mut self, entity: Entity, span: Span, is_declaration: bool) {
        let span = trimmed(span, self.text);
        if span.is_empty() {
            return;
        }
        self.list.push(Mention {
            entity,
            key: entity.key(span.text(self.text)),
            span,
            is_declaration,
        });
    }

    /// A mention that introduces nothing.
    fn named(&mut self, entity: Entity, span: Span) {
        self.add(entity, span, false);
    }

    /// A manual as it is named by a log or another manual: the end of its file's name is not part of it.
    fn manual(&mut self, span: Span) {
        let span = trimmed(span, self.text);
        let length = span.text(self.text).trim_end_matches(".manual").len();
        let end = u32::try_from(length).map_or(span.end, |length| span.start.saturating_add(length));
        self.named(Entity::Manual, Span { end, ..span });
    }

    /// In order of place; of two that lie over each other the first stays, and of two that begin together the longer.
    fn finish(mut self) -> Vec<Mention> {
        self.list
            .sort_by_key(|m| (m.span.start, u32::MAX - m.span.end, !m.is_declaration, m.entity));
        let mut end = 0;
        self.list.retain(|mention| {
            let is_clear = mention.span.start >= end;
            if is_clear {
                end = mention.span.end;
            }
            is_clear
        });
        self.list
    }
}

/// A span without blanks at its ends.
fn trimmed(span: Span, text: &str) -> Span {
    let is_blank = |c: char| matches!(c, ' ' | '\t' | '\u{A0}');
    let written = span.text(text);
    let front = written.len() - written.trim_start_matches(is_blank).len();
    let start = span.start as usize + front;
    Span::new(start, start + written.trim_matches(is_blank).len())
}

/// Where the words of a name stand one behind the other in a longer text; `None` if other words are between them.
pub(super) fn words_within(span: Span, text: &str, name: &str) -> Option<Span> {
    let written = span.text(text);
    let is_blank = |c: char| matches!(c, ' ' | '\t' | '\u{A0}');
    let mut words: Vec<(usize, &str)> = Vec::new();
    let mut at = 0;
    for word in written.split(is_blank) {
        if !word.is_empty() {
            words.push((at, word));
        }
        at += word.len()
            + written
                .get(at + word.len()..)
                .and_then(|r| r.chars().next())
                .map_or(0, char::len_utf8);
    }
    let wanted: Vec<&str> = name.split(' ').collect();
    let found = words.windows(wanted.len()).find(|some| {
        some.iter()
            .zip(&wanted)
            .all(|((_, word), wanted)| key(word) == **wanted)
    })?;
    let ((first, _), (last, word)) = (found.first()?, found.last()?);
    let base = span.start as usize;
    Some(Span::new(base + first, base + last + word.len()))
}

/// The needs of a step, each with every name it may be said by: the alternatives of `oiled or dry`, and all names of a precaution.
fn needs_of(book: &Book, step: &str) -> Vec<String> {
    let Some(step) = book.step_id(step).and_then(|id| book.step(id)) else {
        return Vec::new();
    };
    let mut names: Vec<String> = Vec::new();
    for need in step.needs.iter().flat_map(|need| need.key.split(" or ")) {
        names.push(need.to_owned());
        if let Some(precaution) = book.precaution(need) {
            names.push(precaution.name.key.clone());
            names.extend(precaution.also.iter().cloned());
        }
    }
    // The longer first: where `web supported` and `supported` are both needed, the tick says the whole.
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    names.dedup();
    names
}
