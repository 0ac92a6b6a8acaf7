//! From the tree of a manual to its model: units resolved, limits as bands, names as keys. Problems are collected, never fatal.

mod coded;
mod facts;
mod limits;
mod steps;

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use super::manual::*;
use super::names::key;
use super::units::read_unit;
use crate::quantity::Unit;
use crate::syntax::ast::{Heading, ManualTree, Rule, RuleEntry, Subject, SyntaxError};
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
        features: FxHashMap::default(),
        steps: FxHashSet::default(),
        at: At::Head,
    };
    lowering.prepare(tree);
    for (number, entry) in tree.entries.iter().enumerate() {
        let indented = tree
            .lines
            .get(entry.line)
            .is_some_and(|line| line.is_indented(&source.text));
        if matches!(entry.rule, Rule::Unread) && !indented {
            // What stands below a heading that could not be read must not fall to the heading above it.
            lowering.at = At::Lost;
        }
        lowering.rule(entry.span, &entry.rule);
        lowering.unit_below(&entry.rule, tree.entries.get(number + 1..).unwrap_or(&[]));
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
    /// The first feature of each name: its number.
    features: FxHashMap<String, usize>,
    /// The names of the steps of the last procedure.
    steps: FxHashSet<String>,
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

    /// The unit of a feature holds for all its lines, wherever its own line stands among them.
    fn unit_below(&mut self, rule: &Rule, below: &[RuleEntry]) {
        let is_heading = |rule: &Rule| {
            matches!(
                rule,
                Rule::Feature(_) | Rule::Calc(..) | Rule::Precaution(_) | Rule::Procedure(_)
            )
        };
        if !matches!(rule, Rule::Feature(_) | Rule::Calc(..)) {
            return;
        }
        let own = below.iter().take_while(|entry| !is_heading(&entry.rule));
        let written = own.filter_map(|entry| match &entry.rule {
            Rule::Unit(span) => Some(*span),
            _ => None,
        });
        // What is wrong with it is said where it stands.
        let unit = written.take(1).find_map(|span| read_unit(span, self.text, None).ok());
        if let (Some(unit), Some(feature)) = (unit, self.manual.features.last_mut()) {
            feature.unit = Some(unit);
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
            manual: 0,
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
            manual: 0,
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
                self.steps.clear();
                self.manual.procedures.push(Procedure {
                    name,
                    steps: Vec::new(),
                    one_of: Vec::new(),
                    nevers: Vec::new(),
                });
                self.at = At::Procedure;
            }
            Rule::Step(name, clauses) => self.step(*name, clauses),
            Rule::Clauses(clauses) => self.clauses(span, clauses),
            Rule::OneOf(steps) => self.one_of(span, steps),
            Rule::Never(never) => self.never(never),
            Rule::Limit(stage, limit, source) => self.limit_line(span, *stage, limit, *source),
            Rule::Nominal(limit, source) => self.nominal(span, limit, *source),
            Rule::Unit(unit) => self.unit(*unit),
            Rule::Decide(rule) => self.decide(span, *rule),
            Rule::Material(material) => self.material(span, material),
            Rule::Alike(limit, source) => self.alike(span, limit, *source),
            Rule::Aim(limit, source) => self.aim(span, limit, *source),
            Rule::Ahead => self.of_feature(span, "ahead", |feature| feature.is_ahead = true),
            Rule::LimitsOf(name) => {
                let name = self.named(*name);
                self.of_feature(span, "limits of", |feature| {
                    feature.limits_of = Some(Tie { to: name, manual: 0 })
                });
            }
            Rule::AgreesWith(name) => {
                let name = self.named(*name);
                self.of_feature(span, "agrees with", |feature| {
                    feature.agrees_with = Some(Tie { to: name, manual: 0 })
                });
            }
            Rule::Choose { what, stock, together } => self.choice(span, *what, *stock, *together),
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
        let known = self
            .features
            .get(&name.key)
            .and_then(|first| self.manual.features.get(*first));
        if let Some(first) = known {
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
        self.features
            .entry(name.key.clone())
            .or_insert(self.manual.features.len());
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
            decide: None,
            material: None,
            aim: None,
            limits_of: None,
            agrees_with: None,
            is_ahead: false,
            is_lent: false,
            choice: None,
            alike: None,
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
        self.alike_units();
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
