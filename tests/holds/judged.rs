//! Manuals and logs judged as the program does, with nothing read from the disk.

use std::path::Path;
use std::sync::OnceLock;

use gudgeon::judge::{Analysis, Finding};
use gudgeon::syntax::Span;
use gudgeon::workspace::{Inspected, Kind, Library, analyse, inspect};

/// A folder that is not there, so that only the manuals that are given and the shelf are found.
pub const NOWHERE: &str = "no such folder";

/// A library that holds these manuals and the shelf. The shelf is read once for all.
pub fn library(manuals: &[(String, &str)]) -> Library {
    static SHELF: OnceLock<Library> = OnceLock::new();
    let library = SHELF.get_or_init(Library::new).renewed(Default::default(), &[], true);
    for (name, text) in manuals {
        library.give(name, text);
    }
    library
}

/// The library of one manual, which the log calls `m`.
pub fn library_of(manual: &str) -> Library {
    library(&[("m.manual".to_owned(), manual)])
}

pub fn log(text: &str, library: &Library) -> Inspected {
    inspect(
        "x.rebuild",
        Path::new(NOWHERE),
        Kind::Log,
        text.as_bytes().to_vec(),
        library,
    )
}

pub fn analysis(text: &str, library: &Library) -> Analysis {
    analyse("x.rebuild", Path::new(NOWHERE), text.as_bytes().to_vec(), library)
}

pub fn manual(text: &str, library: &Library) -> Inspected {
    inspect(
        "m.manual",
        Path::new(NOWHERE),
        Kind::Manual,
        text.as_bytes().to_vec(),
        library,
    )
}

/// A finding in full, its places with it.
pub fn whole(finding: &Finding) -> String {
    let beside: Vec<(Option<&str>, Span, &str)> = finding
        .related
        .iter()
        .map(|r| (r.source.as_ref().map(|s| s.name.as_str()), r.span, r.message.as_str()))
        .collect();
    let Finding {
        code,
        severity,
        message,
        span,
        label,
        help,
        fix,
        reason,
        was,
        ..
    } = finding;
    format!("{code} {severity:?} {span:?} {message} | {label} | {help} | {beside:?} | {fix:?} | {reason:?} | {was:?}")
}

/// All findings in full, in order.
pub fn all(findings: &[Finding]) -> Vec<String> {
    findings.iter().map(whole).collect()
}

/// The words of a finding without its place: neither the numbers of lines nor how many blanks stand between words.
pub fn words(finding: &Finding) -> String {
    let mut words = vec![finding.code];
    let mut after_line = false;
    for word in finding.message.split_whitespace() {
        let is_number = after_line && word.starts_with(|c: char| c.is_ascii_digit());
        words.push(if is_number { "#" } else { word });
        after_line = matches!(word, "line" | "lines") || (after_line && (is_number || word == "and" || word == "to"));
    }
    words.join(" ")
}

/// The words of all findings without their places, sorted.
pub fn all_words(findings: &[Finding]) -> Vec<String> {
    let mut all: Vec<String> = findings.iter().map(words).collect();
    all.sort_unstable();
    all
}
