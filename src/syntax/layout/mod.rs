//! Tidy layout: the same lines, neatly laid out. Names, figures, units and prose are never rewritten; only blanks, the case of
//! keywords and the line ends are.

mod fold;
mod line;
mod log;
mod manual;
mod same;
mod table;
#[cfg(test)]
mod tests;

use super::lines::Line;
use super::log::parse_log;
use super::manual::parse_manual;
use super::said::{BLANKS, Said};
use super::{FileKind, Span};
use fold::fold;
use line::{Laid, What, print};
use rustc_hash::FxHashSet;

/// How often a layout is tried again without the statements it would have changed.
const TRIES: usize = 16;

/// Lays a text out neatly. Pure, and doing it twice is doing it once. What the lines say stays the same: the layout is read again, and
/// a statement that would not say what it said before is kept as it was written.
pub fn tidy(text: &str, kind: FileKind) -> String {
    match kind {
        FileKind::Log => {
            let tree = parse_log(text);
            let before = same::of_log(&tree, text);
            until_same(text, tree.entries.len(), |kept| {
                let laid = joined(text, &tree.lines, &print(&log::lay(&tree, text, kept)));
                let differences = before.differences(&same::of_log(&parse_log(&laid), &laid));
                (laid, differences)
            })
        }
        FileKind::Manual => {
            let tree = parse_manual(text);
            let before = same::of_manual(&tree, text);
            until_same(text, tree.entries.len(), |kept| {
                let laid = joined(text, &tree.lines, &print(&manual::lay(&tree, text, kept)));
                let differences = before.differences(&same::of_manual(&parse_manual(&laid), &laid));
                (laid, differences)
            })
        }
    }
}

/// Lays out until nothing says anything else than before, keeping each statement that does. If that leads nowhere all are kept, and
/// if even that says something else, the text is left as it is.
fn until_same(text: &str, entries: usize, mut lay: impl FnMut(&FxHashSet<usize>) -> (String, Vec<usize>)) -> String {
    let mut kept = FxHashSet::default();
    for _ in 0..TRIES {
        let (laid, differences) = lay(&kept);
        if differences.is_empty() {
            return laid;
        }
        let before = kept.len();
        kept.extend(differences.iter().copied());
        if kept.len() == before {
            // Kept already: the statement above must have taken them in.
            kept.extend(differences.iter().filter_map(|entry| entry.checked_sub(1)));
        }
        if kept.len() == before {
            break;
        }
    }
    let (laid, differences) = lay(&(0..entries).collect());
    if differences.is_empty() { laid } else { text.to_owned() }
}

/// Joins lines with the line end of most lines of the text, and one at the end; a byte order mark stays in front.
fn joined(text: &str, lines: &[Line], printed: &[String]) -> String {
    let mark = if text.starts_with('\u{FEFF}') { "\u{FEFF}" } else { "" };
    let end = line_end(text, lines);
    let mut joined = String::with_capacity(text.len() + 16);
    joined.push_str(mark);
    for line in printed {
        joined.push_str(line);
        joined.push_str(end);
    }
    joined
}

/// `\r\n` if more lines end so than otherwise, or as many and the first; else `\n`.
fn line_end(text: &str, lines: &[Line]) -> &'static str {
    let is_pair = |line: &&Line| line.end.text(text) == "\r\n";
    let ended = lines.iter().filter(|line| !line.end.is_empty());
    let pairs = ended.clone().filter(is_pair).count();
    let others = ended.clone().count() - pairs;
    let first = ended.clone().next().is_some_and(|line| is_pair(&line));
    if pairs > others || (pairs == others && first) {
        "\r\n"
    } else {
        "\n"
    }
}

/// The lines that hold an error.
fn bad_lines(lines: &[Line], places: impl Iterator<Item = u32>) -> FxHashSet<usize> {
    places
        .map(|place| {
            lines
                .partition_point(|line| line.span().start <= place)
                .saturating_sub(1)
        })
        .collect()
}

/// A line without a statement: blank, or a comment alone.
fn unsaid<'a>(line: &Line, text: &'a str) -> Laid<'a> {
    let comment = line.comment.text(text).trim_end_matches(BLANKS);
    let what = if comment.is_empty() {
        What::Blank
    } else {
        What::Comment(line.is_indented(text))
    };
    Laid { what, comment }
}

/// A line as it was written, but for the blanks at its end; without its indentation if `flush`.
fn as_written<'a>(line: &Line, text: &'a str, flush: bool) -> Laid<'a> {
    let start = if flush { line.content.start } else { line.span().start };
    let whole = text.get(start as usize..line.comment.end as usize).unwrap_or("");
    let whole = whole.trim_start_matches('\u{FEFF}');
    Laid {
        what: What::Kept(whole.trim_end_matches(BLANKS)),
        comment: "",
    }
}

/// A text with its blanks folded up to where prose begins, and the prose as it is.
fn fold_before(said: Said<'_>, prose: Option<Span>) -> String {
    let start = prose.map(|prose| (prose.start as usize).saturating_sub(said.base));
    let Some(start) = start.filter(|start| *start <= said.text.len()) else {
        return fold(said.text);
    };
    let mut folded = fold(said.text.get(..start).unwrap_or(""));
    let prose = said.skip(start).text;
    // A `#` that touches what stands before it begins no comment, and must not come to.
    if !folded.is_empty() && !prose.starts_with('#') {
        folded.push(' ');
    }
    folded.push_str(prose);
    folded
}
