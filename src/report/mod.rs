//! Faces for readers: what the judge said, written as text for people, as one line a finding, or as JSON.
//!
//! Nothing here prints. A report turns one inspected file into a string; `cli` decides where it goes and in what order.

mod closing;
pub mod costs;
pub mod draw;
pub mod figures;
pub mod json;
pub mod junit;
pub mod line;
pub mod markdown;
pub mod next;
pub mod owner;
pub mod page;
mod place;
pub mod readings;
pub mod reckon;
pub mod rules;
pub mod sarif;
mod snippet;
pub mod style;
pub mod text;
pub mod trend;
pub mod visible;

use crate::judge::{Finding, Severity, Tally};
use crate::workspace::{Inspected, Kind};

pub use closing::closing_line;

/// What stands behind the message of a danger that the baseline has: it is told all the same.
const KNOWN: &str = " (known from the baseline)";

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

    /// What stands between two files of which there is something to say.
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
    /// How many of these findings there are.
    pub fn of(findings: &[Finding]) -> Counts {
        let mut counts = Counts::default();
        for finding in findings {
            counts.add(finding.severity);
        }
        counts
    }

    /// Counts one finding in.
    fn add(&mut self, severity: Severity) {
        match severity {
            Severity::Danger => self.danger += 1,
            Severity::Fault => self.fault += 1,
            Severity::Doubt => self.doubt += 1,
            Severity::Open => self.open += 1,
        }
    }

    /// Counts the findings of another count in.
    fn join(&mut self, other: Counts) {
        self.danger += other.danger;
        self.fault += other.fault;
        self.doubt += other.doubt;
        self.open += other.open;
    }
}

/// One file that was inspected, in figures.
#[derive(Clone, Copy, Debug)]
pub struct FileSummary {
    /// What the file is.
    pub kind: Kind,
    /// Its readings and verdicts.
    pub tally: Tally,
    /// Its findings, without those that the baseline has.
    pub counts: Counts,
    /// Those that the baseline has.
    pub known: Counts,
    /// How many findings make the run fail.
    pub failing: usize,
}

impl FileSummary {
    /// Counts what was found in a file.
    pub fn of(inspected: &Inspected) -> FileSummary {
        let mut summary = FileSummary {
            kind: inspected.kind,
            tally: inspected.tally,
            counts: Counts::default(),
            known: Counts::default(),
            failing: 0,
        };
        for (at, finding) in inspected.findings.iter().enumerate() {
            if inspected.marks.is_known(at) {
                summary.known.add(finding.severity);
            } else {
                summary.counts.add(finding.severity);
                summary.failing += usize::from(finding.severity >= inspected.marks.fails_from);
            }
        }
        summary
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
    /// Findings of all files together, without those that the baseline has.
    pub counts: Counts,
    /// Findings that the baseline has.
    pub known: Counts,
    /// Whether findings were held against a baseline.
    pub compared: bool,
    /// How many findings make the run fail.
    pub failing: usize,
    /// Files that could not be read.
    pub unread: Vec<Unread>,
    /// What else the user should know, one line each.
    pub notes: Vec<String>,
    /// Why nothing at all was judged, where that is a failure.
    pub nothing: Option<String>,
}

impl Summary {
    /// Counts one file in.
    pub fn add(&mut self, file: FileSummary) {
        match file.kind {
            Kind::Log => self.logs += 1,
            Kind::Manual => self.manuals += 1,
        }
        self.tally.add(file.tally);
        self.counts.join(file.counts);
        self.known.join(file.known);
        self.failing += file.failing;
    }
}
