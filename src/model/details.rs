//! What is said behind commas: ticks, amounts, part numbers.

use rust_decimal::Decimal;

use super::job::{Said, SaidAmount, SaidKind, Word};
use super::lower_job::UnitsLine;
use super::manual::{BoundKind, Step};
use super::names::key;
use super::units::{Meant, Quantity, UnitError, read};
use crate::quantity::{Band, Dimension, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Detail, DetailKind, Figure, SyntaxError, Value};

/// Whose details they are: it tells which dimension an amount is meant to have.
#[derive(Clone, Copy)]
pub(super) enum Details<'a> {
    /// Nothing is known.
    Any,
    /// A tool's facts.
    Tool,
    /// A step of the book.
    Step(&'a Step),
}

impl Details<'_> {
    /// The dimension of an amount by its name.
    fn dimension(self, name: &str) -> Option<Dimension> {
        if let Details::Step(step) = self
            && let Some(bound) = step.bounds.iter().find(|b| b.name == name)
        {
            return Some(match &bound.bound {
                BoundKind::Limit(limit) => limit.unit.dimension,
                BoundKind::RatingOf(_) => Dimension::FORCE,
            });
        }
        match (self, name) {
            (Details::Tool, "at") => Some(Dimension::TEMPERATURE),
            (Details::Tool, "rated" | "") => Some(Dimension::FORCE),
            _ => dimension_named(name),
        }
    }

    /// Whether an amount of this name is looked for by anyone, so that a unit that cannot be read must be named.
    fn expects(self, name: &str) -> bool {
        match self {
            Details::Step(step) => step.bounds.iter().any(|b| b.name == name),
            Details::Tool => matches!(
                name,
                "rated" | "good to" | "reads to" | "repeats to" | "zero" | "at" | "range"
            ),
            Details::Any => false,
        }
    }
}

/// What an amount of a step measures by its name, where that is plain.
pub(super) fn dimension_named(name: &str) -> Option<Dimension> {
    match name {
        "force" | "load" => Some(Dimension::FORCE),
        "torque" => Some(Dimension::TORQUE),
        "pressure" => Some(Dimension::PRESSURE),
        "heat" | "temperature" | "oven" | "freezer" => Some(Dimension::TEMPERATURE),
        _ => None,
    }
}

/// One detail. An amount whose unit is no unit is a tick (`3 stages`, `gap 6 oclock`), unless somebody looks for it.
pub(super) fn said(
    detail: &Detail,
    text: &str,
    units: &UnitsLine,
    of: Details<'_>,
    problems: &mut Vec<SyntaxError>,
) -> Said {
    let folded = |span: Span| key(span.text(text)).into_owned();
    let kind = match &detail.kind {
        DetailKind::Tick(_) | DetailKind::Date { .. } => SaidKind::Tick,
        DetailKind::Because(_) => SaidKind::Because,
        DetailKind::From(part) => SaidKind::From(folded(*part)),
        DetailKind::Number(number) => SaidKind::Number(folded(*number)),
        DetailKind::OrderedAs(number) => SaidKind::OrderedAs(folded(*number)),
        DetailKind::Amount { name, figure, tool, .. } => {
            let name = name.map(folded).unwrap_or_default();
            let dimension = of.dimension(&name);
            let meant = Meant {
                dimension,
                unit: dimension.and_then(|d| units.of(Some(d))),
            };
            // Told from the unit alone: to say what is near a word that is no unit takes far longer, and nobody would read it.
            let is_remark = !of.expects(&name)
                && unit_of(figure).is_some_and(|unit| !super::units::is_asked_about(unit, text, dimension));
            if is_remark {
                return Said {
                    span: detail.span,
                    key: folded(detail.span),
                    kind: SaidKind::Tick,
                };
            }
            match amounts(figure, text, meant) {
                Ok(list) => said_amount(
                    &list,
                    matches!(figure.value, Value::Stages(_)),
                    name,
                    tool.map(|t| Word {
                        key: folded(t),
                        span: t,
                    }),
                ),
                Err(error) => {
                    // A word with several sizes is asked about wherever a figure is meant to hold: `load 7 pounds`.
                    let asked = unit::is_undefined(error.span.text(text)).is_some()
                        && (!matches!(of, Details::Any) || dimension_named(&name).is_some());
                    if of.expects(&name) || asked || error.code != "unknown.unit" {
                        problems.push(*error);
                    }
                    SaidKind::Tick
                }
            }
        }
    };
    Said {
        span: detail.span,
        key: folded(detail.span),
        kind,
    }
}

pub(super) fn said_amount(list: &[Quantity], is_staged: bool, name: String, tool: Option<Word>) -> SaidKind {
    let Some(last) = list.last() else {
        return SaidKind::Tick;
    };
    let least = list.iter().map(|q| q.base).min().unwrap_or(last.base);
    let most = list.iter().map(|q| q.base).max().unwrap_or(last.base);
    SaidKind::Amount(SaidAmount {
        name,
        band: Band::between(least, most),
        is_staged,
        stages: list.len(),
        last: last.base,
        written: last.written,
        unit: last.unit,
        span: last.span,
        tool,
    })
}

/// Whether an amount was said in stages, `10/20/30 N·m`.
pub(super) fn is_staged(figure: &Figure) -> bool {
    matches!(figure.value, Value::Stages(_))
}

/// The unit that an amount's figures are read by: the last that is written.
fn unit_of(figure: &Figure) -> Option<Span> {
    match &figure.value {
        Value::Single(a) | Value::Times(a, _) => a.unit,
        Value::Range(a, b) => b.unit.or(a.unit),
        Value::Stages(list) | Value::Many(list) | Value::Ring(list, _) => list.iter().rev().find_map(|a| a.unit),
        Value::Sum { result, .. } => result.unit,
        Value::PlusMinus(a, b) => a.unit.or(b.unit),
        Value::Empty | Value::Words(_) | Value::Blades { .. } => None,
    }
}

/// The figures of an amount, the final one last. A figure without a unit takes that of the last.
pub(super) fn amounts(figure: &Figure, text: &str, meant: Meant) -> Result<Vec<Quantity>, UnitError> {
    let list: Vec<Amount> = match &figure.value {
        Value::Single(a) | Value::Times(a, _) => vec![*a],
        Value::Range(a, b) => vec![*a, *b],
        Value::Stages(list) | Value::Many(list) | Value::Ring(list, _) => list.clone(),
        Value::Sum { result, .. } => vec![*result],
        Value::PlusMinus(a, b) => return plus_minus(a, b, text, meant),
        Value::Empty | Value::Words(_) | Value::Blades { .. } => Vec::new(),
    };
    let unit = unit_of(figure)
        .map(|span| super::units::read_unit(span, text, meant.dimension))
        .transpose()?;
    let meant = Meant {
        dimension: meant.dimension,
        unit: unit.or(meant.unit),
    };
    list.iter().map(|a| read(a, text, meant)).collect()
}

/// `A ± B` as its two ends and its middle.
fn plus_minus(a: &Amount, b: &Amount, text: &str, meant: Meant) -> Result<Vec<Quantity>, UnitError> {
    // `100 ± 5 C`: the unit stands behind both.
    let behind = match a.unit.or(b.unit) {
        Some(span) => Some(super::units::read_unit(span, text, meant.dimension)?),
        None => meant.unit,
    };
    let meant = Meant {
        dimension: behind.map(|u| u.dimension).or(meant.dimension),
        unit: behind,
    };
    let middle = read(a, text, meant)?;
    let spread = read(b, text, meant)?;
    super::readings::same_kind(&middle, &spread)?;
    // A spread is a difference: 9 °F either way is 5 °C, without the offset.
    let half = spread
        .unit
        .map_or(Some(spread.written), |u| u.difference_to_base(spread.written))
        .unwrap_or_default()
        .abs();
    let shifted = |by: Decimal| Quantity {
        base: middle.base.saturating_add(by),
        ..middle
    };
    Ok(vec![shifted(-half), shifted(half), middle])
}
