//! Figures for programs, and their schema.

use rust_decimal::Decimal;
use schemars::JsonSchema;
use serde::Serialize;

use super::{by, difference, float, rule};
use crate::judge::figures::Figure;
use crate::quantity::{Unit, Verdict};
use crate::syntax::Source;
use crate::uncertainty::Method;

/// Number of the shape; see [`crate::report::json::SCHEMA`] for what it promises.
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

fn in_unit(base: Decimal, unit: Option<&'static Unit>) -> f64 {
    float(unit.and_then(|unit| unit.from_base(base)).unwrap_or(base))
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
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

/// The schema of `Known`, as text.
pub fn schema() -> String {
    crate::report::schema_of::<Known>()
}

/// Figures for programs: a `Known`.
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
