//! What is to be done next: as text for the bench, as JSON for programs.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use schemars::JsonSchema;
use serde::Serialize;

use super::visible::{one_line, wrap};
use crate::judge::Analysis;
use crate::judge::next::{Kind, Offered, Todo};
use crate::quantity::Verdict;

/// Number of the shape; see [`super::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// The longest title that is printed.
const TITLE: usize = 100;

/// What `gudgeon next --as json` writes.
#[derive(Serialize, JsonSchema)]
pub struct Plan {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// The logs, in the order they were given.
    pub logs: Vec<Log>,
}

/// One log.
#[derive(Serialize, JsonSchema)]
pub struct Log {
    /// Path as given.
    pub path: String,
    /// Whether it is closed.
    pub closed: bool,
    /// What is to be done, the most pressing first.
    pub next: Vec<Told>,
}

/// One thing to do.
#[derive(Serialize, JsonSchema)]
pub struct Told {
    /// What kind of thing.
    pub kind: Kind,
    /// What.
    pub what: String,
    /// Why, or why not yet.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// What goes with it, or what to write.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub with: String,
    /// What is to be expected of it, what else there is to choose from, what else is known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub more: Vec<String>,
    /// What there is to choose from, the best first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<Choosable>,
    /// The line of the log it comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
}

/// One of several to choose from. Figures are in `unit`.
#[derive(Serialize, JsonSchema)]
pub struct Choosable {
    /// Its name: a part, a size, a way to go.
    pub name: String,
    /// What comes out with it: the figure, or the price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub comes_to: Option<f64>,
    /// The least it may be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// The greatest it may be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// The unit; empty for a plain number.
    pub unit: String,
    /// The verdict by the limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// Whether it is the one to take.
    pub taken: bool,
}

/// The schema of [`Plan`], as text.
pub fn schema() -> String {
    super::schema_of::<Plan>()
}

/// Logs for programs: a [`Plan`].
pub fn json(logs: &[(Analysis, Vec<Todo>)]) -> String {
    let plan = Plan {
        gudgeon: env!("CARGO_PKG_VERSION").to_owned(),
        schema: SCHEMA,
        logs: logs.iter().map(|(analysis, list)| log(analysis, list)).collect(),
    };
    let mut text = serde_json::to_string(&plan).unwrap_or_default();
    text.push('\n');
    text
}

fn log(analysis: &Analysis, list: &[Todo]) -> Log {
    let told = |todo: &Todo| Told {
        kind: todo.kind,
        what: todo.what.clone(),
        why: todo.why.clone(),
        with: todo.with.clone(),
        more: todo.more.clone(),
        options: todo.options.iter().map(option).collect(),
        line: line(analysis, todo),
    };
    Log {
        path: analysis.source.name.clone(),
        closed: analysis.job.closed.is_some(),
        next: list.iter().map(told).collect(),
    }
}

fn option(offered: &Offered) -> Choosable {
    let float = |figure: Option<Decimal>| figure.and_then(|figure| figure.to_f64());
    Choosable {
        name: offered.name.clone(),
        comes_to: float(offered.comes_to),
        low: float(offered.low),
        high: float(offered.high),
        unit: offered.unit.clone(),
        verdict: offered.verdict,
        taken: offered.is_taken,
    }
}

fn line(analysis: &Analysis, todo: &Todo) -> Option<usize> {
    todo.span.map(|span| analysis.source.lines.line_of(span.start) + 1)
}

/// What stands above each kind.
fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Stop => "stop first",
        Kind::PutRight => "put right",
        Kind::WaitFor => "waiting for",
        Kind::Order => "to order",
        Kind::Know => "worked out ahead",
        Kind::Choose => "to choose",
        Kind::TrueUp => "to true",
        Kind::ReadAgain => "read again",
        Kind::Read => "still to read",
        Kind::Do => "do now",
        Kind::DoLater => "do later",
        Kind::ReadLater => "read again later",
        Kind::MayDo => "may be done, where it applies",
    }
}

/// One log for people.
pub fn text(analysis: &Analysis, list: &[Todo], width: usize) -> String {
    let mut out = head(analysis);
    let begun = begun(analysis);
    if list.is_empty() && !begun.is_empty() {
        out.push_str(&wrap(&begun, width, "  "));
        out.push('\n');
        return out;
    }
    if list.is_empty() {
        out.push_str(match analysis.job.closed {
            Some(_) => "\n  Closed, and nothing is left to do.\n",
            None => {
                "\n  Nothing is left to do that the log or its manuals speak of. Close it with a line `closed DATE`.\n"
            }
        });
        return out;
    }
    let mut last = None;
    for todo in list {
        if last != Some(todo.kind) {
            out.push_str(&format!("\n{}\n", heading(todo.kind)));
            last = Some(todo.kind);
        }
        let place = match line(analysis, todo) {
            Some(line) if !matches!(todo.kind, Kind::ReadAgain | Kind::ReadLater) => format!("line {line}: "),
            _ => String::new(),
        };
        out.push_str(&wrap(&format!("{place}{}", todo.what), width, "  "));
        out.push('\n');
        for more in [&todo.why, &todo.with].into_iter().chain(&todo.more) {
            if !more.is_empty() {
                out.push_str(&wrap(more, width, "      "));
                out.push('\n');
            }
        }
    }
    out
}

/// What to do where no procedure is in play yet: those of its manuals, by name. Empty where one is, or the job is closed, or there are none.
fn begun(analysis: &Analysis) -> String {
    let book = &analysis.rules.book;
    let is_in_play = !analysis.order.is_empty();
    let names: Vec<&str> = book.procedures.iter().map(|p| p.name.name.as_str()).collect();
    if is_in_play || analysis.job.closed.is_some() || names.is_empty() {
        return String::new();
    }
    format!(
        "No procedure of its manuals has begun. Write a step that was done, or name the one to follow: `procedure NAME`. There are: {}.",
        names.join(", ")
    )
}

/// The log, its title, and the last day it tells of.
fn head(analysis: &Analysis) -> String {
    let text = &analysis.source.text;
    let title = analysis.job.title.map_or(String::new(), |title| {
        format!(": {}", one_line(title.text(text), TITLE))
    });
    let day = match analysis.job.dates.iter().rev().flatten().next() {
        Some(day) => format!("  (last day {day})"),
        None => String::new(),
    };
    format!("{}{title}{day}\n", analysis.source.name)
}
