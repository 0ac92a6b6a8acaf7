//! Text that comes from a file, made fit to be shown: control characters as symbols, long lines clipped, prose wrapped.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The sign for text that was left out.
pub const CUT: char = '…';

/// What is shown in place of a character that would move the cursor, colour the screen, or turn the reading direction;
/// `None` if the character can be shown as it is.
pub fn symbol(c: char) -> Option<char> {
    match c {
        // The block of control pictures follows the order of the control characters.
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)),
        '\u{7f}' => Some('␡'),
        '\u{80}'..='\u{9f}'
        | '\u{61c}'
        | '\u{200b}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{feff}' => Some('\u{fffd}'),
        _ => None,
    }
}

/// A text on one line of at most `most` characters, with symbols for control characters and a blank for a tab.
pub fn one_line(text: &str, most: usize) -> String {
    let mut out = String::with_capacity(text.len().min(most * 4));
    for (count, c) in text.chars().enumerate() {
        if count >= most {
            out.push(CUT);
            break;
        }
        out.push(match c {
            '\t' => ' ',
            c => symbol(c).unwrap_or(c),
        });
    }
    out
}

/// Rows of a table below each other, the columns two blanks apart, each line behind `indent`. The first column is set to the left, the others
/// to the right.
pub fn table<const N: usize>(rows: &[[String; N]], indent: &str) -> String {
    let widest = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|c| c.width()).max();
    let widths: Vec<usize> = (0..N).map(|column| widest(column).unwrap_or(0)).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::from(indent);
        for (column, (cell, width)) in row.iter().zip(&widths).enumerate() {
            let gap = " ".repeat(width.saturating_sub(cell.width()));
            if column == 0 {
                line.push_str(cell);
                line.push_str(&gap);
            } else {
                line.push_str("  ");
                line.push_str(&gap);
                line.push_str(cell);
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// A part of one line as it is shown, and which byte of the line went where.
pub struct Clipped {
    /// What is shown: no tab, no control character, no line end.
    pub text: String,
    /// Byte offsets in the line and in `text`, in order; one pair for each character shown and one for the end.
    map: Vec<(usize, usize)>,
}

impl Clipped {
    /// Where a byte of the line is in `text`. What was cut off is taken to the nearer end.
    pub fn at(&self, offset: usize) -> usize {
        let (first, last) = match (self.map.first(), self.map.last()) {
            (Some(first), Some(last)) => (*first, *last),
            _ => return 0,
        };
        if offset < first.0 {
            return 0;
        }
        if offset > last.0 {
            return self.text.len();
        }
        let next = self.map.partition_point(|(from, _)| *from <= offset);
        self.map.get(next.saturating_sub(1)).map_or(0, |(_, to)| *to)
    }
}

/// Columns a character takes where it is shown; a tab goes on to the next multiple of four.
fn columns(c: char, column: usize) -> usize {
    match c {
        '\t' => 4 - column % 4,
        c if symbol(c).is_some() => 1,
        c => c.width().unwrap_or(0),
    }
}

/// Clips a line to about `width` columns around a byte offset. Looks only at the characters near that offset, so that
/// a line of fifty megabytes costs no more than a short one.
pub fn clip(line: &str, focus: usize, width: usize) -> Clipped {
    // Characters of no width must not let the text grow without end.
    let most = width * 3;
    let mut focus = focus.min(line.len());
    while !line.is_char_boundary(focus) {
        focus -= 1;
    }
    let (before, after) = line.split_at(focus);
    let back = |room: usize| {
        let mut used = 0;
        let mut start = focus;
        for (at, c) in before.char_indices().rev().take(most) {
            used += columns(c, 0);
            if used > room {
                break;
            }
            start = at;
        }
        start
    };
    // The beginning of a line tells most, so what stands before the place gets two thirds of the room, or all that
    // the rest does not need.
    let ahead = columns_up_to(after, width);
    let room = width.saturating_sub(ahead).max(width * 2 / 3);
    let start = back(room);

    let mut text = String::new();
    let mut map = Vec::new();
    if start > 0 {
        text.push(CUT);
    }
    let mut column = 0;
    let mut end = line.len();
    let tail = line.get(start..).unwrap_or("");
    for (count, (at, c)) in tail.char_indices().enumerate() {
        let takes = columns(c, column);
        if column + takes > width || count >= most {
            end = start + at;
            break;
        }
        map.push((start + at, text.len()));
        column += takes;
        match c {
            '\t' => text.extend(std::iter::repeat_n(' ', takes)),
            c => text.push(symbol(c).unwrap_or(c)),
        }
    }
    map.push((end, text.len()));
    if end < line.len() {
        text.push(CUT);
    }
    Clipped { text, map }
}

/// Columns a text takes, counted no further than a little past `most`.
fn columns_up_to(text: &str, most: usize) -> usize {
    let mut column = 0;
    for c in text.chars().take(most * 3) {
        column += columns(c, column);
        if column > most {
            break;
        }
    }
    column
}

/// Prose in lines of at most `width` columns, each behind `indent`; a word longer than a line stands alone.
pub fn wrap(prose: &str, width: usize, indent: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in prose.split_whitespace() {
        let takes = word.width();
        if column > 0 && column + 1 + takes > width {
            out.push('\n');
            column = 0;
        }
        if column == 0 {
            out.push_str(indent);
            column = indent.width();
        } else {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += takes;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_line_is_shown_whole() {
        let clipped = clip("web width = 52.03 mm", 12, 80);
        assert_eq!(clipped.text, "web width = 52.03 mm");
        assert_eq!(clipped.at(12), 12);
        assert_eq!(clipped.at(20), 20);
        assert_eq!(clipped.at(900), 20);
    }

    #[test]
    fn control_characters_and_tabs_are_shown_as_symbols_and_blanks() {
        let clipped = clip("a\tb\0\u{1b}[31m\u{202e}", 0, 80);
        assert_eq!(clipped.text, "a   b␀␛[31m\u{fffd}");
        assert_eq!(clipped.at(2), 4);
    }

    #[test]
    fn a_long_line_is_clipped_around_the_place() {
        let line = format!("{}HERE{}", "x".repeat(1_000_000), "y".repeat(1_000_000));
        let clipped = clip(&line, 1_000_000, 60);
        assert!(clipped.text.width() <= 62, "{}", clipped.text.width());
        assert!(clipped.text.starts_with(CUT) && clipped.text.ends_with(CUT));
        let at = clipped.at(1_000_000);
        assert_eq!(clipped.text.get(at..at + 4), Some("HERE"));
        assert_eq!(clipped.at(0), 0);
        assert_eq!(clipped.at(line.len()), clipped.text.len());
    }

    #[test]
    fn wide_and_widthless_characters_stay_within_the_width() {
        let wide = "汉".repeat(500);
        assert!(clip(&wide, 600, 60).text.width() <= 62);
        let marks = "\u{301}".repeat(100_000);
        assert!(clip(&marks, 100_000, 60).text.chars().count() <= 400);
    }

    #[test]
    fn every_offset_of_every_clip_is_a_place_in_the_text() {
        let line = "é汉\t𐐀\0x".repeat(40);
        for focus in 0..line.len() + 2 {
            let clipped = clip(&line, focus, 20);
            let mut last = 0;
            for offset in 0..line.len() + 2 {
                let at = clipped.at(offset);
                assert!(clipped.text.is_char_boundary(at));
                assert!(at >= last);
                last = at;
            }
        }
    }

    #[test]
    fn prose_is_wrapped_at_words() {
        assert_eq!(wrap("one two three", 9, "  "), "  one two\n  three");
        assert_eq!(wrap("", 9, "  "), "");
    }

    #[test]
    fn a_message_stays_on_one_line() {
        assert_eq!(one_line("a\nb\tc", 9), "a␊b c");
        assert_eq!(one_line("abcdef", 3), "abc…");
    }
}
