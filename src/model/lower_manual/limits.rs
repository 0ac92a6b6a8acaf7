//! The limits of a manual: of a feature, of its nominal figure, of an amount of a step. Each becomes a band in base units.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::{At, Lowering};
use crate::model::details::dimension_named;
use crate::model::limit::Limit;
use crate::model::manual::{BoundKind, StepBound};
use crate::model::names::key;
use crate::model::units::{Meant, Quantity, UnitError, read, read_unit};
use crate::quantity::{Band, Dimension, Unit, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Bound, LimitNode, SyntaxError};

/// What is known of the unit of a limit before it is read.
#[derive(Clone, Copy)]
pub(super) struct Wanted {
    dimension: Option<Dimension>,
    /// Of a figure without one.
    pub(super) unit: Option<&'static Unit>,
}

impl Wanted {
    fn of(unit: Option<&'static Unit>) -> Wanted {
        Wanted {
            dimension: unit.map(|u| u.dimension),
            unit,
        }
    }
}

impl Lowering<'_> {
    pub(super) fn unit(&mut self, span: Span) {
        match read_unit(span, self.text, None) {
            Ok(unit) => self.of_feature(span, "unit", |feature| feature.unit = Some(unit)),
            Err(error) => self.problems.push(*error),
        }
    }

    pub(super) fn limit_line(&mut self, span: Span, stage: Span, node: &LimitNode, source: Option<Span>) {
        if matches!(self.at, At::Procedure) {
            if let Some(bound) = self.bound(stage, node)
                && let Some(step) = self.step_mut()
            {
                step.bounds.push(bound);
            }
            return;
        }
        if matches!(self.at, At::Lost) {
            return;
        }
        let unit = Wanted::of(self.feature_unit());
        let stage_key = key(stage.text(self.text)).into_owned();
        let Some(limit) = self.limit(span, stage_key.clone(), node, source, unit) else {
            return;
        };
        let twice = matches!(self.at, At::Feature)
            && self
                .manual
                .features
                .last()
                .is_some_and(|f| f.limits.iter().any(|l| l.stage == stage_key));
        if twice {
            let message = format!("this feature has two limits for `{stage_key}`; the first is used");
            self.problem("manual.duplicate", span, message, "keep one of the two");
        }
        self.of_feature(span, "a limit", |feature| {
            feature.unit.get_or_insert(limit.unit);
            feature.limits.push(limit);
        });
    }

    pub(super) fn nominal(&mut self, span: Span, node: &LimitNode, source: Option<Span>) {
        let unit = Wanted::of(self.feature_unit());
        if let Some(limit) = self.limit(span, String::new(), node, source, unit) {
            self.of_feature(span, "nominal", |feature| {
                feature.unit.get_or_insert(limit.unit);
                feature.nominal = Some(limit);
            });
        }
    }

    /// `aim 0.13 mm`: one figure.
    pub(super) fn aim(&mut self, span: Span, node: &LimitNode, source: Option<Span>) {
        let unit = Wanted::of(self.feature_unit());
        let Some(limit) = self.limit(span, String::new(), node, source, unit) else {
            return;
        };
        if !limit.band.is_exact() {
            let help = "write one figure: `aim 0.13 mm`";
            self.problem("manual.limit", span, "what is aimed at is one figure".to_owned(), help);
            return;
        }
        self.of_feature(span, "aim", |feature| {
            feature.unit.get_or_insert(limit.unit);
            feature.aim.get_or_insert(limit);
        });
    }

    pub(super) fn feature_unit(&self) -> Option<&'static Unit> {
        if !matches!(self.at, At::Feature) {
            return None;
        }
        self.manual.features.last().and_then(|feature| feature.unit)
    }

    /// A limit as a band. `None`, with the problem noted, if a figure or unit cannot be read.
    fn limit(
        &mut self,
        span: Span,
        stage: String,
        node: &LimitNode,
        source: Option<Span>,
        wanted: Wanted,
    ) -> Option<Limit> {
        if let LimitNode::Coded(code) = node {
            return self.coded(span, stage, *code, source, wanted);
        }
        match self.limit_band(span, node, wanted) {
            Ok((band, unit)) => Some(Limit {
                stage,
                band,
                unit,
                span,
                manual: 0,
                source: self.source_or_own(source),
            }),
            Err(error) => {
                self.problems.push(*error);
                None
            }
        }
    }

    /// The source of a limit: its own, else that at the head.
    pub(super) fn source_or_own(&self, source: Option<Span>) -> Option<Arc<str>> {
        source
            .map(|s| Arc::from(s.text(self.text)))
            .or_else(|| self.said_source.clone())
    }

    fn limit_band(&self, span: Span, node: &LimitNode, wanted: Wanted) -> Result<(Band, &'static Unit), UnitError> {
        let amounts: Vec<&Amount> = match node {
            LimitNode::UpTo(Bound::Amount(a)) | LimitNode::AtLeast(Bound::Amount(a)) | LimitNode::Exactly(a) => vec![a],
            LimitNode::Between(a, b) | LimitNode::PlusMinus(a, b) => vec![a, b],
            LimitNode::Tolerance(a, b, c) => vec![a, b, c],
            // Read by `coded`.
            LimitNode::Coded(_) => Vec::new(),
            LimitNode::UpTo(Bound::RatingOf(_)) | LimitNode::AtLeast(Bound::RatingOf(_)) => {
                return Err(manual_error(
                    span,
                    "a rating bounds an amount of a step, not a feature",
                    "write a figure here",
                ));
            }
        };
        // Of two ends the last has the unit; of a figure with its tolerance, the figure itself.
        let mut written = amounts.iter().filter_map(|a| a.unit);
        let written = match node {
            LimitNode::PlusMinus(..) | LimitNode::Tolerance(..) => written.next(),
            _ => written.next_back(),
        }
        .map(|s| read_unit(s, self.text, wanted.dimension))
        .transpose()?;
        // A ratio is a plain number whatever else is measured in.
        let is_ratio = amounts.iter().any(|a| a.number.text(self.text).contains(':'));
        let plain = || is_ratio.then(|| unit::find("plain", None)).flatten();
        let Some(unit) = written.or_else(plain).or(wanted.unit).or_else(|| self.default_unit()) else {
            return Err(manual_error(
                span,
                "this limit has no unit",
                "write one behind the figure, or a `units mm` line at the head of the manual; a ratio or a count has `unit plain` below the feature",
            ));
        };
        let meant = Meant {
            dimension: Some(unit.dimension),
            unit: Some(unit),
        };
        let quantities: Vec<Quantity> = amounts
            .iter()
            .map(|a| read(a, self.text, meant))
            .collect::<Result<_, _>>()?;
        // What stands behind `±` is a difference: `1.0 bar abs ± 0.1 bar`.
        let tolerated = matches!(node, LimitNode::PlusMinus(..) | LimitNode::Tolerance(..));
        let is_other = |q: &Quantity, place: usize| {
            let spread = tolerated && place > 0;
            q.dimension() != unit.dimension && !(spread && q.dimension() == unit.dimension.difference())
        };
        let other = quantities.iter().enumerate().find(|(place, q)| is_other(q, *place));
        if let Some((_, other)) = other {
            return Err(manual_error(
                other.span,
                &format!("{} here, but {} there", other.dimension().name(), unit.dimension.name()),
                "give both ends of a limit in units of the same kind",
            ));
        }
        let too_large = || manual_error(span, "this figure is too large to work with", "look at the unit");
        let difference = |q: &Quantity| q.unit.map_or(Some(q.written), |u| u.difference_to_base(q.written));
        let band = match (node, quantities.as_slice()) {
            (LimitNode::UpTo(_), [a]) => Band::at_most(a.base),
            (LimitNode::AtLeast(_), [a]) => Band::at_least(a.base),
            (LimitNode::Between(..), [a, b]) => {
                if a.base > b.base {
                    return Err(manual_error(
                        span,
                        &format!("the limit runs backwards: {} is more than {}", a.written, b.written),
                        "write the smaller figure first",
                    ));
                }
                Band::between(a.base, b.base)
            }
            (LimitNode::PlusMinus(..), [a, b]) => difference(b)
                .and_then(|half| Band::exact(a.base).widen(half))
                .ok_or_else(too_large)?,
            (LimitNode::Tolerance(..), [a, plus, minus]) => {
                let ends: Option<(Decimal, Decimal)> = difference(minus)
                    .and_then(|m| a.base.checked_add(m))
                    .zip(difference(plus).and_then(|p| a.base.checked_add(p)));
                let (lo, hi) = ends.ok_or_else(too_large)?;
                Band::between(lo, hi)
            }
            (_, [a, ..]) => Band::exact(a.base),
            _ => return Err(too_large()),
        };
        Ok((band, unit))
    }

    /// The unit of a figure that has none anywhere near: the first unit of length at the head, else the first.
    pub(super) fn default_unit(&self) -> Option<&'static Unit> {
        self.units
            .iter()
            .find(|unit| unit.dimension == Dimension::LENGTH)
            .or_else(|| self.units.first())
            .copied()
    }

    pub(super) fn bound(&mut self, name: Span, node: &LimitNode) -> Option<StepBound> {
        let named = self.named(name);
        let bound = match node {
            LimitNode::UpTo(Bound::RatingOf(tool)) => BoundKind::RatingOf(self.named(*tool)),
            _ => BoundKind::Limit(self.limit(
                name,
                String::new(),
                node,
                None,
                Wanted {
                    dimension: dimension_named(&named.key),
                    // Stages are counted.
                    unit: (named.key == "stages").then(|| unit::find("plain", None)).flatten(),
                },
            )?),
        };
        Some(StepBound {
            name: named.key,
            bound,
            span: name,
            manual: 0,
        })
    }
}

pub(super) fn manual_error(span: Span, message: &str, help: &str) -> UnitError {
    Box::new(SyntaxError {
        code: "manual.limit",
        span,
        message: message.to_owned(),
        help: help.to_owned(),
        suggestion: None,
    })
}
