//! Tidy layout as edits: of a page, of some of its lines, of the line just ended.
//!
//! What is neat is said by [`tidy`], and by nothing here: its text is held against the page line by line, and only the changed middle of a line is an edit. A
//! range takes the entries it touches, with the columns that their neighbours give them; its edits are only given if the text then still means the same,
//! which is seen by its tidy layout being the same.

use super::Page;
use crate::judge::Edit;
use crate::syntax::ast::{Rule, Statement, Value};
use crate::syntax::layout::tidy;
use crate::syntax::{Line, Span};

/// Indentation of the rows of a table, as `tidy` has it.
const ROWS: usize = 3;

/// Indentation of what belongs to an entry, as `tidy` has it.
const DETAILS: usize = 2;

/// The changes that lay the whole page out neatly, as small as can be, so that marks and cursors stay. Empty if it is neat already.
pub fn format(page: &Page) -> Vec<Edit> {
    to(page, &tidy(page.text(), page.kind()))
}

/// The edits that make a page its tidy text.
fn to(page: &Page, laid: &str) -> Vec<Edit> {
    let text = page.text();
    let edits = by_line(text, page.lines(), laid);
    if apply(text, &edits) == laid {
        return edits;
    }
    middle(Span::new(0, text.len()), text, laid).into_iter().collect()
}

/// The same for the entries that a span touches, and no others: every line of them, and the remarks and empty lines that it touches besides. None where the
/// rest as it stands would make something else of them.
pub fn format_range(page: &Page, span: Span) -> Vec<Edit> {
    let touched = lines_touched(page, span);
    let laid = tidy(page.text(), page.kind());
    kept_meaning(page, &laid, to(page, &laid), |line| {
        touched.iter().any(|lines| lines.contains(&line))
    })
}

/// After a newline typed at an offset (the start of the new line, or where its blanks end): lays out the line above it, and carries on what was begun: the next row of a
/// table under its columns, the indent of an entry. An empty line ends it.
pub fn on_newline(page: &Page, offset: u32) -> Vec<Edit> {
    let text = page.text();
    let mut offset = (offset as usize).min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let lines = &page.source().lines;
    let number = lines.line_of(u32::try_from(offset).unwrap_or(u32::MAX));
    let Some(above) = number.checked_sub(1) else {
        return Vec::new();
    };
    let own = lines.line_span(number, text);
    let body = own.text(text).trim_end_matches(['\r', '\n']);
    let is_empty = page
        .lines()
        .get(above)
        .is_none_or(|line| line.is_empty() && line.comment.is_empty());
    let mut edits = if is_empty {
        emptied(page, above)
    } else {
        laid_above(page, above)
    };
    // What stands behind the cursor already is left where it is.
    if !body.chars().all(is_blank) {
        return edits;
    }
    let wanted = if is_empty { Some(0) } else { carried(page, above) };
    if let Some(wanted) = wanted
        && body != " ".repeat(wanted)
    {
        let start = own.start as usize;
        edits.push(Edit {
            span: Span::new(start, start + body.len()),
            text: " ".repeat(wanted),
        });
    }
    edits
}

/// The layout of the line above, with what belongs to it above that: a row moves the columns of its table. No line goes, and no line end.
fn laid_above(page: &Page, above: usize) -> Vec<Edit> {
    let first = match page {
        Page::Log(log) => {
            let at = log.tree.entries.partition_point(|entry| entry.line <= above);
            let entry = at.checked_sub(1).and_then(|at| log.tree.entries.get(at));
            entry
                .filter(|entry| above < entry.line + entry.lines)
                .map_or(above, |entry| entry.line)
        }
        Page::Manual(_) => above,
    };
    let lines = page.lines();
    let laid = tidy(page.text(), page.kind());
    let mut all = to(page, &laid);
    all.retain(|edit| {
        let at = lines.partition_point(|line| line.span().start <= edit.span.start);
        let line = at.checked_sub(1).and_then(|at| lines.get(at));
        line.is_some_and(|line| edit.span.end <= line.end.start && !edit.text.ends_with('\n') && !line.is_empty())
    });
    kept_meaning(page, &laid, all, |line| (first..=above).contains(&line))
}

/// The blanks on an empty line, taken away.
fn emptied(page: &Page, line: usize) -> Vec<Edit> {
    let blanks = page.lines().get(line).map(|line| line.indent.to(line.gap));
    let blanks = blanks.filter(|blanks| !blanks.is_empty() && blanks.text(page.text()).chars().all(is_blank));
    blanks
        .into_iter()
        .map(|span| Edit {
            span,
            text: String::new(),
        })
        .collect()
}

fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{A0}')
}

/// How far the line below a line is to be indented, where something goes on; `None` where nothing does.
fn carried(page: &Page, above: usize) -> Option<usize> {
    let text = page.text();
    let line = page.lines().get(above)?;
    match page {
        Page::Log(log) => {
            let at = log.tree.entries.partition_point(|entry| entry.line <= above);
            let entry = log.tree.entries.get(at.checked_sub(1)?)?;
            let is_first = entry.line == above;
            if !is_first && above >= entry.line + entry.lines {
                return None;
            }
            let is_table = matches!(&entry.statement, Statement::Reading(reading)
                if matches!(reading.figure.value, Value::Empty | Value::Words(_)) && (!is_first || reading.details.is_empty()));
            let goes_on = line.content.text(text).ends_with([',', ';']);
            match (is_table, is_first) {
                (true, _) => Some(ROWS),
                (false, false) => Some(DETAILS.max(line.indent_width(text).min(2 * DETAILS))),
                (false, true) if goes_on => Some(line.indent_width(text) + DETAILS),
                (false, true) => None,
            }
        }
        Page::Manual(manual) => {
            let at = manual.tree.entries.partition_point(|entry| entry.line <= above);
            let entry = manual.tree.entries.get(at.checked_sub(1)?)?;
            if entry.line != above {
                return None;
            }
            match &entry.rule {
                Rule::Feature(_) | Rule::Calc(..) | Rule::Precaution(_) | Rule::Procedure(_) => Some(DETAILS),
                Rule::Unread => None,
                _ if line.is_indented(text) => Some(line.indent_width(text)),
                _ => None,
            }
        }
    }
}

/// Of some edits those on the lines that are wanted, if the text then still means what it did.
fn kept_meaning(page: &Page, laid: &str, all: Vec<Edit>, wanted: impl Fn(usize) -> bool) -> Vec<Edit> {
    let text = page.text();
    let lines = &page.source().lines;
    let on_line = |edit: &Edit| {
        let first = lines.line_of(edit.span.start);
        // The line end belongs to its line.
        let last = lines.line_of(edit.span.end.saturating_sub(1).max(edit.span.start));
        (first..=last).all(&wanted)
    };
    let some: Vec<Edit> = all.into_iter().filter(on_line).collect();
    if some.is_empty() {
        return some;
    }
    let partly = apply(text, &some);
    if tidy(&partly, page.kind()) == laid {
        some
    } else {
        Vec::new()
    }
}

/// The lines of the entries that a span touches, and those it touches itself.
fn lines_touched(page: &Page, span: Span) -> Vec<std::ops::Range<usize>> {
    let lines = &page.source().lines;
    let first = lines.line_of(span.start);
    // A span that ends where a line begins does not touch that line.
    let last = lines.line_of(if span.end > span.start { span.end - 1 } else { span.end });
    let mut touched: Vec<std::ops::Range<usize>> = Vec::new();
    touched.push(first..last + 1);
    if let Page::Log(log) = page {
        let own = |entry: &crate::syntax::ast::Entry| entry.line..entry.line + entry.lines;
        let all = log.tree.entries.iter().map(own);
        touched.extend(all.filter(|lines| lines.start <= last && first < lines.end));
    }
    touched
}

/// The edits that make one text of the other, line by line. Lines that say something stand in both, in the same order; only empty ones go.
fn by_line(text: &str, lines: &[Line], laid: &str) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut new = laid.split_inclusive('\n').peekable();
    let is_empty = |line: &str| {
        line.trim_end_matches(['\r', '\n'])
            .trim_start_matches('\u{FEFF}')
            .is_empty()
    };
    for line in lines {
        let blank = line.is_empty() && line.comment.is_empty();
        let next = match new.peek() {
            Some(next) if blank == is_empty(next) => new.next().unwrap_or(""),
            _ => "",
        };
        edits.extend(middle(line.span(), text, next));
    }
    edits
}

/// The edit that makes a span of a text another text: what is alike at both ends is left out; `None` if nothing is to be changed.
fn middle(span: Span, text: &str, new: &str) -> Option<Edit> {
    let old = span.text(text);
    if old == new {
        return None;
    }
    let same = |(a, b): &(char, char)| a == b;
    let front: usize = old
        .chars()
        .zip(new.chars())
        .take_while(same)
        .map(|(c, _)| c.len_utf8())
        .sum();
    let (old_rest, new_rest) = (old.get(front..)?, new.get(front..)?);
    let back: usize = old_rest
        .chars()
        .rev()
        .zip(new_rest.chars().rev())
        .take_while(same)
        .map(|(c, _)| c.len_utf8())
        .sum();
    let start = span.start as usize + front;
    Some(Edit {
        span: Span::new(start, span.end as usize - back),
        text: new_rest.get(..new_rest.len() - back)?.to_owned(),
    })
}

/// A text with its edits carried out; they are in order and do not overlap.
fn apply(text: &str, edits: &[Edit]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        out.push_str(text.get(at..edit.span.start as usize).unwrap_or(""));
        out.push_str(&edit.text);
        at = edit.span.end as usize;
    }
    out.push_str(text.get(at..).unwrap_or(""));
    out
}
