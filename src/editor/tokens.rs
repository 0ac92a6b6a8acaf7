//! Semantic tokens: what each word on a page is.

mod filler;
mod log;
mod manual;
mod words;

use super::Page;
use crate::syntax::{Line, Span};
use filler::{Gaps, fill};

/// What a word is. The order is that of the server's legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TokenKind {
    /// The first word of a line, and words of the grammar (`of`, `at`, `by`, `go`).
    Keyword,
    /// A feature.
    Property,
    /// A step.
    Function,
    /// A part.
    Class,
    /// A place.
    Parameter,
    /// A tool.
    Variable,
    /// A figure.
    Number,
    /// A unit.
    Type,
    /// Prose.
    String,
    /// A comment.
    Comment,
    /// A sign: `=`, `->`.
    Operator,
    /// A date, a time of day, a stage, a manual.
    Namespace,
}

/// What is known of a word besides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks {
    /// It is introduced here.
    pub declaration: bool,
    /// A reading that was overtaken, a figure that was mended, a step undone.
    pub deprecated: bool,
    /// It comes from the shelf, not from a manual of the workshop.
    pub default_library: bool,
    /// It is worked out by a sum.
    pub readonly: bool,
}

/// A word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Token {
    /// Where; on one line, never overlapping another, never empty.
    pub span: Span,
    /// What it is.
    pub kind: TokenKind,
    /// What is known besides.
    pub marks: Marks,
}

/// The words of an entry that have a place of their own, and what stands between them.
#[derive(Debug, Default)]
struct Painted {
    /// Names, figures, units, prose; in order of place, none overlapping.
    words: Vec<Token>,
    /// What is between them.
    gaps: Gaps,
}

/// Where the entries of a page stand, and how each is painted.
trait Painter {
    /// The number of the entry that a line belongs to, with its first line and the one past its last.
    fn entry_at(&self, line: usize) -> Option<(usize, std::ops::Range<usize>)>;

    /// Paints an entry.
    fn paint(&self, number: usize) -> Painted;
}

/// The words of a page within a span, in order of place.
pub fn tokens(page: &Page, within: Span) -> Vec<Token> {
    match page {
        Page::Log(log) => painted(page, within, &log::Log::new(log)),
        Page::Manual(manual) => painted(page, within, &manual::Manual::new(manual)),
    }
}

fn painted(page: &Page, within: Span, painter: &dyn Painter) -> Vec<Token> {
    let index = &page.source().lines;
    let (first, last) = (index.line_of(within.start), index.line_of(within.end));
    // The text may end in a line end, behind which the index has an empty line.
    let last = (last + 1).min(page.lines().len());
    let mut list = Vec::new();
    let mut own = Vec::new();
    // The entry that was painted last: a table has many lines.
    let mut known: Option<(usize, Painted)> = None;
    for (number, line) in (first..last).zip(page.lines().get(first..last).unwrap_or_default()) {
        if !line.is_empty()
            && let Some((entry, lines)) = painter.entry_at(number)
            && lines.contains(&number)
        {
            if known.as_ref().is_none_or(|(known, _)| *known != entry) {
                let mut painted = painter.paint(entry);
                in_order(&mut painted.words);
                known = Some((entry, painted));
            }
            if let Some((_, painted)) = &known {
                content(line, painted, page, &mut own);
            }
        }
        if !line.comment.is_empty() {
            own.push(Token::new(line.comment, TokenKind::Comment));
        }
        let touches = |token: &Token| token.span.start < within.end && within.start < token.span.end;
        list.extend(own.drain(..).filter(touches));
    }
    list
}

/// The words of one line, and what stands between them.
fn content(line: &Line, painted: &Painted, page: &Page, list: &mut Vec<Token>) {
    let Span { start, end } = line.content;
    let from = painted.words.partition_point(|token| token.span.start < start);
    let mut at = start;
    for token in painted.words.get(from..).unwrap_or_default() {
        if token.span.end > end {
            break;
        }
        let between = Span {
            start: at,
            end: token.span.start,
        };
        fill(page, line, between, &painted.gaps, list);
        list.push(*token);
        at = token.span.end;
    }
    fill(page, line, Span { start: at, end }, &painted.gaps, list);
}

/// Puts words in order of place; of two that overlap the first stays, of two at one place the longer.
fn in_order(words: &mut Vec<Token>) {
    words.retain(|token| !token.span.is_empty());
    words.sort_by_key(|token| (token.span.start, std::cmp::Reverse(token.span.end)));
    let mut end = 0;
    words.retain(|token| {
        let is_apart = token.span.start >= end;
        if is_apart {
            end = token.span.end;
        }
        is_apart
    });
}

impl Token {
    fn new(span: Span, kind: TokenKind) -> Token {
        Token {
            span,
            kind,
            marks: Marks::default(),
        }
    }
}
