//! Figures with their budgets: as text for the bench, as JSON for programs.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use schemars::JsonSchema;
use serde::Serialize;

use crate::judge::figures::Figure;
use crate::judge::words;
use crate::metrology::Correction;
use crate::model::limit::Limit;
use crate::quantity::number::significant;
use crate::quantity::{Unit, Verdict};
use crate::syntax::Source;
use crate::uncertainty::{Acceptance, Method};

/// Degrees of freedom from which on they are not printed.
const MANY: f64 = 30.0;

/// Number of the shape; see [`super::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// What `gudgeon why FILE --as json` writes.
#[derive(Serialize, JsonSchema)]
pub struct Known {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// The log.
    pub path: String,
    /// Its figures: those read in their order, then those worked out.
    pub figures: Vec<Told>,
}

/// One figure. What is not said to be in base units is in `unit`.
#[derive(Serialize, JsonSchema)]
pub struct Told {
    /// The feature.
    pub name: String,
    /// The part it is of.
    pub part: Option<String>,
    /// The place it was read at.
    pub place: Option<String>,
    /// The angle of a figure of a ring, degrees.
    pub angle: Option<f64>,
    /// Read or worked out.
    pub kind: Kind,
    /// The line it stands on, from 1; of a derived figure, that of the latest reading it rests on.
    pub line: usize,
    /// As it was written; empty for a derived figure.
    pub written: String,
    /// Whether it counts: the latest of its kind, and not overtaken by a later step.
    pub counts: bool,
    /// Whether it is only told ahead, before anything is done: it then judges nothing.
    pub forecast: bool,
    /// The best value, corrected.
    pub value: f64,
    /// The unit; empty for a plain number.
    pub unit: String,
    /// The best value in the base unit: mm, kg, s, °C, degree and what is made of them.
    pub base: f64,
    /// What was taken off or added.
    pub corrections: Vec<Corrected>,
    /// Least value without the uncertainty, where blades or a range leave it open, or it has one end only.
    pub open_from: Option<f64>,
    /// Greatest such value.
    pub open_to: Option<f64>,
    /// Standard uncertainty.
    pub u: f64,
    /// Effective degrees of freedom; absent where they are infinite.
    pub dof: Option<f64>,
    /// The coverage factor by the degrees of freedom, for 95.45 %; absent where nothing is uncertain or it was drawn.
    pub k: Option<f64>,
    /// Expanded uncertainty: the larger of both sides. Never more than the figure can be off at all.
    pub expanded: f64,
    /// Least value it may have: 95.45 %, or for certain where blades leave it open.
    pub lo: Option<f64>,
    /// Greatest value it may have.
    pub hi: Option<f64>,
    /// How the uncertainty was worked out.
    pub method: How,
    /// The limit.
    pub limit: Option<Bounds>,
    /// The verdict by that limit.
    pub verdict: Option<Verdict>,
    /// Whether the limit lies inside the uncertainty although the verdict is in or out.
    pub close: bool,
    /// How probable it is that the true value lies in the limit.
    pub probability: Option<f64>,
    /// What it may be off by, the greatest first.
    pub budget: Vec<Share>,
}

/// Read or worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Read.
    #[default]
    Reading,
    /// Worked out by a sum of the manual.
    Derived,
}

impl Kind {
    /// Which of the two a figure is.
    pub fn of(figure: &Figure) -> Kind {
        if figure.is_derived {
            Kind::Derived
        } else {
            Kind::Reading
        }
    }
}

/// How an uncertainty was worked out.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// By sensitivities, first order.
    FirstOrder,
    /// By draws with a fixed seed.
    Drawn,
}

/// What was corrected.
#[derive(Serialize, JsonSchema)]
pub struct Corrected {
    /// `zero`, `part temperature`, `tool temperature`.
    pub cause: String,
    /// What was added; negative if taken off.
    pub by: f64,
}

/// A limit.
#[derive(Serialize, JsonSchema)]
pub struct Bounds {
    /// Least value allowed.
    pub from: Option<f64>,
    /// Greatest value allowed.
    pub to: Option<f64>,
    /// Where it comes from.
    pub source: Option<String>,
    /// `plain`, `guarded`, or `guarded at 95 %`.
    pub decide: String,
}

/// A line of the budget.
#[derive(Serialize, JsonSchema)]
pub struct Share {
    /// What causes it.
    pub cause: String,
    /// Whose error it is.
    pub of: String,
    /// How it is spread.
    pub shape: String,
    /// Its standard uncertainty, base units of what it is an error of.
    pub u: f64,
    /// Degrees of freedom; absent where infinite.
    pub dof: Option<f64>,
    /// What the figure changes by for a change of one in it, base units.
    pub sensitivity: f64,
    /// Its share of the whole variance, 0 to 1.
    pub share: f64,
    /// Whether it comes from the table of usual tools, since nothing was declared.
    pub default: bool,
}

fn float(figure: Decimal) -> f64 {
    figure.to_f64().unwrap_or(f64::NAN)
}

fn in_unit(base: Decimal, unit: Option<&'static Unit>) -> f64 {
    float(unit.and_then(|unit| unit.from_base(base)).unwrap_or(base))
}

/// A difference in base units, in a unit.
fn difference(base: f64, unit: Option<&'static Unit>) -> f64 {
    unit.map_or(base, |unit| base * float(unit.per) / float(unit.factor))
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// The rule in words, as it is written in a manual.
fn rule(rule: Acceptance) -> String {
    match rule {
        Acceptance::Plain => "plain".to_owned(),
        Acceptance::Guarded => "guarded".to_owned(),
        Acceptance::Probable(p) => format!("guarded at {} %", p * 100.0),
    }
}

fn by(correction: &Correction) -> (&'static str, Decimal) {
    match correction {
        Correction::Zero(zero) => ("zero", -*zero),
        Correction::PartTemperature(_, by) => ("part temperature", *by),
        Correction::ToolTemperature(_, by) => ("tool temperature", *by),
    }
}

fn told(figure: &Figure, source: &Source) -> Told {
    let unit = figure.unit;
    let estimate = &figure.estimate;
    let shown = |base: Decimal| in_unit(base, unit);
    let reach = estimate.reach();
    let combined = &estimate.combined;
    Told {
        name: figure.feature.clone(),
        part: figure.part.clone(),
        place: figure.place.clone(),
        angle: figure.angle.map(float),
        kind: Kind::of(figure),
        line: source.lines.line_of(figure.span.start) + 1,
        written: figure.written.clone(),
        forecast: figure.is_forecast,
        counts: figure.counts,
        value: shown(estimate.best),
        unit: unit.map_or("", |u| u.label()).to_owned(),
        base: float(estimate.best),
        corrections: figure
            .corrections
            .iter()
            .map(|correction| {
                let (cause, amount) = by(correction);
                Corrected {
                    cause: cause.to_owned(),
                    by: difference(float(amount), unit),
                }
            })
            .collect(),
        open_from: estimate.between.and_then(|b| b.lo).map(shown),
        open_to: estimate.between.and_then(|b| b.hi).map(shown),
        u: difference(combined.u, unit),
        dof: finite(combined.dof),
        k: (combined.u > 0.0 && estimate.method == Method::FirstOrder).then(|| combined.k()),
        expanded: difference(float(estimate.below.max(estimate.above)), unit),
        lo: reach.and_then(|b| b.lo).map(shown),
        hi: reach.and_then(|b| b.hi).map(shown),
        method: match estimate.method {
            Method::FirstOrder => How::FirstOrder,
            Method::Drawn => How::Drawn,
        },
        limit: figure.limit.as_ref().map(|limit| Bounds {
            from: limit.band.lo.map(shown),
            to: limit.band.hi.map(shown),
            source: limit.source.as_deref().map(str::to_owned),
            decide: rule(figure.rule),
        }),
        verdict: figure.decision.map(|d| d.verdict),
        close: figure.decision.is_some_and(|d| d.is_close),
        probability: figure.decision.and_then(|d| d.probability),
        budget: figure
            .budget
            .iter()
            .map(|entry| {
                let source = &entry.share.source;
                Share {
                    cause: source.origin.cause.words().to_owned(),
                    of: entry.of.clone(),
                    shape: source.shape.word().to_owned(),
                    u: source.u,
                    dof: finite(source.dof),
                    sensitivity: entry.share.sensitivity,
                    share: entry.part,
                    default: source.is_default(),
                }
            })
            .collect(),
    }
}

/// The schema of [`Known`], as text.
pub fn schema() -> String {
    super::schema_of::<Known>()
}

/// Figures for programs: a [`Known`].
pub fn json(figures: &[&Figure], source: &Source) -> String {
    let known = Known {
        gudgeon: env!("CARGO_PKG_VERSION").to_owned(),
        schema: SCHEMA,
        path: source.name.clone(),
        figures: figures.iter().map(|figure| told(figure, source)).collect(),
    };
    let mut text = serde_json::to_string(&known).unwrap_or_default();
    text.push('\n');
    text
}

/// Figures for people, each with its budget.
pub fn text(figures: &[&Figure], source: &Source) -> String {
    let mut out = String::new();
    for figure in figures {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&one(figure, source));
    }
    out
}

fn one(figure: &Figure, source: &Source) -> String {
    let unit = figure.unit;
    let line = source.lines.line_of(figure.span.start) + 1;
    let mut out = if figure.is_derived {
        format!("{}, worked out\n", figure.name)
    } else {
        let angle = figure
            .angle
            .map_or_else(String::new, |angle| format!(" at {}°", angle.normalize()));
        format!("{}{angle}, line {line}: written as {}\n", figure.name, figure.written)
    };
    out.push_str(&format!("  known to be {}\n", words::known(&figure.estimate, unit)));
    out.push_str(&verdict(figure));
    for correction in &figure.corrections {
        out.push_str(&format!("  {}\n", corrected(correction, unit)));
    }
    out.push_str(&sum(figure));
    out
}

fn corrected(correction: &Correction, unit: Option<&'static Unit>) -> String {
    let (_, amount) = by(correction);
    let size = words::difference(amount.abs(), unit);
    let direction = if amount.is_sign_negative() {
        "taken off"
    } else {
        "added"
    };
    match correction {
        Correction::Zero(_) => format!("{size} {direction}: what the tool shows at zero"),
        Correction::PartTemperature(at, _) => {
            format!(
                "{size} {direction}: the part was at {}, brought to 20 °C",
                words::celsius(*at)
            )
        }
        Correction::ToolTemperature(at, _) => {
            format!("{size} {direction}: the tool was at {}", words::celsius(*at))
        }
    }
}

/// The budget as a table, and what it comes to.
fn sum(figure: &Figure) -> String {
    let estimate = &figure.estimate;
    if figure.budget.is_empty() {
        return match estimate.between {
            Some(_) => "  blades and ranges leave a band open, in which every value is alike\n".to_owned(),
            None => "  nothing is said that makes it uncertain\n".to_owned(),
        };
    }
    let symbol = figure.unit.map_or("", |u| u.label());
    let digits = |base: f64| {
        let value = difference(base, figure.unit);
        crate::uncertainty::estimate::decimal(value)
            .map_or_else(|| format!("{value}"), |d| significant(d, 2).normalize().to_string())
    };
    let mut rows: Vec<[String; 4]> = vec![[
        "from".to_owned(),
        "spread".to_owned(),
        format!("adds {symbol}").trim_end().to_owned(),
        "share".to_owned(),
    ]];
    // What adds less than half a hundredth of the whole buries the rest.
    let (told, small): (Vec<_>, Vec<_>) = figure.budget.iter().partition(|entry| entry.part >= 0.005);
    for entry in told {
        let source = &entry.share.source;
        let of = if entry.of.is_empty() {
            String::new()
        } else {
            format!(": {}", entry.of)
        };
        rows.push([
            format!("{}{of}", source.origin.cause.words()),
            source.shape.word().to_owned(),
            digits(entry.share.effect().abs()),
            format!("{:.0} %", entry.part * 100.0),
        ]);
    }
    let mut out = super::visible::table(&rows, "    ");
    if !small.is_empty() {
        out.push_str(&format!("    and {} that add next to nothing\n", small.len()));
    }
    let combined = &estimate.combined;
    // Where they are many they no longer matter.
    let dof = if combined.dof < MANY {
        format!(" with {:.1} degrees of freedom", combined.dof)
    } else {
        String::new()
    };
    out.push_str(&match estimate.method {
        Method::FirstOrder => {
            let expanded = combined.expanded();
            let k = combined.k();
            let how = if expanded < k * combined.u {
                ", the most it can be off at all".to_owned()
            } else {
                format!(", times {k:.2} for about 95 %")
            };
            format!(
                "  together {} {symbol}{dof} (standard uncertainty){how}: ± {} {symbol}\n",
                digits(combined.u),
                digits(expanded)
            )
        }
        Method::Drawn => format!(
            "  the sum is bent here, so it was drawn, and the shares hold near the best value only: {} {symbol} (standard uncertainty), about 95 % from −{} to +{} {symbol}\n",
            digits(combined.u),
            digits(float(estimate.below)),
            digits(float(estimate.above))
        ),
    });
    out
}

fn verdict(figure: &Figure) -> String {
    let (Some(limit), Some(decision)) = (&figure.limit, &figure.decision) else {
        return "  no limit is known for it\n".to_owned();
    };
    let likely = words::likely(", ", decision);
    let close = if decision.is_close { ", too close to call" } else { "" };
    let stale = if figure.counts {
        ""
    } else {
        " (history: it does not count any more)"
    };
    format!(
        "  {} {}{}, decided {}: {}{close}{likely}{stale}\n",
        limit.name(),
        limit.words(),
        source_of(limit),
        rule(figure.rule),
        decision.verdict.word()
    )
}

fn source_of(limit: &Limit) -> String {
    match &limit.source {
        Some(source) => format!(" ({source})"),
        None => " (no source is given)".to_owned(),
    }
}
