use std::path::Path;

use gudgeon::editor::index::Summary;
use gudgeon::editor::search::search;
use gudgeon::syntax::FileKind;

use crate::common::{LOG, bench, index};

fn found(query: &str, most: usize) -> String {
    let list = search(&bench(), query, most);
    list.iter()
        .map(|f| format!("{} {} ({}, {})\n", f.entity.word(), f.name, f.path.display(), f.within))
        .collect()
}

#[test]
fn a_few_letters_in_their_order_find_a_name() {
    insta::assert_snapshot!(found("wbwd", 3), @"feature web width (bench.manual, bench)");
    insta::assert_snapshot!(found("press", 4), @"
    tool press (x.rebuild, bottom end, Tarn 250, frame TN-0417)
    step press up (bench.manual, bench)
    step press together (bench.manual, bench)
    ");
    insta::assert_snapshot!(found("tarn", 9), @"machine Tarn 250, frame TN-0417 (x.rebuild, bottom end, Tarn 250, frame TN-0417)");
    insta::assert_snapshot!(found("bottom", 9), @"job bottom end (x.rebuild, bottom end, Tarn 250, frame TN-0417)");
    insta::assert_snapshot!(found("mic", 9), @"tool mic A (x.rebuild, bottom end, Tarn 250, frame TN-0417)");
}

#[test]
fn what_no_file_introduces_is_found_where_it_is_first_named() {
    let log = "job x\n2026-03-14 build\nmain float = 0.1 mm\n";
    let index = index(&[("a.rebuild", log), ("b.rebuild", log)]);
    let list = search(&index, "mfloat", 9);
    assert_eq!(list.len(), 1);
    assert_eq!(list[0].path, Path::new("a.rebuild"));
    assert_eq!(list[0].span.text(log), "main float");
}

#[test]
fn no_letters_find_nothing_and_capitals_do_not_matter() {
    assert!(search(&bench(), "", 9).is_empty());
    assert!(search(&bench(), "  ", 9).is_empty());
    assert_eq!(found("WEB W", 2), found("web w", 2));
    assert!(search(&bench(), "zzz", 9).is_empty());
    assert!(search(&bench(), "e", 0).is_empty());
}

#[test]
fn a_summary_keeps_what_the_head_says() {
    let text = format!("{LOG}hours 340\nhours 31240 km\n");
    let summary = Summary::read(FileKind::Log, &text);
    assert_eq!(summary.machine.as_deref(), Some("Tarn 250, frame TN-0417"));
    assert_eq!(summary.title.as_deref(), Some("bottom end"));
    let dates = summary.dates.map(|(first, last)| (first.to_string(), last.to_string()));
    assert_eq!(dates, Some(("2026-03-14".to_owned(), "2026-03-20".to_owned())));
    let hours = summary.hours.as_ref().map(|(first, last)| (&**first, &**last));
    assert_eq!(hours, Some(("312", "31240 km")));
}
