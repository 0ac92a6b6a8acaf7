//! What a manual says of a feature besides its limits: how it is accepted, what it is made of, how far its parts may differ.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::limits::manual_error;
use super::{At, Lowering};
use crate::model::acceptance;
use crate::model::limit::Limit;
use crate::model::manual::{Choice, Feature};
use crate::model::names::key;
use crate::model::units::{Meant, UnitError, read};
use crate::quantity::{Band, Dimension, Unit, unit};
use crate::syntax::ast::{Amount, Bound, LimitNode, MaterialNode, SyntaxError};
use crate::syntax::{Span, nearest};
use crate::trade::materials::{Material, material, names};

/// The largest coefficient that is believed, 1/°C: no solid of an engine grows by a thousandth for each degree. Common practice, no source.
const MOST_EXPANSION: f64 = 1e-3;

/// Pieces that may lie together: more are no pack that anybody measures.
const MOST_TOGETHER: usize = 3;

impl Lowering<'_> {
    /// `decide …`: at the head for the whole manual, else for the feature above it.
    pub(super) fn decide(&mut self, span: Span, rule: Span) {
        let rule = match acceptance::read(rule.text(self.text)) {
            Ok(rule) => rule,
            Err(message) => {
                self.problem("manual.decide", rule, message, acceptance::ALLOWED);
                return;
            }
        };
        if !matches!(self.at, At::Head) {
            self.once(span, "decide", |feature| feature.decide.is_some());
            self.of_feature(span, "decide", |feature| {
                feature.decide.get_or_insert(rule);
            });
        } else if self.manual.decide.is_some() {
            self.second(span, "this manual", "decide");
        } else {
            self.manual.decide = Some(rule);
        }
    }

    pub(super) fn material(&mut self, span: Span, node: &MaterialNode) {
        let made_of = match node {
            MaterialNode::Named(name) => self.material_named(*name),
            MaterialNode::Expansion(figure, spread) => self.expansion(figure, spread.as_ref()),
        };
        match made_of {
            Ok(made_of) => {
                self.once(span, "material", |feature| feature.material.is_some());
                self.of_feature(span, "material", |feature| {
                    feature.material.get_or_insert(made_of);
                });
            }
            Err(error) => self.problems.push(*error),
        }
    }

    fn material_named(&self, name: Span) -> Result<Material, UnitError> {
        let written = name.text(self.text);
        let folded = key(written);
        material(&folded).ok_or_else(|| {
            let near = nearest(&folded, names());
            let own = "or write its expansion by heat: `material 23 ± 2 ppm/K`";
            let help = match near {
                Some(near) => format!("`{near}` is near; {own}"),
                None => {
                    "the materials that are known are steel, cast iron, aluminium, stainless steel, bronze, brass, copper, magnesium and titanium; "
                        .to_owned()
                        + own
                }
            };
            Box::new(SyntaxError {
                code: "unknown.material",
                span: name,
                message: format!("`{written}` is no material that is known"),
                help,
                suggestion: near.map(|near| (name, near.to_owned())),
            })
        })
    }

    /// A coefficient of its own. What is not said behind `±` is half a unit of the last digit.
    fn expansion(&self, figure: &Amount, spread: Option<&Amount>) -> Result<Material, UnitError> {
        const HELP: &str = "write it like `material 23 ± 2 ppm/K`";
        let written = spread.map_or(figure.span(), |spread| figure.span().to(spread.span()));
        // The unit may stand behind both: `23 ± 2 ppm/K`.
        let Some(unit_span) = figure.unit.or(spread.and_then(|spread| spread.unit)) else {
            return Err(manual_error(written, "this expansion has no unit", HELP));
        };
        let Some(unit) = unit::find(unit_span.text(self.text), Some(Dimension::EXPANSION)) else {
            // `4140 steel`: a name that begins with a figure.
            return self.material_named(written);
        };
        let meant = Meant {
            dimension: Some(Dimension::EXPANSION),
            unit: Some(unit),
        };
        let coefficient = read(figure, self.text, meant)?;
        let spread = spread.map(|spread| read(spread, self.text, meant)).transpose()?;
        let dimensions = [Some(coefficient.dimension()), spread.map(|spread| spread.dimension())];
        if let Some(other) = dimensions.into_iter().flatten().find(|d| *d != Dimension::EXPANSION) {
            let message = format!("{} here, where an expansion per degree is wanted", other.name());
            return Err(manual_error(written, &message, HELP));
        }
        let either_way = spread.map_or(coefficient.half_step, |spread| spread.base.abs());
        let figures = coefficient.base.to_f64().zip(either_way.to_f64());
        match figures {
            Some((expansion, spread)) if expansion.abs() <= MOST_EXPANSION && spread <= MOST_EXPANSION => {
                Ok(Material {
                    name: None,
                    expansion,
                    spread,
                    elastic: None,
                })
            }
            _ => Err(manual_error(
                written,
                "nothing grows so much by heat",
                "look at the unit: steel is near 11.5 ppm/K, aluminium near 23 ppm/K",
            )),
        }
    }

    /// `choose NAME from stock NAME, up to 2 together`
    pub(super) fn choice(&mut self, span: Span, what: Span, stock: Option<Span>, together: Option<Span>) {
        let pieces = together.and_then(|count| count.text(self.text).parse::<usize>().ok());
        if pieces.is_some_and(|pieces| !(1..=MOST_TOGETHER).contains(&pieces)) {
            let message = format!("from 1 to {MOST_TOGETHER} pieces may lie together");
            self.problem(
                "manual.limit",
                together.unwrap_or(span),
                message,
                "a pack of more is best ground as one",
            );
            return;
        }
        let choice = Choice {
            what: self.named(what),
            stock: stock.map(|stock| self.named(stock)),
            together: pieces.unwrap_or(1),
            manual: 0,
        };
        self.once(span, "choose", |feature| feature.choice.is_some());
        self.of_feature(span, "choose", |feature| {
            feature.choice.get_or_insert(choice);
        });
    }

    /// `alike within 1 g`: a band from 0. It is a difference, so it says nothing of the feature's own unit.
    pub(super) fn alike(&mut self, span: Span, node: &LimitNode, source: Option<Span>) {
        match self.difference(span, node) {
            Ok((band, unit)) => {
                let limit = Limit {
                    stage: "alike".to_owned(),
                    band,
                    unit,
                    span,
                    manual: 0,
                    source: self.source_or_own(source),
                };
                self.once(span, "alike", |feature| feature.alike.is_some());
                self.of_feature(span, "alike", |feature| {
                    feature.alike.get_or_insert(limit);
                });
            }
            Err(error) => self.problems.push(*error),
        }
    }

    fn difference(&self, span: Span, node: &LimitNode) -> Result<(Band, &'static Unit), UnitError> {
        const HELP: &str = "write how far the parts may differ: `alike within 1 g`";
        let LimitNode::UpTo(Bound::Amount(amount)) = node else {
            return Err(manual_error(span, "this is not how far parts may differ", HELP));
        };
        let own = self.feature_unit().or_else(|| self.default_unit());
        let meant = Meant {
            dimension: own.map(|u| u.dimension),
            unit: own,
        };
        let most = read(amount, self.text, meant)?;
        let Some(unit) = most.unit else {
            return Err(manual_error(span, "this difference has no unit", HELP));
        };
        // A difference of 9 °F is one of 5 °C, and is shown in a unit that counts from the same nought.
        let shown = if unit.offset.is_zero() {
            Some(unit)
        } else {
            unit::usual(unit.dimension)
        };
        match unit.difference_to_base(most.written).zip(shown) {
            Some((most, shown)) if most >= Decimal::ZERO => Ok((Band::between(Decimal::ZERO, most), shown)),
            _ => Err(manual_error(span, "parts cannot differ by so much", HELP)),
        }
    }

    /// Whether what parts may differ by is of the kind of the feature. The unit may stand on a line below, so this is looked at last; that of
    /// a derived feature is known only to its sum.
    pub(super) fn alike_units(&mut self) {
        let wrong = |feature: &Feature| {
            let alike = feature.alike.as_ref()?;
            let own = feature.dimension().filter(|_| feature.calc.is_none())?;
            let other = alike.unit.dimension;
            (own != other).then(|| {
                let message = format!("{} here, but {} is {}", other.name(), feature.name.name, own.name());
                manual_error(alike.span, &message, "give the difference in a unit of the feature")
            })
        };
        let wrong: Vec<UnitError> = self.manual.features.iter().filter_map(wrong).collect();
        self.problems.extend(wrong.into_iter().map(|error| *error));
    }

    /// Says so if the feature being read has such a line already.
    fn once(&mut self, span: Span, what: &str, has_it: impl Fn(&Feature) -> bool) {
        let twice = matches!(self.at, At::Feature) && self.manual.features.last().is_some_and(has_it);
        if twice {
            self.second(span, "this feature", what);
        }
    }

    fn second(&mut self, span: Span, whose: &str, what: &str) {
        let message = format!("{whose} has two `{what}` lines; the first is used");
        self.problem("manual.duplicate", span, message, "keep one of the two");
    }
}
