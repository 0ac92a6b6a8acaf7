use std::path::Path;

use gudgeon::editor::definition::definition;
use gudgeon::editor::{Index, Page};
use gudgeon::workspace::{Library, analyse};

use crate::common::{LOG, MANUAL, at};
use crate::support::NOWHERE;
use crate::support::editor::{log_page, manual_page};

/// What is asked of, and each place as `file:line [name] whole line`.
fn goes_to(page: &Page, offset: u32) -> String {
    let Some((asked, places)) = definition(page, offset, &Index::default()) else {
        return "nowhere".to_owned();
    };
    let mut told = format!("{} ->", asked.text(page.text()));
    for place in places {
        let text = &place.source.text;
        assert!(place.whole.start <= place.span.start && place.span.end <= place.whole.end);
        let line = place.source.lines.line_of(place.span.start) + 1;
        let name = place.span.text(text);
        told.push_str(&format!(
            " {}:{line} [{name}] {}",
            place.source.name,
            place.whole.text(text).trim()
        ));
    }
    told
}

fn of_log(what: &str) -> String {
    let page = log_page(MANUAL, LOG);
    goes_to(&page, at(LOG, what, 1))
}

fn of_manual(what: &str, in_it: usize) -> String {
    let page = manual_page(MANUAL);
    goes_to(&page, at(MANUAL, what, in_it))
}

#[test]
fn names_of_a_log_lead_to_where_they_are_introduced() {
    let asked = [
        "Web  Width",
        "width over webs",
        "press together, from",
        "press up, lower",
        "web supported close",
        "oiled, force",
        "lower web held",
        "web well supported",
        "mic A at",
        "press, on cylinder",
        "rod kit A = 52",
        "crankpin: blue",
        "drive side = 0.01",
        "bench\n",
        "crank\ntool",
        "do it here\nstock",
        "pin drawer",
        "rod kit B",
        "feelers",
        "Tarn 250",
    ];
    let told: Vec<String> = asked.iter().map(|what| of_log(what)).collect();
    insta::assert_snapshot!(told.join("\n"), @"
    Web  Width -> bench.manual:5 [web width] feature web width, also width over webs
    width over webs -> bench.manual:5 [web width] feature web width, also width over webs
    press together -> bench.manual:29 [press together] step press together  needs web supported, oiled or dry; disturbs side play; also press up
    press up -> bench.manual:29 [press together] step press together  needs web supported, oiled or dry; disturbs side play; also press up
    web supported -> bench.manual:25 [web supported] precaution web supported, also lower web held
    oiled -> bench.manual:29 [oiled or dry] step press together  needs web supported, oiled or dry; disturbs side play; also press up
    lower web held -> bench.manual:25 [web supported] precaution web supported, also lower web held
    web well supported -> bench.manual:25 [web supported] precaution web supported, also lower web held
    mic A -> x.rebuild:7 [mic A] tool mic A: micrometer, good to 0.004 mm
    press -> x.rebuild:6 [press] tool press: press, rated 10 t
    rod kit A -> x.rebuild:14 [rod kit A] got rod kit A: number 44
    crankpin -> x.rebuild:12 [crankpin] found crankpin: blue, replace
    drive side -> bench.manual:10 [drive side] feature run-out at drive side, flywheel side
    bench -> bench.manual:1 [manual   bench, edition 1] manual   bench, edition 1
    crank -> bench.manual:28 [crank] procedure crank
    do it here -> x.rebuild:9 [do it here] option do it here: parts 128 EUR
    pin drawer -> x.rebuild:11 [pin drawer] stock pin drawer: 51.9 52.0 mm
    rod kit B -> x.rebuild:28 [rod kit B] chose rod kit A over rod kit B, because it fits
    nowhere
    nowhere
    ");
}

#[test]
fn a_figure_leads_to_the_limit_it_is_held_against() {
    let told: Vec<String> = ["52.01 mm", "0.01 mm\ndid", "0.40, no-go", "6 t on", "52.00 mm, by mic"]
        .iter()
        .map(|what| of_log(what))
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    52.01 mm -> bench.manual:6 [build    51.90 to 52.05 mm] build    51.90 to 52.05 mm
    0.01 mm -> bench.manual:12 [build    up to 0.03 mm] build    up to 0.03 mm
    go 0.40, no-go 0.45 mm -> bench.manual:8 [build    0.35 to 0.50 mm] build    0.35 to 0.50 mm
    force 6 t on press -> bench.manual:30 [force] force up to rating of press
    nowhere
    ");
}

#[test]
fn names_of_a_manual_lead_to_where_they_are_introduced() {
    let asked = [
        ("pin length - web", 0),
        ("- web width + s", 2),
        ("play worked\nfeature", 0),
        ("side play\n  choose", 0),
        ("run-out; optional", 3),
        ("true crank, measure", 0),
        ("web supported, oiled", 4),
        ("dry; disturbs", 1),
        ("pin drawer", 0),
        ("bench, ed", 0),
        ("press together if", 0),
    ];
    let told: Vec<String> = asked.iter().map(|(what, in_it)| of_manual(what, *in_it)).collect();
    insta::assert_snapshot!(told.join("\n"), @"
    pin length -> bench.manual:15 [pin length] feature pin length
    web width -> bench.manual:5 [web width] feature web width, also width over webs
    play worked -> bench.manual:19 [play worked] calc play worked = pin length - web width + smallest(run-out at drive side) * 0
    side play -> bench.manual:7 [side play] feature side play
    run-out -> bench.manual:10 [run-out] feature run-out at drive side, flywheel side
    true crank -> bench.manual:32 [true crank] step true crank      after press together; disturbs run-out; optional; renews circlips
    web supported -> bench.manual:25 [web supported] precaution web supported, also lower web held
    dry -> bench.manual:29 [oiled or dry] step press together  needs web supported, oiled or dry; disturbs side play; also press up
    pin drawer -> bench.manual:23 [pin drawer] choose pin length from stock pin drawer, up to 2 together
    bench -> bench.manual:1 [manual   bench, edition 1] manual   bench, edition 1
    press together -> bench.manual:29 [press together] step press together  needs web supported, oiled or dry; disturbs side play; also press up
    ");
}

#[test]
fn where_two_manuals_give_limits_both_are_shown_the_one_that_wins_first() {
    let manual = "manual bench\nextends pressed crank\nfeature side play\n  build 0.35 to 0.50 mm\n";
    let log = "job x\nmanual bench\n2026-03-14 build\nside play = 0.45 mm\ndid press in crankpin, web supported\n";
    let page = log_page(manual, log);
    let told = [
        goes_to(&page, at(log, "side play", 4)),
        goes_to(&page, at(log, "web supp", 4)),
    ]
    .join("\n");
    insta::assert_snapshot!(told, @"
    side play -> bench.manual:3 [side play] feature side play shelf:pressed crank:16 [side play] feature side play, also big end side play, big-end side play, rod side play, side clearance, s/play
    web supported -> shelf:pressed crank:116 [web supported] precaution web supported, also web held, lower web held, webs held, web on the splitter
    ");
}

#[test]
fn a_manual_of_the_shelf_leads_to_its_first_line() {
    let log = "job x\nmanual pressed crank\n";
    insta::assert_snapshot!(goes_to(&log_page("", log), at(log, "pressed", 3)), @"pressed crank -> shelf:pressed crank:1 [# Pressed-up cranks with a roller big end: two-strokes and small four-strokes.] # Pressed-up cranks with a roller big end: two-strokes and small four-strokes.");
    let manual = "manual bench\nextends pressed crank\n";
    insta::assert_snapshot!(goes_to(&manual_page(manual), at(manual, "pressed", 0)), @"pressed crank -> shelf:pressed crank:1 [# Pressed-up cranks with a roller big end: two-strokes and small four-strokes.] # Pressed-up cranks with a roller big end: two-strokes and small four-strokes.");
}

#[test]
fn what_nobody_introduces_leads_nowhere_or_to_where_it_is_first_named() {
    let log = "job x\nmanual bench\n2026-03-14 build\nodd gap = 1 mm by mic Z\nodd gap = 1 mm\n";
    let page = log_page("manual bench\n", log);
    let second = log
        .rfind("odd gap")
        .and_then(|at| u32::try_from(at).ok())
        .expect("there twice");
    insta::assert_snapshot!(goes_to(&page, second), @"odd gap -> x.rebuild:4 [odd gap] odd gap = 1 mm by mic Z");
    insta::assert_snapshot!(goes_to(&page, at(log, "mic Z", 1)), @"nowhere");
    insta::assert_snapshot!(goes_to(&page, at(log, "job", 0)), @"nowhere");
}

#[test]
fn each_figure_of_a_table_leads_to_the_limit_of_its_stage() {
    let manual = "manual bench\nfeature bore at top, bottom\n  build 54.00 to 54.02 mm\n  service up to 54.06 mm\n";
    let log = "\u{FEFF}job x\r\nmanual bench\r\n2026-03-14 as found\r\nbore = mm\r\n   top  54.03\r\n   bottom  54.05\r\n2026-03-15 build\r\nbore at top = 54.01 mm\r\n";
    let page = log_page(manual, log);
    let told: Vec<String> = ["54.03", "54.05", "54.01"]
        .iter()
        .map(|what| goes_to(&page, at(log, what, 2)))
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    54.03 -> bench.manual:4 [service up to 54.06 mm] service up to 54.06 mm
    54.05 -> bench.manual:4 [service up to 54.06 mm] service up to 54.06 mm
    54.01 mm -> bench.manual:3 [build 54.00 to 54.02 mm] build 54.00 to 54.02 mm
    ");
}

#[test]
fn each_manual_line_leads_to_its_own_manual() {
    let library = Library::new();
    library.give("first.manual", "# ours\nmanual first\n");
    library.give(
        "second.manual",
        "manual second\nextends first\nfeature odd gap\n  build 1 to 2 mm\n",
    );
    let log = "job x\nmanual second\nmanual lost\nmanual first.manual\nodd gap = 1.5 mm\n";
    let page = Page::Log(Box::new(analyse(
        "x.rebuild",
        Path::new(NOWHERE),
        log.as_bytes().to_vec(),
        &library,
    )));
    let told: Vec<String> = ["second", "lost", "first.man", "odd gap"]
        .iter()
        .map(|what| goes_to(&page, at(log, what, 1)))
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    second -> second.manual:1 [manual second] manual second
    nowhere
    first -> first.manual:1 [# ours] # ours
    odd gap -> second.manual:3 [odd gap] feature odd gap
    ");
}
