//! From the tree of a manual to its model: units resolved, limits as bands, names as keys. Problems are collected, never fatal.

use std::sync::Arc;

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use super::limit::Limit;
use super::manual::*;
use super::names::key;
use super::units::{Meant, Quantity, UnitError, read, read_unit};
use crate::quantity::{Band, Dimension, Unit};
use crate::syntax::ast::{Amount, Bound, Clause, Heading, LimitNode, ManualTree, Rule, Subject, SyntaxError};
use crate::syntax::{Source, Span};

/// Lowers a manual. `source` is the text the tree was read from.
pub fn lower_manual(tree: &ManualTree, source: &Arc<Source>) -> (Manual, Vec<SyntaxError>) {
    let mut lowering = Lowering {
        source,
        text: &source.text,
        manual: Manual::default(),
        problems: Vec::new(),
        units: Vec::new(),
        said_source: None,
        at: At::Head,
    };
    lowering.prepare(tree);
    for entry in &tree.entries {
        let indented = tree
            .lines
            .get(entry.line)
            .is_some_and(|line| line.is_indented(&source.text));
        if matches!(entry.rule, Rule::Unread) && !indented {
            // What stands below a heading that could not be read must not fall to the heading above it.
            lowering.at = At::Lost;
        }
        lowering.rule(entry.span, &entry.rule);
    }
    lowering.finish();
    (lowering.manual, lowering.problems)
}

/// What the next line belongs to.
#[derive(Clone, Copy)]
enum At {
    Head,
    Feature,
    Precaution,
    Procedure,
    /// A heading that could not be read; that was said, and what belongs to it is passed over.
    Lost,
}

struct Lowering<'a> {
    source: &'a Arc<Source>,
    text: &'a str,
    manual: Manual,
    problems: Vec<SyntaxError>,
    units: Vec<&'static Unit>,
    said_source: Option<Arc<str>>,
    at: At,
}

impl<'a> Lowering<'a> {
    /// Head lines hold for the whole manual wherever they stand, so they are read first.
    fn prepare(&mut self, tree: &ManualTree) {
        for entry in &tree.entries {
            match &entry.rule {
                Rule::Units(spans) => {
                    for span in spans {
                        match read_unit(*span, self.text, None) {
                            Ok(unit) => self.units.push(unit),
                            Err(error) => self.problems.push(*error),
                        }
                    }
                }
                Rule::Source(span) => {
                    let said = span.text(self.text);
                    self.said_source.get_or_insert_with(|| Arc::from(said));
                }
                _ => {}
            }
        }
    }

    fn problem(&mut self, code: &'static str, span: Span, message: String, help: &str) {
        if code == "manual.stray" && matches!(self.at, At::Lost) {
            return;
        }
        self.problems.push(SyntaxError {
            code,
            span,
            message,
            help: help.to_owned(),
            suggestion: None,
        });
    }

    fn named(&self, span: Span) -> Named {
        let name = span.text(self.text);
        Named {
            key: key(name).into_owned(),
            name: name.to_owned(),
            span,
        }
    }

    fn keys(&self, spans: &[Span]) -> Vec<String> {
        spans
            .iter()
            .map(|span| key(span.text(self.text)).into_owned())
            .collect()
    }

    fn target(&self, subject: &Subject) -> Target {
        let folded = |span: Span| key(span.text(self.text)).into_owned();
        Target {
            feature: folded(subject.feature),
            part: subject.part.map(folded),
            place: subject.place.map(folded),
            span: subject.span(),
        }
    }

    fn rule(&mut self, span: Span, rule: &Rule) {
        match rule {
            Rule::Manual(name) => {
                if self.manual.name.is_empty() {
                    name.text(self.text).clone_into(&mut self.manual.name);
                }
            }
            Rule::Extends(name) => {
                let name = self.named(*name);
                self.manual.extends.push(name);
            }
            Rule::Source(_) | Rule::Units(_) | Rule::Unread => {}
            Rule::Feature(heading) => self.feature(heading, None),
            Rule::Calc(heading, expr) => {
                let calc = Calc {
                    expr: expr.clone(),
                    source: Arc::clone(self.source),
                };
                self.feature(heading, Some(Arc::new(calc)));
            }
            Rule::Precaution(heading) => {
                let precaution = Precaution {
                    name: self.named(heading.name),
                    also: self.keys(&heading.also),
                    because: String::new(),
                    manual: 0,
                };
                self.manual.precautions.push(precaution);
                self.at = At::Precaution;
            }
            Rule::Procedure(name) => {
                let name = self.named(*name);
                self.manual.procedures.push(Procedure {
                    name,
                    steps: Vec::new(),
                    nevers: Vec::new(),
                });
                self.at = At::Procedure;
            }
            Rule::Step(name, clauses) => self.step(*name, clauses),
            Rule::Clauses(clauses) => self.clauses(span, clauses),
            Rule::Never(names, reason) => self.never(names, *reason),
            Rule::Limit(stage, limit, source) => self.limit_line(span, *stage, limit, *source),
            Rule::Nominal(limit, source) => self.nominal(span, limit, *source),
            Rule::Unit(unit) => self.unit(*unit),
            Rule::Say(choices) => {
                let choices = self.keys(choices);
                self.of_feature(span, "say", |feature| feature.say.extend(choices));
            }
            Rule::Required(stage) => {
                let stage = stage.map_or_else(String::new, |s| key(s.text(self.text)).into_owned());
                self.of_feature(span, "required", |feature| feature.required.push(stage));
            }
            Rule::Also(names) => self.also(span, names),
            Rule::Because(reason) => self.because(span, *reason),
        }
    }

    fn feature(&mut self, heading: &Heading, calc: Option<Arc<Calc>>) {
        let name = self.named(heading.name);
        if let Some(first) = self.manual.features.iter().find(|f| f.name.key == name.key) {
            let message = format!(
                "`{}` is defined twice in this manual; both are put together, and the first limit of a stage wins",
                first.name.name
            );
            self.problem(
                "manual.duplicate",
                name.span,
                message,
                "keep one of the two, or give this one another name",
            );
        }
        let feature = Feature {
            also: self.keys(&heading.also),
            parts: heading.parts.iter().map(|s| self.named(*s)).collect(),
            places: heading.places.iter().map(|s| self.named(*s)).collect(),
            name,
            limits: Vec::new(),
            nominal: None,
            unit: None,
            say: Vec::new(),
            required: Vec::new(),
            calc,
            manual: 0,
        };
        self.manual.features.push(feature);
        self.at = At::Feature;
    }

    /// Gives the feature being read, or says that there is none.
    fn of_feature(&mut self, span: Span, what: &str, change: impl FnOnce(&mut Feature)) {
        if matches!(self.at, At::Feature)
            && let Some(feature) = self.manual.features.last_mut()
        {
            change(feature);
            return;
        }
        let message = format!("`{what}` stands under no feature");
        self.problem(
            "manual.stray",
            span,
            message,
            "put it below a `feature` or a `calc` line",
        );
    }

    fn step_mut(&mut self) -> Option<&mut Step> {
        if !matches!(self.at, At::Procedure) {
            return None;
        }
        self.manual.procedures.last_mut()?.steps.last_mut()
    }

    fn step(&mut self, name: Span, clauses: &[Clause]) {
        let step = Step {
            name: self.named(name),
            also: Vec::new(),
            after: Vec::new(),
            needs: Vec::new(),
            disturbs: Vec::new(),
            reads: Vec::new(),
            until: Vec::new(),
            bounds: Vec::new(),
            optional: false,
            once: false,
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => {
                let twice = procedure.steps.iter().any(|s| s.name.key == step.name.key);
                let shown = step.name.name.clone();
                procedure.steps.push(step);
                if twice {
                    let message = format!("step `{shown}` stands twice in this procedure");
                    self.problem("manual.duplicate", name, message, "give one of them another name");
                }
                self.clauses(name, clauses);
            }
            _ => self.problem(
                "manual.stray",
                name,
                "a step stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }

    fn clauses(&mut self, span: Span, clauses: &[Clause]) {
        for clause in clauses {
            let names = |spans: &[Span]| -> Vec<Named> { spans.iter().map(|s| self.named(*s)).collect() };
            let targets = |subjects: &[Subject]| -> Vec<Target> { subjects.iter().map(|s| self.target(s)).collect() };
            // Everything that needs `self` is worked out before the step is borrowed.
            let change: Box<dyn FnOnce(&mut Step)> = match clause {
                Clause::After(list) => {
                    let list = names(list);
                    Box::new(move |s| s.after.extend(list))
                }
                Clause::Needs(list) => {
                    let list = names(list);
                    Box::new(move |s| s.needs.extend(list))
                }
                Clause::Also(list) => {
                    let list = self.keys(list);
                    Box::new(move |s| s.also.extend(list))
                }
                Clause::Disturbs(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.disturbs.extend(list))
                }
                Clause::Reads(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.reads.extend(list))
                }
                Clause::Until(list) => {
                    let list = targets(list);
                    Box::new(move |s| s.until.extend(list))
                }
                Clause::Optional => Box::new(|s| s.optional = true),
                Clause::Once => Box::new(|s| s.once = true),
                Clause::Because(_) => Box::new(|_| {}),
                Clause::Bound(name, limit) => match self.bound(*name, limit) {
                    Some(bound) => Box::new(move |s| s.bounds.push(bound)),
                    None => Box::new(|_| {}),
                },
            };
            match self.step_mut() {
                Some(step) => change(step),
                None => {
                    self.problem(
                        "manual.stray",
                        span,
                        "this belongs to no step".to_owned(),
                        "put it behind a step's name, or on a line below the step",
                    );
                    return;
                }
            }
        }
    }

    fn bound(&mut self, name: Span, node: &LimitNode) -> Option<StepBound> {
        let named = self.named(name);
        let bound = match node {
            LimitNode::UpTo(Bound::RatingOf(tool)) => BoundKind::RatingOf(self.named(*tool)),
            _ => BoundKind::Limit(self.limit(name, String::new(), node, None, None)?),
        };
        Some(StepBound {
            name: named.key,
            bound,
            span: name,
        })
    }

    fn never(&mut self, names: &[Span], reason: Option<Span>) {
        let Some((step, ticks)) = names.split_first() else {
            return;
        };
        let never = Never {
            step: self.named(*step),
            ticks: self.keys(ticks),
            because: reason.map_or_else(String::new, |r| r.text(self.text).to_owned()),
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => procedure.nevers.push(never),
            _ => self.problem(
                "manual.stray",
                *step,
                "`never` stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }

    fn unit(&mut self, span: Span) {
        match read_unit(span, self.text, None) {
            Ok(unit) => self.of_feature(span, "unit", |feature| feature.unit = Some(unit)),
            Err(error) => self.problems.push(*error),
        }
    }

    fn also(&mut self, span: Span, names: &[Span]) {
        let names = self.keys(names);
        match self.at {
            At::Precaution => {
                if let Some(precaution) = self.manual.precautions.last_mut() {
                    precaution.also.extend(names);
                }
            }
            At::Procedure => {
                if let Some(step) = self.step_mut() {
                    step.also.extend(names);
                }
            }
            _ => self.of_feature(span, "also", |feature| feature.also.extend(names)),
        }
    }

    fn because(&mut self, span: Span, reason: Span) {
        let text = reason.text(self.text);
        match self.at {
            At::Precaution => {
                if let Some(precaution) = self.manual.precautions.last_mut() {
                    if !precaution.because.is_empty() {
                        precaution.because.push(' ');
                    }
                    precaution.because.push_str(text);
                }
            }
            At::Procedure => {
                if let Some(never) = self.manual.procedures.last_mut().and_then(|p| p.nevers.last_mut())
                    && never.because.is_empty()
                {
                    text.clone_into(&mut never.because);
                }
            }
            At::Feature | At::Lost => {}
            At::Head => self.problem(
                "manual.stray",
                span,
                "`because` gives the reason of nothing here".to_owned(),
                "put it below a `precaution` line",
            ),
        }
    }

    fn limit_line(&mut self, span: Span, stage: Span, node: &LimitNode, source: Option<Span>) {
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
        let unit = self.feature_unit();
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

    fn nominal(&mut self, span: Span, node: &LimitNode, source: Option<Span>) {
        let unit = self.feature_unit();
        if let Some(limit) = self.limit(span, String::new(), node, source, unit) {
            self.of_feature(span, "nominal", |feature| {
                feature.unit.get_or_insert(limit.unit);
                feature.nominal = Some(limit);
            });
        }
    }

    fn feature_unit(&self) -> Option<&'static Unit> {
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
        unit: Option<&'static Unit>,
    ) -> Option<Limit> {
        match self.limit_band(span, node, unit) {
            Ok((band, unit)) => Some(Limit {
                stage,
                band,
                unit,
                span,
                manual: 0,
                source: source
                    .map(|s| Arc::from(s.text(self.text)))
                    .or_else(|| self.said_source.clone()),
            }),
            Err(error) => {
                self.problems.push(*error);
                None
            }
        }
    }

    fn limit_band(
        &self,
        span: Span,
        node: &LimitNode,
        unit: Option<&'static Unit>,
    ) -> Result<(Band, &'static Unit), UnitError> {
        let amounts: Vec<&Amount> = match node {
            LimitNode::UpTo(Bound::Amount(a)) | LimitNode::AtLeast(Bound::Amount(a)) | LimitNode::Exactly(a) => vec![a],
            LimitNode::Between(a, b) | LimitNode::PlusMinus(a, b) => vec![a, b],
            LimitNode::Tolerance(a, b, c) => vec![a, b, c],
            LimitNode::UpTo(Bound::RatingOf(_)) | LimitNode::AtLeast(Bound::RatingOf(_)) => {
                return Err(manual_error(
                    span,
                    "a rating bounds an amount of a step, not a feature",
                    "write a figure here",
                ));
            }
        };
        let wanted = unit.map(|u| u.dimension);
        let written = amounts
            .iter()
            .rev()
            .find_map(|a| a.unit)
            .map(|s| read_unit(s, self.text, wanted))
            .transpose()?;
        let Some(unit) = written.or(unit).or_else(|| self.default_unit()) else {
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
        if let Some(other) = quantities.iter().find(|q| q.dimension() != unit.dimension) {
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
    fn default_unit(&self) -> Option<&'static Unit> {
        self.units
            .iter()
            .find(|unit| unit.dimension == Dimension::LENGTH)
            .or_else(|| self.units.first())
            .copied()
    }

    /// A name that two features of this manual answer to.
    fn shared_names(&mut self) {
        let mut taken: FxHashMap<&str, &str> = FxHashMap::default();
        for feature in &self.manual.features {
            taken.insert(&feature.name.key, &feature.name.name);
        }
        let mut shared = Vec::new();
        for feature in &self.manual.features {
            for alias in &feature.also {
                match taken.get(alias.as_str()) {
                    Some(other) if *other != feature.name.name => {
                        shared.push((
                            feature.name.span,
                            format!("`{alias}` is also the name of {other}; it then means that one"),
                        ));
                    }
                    _ => {
                        taken.insert(alias, &feature.name.name);
                    }
                }
            }
        }
        for (span, message) in shared {
            self.problem("manual.duplicate", span, message, "give each feature names of its own");
        }
    }

    /// What can only be said once all is read.
    fn finish(&mut self) {
        self.shared_names();
        if self.manual.precautions.iter().any(|p| p.because.is_empty()) {
            let bare: Vec<Named> = self
                .manual
                .precautions
                .iter()
                .filter(|p| p.because.is_empty())
                .map(|p| p.name.clone())
                .collect();
            for name in bare {
                let message = format!("precaution `{}` does not say what it keeps people from", name.name);
                self.problem(
                    "manual.no-reason",
                    name.span,
                    message,
                    "add a line `because …` below it",
                );
            }
        }
    }
}

fn manual_error(span: Span, message: &str, help: &str) -> UnitError {
    Box::new(SyntaxError {
        code: "manual.limit",
        span,
        message: message.to_owned(),
        help: help.to_owned(),
        suggestion: None,
    })
}
