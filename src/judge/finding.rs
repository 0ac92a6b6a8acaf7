//! What the judge says: a finding, with its code, its severity, its place, what it rests on and how to mend it.

use std::sync::Arc;

pub use crate::syntax::Source;
use crate::syntax::Span;

/// How much a finding weighs. The order is the order of weight: `Danger` is the greatest.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Still to do; becomes a fault once the job is closed.
    Open,
    /// Not proven, or probably a slip.
    Doubt,
    /// The record is wrong, or out of limit.
    Fault,
    /// Can hurt someone.
    Danger,
}

impl Severity {
    /// The word for it, as printed.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Open => "open",
            Severity::Doubt => "doubt",
            Severity::Fault => "fault",
            Severity::Danger => "danger",
        }
    }
}

/// A second place a finding rests on: the limit in the manual, the step that overtook a reading, the first of two.
#[derive(Clone, Debug)]
pub struct Related {
    /// The text it stands in; `None` means the file of the finding itself.
    pub source: Option<Arc<Source>>,
    /// Where.
    pub span: Span,
    /// What is there, as a short phrase: `the limit`, `this step came after`.
    pub message: String,
}

/// One change of text: the bytes of `span` become `text`. An insertion has an empty span.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What is replaced, in the file of the finding.
    pub span: Span,
    /// What comes instead.
    pub text: String,
}

/// A way to mend a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    /// What it does, as an instruction: `add "fix web width 52.53 -> 52.03 mm"`.
    pub title: String,
    /// The changes, in order of place, not overlapping.
    pub edits: Vec<Edit>,
}

/// One thing said about a log or a manual.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Dotted code, such as `limit.out`; explained by `gudgeon why CODE`.
    pub code: &'static str,
    /// How much it weighs.
    pub severity: Severity,
    /// One line in workshop words, with the numbers in it.
    pub message: String,
    /// Where it stands, in the file that was inspected.
    pub span: Span,
    /// What stands under the place, as a short phrase; may be empty.
    pub label: String,
    /// What to do next, in a sentence or two; may be empty.
    pub help: String,
    /// Other places it rests on.
    pub related: Vec<Related>,
    /// How to mend it, if that is known.
    pub fix: Option<Fix>,
    /// Of a danger, the reason that is written with that very step.
    pub reason: Option<String>,
    /// What it weighed before the settings of the repository lowered it.
    pub was: Option<Severity>,
}

/// What was judged, counted. `judged = in + out + not proven`; a stale reading is counted under its verdict and again as stale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Tally {
    /// Readings (and derived figures) that had a limit to be judged by.
    pub judged: usize,
    /// Verdict `in`.
    #[serde(rename = "in")]
    pub inside: usize,
    /// Verdict `out`.
    pub out: usize,
    /// Verdict `not proven`.
    pub not_proven: usize,
    /// Of those in or out, how many have the limit inside their uncertainty: too close to call.
    pub close: usize,
    /// Readings whose figure was corrected: for the zero of the tool, or for a temperature.
    pub corrected: usize,
    /// Of those out or not proven, how many have been read again since, or are of a part that was left for another.
    pub history: usize,
    /// Latest readings that a later step has overtaken.
    pub stale: usize,
    /// Readings that no limit was known for.
    pub unjudged: usize,
    /// Steps of the procedures in play that are not done yet.
    pub steps_open: usize,
}

impl Tally {
    /// Adds another tally to this one.
    pub fn add(&mut self, other: Tally) {
        self.judged += other.judged;
        self.inside += other.inside;
        self.out += other.out;
        self.not_proven += other.not_proven;
        self.close += other.close;
        self.corrected += other.corrected;
        self.history += other.history;
        self.stale += other.stale;
        self.unjudged += other.unjudged;
        self.steps_open += other.steps_open;
    }
}

/// A rule that findings are made by: the text behind `gudgeon why CODE`.
#[derive(Debug)]
pub struct Rule {
    /// Dotted code.
    pub code: &'static str,
    /// Its usual severity, in words, with what changes it: `open, fault once the job is closed`.
    pub severity: &'static str,
    /// What it says, in one sentence.
    pub says: &'static str,
    /// Why it matters, in a few sentences.
    pub why: &'static str,
    /// Where the rule comes from: a standard, or `common practice, no source`, or `arithmetic`.
    pub source: &'static str,
    /// A log that gives exactly this finding.
    pub fires: Example,
    /// The same log put right, which does not.
    pub clean: Example,
}

/// A log and the manual it is judged by, as a test and as an explanation. An empty manual means the shelf.
#[derive(Clone, Copy, Debug)]
pub struct Example {
    /// Text of a `.manual`, or empty.
    pub manual: &'static str,
    /// Text of a `.rebuild`.
    pub log: &'static str,
}

impl Finding {
    /// A finding with its code, weight, place and message; the rest is added by the methods below.
    pub fn new(code: &'static str, severity: Severity, span: Span, message: impl Into<String>) -> Finding {
        Finding {
            code,
            severity,
            message: message.into(),
            span,
            label: String::new(),
            help: String::new(),
            related: Vec::new(),
            fix: None,
            reason: None,
            was: None,
        }
    }

    /// Says what stands at its place.
    pub fn label(mut self, label: impl Into<String>) -> Finding {
        self.label = label.into();
        self
    }

    /// Says what to do next.
    pub fn help(mut self, help: impl Into<String>) -> Finding {
        self.help = help.into();
        self
    }

    /// Points to another place in the same file.
    pub fn see(mut self, span: Span, message: impl Into<String>) -> Finding {
        self.related.push(Related {
            source: None,
            span,
            message: message.into(),
        });
        self
    }

    /// Points to a place in a manual; nothing is added if the manual is not known.
    pub fn see_in(mut self, source: Option<&Arc<Source>>, span: Span, message: impl Into<String>) -> Finding {
        if let Some(source) = source {
            self.related.push(Related {
                source: Some(Arc::clone(source)),
                span,
                message: message.into(),
            });
        }
        self
    }

    /// Offers a way to mend it.
    pub fn fix(mut self, fix: Option<Fix>) -> Finding {
        self.fix = fix;
        self
    }
}
