//! A piece of a line together with the place where it begins in the whole text: what every reader below is given.

use pest::RuleType;
use pest::iterators::Pair;

use super::Span;
use super::ast::Amount;

/// What counts as a blank between words.
pub(super) const BLANKS: [char; 3] = [' ', '\t', '\u{A0}'];

/// How many bytes the figure takes at the start of an amount: a decimal, a ratio, a fraction, a whole number with a fraction.
fn figure_length(text: &str) -> usize {
    let digits = |text: &str| {
        let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','));
        end.unwrap_or(text.len())
    };
    let unsigned = text.trim_start_matches(['+', '-', '\u{2212}']);
    let figure = digits(unsigned);
    let rest = unsigned.get(figure..).unwrap_or("");
    let longer = match rest.as_bytes().first() {
        Some(b':' | b'/') => 1 + digits(rest.get(1..).unwrap_or("")),
        Some(b' ' | b'\t' | b'-' | 0xC2) => {
            let above = rest.strip_prefix('-').unwrap_or(rest).trim_start_matches(BLANKS);
            let before = rest.len() - above.len() + digits(above);
            // Without a `/` behind it the second figure is none of this one's.
            match above.get(digits(above)..).and_then(|rest| rest.strip_prefix('/')) {
                Some(below) if before > rest.len() - above.len() => before + 1 + digits(below),
                _ => 0,
            }
        }
        _ => 0,
    };
    text.len() - unsigned.len() + figure + longer
}

/// Text of one line, or the end of one, and the byte at which it begins in the file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Said<'a> {
    pub text: &'a str,
    pub base: usize,
}

impl<'a> Said<'a> {
    pub fn new(span: Span, source: &'a str) -> Self {
        Self {
            text: span.text(source),
            base: span.start as usize,
        }
    }

    /// All of it.
    pub fn span(self) -> Span {
        Span::new(self.base, self.base + self.text.len())
    }

    /// The same without its first bytes; empty if there are not so many or a character would be cut.
    pub fn skip(self, bytes: usize) -> Self {
        Self {
            text: self.text.get(bytes..).unwrap_or(""),
            base: self.base + bytes.min(self.text.len()),
        }
    }

    /// The end of it that `rest` is; `rest` must be a tail of the text.
    fn tail(self, rest: &'a str) -> Self {
        self.skip(self.text.len() - rest.len())
    }

    /// The first word, and what follows it; blanks and one colon between them are dropped (`note: …` is `note …`).
    pub fn first_word(self) -> (Self, Self) {
        // By its bytes, of which a hard blank has two, as nearly every line comes through here.
        let end = (self.text.bytes())
            .position(|byte| matches!(byte, b' ' | b'\t' | b':' | b'=' | 0xC2))
            .map_or(self.text.len(), |at| {
                let (before, behind) = self.text.split_at_checked(at).unwrap_or((self.text, ""));
                before.len() + behind.find([' ', '\t', '\u{A0}', ':', '=']).unwrap_or(behind.len())
            });
        let (word, rest) = self.text.split_at(end);
        let rest = rest.trim_start_matches(BLANKS);
        let rest = rest.strip_prefix(':').unwrap_or(rest);
        let word = Self {
            text: word,
            base: self.base,
        };
        (word, self.tail(rest.trim_start_matches(BLANKS)))
    }

    /// The same without blanks in front.
    pub fn trim_start(self) -> Self {
        self.tail(self.text.trim_start_matches(BLANKS))
    }

    /// A figure with the unit behind it, from the one pair that holds both.
    pub fn amount<R: RuleType>(self, pair: &Pair<'_, R>) -> Amount {
        let whole = self.span_of(pair);
        let text = pair.as_str();
        let figure = figure_length(text);
        let behind = text.get(figure..).unwrap_or("");
        let unit = text.len() - behind.trim_start_matches(BLANKS).len();
        let start = self.base + pair.as_span().start();
        Amount {
            number: Span::new(start, start + figure),
            unit: (unit < whole.len()).then(|| Span::new(start + unit, whole.end as usize)),
        }
    }

    /// The byte at which the first word begins that is a figure, with a sign or without.
    pub fn first_figure(self) -> Option<usize> {
        let mut start = 0;
        for word in self.text.split_inclusive(BLANKS) {
            let bare = word.trim_start_matches(['+', '-', '~', '.', ',']);
            if bare.starts_with(|c: char| c.is_ascii_digit()) {
                return Some(start);
            }
            start += word.len();
        }
        None
    }

    /// Where a pair stands in the whole text. Blanks at its end are not part of it.
    pub fn span_of<R: RuleType>(self, pair: &Pair<'_, R>) -> Span {
        let text = pair.as_str();
        let start = self.base + pair.as_span().start();
        Span::new(start, start + text.trim_end_matches(BLANKS).len())
    }

    /// Where the first pair inside a pair stands.
    pub fn inner_span<R: RuleType>(self, pair: Pair<'_, R>) -> Option<Span> {
        pair.into_inner().next().map(|inner| self.span_of(&inner))
    }

    /// The items of a comma list, trimmed, with their places. A comma with a digit behind it is a decimal comma.
    pub fn comma_items(self) -> Vec<Span> {
        let mut items = Vec::new();
        let mut start = 0;
        let bytes = self.text.as_bytes();
        let mut push = |from: usize, to: usize| {
            let item = self.text.get(from..to).unwrap_or("");
            let left = item.len() - item.trim_start_matches(BLANKS).len();
            let right = item.trim_end_matches(BLANKS).len();
            if right > left {
                items.push(Span::new(self.base + from + left, self.base + from + right));
            }
        };
        for (at, byte) in bytes.iter().enumerate() {
            let decimal = bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
            if *byte == b';' || (*byte == b',' && !decimal) {
                push(start, at);
                start = at + 1;
            }
        }
        push(start, bytes.len());
        items
    }
}
