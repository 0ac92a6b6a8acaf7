use gudgeon::editor::mentions;
use gudgeon::editor::mentions::{mention_at, mentions_of_log};
use gudgeon::editor::{Mention, Page};
use gudgeon::syntax::parse_log;

use crate::common::{LOG, MANUAL, listed};
use crate::support::editor::{log_page, manual_page};

#[test]
fn every_name_of_a_log_is_told_with_what_it_names() {
    let page = log_page(MANUAL, LOG);
    insta::assert_snapshot!(listed(&page, &mentions(&page)), @"
    2 machine: Tarn 250, frame TN-0417 *
    4 manual: bench
    5 procedure: crank
    6 tool: press *
    7 tool: mic A *
    9 way to go: do it here *
    10 way to go: do it here
    11 stock: pin drawer *
    12 part: crankpin *
    13 part: rod kit A
    14 part: rod kit A *
    15 feature: width over webs
    15 tool: mic A
    16 feature: Web  Width
    16 tool: mic A
    17 feature: pin length
    17 part: rod kit A
    17 tool: mic A
    18 feature: web gap
    18 place: left
    18 place: right
    19 feature: run-out
    19 place: drive side
    20 step: press together
    20 part: rod kit A
    20 need: web supported
    20 need: oiled
    20 tool: press
    20 part: cylinder 1
    21 step: press together
    21 need: dry
    22 feature: side play
    22 tool: feelers
    23 feature: side play
    24 feature: side play
    25 step: press up
    25 need: lower web held
    25 need: dry
    26 step: press up
    27 tool: mic A
    28 part: rod kit A
    28 part: rod kit B
    29 part: circlips
    30 feature: piston mass
    31 part: cylinder 1
    32 part: cylinder 2
    ");
}

#[test]
fn every_name_of_a_manual_is_told_with_what_it_names() {
    let page = manual_page(MANUAL);
    insta::assert_snapshot!(listed(&page, &mentions(&page)), @"
    1 manual: bench *
    5 feature: web width *
    5 feature: width over webs *
    7 feature: side play *
    9 feature: play worked
    10 feature: run-out *
    10 place: drive side
    10 place: flywheel side
    11 feature: r/o *
    13 feature: piston mass *
    13 part: cylinder 1
    13 part: cylinder 2
    15 feature: pin length *
    17 feature: web gap *
    17 place: left
    17 place: right
    19 feature: play worked *
    19 feature: pin length
    19 feature: web width
    19 feature: run-out
    19 place: drive side
    20 feature: side play
    21 part: rod kit
    22 feature: fit *
    22 feature: pin length
    23 feature: pin length
    23 stock: pin drawer
    25 need: web supported *
    25 need: lower web held *
    28 procedure: crank *
    29 step: press together *
    29 need: web supported
    29 need: oiled
    29 need: dry
    29 feature: side play
    29 step: press up *
    30 tool: press
    31 tool: press
    32 step: true crank *
    32 step: press together
    32 feature: run-out
    32 part: circlips
    33 step: measure *
    33 feature: web width
    33 step: true crank
    34 step: weld pin *
    34 step: press together
    34 part: crankpin
    35 step: true crank
    35 step: measure
    36 step: weld pin
    36 step: press together
    36 step: measure
    ");
}

/// Without its manual a log does not know which tick is a need, nor that a row is a part; else it knows the same.
#[test]
fn the_text_alone_tells_the_rest() {
    let page = log_page(MANUAL, LOG);
    let by_book = mentions(&page);
    let alone = mentions_of_log(&parse_log(LOG), LOG);
    let differ: Vec<&Mention> = by_book.iter().filter(|m| !alone.contains(m)).collect();
    let words: Vec<&str> = differ.iter().map(|m| m.span.text(LOG)).collect();
    assert_eq!(
        words,
        [
            "web supported",
            "oiled",
            "dry",
            "lower web held",
            "dry",
            "cylinder 1",
            "cylinder 2"
        ]
    );
}

#[test]
fn the_cursor_finds_a_name_at_its_start_in_its_middle_and_at_its_end() {
    for page in [log_page(MANUAL, LOG), manual_page(MANUAL)] {
        let all = mentions(&page);
        for (number, mention) in all.iter().enumerate() {
            let middle = (mention.span.start + mention.span.end) / 2;
            for offset in [mention.span.start, middle] {
                assert_eq!(mention_at(&page, offset).as_ref(), Some(mention), "at {offset}");
            }
            let next = all.get(number + 1).filter(|next| next.span.start == mention.span.end);
            assert_eq!(
                mention_at(&page, mention.span.end).as_ref(),
                Some(next.unwrap_or(mention))
            );
        }
    }
}

#[test]
fn where_nothing_has_a_name_there_is_none() {
    let page = log_page(MANUAL, LOG);
    let end = u32::try_from(LOG.len()).expect("a short text");
    for offset in [0, 4, end, end + 7, u32::MAX] {
        assert_eq!(mention_at(&page, offset), None, "at {offset}");
    }
}

/// The names with the text they stand on, which is all that line ends may not change.
fn words(page: &Page) -> Vec<(Mention, String)> {
    let shorn = |m: Mention| {
        let text = m.span.text(page.text()).to_owned();
        (
            Mention {
                span: Default::default(),
                ..m
            },
            text,
        )
    };
    mentions(page).into_iter().map(shorn).collect()
}

#[test]
fn line_ends_and_a_byte_order_mark_change_no_name() {
    let plain = words(&log_page(MANUAL, LOG));
    let of_manual = words(&manual_page(MANUAL));
    for (mark, end) in [("", "\r\n"), ("\u{FEFF}", "\n"), ("\u{FEFF}", "\r\n"), ("", "\r")] {
        let written = |text: &str| format!("{mark}{}", text.replace('\n', end));
        assert_eq!(
            words(&log_page(&written(MANUAL), &written(LOG))),
            plain,
            "{mark:?} {end:?}"
        );
        assert_eq!(words(&manual_page(&written(MANUAL))), of_manual, "{mark:?} {end:?}");
    }
}

#[test]
fn a_correction_is_of_the_step_that_was_done_else_of_the_reading() {
    let page = log_page(
        "",
        "job x\n2026-03-14 build\nwarm play = 1 mm\nfix warm play, because so\ndid warm play\nfix warm play, oiled\n",
    );
    insta::assert_snapshot!(listed(&page, &mentions(&page)), @"
    3 feature: warm play
    4 feature: warm play
    5 step: warm play
    6 step: warm play
    ");
}

#[test]
fn what_stands_behind_on_is_a_tool_only_if_it_is_one() {
    let log = "job x\ntool splitter: plate, rated 6 t\n2026-03-14 build\nrun-out = 0.02 mm by dial on vee blocks\nrun-out = 0.02 mm on dial\ndid press pin, with the splitter, on splitter, on web 2, force 4 t by hand\n";
    let page = log_page("", log);
    insta::assert_snapshot!(listed(&page, &mentions(&page)), @"
    2 tool: splitter *
    4 feature: run-out
    4 tool: dial
    5 feature: run-out
    5 tool: dial
    6 step: press pin
    6 tool: splitter
    6 tool: splitter
    6 part: web 2
    6 tool: hand
    ");
}
