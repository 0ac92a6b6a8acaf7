use std::path::{Path, PathBuf};

use gudgeon::editor::references::{highlights, references};

use crate::common::{LOG, MANUAL, at, bench, index, placed};
use crate::support::editor::{log_page, manual_page};

const FILES: &[(&str, &str)] = &[("bench.manual", MANUAL), ("x.rebuild", LOG)];

fn of_log(what: &str) -> String {
    let page = log_page(MANUAL, LOG);
    let places = references(&page, Path::new("x.rebuild"), at(LOG, what, 0), &bench(), true);
    placed(&places, FILES)
}

#[test]
fn a_feature_is_found_under_all_its_names_in_log_and_manual() {
    insta::assert_snapshot!(of_log("Web  Width"), @"
    bench.manual:5:9 web width
    bench.manual:5:25 width over webs
    bench.manual:19:33 web width
    bench.manual:33:30 web width
    x.rebuild:15:1 width over webs
    x.rebuild:16:1 Web  Width
    ");
}

#[test]
fn a_step_and_a_need_are_found_in_both() {
    insta::assert_snapshot!(of_log("press together"), @"
    bench.manual:29:8 press together
    bench.manual:29:84 press up
    bench.manual:32:30 press together
    bench.manual:34:31 press together
    bench.manual:36:25 press together
    x.rebuild:20:5 press together
    x.rebuild:21:5 press together
    x.rebuild:25:5 press up
    x.rebuild:26:7 press up
    ");
    insta::assert_snapshot!(of_log("web supported close"), @"
    bench.manual:25:12 web supported
    bench.manual:25:32 lower web held
    bench.manual:29:30 web supported
    x.rebuild:20:37 web supported
    x.rebuild:25:15 lower web held
    x.rebuild:25:31 web well supported
    ");
}

#[test]
fn from_the_manual_the_same_is_found() {
    let page = manual_page(MANUAL);
    for what in ["web supported, also", "press together  needs", "web width, also"] {
        let places = references(&page, Path::new("bench.manual"), at(MANUAL, what, 0), &bench(), true);
        let same = match what.get(..5) {
            Some("press") => of_log("press together"),
            Some("web s") => of_log("web supported close"),
            _ => of_log("Web  Width"),
        };
        assert_eq!(placed(&places, FILES), same, "{what}");
    }
}

#[test]
fn tools_parts_and_places_are_a_logs_own() {
    let told = [
        of_log("mic A: "),
        of_log("rod kit A: number"),
        of_log("drive side"),
        of_log("do it here"),
    ];
    insta::assert_snapshot!(told.join("\n"), @"
    x.rebuild:7:6 mic A
    x.rebuild:15:31 mic A
    x.rebuild:16:26 mic A
    x.rebuild:17:40 mic A
    x.rebuild:27:9 mic A

    x.rebuild:13:9 rod kit A
    x.rebuild:14:5 rod kit A
    x.rebuild:17:15 rod kit A
    x.rebuild:20:26 rod kit A
    x.rebuild:28:7 rod kit A

    x.rebuild:19:12 drive side

    x.rebuild:9:8 do it here
    x.rebuild:10:7 do it here
    ");
}

#[test]
fn manuals_procedures_and_stocks_reach_over_files() {
    let told = [of_log("bench\n"), of_log("crank\ntool"), of_log("pin drawer")];
    insta::assert_snapshot!(told.join("\n"), @"
    bench.manual:1:10 bench
    x.rebuild:4:10 bench

    bench.manual:28:11 crank
    x.rebuild:5:11 crank

    bench.manual:23:32 pin drawer
    x.rebuild:11:7 pin drawer
    ");
}

#[test]
fn without_declarations_only_the_uses_are_told() {
    let page = log_page(MANUAL, LOG);
    let places = references(&page, Path::new("x.rebuild"), at(LOG, "mic A: ", 0), &bench(), false);
    assert_eq!(places.len(), 4);
    let all = references(&page, Path::new("x.rebuild"), at(LOG, "mic A: ", 0), &bench(), true);
    assert_eq!(all.len(), 5);
}

/// The file on disk may be older than the page.
#[test]
fn the_page_counts_and_not_what_the_index_has_of_it() {
    let page = log_page(MANUAL, LOG);
    let old = index(&[
        ("bench.manual", MANUAL),
        ("x.rebuild", "job x\n\n\n\nweb width = 1 mm\n"),
    ]);
    let places = references(&page, Path::new("x.rebuild"), at(LOG, "Web  Width", 0), &old, true);
    assert_eq!(placed(&places, FILES), of_log("Web  Width"));
}

#[test]
fn a_machine_is_found_in_its_other_logs() {
    let log = "job x\nmachine Tarn 250, frame TN-0417\n";
    let other = "job y\nmachine Tarn 250 trials single, frame no. TN-0417\n";
    let third = "job z\nmachine Tarn 250, frame TN-0418\n";
    let files = [("x.rebuild", log), ("y.rebuild", other), ("z.rebuild", third)];
    let page = log_page("", log);
    let places = references(&page, Path::new("x.rebuild"), at(log, "Tarn", 2), &index(&files), true);
    insta::assert_snapshot!(placed(&places, &files), @"
    x.rebuild:2:9 Tarn 250, frame TN-0417
    y.rebuild:2:9 Tarn 250 trials single, frame no. TN-0417
    ");
}

#[test]
fn a_page_shows_all_names_of_one_thing() {
    let page = log_page(MANUAL, LOG);
    let shown: Vec<(&str, bool)> = highlights(&page, at(LOG, "press up, lower", 8))
        .into_iter()
        .map(|(span, is_declaration)| (span.text(LOG), is_declaration))
        .collect();
    assert_eq!(
        shown,
        [
            ("press together", false),
            ("press together", false),
            ("press up", false),
            ("press up", false)
        ]
    );
    assert!(highlights(&page, 0).is_empty());
}

#[test]
fn logs_of_a_machine_come_earliest_first() {
    let log =
        |manual: &str, date: &str, machine: &str| format!("job x\nmachine {machine}\nmanual {manual}\n{date} build\n");
    let first = log("own", "2025-02-01", "Tarn 250, frame 7");
    let second = log("base", "2026-02-01", "Tarn 250, frame 7, blue");
    let undated = "job x\nmachine Tarn 250, frame 7\nmanual own\n";
    let third = log("other", "2024-02-01", "Tarn 250, frame 8");
    let files = [
        ("shop/tarn/b.rebuild", first.as_str()),
        ("shop/tarn/a.rebuild", second.as_str()),
        ("shop/tarn/0.rebuild", undated),
        ("shop/tarn/c.rebuild", third.as_str()),
        ("shop/odd/d.rebuild", second.as_str()),
    ];
    let index = index(&files);
    let paths = |list: &[&str]| -> Vec<PathBuf> { list.iter().map(PathBuf::from).collect() };
    assert_eq!(
        index.of_machine("tarn 250, frame 7", Path::new("shop/tarn/b.rebuild")),
        paths(&["shop/odd/d.rebuild", "shop/tarn/a.rebuild", "shop/tarn/0.rebuild"])
    );
}
