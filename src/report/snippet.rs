//! The few lines a finding points at, made ready for the drawing of them.
//!
//! A snippet holds only what is shown: each line clipped and freed of control characters, lines of several files one
//! behind the other. The places are moved along with the lines. So nothing is ever searched for in the whole file, and
//! nothing that a file may hold reaches the terminal raw.

use std::collections::BTreeSet;

use miette::{LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use unicode_width::UnicodeWidthStr;

use super::visible::{Clipped, clip, one_line, wrap};
use crate::syntax::{Source, Span};

/// A place that covers more lines than this is shown by its first line.
const MOST_LINES: usize = 6;

/// Longest label, in characters.
const MOST_LABEL: usize = 400;

/// Columns a label gets, however far to the right it hangs.
const LEAST_LABEL: usize = 30;

/// A place to be shown.
pub struct Mark<'a> {
    /// The text it stands in.
    pub source: &'a Source,
    /// Where in that text.
    pub span: Span,
    /// What to write under it; may be empty.
    pub label: &'a str,
}

/// Lines that stand next to each other in one file.
struct Block {
    /// Name of the file, fit to be shown.
    name: String,
    /// Number of the first line, from zero.
    first: usize,
    /// Where each line begins in the text of the snippet.
    starts: Vec<usize>,
    /// Where the last line ends, its line end included.
    end: usize,
}

/// The lines that are shown with one finding; the source that the drawing reads from.
pub struct Snippet {
    text: String,
    blocks: Vec<Block>,
    labels: Vec<LabeledSpan>,
    /// Column from zero, in characters of the file, of each label.
    columns: Vec<(SourceSpan, usize)>,
}

impl Snippet {
    /// Gathers the lines of all marks, of which the first is the main one, clipped to `width` columns.
    pub fn new(marks: &[Mark<'_>], width: usize) -> Self {
        let mut snippet = Self {
            text: String::new(),
            blocks: Vec::new(),
            labels: Vec::new(),
            columns: Vec::new(),
        };
        let mut done: Vec<&Source> = Vec::new();
        for mark in marks {
            if done.iter().any(|source| std::ptr::eq(*source, mark.source)) {
                continue;
            }
            done.push(mark.source);
            let here: Vec<(usize, Place)> = marks
                .iter()
                .enumerate()
                .filter(|(_, other)| std::ptr::eq(other.source, mark.source))
                .map(|(number, other)| (number, Place::of(other.source, other.span)))
                .collect();
            snippet.add(mark.source, marks, &here, width);
        }
        // The drawing sorts them as well, and colours them by their number.
        snippet.labels.sort_by_key(LabeledSpan::offset);
        snippet
    }

    /// The labels, in the order in which the lines are shown. The flag says which is the main one.
    pub fn labels(&self) -> &[LabeledSpan] {
        &self.labels
    }

    /// Adds the lines of one file.
    fn add(&mut self, source: &Source, marks: &[Mark<'_>], here: &[(usize, Place)], width: usize) {
        let mut wanted: BTreeSet<usize> = here.iter().flat_map(|(_, place)| place.first..=place.last).collect();
        // A single line between two that are shown is shown too: that reads better than two boxes.
        let gaps: Vec<usize> = wanted
            .iter()
            .filter(|line| !wanted.contains(&(**line + 1)) && wanted.contains(&(**line + 2)))
            .map(|line| line + 1)
            .collect();
        wanted.extend(gaps);

        // The run of lines that holds the main place comes first, whatever its number.
        let mut runs = runs(&wanted);
        if let Some((_, main)) = here.first() {
            runs.sort_by_key(|run| !run.contains(&main.first));
        }
        for run in runs {
            self.add_run(source, marks, here, run, width);
        }
    }

    /// Adds lines that stand next to each other, and the labels on them.
    fn add_run(
        &mut self,
        source: &Source,
        marks: &[Mark<'_>],
        here: &[(usize, Place)],
        run: std::ops::Range<usize>,
        width: usize,
    ) {
        let mut starts = Vec::with_capacity(run.len());
        let mut shown: Vec<(usize, Clipped)> = Vec::with_capacity(run.len());
        for line in run.clone() {
            let (start, body) = body(source, line);
            let focus = here
                .iter()
                .find(|(_, place)| place.first == line)
                .map_or(0, |(_, place)| place.start.saturating_sub(start));
            let clipped = clip(body, focus, width);
            starts.push(self.text.len());
            self.text.push_str(&clipped.text);
            self.text.push('\n');
            shown.push((start, clipped));
        }
        let at = |line: usize, offset: usize| -> Option<usize> {
            let number = line.checked_sub(run.start)?;
            let (start, clipped) = shown.get(number)?;
            Some(starts.get(number)? + clipped.at(offset.saturating_sub(*start)))
        };
        for (number, place) in here {
            if !run.contains(&place.first) {
                continue;
            }
            let (Some(start), Some(end)) = (at(place.first, place.start), at(place.last, place.end)) else {
                continue;
            };
            let span = SourceSpan::from((start, end.saturating_sub(start)));
            let label = marks
                .get(*number)
                .map(|mark| one_line(mark.label, MOST_LABEL))
                .filter(|label| !label.is_empty());
            // A label hangs from the middle of its place; a long one goes on below itself and not out of the window.
            let middle = self.middle(line_start(&starts, start), start, end);
            let room = width.saturating_sub(middle).max(LEAST_LABEL);
            let label = label.map(|label| wrap(&label, room, ""));
            self.labels.push(if *number == 0 {
                LabeledSpan::new_primary_with_span(label, span)
            } else {
                LabeledSpan::new_with_span(label, span)
            });
            let column = source
                .lines
                .place(Span::new(place.start, place.start).start, &source.text)
                .column;
            self.columns.push((span, column.saturating_sub(1)));
        }
        self.blocks.push(Block {
            name: one_line(&source.name, 400),
            first: run.start,
            starts,
            end: self.text.len(),
        });
        // A byte that belongs to no block, so that no span can end in one and be empty at the start of the next.
        self.text.push('\n');
    }

    /// Column of the middle of a place, on the line that begins at `line`.
    fn middle(&self, line: usize, start: usize, end: usize) -> usize {
        let before = self.text.get(line..start).map_or(0, UnicodeWidthStr::width);
        let under = self.text.get(start..end).map_or(0, UnicodeWidthStr::width);
        before + under / 2
    }
}

/// Where the line begins that holds an offset.
fn line_start(starts: &[usize], offset: usize) -> usize {
    let next = starts.partition_point(|start| *start <= offset);
    starts.get(next.saturating_sub(1)).copied().unwrap_or(offset)
}

/// A span with the lines it covers, cut to what can be shown.
struct Place {
    start: usize,
    end: usize,
    first: usize,
    last: usize,
}

impl Place {
    fn of(source: &Source, span: Span) -> Self {
        let length = source.text.len();
        let start = (span.start as usize).min(length);
        let end = (span.end as usize).clamp(start, length);
        let first = source.lines.line_of(Span::new(start, start).start);
        let final_byte = if end > start { end - 1 } else { start };
        let last = source.lines.line_of(Span::new(final_byte, final_byte).start).max(first);
        let last = if last - first < MOST_LINES { last } else { first };
        let (line_start, body) = body(source, last);
        Self {
            start,
            end: end.min(line_start + body.len()).max(start),
            first,
            last,
        }
    }
}

/// Where a line begins, and the line without its end.
fn body(source: &Source, line: usize) -> (usize, &str) {
    let span = source.lines.line_span(line, &source.text);
    let body = span.text(&source.text).trim_end_matches(['\r', '\n']);
    (span.start as usize, body)
}

/// Splits line numbers into runs without a gap.
fn runs(lines: &BTreeSet<usize>) -> Vec<std::ops::Range<usize>> {
    let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
    for line in lines {
        match runs.last_mut() {
            Some(run) if run.end == *line => run.end += 1,
            _ => runs.push(*line..*line + 1),
        }
    }
    runs
}

impl SourceCode for Snippet {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _context_lines_before: usize,
        _context_lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let start = span.offset();
        let end = start + span.len();
        // A span over two blocks is refused, so that they are drawn apart.
        let block = self
            .blocks
            .iter()
            .find(|block| {
                block.starts.first().is_some_and(|first| *first <= start) && start < block.end && end <= block.end
            })
            .ok_or(MietteError::OutOfBounds)?;
        let number = block.starts.partition_point(|line| *line <= start).saturating_sub(1);
        let from = block.starts.get(number).copied().unwrap_or(start);
        // The rest of the block always comes along, and so does the count of its lines: all labels of a block then
        // share one box.
        let to = block.end;
        let data = self.text.as_bytes().get(from..to).ok_or(MietteError::OutOfBounds)?;
        let column = self
            .columns
            .iter()
            .find(|(label, _)| label == span)
            .map_or(0, |(_, column)| *column);
        Ok(Box::new(MietteSpanContents::new_named(
            block.name.clone(),
            data,
            SourceSpan::from((from, to - from)),
            block.first + number,
            column,
            block.starts.len() - number,
        )))
    }
}
