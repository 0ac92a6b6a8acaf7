//! Facts of the trade as check values: common practice, no source, unless one is named. Each is a problem of the bench, and what is said of it.

mod support;

use gudgeon::quantity::Verdict;
use gudgeon::workspace::{Library, analyse};
use std::path::Path;
use support::{NOWHERE, judge, told};

const MANUAL: &str = "\
manual bench
source page 1
units mm
feature gap
  build 0.6 to 0.7 mm
feature run-out at drive side, flywheel side
  build up to 0.03 mm
feature pin length
  nominal 60.00 mm
feature width over webs
  unit mm
calc width change = width over webs - width over webs as found
  build -0.20 to 0.20 mm
feature kit mass
  unit g
calc kit difference = kit mass of kit A - kit mass of kit B
  build 0 to 20 g
feature crank length
  unit mm
feature fixture inside
  unit mm
calc fixture room = fixture inside - crank length
  build at least 0 mm
feature piston size
  unit mm
feature bore
  unit mm
  material aluminium
procedure p
  step press together  disturbs width over webs; optional
";

/// Every figure of a log: its name, best value in its unit, and verdict.
fn figures(log: &str) -> Vec<(String, f64, Option<Verdict>)> {
    let library = Library::new();
    library.give("bench.manual", MANUAL);
    let text = format!("job x\nmanual bench\n{log}");
    let analysis = analyse("x.rebuild", Path::new(NOWHERE), text.into_bytes(), &library);
    gudgeon::judge::figures(&analysis)
        .into_iter()
        .map(|figure| {
            use rust_decimal::prelude::ToPrimitive as _;
            let value = figure.unit.and_then(|unit| unit.from_base(figure.estimate.best));
            let value = value.unwrap_or(figure.estimate.best).to_f64().unwrap_or(f64::NAN);
            (figure.name, value, figure.decision.map(|d| d.verdict))
        })
        .collect()
}

#[track_caller]
fn verdict(log: &str, name: &str) -> Verdict {
    let all = figures(log);
    let found = all
        .iter()
        .rfind(|(own, ..)| own == name)
        .and_then(|(.., verdict)| *verdict);
    found.unwrap_or_else(|| panic!("no verdict on {name}: {all:?}"))
}

#[track_caller]
fn value(log: &str, name: &str) -> f64 {
    let all = figures(log);
    let found = all.iter().rfind(|(own, ..)| own == name).map(|(_, value, _)| *value);
    found.unwrap_or_else(|| panic!("no {name}: {all:?}"))
}

#[track_caller]
fn said(log: &str) -> String {
    told(&judge("bench.manual", MANUAL, &format!("job x\nmanual bench\n{log}")))
}

/// Blade 0.7 goes and 0.8 does not: somewhere from 0.70 to 0.80, at best exactly at the limit of 0.7.
#[test]
fn blades_at_their_limit_are_not_in() {
    let seven = "2026-03-14 build\ngap = go 0.7, no-go 0.8 mm by feelers\n";
    assert_eq!(verdict(seven, "gap"), Verdict::NotProven);
    let six = "2026-03-14 build\ngap = go 0.6, no-go 0.7 mm by feelers\n";
    assert_eq!(verdict(six, "gap"), Verdict::In);
}

#[test]
fn run_out_in_micrometres_against_a_limit_in_millimetres() {
    let log = "tool dial: dial indicator, reads to 0.001 mm, good to 0.003 mm\n2026-03-14 build\n\
               run-out at drive side = 16 µm by dial\nrun-out at flywheel side = 4 um by dial\n";
    assert_eq!(verdict(log, "run-out at drive side"), Verdict::In);
    assert_eq!(verdict(log, "run-out at flywheel side"), Verdict::In);
    assert_eq!(said(log), "");
}

#[test]
fn a_pin_a_quarter_short_and_its_alternative() {
    let log = "2026-03-14 goods in\npin length of kit A = 59.75 mm\npin length of kit B = 59.90 mm\n";
    let said = said(log);
    assert!(
        said.contains("pin length of kit A measures 59.75 mm: 0.25 mm short of its nominal 60.00 mm"),
        "{said}"
    );
    assert!(!said.contains("kit B"), "{said}");
    assert_eq!(value(log, "pin length of kit B"), 59.90);
}

#[test]
fn a_width_before_and_after() {
    let log = "2026-03-14 as found\nwidth over webs = 59.98 mm\n2026-03-15 build\ndid press together\nwidth over webs = 59.91 mm\n";
    assert!((value(log, "width change") + 0.07).abs() < 1e-12);
}

/// Entered as 50.90 where it measured 59.90 earlier, nothing done to it in between: one digit is wrong.
#[test]
fn a_pin_with_one_digit_wrong() {
    let log = "2026-03-14 goods in\npin length of kit B = 59.90 mm\n2026-03-15 build\npin length of kit B = 50.90 mm\n";
    let inspected = judge("bench.manual", MANUAL, &format!("job x\nmanual bench\n{log}"));
    let slip = inspected
        .findings
        .iter()
        .find(|f| f.code == "reading.slip")
        .unwrap_or_else(|| panic!("{}", told(&inspected)));
    assert!(
        slip.message.contains("one digit wrong") && slip.message.contains("59.9"),
        "{}",
        slip.message
    );
    let fix = slip.fix.as_ref().expect("a fix is offered");
    let mut mended = inspected.source.text.to_string();
    for edit in fix.edits.iter().rev() {
        mended.replace_range(edit.span.range(), &edit.text);
    }
    let after = judge("bench.manual", MANUAL, &mended);
    assert_eq!(told(&after), "", "{mended}");
}

#[test]
fn two_kits_differ_by_eight_grams() {
    let log = "2026-03-14 goods in\nkit mass of kit A = 410 g\nkit mass of kit B = 402 g\n";
    assert!((value(log, "kit difference") - 8.0).abs() < 1e-12);
}

/// A press fixture that measures 0.3 mm less than the part does not take it.
#[test]
fn a_fixture_that_is_too_small() {
    let log = "2026-03-14 build\ncrank length = 180.4 mm by calliper\nfixture inside = 180.1 mm by calliper\n";
    assert_eq!(verdict(log, "fixture room"), Verdict::Out);
    let said = said(log);
    assert!(said.contains("limit.out") && said.contains("0.3 mm under"), "{said}");
}

/// 54.050 mm read at 50 °C in solid aluminium is 54.013 mm at 20 °C (trade arithmetic, α = 23e-6/°C).
#[test]
fn a_warm_barrel_is_brought_to_twenty_degrees() {
    let log = "2026-03-14 build\nbore = 54.050 mm by bore gauge at 50 C\n";
    assert!((value(log, "bore") - 54.013).abs() < 0.0005, "{}", value(log, "bore"));
    assert!(!said(log).contains("reading.warm"));
}
