//! Puts the readings of a job into a sum: which reading each name means, for the sum's own part and place.

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use super::Rulebook;
use super::formula::{Formula, Leaf, Resolved};
use super::question::Question;
use super::sum::{DEEPEST, Node, Read};
use super::work::{Reason, Scope};
use crate::metrology::{Which, measure};
use crate::model::Job;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::model::names::{named, place_within};
use crate::quantity::BandError;

/// Nodes of sums worked for one figure, at most.
const MOST_NODES: u32 = 10_000;

/// The sum of a derived feature with its readings put in. `None` if it has no sum.
pub(super) fn resolve(
    rules: &Rulebook,
    job: &Job,
    by_feature: &[Vec<usize>],
    feature: FeatureId,
    scope: Scope<'_>,
) -> Option<Result<Resolved, Reason>> {
    let worker = Worker {
        rules,
        job,
        by_feature,
        left: Cell::new(MOST_NODES),
        leaves: RefCell::default(),
    };
    let formula = worker.feature(feature, scope, 0)?;
    Some(formula.map(|formula| Resolved {
        formula,
        leaves: worker.leaves.into_inner(),
    }))
}

struct Worker<'a> {
    rules: &'a Rulebook,
    job: &'a Job,
    /// Instances of each feature.
    by_feature: &'a [Vec<usize>],
    /// How many nodes may still be worked: chains of sums that each name the next several times grow without bound.
    left: Cell<u32>,
    /// The figures found so far.
    leaves: RefCell<Vec<Leaf>>,
}

type Found = Result<Formula, Reason>;

impl Worker<'_> {
    fn feature(&self, feature: FeatureId, scope: Scope<'_>, depth: usize) -> Option<Found> {
        let sum = self.rules.sums.get(feature)?.as_ref()?;
        if depth > DEEPEST {
            return Some(Err(Reason::TooDeep));
        }
        Some(self.node(&sum.node, scope, depth))
    }

    fn spend(&self) -> Result<(), Reason> {
        let left = self.left.get().checked_sub(1).ok_or(Reason::TooDeep)?;
        self.left.set(left);
        Ok(())
    }

    fn node(&self, node: &Node, scope: Scope<'_>, depth: usize) -> Found {
        self.spend()?;
        match node {
            Node::Number(figure) => Ok(Formula::Number(*figure)),
            Node::Read(read) => self.single(read, scope, depth),
            Node::Negate(inner) => Ok(Formula::Negate(Box::new(self.node(inner, scope, depth)?))),
            Node::Binary(op, a, b) => {
                let (a, b) = (self.node(a, scope, depth)?, self.node(b, scope, depth)?);
                Ok(Formula::Binary(*op, Box::new(a), Box::new(b)))
            }
            Node::Trade(called, arguments) => {
                let list: Result<Vec<Formula>, Reason> = arguments
                    .iter()
                    .map(|argument| self.node(argument, scope, depth))
                    .collect();
                Ok(Formula::Trade(Arc::clone(called), list?))
            }
            Node::Between(band) => Ok(Formula::Between(*band)),
            Node::Ask(question, read) => self.asked(question, read, scope),
            Node::Missing(what) => Err(Reason::Missing(what.clone())),
            Node::Power(base, power) => Ok(Formula::Power(Box::new(self.node(base, scope, depth)?), *power)),
            Node::Call(function, arguments) => {
                let list = match (function.gathers(), arguments.as_slice()) {
                    (true, [Node::Read(read)]) => self.every(read, scope, depth)?,
                    _ => arguments
                        .iter()
                        .map(|argument| self.node(argument, scope, depth))
                        .collect::<Result<_, _>>()?,
                };
                Ok(Formula::Call(*function, list))
            }
        }
    }

    /// A figure of a reading as a leaf.
    fn leaf(&self, index: usize, reading: &Reading, which: Which) -> Found {
        self.spend()?;
        let too_large = || Reason::Arithmetic(BandError::TooLarge);
        let measured = measure(self.job, &self.rules.book, index, which).ok_or_else(too_large)?;
        let written = match which {
            Which::Whole | Which::Swing => reading.band(),
            Which::Point(number) => reading.points.get(number).map(|point| point.band),
        };
        let written = written.ok_or_else(too_large)?;
        let mut leaves = self.leaves.borrow_mut();
        leaves.push(Leaf {
            reading: Some(index),
            is_beside: false,
            measured,
            written,
        });
        Ok(Formula::Leaf(leaves.len() - 1))
    }

    /// What the one reading a name means says besides its figure.
    fn asked(&self, question: &Question, read: &Read, scope: Scope<'_>) -> Found {
        self.spend()?;
        let lacks = || Reason::Missing(format!("{} {}", question.missing(), self.name_of(read, scope)));
        let index = match self.meant(read, scope).as_slice() {
            [] => return Err(Reason::Missing(self.name_of(read, scope))),
            [one] => *one,
            several => return Err(Reason::Several(self.name_of(read, scope), several.len())),
        };
        let measured = question.answer(self.job, &self.rules.book, index).ok_or_else(lacks)?;
        let written = measured.bare();
        let mut leaves = self.leaves.borrow_mut();
        leaves.push(Leaf {
            reading: Some(index),
            is_beside: !matches!(question, Question::At(_) | Question::IfSaid(_)),
            measured,
            written,
        });
        Ok(Formula::Leaf(leaves.len() - 1))
    }

    /// The figure that is supposed of a feature, if one is.
    fn supposed(&self, read: &Read, scope: Scope<'_>) -> Option<Found> {
        let supposed = scope.supposed.filter(|supposed| supposed.feature == read.feature)?;
        let mut leaves = self.leaves.borrow_mut();
        leaves.push(Leaf {
            reading: None,
            is_beside: false,
            measured: supposed.measured.clone(),
            written: supposed.measured.bare(),
        });
        Some(Ok(Formula::Leaf(leaves.len() - 1)))
    }

    /// The one reading a name means; the mean of its repeats.
    fn single(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Found {
        if let Some(supposed) = self.supposed(read, scope) {
            return supposed;
        }
        match self.meant(read, scope).as_slice() {
            [] => self.derived(read, scope, depth),
            [one] => {
                let reading = self.job.readings.get(*one).ok_or(Reason::TooDeep)?;
                self.leaf(*one, reading, Which::Whole)
            }
            several => Err(Reason::Several(self.name_of(read, scope), several.len())),
        }
    }

    /// The readings a name means where it is to mean one.
    fn meant(&self, read: &Read, scope: Scope<'_>) -> Vec<usize> {
        let mut readings = self.candidates(read, scope, false);
        // A reading without a part, or without a place, is the one meant when the name says neither.
        if readings.len() > 1 && read.part.is_none() && scope.part.is_none() {
            keep_if_any(&mut readings, |index| {
                self.instance(*index).is_some_and(|i| i.part.is_none())
            });
        }
        if readings.len() > 1 && read.place.is_none() && scope.place.is_none() {
            keep_if_any(&mut readings, |index| {
                self.instance(*index).is_some_and(|i| i.place.is_none())
            });
        }
        readings
    }

    /// Every reading a name means: each figure of a ring, and repeats as the one thing that they are.
    fn every(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Result<Vec<Formula>, Reason> {
        if let Some(supposed) = self.supposed(read, scope) {
            return supposed.map(|one| vec![one]);
        }
        let readings = self.candidates(read, scope, false);
        if readings.is_empty() {
            return self.derived(read, scope, depth).map(|one| vec![one]);
        }
        let mut list = Vec::new();
        for index in readings {
            let Some(reading) = self.job.readings.get(index) else {
                continue;
            };
            if reading.kind == ReadingKind::Ring {
                for point in 0..reading.points.len() {
                    list.push(self.leaf(index, reading, Which::Point(point))?);
                }
            } else {
                list.push(self.leaf(index, reading, Which::Whole)?);
            }
        }
        Ok(list)
    }

    /// A feature that was not read may itself be derived; where what that rests on was not read either, a figure written for it is all that is known.
    fn derived(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Found {
        let worked = self.worked(read, scope, depth);
        if !matches!(worked, Err(Reason::Missing(_))) {
            return worked;
        }
        match self.candidates(read, scope, true).as_slice() {
            [one] => match self.job.readings.get(*one) {
                Some(reading) => self.leaf(*one, reading, Which::Whole),
                None => worked,
            },
            _ => worked,
        }
    }

    fn worked(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Found {
        let inner = Scope {
            part: read.part.as_deref().or(scope.part),
            place: read.place.as_deref().or(scope.place),
            ..scope
        };
        if read.as_found {
            return Err(Reason::Missing(self.name_of(read, scope)));
        }
        self.feature(read.feature, inner, depth + 1)
            .unwrap_or_else(|| Err(Reason::Missing(self.name_of(read, scope))))
    }

    fn instance(&self, reading: usize) -> Option<&Instance> {
        let reading = self.job.readings.get(reading)?;
        self.job.instances.get(reading.instance)
    }

    /// The latest readings that a name can mean in this scope. A derived feature's written figures are claims, not readings, so they do not count unless
    /// they are asked for.
    fn candidates(&self, read: &Read, scope: Scope<'_>, with_claims: bool) -> Vec<usize> {
        let is_derived = !with_claims && self.rules.sums.get(read.feature).is_some_and(Option::is_some);
        let empty = Vec::new();
        let instances = self.by_feature.get(read.feature).unwrap_or(&empty);
        let mut list: Vec<(usize, &Instance)> = instances
            .iter()
            .filter_map(|index| self.job.instances.get(*index))
            .filter(|instance| {
                instance
                    .part
                    .as_ref()
                    .is_none_or(|part| !scope.left.contains(&part.key))
            })
            .filter_map(|instance| self.latest(instance, read, scope, is_derived).map(|r| (r, instance)))
            .collect();
        let part_is = |instance: &Instance, wanted: &str| instance.part.as_ref().is_some_and(|p| p.key == wanted);
        match (&read.part, scope.part) {
            (Some(part), _) => list.retain(|(_, i)| part_is(i, part)),
            (None, Some(own)) => {
                let has_own = list.iter().any(|(_, i)| part_is(i, own));
                list.retain(|(_, i)| if has_own { part_is(i, own) } else { i.part.is_none() });
            }
            _ => {}
        }
        let place_is =
            |instance: &Instance, wanted: &str| instance.place.as_ref().is_some_and(|p| place_within(&p.key, wanted));
        match (&read.place, scope.place) {
            (Some(place), _) => list.retain(|(_, i)| place_is(i, place)),
            (None, Some(own)) => {
                let has_own = list.iter().any(|(_, i)| place_is(i, own));
                list.retain(|(_, i)| if has_own { place_is(i, own) } else { i.place.is_none() });
            }
            _ => {}
        }
        list.into_iter().map(|(reading, _)| reading).collect()
    }

    fn latest(&self, instance: &Instance, read: &Read, scope: Scope<'_>, is_derived: bool) -> Option<usize> {
        let event_of = |index: &usize| {
            self.job
                .readings
                .get(*index)
                .map_or(usize::MAX, |reading| reading.event)
        };
        // Readings stand in the order of their events.
        let in_time = match scope.before {
            Some(before) => instance.readings.partition_point(|index| event_of(index) < before),
            None => instance.readings.len(),
        };
        instance.readings.iter().take(in_time).rev().copied().find(|index| {
            let Some(reading) = self.job.readings.get(*index) else {
                return false;
            };
            let stage = self
                .job
                .events
                .get(reading.event)
                .map_or("", |e| self.job.stage(e.stage).key.as_str());
            let as_asked = !read.as_found || stage == "as found";
            let counts = !is_derived || !super::is_claim(reading);
            !reading.points.is_empty() && as_asked && counts
        })
    }

    /// What a reference is called in a message.
    fn name_of(&self, read: &Read, scope: Scope<'_>) -> String {
        let feature = self.rules.book.features.get(read.feature);
        let mut name = named(
            feature.map_or("", |f| &f.name.name),
            read.part.as_deref().or(scope.part),
            read.place.as_deref().or(scope.place),
        );
        if read.as_found {
            name.push_str(" as found");
        }
        name
    }
}

/// Keeps what passes, unless nothing would be left.
fn keep_if_any(list: &mut Vec<usize>, keep: impl Fn(&usize) -> bool) {
    if list.iter().any(&keep) {
        list.retain(keep);
    }
}
