//! Machines over several jobs for programs.

use rust_decimal::prelude::ToPrimitive as _;
use schemars::JsonSchema;
use serde::Serialize;

use super::{clean, difference, in_unit, label, meter_label, value};
use crate::history::{History, How, Left, Life, Machine, Rate, Spot, Spread, Track};
use crate::quantity::Unit;
use crate::report::Unread;

/// Number of the shape; see [`crate::report::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// What `gudgeon trend --as json` writes. Figures are in `unit`, rates in `unit` by one `meter_unit`.
#[derive(Serialize, JsonSchema)]
struct Trend {
    /// Version of gudgeon.
    gudgeon: String,
    /// Number of this shape.
    schema: u32,
    /// By name.
    machines: Vec<MachineTold>,
    /// The rates of all lives of a model, by model and feature.
    shop: Vec<SpreadTold>,
    /// What could not be placed.
    notes: Vec<String>,
    /// What could not be read.
    unread: Vec<Unread>,
}

/// One machine.
#[derive(Serialize, JsonSchema)]
struct MachineTold {
    /// As it is written.
    name: String,
    /// Its model.
    model: String,
    /// Its jobs, by date.
    jobs: Vec<JobTold>,
    /// What its meter last showed.
    meter: Option<f64>,
    /// The unit of that: h, km.
    meter_unit: Option<String>,
    /// What the reader should know of it.
    notes: Vec<String>,
    /// Each feature at its part and place.
    features: Vec<TrackTold>,
}

/// One job.
#[derive(Serialize, JsonSchema)]
struct JobTold {
    /// Path as given.
    path: String,
    /// Its first day.
    first_day: Option<String>,
    /// Its last day.
    last_day: Option<String>,
}

/// One feature.
#[derive(Serialize, JsonSchema)]
struct TrackTold {
    /// Its name.
    feature: String,
    /// The part.
    part: Option<String>,
    /// The place.
    place: Option<String>,
    /// Whether it is worked out by a sum.
    derived: bool,
    /// The unit; empty for a plain number.
    unit: String,
    /// Which limit wear goes by: `service limit`, `build limit`.
    limit: Option<String>,
    /// The least that allows.
    limit_from: Option<f64>,
    /// The most.
    limit_to: Option<f64>,
    /// Its lives in order.
    lives: Vec<LifeTold>,
}

/// What nothing renewed, reworked or moved in between.
#[derive(Serialize, JsonSchema)]
struct LifeTold {
    /// Its number, from 1.
    number: usize,
    /// What began it, with the line.
    begins: Option<String>,
    /// Path of the log that says so.
    begins_in: Option<String>,
    /// The unit of its meter: h, km.
    meter_unit: String,
    /// Its readings in order.
    readings: Vec<ReadingTold>,
    /// How fast it changes.
    rate: Option<RateTold>,
    /// Why there is no rate.
    no_rate: Option<String>,
    /// What is left to the limit.
    left: Option<LeftTold>,
}

/// One reading.
#[derive(Serialize, JsonSchema)]
struct ReadingTold {
    /// Path of its log.
    job: String,
    /// Its line, from 1.
    line: u32,
    /// Its date.
    date: Option<String>,
    /// Its stage.
    stage: String,
    /// What the meter showed.
    meter: Option<f64>,
    /// Its best value.
    value: f64,
    /// The least it may be, about 95 %; absent where it has no lower end.
    low: Option<f64>,
    /// The greatest.
    high: Option<f64>,
    /// Whether the line of its life goes through it.
    counts: bool,
    /// Whether it lies off that line.
    stray: bool,
}

/// How fast a life changes.
#[derive(Serialize, JsonSchema)]
struct RateTold {
    /// The best value.
    best: f64,
    /// The least, about 95 %.
    low: f64,
    /// The greatest.
    high: f64,
    /// Whether it is proven that it changes at all.
    proven: bool,
    /// `two readings` or `line`.
    how: String,
    /// How many readings it rests on.
    readings: usize,
    /// Of a line, the standard error of its slope.
    standard_error: Option<f64>,
    /// Of a line, the standard deviation of what is left over.
    residual: Option<f64>,
}

/// What is left, in units of the meter, from the latest reading that counts.
#[derive(Serialize, JsonSchema)]
struct LeftTold {
    /// The least; absent where it does not wear towards its limit.
    least: Option<f64>,
    /// The most; absent where no wear towards a limit is proven.
    most: Option<f64>,
    /// Whether it is past its limit.
    past: bool,
    /// The meter reading at which to look again.
    look: Option<f64>,
}

/// One feature over all lives of a model.
#[derive(Serialize, JsonSchema)]
struct SpreadTold {
    /// The model.
    model: String,
    /// The feature.
    feature: String,
    /// The part.
    part: Option<String>,
    /// The place.
    place: Option<String>,
    /// The unit of the figure.
    unit: String,
    /// The unit of the meter.
    meter_unit: String,
    /// The median of the rates.
    median: f64,
    /// The median absolute deviation from it.
    deviation: f64,
    /// Each life.
    lives: Vec<AmongTold>,
    /// Why none can stand out.
    no_outliers: Option<String>,
    /// Grubbs' statistic of the life farthest from the mean.
    grubbs: Option<f64>,
    /// What that must be over, at 5 %, two-sided.
    grubbs_critical: Option<f64>,
}

/// One life among others.
#[derive(Serialize, JsonSchema)]
struct AmongTold {
    /// Its machine.
    machine: String,
    /// Its number.
    life: usize,
    /// Its rate.
    rate: f64,
    /// Its modified z-score, where it stands out.
    outlier: Option<f64>,
}

/// The schema of what [`json`] writes, as text.
pub fn schema() -> String {
    crate::report::schema_of::<Trend>()
}

/// A history for programs.
pub fn json(history: &History, unread: &[Unread]) -> String {
    let trend = Trend {
        gudgeon: env!("CARGO_PKG_VERSION").to_owned(),
        schema: SCHEMA,
        machines: history.wanted().map(machine).collect(),
        shop: history.shop.iter().map(|spread| of_spread(spread, history)).collect(),
        notes: history.notes.clone(),
        unread: unread.to_vec(),
    };
    let mut text = serde_json::to_string(&trend).unwrap_or_default();
    text.push('\n');
    text
}

fn machine(machine: &Machine) -> MachineTold {
    let day = |date: Option<jiff::civil::Date>| date.map(|date| date.to_string());
    MachineTold {
        name: machine.name.clone(),
        model: machine.model.clone(),
        jobs: machine
            .jobs
            .iter()
            .map(|job| JobTold {
                path: job.path.to_string(),
                first_day: day(job.days.map(|days| days.0)),
                last_day: day(job.days.map(|days| days.1)),
            })
            .collect(),
        meter: machine.meter.map(|(figure, _)| clean(figure)),
        meter_unit: machine.meter.map(|(_, unit)| unit.label().to_owned()),
        notes: machine.notes.clone(),
        features: machine.tracks.iter().map(|track| of_track(track, machine)).collect(),
    }
}

fn of_track(track: &Track, machine: &Machine) -> TrackTold {
    let end = |end: Option<rust_decimal::Decimal>| {
        let end = end?;
        track.unit.and_then(|unit| unit.from_base(end)).unwrap_or(end).to_f64()
    };
    TrackTold {
        feature: track.feature.clone(),
        part: track.part.clone(),
        place: track.place.clone(),
        derived: track.is_derived,
        unit: label(track).to_owned(),
        limit: track.limit.as_ref().map(|limit| limit.name()),
        limit_from: track.limit.as_ref().and_then(|limit| end(limit.band.lo)),
        limit_to: track.limit.as_ref().and_then(|limit| end(limit.band.hi)),
        lives: track.lives.iter().map(|life| of_life(life, track, machine)).collect(),
    }
}

fn of_life(life: &Life, track: &Track, machine: &Machine) -> LifeTold {
    let count = life.spots.iter().filter(|spot| spot.counts).count();
    LifeTold {
        number: life.number,
        begins: life.begins.as_ref().map(|begins| begins.why.clone()),
        begins_in: life.begins.as_ref().map(|begins| path(machine, begins.job)),
        meter_unit: meter_label(life).to_owned(),
        readings: life
            .spots
            .iter()
            .map(|spot| reading(spot, track.unit, machine))
            .collect(),
        rate: life.rate.as_ref().ok().map(|rate| of_rate(rate, track.unit, count)),
        no_rate: life.rate.as_ref().err().cloned(),
        left: life.left.as_ref().map(of_left),
    }
}

fn reading(spot: &Spot, unit: Option<&'static Unit>, machine: &Machine) -> ReadingTold {
    let end = |base: f64| base.is_finite().then(|| clean(in_unit(base, unit)));
    ReadingTold {
        job: path(machine, spot.job),
        line: spot.point.line,
        date: spot.point.date.map(|date| date.to_string()),
        stage: spot.point.stage.to_string(),
        meter: spot.meter.map(clean),
        value: value(spot, unit).to_f64().unwrap_or(f64::NAN),
        low: end(spot.point.low()),
        high: end(spot.point.high()),
        counts: spot.counts,
        stray: spot.is_stray,
    }
}

fn path(machine: &Machine, job: usize) -> String {
    machine.jobs.get(job).map_or(String::new(), |job| job.path.to_string())
}

fn of_rate(rate: &Rate, unit: Option<&'static Unit>, readings: usize) -> RateTold {
    let told = |base: f64| clean(difference(base, unit));
    let fit = match rate.how {
        How::Two => None,
        How::Line(fit) => Some(fit),
    };
    RateTold {
        best: told(rate.best),
        low: told(rate.low),
        high: told(rate.high),
        proven: rate.is_proven(),
        how: if fit.is_some() { "line" } else { "two readings" }.to_owned(),
        readings,
        standard_error: fit.map(|fit| told(fit.u_slope)),
        residual: fit.map(|fit| told(fit.residual)),
    }
}

fn of_left(left: &Left) -> LeftTold {
    LeftTold {
        least: left.least.is_finite().then(|| clean(left.least)),
        most: left.most.map(clean),
        past: left.is_past,
        look: left.look.filter(|look| look.is_finite()).map(clean),
    }
}

fn of_spread(spread: &Spread, history: &History) -> SpreadTold {
    let told = |base: f64| clean(difference(base, spread.unit));
    let outliers = spread.outliers.as_deref().unwrap_or_default();
    SpreadTold {
        model: spread.model.clone(),
        feature: spread.feature.clone(),
        part: spread.part.clone(),
        place: spread.place.clone(),
        unit: spread.unit.map_or("", |unit| unit.label()).to_owned(),
        meter_unit: spread.meter.label().to_owned(),
        median: told(spread.median),
        deviation: told(spread.deviation),
        lives: spread
            .lives
            .iter()
            .enumerate()
            .map(|(at, among)| AmongTold {
                machine: history
                    .machines
                    .get(among.machine)
                    .map_or(String::new(), |machine| machine.name.clone()),
                life: among.life,
                rate: told(among.rate.best),
                outlier: outliers
                    .iter()
                    .find(|outlier| outlier.at == at)
                    .map(|outlier| clean(outlier.score)),
            })
            .collect(),
        no_outliers: spread.outliers.as_ref().err().cloned(),
        grubbs: spread.grubbs.map(|test| clean(test.g)),
        grubbs_critical: spread.grubbs.map(|test| clean(test.critical)),
    }
}
