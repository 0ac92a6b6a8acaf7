//! Faces for readers: what the judge said, written as text for people, as one line a finding, or as JSON.
//!
//! Nothing here prints. A report turns one inspected file into a string; `cli` decides where it goes and in what order.

mod closing;
pub mod costs;
pub mod figures;
pub mod json;
pub mod line;
pub mod next;
mod place;
pub mod reckon;
pub mod rules;
mod snippet;
pub mod text;
pub mod visible;

use crate::judge::{Finding, Severity, Tally};
use crate::workspace::{Inspected, Kind};

pub use closing::closing_line;

/// The JSON Schema of a shape, as text.
fn schema_of<T: schemars::JsonSchema>() -> String {
    let mut text = serde_json::to_string_pretty(&schemars::schema_for!(T)).unwrap_or_default();
    text.push('\n');
    text
}

/// A way to write findings down. Files are rendered apart from each other, so that this may be done on several threads.
pub trait Report: Sync {
    /// What stands before the first file.
    fn opening(&self) -> String {
        String::new()
    }

    /// Everything there is to say about one file; may be empty.
    fn file(&self, inspected: &Inspected) -> String;

    /// What stands between two files.
    fn between(&self) -> &'static str {
        ""
    }

    /// What stands behind the last file.
    fn closing(&self, summary: &Summary) -> String;
}

/// A file that could not be read at all.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Unread {
    /// Path as given.
    pub path: String,
    /// Why not, in words.
    pub reason: String,
}

/// How many findings there are of each severity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Counts {
    /// Findings that can hurt someone.
    pub danger: usize,
    /// Wrong records, and readings out of limit.
    pub fault: usize,
    /// Not proven, or probably a slip.
    pub doubt: usize,
    /// Still to do.
    pub open: usize,
}

impl Counts {
    /// Counts the findings of one file in.
    pub fn add(&mut self, findings: &[Finding]) {
        for finding in findings {
            match finding.severity {
                Severity::Danger => self.danger += 1,
                Severity::Fault => self.fault += 1,
                Severity::Doubt => self.doubt += 1,
                Severity::Open => self.open += 1,
            }
        }
    }

    /// Whether nothing was found.
    pub fn is_empty(self) -> bool {
        self == Counts::default()
    }

    /// The gravest severity that was found.
    pub fn worst(self) -> Option<Severity> {
        [
            (self.danger, Severity::Danger),
            (self.fault, Severity::Fault),
            (self.doubt, Severity::Doubt),
            (self.open, Severity::Open),
        ]
        .into_iter()
        .find_map(|(count, severity)| (count > 0).then_some(severity))
    }
}

/// Everything that was inspected, in figures.
#[derive(Clone, Debug, Default)]
pub struct Summary {
    /// How many logs were judged.
    pub logs: usize,
    /// How many manuals were judged.
    pub manuals: usize,
    /// Readings and verdicts of all files together.
    pub tally: Tally,
    /// Findings of all files together.
    pub counts: Counts,
    /// Files that could not be read.
    pub unread: Vec<Unread>,
}

impl Summary {
    /// Counts one file in.
    pub fn add(&mut self, kind: Kind, tally: Tally, counts: Counts) {
        match kind {
            Kind::Log => self.logs += 1,
            Kind::Manual => self.manuals += 1,
        }
        self.tally.add(tally);
        self.counts.danger += counts.danger;
        self.counts.fault += counts.fault;
        self.counts.doubt += counts.doubt;
        self.counts.open += counts.open;
    }
}
