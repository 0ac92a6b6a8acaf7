//! What is known of what stands under the cursor.

mod amount;
mod card;
mod feature;
mod function;
mod history;
mod keyword;
mod log;
mod manual;
mod part;
mod place;
mod reading;
mod step;
mod sum;
mod things;
mod tool;
mod verdict;

use std::sync::Arc;

use super::Page;
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::model::Book;
use crate::syntax::{Line, Span};

pub(in crate::editor) use amount::usual_pair;
use card::Card;
pub(in crate::editor) use reading::amounts;

/// What to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hover {
    /// What it is about.
    pub span: Span,
    /// The text, in markdown. User text in it is escaped.
    pub markdown: String,
}

impl Hover {
    fn new(span: Span, card: &Card) -> Hover {
        Hover {
            span,
            markdown: card.markdown(),
        }
    }
}

/// What is known of what stands at an offset; `None` on a blank, a comment and prose. `earlier` are other logs of the same machine, earliest first.
pub fn hover(page: &Page, offset: u32, earlier: &[Arc<Analysis>]) -> Option<Hover> {
    let line = page.source().lines.line_of(offset);
    let written = page.lines().get(line)?;
    if !touches(written.content, offset) {
        return None;
    }
    match page {
        Page::Log(analysis) => log::at(analysis, line, offset, earlier),
        Page::Manual(analysis) => manual::at(analysis, line, offset),
    }
}

/// What a log is judged with, for whoever asks further questions of it.
pub(in crate::editor) fn case_of(log: &Analysis) -> Case<'_> {
    Case::new(&log.source, &log.tree, &log.job, &log.rules, log.settings.clone())
}

/// Whether an offset lies in a span, or at its end.
fn touches(span: Span, offset: u32) -> bool {
    span.start <= offset && offset <= span.end && !span.is_empty()
}

/// The first word of a line's content, behind the time in front of it.
fn first_word(line: &Line, clock: Option<Span>, text: &str) -> Span {
    let from = clock.map_or(line.content.start, |clock| clock.end);
    let content = Span {
        start: from,
        end: line.content.end.max(from),
    };
    let said = content.text(text);
    let blank = said.len() - said.trim_start().len();
    let length = said
        .trim_start()
        .split([' ', '\t', '\u{A0}'])
        .next()
        .map_or(0, str::len);
    let start = from as usize + blank;
    Span::new(start, start + length)
}

/// What a manual of a book is called for a reader: its file's name, or that of the shelf's.
fn manual_name(book: &Book, manual: usize) -> String {
    let Some(entry) = book.manuals.get(manual) else {
        return String::new();
    };
    if entry.on_shelf {
        let name = entry.source.name.strip_prefix("shelf:").unwrap_or(&entry.source.name);
        return format!("shelf: {}", card::plain(name));
    }
    let file = entry.source.name.rsplit(['/', '\\']).next().unwrap_or_default();
    card::plain(file.strip_suffix(".manual").unwrap_or(file))
}
