//! Reads an edited log again by reading only the lines that the edit can reach. What comes out is the same as [`parse_log`] gives of the whole text:
//! a property test holds the two against each other.

use super::Span;
use super::ast::{Entry, LogTree, SyntaxError};
use super::lines::{Line, split_from};
use super::log::read_on;
use super::parse_log;
use super::spans::{Spans, moved, offset_moved};

/// Texts are compared in blocks of so many bytes first: a block at a time is as quick as the memory.
const BLOCK: usize = 4096;

/// The tree of `new`, made from the tree of `old`. The two texts may differ in any way; the nearer they are, the less is read.
///
/// An entry depends on its own lines and, where they are indented, on the entry above. So reading starts at the last entry above the first changed line, and
/// goes on until a line that is not indented begins an entry of the old tree.
pub fn reparse_log(mut tree: LogTree, old: &str, new: &str) -> LogTree {
    let Some(window) = Window::between(&tree.lines, old, new) else {
        return if old == new { tree } else { parse_log(new) };
    };
    // Entries above the window stay, but for the last of them, to which the changed lines may belong.
    let above = tree.entries.partition_point(|entry| entry.line < window.first);
    let kept = above.saturating_sub(1);
    let from = tree.entries.get(kept).map_or(0, |entry| entry.line).min(window.first);
    let from = if above == 0 { 0 } else { from };

    let mut lines = std::mem::take(&mut tree.lines);
    let tail: Vec<Line> = lines.split_off(window.old_end.min(lines.len()));
    lines.truncate(window.first);
    let grown = i64::from(len(new)) - i64::from(len(old));
    let start = lines.last().map_or(0, |line| line.end.end);
    let stop = tail
        .first()
        .map_or(len(new), |line| offset_moved(line.indent.start, grown));
    lines.extend(split_from(new, start as usize, stop as usize));
    let new_end = lines.len();
    lines.extend(tail.into_iter().map(|line| line_moved(line, grown)));
    let lines_grown = new_end as i64 - window.old_end as i64;

    let mut old_entries = std::mem::take(&mut tree.entries);
    let below: Vec<Entry> = old_entries.split_off(above.min(old_entries.len()));
    old_entries.truncate(kept);
    let mut below = below.into_iter().peekable();
    // An old entry is met again where a line that stands for itself begins it, below all that was changed.
    let mut met = |number: usize| {
        if number < new_end || lines.get(number).is_none_or(|line| line.is_indented(new)) {
            return false;
        }
        let old_number = number as i64 - lines_grown;
        while below.peek().is_some_and(|entry| (entry.line as i64) < old_number) {
            below.next();
        }
        below.peek().is_some_and(|entry| entry.line as i64 == old_number)
    };
    let (entries, mut errors, until) = read_on(new, &lines, old_entries, from, &mut met);

    let read_start = lines.get(from).map_or(0, |line| line.indent.start);
    let rest_start = lines.get(until).map_or(u32::MAX, |line| line.indent.start);
    let (before, after): (Vec<SyntaxError>, Vec<SyntaxError>) = std::mem::take(&mut tree.errors)
        .into_iter()
        .partition(|e| e.span.start < read_start);
    let after = after.into_iter().map(|error| error_moved(error, grown));
    let after: Vec<SyntaxError> = after.filter(|error| error.span.start >= rest_start).collect();
    let mut all = before;
    all.append(&mut errors);
    all.extend(after);

    tree.entries = entries;
    // Where nothing was met again, what is left of the old entries was changed.
    let is_met = until < lines.len();
    tree.entries.extend(below.filter(|_| is_met).map(|mut entry| {
        entry.line = (entry.line as i64 + lines_grown) as usize;
        if grown != 0 {
            entry.each_span(&mut |span| *span = moved(*span, grown));
        }
        entry
    }));
    tree.lines = lines;
    tree.errors = all;
    tree
}

/// The lines that an edit touched: `first..old_end` of the old text.
struct Window {
    first: usize,
    old_end: usize,
}

impl Window {
    /// What lies between what two texts have in common at their beginnings and at their ends; `None` where they are the same, or there is nothing to build on.
    fn between(lines: &[Line], old: &str, new: &str) -> Option<Window> {
        if lines.is_empty() || old == new {
            return None;
        }
        let (of_old, _) = changed(old, new);
        let (head, rest) = (of_old.start as usize, of_old.end as usize);
        // A line may begin with the common head itself; a return before it could take a new `\n` to its own end, so one line more is taken.
        let first = lines
            .partition_point(|line| (line.indent.start as usize) < head)
            .saturating_sub(1);
        // A line is common from its start on only if the end of the line above is common too.
        let old_end = lines.partition_point(|line| (line.indent.start as usize) <= rest);
        Some(Window {
            first,
            old_end: old_end.max(first),
        })
    }
}

/// What differs between two texts, of the old one and of the new: all that lies between what they have in common at their beginnings and at their ends. Empty where they
/// are the same. May lie inside a character.
pub fn changed(old: &str, new: &str) -> (Span, Span) {
    let head = common_head(old.as_bytes(), new.as_bytes());
    let most = old.len().min(new.len()) - head;
    let tail = common_tail(old.as_bytes(), new.as_bytes()).min(most);
    (Span::new(head, old.len() - tail), Span::new(head, new.len() - tail))
}

/// How many bytes two texts have in common at their start.
fn common_head(a: &[u8], b: &[u8]) -> usize {
    let blocks = a.chunks(BLOCK).zip(b.chunks(BLOCK)).take_while(|(a, b)| a == b);
    let known: usize = blocks.map(|(a, _)| a.len()).sum();
    let rest = a.iter().zip(b).skip(known).take_while(|(a, b)| a == b);
    known + rest.count()
}

/// How many bytes two texts have in common at their end.
fn common_tail(a: &[u8], b: &[u8]) -> usize {
    let blocks = a.rchunks(BLOCK).zip(b.rchunks(BLOCK)).take_while(|(a, b)| a == b);
    let known: usize = blocks.map(|(a, _)| a.len()).sum();
    let rest = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .skip(known)
        .take_while(|(a, b)| a == b);
    known + rest.count()
}

fn len(text: &str) -> u32 {
    u32::try_from(text.len()).unwrap_or(u32::MAX)
}

fn line_moved(line: Line, by: i64) -> Line {
    Line {
        indent: moved(line.indent, by),
        content: moved(line.content, by),
        gap: moved(line.gap, by),
        comment: moved(line.comment, by),
        end: moved(line.end, by),
    }
}

fn error_moved(mut error: SyntaxError, by: i64) -> SyntaxError {
    error.span = moved(error.span, by);
    if let Some((span, _)) = &mut error.suggestion {
        *span = moved(*span, by);
    }
    error
}
