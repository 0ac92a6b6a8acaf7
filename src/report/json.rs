//! Findings for programs: JSON of a fixed shape, and the schema of that shape.

use schemars::JsonSchema;
use serde::Serialize;

use super::place::Placer;
use super::{Counts, Report, Summary, Unread};
use crate::judge::procedure::{Clause, State, Verdict};
use crate::judge::{Finding, Severity, Tally};
use crate::syntax::{Source, Span};
use crate::workspace::{Inspected, Kind};

/// Number of the shape. It goes up when something is taken away or changes its meaning; fields may be added at any time.
pub const SCHEMA: u32 = 1;

/// What `gudgeon inspect --as json` writes.
#[derive(Serialize, JsonSchema)]
pub struct Inspection {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// The files that were judged, sorted by path.
    pub files: Vec<File>,
    /// Readings and verdicts of all files together.
    pub tally: Tally,
    /// Findings of all files together, without those that the baseline has.
    pub counts: Counts,
    /// Findings that the baseline has; only where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub known: Option<Counts>,
    /// What could not be read at all.
    pub unread: Vec<Unread>,
}

/// One file that was judged.
#[derive(Serialize, JsonSchema)]
pub struct File {
    /// Path as given.
    pub path: String,
    /// What the file is.
    pub kind: FileKind,
    /// What was found, in the order of the file.
    pub findings: Vec<Found>,
    /// Its readings and verdicts.
    pub tally: Tally,
    /// What the procedures in play ask of the order of steps, in the order of the manuals.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub order: Vec<Asked>,
}

/// Something that a procedure asks of the order of steps, and what the log makes of it.
#[derive(Serialize, JsonSchema)]
pub struct Asked {
    /// The procedure.
    pub procedure: String,
    /// Which clause of the manual asks for it.
    pub clause: Clause,
    /// The step it stands at; of alternatives, the first.
    pub step: String,
    /// The other steps it names; of `after` an alternative, all of them.
    pub others: Vec<String>,
    /// `kept`: it holds as the log stands. `open`: not yet. `broken`: it does not hold, and no line that could be added would make it hold.
    pub state: State,
    /// Where it does not hold.
    pub places: Vec<Held>,
}

/// A place where something asked does not hold.
#[derive(Serialize, JsonSchema)]
pub struct Held {
    /// Line of the step in question; none where nothing was done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Line of the step it is held against.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other: Option<usize>,
}

/// What a file is.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum FileKind {
    /// A `.rebuild` file.
    Log,
    /// A `.manual` file.
    Manual,
}

/// One finding.
#[derive(Serialize, JsonSchema)]
pub struct Found {
    /// Dotted code; `gudgeon why CODE` explains it.
    pub code: String,
    /// How much it weighs.
    pub severity: Severity,
    /// What it weighed before the settings of the repository changed it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was: Option<Severity>,
    /// Whether the baseline has it: then it does not make the run fail.
    #[serde(default, skip_serializing_if = "is_false")]
    pub known: bool,
    /// What is wrong, with the figures in it.
    pub message: String,
    /// What stands under the place, as a short phrase.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// What to do next.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// Where it stands.
    pub place: Extent,
    /// Other places it rests on.
    pub related: Vec<Beside>,
    /// How to mend it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fix: Option<Mend>,
}

/// From where to where. Lines and columns count from 1, columns in characters; bytes count from 0. The end is the place
/// behind the last character. Bytes are those of the text as it was read: where a file is not UTF-8 they are not those
/// of the file.
#[derive(Serialize, JsonSchema)]
pub struct Extent {
    /// Line of the first character.
    pub line: usize,
    /// Column of the first character.
    pub column: usize,
    /// Line of the end.
    pub end_line: usize,
    /// Column of the end.
    pub end_column: usize,
    /// First byte.
    pub start_byte: u32,
    /// One past the last byte.
    pub end_byte: u32,
}

/// A second place that a finding rests on.
#[derive(Serialize, JsonSchema)]
pub struct Beside {
    /// The file it stands in; `shelf:NAME` is a built-in manual.
    pub path: String,
    /// Where in that file.
    pub place: Extent,
    /// What is there.
    pub message: String,
}

/// A way to mend a finding.
#[derive(Serialize, JsonSchema)]
pub struct Mend {
    /// What it does, as an instruction.
    pub title: String,
    /// Changes to the file of the finding, in order, not overlapping.
    pub edits: Vec<Change>,
}

/// One change of text.
#[derive(Serialize, JsonSchema)]
pub struct Change {
    /// First byte that is replaced.
    pub start_byte: u32,
    /// One past the last byte that is replaced.
    pub end_byte: u32,
    /// What comes instead.
    pub text: String,
}

/// The schema of [`Inspection`], as text.
pub fn schema() -> String {
    super::schema_of::<Inspection>()
}

/// The report for programs: an [`Inspection`], written file by file.
pub struct Json;

impl Report for Json {
    fn opening(&self) -> String {
        format!(
            "{{\"gudgeon\":{},\"schema\":{SCHEMA},\"files\":[\n",
            text(&env!("CARGO_PKG_VERSION"))
        )
    }

    fn file(&self, inspected: &Inspected) -> String {
        text(&file(inspected))
    }

    fn between(&self) -> &'static str {
        ",\n"
    }

    fn closing(&self, summary: &Summary) -> String {
        let known = if summary.compared {
            format!(",\"known\":{}", text(&summary.known))
        } else {
            String::new()
        };
        format!(
            "\n],\"tally\":{},\"counts\":{}{known},\"unread\":{}}}\n",
            text(&summary.tally),
            text(&summary.counts),
            text(&summary.unread)
        )
    }
}

fn is_false(value: &bool) -> bool {
    !value
}

/// A value as JSON. None of the values here can fail to be written: all keys are text and all figures whole.
fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned())
}

fn file(inspected: &Inspected) -> File {
    let mut placer = Placer::new(&inspected.source);
    File {
        path: inspected.source.name.clone(),
        kind: match inspected.kind {
            Kind::Log => FileKind::Log,
            Kind::Manual => FileKind::Manual,
        },
        findings: inspected
            .findings
            .iter()
            .enumerate()
            .map(|(at, finding)| found(finding, inspected.marks.is_known(at), &inspected.source, &mut placer))
            .collect(),
        tally: inspected.tally,
        order: inspected
            .order
            .iter()
            .map(|verdict| asked(verdict, &inspected.source))
            .collect(),
    }
}

fn asked(verdict: &Verdict, source: &Source) -> Asked {
    let line = |span: Option<Span>| span.map(|span| source.lines.line_of(span.start) + 1);
    Asked {
        procedure: verdict.procedure.clone(),
        clause: verdict.clause,
        step: verdict.step.clone(),
        others: verdict.others.clone(),
        state: verdict.state,
        places: verdict
            .places
            .iter()
            .map(|(at, other)| Held {
                line: line(*at),
                other: line(*other),
            })
            .collect(),
    }
}

fn found(finding: &Finding, known: bool, source: &Source, placer: &mut Placer<'_>) -> Found {
    let filled = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    Found {
        code: finding.code.to_owned(),
        severity: finding.severity,
        was: finding.was,
        known,
        message: finding.message.clone(),
        label: filled(&finding.label),
        help: filled(&finding.help),
        place: extent(finding.span, placer),
        related: finding
            .related
            .iter()
            .map(|related| {
                let source = related.source.as_deref().unwrap_or(source);
                Beside {
                    path: source.name.clone(),
                    place: extent(related.span, &mut Placer::new(source)),
                    message: related.message.clone(),
                }
            })
            .collect(),
        fix: finding.fix.as_ref().map(|fix| Mend {
            title: fix.title.clone(),
            edits: fix
                .edits
                .iter()
                .map(|edit| Change {
                    start_byte: edit.span.start,
                    end_byte: edit.span.end,
                    text: edit.text.clone(),
                })
                .collect(),
        }),
    }
}

fn extent(span: Span, placer: &mut Placer<'_>) -> Extent {
    let (start, end) = placer.ends(span);
    Extent {
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
        start_byte: span.start,
        end_byte: span.end,
    }
}
