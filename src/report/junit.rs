//! Findings for the view of tests that CI services have: JUnit XML.
//!
//! A file is a suite. Its first case says that the file was read and judged; then there is one case for each code that was found in it. So a case keeps its
//! name from run to run, and its history tells since when a log has, say, a reading out of limit. A case fails where one of its findings weighs as much as
//! the run fails on; lighter ones, and those that the baseline has, are written in what the case printed. A file that could not be read is an error.

use std::fmt::Write;

use quick_junit::{NonSuccessKind, Report as Whole, TestCase, TestCaseStatus, TestSuite};

use super::place::Placer;
use super::visible::one_line;
use super::{KNOWN, Report, Summary};
use crate::judge::{Finding, Severity};
use crate::workspace::Inspected;

/// The case that every suite has.
const READ: &str = "read and judged";

/// Longest line of a case, in characters.
const MOST: usize = 2_000;

/// The report as JUnit XML.
pub struct Junit;

impl Report for Junit {
    fn opening(&self) -> String {
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites name=\"gudgeon inspect\">\n".to_owned()
    }

    fn file(&self, inspected: &Inspected) -> String {
        let name = plain(&inspected.source.name);
        let mut suite = TestSuite::new(name.as_str());
        suite.add_test_case(case(READ, &name, TestCaseStatus::success()));
        for of_code in by_code(inspected) {
            suite.add_test_case(of_code.case(&name));
        }
        written(suite)
    }

    fn closing(&self, summary: &Summary) -> String {
        let mut out = String::new();
        for unread in &summary.unread {
            let name = plain(&unread.path);
            out.push_str(&written(failed(&name, "unread", &unread.reason)));
        }
        if let Some(why) = &summary.nothing {
            out.push_str(&written(failed("gudgeon inspect", "nothing", why)));
        }
        out.push_str("</testsuites>\n");
        out
    }
}

/// The findings of one code in one file.
struct OfCode {
    code: &'static str,
    /// The gravest that makes the run fail, with how many do.
    failing: Vec<(Severity, String)>,
    /// The others.
    told: Vec<String>,
}

/// The findings by their code, in the order in which each is first met.
fn by_code(inspected: &Inspected) -> Vec<OfCode> {
    let mut all: Vec<OfCode> = Vec::new();
    let mut placer = Placer::new(&inspected.source);
    for (at, finding) in inspected.findings.iter().enumerate() {
        let place = placer.place(finding.span.start);
        let known = inspected.marks.is_known(at);
        let words = words(finding, &inspected.source.name, place.line, place.column, known);
        let index = all.iter().position(|of| of.code == finding.code).unwrap_or_else(|| {
            all.push(OfCode {
                code: finding.code,
                failing: Vec::new(),
                told: Vec::new(),
            });
            all.len() - 1
        });
        let Some(of_code) = all.get_mut(index) else { continue };
        if !known && finding.severity >= inspected.marks.fails_from {
            of_code.failing.push((finding.severity, words));
        } else {
            of_code.told.push(words);
        }
    }
    all
}

impl OfCode {
    fn case(self, file: &str) -> TestCase {
        let gravest = self.failing.iter().map(|(severity, _)| *severity).max();
        let status = match gravest {
            None => TestCaseStatus::success(),
            Some(gravest) => {
                let lines: Vec<&str> = self.failing.iter().map(|(_, words)| words.as_str()).collect();
                let first = lines.first().and_then(|words| words.lines().next()).unwrap_or_default();
                let more = match lines.len() {
                    1 => String::new(),
                    number => format!(" (and {} more)", number - 1),
                };
                let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                status
                    .set_type(gravest.word())
                    .set_message(format!("{first}{more}"))
                    .set_description(lines.join("\n"));
                status
            }
        };
        let mut case = case(self.code, file, status);
        if !self.told.is_empty() {
            case.set_system_out(self.told.join("\n"));
        }
        case
    }
}

/// A finding in words: its line as `--as line` has it, and what to do.
fn words(finding: &Finding, file: &str, line: usize, column: usize, known: bool) -> String {
    let mark = if known { KNOWN } else { "" };
    let head = format!(
        "{file}:{line}:{column}: {}[{}] {}{mark}",
        finding.severity.word(),
        finding.code,
        finding.message
    );
    let mut out = plain(&head);
    if !finding.help.is_empty() {
        // Writing into a string does not fail.
        let _ = write!(out, "\n  help: {}", plain(&finding.help));
    }
    out
}

/// A suite for what could not be done.
fn failed(name: &str, kind: &str, why: &str) -> TestSuite {
    let mut status = TestCaseStatus::non_success(NonSuccessKind::Error);
    status.set_type(kind).set_message(plain(why));
    let mut suite = TestSuite::new(name);
    suite.add_test_case(case(READ, name, status));
    suite
}

fn case(name: &str, file: &str, status: TestCaseStatus) -> TestCase {
    let mut case = TestCase::new(name, status);
    case.set_classname(file);
    case
}

/// A text that XML can hold (XML 1.0, 2.2): on one line, control characters as symbols.
fn plain(text: &str) -> String {
    one_line(text, MOST).replace(['\u{FFFE}', '\u{FFFF}'], "\u{FFFD}")
}

/// One suite as XML. The library writes whole reports; what stands around the suite in one is taken off, since suites are written as they come.
fn written(suite: TestSuite) -> String {
    let mut whole = Whole::unnamed();
    whole.add_test_suite(suite);
    let Ok(text) = whole.to_string() else {
        return String::new();
    };
    // Neither can stand in a text or an attribute: there a `<` is escaped.
    let begin = text.find("<testsuite ").unwrap_or(0);
    let end = text.rfind("</testsuites>").unwrap_or(text.len());
    let inner = text.get(begin..end).unwrap_or_default().trim_end();
    format!("    {inner}\n")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::judge::Tally;
    use crate::syntax::{Source, Span};
    use crate::workspace::marks::{Mark, State};
    use crate::workspace::{Kind, Marks};

    fn inspected(findings: Vec<Finding>, known: &[bool]) -> Inspected {
        let of = known.iter().map(|known| Mark {
            fingerprint: String::new(),
            state: if *known { State::Known } else { State::New },
        });
        Inspected {
            source: Arc::new(Source::new("a&b\u{1b}.rebuild", "web = 53\n")),
            kind: Kind::Log,
            findings,
            tally: Tally::default(),
            order: Vec::new(),
            marks: Marks {
                fails_from: Severity::Fault,
                of: of.collect(),
            },
        }
    }

    fn finding(code: &'static str, severity: Severity, message: &str) -> Finding {
        Finding::new(code, severity, Span::new(6, 8), message).help("measure <again>")
    }

    #[test]
    fn a_file_without_findings_is_a_suite_that_passes() {
        let text = Junit.file(&inspected(Vec::new(), &[]));
        assert_eq!(
            text,
            r#"    <testsuite name="a&amp;b␛.rebuild" tests="1" skipped="0" errors="0" failures="0">
        <testcase name="read and judged" classname="a&amp;b␛.rebuild"/>
    </testsuite>
"#
        );
    }

    #[test]
    fn what_fails_fails_and_what_is_lighter_or_known_is_told() {
        let findings = vec![
            finding("limit.out", Severity::Fault, "53 mm is \"over\" 52\u{7}\u{FFFF}\n"),
            finding("tool.coarse", Severity::Doubt, "too coarse"),
            finding("limit.out", Severity::Fault, "again"),
            finding("danger.never", Severity::Danger, "never with `air`"),
        ];
        let text = Junit.file(&inspected(findings, &[false, false, false, true]));
        assert_eq!(
            text,
            r#"    <testsuite name="a&amp;b␛.rebuild" tests="4" skipped="0" errors="0" failures="1">
        <testcase name="read and judged" classname="a&amp;b␛.rebuild"/>
        <testcase name="limit.out" classname="a&amp;b␛.rebuild">
            <failure message="a&amp;b␛.rebuild:1:7: fault[limit.out] 53 mm is &quot;over&quot; 52␇�␊ (and 1 more)" type="fault">a&amp;b␛.rebuild:1:7: fault[limit.out] 53 mm is &quot;over&quot; 52␇�␊
  help: measure &lt;again&gt;
a&amp;b␛.rebuild:1:7: fault[limit.out] again
  help: measure &lt;again&gt;</failure>
        </testcase>
        <testcase name="tool.coarse" classname="a&amp;b␛.rebuild">
            <system-out>a&amp;b␛.rebuild:1:7: doubt[tool.coarse] too coarse
  help: measure &lt;again&gt;</system-out>
        </testcase>
        <testcase name="danger.never" classname="a&amp;b␛.rebuild">
            <system-out>a&amp;b␛.rebuild:1:7: danger[danger.never] never with `air` (known from the baseline)
  help: measure &lt;again&gt;</system-out>
        </testcase>
    </testsuite>
"#
        );
    }
}
