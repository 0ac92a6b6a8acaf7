//! The book a log is judged by: its manuals put together, the first to say a thing winning, with every name indexed.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::limit::Limit;
use super::manual::*;
use crate::syntax::Source;
use crate::uncertainty::Acceptance;

/// A manual of a book, in the order of precedence.
#[derive(Debug)]
pub struct BookManual {
    /// Its text.
    pub source: Arc<Source>,
    /// What it says.
    pub manual: Arc<Manual>,
    /// Whether it is built in.
    pub on_shelf: bool,
    /// Which `manual` line of the log brought it in, counted from 0; those it extends have the same number.
    pub root: usize,
}

/// A feature that two manuals, neither built on the other, both give limits for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twice {
    /// The feature's name.
    pub feature: String,
    /// The manual that wins, and the one that does not: indices into `manuals`.
    pub manuals: (usize, usize),
}

/// Where a step stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct StepId {
    /// Index into `procedures`.
    pub procedure: usize,
    /// Index into its steps.
    pub step: usize,
}

/// Index of a feature in a book.
pub type FeatureId = usize;

/// Manuals put together.
#[derive(Debug, Default)]
pub struct Book {
    /// The manuals, the one that wins first.
    pub manuals: Vec<BookManual>,
    /// Every feature once.
    pub features: Vec<Feature>,
    /// Every procedure once; a step stands in the first procedure that names it.
    pub procedures: Vec<Procedure>,
    /// Every precaution once.
    pub precautions: Vec<Precaution>,
    /// Features that unrelated manuals both give limits for.
    pub twice: Vec<Twice>,
    feature_index: FxHashMap<String, FeatureId>,
    alias_index: FxHashMap<String, FeatureId>,
    step_index: FxHashMap<String, StepId>,
    precaution_index: FxHashMap<String, usize>,
}

impl Book {
    /// Puts manuals together, the first in the list winning.
    pub fn new(manuals: Vec<BookManual>) -> Book {
        let mut book = Book::default();
        for (number, entry) in manuals.iter().enumerate() {
            for feature in &entry.manual.features {
                book.add_feature(feature.clone(), number, &manuals);
            }
            for precaution in &entry.manual.precautions {
                book.add_precaution(precaution.clone(), number);
            }
            for procedure in &entry.manual.procedures {
                book.add_procedure(procedure.clone(), number);
            }
        }
        book.manuals = manuals;
        book.lend_limits();
        book
    }

    /// Gives each feature that is held against another's limits the one for new work, unless it has a limit of its own.
    fn lend_limits(&mut self) {
        let lent: Vec<(FeatureId, Limit)> = self
            .features
            .iter()
            .enumerate()
            .filter(|(_, feature)| feature.limits.is_empty())
            .filter_map(|(id, feature)| {
                let of = self.feature(&feature.limits_of.as_ref()?.to.key)?;
                let limit = self.features.get(of)?.new_limit()?.clone();
                let stage = "build".to_owned();
                Some((id, Limit { stage, ..limit }))
            })
            .collect();
        let aims: Vec<(FeatureId, Option<Limit>)> = lent
            .iter()
            .map(|(id, _)| {
                let of = self
                    .features
                    .get(*id)
                    .and_then(|feature| self.feature(&feature.limits_of.as_ref()?.to.key));
                (*id, of.and_then(|of| self.features.get(of)?.aim.clone()))
            })
            .collect();
        for ((id, limit), (_, aim)) in lent.into_iter().zip(aims) {
            if let Some(feature) = self.features.get_mut(id) {
                feature.unit.get_or_insert(limit.unit);
                feature.limits.push(limit);
                feature.is_lent = true;
                feature.aim = feature.aim.take().or(aim);
            }
        }
    }

    /// A feature by any of its names; the name is a key. Another feature's own name comes before an alias.
    pub fn feature(&self, key: &str) -> Option<FeatureId> {
        self.feature_index
            .get(key)
            .or_else(|| self.alias_index.get(key))
            .copied()
    }

    /// A step by any of its names; the name is a key.
    pub fn step_id(&self, key: &str) -> Option<StepId> {
        self.step_index.get(key).copied()
    }

    /// A step by its place.
    pub fn step(&self, id: StepId) -> Option<&Step> {
        self.procedures.get(id.procedure)?.steps.get(id.step)
    }

    /// A precaution by any of its names; the name is a key.
    pub fn precaution(&self, key: &str) -> Option<&Precaution> {
        self.precaution_index
            .get(key)
            .and_then(|index| self.precautions.get(*index))
    }

    /// All names a feature may be called by.
    pub fn feature_names(&self) -> impl Iterator<Item = &str> {
        self.features
            .iter()
            .flat_map(|f| std::iter::once(f.name.key.as_str()).chain(f.also.iter().map(String::as_str)))
    }

    /// All names a step may be called by.
    pub fn step_names(&self) -> impl Iterator<Item = &str> {
        self.procedures
            .iter()
            .flat_map(|p| &p.steps)
            .flat_map(|s| std::iter::once(s.name.key.as_str()).chain(s.also.iter().map(String::as_str)))
    }

    /// By which rule a feature is accepted: its own, else that of the first manual that names one.
    pub fn acceptance(&self, feature: &Feature) -> Option<Acceptance> {
        feature
            .decide
            .or_else(|| self.manuals.iter().find_map(|entry| entry.manual.decide))
    }

    /// The text of a manual.
    pub fn source(&self, manual: usize) -> Option<&Arc<Source>> {
        self.manuals.get(manual).map(|m| &m.source)
    }

    fn add_feature(&mut self, mut feature: Feature, number: usize, manuals: &[BookManual]) {
        feature.manual = number;
        for limit in feature
            .limits
            .iter_mut()
            .chain(feature.nominal.as_mut())
            .chain(feature.alike.as_mut())
            .chain(feature.aim.as_mut())
        {
            limit.manual = number;
        }
        for tie in feature.limits_of.iter_mut().chain(feature.agrees_with.as_mut()) {
            tie.manual = number;
        }
        if let Some(choice) = &mut feature.choice {
            choice.manual = number;
        }
        let (own, also) = (feature.name.key.clone(), feature.also.clone());
        // A manual may call by an alias what the one it extends calls by name, or the other way round; within one manual a name is a name.
        let of_other_manual = |id: &FeatureId| self.features.get(*id).is_some_and(|f| f.manual != number);
        let by_alias = || {
            std::iter::once(&own)
                .chain(&also)
                .filter_map(|name| self.feature(name))
                .find(of_other_manual)
        };
        let known = self.feature_index.get(&own).copied().or_else(by_alias);
        let id = match known {
            Some(id) => {
                self.note_twice(id, &feature, number, manuals);
                if let Some(first) = self.features.get_mut(id) {
                    merge_feature(first, feature);
                }
                id
            }
            None => {
                self.features.push(feature);
                self.features.len() - 1
            }
        };
        self.feature_index.entry(own).or_insert(id);
        for name in also {
            self.alias_index.entry(name).or_insert(id);
        }
    }

    fn note_twice(&mut self, id: FeatureId, second: &Feature, number: usize, manuals: &[BookManual]) {
        let Some(first) = self.features.get(id) else {
            return;
        };
        let root = |manual: usize| manuals.get(manual).map(|m| m.root);
        let both = first
            .limits
            .iter()
            .find(|a| second.limits.iter().any(|b| b.stage == a.stage) && root(a.manual) != root(number));
        if let Some(limit) = both {
            self.twice.push(Twice {
                feature: first.name.name.clone(),
                manuals: (limit.manual, number),
            });
        }
    }

    fn add_precaution(&mut self, mut precaution: Precaution, number: usize) {
        precaution.manual = number;
        let names: Vec<String> = std::iter::once(&precaution.name.key)
            .chain(&precaution.also)
            .cloned()
            .collect();
        let index = match self.precaution_index.get(&precaution.name.key) {
            Some(index) => {
                if let Some(first) = self.precautions.get_mut(*index) {
                    first.also.extend(precaution.also);
                }
                *index
            }
            None => {
                self.precautions.push(precaution);
                self.precautions.len() - 1
            }
        };
        for name in names {
            self.precaution_index.entry(name).or_insert(index);
        }
    }

    fn add_procedure(&mut self, procedure: Procedure, number: usize) {
        let existing = self.procedures.iter().position(|p| p.name.key == procedure.name.key);
        let index = existing.unwrap_or_else(|| {
            self.procedures.push(Procedure {
                name: procedure.name.clone(),
                steps: Vec::new(),
                one_of: Vec::new(),
                nevers: Vec::new(),
            });
            self.procedures.len() - 1
        });
        for mut step in procedure.steps {
            step.stand_in(number);
            self.add_step(index, step);
        }
        if let Some(own) = self.procedures.get_mut(index) {
            own.one_of.extend(procedure.one_of.into_iter().map(|mut one_of| {
                one_of.manual = number;
                one_of
            }));
            own.nevers.extend(procedure.nevers.into_iter().map(|mut never| {
                never.manual = number;
                never
            }));
        }
    }

    fn add_step(&mut self, procedure: usize, step: Step) {
        let names: Vec<String> = std::iter::once(&step.name.key).chain(&step.also).cloned().collect();
        let known = self.step_id(&step.name.key);
        let id = match known {
            Some(id) => {
                let first = self
                    .procedures
                    .get_mut(id.procedure)
                    .and_then(|p| p.steps.get_mut(id.step));
                if let Some(first) = first {
                    merge_step(first, step);
                }
                id
            }
            None => {
                let Some(own) = self.procedures.get_mut(procedure) else {
                    return;
                };
                own.steps.push(step);
                StepId {
                    procedure,
                    step: own.steps.len() - 1,
                }
            }
        };
        for name in names {
            self.step_index.entry(name).or_insert(id);
        }
    }
}

/// What the first does not say is taken from the second.
fn merge_feature(first: &mut Feature, second: Feature) {
    first.also.push(second.name.key);
    first.also.extend(second.also);
    for limit in second.limits {
        if first.limits.iter().all(|l| l.stage != limit.stage) {
            first.limits.push(limit);
        }
    }
    if first.nominal.is_none() {
        first.nominal = second.nominal;
    }
    if first.unit.is_none() {
        first.unit = second.unit;
    }
    if first.parts.is_empty() && first.places.is_empty() {
        first.parts = second.parts;
        first.places = second.places;
    }
    if first.say.is_empty() {
        first.say = second.say;
    }
    if first.required.is_empty() {
        first.required = second.required;
    }
    if first.calc.is_none() {
        first.calc = second.calc;
    }
    first.decide = first.decide.or(second.decide);
    first.material = first.material.or(second.material);
    if first.alike.is_none() {
        first.alike = second.alike;
    }
    first.is_ahead |= second.is_ahead;
    first.aim = first.aim.take().or(second.aim);
    first.limits_of = first.limits_of.take().or(second.limits_of);
    first.agrees_with = first.agrees_with.take().or(second.agrees_with);
    first.choice = first.choice.take().or(second.choice);
}

fn take<T>(own: &mut Vec<T>, other: Vec<T>) {
    if own.is_empty() {
        *own = other;
    }
}

/// Knowledge of what a step disturbs is added; everything else the first manual says stands as it is.
fn merge_step(first: &mut Step, second: Step) {
    first.also.push(second.name.key);
    first.also.extend(second.also);
    first.disturbs.extend(second.disturbs);
    take(&mut first.after, second.after);
    take(&mut first.directly_after, second.directly_after);
    take(&mut first.then, second.then);
    take(&mut first.then_directly, second.then_directly);
    take(&mut first.not_with, second.not_with);
    take(&mut first.given, second.given);
    take(&mut first.owed_if, second.owed_if);
    take(&mut first.only_if, second.only_if);
    take(&mut first.waits, second.waits);
    take(&mut first.takes_out, second.takes_out);
    take(&mut first.puts_in, second.puts_in);
    take(&mut first.renews, second.renews);
    take(&mut first.uses, second.uses);
    take(&mut first.needs, second.needs);
    take(&mut first.reads, second.reads);
    take(&mut first.until, second.until);
    take(&mut first.expects, second.expects);
    first.pattern = first.pattern.or(second.pattern);
    for bound in second.bounds {
        if first.bounds.iter().all(|b| b.name != bound.name) {
            first.bounds.push(bound);
        }
    }
}
