//! What several tests need: a log judged by a manual given as a text, and what was said of it in words.
#![allow(dead_code)]

pub mod bench;
pub mod editor;

use std::path::Path;

use gudgeon::workspace::{Inspected, Kind, Library, inspect};

/// A folder that is not there, so that only the manuals that are given and the shelf are found.
pub const NOWHERE: &str = "no such folder";

/// Behind this the first line of a log may give the settings of its repository, for a test or an example.
const SETTINGS: &str = "# gudgeon.toml: ";

/// Judges a log, with a manual at hand under a name; an empty manual is none.
pub fn judge(name: &str, manual: &str, log: &str) -> Inspected {
    let library = Library::new();
    if !manual.is_empty() {
        library.give(name, manual);
    }
    let first = log.lines().next().unwrap_or("");
    if let Some(settings) = first.strip_prefix(SETTINGS) {
        library.give_settings("gudgeon.toml", settings);
    }
    inspect(
        "x.rebuild",
        Path::new(NOWHERE),
        Kind::Log,
        log.as_bytes().to_vec(),
        &library,
    )
}

/// Every finding on a line of its own, for messages of tests.
pub fn told(inspected: &Inspected) -> String {
    inspected
        .findings
        .iter()
        .map(|f| format!("{}[{}] {}\n", f.severity.word(), f.code, f.message))
        .collect()
}

/// Judges a log and compares what is said of each line with what is written behind it: `# finds CODE …`. Nothing else may be said.
#[track_caller]
pub fn check(name: &str, manual: &str, log: &str) {
    let inspected = judge(name, manual, log);
    let mut said: Vec<(usize, &str)> = inspected
        .findings
        .iter()
        .map(|f| (inspected.source.lines.line_of(f.span.start) + 1, f.code))
        .collect();
    let mut expected: Vec<(usize, &str)> = Vec::new();
    for (number, line) in log.lines().enumerate() {
        if let Some((_, codes)) = line.split_once("# finds ") {
            expected.extend(codes.split_whitespace().map(|code| (number + 1, code)));
        }
    }
    said.sort_unstable();
    expected.sort_unstable();
    assert_eq!(said, expected, "\n{log}\n{}", told(&inspected));
}
