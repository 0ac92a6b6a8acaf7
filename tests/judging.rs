//! Properties of judging: whatever is written, nothing panics, every place lies in the text, and the counts add up.

mod support;

use std::path::Path;

use gudgeon::judge::Severity;
use gudgeon::workspace::{Inspected, Kind, Library, inspect};
use proptest::prelude::*;

const MANUAL: &str = "\
manual m
source page 1
extends pressed crank
units mm, N·m
feature bore of cylinder 1, cylinder 2 at top, bottom
  unit mm
feature piston size
  unit mm
feature shim at left, right
  build 1.0 to 2.0 mm
calc piston clearance of cylinder 1, cylinder 2 = smallest(bore) - largest(piston size)
  build 0.045 to 0.060 mm
calc odd = (shim at left as found + shim at right) / 2 - sqrt(abs(shim at left * shim at right))
  build up to 1 mm
precaution gloves
  because hot parts burn
procedure p
  step heat case; needs gloves; heat up to 120 C
  step fit bearing after heat case; disturbs shim, bore at top; force up to rating of press
  step read after fit bearing; reads shim
  step close after read; torque 9 to 11 N·m; once
  never close, dry because it leaks
";

fn judge(log: &str) -> Inspected {
    support::judge("m.manual", MANUAL, log)
}

/// Statements that are nearly right, in any order and with any figures.
fn line() -> impl Strategy<Value = String> {
    let figure = prop_oneof![
        "[0-9]{1,3}[.,][0-9]{0,4}".prop_map(String::from),
        "[-+]?[0-9]{1,30}".prop_map(String::from),
        Just("79228162514264337593543950335".to_owned()),
        Just("0.0000000000000000000000000001".to_owned()),
    ];
    let unit = prop::sample::select(vec![
        "", " mm", "mm", " in", " thou", " N·m", " ft-lb", " C", " F", " K", " t", " ton", " xyz", "°", " bar abs",
        ":1", "/8 in", " 3/0 in", "° 30'",
    ]);
    let subject = prop::sample::select(vec![
        "bore of cylinder 1 at top",
        "bore of cylinder 2",
        "piston size",
        "shim at left",
        "shim at right",
        "piston clearance of cylinder 1",
        "odd",
        "play",
        "web width",
        "run-out at left",
    ]);
    let step = prop::sample::select(vec![
        "heat case",
        "fit bearing",
        "close",
        "read",
        "press together",
        "anything",
    ]);
    let detail = prop::sample::select(vec![
        "gloves",
        "no gloves",
        "dry",
        "on cylinder 1",
        "from kit A",
        "force 7 t on press",
        "torque 5/10 N·m",
        "heat 130 C",
        "because why not",
    ]);
    prop_oneof![
        (subject.clone(), figure.clone(), unit.clone()).prop_map(|(s, f, u)| format!("{s} = {f}{u}")),
        (subject.clone(), figure.clone(), figure.clone(), unit.clone())
            .prop_map(|(s, a, b, u)| format!("{s} = go {a}, no-go {b}{u}")),
        (subject.clone(), figure.clone(), figure.clone(), unit.clone())
            .prop_map(|(s, a, b, u)| format!("{s} = {a} {b}{u} by dial")),
        (subject.clone(), figure.clone(), figure.clone()).prop_map(|(s, a, b)| format!("{s} = {a} - {b} = {a}")),
        (subject.clone(), figure.clone(), figure.clone()).prop_map(|(s, a, b)| format!("{s} = {a} / {b} * {a} = {b}")),
        (subject.clone(), figure.clone(), figure.clone(), unit).prop_map(|(s, a, b, u)| format!("{s} = {a} ± {b}{u}")),
        (subject.clone(), figure.clone(), figure).prop_map(|(s, a, b)| format!("fix {s} {a} -> {b}")),
        subject.prop_map(|s| format!("{s} = mm\n   along across\n  top 1.2 \"\n  bottom - 3.4")),
        (step, prop::collection::vec(detail, 0..4)).prop_map(|(s, d)| format!("did {s}, {}", d.join(", "))),
        prop::sample::select(vec![
            "2026-03-14 as found",
            "2026-03-15 build",
            "2026-02-30",
            "held on centres",
            "chose kit A over kit B",
            "ordered kit A: number 1 C3, quantity 2",
            "got kit A: number 1, quantity 1",
            "waiting for kit C",
            "found webs: good, reuse",
            "tool press: press, rated 10 t",
            "tool dial: dial, good to 1 mm",
            "units in, blades hundredths",
            "closed 2026-04-01",
            "note it went well",
            "plain prose",
            "manual m",
            "procedure p",
            "hours 3",
        ])
        .prop_map(str::to_owned),
        ".{0,40}",
    ]
}

fn holds(log: &str) -> Result<(), TestCaseError> {
    let inspected = judge(log);
    let text = &inspected.source.text;
    for finding in &inspected.findings {
        let places =
            std::iter::once(finding.span).chain(finding.related.iter().filter(|r| r.source.is_none()).map(|r| r.span));
        for span in places {
            prop_assert!(text.get(span.range()).is_some(), "{}: {span:?}", finding.code);
        }
        prop_assert!(
            !finding.message.is_empty() && !finding.message.contains('\n'),
            "{}",
            finding.code
        );
        prop_assert!(
            gudgeon::judge::rules().iter().any(|rule| rule.code == finding.code),
            "{} is not explained",
            finding.code
        );
    }
    prop_assert!(
        inspected
            .findings
            .is_sorted_by_key(|f| (f.severity == Severity::Open, f.span.start))
    );
    let tally = &inspected.tally;
    prop_assert_eq!(tally.judged, tally.inside + tally.out + tally.not_proven);
    prop_assert!(tally.history <= tally.out + tally.not_proven);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn anything_is_judged_without_harm(lines in prop::collection::vec(line(), 0..40)) {
        holds(&format!("job x\nmanual m\n{}\n", lines.join("\n")))?;
    }

    #[test]
    fn the_shelf_judges_anything_too(lines in prop::collection::vec(line(), 0..40)) {
        holds(&lines.join("\r\n"))?;
    }

    /// Judging the same text twice says the same: nothing depends on the order of a hash.
    #[test]
    fn the_verdict_is_the_same_every_time(lines in prop::collection::vec(line(), 0..30)) {
        let log = format!("job x\nmanual m\n{}\n", lines.join("\n"));
        let say = |inspected: &Inspected| -> Vec<String> { inspected.findings.iter().map(|f| format!("{} {:?} {}", f.code, f.span, f.message)).collect() };
        prop_assert_eq!(say(&judge(&log)), say(&judge(&log)));
    }

    /// A manual of any lines is inspected, and a log is judged by it.
    #[test]
    fn a_broken_manual_does_no_harm(cut in 0usize..900, junk in ".{0,30}", lines in prop::collection::vec(line(), 0..8)) {
        let mut manual = MANUAL.to_owned();
        let mut at = cut.min(manual.len());
        while !manual.is_char_boundary(at) {
            at -= 1;
        }
        manual.insert_str(at, &junk);
        let library = Library::new();
        library.give("m.manual", &manual);
        let folder = Path::new(support::NOWHERE);
        inspect("m.manual", folder, Kind::Manual, manual.into_bytes(), &library);
        let log = format!("job x\nmanual m\n{}\n", lines.join("\n"));
        inspect("x.rebuild", folder, Kind::Log, log.into_bytes(), &library);
    }
}
