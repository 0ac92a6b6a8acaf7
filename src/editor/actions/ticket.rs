//! What an action needs to know once it is chosen: what it is, the place it was offered at, and a mark by which a changed page is seen.

use crate::editor::Page;

/// An action as plain text: `WHAT START END MARK MORE`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Ticket {
    /// Which action: one word.
    pub(super) what: String,
    /// The place it was offered at: first byte.
    pub(super) start: u32,
    /// One past the last byte.
    pub(super) end: u32,
    /// A mark of the lines it rests on.
    mark: u64,
    /// What else it needs; empty for most.
    pub(super) more: String,
}

impl Ticket {
    /// For a place of a page; it then holds as long as the lines of that place are the same.
    pub(super) fn new(page: &Page, what: &str, span: crate::syntax::Span, more: impl Into<String>) -> Ticket {
        Ticket {
            what: what.to_owned(),
            start: span.start,
            end: span.end,
            mark: mark(page, span.start, span.end),
            more: more.into(),
        }
    }

    /// The place it was offered at.
    pub(super) fn span(&self) -> crate::syntax::Span {
        crate::syntax::Span {
            start: self.start,
            end: self.end,
        }
    }

    /// As plain text.
    pub(super) fn written(&self) -> String {
        format!(
            "{} {} {} {:016x} {}",
            self.what, self.start, self.end, self.mark, self.more
        )
    }

    /// From plain text; `None` if it is none.
    pub(super) fn read(data: &str) -> Option<Ticket> {
        let mut parts = data.splitn(5, ' ');
        let mut next = || parts.next();
        let (what, start, end, mark) = (next()?, next()?, next()?, next()?);
        let more = next()?.to_owned();
        let (start, end) = (start.parse().ok()?, end.parse().ok()?);
        if start > end {
            return None;
        }
        Some(Ticket {
            what: what.to_owned(),
            start,
            end,
            mark: u64::from_str_radix(mark, 16).ok()?,
            more,
        })
    }

    /// Whether the lines it rests on are still what they were.
    pub(super) fn holds(&self, page: &Page) -> bool {
        self.end as usize <= page.text().len() && self.mark == mark(page, self.start, self.end)
    }
}

/// A mark of all lines that a place touches, and of where they stand: FNV-1a, 64 bits. It must be the same on every machine and in every version, so it
/// is no hash of the standard library.
fn mark(page: &Page, start: u32, end: u32) -> u64 {
    let source = page.source();
    let first = source.lines.line_span(source.lines.line_of(start), &source.text);
    let last = source.lines.line_span(source.lines.line_of(end), &source.text);
    let lines = first.to(last).text(&source.text);
    let bytes = first.start.to_le_bytes().into_iter().chain(lines.bytes());
    bytes.fold(0xcbf2_9ce4_8422_2325, |mark, byte| {
        (mark ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
