//! Findings for tools: one line each, `path:line:column: severity[code] message`.

use std::fmt::Write;

use super::place::Placer;
use super::{KNOWN, Report, Summary};
use crate::judge::Severity;
use crate::workspace::Inspected;

/// The report of one line a finding. Columns count characters, from 1.
pub struct Line;

impl Report for Line {
    fn file(&self, inspected: &Inspected) -> String {
        let mut out = String::new();
        let name = escaped(&inspected.source.name);
        let mut placer = Placer::new(&inspected.source);
        for (at, finding) in inspected.findings.iter().enumerate() {
            let known = inspected.marks.is_known(at);
            // What is known is not told again, but for what can hurt someone.
            if known && finding.severity < Severity::Danger {
                continue;
            }
            let place = placer.place(finding.span.start);
            let message = escaped(&finding.message);
            // Writing into a string does not fail.
            let _ = writeln!(
                out,
                "{name}:{}:{}: {}[{}] {message}{}",
                place.line,
                place.column,
                finding.severity.word(),
                finding.code,
                if known { KNOWN } else { "" },
            );
        }
        out
    }

    fn closing(&self, _summary: &Summary) -> String {
        String::new()
    }
}

/// The text with every control character written as an escape, so that a finding stays on its line.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') {
            out.extend(c.escape_default());
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn a_finding_stays_on_its_line() {
        assert_eq!(escaped("a\nb\u{1b}µ"), "a\\nb\\u{1b}µ");
    }
}
