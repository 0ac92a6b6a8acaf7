//! The one place where byte offsets become positions of the protocol and back. A position counts lines from 0, and within the line bytes, UTF-16 units or
//! characters, as was agreed with the client. Whatever a client sends is taken to the nearest place before it that exists.

use tower_lsp::ls_types::{Position, PositionEncodingKind, Range};

use crate::syntax::{LineIndex, Source, Span};

/// What a position counts within its line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// UTF-16 units: what every client must take.
    #[default]
    Utf16,
    /// Unicode scalar values.
    Utf32,
}

impl Encoding {
    /// The best of what a client offers: bytes need no counting. Without an offer UTF-16.
    pub fn choose(offered: Option<&[PositionEncodingKind]>) -> Encoding {
        let offers = |kind: &PositionEncodingKind| offered.is_some_and(|all| all.contains(kind));
        if offers(&PositionEncodingKind::UTF8) {
            Encoding::Utf8
        } else if offers(&PositionEncodingKind::UTF32) {
            Encoding::Utf32
        } else {
            Encoding::Utf16
        }
    }

    /// Its name in the protocol.
    pub fn kind(self) -> PositionEncodingKind {
        match self {
            Encoding::Utf8 => PositionEncodingKind::UTF8,
            Encoding::Utf16 => PositionEncodingKind::UTF16,
            Encoding::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    /// How many units a text has.
    pub fn count(self, text: &str) -> u32 {
        let count = match self {
            Encoding::Utf8 => text.len(),
            _ if text.is_ascii() => text.len(),
            Encoding::Utf16 => text.chars().map(char::len_utf16).sum(),
            Encoding::Utf32 => text.chars().count(),
        };
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// How many bytes of a line lie before a number of units; inside a character, those before the character.
    fn bytes(self, line: &str, units: u32) -> usize {
        let wanted = units as usize;
        if self == Encoding::Utf8 || line.is_ascii() {
            let mut at = wanted.min(line.len());
            while !line.is_char_boundary(at) {
                at -= 1;
            }
            return at;
        }
        let mut seen = 0;
        for (at, c) in line.char_indices() {
            seen += if self == Encoding::Utf16 { c.len_utf16() } else { 1 };
            if seen > wanted {
                return at;
            }
        }
        line.len()
    }
}

/// The position of a byte offset.
pub fn position(source: &Source, offset: u32, encoding: Encoding) -> Position {
    let text = &source.text;
    let mut offset = (offset as usize).min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let line = source.lines.line_of(u32::try_from(offset).unwrap_or(u32::MAX));
    let start = source.lines.line_span(line, text).start as usize;
    let before = text.get(start..offset).unwrap_or("");
    Position {
        line: u32::try_from(line).unwrap_or(u32::MAX),
        character: encoding.count(before),
    }
}

/// The range of a span.
pub fn range(source: &Source, span: Span, encoding: Encoding) -> Range {
    Range {
        start: position(source, span.start, encoding),
        end: position(source, span.end.max(span.start), encoding),
    }
}

/// The byte offset of a position in a text with its lines. Past the end of its line it is that end, before the line's `\n`; past the last line the end of the text.
pub fn offset_in(text: &str, lines: &LineIndex, position: Position, encoding: Encoding) -> u32 {
    let number = position.line as usize;
    if number >= lines.count() {
        return u32::try_from(text.len()).unwrap_or(u32::MAX);
    }
    let span = lines.line_span(number, text);
    let line = span.text(text).trim_end_matches(['\n', '\r']);
    span.start + u32::try_from(encoding.bytes(line, position.character)).unwrap_or_default()
}

/// The byte offset of a position.
pub fn offset(source: &Source, position: Position, encoding: Encoding) -> u32 {
    offset_in(&source.text, &source.lines, position, encoding)
}

/// The span of a range in a text with its lines; a range that ends before it starts is empty.
pub fn span_in(text: &str, lines: &LineIndex, range: Range, encoding: Encoding) -> Span {
    let start = offset_in(text, lines, range.start, encoding);
    let end = offset_in(text, lines, range.end, encoding);
    Span {
        start,
        end: end.max(start),
    }
}

/// The span of a range.
pub fn span(source: &Source, range: Range, encoding: Encoding) -> Span {
    span_in(&source.text, &source.lines, range, encoding)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const ALL: [Encoding; 3] = [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32];

    fn at(line: u32, character: u32) -> Position {
        Position { line, character }
    }

    #[test]
    fn each_encoding_counts_its_own_units() {
        let source = Source::new("x", "é汉𐐀=1\r\nb\rc\n");
        let equals = u32::try_from(source.text.find('=').expect("there is one")).expect("small");
        assert_eq!(position(&source, equals, Encoding::Utf8), at(0, 9));
        assert_eq!(position(&source, equals, Encoding::Utf16), at(0, 4));
        assert_eq!(position(&source, equals, Encoding::Utf32), at(0, 3));
        for encoding in ALL {
            assert_eq!(offset(&source, position(&source, equals, encoding), encoding), equals);
            assert_eq!(offset(&source, at(1, 99), encoding), equals + 5, "the end of `b`");
            assert_eq!(
                offset(&source, at(2, 0), encoding),
                equals + 6,
                "a lone return ends a line"
            );
            assert_eq!(offset(&source, at(99, 0), encoding) as usize, source.text.len());
        }
        // Between the two halves of a surrogate pair, and inside the bytes of a character.
        assert_eq!(offset(&source, at(0, 3), Encoding::Utf16), 5);
        assert_eq!(offset(&source, at(0, 1), Encoding::Utf8), 0);
    }

    #[test]
    fn the_best_offer_is_taken() {
        let utf8 = PositionEncodingKind::UTF8;
        let utf16 = PositionEncodingKind::UTF16;
        let utf32 = PositionEncodingKind::UTF32;
        assert_eq!(Encoding::choose(None), Encoding::Utf16);
        assert_eq!(Encoding::choose(Some(&[])), Encoding::Utf16);
        assert_eq!(Encoding::choose(Some(&[utf16.clone(), utf8.clone()])), Encoding::Utf8);
        assert_eq!(Encoding::choose(Some(&[utf16, utf32])), Encoding::Utf32);
        assert_eq!(Encoding::choose(Some(&["utf-7".to_owned().into()])), Encoding::Utf16);
    }

    proptest! {
        #[test]
        fn there_and_back(text in "(a|é|汉|𐐀|👩‍🔧|\t|\r|\n|\r\n|\u{FEFF}| ){0,30}") {
            let source = Source::new("x", text.clone());
            for encoding in ALL {
                for (at, _) in text.char_indices().chain([(text.len(), ' ')]) {
                    let at = u32::try_from(at).expect("small");
                    // Between `\r` and `\n` there is no position of its own.
                    let inside_end = text.get(..at as usize).is_some_and(|t| t.ends_with('\r'))
                        && text.get(at as usize..).is_some_and(|t| t.starts_with('\n'));
                    if inside_end {
                        continue;
                    }
                    prop_assert_eq!(offset(&source, position(&source, at, encoding), encoding), at);
                }
            }
        }

        #[test]
        fn any_position_is_a_place(text in "(a|é|𐐀|\r|\n| ){0,12}", line in 0u32..9, character in 0u32..9) {
            let source = Source::new("x", text.clone());
            for encoding in ALL {
                let at = offset(&source, Position { line, character }, encoding) as usize;
                prop_assert!(text.is_char_boundary(at));
            }
        }
    }
}
