//! `gudgeon inspect --as junit`. tests/outside/junit.py holds it against a schema and an independent reader.

use super::*;
use quick_junit::{NonSuccessKind, Report, TestCase, TestCaseStatus};

fn report(folder: &Path, args: &[&str]) -> (Report, Option<i32>) {
    let mut all = vec!["inspect", "--as", "junit"];
    all.extend(args);
    let ran = run(folder, &all);
    let report = Report::deserialize_from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {}", ran.out));
    (report, ran.code)
}

fn kind(case: &TestCase) -> Option<NonSuccessKind> {
    match &case.status {
        TestCaseStatus::NonSuccess { kind, .. } => Some(*kind),
        _ => None,
    }
}

#[test]
fn a_file_is_a_suite_and_a_code_a_case() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT), ("b.rebuild", IN_LIMIT)]);
    let (report, code) = report(folder.path(), &[]);
    assert_eq!(code, Some(1));
    let names: Vec<&str> = report.test_suites.iter().map(|suite| suite.name.as_str()).collect();
    assert_eq!(names, ["a.rebuild", "b.rebuild", "bench.manual"]);
    let bad = &report.test_suites[0];
    assert_eq!(bad.test_cases[0].name.as_str(), "read and judged");
    let out = bad
        .test_cases
        .iter()
        .find(|case| case.name.as_str() == "limit.out")
        .unwrap();
    assert_eq!(kind(out), Some(NonSuccessKind::Failure));
    assert_eq!((bad.failures, report.test_suites[1].failures), (1, 0));
    assert_eq!(report.test_suites[1].tests, 1);
}

#[test]
fn a_finding_below_the_threshold_is_told_and_fails_nothing() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
    let (report, code) = report(folder.path(), &["--fail-on", "danger"]);
    assert_eq!(code, Some(0));
    let cases = &report.test_suites[0].test_cases;
    let out = cases.iter().find(|case| case.name.as_str() == "limit.out").unwrap();
    assert_eq!(kind(out), None);
    assert!(
        out.system_out
            .as_ref()
            .is_some_and(|told| told.as_str().contains("fault[limit.out]"))
    );
}

#[test]
fn what_cannot_be_read_is_an_error() {
    let folder = folder(&[]);
    let (report, code) = report(folder.path(), &["gone.rebuild"]);
    assert_eq!(code, Some(2));
    assert_eq!(report.test_suites[0].errors, 1);
    assert_eq!(kind(&report.test_suites[0].test_cases[0]), Some(NonSuccessKind::Error));
}

#[test]
fn control_characters_of_a_log_make_no_broken_xml() {
    let log = b"job a \x1b[31m<crank> & \x00\x0b\x07\xEF\xBF\xBF\nfrobnicate \x1b]0;x\x07 ]]> <!-- \xff\nmanual no \x01 book\n2026-03-14 build\n";
    let folder = folder(&[]);
    write(folder.path(), "a.rebuild", log);
    let ran = run(
        folder.path(),
        &["inspect", "--as", "junit", "a.rebuild", "gone\u{1b}.rebuild"],
    );
    assert!(ran.out.contains("failure"), "{}", ran.out);
    let bad = |c: &char| (c.is_control() && *c != '\n') || matches!(*c, '\u{FFFE}' | '\u{FFFF}');
    assert_eq!(ran.out.chars().find(bad), None);
    assert!(Report::deserialize_from_str(&ran.out).is_ok());
}
