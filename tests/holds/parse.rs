//! Reading a log and a manual never fails: nothing is lost, every place lies in the text, every line is said or named.

use std::fmt::Debug;

use gudgeon::syntax::ast::{LogTree, Rule, Statement, SyntaxError};
use gudgeon::syntax::spans::Spans;
use gudgeon::syntax::{Line, LineIndex, Span, parse_log, parse_manual};

use super::input;

pub fn holds(bytes: &[u8]) {
    let text = &input::text(bytes);

    let mut log = parse_log(text);
    assert_lines(&log.lines, text);
    assert_errors(&log.errors, text);
    let mut unread = 0;
    let mut owned = vec![false; log.lines.len()];
    for entry in &mut log.entries {
        assert_fits(entry.span, text, &entry.statement);
        assert!(
            entry.lines >= 1 && entry.line + entry.lines <= log.lines.len(),
            "{entry:?}"
        );
        owned[entry.line..entry.line + entry.lines].fill(true);
        unread += usize::from(matches!(entry.statement, Statement::Unread));
        let mut spans = Vec::new();
        entry.statement.each_span(&mut |span| spans.push(*span));
        spans.iter().for_each(|span| assert_fits(*span, text, &entry.statement));
    }
    for (line, is_owned) in log.lines.iter().zip(owned) {
        assert!(line.is_empty() || is_owned, "nobody says {:?}", line.content.text(text));
    }
    assert!(unread <= log.errors.len(), "a line was not read, and nobody says so");
    assert_forgetful(text);

    let mut manual = parse_manual(text);
    assert_lines(&manual.lines, text);
    assert_errors(&manual.errors, text);
    let mut unread = 0;
    for entry in &mut manual.entries {
        assert_fits(entry.span, text, &entry.rule);
        unread += usize::from(matches!(entry.rule, Rule::Unread));
        let mut spans = Vec::new();
        entry.rule.each_span(&mut |span| spans.push(*span));
        spans.iter().for_each(|span| assert_fits(*span, text, &entry.rule));
    }
    assert!(unread <= manual.errors.len(), "a line was not read, and nobody says so");
}

/// Lines with other figures, read by a thread that knows those of `text`, say what they say to one that knows none.
fn assert_forgetful(text: &str) {
    let others = with_other_figures(text, 3);
    let (known, fresh) = (parse_log(&others), fresh(&others));
    for (known, fresh) in known.entries.iter().zip(&fresh.entries) {
        assert_eq!(known, fresh, "{:?}", fresh.span.text(&others));
    }
    assert_eq!(known.entries.len(), fresh.entries.len());
    assert_eq!(known.errors, fresh.errors);
}

/// Read by a thread that has read nothing before, so that no line is known to it.
pub fn fresh(text: &str) -> LogTree {
    std::thread::scope(|scope| scope.spawn(|| parse_log(text)).join()).expect("reading does not panic")
}

/// The same with each figure so much further: by 3, 1 becomes 4 and 8 becomes 1.
pub fn with_other_figures(text: &str, by: u32) -> String {
    let other = |c: char| {
        let figure = c.to_digit(10);
        figure.and_then(|d| char::from_digit((d + by) % 10, 10)).unwrap_or(c)
    };
    text.chars().map(other).collect()
}

/// The parts of the lines, one after the other, are the text; the table of lines knows the same ones.
fn assert_lines(lines: &[Line], text: &str) {
    let joined: String = lines.iter().flat_map(Line::parts).map(|part| part.text(text)).collect();
    assert_eq!(joined, text);
    let index = LineIndex::new(text);
    for (number, line) in lines.iter().enumerate() {
        assert_eq!(index.line_span(number, text), line.span());
    }
}

fn assert_errors(errors: &[SyntaxError], text: &str) {
    for error in errors {
        assert_fits(error.span, text, error);
        assert!(!error.message.is_empty() && !error.help.is_empty(), "{error:?}");
        if let Some((span, _)) = &error.suggestion {
            assert_fits(*span, text, error);
        }
    }
}

/// A span lies in the text, on the boundaries of characters.
fn assert_fits(span: Span, text: &str, of: &dyn Debug) {
    assert!(text.get(span.range()).is_some(), "{span:?} of {of:?}");
}
