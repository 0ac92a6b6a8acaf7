//! What is said about a line that could not be read.

use super::Span;
use super::ast::SyntaxError;
use super::lines::{LONGEST_LINE, Line};
use super::said::Said;

/// Something read, or why it could not be.
pub(super) type Read<T> = Result<T, Box<SyntaxError>>;

/// An error about a line.
pub(super) fn unread(span: Span, message: impl Into<String>, help: impl Into<String>) -> Box<SyntaxError> {
    Box::new(SyntaxError {
        code: "line.unread",
        span,
        message: message.into(),
        help: help.into(),
        suggestion: None,
    })
}

/// The words from a byte on, and the byte where they begin; cut short for a message if they are many.
pub(super) fn rest_of(text: &str, at: usize) -> (usize, String) {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let rest = text.get(at..).unwrap_or("");
    let lead = rest.len() - rest.trim_start().len();
    (at + lead, shortened(rest.trim()))
}

/// At most 40 characters of a text, with an ellipsis if that is not all of it.
pub(super) fn shortened(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or("").trim_end()),
        None => text.to_owned(),
    }
}

/// The usual answer where a rule gave up.
pub(super) fn stuck(said: Said<'_>, at: usize, what: &str, help: &str) -> Box<SyntaxError> {
    let (at, rest) = rest_of(said.text, at);
    if rest.is_empty() {
        unread(
            said.span(),
            format!("something is missing at the end of this {what}"),
            help,
        )
    } else {
        unread(
            said.skip(at).span(),
            format!("`{rest}` is not understood in this {what}"),
            help,
        )
    }
}

/// A line that is not given to the grammar at all.
pub(super) fn unreadable(line: &Line, text: &str) -> Option<Box<SyntaxError>> {
    let said = Said::new(line.content, text);
    if said.text.len() > LONGEST_LINE {
        return Some(Box::new(SyntaxError {
            code: "text.long-line",
            span: Span {
                end: line.content.start,
                ..line.content
            },
            message: format!(
                "this line has {} bytes; no more than {LONGEST_LINE} are read on one line",
                said.text.len()
            ),
            help: "break it into several lines; it is kept as it is, and the rest of the file was read".to_owned(),
            suggestion: None,
        }));
    }
    let (at, found) = control(said.text)?;
    let name = if found == '\0' {
        "a NUL byte".to_owned()
    } else {
        format!("a control character (U+{:04X})", u32::from(found))
    };
    let start = said.base + at;
    Some(Box::new(SyntaxError {
        code: "text.control",
        span: Span::new(start, start + found.len_utf8()),
        message: format!("{name} stands in this line, so it is not read"),
        help: "delete it; the line is kept as it is, and the rest of the file was read".to_owned(),
        suggestion: None,
    }))
}

/// The first control character that is not a tab. The bytes are looked at first: nearly no line has one.
fn control(text: &str) -> Option<(usize, char)> {
    let suspect = |byte: &u8| (*byte < 0x20 && *byte != b'\t') || *byte == 0x7F || *byte == 0xC2;
    if !text.as_bytes().iter().any(suspect) {
        return None;
    }
    text.char_indices().find(|(_, c)| c.is_control() && *c != '\t')
}
