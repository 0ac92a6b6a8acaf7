//! Where the uncertainty of one figure comes from: its last digit, its tool, its repeats, what it says itself.

use std::hash::{Hash as _, Hasher as _};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::measured::Which;
use crate::model::Job;
use crate::model::instruments::{Error, Instrument, instrument};
use crate::model::job::{Point, Reading, Stated};
use crate::model::tools::Tool;
use crate::quantity::Dimension;
use crate::uncertainty::repeats::Repeats;
use crate::uncertainty::{Cause, Origin, Scope, Shape, Source};

/// How a figure was taken.
pub struct Taken<'a> {
    /// The reading.
    pub reading: &'a Reading,
    /// Its tool, if it is declared.
    pub tool: Option<&'a Tool>,
    /// The kind of instrument, declared or by its plain name.
    pub instrument: Option<&'static Instrument>,
    /// What is measured.
    pub dimension: Dimension,
    /// Number of the event.
    pub event: u32,
    index: u32,
    tool_index: Option<u32>,
    /// What stands for the feature in origins.
    of: u32,
    which: Which,
    /// Whether a manual knows the feature and gives it no limit.
    pub(super) is_unbounded: bool,
}

/// A figure in base units.
pub struct Figure {
    /// Its value as read.
    pub value: Decimal,
    /// Half a unit of the last digit.
    pub half_step: Decimal,
    /// Where it is the mean of several.
    pub repeats: Option<Repeats>,
}

fn number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

impl<'a> Taken<'a> {
    /// How a figure of a reading was taken.
    pub fn new(job: &'a Job, index: usize, reading: &'a Reading, which: Which) -> Taken<'a> {
        let tool = reading.tool_index.and_then(|tool| job.tools.get(tool));
        let named = || reading.tool.as_ref().and_then(|word| instrument(&word.key));
        let of = match job.instances.get(reading.instance).and_then(|i| i.feature) {
            Some(feature) => number(feature),
            // What no manual knows is its own feature.
            None => u32::MAX - number(reading.instance),
        };
        Taken {
            reading,
            tool,
            instrument: tool.and_then(Tool::instrument).or_else(named),
            dimension: reading.unit.map_or(Dimension::NONE, |unit| unit.dimension),
            event: number(reading.event),
            index: number(index),
            tool_index: tool.and(reading.tool_index).map(number),
            of,
            which,
            is_unbounded: false,
        }
    }

    /// The tool as a whole; the reading where the tool is not declared.
    pub fn tool_scope(&self) -> Scope {
        self.tool_index.map_or(Scope::Reading(self.index), Scope::Tool)
    }

    /// What it is made of: one error within one part, since two castings of one name are not of one melt.
    pub fn material_scope(&self, material: &str, part: &str) -> Scope {
        Scope::Material(self.number_of(&format!("{material} {} {part}", self.of)))
    }

    /// A number for a name, the same every time.
    pub fn number_of(&self, name: &str) -> u32 {
        let mut hasher = rustc_hash::FxHasher::default();
        name.hash(&mut hasher);
        (hasher.finish() >> 32) as u32
    }

    /// One error for everything on the line.
    pub(super) fn of_line(&self, cause: Cause) -> Origin {
        Origin {
            scope: Scope::Event(self.event),
            cause,
        }
    }

    fn own(&self, cause: Cause) -> Origin {
        let scope = match self.which {
            Which::Whole | Which::Swing => Scope::Reading(self.index),
            Which::Point(point) => Scope::Point(self.index, number(point)),
        };
        Origin { scope, cause }
    }

    /// A fact of the tool, if it is of what is measured here.
    fn fact(&self, fact: impl Fn(&Tool) -> Option<(Decimal, Dimension)>) -> Option<Decimal> {
        let (figure, dimension) = fact(self.tool?)?;
        // A step, an error and an offset are differences, of a temperature too.
        (dimension == self.dimension.difference()).then_some(figure)
    }

    /// What the tool shows at zero, base units.
    pub fn zero(&self) -> Option<Decimal> {
        self.fact(|tool| tool.zero)
    }

    /// Its smallest step, base units.
    pub fn reads_to(&self) -> Option<Decimal> {
        self.fact(|tool| tool.reads_to)
    }

    /// The permissible error, base units, of a figure.
    fn good_to(&self, value: Decimal) -> Option<Decimal> {
        // A share of a temperature is none: 0 °C is not nothing.
        let is_scale = self.dimension != Dimension::TEMPERATURE;
        let share = || self.tool?.good_to_share?.checked_mul(value.abs());
        let of_figure = share().filter(|_| is_scale);
        let plain = self.fact(|tool| tool.good_to);
        match (plain, of_figure) {
            // `good to 4 %, good to 0.1 N·m`: both at once.
            (Some(a), Some(b)) => a.abs().checked_add(b),
            (a, b) => a.or(b),
        }
    }

    /// One error for all readings of a feature by this tool.
    fn of_feature(&self, cause: Cause) -> Origin {
        match self.tool_index {
            Some(tool) => Origin {
                scope: Scope::ToolOn(tool, self.of),
                cause,
            },
            None => self.own(cause),
        }
    }

    /// What such an instrument is usually good for with this figure.
    fn usual(&self, figure: &Figure) -> Option<Error> {
        let known = self.instrument.filter(|known| known.dimension == self.dimension)?;
        // Without `reads to` the figure itself shows the division: 24.996 was not read off hundredths.
        let written = figure.half_step.checked_mul(Decimal::TWO);
        Some(known.usual(self.reads_to().or(written)))
    }

    /// The scatter that is put down to the tool itself: a standard deviation in base units.
    fn own_scatter(&self, figure: &Figure, half_step: Decimal) -> f64 {
        let usual = || match self.usual(figure)? {
            Error::Of(half) => Some(float(half)),
            Error::Share(share) => share.checked_mul(figure.value).map(float),
        };
        let half = self.good_to(figure.value).map(float).or_else(usual);
        Shape::Rectangular.standard(half.unwrap_or(0.0).max(float(half_step)))
    }

    /// What the tool is good for either way, base units: as declared, else as is usual; never less than half the last digit.
    pub fn tolerance(&self, point: &Point) -> Decimal {
        let figure = Figure {
            value: point.best,
            half_step: point.half_step,
            repeats: None,
        };
        let step = self.reads_to().and_then(|step| step.checked_div(Decimal::TWO));
        let digit = if self.is_count() {
            Decimal::ZERO
        } else {
            point.half_step.max(step.unwrap_or(Decimal::ZERO))
        };
        let usual = || match self.usual(&figure)? {
            Error::Of(half) => Some(half),
            Error::Share(share) => share.checked_mul(point.best.abs()),
        };
        let repeats = self
            .fact(|tool| tool.repeats_to)
            .and_then(|s| s.checked_mul(Decimal::TWO));
        let declared = self.good_to(point.best).map(|g| g.abs()).max(repeats);
        declared.or_else(usual).unwrap_or(Decimal::ZERO).max(digit)
    }

    /// What blades are off by: nothing, unless their tolerance is declared.
    pub fn blades(&self) -> Option<Source> {
        let half = float(self.good_to(self.reading.points.first()?.best)?);
        Some(Source::within(
            self.of_feature(Cause::Permissible),
            Shape::Rectangular,
            half,
        ))
    }

    /// What the reading itself says behind `±`.
    pub fn stated(&self, point: &Point) -> Vec<Source> {
        let half = float(point.half_width.unwrap_or_default());
        let origin = self.own(Cause::Stated);
        let own = match self.reading.stated {
            Stated::Within(shape) => Source::within(origin, shape, half),
            Stated::Expanded(k) => Source::normal(origin, half / k, f64::INFINITY),
        };
        std::iter::once(own).chain(self.of_zero()).collect()
    }

    /// How well the zero is known that is taken off: to half a step of the tool.
    fn of_zero(&self) -> Option<Source> {
        self.zero()?;
        let half = float(self.reads_to()?) / 2.0;
        let origin = Origin {
            scope: self.tool_scope(),
            cause: Cause::Zero,
        };
        Some(Source::within(origin, Shape::Rectangular, half))
    }

    /// Whether it is a bare 0, read with nothing.
    fn is_nothing(&self) -> bool {
        let bare = |point: &Point| point.written.is_zero() && point.written.scale() == 0;
        self.reading.tool.is_none() && self.reading.points.iter().all(bare)
    }

    /// Whether nothing bounds it and no tool has read it, though a manual knows it: a figure that is given, not measured.
    fn is_parameter(&self) -> bool {
        self.reading.tool.is_none() && self.is_unbounded
    }

    /// Whether a figure is counted rather than measured: a plain number, pieces, money.
    fn is_count(&self) -> bool {
        match self.reading.unit {
            None => true,
            Some(unit) => matches!(unit.symbol, "plain" | "pcs" | "off") || unit.dimension.currency().is_some(),
        }
    }
}

/// The finest step that a reading's tool can show, base units: its own, else the finest of its kind. `None` if neither is known.
pub fn step_of(job: &Job, reading: &Reading) -> Option<Decimal> {
    let taken = Taken::new(job, 0, reading, Which::Whole);
    let kind = taken.instrument.filter(|kind| kind.dimension == taken.dimension);
    taken.reads_to().or_else(|| kind.and_then(|kind| kind.finest()))
}

fn float(figure: Decimal) -> f64 {
    figure.to_f64().unwrap_or(f64::INFINITY).abs()
}

/// Everything a figure read off a scale may be off by, but for temperature.
pub fn sources(taken: &Taken<'_>, figure: &Figure) -> Vec<Source> {
    let mut list = Vec::with_capacity(4);
    let mut rectangular = |origin: Origin, half: f64| {
        if half > 0.0 {
            list.push(Source::within(origin, Shape::Rectangular, half));
        }
    };
    let reads_to = taken.reads_to();
    let half_step = match reads_to.and_then(|step| step.checked_div(Decimal::TWO)) {
        Some(half) => figure.half_step.max(half),
        None => figure.half_step,
    };
    let good_to = taken.good_to(figure.value);
    let is_declared = good_to.is_some() || taken.fact(|tool| tool.repeats_to).is_some();
    let usual = taken.usual(figure).filter(|_| !is_declared);
    match usual {
        // The usual figure has the division in it.
        Some(Error::Of(half)) => rectangular(taken.own(Cause::Usual), float(half.max(half_step))),
        Some(Error::Share(share)) => {
            let half = share.checked_mul(figure.value.abs()).unwrap_or(Decimal::MAX);
            rectangular(taken.own(Cause::Usual), float(half.max(half_step)));
        }
        None if taken.is_count() && !is_declared => {}
        // Nothing is nothing: a gasket that is not there is not half a millimetre thick.
        None if taken.is_nothing() => {}
        // Nor is a whole figure that nothing bounds and no tool has read: a module, a count of teeth in millimetres.
        None if taken.is_parameter() && figure.value.fract().is_zero() && figure.half_step > Decimal::new(1, 1) => {}
        None => rectangular(taken.own(Cause::Resolution), float(half_step)),
    }
    if let Some(half) = good_to {
        rectangular(taken.of_feature(Cause::Permissible), float(half));
    }
    list.extend(taken.of_zero());
    scatter(taken, figure, half_step, &mut list);
    list
}

/// From this many repeats on their own scatter is taken for what it is (JCGM 100:2008, 4.2); of fewer it says too little.
const ENOUGH: usize = 4;

/// How many readings the tool's own scatter counts for beside a few repeats (a pooled estimate, JCGM 100:2008, 4.2.4). Common practice, no source.
const PRIOR: f64 = 5.0;

/// How a figure scatters: by the tool's declared repeatability, or by what was seen where it was read several times and that is more.
fn scatter(taken: &Taken<'_>, figure: &Figure, half_step: Decimal, list: &mut Vec<Source>) {
    let declared = taken.fact(|tool| tool.repeats_to).map(float);
    let of_declared = |count: usize| {
        let u = declared.filter(|s| *s > 0.0)? / (count as f64).sqrt();
        Some(Source::normal(taken.own(Cause::Repeatability), u, f64::INFINITY))
    };
    let Some(repeats) = &figure.repeats else {
        list.extend(of_declared(1));
        return;
    };
    let count = repeats.count as f64;
    let observed = if repeats.count >= ENOUGH {
        (repeats.deviation > declared.unwrap_or(0.0))
            .then(|| Source::normal(taken.own(Cause::Repeats), repeats.of_mean(), repeats.dof()))
    } else {
        // Two or three that agree as well as the tool does say nothing against it.
        let own = declared.unwrap_or_else(|| taken.own_scatter(figure, half_step));
        let dof = PRIOR + repeats.dof();
        let pooled = ((PRIOR * own.powi(2) + repeats.dof() * repeats.deviation.powi(2)) / dof).sqrt();
        (repeats.deviation > own).then(|| Source::normal(taken.own(Cause::Repeats), pooled / count.sqrt(), dof))
    };
    list.extend(observed.or_else(|| of_declared(repeats.count)));
}
