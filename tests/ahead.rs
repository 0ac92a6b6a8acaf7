//! Looking ahead: what there is to choose, what a step is to be expected with, where to strike; told before it is done.

mod support;

#[path = "ahead/choosing.rs"]
mod choosing;
#[path = "ahead/truing.rs"]
mod truing;

use std::path::Path;

use gudgeon::judge::Analysis;
use gudgeon::judge::next::{Kind, Todo, next};
use gudgeon::report::next as report;
use gudgeon::workspace::{Library, analyse};

/// A log judged by a manual called `m`.
fn analysed(manual: &str, log: &str) -> Analysis {
    let library = Library::new();
    library.give("m.manual", manual);
    analyse(
        "x.rebuild",
        Path::new(support::NOWHERE),
        log.as_bytes().to_vec(),
        &library,
    )
}

fn todo(manual: &str, log: &str) -> Vec<Todo> {
    next(&analysed(manual, log))
}

fn of_kind(list: &[Todo], kind: Kind) -> Vec<&Todo> {
    list.iter().filter(|todo| todo.kind == kind).collect()
}

/// What of several is to be taken.
fn taken(todo: &Todo) -> Option<&str> {
    todo.options
        .iter()
        .find(|offered| offered.is_taken)
        .map(|offered| offered.name.as_str())
}

/// The sample job up to the end of a day.
fn larkmoor(day: &str) -> (Analysis, Vec<Todo>) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/ahead");
    let text = std::fs::read_to_string(folder.join("larkmoor-175.rebuild")).expect("the sample is there");
    let days = text.lines().enumerate().filter(|(_, line)| line.starts_with(day));
    let last = days.last().expect("the day is there").0;
    let behind = text.lines().enumerate().skip(last + 1);
    let end = behind
        .filter(|(_, line)| line.starts_with("2026-"))
        .map(|(number, _)| number)
        .next();
    let until: Vec<&str> = text.lines().take(end.unwrap_or(usize::MAX)).collect();
    let analysis = analyse(
        "larkmoor-175.rebuild",
        &folder,
        until.join("\n").into_bytes(),
        &Library::new(),
    );
    let list = next(&analysis);
    (analysis, list)
}

/// At each point of the job something is told that the next line of the log then does.
#[test]
fn each_group_changes_what_is_done_next() {
    let choice = |day: &str, what: &str| {
        let (_, list) = larkmoor(day);
        let todo = list.iter().find(|todo| todo.what.starts_with(what));
        let todo = todo.unwrap_or_else(|| panic!("{day}: no {what} in {list:#?}"));
        assert_eq!(todo.kind, Kind::Choose, "{day}");
        taken(todo).expect("one is to be taken").to_owned()
    };
    assert_eq!(choice("2026-02-20", "rod kit"), "rod kit A");
    assert_eq!(choice("2026-02-20", "bearing"), "bearing C4");
    assert_eq!(choice("2026-02-25", "piston"), "piston B");
    assert_eq!(choice("2026-03-06", "crank shim"), "0.30 mm");
    assert_eq!(choice("2026-03-09", "base gasket"), "0.50 mm");
    let (_, ways) = larkmoor("2026-02-03");
    let ways = of_kind(&ways, Kind::Choose);
    assert!(
        ways.iter().any(|todo| todo.what.contains("do it here is the cheapest")),
        "{ways:#?}"
    );
    let trued = |day: &str| {
        let (_, list) = larkmoor(day);
        of_kind(&list, Kind::TrueUp).first().map(|todo| todo.what.clone())
    };
    assert_eq!(
        trued("2026-03-02").as_deref(),
        Some("strike the rim of the web at left at 90°")
    );
    assert_eq!(
        trued("2026-03-03").as_deref(),
        Some("drive a wedge between the webs opposite the pin, at 180°")
    );
    assert_eq!(trued("2026-03-04"), None);
    // What the loss of the first leak test was, and what the wrench is set to.
    let (analysis, list) = larkmoor("2026-03-12");
    let text = report::text(&analysis, &list, 100);
    assert!(text.contains("loss by cooling 0.03 bar"), "{text}");
    assert!(text.contains("loss by leaking 0.010"), "{text}");
    let (analysis, list) = larkmoor("2026-03-09");
    let text = report::text(&analysis, &list, 100);
    assert!(text.contains("expect wrench setting 19.41 N·m"), "{text}");
    assert!(text.contains("bolts 1 3 2 4"), "{text}");
    let (analysis, list) = larkmoor("2026-03-01");
    let text = report::text(&analysis, &list, 100);
    assert!(text.contains("expect press force oiled at left 3.21 to 4.50"), "{text}");
}

/// What the README shows is what is told.
#[test]
fn the_readme_shows_the_truing_as_it_is_told() {
    let (analysis, list) = larkmoor("2026-03-02");
    let text = report::text(&analysis, &list, 100);
    let (_, section) = text.split_once("\nto true\n").expect("there is a crank to true");
    let told = section.split("\n\n").next().unwrap_or("");
    assert!(include_str!("../README.md").contains(told), "{told}");
}

/// The whole of it as it is read at the bench.
#[test]
fn the_job_as_it_was_looked_ahead_in() {
    for day in [
        "2026-02-03",
        "2026-02-20",
        "2026-02-25",
        "2026-03-01",
        "2026-03-02",
        "2026-03-03",
        "2026-03-06",
        "2026-03-09",
        "2026-03-12",
    ] {
        let (analysis, list) = larkmoor(day);
        insta::assert_snapshot!(format!("larkmoor-{day}"), report::text(&analysis, &list, 100));
    }
}
