//! What is said of a typed line at once is what is said of it when the whole log has been judged.

mod support;

use gudgeon::editor::Page;
use gudgeon::editor::glance::{Judged, glance};
use gudgeon::judge::Finding;
use gudgeon::syntax::Source;
use support::editor::log_page;

const MANUAL: &str = "manual bench\nextends pressed crank\nunits mm\nfeature web width\n  build 51.90 to 52.05 mm, source page 4\n\
                      feature bore\n  build 72.00 to 72.03 mm\n";

/// A log of many days.
fn log(days: usize) -> String {
    let mut text =
        "job x\nmachine Tarn 250, frame 1\nmanual bench\ntool mic: micrometer, reads to 0.01 mm\n\n".to_owned();
    for day in 0..days {
        text.push_str(&format!(
            "2026-{:02}-{:02} build\ndid press together, oiled, web supported\nweb width = 52.0{} mm by mic\n\
             bore = mm at 20 C\n   along across\n  top 72.01 72.02\n  low 72.01 72.04\n\n",
            1 + day / 28,
            1 + day % 28,
            day % 8
        ));
    }
    text
}

fn judged(text: &str) -> (Judged, Vec<Finding>) {
    let page = log_page(MANUAL, text);
    let Page::Log(log) = page else {
        unreachable!("it is a log")
    };
    (Judged::of(&log), log.findings)
}

/// What is said of one line, but for what only the whole job can tell.
fn said(findings: &[Finding], source: &Source, line: usize) -> Vec<String> {
    let mut list: Vec<String> = findings
        .iter()
        .filter(|finding| source.lines.line_of(finding.span.start) == line)
        .filter(|finding| {
            ["limit", "line", "danger"]
                .iter()
                .any(|own| finding.code.starts_with(own))
        })
        .map(|finding| format!("{} {}", finding.code, finding.message))
        .collect();
    list.sort();
    list
}

/// Which of many days is typed in.
#[derive(Clone, Copy, PartialEq)]
enum Which {
    Last,
    Earlier,
}

#[track_caller]
fn check(which: Which, find: &str, put: &str) -> Vec<String> {
    let old = log(60);
    let mut all = old.match_indices(find);
    let at = match which {
        Which::Last => all.last(),
        Which::Earlier => all.nth(2),
    };
    let at = at.expect("it is in there").0;
    let mut new = old.clone();
    new.replace_range(at..at + find.len(), put);
    let (before, _) = judged(&old);
    let now = Source::new("x.rebuild", new.clone());
    let seen = glance(&before, &now).expect("it is worth a glance");
    let (_, whole) = judged(&new);
    let line = now.lines.line_of(u32::try_from(at).expect("small"));
    let at_once = said(&seen, &now, line);
    assert_eq!(at_once, said(&whole, &now, line));
    // What stands elsewhere has moved with its line.
    for finding in &seen {
        let known = whole.iter().any(|w| w.code == finding.code && w.span == finding.span);
        let is_told_of_all = !["limit", "line", "danger"]
            .iter()
            .any(|own| finding.code.starts_with(own));
        assert!(
            known || is_told_of_all,
            "{} at {:?}: {}",
            finding.code,
            finding.span,
            finding.message
        );
    }
    at_once
}

#[test]
fn a_figure_out_of_its_limit_is_told_at_once() {
    let told = check(Which::Last, "web width = 52.03 mm", "web width = 52.08 mm");
    assert!(told.iter().any(|one| one.starts_with("limit.out")), "{told:?}");
    assert!(check(Which::Last, "web width = 52.03 mm", "web width = 52.02 mm").is_empty());
    // What has been read again since is history.
    assert!(check(Which::Earlier, "web width = 52.03 mm", "web width = 52.08 mm").is_empty());
}

#[test]
fn a_danger_is_told_at_once() {
    let told = check(
        Which::Earlier,
        "did press together, oiled, web supported",
        "did press together, oiled",
    );
    assert!(told.iter().any(|one| one.starts_with("danger.precaution")), "{told:?}");
}

#[test]
fn lines_put_in_move_what_stands_below() {
    check(
        Which::Earlier,
        "web width = 52.03 mm by mic\n",
        "note é汉𐐀\nnote again\nweb width = 52.03 mm by mic\n",
    );
    check(Which::Earlier, "did press together, oiled, web supported\nweb", "web");
}

#[test]
fn a_cell_of_a_table_is_judged_with_its_row_and_column() {
    let told = check(Which::Last, "  low 72.01 72.04\n", "  low 72.01 72.05\n");
    assert!(told.iter().any(|one| one.contains("low across")), "{told:?}");
}

/// An indented line belongs to the entry above, be there blank lines and comments between: by itself it would be prose with a figure.
#[test]
fn a_line_typed_below_a_blank_one_belongs_to_the_note_above() {
    let text = |more: &str| {
        let note = format!("note it was late\n\n# ---- at night ----\n\n{more}web width = 52.07 mm by mic\n");
        log(60).replacen("web width = 52.07 mm by mic\n", &note, 1)
    };
    let (before, _) = judged(&text(""));
    let now = Source::new("x.rebuild", text("  3 mm off by eye\n"));
    let seen = glance(&before, &now).expect("it is worth a glance");
    let told: Vec<&Finding> = seen.iter().filter(|finding| finding.code == "line.unread").collect();
    assert!(told.is_empty(), "{told:?}");
    // At the margin it is what it looks like.
    let now = Source::new("x.rebuild", text("3 mm off by eye\n"));
    let seen = glance(&before, &now).expect("it is worth a glance");
    assert!(seen.iter().any(|finding| finding.code == "line.unread"));
}

/// A figure for a derived feature is worked again from the readings above it, which only the whole has: it is held against no limit before.
#[test]
fn a_figure_that_is_worked_again_is_not_held_against_its_limit() {
    let manual = format!(
        "{MANUAL}feature piston size\n  unit mm\ncalc clearance = smallest(bore) - piston size\n  build 0.04 to 0.06 mm\n"
    );
    let text = |claim: &str| {
        format!(
            "{}2026-11-20 build\npiston size = 71.96 mm by mic\nclearance = {claim} mm\n",
            log(60)
        )
    };
    let Page::Log(before) = log_page(&manual, &text("0.05")) else {
        unreachable!("it is a log")
    };
    let now = Source::new("x.rebuild", text("0.55"));
    let seen = glance(&Judged::of(&before), &now).expect("it is worth a glance");
    let Page::Log(whole) = log_page(&manual, &text("0.55")) else {
        unreachable!("it is a log")
    };
    let line = now.lines.count() - 2;
    assert_eq!(said(&seen, &now, line), Vec::<String>::new());
    assert_eq!(said(&whole.findings, &now, line), Vec::<String>::new());
    assert!(whole.findings.iter().any(|finding| finding.code == "calc.disagrees"));
}

#[test]
fn the_head_is_not_judged_at_a_glance() {
    let old = log(3);
    let (before, _) = judged(&old);
    let new = old.replace("manual bench", "manual benc");
    assert!(glance(&before, &Source::new("x.rebuild", new)).is_none());
    assert!(glance(&before, &Source::new("x.rebuild", "")).is_none());
}
