//! The readings of a machine put in a row, and parted into lives.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive as _;

use super::machines::Group;
use super::rate::{How, Rate, plain, rate};
use super::{Begins, Job, Left, Life, Machine, Spot, Track, left};
use crate::judge::traces::{Logged, Point, Showing, Trace};
use crate::model::limit::Limit;
use crate::model::names::key;
use crate::quantity::Unit;

/// The chance below which a reading is said to lie off its line.
const STRAY: f64 = 0.05;

/// The history of one machine. `feature`: only those whose name has this in it.
pub fn machine(group: Group, is_wanted: bool, feature: Option<&str>) -> Machine {
    let mut notes = Vec::new();
    let meters = Meters::of(&group.logs, &mut notes);
    let mut rows: BTreeMap<(String, Option<String>, Option<String>), Row> = BTreeMap::new();
    let mut jobs = Vec::new();
    for (number, log) in group.logs.into_iter().enumerate() {
        if log.days.is_none() {
            notes.push(format!(
                "{}: has no date, so no line goes through its readings",
                log.path
            ));
        }
        let is_told = |trace: &Trace| feature.is_none_or(|wanted| key(&trace.feature).contains(wanted));
        for trace in log.traces.into_iter().filter(is_told) {
            let of = (trace.feature.clone(), trace.part.clone(), trace.place.clone());
            rows.entry(of)
                .or_default()
                .add(trace, number, log.days.is_some(), &meters);
        }
        jobs.push(Job {
            path: log.path,
            days: log.days,
        });
    }
    let tracks = rows
        .into_iter()
        .map(|((feature, part, place), row)| {
            let limit = row.limit;
            let count = row.lives.len();
            let lives = row.lives.into_iter().enumerate();
            Track {
                feature,
                part,
                place,
                is_derived: row.is_derived,
                unit: row.unit,
                lives: lives
                    .map(|(index, begun)| begun.life(index + 1, &meters, limit.as_ref().filter(|_| index + 1 == count)))
                    .collect(),
                limit,
            }
        })
        .collect();
    Machine {
        name: group.name,
        is_wanted,
        model: group.model,
        model_key: group.model_key,
        jobs,
        meter: meters.last,
        notes,
        tracks,
    }
}

/// A meter reading of a job.
#[derive(Clone, Copy)]
struct Shown {
    figure: f64,
    unit: &'static Unit,
    /// Counts the meters: one more each time it went back.
    segment: usize,
}

/// What the meters of a machine showed.
struct Meters {
    /// By job, in its order.
    shown: Vec<Vec<Option<Shown>>>,
    /// The latest.
    last: Option<(f64, &'static Unit)>,
}

impl Meters {
    /// Hours in the unit they were first written in, and distances in theirs. A meter that shows less at a later date was changed.
    fn of(logs: &[Logged], notes: &mut Vec<String>) -> Meters {
        let mut units: Vec<&'static Unit> = Vec::new();
        let mut shown: Vec<Vec<Option<Shown>>> = Vec::new();
        let mut in_time: Vec<(jiff::civil::Date, usize, usize, &Showing)> = Vec::new();
        for (job, log) in logs.iter().enumerate() {
            for (number, showing) in log.meters.iter().enumerate() {
                if !units.iter().any(|unit| unit.dimension == showing.unit.dimension) {
                    units.push(showing.unit);
                }
                in_time.extend(showing.date.map(|date| (date, job, number, showing)));
            }
            shown.push(vec![None; log.meters.len()]);
        }
        in_time.sort_by_key(|(date, job, number, _)| (*date, *job, *number));
        if let [first, second, ..] = units.as_slice() {
            notes.push(format!(
                "its meter is written in {} and in {}; the two are never mixed",
                first.label(),
                second.label()
            ));
        }
        let mut last: Vec<Option<Shown>> = vec![None; units.len()];
        let mut latest = None;
        for (date, job, number, showing) in in_time {
            let Some(place) = units.iter().position(|unit| unit.dimension == showing.unit.dimension) else {
                continue;
            };
            let Some((unit, before)) = units.get(place).copied().zip(last.get_mut(place)) else {
                continue;
            };
            let Some(figure) = unit.from_base(showing.base).and_then(|figure| figure.to_f64()) else {
                continue;
            };
            let mut segment = before.map_or(0, |before| before.segment);
            if let Some(before) = before.filter(|before| figure < before.figure) {
                segment += 1;
                let path = logs.get(job).map_or("", |log| &log.path);
                let label = unit.label();
                notes.push(format!(
                    "{path}: the meter went back by {date}, from {} to {} {label}: it is taken for a changed one, and lines begin anew there",
                    plain(before.figure),
                    plain(figure)
                ));
            }
            let one = Shown { figure, unit, segment };
            *before = Some(one);
            latest = Some((figure, unit));
            if let Some(slot) = shown.get_mut(job).and_then(|list| list.get_mut(number)) {
                *slot = Some(one);
            }
        }
        Meters { shown, last: latest }
    }

    fn at(&self, job: usize, point: &Point) -> Option<Shown> {
        self.shown.get(job)?.get(point.meter?).copied().flatten()
    }
}

/// One feature at its part and place while it is put together.
#[derive(Default)]
struct Row {
    is_derived: bool,
    unit: Option<&'static Unit>,
    limit: Option<Limit>,
    lives: Vec<Begun>,
    /// What ended its life behind the last reading.
    ended: Option<Begins>,
    segment: Option<usize>,
}

/// A life while it is put together.
struct Begun {
    begins: Option<Begins>,
    /// Each reading with its job, and whether that has a date.
    points: Vec<(usize, Point, bool)>,
}

impl Row {
    fn add(&mut self, trace: Trace, job: usize, is_dated: bool, meters: &Meters) {
        self.is_derived = trace.is_derived;
        self.unit = trace.unit.or(self.unit);
        self.limit = trace.limit.or(self.limit.take());
        for point in trace.points {
            let segment = meters.at(job, &point).map(|shown| shown.segment);
            let went_back = matches!((self.segment, segment), (Some(before), Some(now)) if before != now);
            let here = |why: String| Begins { why, job };
            let mut begins = self.ended.take().or_else(|| point.begins.clone().map(here));
            if went_back && begins.is_none() {
                begins = Some(here("the meter was changed".to_owned()));
            }
            self.segment = segment.or(self.segment);
            match self.lives.last_mut() {
                // What has no date tells nothing of when.
                Some(life) if begins.is_none() || !is_dated => life.points.push((job, point, is_dated)),
                _ => self.lives.push(Begun {
                    begins,
                    points: vec![(job, point, is_dated)],
                }),
            }
        }
        if is_dated {
            self.ended = trace.ends.map(|why| Begins { why, job });
        }
    }
}

impl Begun {
    fn life(self, number: usize, meters: &Meters, limit: Option<&Limit>) -> Life {
        let meter = self.meter(meters);
        let mut spots: Vec<Spot> = self
            .points
            .into_iter()
            .map(|(job, point, is_dated)| {
                let shown = meters.at(job, &point).filter(|shown| Some(shown.unit) == meter);
                let has_ends = point.low().is_finite() && point.high().is_finite();
                Spot {
                    job,
                    meter: shown.map(|shown| shown.figure),
                    counts: shown.is_some() && has_ends && is_dated,
                    is_stray: false,
                    point,
                }
            })
            .collect();
        // The latest reading counts; an earlier one of the same job at the same meter is history.
        let mut later: Vec<(usize, u64)> = Vec::new();
        for spot in spots.iter_mut().rev().filter(|spot| spot.counts) {
            let of = (spot.job, spot.meter.unwrap_or(f64::NAN).to_bits());
            spot.counts = !later.contains(&of);
            later.push(of);
        }
        let rate = rate(&spots, meter.map_or("h", |unit| unit.label()));
        strays(&mut spots, &rate);
        Life {
            number,
            begins: self.begins,
            left: limit.and_then(|limit| to_limit(&spots, limit, &rate)),
            spots,
            meter,
            rate,
        }
    }

    /// The unit of the meter that most of its readings have; hours where both have as many.
    fn meter(&self, meters: &Meters) -> Option<&'static Unit> {
        let mut counts: Vec<(&'static Unit, usize)> = Vec::new();
        for (job, point, _) in &self.points {
            let Some(shown) = meters.at(*job, point) else { continue };
            match counts.iter_mut().find(|(unit, _)| *unit == shown.unit) {
                Some((_, count)) => *count += 1,
                None => counts.push((shown.unit, 1)),
            }
        }
        let is_time = |unit: &Unit| unit.dimension == crate::quantity::Dimension::TIME;
        counts
            .into_iter()
            .max_by_key(|(unit, count)| (*count, is_time(unit)))
            .map(|(unit, _)| unit)
    }
}

/// Marks what lies off the line by more than chance and by more than it may itself be off.
fn strays(spots: &mut [Spot], rate: &Result<Rate, String>) {
    let Ok(Rate {
        how: How::Line(fit), ..
    }) = rate
    else {
        return;
    };
    for spot in spots.iter_mut().filter(|spot| spot.counts) {
        let Some(meter) = spot.meter else { continue };
        let on_line = fit.at(meter);
        let is_beyond = on_line < spot.point.low() || on_line > spot.point.high();
        let chance = fit.chance((meter, spot.point.value()));
        spot.is_stray = is_beyond && chance.is_some_and(|chance| chance < STRAY);
    }
}

/// What is left to a limit from the latest reading on.
fn to_limit(spots: &[Spot], limit: &Limit, rate: &Result<Rate, String>) -> Option<Left> {
    let of = |spot: &Spot, rate: Option<&Rate>| {
        let point = &spot.point;
        let meter = spot.meter.unwrap_or(f64::NAN);
        left(point.between, (point.low(), point.high()), meter, &limit.band, rate)
    };
    let last = spots.last()?;
    // The very last says whether it is past, though no line goes through it.
    let past = of(last, None);
    past.or_else(|| {
        let latest = spots.iter().rev().find(|spot| spot.counts)?;
        of(latest, rate.as_ref().ok())
    })
}
