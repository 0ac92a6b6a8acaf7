//! The shape of a page: which lines belong together.

use crate::judge::Analysis;
use crate::syntax::ast::{Entry, LogTree, ManualTree, Rule, RuleEntry, Statement, Subject};
use crate::syntax::{Line, Span};

/// Lines that belong together, both inclusive, zero-based.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lines {
    pub first: usize,
    pub last: usize,
}

impl Lines {
    /// Up to and without another line, but for what says nothing at their end. `says` tells which lines count.
    fn until(first: usize, end: usize, lines: &[Line], says: impl Fn(&Line) -> bool) -> Lines {
        let own = lines.get(first..end).unwrap_or_default();
        let length = own.iter().rposition(says).map_or(1, |last| last + 1);
        Lines {
            first,
            last: first + length - 1,
        }
    }

    /// What an entry takes.
    pub fn of_entry(entry: &Entry) -> Lines {
        Lines {
            first: entry.line,
            last: entry.line + entry.lines.saturating_sub(1),
        }
    }

    /// From the first byte of the first line to the last of the last, without its line end.
    pub fn span(self, lines: &[Line]) -> Span {
        let start = lines.get(self.first).map_or(0, |line| line.indent.start);
        let end = lines.get(self.last).map_or(start, |line| line.comment.end);
        Span { start, end }
    }

    /// The same with the last line's end.
    pub fn whole(self, lines: &[Line]) -> Span {
        let span = self.span(lines);
        let end = lines.get(self.last).map_or(span.end, |line| line.end.end);
        Span { end, ..span }
    }
}

/// Whether anything stands on a line, a comment too.
fn is_written(line: &Line) -> bool {
    !line.is_empty() || !line.comment.is_empty()
}

/// The entries of a log before its first day, and those of each day, the day's own line first.
pub(super) fn days(entries: &[Entry]) -> (&[Entry], impl Iterator<Item = &[Entry]>) {
    let is_day = |entry: &Entry| matches!(entry.statement, Statement::Day { .. });
    let head = entries.iter().position(is_day).unwrap_or(entries.len());
    let (head, rest) = entries.split_at(head);
    // Each chunk ends before the next day.
    let days = rest.chunk_by(move |_, next| !is_day(next));
    (head, days)
}

/// The lines of each day, from its own line to the one before the next day, without empty lines at the end.
pub(super) fn day_lines(tree: &LogTree) -> Vec<Lines> {
    let (_, days) = days(&tree.entries);
    let starts: Vec<usize> = days.filter_map(|day| day.first()).map(|day| day.line).collect();
    starts
        .iter()
        .enumerate()
        .map(|(number, first)| {
            let end = starts.get(number + 1).copied().unwrap_or(tree.lines.len());
            Lines::until(*first, end, &tree.lines, is_written)
        })
        .collect()
}

/// The lines of the head: what stands before the first day, or, of a manual, before its first feature. `None` if nothing does.
pub(super) fn head_lines(first: Option<usize>, end: Option<usize>, lines: &[Line]) -> Option<Lines> {
    let first = first?;
    let end = end.unwrap_or(lines.len());
    (first < end).then(|| Lines::until(first, end, lines, |line| !line.is_empty()))
}

/// The head of a log.
pub(super) fn log_head(tree: &LogTree) -> Option<Lines> {
    let (head, mut days) = days(&tree.entries);
    let end = days.next().and_then(|day| day.first()).map(|day| day.line);
    head_lines(head.first().map(|entry| entry.line), end, &tree.lines)
}

/// How deep an entry of a manual begins something: 0 a feature, a sum, a precaution, a procedure; 1 what stands in a procedure; `None` what belongs to the line above.
pub(super) fn depth(rule: &Rule) -> Option<u8> {
    match rule {
        Rule::Feature(_) | Rule::Calc(..) | Rule::Precaution(_) | Rule::Procedure(_) => Some(0),
        Rule::Step(..) | Rule::Never(_) | Rule::OneOf(_) => Some(1),
        _ => None,
    }
}

/// Something that a manual begins, with what belongs to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block<'a> {
    /// As [`depth`].
    pub depth: u8,
    /// Its line, and those below it.
    pub entries: &'a [RuleEntry],
    /// Its lines, without empty ones and remarks at the end.
    pub lines: Lines,
}

/// Everything that a manual begins, in order: each procedure, and then the steps within it.
pub(super) fn blocks(tree: &ManualTree) -> Vec<Block<'_>> {
    let starts: Vec<(usize, u8)> = tree
        .entries
        .iter()
        .enumerate()
        .filter_map(|(number, entry)| Some((number, depth(&entry.rule)?)))
        .collect();
    let block = |(at, (from, depth)): (usize, &(usize, u8))| {
        let later = starts.get(at + 1..).unwrap_or_default();
        let next = later
            .iter()
            .find(|(_, other)| other <= depth)
            .map(|(number, _)| *number);
        let entries = tree.entries.get(*from..next.unwrap_or(tree.entries.len()))?;
        let end = next.and_then(|next| tree.entries.get(next)).map(|entry| entry.line);
        let lines = Lines::until(
            entries.first()?.line,
            end.unwrap_or(tree.lines.len()),
            &tree.lines,
            |line| !line.is_empty(),
        );
        Some(Block {
            depth: *depth,
            entries,
            lines,
        })
    };
    starts.iter().enumerate().filter_map(block).collect()
}

/// The head of a manual.
pub(super) fn manual_head(tree: &ManualTree) -> Option<Lines> {
    let is_first = |entry: &&RuleEntry| depth(&entry.rule).is_some();
    let end = tree.entries.iter().find(is_first).map(|entry| entry.line);
    head_lines(tree.entries.first().map(|entry| entry.line), end, &tree.lines)
}

/// A subject in words, as it is named in front of a figure, wherever its place was written.
pub(super) fn subject_words(subject: &Subject, text: &str) -> String {
    let fold = |span: Span| crate::judge::words::fold(span.text(text));
    let part = subject.part.map(fold);
    let place = subject.place.map(fold);
    crate::model::names::named(&fold(subject.feature), part.as_deref(), place.as_deref())
}

/// An offset taken back to the nearest place where a character begins, or to the end.
pub(super) fn previous_boundary(text: &str, offset: u32) -> u32 {
    let mut at = (offset as usize).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Whether a detail of an inspection is what was decided of the part.
pub(super) fn is_decision(detail: &str) -> bool {
    const DECISIONS: &[&str] = &["reuse", "watch", "repair", "machine", "replace"];
    DECISIONS.contains(&crate::model::names::key(detail).as_ref())
}

/// The entry that a zero-based line of a log belongs to: its own or one of those below it.
pub(super) fn entry_on(log: &Analysis, line: usize) -> Option<&Entry> {
    let entries = &log.tree.entries;
    let number = entries.partition_point(|entry| entry.line <= line).checked_sub(1)?;
    let entry = entries.get(number)?;
    (line < entry.line + entry.lines.max(1)).then_some(entry)
}
