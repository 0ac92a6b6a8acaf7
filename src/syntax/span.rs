//! Byte spans, and the one table that turns a byte offset into a line and a column.

use std::ops::Range;

/// A half-open range of byte offsets into the text it came from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span from two byte offsets; offsets past 4 GiB are clamped, since no log is read beyond the size limit.
    pub fn new(start: usize, end: usize) -> Self {
        let clamp = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        Self {
            start: clamp(start),
            end: clamp(end.max(start)),
        }
    }

    /// The span as a `Range` for slicing.
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Length in bytes.
    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    /// Whether the span holds no byte.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The text under the span; empty if the span does not fit the text.
    pub fn text(self, source: &str) -> &str {
        source.get(self.range()).unwrap_or("")
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }
}

/// A place for people: both counted from 1; the column counts characters (Unicode scalar values), not bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line number from 1.
    pub line: usize,
    /// Column in characters from 1.
    pub column: usize,
}

/// The starts of lines whose line end lies in a part of a text.
fn line_starts(text: &str, from: usize, to: usize) -> impl Iterator<Item = u32> + '_ {
    let bytes = text.as_bytes();
    let part = bytes.get(from..to).unwrap_or_default();
    memchr::memchr2_iter(b'\n', b'\r', part)
        .map(move |at| from + at)
        .filter(|at| bytes.get(*at) == Some(&b'\n') || bytes.get(at + 1) != Some(&b'\n'))
        .map(|at| u32::try_from(at + 1).unwrap_or(u32::MAX))
}

/// Where each line of a text begins. Lines end at `\n`, `\r\n` or a lone `\r`.
#[derive(Clone, Debug, Default)]
pub struct LineIndex {
    starts: Vec<u32>,
}

impl LineIndex {
    /// Builds the index in one pass over the bytes.
    pub fn new(text: &str) -> Self {
        let mut starts = vec![0];
        starts.extend(line_starts(text, 0, text.len()));
        Self { starts }
    }

    /// Follows an edit: `removed` of the old text was replaced by `inserted` bytes, and `text` is the text that came of it. Costs as much as the edit is long, and a
    /// move of numbers.
    pub fn edited(&mut self, text: &str, removed: Span, inserted: usize) {
        let grown = inserted as i64 - removed.len() as i64;
        // A return just before the edit, or a line feed just behind it, may change what ends a line.
        let from = removed.start.saturating_sub(1);
        let keep = self.starts.partition_point(|start| *start <= from);
        let rest = self
            .starts
            .partition_point(|start| *start <= removed.end.saturating_add(1));
        let moved = |offset: u32| u32::try_from(i64::from(offset) + grown).unwrap_or(u32::MAX);
        let window_start = self.starts.get(keep.saturating_sub(1)).copied().unwrap_or(0) as usize;
        let window_stop = self.starts.get(rest).map_or(text.len(), |start| moved(*start) as usize);
        let tail: Vec<u32> = self
            .starts
            .get(rest..)
            .unwrap_or_default()
            .iter()
            .map(|s| moved(*s))
            .collect();
        self.starts.truncate(keep);
        self.starts.extend(line_starts(text, window_start, window_stop));
        // The last start of the window may be that of the tail.
        while self
            .starts
            .last()
            .is_some_and(|last| tail.first().is_some_and(|first| last >= first))
        {
            self.starts.pop();
        }
        self.starts.extend(tail);
        if self.starts.is_empty() {
            self.starts.push(0);
        }
    }

    /// Number of lines; a text that ends in a line end has an empty last line.
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// Zero-based number of the line that holds a byte offset.
    pub fn line_of(&self, offset: u32) -> usize {
        self.starts.partition_point(|start| *start <= offset).saturating_sub(1)
    }

    /// The span of a zero-based line, its line end included; empty past the end.
    pub fn line_span(&self, line: usize, text: &str) -> Span {
        let end = text.len();
        let start = self.starts.get(line).map_or(end, |s| *s as usize);
        let stop = self.starts.get(line + 1).map_or(end, |s| *s as usize);
        Span::new(start, stop)
    }

    /// Line and column of a byte offset; an offset past the end, or inside a character, is taken back to the nearest place before it.
    pub fn place(&self, offset: u32, text: &str) -> Place {
        let mut offset = (offset as usize).min(text.len());
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.line_of(u32::try_from(offset).unwrap_or(u32::MAX));
        let start = self.starts.get(line).map_or(0, |s| *s as usize);
        let column = text.get(start..offset).map_or(0, |s| s.chars().count()) + 1;
        Place { line: line + 1, column }
    }
}
