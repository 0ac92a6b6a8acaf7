//! The line that is being written, as far as the cursor: words and commas, no grammar, since half a line has none.

use super::list::Typed;
use crate::editor::Page;
use crate::syntax::Span;
use crate::syntax::ast::{Entry, Statement};

/// What stands on a line in front of the cursor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Written<'t> {
    /// From the first word to the cursor.
    pub said: &'t str,
    /// Where that begins.
    pub base: usize,
    /// The number of the line, from 0.
    pub line: usize,
    /// How far it is indented, in columns.
    pub indent: usize,
}

/// Whether a character is a blank; a byte order mark counts as one.
pub(super) fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{A0}' | '\u{FEFF}')
}

impl<'t> Written<'t> {
    /// The line at an offset; `None` inside a comment. An offset past the end, or inside a character, is taken back.
    pub fn at(page: &'t Page, offset: u32) -> Option<Written<'t>> {
        let text = page.text();
        let mut cursor = (offset as usize).min(text.len());
        while !text.is_char_boundary(cursor) {
            cursor -= 1;
        }
        let lines = &page.source().lines;
        let mut line = lines.line_of(u32::try_from(cursor).ok()?);
        let mut span = lines.line_span(line, text);
        // Between the two bytes of a line end the line is not over yet.
        if line > 0
            && span.start as usize == cursor
            && text.get(..cursor)?.ends_with('\r')
            && text.get(cursor..)?.starts_with('\n')
        {
            line -= 1;
            span = lines.line_span(line, text);
        }
        let start = span.start as usize;
        let before = text.get(start..cursor)?.trim_end_matches(['\r', '\n']);
        let said = before.trim_start_matches(is_blank);
        let is_comment = |text: &str| {
            let mut signs = text.match_indices('#').map(|(at, _)| at);
            signs.find(|at| {
                text.get(..*at)
                    .is_some_and(|b| b.chars().next_back().is_none_or(is_blank))
            })
        };
        if is_comment(before).is_some() {
            return None;
        }
        let base = start + before.len() - said.len();
        let indent = before.get(..before.len() - said.len()).unwrap_or("");
        Some(Written {
            said,
            base,
            line,
            indent: indent.chars().fold(0, |width, blank| match blank {
                '\t' => (width / 8 + 1) * 8,
                '\u{FEFF}' => width,
                _ => width + 1,
            }),
        })
    }

    /// Where the cursor stands.
    pub fn cursor(&self) -> usize {
        self.base + self.said.len()
    }

    /// The same without the time of day in front: `09:40 did …`.
    pub fn without_clock(self) -> Written<'t> {
        let (word, behind) = self.said.split_at(self.said.find(is_blank).unwrap_or(self.said.len()));
        let is_clock = word.split_once(':').is_some_and(|(hour, minute)| {
            let digits = |text: &str| !text.is_empty() && text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit());
            digits(hour) && digits(minute)
        });
        if is_clock && !behind.is_empty() {
            self.skip(self.said.len() - behind.trim_start_matches(is_blank).len())
        } else {
            self
        }
    }

    /// The same without its first bytes.
    pub fn skip(self, bytes: usize) -> Written<'t> {
        Written {
            said: self.said.get(bytes..).unwrap_or(""),
            base: self.base + bytes.min(self.said.len()),
            ..self
        }
    }

    /// The first word in lower case, and what stands behind it; `None` where the word may still go on.
    pub fn first_word(self) -> Option<(String, Written<'t>)> {
        let end = self.said.find(|c: char| is_blank(c) || c == ':')?;
        let behind = self.said.get(end..)?;
        let rest = behind.trim_start_matches(|c: char| is_blank(c) || c == ':');
        let word = self.said.get(..end)?.to_lowercase();
        Some((word, self.skip(self.said.len() - rest.len())))
    }

    /// What has been typed behind the last of the signs that part a list (a comma, or a semicolon; not a decimal comma).
    pub fn last_item(self) -> Written<'t> {
        let bytes = self.said.as_bytes();
        let parts = |(at, byte): (usize, &u8)| {
            let decimal = bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
            (*byte == b';' || (*byte == b',' && !decimal)).then_some(at + 1)
        };
        let start = bytes.iter().enumerate().filter_map(parts).next_back().unwrap_or(0);
        self.skip(start).trimmed()
    }

    /// The items in front of the last.
    pub fn items_before(self) -> Vec<&'t str> {
        let last = self.last_item();
        let before = self.said.get(..last.base - self.base).unwrap_or("");
        let mut items = Vec::new();
        let mut start = 0;
        let bytes = before.as_bytes();
        for (at, byte) in bytes.iter().enumerate() {
            let decimal = bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
            if *byte == b';' || (*byte == b',' && !decimal) {
                items.push(before.get(start..at).unwrap_or("").trim());
                start = at + 1;
            }
        }
        items.retain(|item| !item.is_empty());
        items
    }

    /// Without blanks in front.
    pub fn trimmed(self) -> Written<'t> {
        self.skip(self.said.len() - self.said.trim_start_matches(is_blank).len())
    }

    /// What stands in front of the last of some words, and what behind it. A word counts with a blank behind it, and at the start or behind a blank.
    pub fn behind_last(self, words: &[&str]) -> Option<(&'t str, usize, Written<'t>)> {
        let lower = self.said.to_ascii_lowercase();
        let mut best: Option<(usize, usize, usize)> = None;
        for (number, word) in words.iter().enumerate() {
            for (at, _) in lower.match_indices(word) {
                let before = lower.get(..at).and_then(|before| before.chars().next_back());
                let end = at + word.len();
                let is_parted = lower.get(end..).is_some_and(|behind| behind.starts_with(is_blank));
                if before.is_none_or(is_blank) && is_parted && best.is_none_or(|(known, ..)| at > known) {
                    best = Some((at, end, number));
                }
            }
        }
        let (at, end, number) = best?;
        Some((
            self.said.get(..at)?.trim_end_matches(is_blank),
            number,
            self.skip(end).trimmed(),
        ))
    }

    /// All of it as what has been typed of a name.
    pub fn typed(self) -> Typed<'t> {
        Typed {
            text: self.said,
            span: Span::new(self.base, self.cursor()),
            wants_blank: false,
        }
    }

    /// The same where a blank is wanted if `before`, all that stands in front on the line, ends in a sign.
    pub fn typed_behind(self, before: Written<'_>) -> Typed<'t> {
        let front = before.said.get(..self.base.saturating_sub(before.base)).unwrap_or("");
        Typed {
            wants_blank: front.ends_with([',', ':', '=', ';']),
            ..self.typed()
        }
    }
}

/// The entry above that an indented line goes on with.
pub(super) fn entry_above<'e>(
    entries: &'e [Entry],
    written: &Written<'_>,
    width: impl Fn(usize) -> usize,
) -> Option<&'e Entry> {
    let at = entries.partition_point(|entry| entry.line < written.line);
    let entry = entries.get(at.checked_sub(1)?)?;
    let takes = !matches!(
        entry.statement,
        Statement::Head(..)
            | Statement::Manual(_)
            | Statement::Procedure(_)
            | Statement::Units(_)
            | Statement::Hours(_)
            | Statement::Day { .. }
            | Statement::Photo(_)
            | Statement::Closed(_)
            | Statement::Fix { .. }
    );
    (takes && written.indent > width(entry.line)).then_some(entry)
}
