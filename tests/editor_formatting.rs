//! Tidy layout as edits: the whole page, some lines, the line just ended.

mod support;

use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::editor::formatting::{format, format_range, on_newline};
use gudgeon::judge::Edit;
use gudgeon::syntax::layout::tidy;
use gudgeon::syntax::{FileKind, Span};
use proptest::prelude::*;
use support::editor::{log_page, manual_page, marked};

/// A text with edits carried out; they must be in order and apart.
#[track_caller]
fn apply(text: &str, edits: &[Edit]) -> String {
    let mut out = String::new();
    let mut at = 0;
    for edit in edits {
        let range = edit.span.range();
        assert!(at <= range.start, "edits overlap: {edits:?}");
        assert_ne!(&text[range.clone()], edit.text, "an edit that changes nothing");
        out.push_str(&text[at..range.start]);
        out.push_str(&edit.text);
        at = range.end;
    }
    out.push_str(&text[at..]);
    out
}

/// What `format` makes of a text, with each edit shown as `[old|new]`.
fn shown(text: &str, edits: &[Edit]) -> String {
    let mut out = String::new();
    let mut at = 0;
    for edit in edits {
        let range = edit.span.range();
        out.push_str(&text[at..range.start]);
        out.push_str(&format!("[{}|{}]", &text[range.clone()], edit.text).replace('\n', "⏎"));
        at = range.end;
    }
    out.push_str(&text[at..]);
    out
}

#[test]
fn only_what_is_untidy_is_touched() {
    let text = "JOB bottom end\nmachine  Tarn 250\n\n\n2026-03-14  build\nweb width = 52.03 mm\nside play =go 0.40 ,no-go 0.45 mm  ";
    let page = log_page("", text);
    assert_eq!(
        shown(text, &format(&page)),
        "[JOB|job     ] bottom end\nmachine  Tarn 250\n\n[⏎|]2026-03-14  build\nweb width = 52.03 mm\nside play =[go 0.40 ,no-go 0.45 mm  | go 0.40, no-go 0.45 mm⏎]"
    );
    assert_eq!(apply(text, &format(&page)), tidy(text, FileKind::Log));
}

#[test]
fn a_neat_page_has_no_edits() {
    let neat = tidy("job x\n2026-03-14 build\nweb width = 52.03 mm by mic\n", FileKind::Log);
    assert!(format(&log_page("", &neat)).is_empty());
}

#[test]
fn a_range_lays_out_its_own_entries_only() {
    let (text, at) = marked("job   a\n2026-03-14   build\ndid  press in,¦oiled\n   flush\nweb   width=52 mm\n");
    let page = log_page("", &text);
    let edits = format_range(
        &page,
        Span {
            start: at[0],
            end: at[0],
        },
    );
    assert_eq!(
        apply(&text, &edits),
        "job   a\n2026-03-14   build\ndid press in, oiled\n  flush\nweb   width=52 mm\n"
    );
}

/// The text after a newline was typed where the cursor is, with the edits that follow, and `¦` where the new line's blanks end.
#[track_caller]
fn newline(before: &str) -> String {
    newline_of(before, |text| log_page("", text))
}

#[track_caller]
fn newline_of(before: &str, page: impl Fn(&str) -> Page) -> String {
    let (text, at) = marked(before);
    let page = page(&text);
    apply(&text, &on_newline(&page, at[0]))
}

#[test]
fn the_line_above_is_laid_out_and_a_table_goes_on() {
    assert_eq!(
        newline("job x\n2026-03-14 build\nbore of cylinder=mm   by bore gauge\n¦"),
        "job x\n2026-03-14 build\nbore of cylinder = mm by bore gauge\n   "
    );
    assert_eq!(
        newline(
            "job x\n2026-03-14 build\nbore of cylinder = mm by bore gauge\n            along    across\n  top  72.012  72.010\n¦\nnote x\n"
        ),
        "job x\n2026-03-14 build\nbore of cylinder = mm by bore gauge\n          along   across\n   top   72.012   72.010\n   \nnote x\n"
    );
}

#[test]
fn an_entry_goes_on_behind_a_comma_and_an_empty_line_ends_it() {
    assert_eq!(
        newline("job x\n2026-03-14 build\ndid press in,oiled,\n¦"),
        "job x\n2026-03-14 build\ndid press in, oiled,\n  "
    );
    assert_eq!(
        newline("job x\n2026-03-14 build\ndid press in, oiled\n  flush\n¦"),
        "job x\n2026-03-14 build\ndid press in, oiled\n  flush\n  "
    );
    assert_eq!(
        newline("job x\n2026-03-14 build\nbore = mm by bore gauge\n   top 72.012\n   \n   ¦"),
        "job x\n2026-03-14 build\nbore = mm by bore gauge\n   top 72.012\n\n"
    );
    assert_eq!(
        newline("job x\n2026-03-14 build\nweb width=52 mm\n¦"),
        "job x\n2026-03-14 build\nweb width = 52 mm\n"
    );
}

#[test]
fn a_newline_in_the_middle_of_a_line_leaves_what_stands_behind_it() {
    assert_eq!(
        newline("job x\n2026-03-14  build\nnote first\n¦ second\n"),
        "job x\n2026-03-14  build\nnote first\n second\n"
    );
}

#[test]
fn below_a_heading_of_a_manual_its_lines_are_indented() {
    assert_eq!(
        newline_of("manual m\nfeature web width\n¦", manual_page),
        "manual m\nfeature web width\n  "
    );
    assert_eq!(
        newline_of(
            "manual m\nprocedure crank\n  step press in\n    needs oiled\n¦",
            manual_page
        ),
        "manual m\nprocedure crank\n  step press in\n    needs oiled\n    "
    );
}

/// Lines as they are written in a hurry, and lines that are none.
fn line() -> impl Strategy<Value = String> {
    let known = prop::sample::select(vec![
        "job  bottom end",
        "2026-03-14   build",
        "web width= 52.03 mm  by mic # twice",
        "side play = go 0.40 ,no-go 0.45 mm",
        "bore = mm by bore gauge",
        "   top 72.012  72.010",
        "  along  across",
        "did press in ,oiled",
        "  flush, because tight",
        "  ",
        "",
        "# remark",
        "  # remark",
        "tool mic:micrometer",
        "note   two  words",
        "  more of it",
        "\u{FEFF}job",
        "DID x",
        "fix web width 52.03->52.04",
        "found pin :good",
        "feature web width",
        " build 1 to 2 mm",
        "step a needs b;after c",
        "procedure p",
        "é = 1,5 µm",
        "09:40  did x",
        "-> , ;",
        "closed  2026-03-15",
    ]);
    let end = prop::sample::select(vec!["\n", "\n", "\n", "\r\n", "\r"]);
    (
        prop_oneof![4 => known.prop_map(str::to_owned), 1 => "[ -~äµ\t]{0,24}"],
        end,
    )
        .prop_map(|(line, end)| line + end)
}

fn text() -> impl Strategy<Value = String> {
    (prop::collection::vec(line(), 0..12), any::<bool>()).prop_map(|(lines, cut)| {
        let text = lines.concat();
        if cut {
            text.trim_end_matches(['\r', '\n']).to_owned()
        } else {
            text
        }
    })
}

fn page(text: &str, is_log: bool) -> (Page, FileKind) {
    if is_log {
        (log_page("", text), FileKind::Log)
    } else {
        (manual_page(text), FileKind::Manual)
    }
}

/// What is said of a page, without the places.
fn said(page: &Page) -> Vec<String> {
    let mut said: Vec<String> = page
        .findings()
        .iter()
        .map(|f| format!("{} {}", f.code, f.message.split_whitespace().collect::<String>()))
        .collect();
    said.sort();
    said
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_edits_give_the_tidy_text_and_doing_it_twice_changes_nothing(text in text(), is_log: bool) {
        let (own, kind) = page(&text, is_log);
        let laid = apply(&text, &format(&own));
        prop_assert_eq!(&laid, &tidy(&text, kind));
        let (again, _) = page(&laid, is_log);
        prop_assert!(format(&again).is_empty());
    }

    #[test]
    fn edits_of_a_range_lie_on_its_entries_and_mean_the_same(text in text(), is_log: bool, start in 0u32..300, length in 0u32..60) {
        let (own, kind) = page(&text, is_log);
        let span = Span { start, end: start + length };
        let edits = format_range(&own, span);
        let lines = &own.source().lines;
        let (first, last) = (lines.line_of(span.start), lines.line_of(span.end));
        let mut wanted = first..last + 1;
        if let Page::Log(log) = &own {
            for entry in &log.tree.entries {
                if entry.line <= last && first < entry.line + entry.lines {
                    wanted = wanted.start.min(entry.line)..wanted.end.max(entry.line + entry.lines);
                }
            }
        }
        for edit in &edits {
            prop_assert!(wanted.contains(&lines.line_of(edit.span.start)), "{:?}", edits);
        }
        prop_assert_eq!(tidy(&apply(&text, &edits), kind), tidy(&text, kind));
    }

    #[test]
    fn a_newline_never_changes_what_is_said(text in text(), is_log: bool, at in 0usize..300) {
        let mut at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let typed = format!("{}\n{}", &text[..at], &text[at..]);
        let (own, _) = page(&typed, is_log);
        let edits = on_newline(&own, u32::try_from(at + 1).expect("a short text"));
        let (then, _) = page(&apply(&typed, &edits), is_log);
        prop_assert_eq!(said(&own), said(&then), "{:?}", edits);
    }
}

#[test]
fn every_sample_is_laid_out_as_tidy_does() {
    for folder in [
        "samples/as-written",
        "samples/corrected",
        "samples/ahead",
        "tests/clean",
    ] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(folder).expect("the folder").flatten() {
            let Ok(text) = std::fs::read_to_string(entry.path()) else {
                continue;
            };
            let page = log_page("", &text);
            assert_eq!(
                apply(&text, &format(&page)),
                tidy(&text, FileKind::Log),
                "{}",
                entry.path().display()
            );
        }
    }
}
