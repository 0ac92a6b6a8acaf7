//! An edited log, read again where the edit reaches, is what reading all of it gives; and so is the table of its lines.

mod holds;

use gudgeon::syntax::ast::LogTree;
use gudgeon::syntax::{LineIndex, Span, parse_log, reparse_log};
use holds::parse::{fresh, with_other_figures};
use proptest::prelude::*;

/// Pieces that logs are made of, with every kind of line end and of line that stands below another.
const PIECES: &[&str] = &[
    "job x\n",
    "2026-03-14 build\n",
    "web width = 52.03 mm by mic\n",
    "bore = mm by gauge\n      along  across\n  top  1.0  2.0\n  low  1.1  \"\n",
    "did press together, force 6 t on press,\n   oiled, web supported\n",
    "note it was late\n   and it rained\n",
    "  web width = 3 mm\n",
    "fix web width 52 -> 53\n",
    "this is = = nonsense 12 : \n",
    "   nonsense 13 mm\n",
    "\r\n",
    "\r",
    "\n",
    " ",
    "\t",
    "# a comment\n",
    "é汉𐐀",
    "= 4.0",
    ",",
    "09:40 did x\r\n",
    "found webs: good",
    "\u{FEFF}",
    "stock shims: 2.30 2.35 mm\n  2.40\n",
    "option a: 12 EUR,\n  3 h at 30 EUR\n",
    "cost a: 12 EUR,\n  3 h at 30 EUR an hour\n",
];

fn text() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(PIECES), 0..14).prop_map(|pieces| pieces.concat())
}

fn at_boundary(text: &str, wanted: usize) -> usize {
    let mut at = wanted.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn first_difference<T: std::fmt::Debug + PartialEq>(again: &[T], whole: &[T]) -> Option<String> {
    let most = again.len().max(whole.len());
    let at = (0..most).find(|at| again.get(*at) != whole.get(*at))?;
    Some(format!(
        "at {at}: {:?}\n  instead of {:?}",
        again.get(at),
        whole.get(at)
    ))
}

#[track_caller]
fn assert_same(tree: &LogTree, text: &str) {
    let whole = fresh(text);
    let lines = first_difference(&tree.lines, &whole.lines);
    let entries = first_difference(&tree.entries, &whole.entries);
    let errors = first_difference(&tree.errors, &whole.errors);
    let differs: Vec<String> = [lines, entries, errors].into_iter().flatten().collect();
    assert!(differs.is_empty(), "{differs:?}\n{text:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reading_again_is_reading_all(
        first in text(),
        edits in prop::collection::vec((0usize..400, 0usize..30, prop::sample::select(PIECES)), 1..6),
    ) {
        let mut text = first;
        let mut tree = parse_log(&text);
        let mut lines = LineIndex::new(&text);
        for (at, length, piece) in edits {
            let start = at_boundary(&text, at % (text.len() + 1));
            let end = at_boundary(&text, start + length).max(start);
            let mut edited = text.clone();
            edited.replace_range(start..end, piece);
            lines.edited(&edited, Span::new(start, end), piece.len());
            let whole = LineIndex::new(&edited);
            prop_assert_eq!(format!("{lines:?}"), format!("{whole:?}"), "{:?} -> {:?}", text, edited);
            tree = reparse_log(tree, &text, &edited);
            assert_same(&tree, &edited);
            text = edited;
        }
    }
}

#[test]
fn a_figure_typed_in_the_middle_of_a_sample() {
    for entry in std::fs::read_dir("samples/as-written").expect("samples are there") {
        let text = std::fs::read_to_string(entry.expect("an entry").path()).expect("a sample is text");
        let mut old = text.clone();
        let mut tree = parse_log(&old);
        for at in (0..text.len()).step_by(37).filter(|at| text.is_char_boundary(*at)) {
            for typed in ["7", "", "\n", "", " = ", ""] {
                let mut new = text.clone();
                new.insert_str(at, typed);
                tree = reparse_log(tree, &old, &new);
                assert_same(&tree, &new);
                old = new;
            }
        }
    }
}

#[test]
fn a_line_met_again_stands_where_it_stands() {
    let line = "run-out at drive side = 0.02 mm high at 80° by dial, on centres   # warm";
    let text = format!(
        "{line}\n{line}\n  {line}\r\n09:40 {line}\ndid press, force 6 t\ndid press, force 6 t\n\twith grease\n"
    );
    for before in ["", "job x\n\n", "note it was late\n", "did press, force 6 t\n"] {
        let text = format!("{before}{text}");
        assert_same(&parse_log(&text), &text);
    }
}

/// What a line says may hang on which figures it has: there it must not be taken for the line that it was before.
#[test]
fn a_line_with_other_figures_is_another_line() {
    let pairs = [
        ("width = 18.2 x3 mm", "width = 18.2 x4 mm"),
        ("width = 18.2 mm x 3", "width = 18.2 mm x 12"),
        ("width = 18.2 ×3 mm", "width = 18.2 ×5 mm"),
        ("width = 3/8 in", "width = 3/7 in"),
        ("width = 1 3/8 in", "width = 1 3/5 in"),
        ("ratio = 50:1", "ratio = 50:3"),
        ("ratio = 1:50", "ratio = 2:50"),
        ("stock shims: 2.30 2.35 x2 2.40 mm", "stock shims: 2.30 2.35 x6 2.40 mm"),
        (
            "option a: puller 240 EUR over 8 jobs",
            "option a: puller 240 EUR over 9 jobs",
        ),
        (
            "cost a: puller 240 EUR shared by 8",
            "cost a: puller 240 EUR shared by 5",
        ),
        ("did mix, oil 1:50", "did mix, oil 3:50"),
        ("did tighten, torque 10/20/30 N·m", "did tighten, torque 10/25/30 N·m"),
        ("2026-03-14 9:40 build", "2026-03-14 8:3 build"),
        ("2026-03-14 build", "2025-12-31 build"),
        ("checked mic, due 2027-01-31", "checked mic, due 2028-02-30"),
        (
            "width 1 of crank = 52.03 mm by mic 2",
            "width 4 of crank = 17.99 mm by mic 9",
        ),
    ];
    for (first, second) in pairs {
        for text in [
            format!("job x\n{first}\n{second}\n"),
            format!("job x\n{second}\n{first}\n"),
        ] {
            assert_same(&parse_log(&text), &text);
        }
    }
}

#[test]
fn samples_with_other_figures_say_what_they_would_have_said() {
    for entry in std::fs::read_dir("samples/as-written").expect("samples are there") {
        let text = std::fs::read_to_string(entry.expect("an entry").path()).expect("a sample is text");
        parse_log(&text);
        for by in 1..10 {
            let others = with_other_figures(&text, by);
            assert_same(&parse_log(&others), &others);
        }
    }
}
