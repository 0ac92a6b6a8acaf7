//! What holds for any text: nothing panics, nothing is lost, and a layout says what was said before.

mod shown;

use std::collections::BTreeMap;

use gudgeon::syntax::ast::SyntaxError;
use gudgeon::syntax::layout::tidy;
use gudgeon::syntax::spans::Spans;
use gudgeon::syntax::{FileKind, Line, LineIndex, Span, parse_log, parse_manual};
use proptest::prelude::*;

/// Pieces that the grammar has a use for, and some that it has none for.
const PIECES: &[&str] = &[
    " ",
    "  ",
    "\t",
    "\u{A0}",
    "\n",
    "\r\n",
    "\r",
    "\n  ",
    "\n      ",
    "\n\t",
    "#",
    " # why",
    ",",
    ", ",
    ";",
    ":",
    "=",
    " = ",
    "->",
    "→",
    "@",
    "±",
    "+-",
    "-",
    "–",
    "/",
    "*",
    "×",
    "x3",
    "(",
    ")",
    "\"",
    "?",
    "~",
    "°",
    "µm",
    "mm",
    " mm",
    "ft lb",
    "N·m",
    "0",
    "0.50",
    "0,40",
    ".5",
    "-18",
    "1 1 1",
    "52.03",
    "2026-03-14",
    "09:40 ",
    "go ",
    "no-go ",
    "goes",
    "to",
    "at ",
    "of ",
    "by ",
    "on ",
    "high at ",
    "because ",
    "from ",
    "number ",
    "ordered as ",
    "as found",
    "also ",
    "over ",
    "for ",
    "source ",
    "up to ",
    "at least ",
    "rating of ",
    "job ",
    "JOB",
    "machine ",
    "hours ",
    "manual ",
    "units ",
    "tool ",
    "did ",
    "found ",
    "ordered ",
    "got ",
    "chose ",
    "waiting ",
    "fix ",
    "undid ",
    "held ",
    "note",
    "note: ",
    "photo ",
    "closed",
    "procedure ",
    "feature ",
    "calc ",
    "precaution ",
    "step ",
    "never ",
    "build ",
    "service ",
    "nominal ",
    "unit ",
    "say ",
    "required",
    "after ",
    "needs ",
    "disturbs ",
    "reads ",
    "directly after ",
    "then ",
    "directly ",
    "not with ",
    "given ",
    "if ",
    "only if ",
    "did press ",
    "not did ",
    "before ",
    "within ",
    "8 h ",
    "takes out ",
    "expects ",
    "pattern ring of 6",
    "pattern 2 rows of ",
    "aim ",
    "limits of ",
    "agrees with ",
    "ahead",
    "choose ",
    "from stock ",
    "up to 2 together",
    "stock ",
    "option ",
    "cost ",
    "cost a: ",
    "less ",
    " over 8 jobs",
    "15 % of 190 EUR",
    "2 x 19 EUR",
    "6 h at 30 EUR",
    "25 H7/p6",
    "25 bearing C3",
    "press force(",
    "friction = 0.12 to 0.20",
    "high(",
    "at angle(",
    "\"M8\"",
    "puts in ",
    "renews ",
    "uses ",
    "rated ",
    "one of ",
    "checked ",
    "replace",
    "read ",
    "until ",
    "optional",
    "once",
    "or ",
    "web width",
    "press",
    "a",
    "é",
    "汉字",
    "\u{FEFF}",
    "\u{0}",
    "\u{7}",
    "\u{85}",
    "\u{2028}",
    "\u{301}",
    "😀",
    "smallest(",
    "pi",
];

/// Any text at all, or one put together from pieces of the language.
fn any_text() -> impl Strategy<Value = String> {
    let pieces = prop::collection::vec(prop::sample::select(PIECES), 0..60);
    prop_oneof![
        any::<String>(),
        prop::collection::vec(any::<char>(), 0..200).prop_map(|chars| chars.into_iter().collect()),
        pieces.prop_map(|pieces| pieces.concat()),
    ]
}

/// One change of a text.
#[derive(Clone, Debug)]
enum Change {
    Insert(prop::sample::Index, &'static str),
    Delete(prop::sample::Index, usize),
    MoveLine(prop::sample::Index, prop::sample::Index),
    Indent(prop::sample::Index, &'static str),
    LineEnds(&'static str),
}

fn any_change() -> impl Strategy<Value = Change> {
    let index = any::<prop::sample::Index>;
    prop_oneof![
        4 => (index(), prop::sample::select(PIECES)).prop_map(|(at, piece)| Change::Insert(at, piece)),
        3 => (index(), 1..12_usize).prop_map(|(at, length)| Change::Delete(at, length)),
        2 => (index(), index()).prop_map(|(from, to)| Change::MoveLine(from, to)),
        2 => (index(), prop::sample::select(&["", " ", "  ", "    ", "\t", "\u{FEFF}", "\u{A0} "][..]))
            .prop_map(|(line, indent)| Change::Indent(line, indent)),
        1 => prop::sample::select(&["\r\n", "\r"][..]).prop_map(Change::LineEnds),
    ]
}

impl Change {
    fn apply(&self, text: String) -> String {
        match self {
            Change::Insert(at, piece) => {
                let mut chars: Vec<char> = text.chars().collect();
                let at = at.index(chars.len() + 1);
                chars.splice(at..at, piece.chars());
                chars.into_iter().collect()
            }
            Change::Delete(at, length) => {
                let mut chars: Vec<char> = text.chars().collect();
                let at = at.index(chars.len() + 1);
                let end = (at + length).min(chars.len());
                chars.drain(at..end);
                chars.into_iter().collect()
            }
            Change::MoveLine(from, to) => {
                let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
                if !lines.is_empty() {
                    let line = lines.remove(from.index(lines.len()));
                    lines.insert(to.index(lines.len() + 1), line);
                }
                lines.concat()
            }
            Change::Indent(line, indent) => {
                let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
                if !lines.is_empty() {
                    let at = line.index(lines.len());
                    if let Some(line) = lines.get_mut(at) {
                        *line = format!("{indent}{}", line.trim_start_matches([' ', '\t']));
                    }
                }
                lines.concat()
            }
            Change::LineEnds(end) => text.replace('\n', end),
        }
    }
}

/// An example of the language reference, changed here and there.
fn changed_example() -> impl Strategy<Value = String> {
    let examples: Vec<String> = shown::examples().into_iter().map(|(_, text)| text).collect();
    (
        prop::sample::select(examples),
        prop::collection::vec(any_change(), 0..8),
    )
        .prop_map(|(text, changes)| changes.iter().fold(text, |text, change| change.apply(text)))
}

fn texts() -> impl Strategy<Value = String> {
    prop_oneof![2 => any_text(), 3 => changed_example()]
}

/// All lines of a text joined again.
fn joined(lines: &[Line], text: &str) -> String {
    lines.iter().flat_map(Line::parts).map(|part| part.text(text)).collect()
}

/// Whether a span lies inside a text, on the boundaries of characters.
fn fits(span: Span, text: &str) -> bool {
    text.get(span.range()).is_some()
}

fn errors_fit(errors: &[SyntaxError], text: &str) -> bool {
    errors.iter().all(|error| {
        let suggestion = error.suggestion.as_ref().map(|(span, _)| *span);
        fits(error.span, text)
            && suggestion.is_none_or(|span| fits(span, text))
            && !error.message.is_empty()
            && !error.help.is_empty()
    })
}

/// The comments of a text, and how often each stands in it.
fn comments(lines: &[Line], text: &str) -> BTreeMap<String, usize> {
    let mut comments = BTreeMap::new();
    for line in lines {
        let comment = line.comment.text(text).trim_end();
        if !comment.is_empty() {
            *comments.entry(comment.to_owned()).or_insert(0) += 1;
        }
    }
    comments
}

/// A text without its blanks and line ends, and without colons, since the one behind a keyword is left out.
fn ink(text: &str) -> String {
    let blank = |c: char| matches!(c, ' ' | '\t' | '\u{A0}' | '\n' | '\r' | '\u{FEFF}' | ':');
    text.chars()
        .filter(|c| !blank(*c))
        .flat_map(char::to_lowercase)
        .collect()
}

/// A tree as text, without blanks.
fn without_blanks(shown: &str) -> String {
    shown.chars().filter(|c| !matches!(c, ' ' | '\t' | '\u{A0}')).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: ProptestConfig::default().cases.max(400), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_parts_of_the_lines_are_the_text(text in texts()) {
        prop_assert_eq!(&joined(&parse_log(&text).lines, &text), &text);
        prop_assert_eq!(&joined(&parse_manual(&text).lines, &text), &text);
        let index = LineIndex::new(&text);
        for (number, line) in parse_log(&text).lines.iter().enumerate() {
            prop_assert_eq!(index.line_span(number, &text), line.span());
        }
    }

    #[test]
    fn every_place_in_a_log_lies_in_the_text(text in texts()) {
        let mut tree = parse_log(&text);
        prop_assert!(errors_fit(&tree.errors, &text));
        for entry in &mut tree.entries {
            prop_assert!(fits(entry.span, &text));
            prop_assert!(entry.lines >= 1 && entry.line + entry.lines <= tree.lines.len());
            let mut all = true;
            entry.statement.each_span(&mut |span| all &= fits(*span, &text));
            prop_assert!(all, "{:?}", entry.statement);
        }
    }

    #[test]
    fn every_place_in_a_manual_lies_in_the_text(text in texts()) {
        let mut tree = parse_manual(&text);
        prop_assert!(errors_fit(&tree.errors, &text));
        for entry in &mut tree.entries {
            prop_assert!(fits(entry.span, &text));
            let mut all = true;
            entry.rule.each_span(&mut |span| all &= fits(*span, &text));
            prop_assert!(all, "{:?}", entry.rule);
        }
    }

    #[test]
    fn every_line_is_said_or_named(text in texts()) {
        // A line with content belongs to an entry; one that could not be read has an error.
        let tree = parse_log(&text);
        for (number, line) in tree.lines.iter().enumerate() {
            let owned = tree.entries.iter().any(|entry| (entry.line..entry.line + entry.lines).contains(&number));
            prop_assert!(line.is_empty() || owned, "line {number}");
        }
        let unread = shown::log(&text).lines().filter(|shown| *shown == "unread").count();
        prop_assert!(unread <= tree.errors.len());
    }

    #[test]
    fn a_bad_line_costs_that_line_only(
        example in 0..4_usize,
        at in any::<prop::sample::Index>(),
        bad in prop::sample::select(&[
            "web width 52.03 mm", "dd press out, force 3 t", "12/3 press together", "squish = 1.05/1.10", "= 5 mm", "fix web width 52.5 52.03",
            "found webs good 3", "tool mic 50", "did", "web width = 3 mm (", "\u{1} = 3", "3",
        ][..]),
    ) {
        let examples: Vec<String> = shown::examples().into_iter().filter(|(kind, _)| *kind == "rebuild").map(|(_, text)| text).collect();
        let example = &examples[example % examples.len()];
        let mut lines: Vec<&str> = example.lines().collect();
        let places: Vec<usize> = (0..=lines.len())
            .filter(|at| lines.get(*at).is_none_or(|line| !line.starts_with([' ', '\t']) && !line.is_empty()))
            .collect();
        lines.insert(places[at.index(places.len())], bad);
        let text = lines.join("\n");
        prop_assert_eq!(parse_log(&text).errors.len(), 1);
        let others: Vec<String> = shown::log(&text).lines().filter(|line| *line != "unread").map(str::to_owned).collect();
        prop_assert_eq!(others.join("\n"), shown::log(example));
    }

    #[test]
    fn tidying_twice_is_tidying_once(text in texts()) {
        for kind in [FileKind::Log, FileKind::Manual] {
            let once = tidy(&text, kind);
            prop_assert_eq!(&tidy(&once, kind), &once);
        }
    }

    #[test]
    fn a_tidy_log_says_what_it_said(text in texts()) {
        let laid = tidy(&text, FileKind::Log);
        prop_assert_eq!(without_blanks(&shown::log(&laid)), without_blanks(&shown::log(&text)));
        let (before, after) = (parse_log(&text), parse_log(&laid));
        prop_assert_eq!(comments(&after.lines, &laid), comments(&before.lines, &text));
        prop_assert_eq!(after.errors.len(), before.errors.len());
        prop_assert_eq!(ink(&laid), ink(&text));
    }

    #[test]
    fn a_tidy_manual_says_what_it_said(text in texts()) {
        let laid = tidy(&text, FileKind::Manual);
        let small = |text: &str| without_blanks(&shown::manual(text)).to_lowercase();
        prop_assert_eq!(small(&laid), small(&text));
        let (before, after) = (parse_manual(&text), parse_manual(&laid));
        prop_assert_eq!(comments(&after.lines, &laid), comments(&before.lines, &text));
        prop_assert_eq!(after.errors.len(), before.errors.len());
        prop_assert_eq!(ink(&laid), ink(&text));
    }

    #[test]
    fn a_tidy_file_ends_with_one_line_end(text in texts()) {
        let laid = tidy(&text, FileKind::Log);
        let bare = laid.trim_start_matches('\u{FEFF}');
        prop_assert!(!bare.starts_with(['\n', '\r']));
        prop_assert!(bare.is_empty() || (laid.ends_with('\n') && !laid.ends_with("\n\n") && !laid.ends_with("\n\r\n")));
    }
}
