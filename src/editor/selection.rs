//! What to select next: from the figure to its field, its line, its entry, its day, the page.

use super::Page;
use super::shape::{Lines, blocks, day_lines, log_head, manual_head, previous_boundary};
use crate::syntax::Span;
use crate::syntax::ast::{FixTarget, Statement};
use crate::syntax::spans::Spans;

/// The spans around an offset, the smallest first, each strictly within the next; the last is the page.
pub fn selections(page: &Page, offset: u32) -> Vec<Span> {
    let text = page.text();
    let offset = previous_boundary(text, offset);
    let mut list: Vec<Span> = Vec::new();
    // The largest first, so that what does not fit into it is left out.
    list.push(Span::new(0, text.len()));
    let line = page.source().lines.line_of(offset);
    for lines in around(page, line) {
        narrow(&mut list, lines.whole(page.lines()), offset);
    }
    if let Some(own) = page.lines().get(line) {
        narrow(&mut list, own.span(), offset);
        for part in [own.content, own.comment] {
            narrow(&mut list, part, offset);
        }
        let mut fields = fields(page, line);
        // Of two as long, one that ends here and one that begins here, the one that begins.
        fields.sort_by_key(|span| std::cmp::Reverse((span.len(), span.end <= offset)));
        for field in fields {
            narrow(&mut list, field, offset);
        }
        narrow(&mut list, word(text, own.content.to(own.comment), offset), offset);
    }
    list.reverse();
    list
}

/// Adds a span if it holds the offset and is strictly within the last.
fn narrow(list: &mut Vec<Span>, span: Span, offset: u32) {
    let Some(outer) = list.last() else { return };
    let holds = span.start <= offset && offset <= span.end;
    let is_within = outer.start <= span.start && span.end <= outer.end && span != *outer;
    if holds && is_within && !span.is_empty() {
        list.push(span);
    }
}

/// Lines that belong together and hold a line, the most first.
fn around(page: &Page, line: usize) -> Vec<Lines> {
    let mut list: Vec<Lines> = match page {
        Page::Log(log) => {
            let entries = &log.tree.entries;
            let after = entries.partition_point(|entry| entry.line <= line);
            let entry = after.checked_sub(1).and_then(|at| entries.get(at));
            log_head(&log.tree)
                .into_iter()
                .chain(day_lines(&log.tree))
                .chain(entry.map(Lines::of_entry))
                .collect()
        }
        Page::Manual(manual) => {
            let blocks = blocks(&manual.tree).into_iter().map(|block| block.lines);
            manual_head(&manual.tree).into_iter().chain(blocks).collect()
        }
    };
    list.retain(|lines| lines.first <= line && line <= lines.last);
    list.sort_by_key(|lines| std::cmp::Reverse(lines.last - lines.first));
    list
}

/// Everything on a line that has a place of its own: names, figures with their units, details.
fn fields(page: &Page, line: usize) -> Vec<Span> {
    let mut list: Vec<Span> = Vec::new();
    match page {
        Page::Log(log) => {
            let entries = &log.tree.entries;
            let after = entries.partition_point(|entry| entry.line <= line);
            let entry = after.checked_sub(1).and_then(|at| entries.get(at));
            if let Some(entry) = entry {
                match &entry.statement {
                    Statement::Reading(reading) => list.push(reading.subject.span()),
                    Statement::Fix { target, .. } => {
                        if let FixTarget::Reading(subject) = &**target {
                            list.push(subject.span());
                        }
                    }
                    _ => {}
                }
                all_of(&mut entry.statement.clone(), page.text(), &mut list);
            }
        }
        Page::Manual(manual) => {
            let entries = &manual.tree.entries;
            let at = entries.partition_point(|entry| entry.line < line);
            if let Some(entry) = entries.get(at).filter(|entry| entry.line == line) {
                all_of(&mut entry.rule.clone(), page.text(), &mut list);
            }
        }
    }
    list
}

/// Every span of a line, and each figure together with the unit behind it.
fn all_of(said: &mut dyn Spans, text: &str, list: &mut Vec<Span>) {
    let mut last = Span::default();
    said.each_span(&mut |span| {
        let between = Span {
            start: last.end.min(span.start),
            end: span.start,
        };
        let is_figure = last.text(text).ends_with(|c: char| c.is_ascii_digit());
        let is_unit = !span
            .text(text)
            .contains(|c: char| c.is_ascii_digit() || c.is_whitespace());
        if is_figure && is_unit && last.end <= span.start && between.text(text).trim().is_empty() {
            list.push(last.to(*span));
        }
        list.push(*span);
        last = *span;
    });
}

/// The word at an offset, or that ends there: letters and figures without a blank or a comma between; a decimal comma is part of it.
fn word(text: &str, line: Span, offset: u32) -> Span {
    let said = line.text(text);
    let at = (offset.saturating_sub(line.start) as usize).min(said.len());
    let (Some(before), Some(behind)) = (said.get(..at), said.get(at..)) else {
        return Span::default();
    };
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let ends = |(at, c): (usize, char)| {
        let between = digit(said.get(..at).and_then(|s| s.chars().next_back()))
            && digit(said.get(at + c.len_utf8()..).and_then(|s| s.chars().next()));
        let is_mark = matches!(c, ',' | ';' | ':' | '=' | '(' | ')' | '"');
        c.is_whitespace() || (is_mark && !between)
    };
    let start = before
        .char_indices()
        .rfind(|(i, c)| ends((*i, *c)))
        .map_or(0, |(i, c)| i + c.len_utf8());
    let end = behind
        .char_indices()
        .find(|(i, c)| ends((at + *i, *c)))
        .map_or(said.len(), |(i, _)| at + i);
    let base = line.start as usize;
    Span::new(base + start, base + end)
}
