//! Works a derived feature out from the readings of a job.

use std::cell::Cell;

use rust_decimal::Decimal;

use super::Rulebook;
use super::function::Function;
use super::sum::{DEEPEST, Node, Read};
use crate::model::Job;
use crate::model::book::FeatureId;
use crate::model::job::Instance;
use crate::model::names::place_within;
use crate::quantity::{Band, BandError};
use crate::syntax::ast::Op;

/// What a sum came to, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// From the least to the greatest it can be.
    pub band: Band,
    /// The same from the figures as written, without the errors of tools.
    pub plain: Band,
    /// The best single figure.
    pub best: Decimal,
    /// Every reading it rests on: indices into `Job::readings`.
    pub inputs: Vec<usize>,
    /// Those that decided it: of `smallest(bore)` only the smallest.
    pub deciding: Vec<usize>,
}

/// Why a sum came to nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// A feature was not read: its name, part, place.
    Missing(String),
    /// A feature has several readings where one is wanted: its name, how many.
    Several(String, usize),
    /// The figures cannot be worked with.
    Arithmetic(BandError),
    /// Derived features rest on each other too deeply.
    TooDeep,
}

/// Which readings count, and for which part and place the sum is worked.
#[derive(Clone, Copy)]
pub struct Scope<'a> {
    /// Readings of events before this one; `None`: all.
    pub before: Option<usize>,
    /// The sum's own part: key.
    pub part: Option<&'a str>,
    /// The sum's own place: key.
    pub place: Option<&'a str>,
    /// Parts that were left for others: keys. Their readings do not count.
    pub left: &'a [String],
}

/// Nodes of sums worked for one figure, at most.
const MOST_NODES: u32 = 10_000;

/// Works out a derived feature. `None` if it has no sum.
pub fn work(
    rules: &Rulebook,
    job: &Job,
    by_feature: &[Vec<usize>],
    feature: FeatureId,
    scope: Scope<'_>,
) -> Option<Result<Worked, Reason>> {
    let worker = Worker {
        rules,
        job,
        by_feature,
        left: Cell::new(MOST_NODES),
    };
    worker.feature(feature, scope, 0)
}

struct Worker<'a> {
    rules: &'a Rulebook,
    job: &'a Job,
    /// Instances of each feature.
    by_feature: &'a [Vec<usize>],
    /// How many nodes may still be worked: chains of sums that each name the next several times grow without bound.
    left: Cell<u32>,
}

fn exact(figure: Decimal) -> Worked {
    Worked {
        band: Band::exact(figure),
        plain: Band::exact(figure),
        best: figure,
        inputs: Vec::new(),
        deciding: Vec::new(),
    }
}

/// Puts two results together.
fn both(
    a: Worked,
    b: Worked,
    bands: impl Fn(Band, Band) -> Result<Band, BandError>,
    best: Option<Decimal>,
) -> Result<Worked, Reason> {
    let band = bands(a.band, b.band);
    let plain = bands(a.plain, b.plain);
    let mut inputs = a.inputs;
    inputs.extend(b.inputs);
    let mut deciding = a.deciding;
    deciding.extend(b.deciding);
    Ok(Worked {
        band: band.map_err(Reason::Arithmetic)?,
        plain: plain.map_err(Reason::Arithmetic)?,
        best: best.ok_or(Reason::Arithmetic(BandError::TooLarge))?,
        inputs,
        deciding,
    })
}

impl Worker<'_> {
    fn feature(&self, feature: FeatureId, scope: Scope<'_>, depth: usize) -> Option<Result<Worked, Reason>> {
        let sum = self.rules.sums.get(feature)?.as_ref()?;
        if depth > DEEPEST {
            return Some(Err(Reason::TooDeep));
        }
        Some(self.node(&sum.node, scope, depth))
    }

    fn node(&self, node: &Node, scope: Scope<'_>, depth: usize) -> Result<Worked, Reason> {
        let Some(left) = self.left.get().checked_sub(1) else {
            return Err(Reason::TooDeep);
        };
        self.left.set(left);
        match node {
            Node::Number(figure) => Ok(exact(*figure)),
            Node::Read(read) => self.single(read, scope, depth),
            Node::Negate(inner) => {
                let value = self.node(inner, scope, depth)?;
                Ok(Worked {
                    band: value.band.neg().map_err(Reason::Arithmetic)?,
                    plain: value.plain.neg().map_err(Reason::Arithmetic)?,
                    best: -value.best,
                    ..value
                })
            }
            Node::Binary(op, a, b) => {
                let left = self.node(a, scope, depth)?;
                let right = self.node(b, scope, depth)?;
                let best = match op {
                    Op::Add => left.best.checked_add(right.best),
                    Op::Subtract => left.best.checked_sub(right.best),
                    Op::Multiply => left.best.checked_mul(right.best),
                    Op::Divide => left.best.checked_div(right.best),
                };
                let bands = |a: Band, b: Band| match op {
                    Op::Add => a.add(b),
                    Op::Subtract => a.sub(b),
                    Op::Multiply => a.mul(b),
                    Op::Divide => a.div(b),
                };
                both(left, right, bands, best)
            }
            Node::Power(base, power) => {
                let value = self.node(base, scope, depth)?;
                let band = value.band.power(*power).map_err(Reason::Arithmetic)?;
                let best = Band::exact(value.best).power(*power).map_err(Reason::Arithmetic)?;
                Ok(Worked {
                    band,
                    plain: value.plain.power(*power).map_err(Reason::Arithmetic)?,
                    best: best.middle().unwrap_or(value.best),
                    ..value
                })
            }
            Node::Call(function, arguments) => self.call(*function, arguments, scope, depth),
        }
    }

    fn call(&self, function: Function, arguments: &[Node], scope: Scope<'_>, depth: usize) -> Result<Worked, Reason> {
        if function.gathers() {
            let all = match arguments {
                [Node::Read(read)] => self.every(read, scope, depth)?,
                [other] => vec![self.node(other, scope, depth)?],
                _ => Vec::new(),
            };
            return gather(function, all);
        }
        let mut values = arguments.iter().map(|argument| self.node(argument, scope, depth));
        let first = values.next().unwrap_or_else(|| Ok(exact(Decimal::ZERO)))?;
        match function {
            Function::Abs => Ok(Worked {
                band: first.band.abs().map_err(Reason::Arithmetic)?,
                plain: first.plain.abs().map_err(Reason::Arithmetic)?,
                best: first.best.abs(),
                ..first
            }),
            Function::Sqrt => {
                let band = first.band.sqrt().map_err(Reason::Arithmetic)?;
                let best = Band::exact(first.best).sqrt().map_err(Reason::Arithmetic)?;
                Ok(Worked {
                    band,
                    plain: first.plain.sqrt().map_err(Reason::Arithmetic)?,
                    best: best.middle().unwrap_or(first.best),
                    ..first
                })
            }
            _ => values.try_fold(first, |a, b| {
                let b = b?;
                let best = if function == Function::Min {
                    a.best.min(b.best)
                } else {
                    a.best.max(b.best)
                };
                let bands = |a: Band, b: Band| if function == Function::Min { a.min(b) } else { a.max(b) };
                both(a, b, bands, Some(best))
            }),
        }
    }

    /// The one reading a name means; the mean of its repeats.
    fn single(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Result<Worked, Reason> {
        let mut readings = self.candidates(read, scope);
        if readings.is_empty() {
            return self.derived(read, scope, depth);
        }
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
        match readings.as_slice() {
            [one] => {
                let all = self.points(&readings);
                let mut mean = gather(Function::Mean, all)?;
                // Repeats are one thing read several times: the truth lies somewhere between them.
                if let Some(reading) = self.job.readings.get(*one) {
                    mean.band = reading.band().unwrap_or(mean.band);
                    mean.plain = reading
                        .points
                        .iter()
                        .map(|p| p.band)
                        .reduce(Band::hull)
                        .unwrap_or(mean.plain);
                }
                Ok(mean)
            }
            several => Err(Reason::Several(self.name_of(read, scope), several.len())),
        }
    }

    /// Every reading a name means, point by point.
    fn every(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Result<Vec<Worked>, Reason> {
        let readings = self.candidates(read, scope);
        if readings.is_empty() {
            return self.derived(read, scope, depth).map(|one| vec![one]);
        }
        Ok(self.points(&readings))
    }

    fn points(&self, readings: &[usize]) -> Vec<Worked> {
        readings
            .iter()
            .filter_map(|index| self.job.readings.get(*index).map(|r| (*index, r)))
            .flat_map(|(index, reading)| {
                reading.points.iter().map(move |point| Worked {
                    band: point.band,
                    plain: point.band,
                    best: point.best,
                    inputs: vec![index],
                    deciding: vec![index],
                })
            })
            .collect()
    }

    /// A feature that was not read may itself be derived.
    fn derived(&self, read: &Read, scope: Scope<'_>, depth: usize) -> Result<Worked, Reason> {
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

    /// The latest readings that a name can mean in this scope. A derived feature's written figures are claims, not readings, so they do not count.
    fn candidates(&self, read: &Read, scope: Scope<'_>) -> Vec<usize> {
        let is_derived = self.rules.sums.get(read.feature).is_some_and(Option::is_some);
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
        instance.readings.iter().rev().copied().find(|index| {
            let Some(reading) = self.job.readings.get(*index) else {
                return false;
            };
            let in_time = scope.before.is_none_or(|before| reading.event < before);
            let stage = self
                .job
                .events
                .get(reading.event)
                .map_or("", |e| self.job.stage(e.stage).key.as_str());
            let as_asked = !read.as_found || stage == "as found";
            let counts = !is_derived || !super::is_claim(reading);
            !reading.points.is_empty() && in_time && as_asked && counts
        })
    }

    /// What a reference is called in a message.
    fn name_of(&self, read: &Read, scope: Scope<'_>) -> String {
        let mut name = self
            .rules
            .book
            .features
            .get(read.feature)
            .map_or_else(String::new, |f| f.name.name.clone());
        if let Some(part) = read.part.as_deref().or(scope.part) {
            name.push_str(" of ");
            name.push_str(part);
        }
        if let Some(place) = read.place.as_deref().or(scope.place) {
            name.push_str(" at ");
            name.push_str(place);
        }
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

/// Works one of the gathering functions over points.
fn gather(function: Function, points: Vec<Worked>) -> Result<Worked, Reason> {
    let count = points.len();
    let inputs: Vec<usize> = points.iter().flat_map(|p| p.inputs.iter().copied()).collect();
    let least = points.iter().min_by_key(|p| p.best).cloned();
    let most = points.iter().max_by_key(|p| p.best).cloned();
    let (Some(least), Some(most)) = (least, most) else {
        return Err(Reason::Missing(String::new()));
    };
    let bands = gather_bands(function, points.iter().map(|p| p.band), count).map_err(Reason::Arithmetic)?;
    let plain = gather_bands(function, points.iter().map(|p| p.plain), count).map_err(Reason::Arithmetic)?;
    let total = |points: &[Worked]| {
        points
            .iter()
            .try_fold(Decimal::ZERO, |sum, p| sum.checked_add(p.best))
            .ok_or(Reason::Arithmetic(BandError::TooLarge))
    };
    let too_large = Reason::Arithmetic(BandError::TooLarge);
    let (best, deciding) = match function {
        Function::Smallest => (least.best, least.deciding),
        Function::Largest => (most.best, most.deciding),
        Function::Spread => {
            let deciding = most.deciding.into_iter().chain(least.deciding).collect();
            (most.best.checked_sub(least.best).ok_or(too_large)?, deciding)
        }
        Function::Count => (Decimal::from(count), inputs.clone()),
        Function::Total => (total(&points)?, inputs.clone()),
        _ => {
            let mean = total(&points)?.checked_div(Decimal::from(count));
            (mean.ok_or(too_large)?, inputs.clone())
        }
    };
    Ok(Worked {
        band: bands,
        plain,
        best,
        inputs,
        deciding,
    })
}

/// The band of a gathering function over the bands of its points.
fn gather_bands(
    function: Function,
    mut bands: impl Iterator<Item = Band> + Clone,
    count: usize,
) -> Result<Band, BandError> {
    let number = Decimal::from(count);
    let all = bands.clone();
    let Some(first) = bands.next() else {
        return Ok(Band::exact(number));
    };
    let fold = |mut rest: Box<dyn Iterator<Item = Band> + '_>, pick: fn(Band, Band) -> Result<Band, BandError>| {
        rest.try_fold(first, pick)
    };
    match function {
        Function::Smallest => fold(Box::new(bands), Band::min),
        Function::Largest => fold(Box::new(bands), Band::max),
        Function::Spread => {
            let least = fold(Box::new(bands), Band::min)?;
            let most = fold(Box::new(all.skip(1)), Band::max)?;
            let band = most.sub(least)?;
            // Nothing spreads by less than nothing.
            Ok(Band {
                lo: band.lo.map(|lo| lo.max(Decimal::ZERO)),
                ..band
            })
        }
        Function::Count => Ok(Band::exact(number)),
        Function::Total => fold(Box::new(bands), Band::add),
        _ if count == 1 => Ok(first),
        _ => {
            let total = fold(Box::new(bands), Band::add)?;
            total.scale(Decimal::ONE.checked_div(number).unwrap_or(Decimal::ONE))
        }
    }
}
