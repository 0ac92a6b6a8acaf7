//! What one log adds to the history of its machine: each feature at its part and place as a few points, each with the meter and the date that held there,
//! and with what began it anew.
//!
//! A *life* is what nothing renewed, reworked or moved in between. It ends, and the next begins,
//!
//! 1. at a step that disturbs the feature by its manual (or what a derived feature rests on), done or undone;
//! 2. where the log says in other words that the thing itself was renewed or worked on: a step that no manual knows, or one `from` a part, a `chose`, a
//!    `found …, replace` (or `repair`, `machine`) that shares a word with the feature or names its part;
//! 3. at a reading in a later stage that is none of service (`build`, `goods in` …), where anything at all was done, chosen or came before it in the job:
//!    who reads a thing again behind the work reads a new or a reworked one.
//!
//! Readings as found, and of every other stage of service, belong to the life before the work of the job. Where nothing was done the life goes on, from job
//! to job. In doubt a life ends: two short ones say less than one long one, but nothing wrong.

mod changes;
mod derived;

use std::sync::Arc;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use rustc_hash::FxHashMap;

use super::Analysis;
use super::case::Case;
use super::words;
use crate::calc::is_claim;
use crate::metrology::Which;
use crate::model::job::{Instance, Meter};
use crate::model::limit::Limit;
use crate::model::machine::Machine;
use crate::model::names::file_key;
use crate::model::stage::Stage;
use crate::quantity::Unit;
use crate::syntax::ast::{HeadKind, Statement};
use crate::uncertainty::{Budget, Estimate, Scope};
use changes::Changes;

/// What one log adds to the history of its machine.
#[derive(Clone, Debug)]
pub struct Logged {
    /// Path as given.
    pub path: Arc<str>,
    /// What stands behind `machine`, blanks folded; `None` if nothing does.
    pub machine: Option<String>,
    /// What machines of the same model have in common: the key of the log's first own manual; without one, of the make and type before the first comma.
    pub model: String,
    /// The same as it is shown.
    pub model_name: String,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// What the meter showed, in order.
    pub meters: Vec<Showing>,
    /// Each feature at its part and place.
    pub traces: Vec<Trace>,
}

/// What the meter showed.
#[derive(Clone, Copy, Debug)]
pub struct Showing {
    /// The date; of what stands in the head, the first.
    pub date: Option<Date>,
    /// Base units: seconds, or mm.
    pub base: Decimal,
    /// The unit it was written in.
    pub unit: &'static Unit,
}

/// The readings of one feature at one part and place in a log.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The feature, as its manual names it, else as a key.
    pub feature: String,
    /// Its part, a key.
    pub part: Option<String>,
    /// Its place, a key; of a figure of a ring, with its angle.
    pub place: Option<String>,
    /// Whether it is worked out by a sum.
    pub is_derived: bool,
    /// The unit it is shown in; `None` for a plain number.
    pub unit: Option<&'static Unit>,
    /// The limit of a machine in service; that for new work where there is no other.
    pub limit: Option<Limit>,
    /// Its figures in order, at least one.
    pub points: Vec<Point>,
    /// What ended its life behind the last of them.
    pub ends: Option<String>,
}

/// One figure, in base units.
#[derive(Clone, Debug)]
pub struct Point {
    /// The number of its line, from 1; of what is worked out, that of the latest reading it rests on.
    pub line: u32,
    /// The date.
    pub date: Option<Date>,
    /// The stage, a key; may be empty.
    pub stage: Arc<str>,
    /// What the meter last showed: index into [`Logged::meters`].
    pub meter: Option<usize>,
    /// The best value.
    pub best: Decimal,
    /// The least and the greatest value that blades or a range leave open, each alike; both the best value where they leave nothing open. Infinite where one
    /// blade alone was tried.
    pub between: (f64, f64),
    /// Expanded uncertainty, either way, about 95 %.
    pub expanded: f64,
    /// What it may be off by.
    pub doubt: Doubt,
    /// What began its life; `None` where the life before goes on.
    pub begins: Option<String>,
}

/// What a figure may be off by, first order: its own, and what other figures share with it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Doubt {
    /// Standard uncertainty of all that is its own.
    pub u: f64,
    /// The degrees of freedom of that.
    pub dof: f64,
    /// The most that can be off.
    pub bound: f64,
    /// Errors of tools, each with a number for whose it is and its effect: standard uncertainty with its sign. The permissible error of a tool that both logs
    /// declare alike with the same `due` date is one and the same, since nothing was calibrated between them.
    pub shared: Box<[(u64, f64)]>,
}

impl Point {
    /// The least it may be; `-inf` where it has no lower end.
    pub fn low(&self) -> f64 {
        self.between.0 - self.expanded
    }

    /// The greatest it may be; `inf` where it has no upper end.
    pub fn high(&self) -> f64 {
        self.between.1 + self.expanded
    }

    /// The best value in floating point.
    pub fn value(&self) -> f64 {
        self.best.to_f64().unwrap_or(f64::NAN)
    }
}

/// What a log adds to the history of its machine. Its uncertainty is first order (JCGM 100:2008) throughout: what is wanted of it is how it changes.
pub fn logged(analysis: &Analysis) -> Logged {
    let case = analysis.begun();
    let text = case.text();
    let machine = case.tree.entries.iter().find_map(|entry| match &entry.statement {
        Statement::Head(HeadKind::Machine, name) => Some(words::fold(name.text(text))),
        _ => None,
    });
    let machine = machine.filter(|name| !name.is_empty());
    let (model, model_name) = model(&case, machine.as_deref());
    let dates = || case.job.dates.iter().flatten().copied();
    let changes = Changes::new(&case);
    let tracer = Tracer::new(&case, &changes);
    let mut traces = tracer.read();
    let worked = derived::traces(&tracer);
    // A claim is all that is known where its own sum lacks a reading.
    traces.retain(|(trace, is_claimed)| {
        let is_it =
            |other: &Trace| other.feature == trace.feature && other.part == trace.part && other.place == trace.place;
        !is_claimed || !worked.iter().any(is_it)
    });
    Logged {
        path: analysis.source.name.as_str().into(),
        machine,
        model,
        model_name,
        days: dates().min().zip(dates().max()),
        meters: case.job.hours.iter().map(|meter| showing(&case, meter)).collect(),
        traces: traces.into_iter().map(|(trace, _)| trace).chain(worked).collect(),
    }
}

/// The model: by the first manual of the log that is not built in, else by the words before the comma of the machine.
fn model(case: &Case<'_>, machine: Option<&str>) -> (String, String) {
    let mut manuals = case.rules.book.manuals.iter();
    let own = manuals
        .find(|manual| !manual.on_shelf)
        .filter(|_| !case.job.manuals.is_empty());
    match own {
        Some(own) => {
            let name = own.manual.name.as_str();
            let short = name.split([',', ';']).next().unwrap_or(name).trim();
            (format!("manual {}", file_key(name)), short.to_owned())
        }
        None => {
            let machine = machine.unwrap_or("");
            let short = machine.split([',', ';']).next().unwrap_or(machine).trim();
            (Machine::new(machine).kind(), short.to_owned())
        }
    }
}

/// What is asked of a case for its traces.
struct Tracer<'c, 'a> {
    case: &'c Case<'a>,
    changes: &'c Changes<'c, 'a>,
    stages: FxHashMap<usize, Arc<str>>,
}

impl<'c, 'a> Tracer<'c, 'a> {
    fn new(case: &'c Case<'a>, changes: &'c Changes<'c, 'a>) -> Tracer<'c, 'a> {
        let stages = case.job.stages.iter().enumerate();
        Tracer {
            case,
            changes,
            stages: stages
                .map(|(index, stage)| (index, stage.key.as_str().into()))
                .collect(),
        }
    }

    /// Everything that was read, with whether it is only a claim of a derived feature.
    fn read(&self) -> Vec<(Trace, bool)> {
        let case = self.case;
        let mut list = Vec::new();
        for instance in case.job.instances.iter().filter(|instance| !case.is_left(instance)) {
            let is_derived = instance.feature.is_some_and(|feature| case.is_derived(feature));
            let is_ahead = case.feature(instance).is_some_and(|f| f.is_ahead || f.is_lent);
            let is_claimed = |index: &usize| case.job.readings.get(*index).is_some_and(is_claim);
            let (claims, read): (Vec<usize>, Vec<usize>) = instance
                .readings
                .iter()
                .partition(|index| is_derived && is_claimed(index));
            if is_derived && read.is_empty() && !is_ahead {
                list.extend(
                    self.of_instance(instance, &claims)
                        .into_iter()
                        .map(|trace| (trace, true)),
                );
            }
            list.extend(
                self.of_instance(instance, &read)
                    .into_iter()
                    .map(|trace| (trace, false)),
            );
        }
        list
    }

    /// The readings of an instance: one trace, or one for each angle of its rings.
    fn of_instance(&self, instance: &Instance, readings: &[usize]) -> Vec<Trace> {
        let case = self.case;
        let mut list: Vec<Trace> = Vec::new();
        // The last reading of each trace.
        let mut last: Vec<usize> = Vec::new();
        for index in readings {
            let Some(reading) = case.job.readings.get(*index).filter(|r| !r.points.is_empty()) else {
                continue;
            };
            for which in case.judged(reading) {
                let known = case.measured(*index, which);
                let Some((estimate, budget)) = known.and_then(|m| Some((m.estimate()?, m.budget))) else {
                    continue;
                };
                let angle = match which {
                    Which::Point(number) => reading.angles.get(number).map(|at| format!("{}°", at.normalize())),
                    Which::Whole | Which::Swing => None,
                };
                let place = instance.place.as_ref().map(|place| place.key.clone());
                let place = [place, angle].into_iter().flatten().reduce(|a, b| format!("{a} {b}"));
                let event = reading.event;
                let at = list.iter().position(|trace| trace.place == place);
                let begins = match at.and_then(|at| last.get(at)) {
                    Some(before) => self.changes.between(instance, *before, event),
                    None => self.changes.before(instance, event),
                };
                let point = self.point(event, reading.figure_span.start, estimate, &budget, begins);
                match at.and_then(|at| Some((list.get_mut(at)?, last.get_mut(at)?))) {
                    Some((trace, before)) => {
                        *before = event;
                        trace.unit = reading.unit.or(trace.unit);
                        trace.points.push(point);
                    }
                    None => {
                        list.push(self.begun(instance, place, reading.unit, point));
                        last.push(event);
                    }
                }
            }
        }
        for (trace, event) in list.iter_mut().zip(last) {
            trace.ends = self.changes.after(instance, event);
        }
        list
    }

    fn begun(&self, instance: &Instance, place: Option<String>, unit: Option<&'static Unit>, point: Point) -> Trace {
        let feature = self.case.feature(instance);
        Trace {
            feature: feature.map_or_else(|| instance.name.key.clone(), |f| f.name.name.clone()),
            part: instance.part.as_ref().map(|part| part.key.clone()),
            place,
            is_derived: false,
            unit,
            limit: feature.and_then(|f| f.limit_at(&in_service())).cloned(),
            points: vec![point],
            ends: None,
        }
    }

    /// A figure with what held where it was taken.
    fn point(&self, event: usize, at: u32, estimate: Estimate, budget: &Budget, begins: Option<String>) -> Point {
        let job = self.case.job;
        let bare = estimate.bare();
        let float = |end: Option<Decimal>, missing: f64| end.and_then(|end| end.to_f64()).unwrap_or(missing);
        Point {
            line: u32::try_from(self.case.source.lines.line_of(at) + 1).unwrap_or(u32::MAX),
            date: job.date(event),
            stage: job
                .events
                .get(event)
                .and_then(|e| self.stages.get(&e.stage))
                .map_or_else(|| "".into(), Arc::clone),
            meter: meter_at(&job.hours, event),
            best: estimate.best,
            between: (float(bare.lo, f64::NEG_INFINITY), float(bare.hi, f64::INFINITY)),
            expanded: estimate.below.max(estimate.above).to_f64().unwrap_or(f64::INFINITY),
            doubt: self.doubt(budget),
            begins,
        }
    }

    /// What is a figure's own, and what is the error of a tool.
    fn doubt(&self, budget: &Budget) -> Doubt {
        let merged = budget.merged();
        let is_tools = |scope: Scope| matches!(scope, Scope::ToolOn(..) | Scope::Tool(_));
        let (shared, own): (Vec<_>, Vec<_>) = merged
            .into_iter()
            .partition(|share| is_tools(share.source.origin.scope));
        let own = Budget { shares: own }.combined();
        let shared = shared.iter().filter(|share| share.effect() != 0.0);
        Doubt {
            u: own.u,
            dof: own.dof,
            bound: own.bound,
            shared: shared
                .map(|share| (self.changes.whose(share.source.origin), share.effect()))
                .collect(),
        }
    }
}

/// What the meter last showed by an event, else what it showed first: index into `Job::hours`.
fn meter_at(meters: &[Meter], event: usize) -> Option<usize> {
    let above = meters.iter().rposition(|meter| meter.event <= event);
    above.or((!meters.is_empty()).then_some(0))
}

fn showing(case: &Case<'_>, meter: &Meter) -> Showing {
    let first = case.job.dates.iter().flatten().next().copied();
    let above = meter.event.checked_sub(1).and_then(|event| case.job.date(event));
    Showing {
        date: case.job.date(meter.event).or(above).or(first),
        base: meter.base,
        unit: meter.unit,
    }
}

/// The stage by whose limit wear is judged.
fn in_service() -> Stage {
    Stage {
        key: "service".to_owned(),
    }
}
