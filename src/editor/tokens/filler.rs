//! What stands between the names and figures of a line: words of the grammar, signs, and prose that the tree keeps no place for.

use super::super::Page;
use super::{Token, TokenKind};
use crate::syntax::{Line, Span, begins_line};

/// What stands between the words of an entry that have a place of their own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Gaps {
    /// Words of the grammar.
    #[default]
    Grammar,
    /// Words of the grammar up to an offset, and prose from there on.
    ProseFrom(u32),
    /// A line that could not be read: only its keyword and plain figures are sure.
    Unread,
}

/// Adds the words of a gap.
pub(super) fn fill(page: &Page, line: &Line, gap: Span, gaps: &Gaps, list: &mut Vec<Token>) {
    let text = page.text();
    match gaps {
        Gaps::Grammar => grammar(text, gap, list),
        Gaps::ProseFrom(from) => {
            let at = (*from).clamp(gap.start, gap.end.max(gap.start));
            grammar(text, Span { end: at, ..gap }, list);
            prose(text, Span { start: at, ..gap }, list);
        }
        Gaps::Unread => unread(page, line, gap, list),
    }
}

/// A piece of a gap, with its kind.
fn put(list: &mut Vec<Token>, base: u32, from: usize, to: usize, kind: TokenKind) {
    let start = base as usize;
    list.push(Token::new(Span::new(start + from, start + to), kind));
}

/// Marks that part the words and say nothing themselves.
fn is_mark(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '"' | '\u{FEFF}')
}

/// Marks that stand behind a figure as its unit.
fn is_unit(c: char) -> bool {
    matches!(c, '°' | '%' | '\'' | '′' | '″')
}

/// Words, figures and signs of the grammar.
fn grammar(text: &str, gap: Span, list: &mut Vec<Token>) {
    let said = gap.text(text);
    let mut at = 0;
    while let Some(c) = said.get(at..).and_then(|rest| rest.chars().next()) {
        let rest = said.get(at..).unwrap_or_default();
        let until = |ends: &dyn Fn(char) -> bool| rest.find(ends).unwrap_or(rest.len());
        let (length, kind) = if is_mark(c) {
            at += c.len_utf8();
            continue;
        } else if c.is_ascii_digit() {
            let length = until(&|c| !(c.is_ascii_digit() || matches!(c, '.' | ',' | ':' | '/' | '-')));
            // A comma or a hyphen at the end of it is not part of a figure.
            let figure = rest
                .get(..length)
                .unwrap_or_default()
                .trim_end_matches(|c: char| !c.is_ascii_digit());
            let is_time = figure.contains(':') || figure.matches('-').count() == 2;
            (
                figure.len(),
                if is_time {
                    TokenKind::Namespace
                } else {
                    TokenKind::Number
                },
            )
        } else if is_count(rest) {
            (c.len_utf8(), TokenKind::Keyword)
        } else if c.is_alphabetic() {
            (
                until(&|c| is_mark(c) || matches!(c, '=' | '~' | '@')),
                TokenKind::Keyword,
            )
        } else if is_unit(c) {
            (until(&|c| !is_unit(c)), TokenKind::Type)
        } else {
            let is_sign = |c: char| !(is_mark(c) || c.is_alphanumeric() || is_unit(c));
            (until(&|c| !is_sign(c)), TokenKind::Operator)
        };
        let length = length.max(c.len_utf8());
        put(list, gap.start, at, at + length, kind);
        at += length;
    }
}

/// Whether it is how many of them: `x3`, `×3`.
fn is_count(rest: &str) -> bool {
    rest.strip_prefix(['x', 'X', '×'])
        .is_some_and(|count| count.starts_with(|c: char| c.is_ascii_digit()))
}

/// Prose from its first word to its last.
fn prose(text: &str, gap: Span, list: &mut Vec<Token>) {
    let said = gap.text(text);
    let words = said.trim_matches(is_mark);
    if !words.is_empty() {
        let from = said.len() - said.trim_start_matches(is_mark).len();
        put(list, gap.start, from, from + words.len(), TokenKind::String);
    }
}

/// The first word if a line may begin with it, and words that are nothing but a figure.
fn unread(page: &Page, line: &Line, gap: Span, list: &mut Vec<Token>) {
    let said = gap.text(page.text());
    let mut at = 0;
    for word in said.split_inclusive(|c: char| is_mark(c) || c == '=') {
        let bare = word.trim_end_matches(|c: char| is_mark(c) || c == '=');
        let is_first = gap.start as usize + at == line.content.start as usize;
        let figure = bare.strip_prefix(['+', '-']).unwrap_or(bare);
        let is_figure = figure.starts_with(|c: char| c.is_ascii_digit())
            && figure.chars().all(|c| c.is_ascii_digit() || c == '.')
            && !figure.ends_with('.');
        if is_first && begins_line(page.kind(), bare) {
            put(list, gap.start, at, at + bare.len(), TokenKind::Keyword);
        } else if is_figure {
            put(list, gap.start, at, at + bare.len(), TokenKind::Number);
        }
        at += word.len();
    }
}
