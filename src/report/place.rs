//! From byte offsets to lines and columns, without counting the same characters twice.

use crate::syntax::{Place, Source, Span};

/// Turns offsets into places. It remembers the last one, so that many findings on one very long line cost one pass
/// over that line and not one pass each, as long as they come in order.
pub struct Placer<'a> {
    source: &'a Source,
    offset: usize,
    place: Place,
}

impl<'a> Placer<'a> {
    /// A placer at the beginning of a text.
    pub fn new(source: &'a Source) -> Self {
        Self {
            source,
            offset: 0,
            place: Place { line: 1, column: 1 },
        }
    }

    /// Line and column of an offset, as [`crate::syntax::LineIndex::place`] would give them.
    pub fn place(&mut self, offset: u32) -> Place {
        let text = &self.source.text;
        let mut at = (offset as usize).min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let line = self.source.lines.line_of(Span::new(at, at).start) + 1;
        self.place = if line == self.place.line && at >= self.offset {
            let further = text.get(self.offset..at).map_or(0, |step| step.chars().count());
            Place {
                line,
                column: self.place.column + further,
            }
        } else {
            self.source.lines.place(offset, text)
        };
        self.offset = at;
        self.place
    }

    /// Where a span begins and where it ends; the end is the place behind its last character.
    pub fn ends(&mut self, span: Span) -> (Place, Place) {
        let start = self.place(span.start);
        let offset = self.offset;
        let end = self.place(span.end);
        // The next finding may begin before this one ends, so it goes on from where this one began.
        self.offset = offset;
        self.place = start;
        (start, end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_index_at_every_offset_in_any_order() {
        let text = "é汉𐐀\tb\r\nx\ry\n\nweb = 52\u{301}";
        let source = Source::new("a.rebuild", text);
        let end = u32::try_from(text.len()).unwrap_or(0) + 3;
        let mut forward = Placer::new(&source);
        let mut backward = Placer::new(&source);
        for offset in 0..end {
            assert_eq!(forward.place(offset), source.lines.place(offset, text));
            let back = end - offset;
            assert_eq!(backward.place(back), source.lines.place(back, text));
        }
    }

    #[test]
    fn overlapping_spans_are_placed_alike() {
        let source = Source::new("a.rebuild", "web width = 52.03 mm\n");
        let mut placer = Placer::new(&source);
        let (start, end) = placer.ends(Span::new(0, 20));
        assert_eq!((start.column, end.column), (1, 21));
        let (start, end) = placer.ends(Span::new(4, 9));
        assert_eq!((start.column, end.column), (5, 10));
    }
}
