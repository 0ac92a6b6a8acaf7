//! The history of machines over several jobs: lives of parts, how fast they wear, what is left of them, and what stands out among machines of a model.
//!
//! Pure: what [`crate::judge::traces`] drew out of each log goes in, in any order; a [`History`] comes out, the same for any order. The meter counts in its own
//! unit, hours or km, which are never mixed; figures are in base units, and rates in base units by one unit of the meter.
//!
//! What it says is a forecast from how it went so far, never a verdict: wear is fast while running in, and fast again at its end.

mod fit;
mod left;
mod lives;
mod machines;
mod rate;
mod shop;

use std::collections::BTreeSet;
use std::sync::Arc;

use jiff::civil::Date;

use crate::judge::traces::{Logged, Point};
use crate::model::limit::Limit;
use crate::quantity::Unit;

pub use fit::Fit;
pub use left::{Left, left};
pub use rate::{How, Rate, rate};
pub use shop::{Among, Outlier, Spread};

/// What is wanted of a history.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// Only machines whose name or model has this in it, as a key; the others of its model are compared with it all the same.
    pub machine: Option<String>,
    /// Only features whose name has this in it, as a key.
    pub feature: Option<String>,
}

/// Machines with their histories.
#[derive(Clone, Debug, Default)]
pub struct History {
    /// By name; those that are not wanted too, where they are of the model of one that is.
    pub machines: Vec<Machine>,
    /// What several machines of a model, or several lives of one, wear by. By model, feature, part, place.
    pub shop: Vec<Spread>,
    /// What the reader should know: logs that could not be placed.
    pub notes: Vec<String>,
}

/// One machine.
#[derive(Clone, Debug)]
pub struct Machine {
    /// As it is written, in its earliest log.
    pub name: String,
    /// Whether it is told of itself, and not only compared with.
    pub is_wanted: bool,
    /// Its model.
    pub model: String,
    /// What the model is told by; see [`Logged::model`].
    pub model_key: String,
    /// Its jobs, by date, then path.
    pub jobs: Vec<Job>,
    /// What the meter last showed, with its unit.
    pub meter: Option<(f64, &'static Unit)>,
    /// What the reader should know of it: a meter that went back, two meters, jobs without a date.
    pub notes: Vec<String>,
    /// Each feature at its part and place, by name.
    pub tracks: Vec<Track>,
}

/// One job of a machine.
#[derive(Clone, Debug)]
pub struct Job {
    /// Path of its log.
    pub path: Arc<str>,
    /// Its first and last day.
    pub days: Option<(Date, Date)>,
}

/// One feature of a machine at its part and place.
#[derive(Clone, Debug)]
pub struct Track {
    /// The feature.
    pub feature: String,
    /// Its part.
    pub part: Option<String>,
    /// Its place.
    pub place: Option<String>,
    /// Whether it is worked out.
    pub is_derived: bool,
    /// The unit it is shown in, that of the latest reading.
    pub unit: Option<&'static Unit>,
    /// The limit wear goes by, by the latest log.
    pub limit: Option<Limit>,
    /// Its lives in order, each with at least one reading.
    pub lives: Vec<Life>,
}

/// Readings between which nothing renewed, reworked or moved it; see [`crate::judge::traces`].
#[derive(Clone, Debug)]
pub struct Life {
    /// Its number, from 1.
    pub number: usize,
    /// What began it; `None` for the first that is known.
    pub begins: Option<Begins>,
    /// Its readings in order.
    pub spots: Vec<Spot>,
    /// The unit of the meter its line is drawn over.
    pub meter: Option<&'static Unit>,
    /// How fast it wears, or why that cannot be said.
    pub rate: Result<Rate, String>,
    /// What is left to the limit; only of the last life, where it has a limit.
    pub left: Option<Left>,
}

/// What began a life.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Begins {
    /// In words, with the line.
    pub why: String,
    /// Index of the job that says so.
    pub job: usize,
}

/// One reading of a life.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Index of its job.
    pub job: usize,
    /// The reading.
    pub point: Point,
    /// What the meter showed, in the unit of its life.
    pub meter: Option<f64>,
    /// Whether the line is drawn through it: it has a meter and two ends, and is the latest of its job at that meter.
    pub counts: bool,
    /// Whether it lies off the line of its life by more than chance and its own doubt explain.
    pub is_stray: bool,
}

impl Track {
    /// The feature with its part and place: `bore of cylinder 1 at top`.
    pub fn name(&self) -> String {
        crate::model::names::named(&self.feature, self.part.as_deref(), self.place.as_deref())
    }
}

impl History {
    /// Puts logs together. The order they are given in changes nothing.
    pub fn of(mut logs: Vec<Logged>, wanted: &Wanted) -> History {
        logs.sort_by(|a, b| (a.days.is_none(), a.days, &a.path).cmp(&(b.days.is_none(), b.days, &b.path)));
        let mut notes = Vec::new();
        let groups = machines::groups(logs, &mut notes);
        let is_wanted = |group: &machines::Group| {
            let has = |text: &str, part: &str| crate::model::names::key(text).contains(part);
            let part = wanted.machine.as_deref();
            part.is_none_or(|part| has(&group.name, part) || has(&group.model, part))
        };
        let models: BTreeSet<String> = groups
            .iter()
            .filter(|g| is_wanted(g))
            .map(|g| g.model_key.clone())
            .collect();
        let groups = groups.into_iter().filter(|group| models.contains(&group.model_key));
        let mut machines: Vec<Machine> = groups
            .map(|group| {
                let is_wanted = is_wanted(&group);
                lives::machine(group, is_wanted, wanted.feature.as_deref())
            })
            .collect();
        machines.sort_by(|a, b| a.name.cmp(&b.name));
        let shop = shop::spreads(&machines);
        History { machines, shop, notes }
    }

    /// The machines that are wanted.
    pub fn wanted(&self) -> impl Iterator<Item = &Machine> {
        self.machines.iter().filter(|machine| machine.is_wanted)
    }
}
