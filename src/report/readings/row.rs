//! One figure of a log as a row of a table.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::Verdict;
use crate::report::figures::Kind;

/// One figure: a reading, each figure of a ring by itself, or what a sum of the manual was worked out to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Row {
    /// The log, as it was named.
    pub path: String,
    /// The line the figure stands on, from 1; of a derived figure, that of the latest reading it rests on.
    pub line: usize,
    /// The column it begins at, in characters from 1.
    pub column: usize,
    /// The machine, as the head names it.
    pub machine: Option<String>,
    /// The job, as the head names it.
    pub job: Option<String>,
    /// What the machine's meter showed by then: the latest figure of an `hours` line above.
    pub meter: Option<f64>,
    /// The unit of the meter.
    pub meter_unit: Option<String>,
    /// The day, year first; none before the first day.
    #[schemars(extend("format" = "date"))]
    pub date: Option<String>,
    /// The time of day that stands before the line, hours and minutes.
    #[schemars(extend("pattern" = "^[0-2][0-9]:[0-5][0-9]$"))]
    pub time: Option<String>,
    /// The stage.
    pub stage: Option<String>,
    /// The feature, by the name that its manual gives it.
    pub feature: String,
    /// The part it is of.
    pub part: Option<String>,
    /// The place it was read at.
    pub place: Option<String>,
    /// The angle of a figure of a ring, degrees.
    pub angle: Option<f64>,
    /// `reading`, or `derived` for what a sum of the manual was worked out to.
    pub kind: Kind,
    /// As it stands in the log, blanks folded; none for a derived figure.
    pub written: Option<String>,
    /// The best value: mended where it was mended, corrected for the tool's zero and for warmth, the mean of repeats, the middle between blades.
    pub value: f64,
    /// The unit of `value` and of all figures without a unit of their own; none for a plain number.
    pub unit: Option<String>,
    /// The best value in the base unit, in which figures of one kind can be compared whatever unit each was written in.
    pub base_value: f64,
    /// The base unit: mm, kg, s, °C, degree and what is made of them; none for a plain number.
    pub base_unit: Option<String>,
    /// Least value it may have, for 95.45 %, or for certain where blades leave it open; none where there is no such end.
    pub low: Option<f64>,
    /// Greatest value it may have.
    pub high: Option<f64>,
    /// Standard uncertainty; 0 where nothing is said that makes it uncertain, or blades alone do.
    pub u: f64,
    /// Least value that its limit allows.
    pub limit_low: Option<f64>,
    /// Greatest value that its limit allows.
    pub limit_high: Option<f64>,
    /// Which limit: `build`, `service`, the name of a stage, or `tolerance`, that of a nominal figure.
    pub limit: Option<String>,
    /// Where the limit comes from.
    pub limit_source: Option<String>,
    /// What was decided by that limit: `in`, `out` or `not-proven`; none where there is no limit.
    pub verdict: Option<Verdict>,
    /// Whether the limit lies inside the uncertainty although the verdict is in or out.
    pub close: bool,
    /// Whether it counts: the latest of its kind, of no part that was left for another, and overtaken by no later step.
    pub counts: bool,
    /// The line of the first step that overtook it, so that it proves nothing any more; none also where it was read again.
    pub stale_since: Option<usize>,
    /// Whether it is only told ahead, before anything is done: it then judges nothing.
    pub forecast: bool,
    /// The tool; none for a derived figure.
    pub tool: Option<String>,
    /// The temperature of the part, °C, where it is written.
    pub temperature: Option<f64>,
    /// The figure before it was corrected by a `fix` line.
    pub mended_from: Option<f64>,
    /// Whether it was marked as not sure; of a derived figure, whether any it rests on was.
    pub unsure: bool,
}

/// The fields of a [`Row`] in the order of a table's columns.
pub const COLUMNS: [&str; 36] = [
    "path",
    "line",
    "column",
    "machine",
    "job",
    "meter",
    "meter_unit",
    "date",
    "time",
    "stage",
    "feature",
    "part",
    "place",
    "angle",
    "kind",
    "written",
    "value",
    "unit",
    "base_value",
    "base_unit",
    "low",
    "high",
    "u",
    "limit_low",
    "limit_high",
    "limit",
    "limit_source",
    "verdict",
    "close",
    "counts",
    "stale_since",
    "forecast",
    "tool",
    "temperature",
    "mended_from",
    "unsure",
];
