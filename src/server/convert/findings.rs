//! Findings as diagnostics.

use tower_lsp::ls_types::{
    Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location, NumberOrString, Range, Uri,
};

use super::places::uri_of;
use crate::judge::{Finding, Severity};
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::syntax::Source;

/// The most findings of one file that are sent: no editor shows more, and nobody reads them.
const MOST: usize = 1000;

/// How many places a finding may point to.
const MOST_RELATED: usize = 20;

/// The findings of a file. `uri` is its own address.
pub fn diagnostics(findings: &[Finding], source: &Source, uri: &Uri, facts: &Facts) -> Vec<Diagnostic> {
    if findings.len() <= MOST {
        return findings.iter().map(|f| diagnostic(f, source, uri, facts)).collect();
    }
    // The weightiest are sent, in the order of place.
    let mut numbers: Vec<usize> = (0..findings.len()).collect();
    let weight = |number: &usize| findings.get(*number).map(|finding| std::cmp::Reverse(finding.severity));
    numbers.sort_by_key(weight);
    numbers.truncate(MOST - 1);
    numbers.sort_unstable();
    let mut list: Vec<Diagnostic> = numbers
        .into_iter()
        .filter_map(|number| findings.get(number))
        .map(|finding| diagnostic(finding, source, uri, facts))
        .collect();
    list.push(Diagnostic {
        range: Range::default(),
        severity: Some(DiagnosticSeverity::INFORMATION),
        source: Some("gudgeon".to_owned()),
        message: format!(
            "{} more findings are not shown here; `gudgeon inspect` prints all of them",
            findings.len() + 1 - MOST
        ),
        ..Diagnostic::default()
    });
    list
}

fn diagnostic(finding: &Finding, source: &Source, uri: &Uri, facts: &Facts) -> Diagnostic {
    Diagnostic {
        range: range(source, finding.span, facts.encoding),
        severity: Some(severity(finding.severity)),
        code: Some(NumberOrString::String(finding.code.to_owned())),
        source: Some("gudgeon".to_owned()),
        message: message(finding),
        related_information: related(finding, source, uri, facts),
        ..Diagnostic::default()
    }
}

/// What may hurt someone and what is wrong are both errors to an editor; a danger says so in its first word.
fn severity(severity: Severity) -> DiagnosticSeverity {
    match severity {
        Severity::Danger | Severity::Fault => DiagnosticSeverity::ERROR,
        Severity::Doubt => DiagnosticSeverity::WARNING,
        Severity::Open => DiagnosticSeverity::INFORMATION,
    }
}

/// The message, and below it what to do.
fn message(finding: &Finding) -> String {
    let mut message = String::new();
    if finding.severity == Severity::Danger {
        message.push_str("danger: ");
    }
    message.push_str(&finding.message);
    if !finding.help.is_empty() {
        message.push('\n');
        message.push_str(&finding.help);
    }
    message
}

fn related(finding: &Finding, source: &Source, uri: &Uri, facts: &Facts) -> Option<Vec<DiagnosticRelatedInformation>> {
    if !facts.related || finding.related.is_empty() {
        return None;
    }
    let list = finding.related.iter().take(MOST_RELATED).filter_map(|related| {
        let (uri, source) = match &related.source {
            Some(source) => (uri_of(&source.name)?, &**source),
            None => (uri.clone(), source),
        };
        Some(DiagnosticRelatedInformation {
            location: Location {
                uri,
                range: range(source, related.span, facts.encoding),
            },
            message: related.message.clone(),
        })
    });
    Some(list.collect())
}

#[cfg(test)]
mod tests {
    use std::str::FromStr;

    use super::*;
    use crate::syntax::Span;

    fn told(findings: &[Finding]) -> Vec<Diagnostic> {
        let source = Source::new("x", "job x\nweb width = 3 mm\n");
        let uri = Uri::from_str("file:///x.rebuild").expect("an address");
        diagnostics(findings, &source, &uri, &Facts::default())
    }

    #[test]
    fn a_danger_says_so_and_what_to_do_stands_below() {
        let finding = Finding::new("danger.x", Severity::Danger, Span::new(6, 9), "no gloves").help("put them on");
        let list = told(&[finding]);
        assert_eq!(list[0].message, "danger: no gloves\nput them on");
        assert_eq!(list[0].severity, Some(DiagnosticSeverity::ERROR));
        assert_eq!(list[0].range.start.line, 1);
    }

    #[test]
    fn of_too_many_the_weightiest_are_sent() {
        let mut findings: Vec<Finding> = (0..1500)
            .map(|_| Finding::new("a.b", Severity::Open, Span::new(0, 3), "open"))
            .collect();
        findings.push(Finding::new("c.d", Severity::Fault, Span::new(6, 9), "wrong"));
        let list = told(&findings);
        assert_eq!(list.len(), MOST);
        assert!(list.iter().any(|one| one.message == "wrong"));
        assert_eq!(
            list.last().map(|one| one.message.as_str()),
            Some("502 more findings are not shown here; `gudgeon inspect` prints all of them")
        );
    }
}
