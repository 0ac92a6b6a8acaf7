//! Splits a text into lines, and each line into its parts. Total: every byte of the text belongs to exactly one part.

use super::span::Span;

/// A line longer than this many bytes is kept but not read: no bench note is that long, and a bound keeps hostile input cheap.
pub const LONGEST_LINE: usize = 16 * 1024;

/// One line of a text. `indent`, `content`, `gap`, `comment` and `end` follow each other without a hole; joined over all lines they
/// give the text back byte for byte.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Leading blanks; on the first line a byte order mark too.
    pub indent: Span,
    /// What the line says, without blanks at either end.
    pub content: Span,
    /// Blanks between the content and the comment or the line end.
    pub gap: Span,
    /// The comment with its `#`, without the line end.
    pub comment: Span,
    /// `\n`, `\r\n`, `\r`, or nothing on the last line.
    pub end: Span,
}

impl Line {
    /// The whole line with its end.
    pub fn span(&self) -> Span {
        self.indent.to(self.end)
    }

    /// The five parts in order.
    pub fn parts(&self) -> [Span; 5] {
        [self.indent, self.content, self.gap, self.comment, self.end]
    }

    /// Whether the line stands under the line above it. A byte order mark is no indentation.
    pub fn is_indented(&self, text: &str) -> bool {
        self.indent.text(text).trim_start_matches('\u{FEFF}').len().gt(&0)
    }

    /// How far the line is indented, in columns; a tab goes to the next multiple of eight.
    pub fn indent_width(&self, text: &str) -> usize {
        let blanks = self.indent.text(text).chars();
        blanks.fold(0, |width, blank| match blank {
            '\t' => (width / 8 + 1) * 8,
            '\u{FEFF}' => width,
            _ => width + 1,
        })
    }

    /// Whether the line says nothing (a comment may be there).
    pub fn is_empty(&self) -> bool {
        self.content.is_empty()
    }
}

/// Splits a text into its lines. The last line has no end; a text that ends in a line end has no empty line after it.
pub fn split(text: &str) -> Vec<Line> {
    let mut lines = Vec::with_capacity(text.len() / 24 + 1);
    lines.extend(split_from(text, 0, text.len()));
    lines
}

/// How a line that is added below another is parted from it: as that one ends itself, or the one above it where the file ends there.
pub fn newline_at(lines: &[Line], number: usize, text: &str) -> &'static str {
    let end = |number: usize| {
        lines
            .get(number)
            .map(|line| line.end.text(text))
            .filter(|end| !end.is_empty())
    };
    match end(number).or_else(|| end(number.checked_sub(1)?)) {
        Some("\r\n") => "\r\n",
        _ => "\n",
    }
}

/// The lines between two offsets at which lines begin (or the text ends).
pub fn split_from(text: &str, start: usize, stop: usize) -> impl Iterator<Item = Line> + '_ {
    let bytes = text.as_bytes();
    let mut start = start;
    std::iter::from_fn(move || {
        if start >= stop.min(bytes.len()) {
            return None;
        }
        let rest = bytes.get(start..).unwrap_or_default();
        let length = memchr::memchr2(b'\n', b'\r', rest).unwrap_or(rest.len());
        let stop = start + length;
        let end = match (bytes.get(stop), bytes.get(stop + 1)) {
            (Some(b'\r'), Some(b'\n')) => stop + 2,
            (Some(_), _) => stop + 1,
            (None, _) => stop,
        };
        let line = parts(text, start, stop, end);
        start = end;
        Some(line)
    })
}

/// Cuts one line, `start..stop` without its end and `stop..end` its end, into its parts.
fn parts(text: &str, start: usize, stop: usize, end: usize) -> Line {
    let body = text.get(start..stop).unwrap_or("");
    let comment_at = comment_start(body).unwrap_or(body.len());
    let said = body.get(..comment_at).unwrap_or("");
    let trimmed = said.trim_start_matches(is_blank);
    let indent = said.len() - trimmed.len();
    let content = trimmed.trim_end_matches(is_blank).len();
    let at = |offset: usize| start + offset;
    Line {
        indent: Span::new(start, at(indent)),
        content: Span::new(at(indent), at(indent + content)),
        gap: Span::new(at(indent + content), at(comment_at)),
        comment: Span::new(at(comment_at), stop),
        end: Span::new(stop, end),
    }
}

/// A byte order mark counts as a blank, so that it never becomes part of the first word.
fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{A0}' | '\u{FEFF}')
}

/// Where the comment begins: a `#` at the start of the line or behind a blank.
fn comment_start(body: &str) -> Option<usize> {
    body.match_indices('#').map(|(at, _)| at).find(|at| {
        body.get(..*at)
            .and_then(|before| before.chars().next_back())
            .is_none_or(is_blank)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(text: &str) -> String {
        split(text)
            .iter()
            .flat_map(Line::parts)
            .map(|part| part.text(text))
            .collect()
    }

    #[test]
    fn every_byte_belongs_to_one_part() {
        for text in [
            "",
            "\n",
            "a",
            "a\r\nb\rc\n\n",
            "\u{FEFF}job x # why\n\t  web = 1 mm  # \r\n",
            "#\n #x\n x#y\n",
            "\u{A0}é# \u{A0}#汉",
        ] {
            assert_eq!(joined(text), text);
        }
    }

    #[test]
    fn a_hash_inside_a_word_is_no_comment() {
        let text = "got kit: number 12#4 # from the shelf";
        let line = split(text)[0];
        assert_eq!(line.content.text(text), "got kit: number 12#4");
        assert_eq!(line.comment.text(text), "# from the shelf");
    }

    #[test]
    fn a_byte_order_mark_is_no_indentation() {
        let text = "\u{FEFF}job x";
        let line = split(text)[0];
        assert!(!line.is_indented(text));
        assert_eq!(line.content.text(text), "job x");
    }
}
