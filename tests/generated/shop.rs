//! A small shop: generated logs and the manuals they name, at hand without a disk.

use std::path::Path;
use std::sync::Arc;

use gudgeon::judge::{Edit, Finding};
use gudgeon::syntax::{FileKind, Source};
use gudgeon::workspace::marks::line_words;
use gudgeon::workspace::{Inspected, Library, inspect};
use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;

use super::generate::{Log, Repository};

/// So many cases, or as many as `PROPTEST_CASES` says.
pub fn cases(usual: u32) -> ProptestConfig {
    let wanted = std::env::var("PROPTEST_CASES").ok().and_then(|text| text.parse().ok());
    ProptestConfig {
        cases: wanted.unwrap_or(usual),
        failure_persistence: None,
        // The bounded run is the same each time; the longer one throws anew.
        rng_seed: if wanted.is_some() {
            RngSeed::Random
        } else {
            RngSeed::Fixed(1)
        },
        ..ProptestConfig::default()
    }
}

/// Manuals at hand, and one log.
pub struct Shop {
    library: Library,
    /// The manuals by the names of their files.
    pub manuals: Vec<(String, String)>,
    /// The log.
    pub log: String,
}

impl Shop {
    /// A shop by its seed; its log has so many lines, about one in `mistakes` with a mistake.
    pub fn new(seed: u64, lines: u64, mistakes: u64) -> Shop {
        let repository = Repository { files: 48, lines, seed };
        let manuals = repository.manuals();
        let log = Log {
            mistakes,
            ..repository.log(seed % 48)
        }
        .text();
        Shop::of(manuals, log)
    }

    fn of(manuals: Vec<(String, String)>, log: String) -> Shop {
        let library = Library::new();
        for (name, text) in &manuals {
            library.give(&format!("{name}.manual"), text);
        }
        Shop { library, manuals, log }
    }

    /// The same log, with other texts of its manuals.
    pub fn with(&self, manuals: Vec<(String, String)>) -> Shop {
        Shop::of(manuals, self.log.clone())
    }

    /// A text inspected: as a log, or as the manual of a name.
    pub fn inspect(&self, kind: FileKind, name: &str, text: &str) -> Inspected {
        inspect(
            name,
            Path::new("no such folder"),
            kind,
            text.as_bytes().to_vec(),
            &self.library,
        )
    }

    /// A text inspected as a log.
    pub fn judge(&self, text: &str) -> Inspected {
        self.inspect(FileKind::Log, "x.rebuild", text)
    }
}

/// What a finding is told by, whatever the places: its code, what it says without numbers of lines, and the words of its line.
pub fn told(source: &Arc<Source>, finding: &Finding) -> (String, String, String) {
    (
        format!("{} {}", finding.severity.word(), finding.code),
        without_lines(&finding.message),
        bare(&line_words(source, finding)),
    )
}

/// All that is told of a file, in order.
pub fn all_told(inspected: &Inspected) -> Vec<(String, String, String)> {
    inspected
        .findings
        .iter()
        .map(|finding| told(&inspected.source, finding))
        .collect()
}

/// Words without what tidying may change: blanks, colons, capitals.
fn bare(words: &str) -> String {
    let kept = words.chars().filter(|c| !c.is_whitespace() && *c != ':');
    kept.flat_map(char::to_lowercase).collect()
}

/// A message without numbers of lines.
fn without_lines(message: &str) -> String {
    let mut out = String::new();
    let mut after_line = false;
    for word in message.split(' ') {
        let is_number = after_line && word.starts_with(|c: char| c.is_ascii_digit());
        after_line = matches!(word, "line" | "lines") || (after_line && matches!(word, "and" | "to"));
        out.push_str(if is_number { "N" } else { word });
        out.push(' ');
    }
    out
}

/// A text with edits carried out.
pub fn edited(text: &str, edits: &[Edit]) -> String {
    let mut out = text.to_owned();
    for edit in edits.iter().rev() {
        out.replace_range(edit.span.range(), &edit.text);
    }
    out
}
