//! What is to be done next, as it is told at the bench.

use std::path::Path;

use gudgeon::judge::Analysis;
use gudgeon::judge::next::{Kind, Todo, next};
use gudgeon::report::next as report;
use gudgeon::workspace::{Library, analyse};

const MANUAL: &str = "\
manual winch, edition 2
source workshop manual
feature side play
  build 0.35 to 0.50 mm
feature fixture room
  build at least 0.2 mm
precaution web supported
  because an unsupported web bends the shaft
procedure crank
  step measure as found  reads side play
  step press out pin  after measure as found; needs web supported; disturbs side play
  one of press pin dry, press pin oiled
  step press pin dry    after press out pin; disturbs side play
  step press pin oiled  after press out pin; disturbs side play
  step press together   after press pin dry; given fixture room; renews washers; disturbs side play; then check rod
    force 3 to 8 t
    uses press rated at least 8 t
  step check rod
  step true crank   optional; after press together; disturbs side play
  step close cases  after check rod; only if side play in
";

fn analysed(log: &str) -> Analysis {
    let library = Library::new();
    library.give("winch.manual", MANUAL);
    let folder = Path::new("no such folder");
    analyse("winch.rebuild", folder, log.as_bytes().to_vec(), &library)
}

fn todo(log: &str) -> (String, Vec<Todo>) {
    let analysis = analysed(log);
    let list = next(&analysis);
    (report::text(&analysis, &list, 100), list)
}

const MONTHS_AGO: &str = "\
job winch engine, bottom end
manual winch
tool press: press, rated 6 t
2026-01-14 as found
side play = go 0.60, no-go 0.65 mm by feelers
did press out pin, held down
found pin: blue, replace
2026-01-20
ordered pin: number 77-2
2026-06-15 goods in
side play = go 0.60, no-go 0.65 mm by feelers
";

#[test]
fn after_five_months_of_waiting_for_a_part() {
    insta::assert_snapshot!(todo(MONTHS_AGO).0);
}

#[test]
fn a_part_that_came_is_no_longer_waited_for_and_the_next_step_is_free() {
    let came = format!("{MONTHS_AGO}got pin: number 77-2\ndid press pin oiled\n");
    let (text, list) = todo(&came);
    assert!(list.iter().all(|todo| todo.kind != Kind::WaitFor), "{text}");
    let together = list
        .iter()
        .find(|todo| todo.what == "press together")
        .expect("it is told");
    assert_eq!(
        (together.kind, together.why.as_str()),
        (Kind::DoLater, "once fixture room is read in limit"),
        "{text}"
    );
    let (text, list) = todo(&format!("{came}fixture room = 0.8 mm by calliper\n"));
    let together = list
        .iter()
        .find(|todo| todo.what == "press together")
        .expect("it is told");
    assert_eq!(together.kind, Kind::Do, "{text}");
    // Read again only once it is no longer moved by what is still to be done.
    assert!(
        list.iter()
            .any(|todo| todo.kind == Kind::ReadLater && todo.what == "side play"),
        "{text}"
    );
}

#[test]
fn of_a_closed_job_only_what_is_wrong_in_it_is_left() {
    let (text, list) =
        todo("job x\nmanual winch\n2026-03-14 build\nside play = go 0.40, no-go 0.45 mm by feelers\nclosed\n");
    assert!(list.is_empty(), "{text}");
    assert!(text.contains("Closed, and nothing is left to do."), "{text}");
}

#[test]
fn a_job_that_has_not_begun_is_told_what_there_is() {
    let (text, _) = todo("job x\nmanual winch\n");
    assert!(
        text.contains("No procedure of its manuals has begun") && text.contains("crank"),
        "{text}"
    );
}

#[test]
fn the_json_is_of_its_shape() {
    let analysis = analysed(MONTHS_AGO);
    let list = next(&analysis);
    let json: serde_json::Value = serde_json::from_str(&report::json(&[(analysis, list)])).expect("it is JSON");
    let schema: serde_json::Value = serde_json::from_str(&report::schema()).expect("so is the schema");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    assert!(validator.is_valid(&json), "{json}");
    assert_eq!(json["logs"][0]["next"][0]["kind"], "stop");
}

/// What is told as following is not offered once more, and what should have come before a step that was done is past.
#[test]
fn nothing_is_offered_twice_or_too_late() {
    let log = "job x\n2026-03-14 build\ndid press in crankpin, web supported, oiled, flush\ndid press together, web supported, oiled\n";
    let analysis = analyse(
        "x.rebuild",
        Path::new("no such folder"),
        log.as_bytes().to_vec(),
        &Library::new(),
    );
    let may: Vec<String> = next(&analysis)
        .into_iter()
        .filter(|todo| todo.kind == Kind::MayDo)
        .map(|todo| todo.what)
        .collect();
    assert!(may.contains(&"true crank".to_owned()), "{may:?}");
    assert!(!may.contains(&"check rod turns".to_owned()), "{may:?}");
    assert!(!may.contains(&"oil big end".to_owned()), "{may:?}");
}

/// Whoever names a procedure is told how it may begin.
#[test]
fn a_named_procedure_tells_its_first_steps() {
    let log = "job x\nprocedure crank rebuild\n2026-03-14 as found\nweb width = 52.03 mm\nside play = go 0.60, no-go 0.65 mm by feelers\n\
               run-out at left = 0.010 ± 0.003 mm, on centres\n";
    let analysis = analyse(
        "x.rebuild",
        Path::new("no such folder"),
        log.as_bytes().to_vec(),
        &Library::new(),
    );
    let list = next(&analysis);
    assert!(list.iter().any(|todo| todo.what == "press out crankpin"), "{list:?}");
}
