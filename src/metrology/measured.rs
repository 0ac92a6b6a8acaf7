//! One reading as a measurement: best value, corrections, budget.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::sources::{Figure, Taken, sources};
use crate::model::Book;
use crate::model::Job;
use crate::model::job::{Reading, ReadingKind};
use crate::quantity::{Band, Dimension};
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::repeats::Repeats;
use crate::uncertainty::{Budget, Cause, Estimate, Origin, Shape, Source};

/// The reference temperature of all lengths, °C (ISO 1).
pub const REFERENCE: f64 = 20.0;

/// How far the temperature of a part may be from what is written, either way, °C. Common practice, no source.
const PART_DOUBT: f64 = 1.0;

/// The same for the tool, whether its temperature is written or it is taken to be at 20 °C. Common practice, no source.
const TOOL_DOUBT: f64 = 2.0;

/// How far from 20 °C a length may be read without a word, °C. Common practice, no source.
pub const WARM: f64 = 5.0;

/// How far from 20 °C a shop may be: up to there a tool is taken to be as warm as the part, unless it says otherwise. Common practice, no source.
const SHOP: f64 = 10.0;

/// The most that a usual material of engines grows, 1/°C: magnesium. Value from memory.
const MOST_EXPANSION: f64 = 26e-6;

/// The same beside a part too hot for a shop: how much of that the tool took up, nobody knows. Common practice, no source.
const HOT_DOUBT: f64 = 5.0;

/// Expansion of a steel tool, 1/°C: that of a gauge block in JCGM 100:2008, H.1.
const STEEL: f64 = 11.5e-6;

/// What was taken off a figure, or added to it, base units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Correction {
    /// What the tool shows at zero; it was taken off.
    Zero(Decimal),
    /// The part was this warm, °C; this much was added to bring it to 20 °C.
    PartTemperature(Decimal, Decimal),
    /// The tool was this warm, °C; this much was added.
    ToolTemperature(Decimal, Decimal),
}

/// A reading, or one figure of it, as a measurement. Base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The best single value, corrected.
    pub best: Decimal,
    /// What blades or a range leave open; `None` for a single value.
    pub between: Option<Band>,
    /// Everything it may be off by.
    pub budget: Budget,
    /// What was corrected.
    pub corrections: Vec<Correction>,
}

impl Measured {
    /// With its uncertainty combined; `None` if it grows too large.
    pub fn estimate(&self) -> Option<Estimate> {
        Estimate::new(self.best, self.between, &self.budget)
    }

    /// The value without its uncertainty, or what is left open.
    pub fn bare(&self) -> Band {
        self.between.unwrap_or(Band::exact(self.best))
    }
}

/// Which figure of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The reading as a whole: the mean of its repeats.
    Whole,
    /// One figure of it.
    Point(usize),
    /// Of a ring, the greatest less the least: what a needle swings over one turn.
    Swing,
}

/// A reading, or one of its figures, as a measurement. `None` if it has no figure, or figures too large to reckon with.
pub fn measure(job: &Job, book: &Book, index: usize, which: Which) -> Option<Measured> {
    let reading = job.readings.get(index)?;
    let mut taken = Taken::new(job, index, reading, which);
    let feature = job
        .instances
        .get(reading.instance)
        .and_then(|instance| instance.feature);
    taken.is_unbounded = feature
        .and_then(|id| book.features.get(id))
        .is_some_and(|feature| feature.limits.is_empty() && feature.nominal.is_none());
    let point = match which {
        Which::Whole => reading.points.first()?,
        Which::Point(number) => reading.points.get(number)?,
        Which::Swing => return swing(job, book, index, reading),
    };
    match reading.kind {
        ReadingKind::NoFigure => None,
        ReadingKind::Blades | ReadingKind::OneBlade | ReadingKind::Range => {
            let between = match which {
                Which::Whole | Which::Swing => reading.band()?,
                Which::Point(_) => point.band,
            };
            Some(Measured {
                best: point.best,
                between: Some(between),
                budget: Budget::of(taken.blades()),
                corrections: Vec::new(),
            })
        }
        ReadingKind::PlusMinus => {
            let measured = Measured {
                best: point.best,
                between: None,
                budget: Budget::of(taken.stated(point)),
                corrections: Vec::new(),
            };
            corrected(job, book, reading, &taken, measured)
        }
        _ => single(job, book, reading, &taken, which),
    }
}

/// The greatest figure of a ring less the least, with what does not cancel between the two.
fn swing(job: &Job, book: &Book, index: usize, reading: &Reading) -> Option<Measured> {
    let at = |number: usize| measure(job, book, index, Which::Point(number));
    let numbers = || 0..reading.points.len();
    let value = |number: &usize| reading.points.get(*number).map(|point| point.best);
    let most = at(numbers().max_by_key(value)?)?;
    let least = at(numbers().min_by_key(value)?)?;
    Some(Measured {
        best: most.best.checked_sub(least.best)?,
        between: None,
        budget: most.budget.less(least.budget),
        corrections: Vec::new(),
    })
}

/// A figure read off a scale, or the mean of several.
fn single(job: &Job, book: &Book, reading: &Reading, taken: &Taken<'_>, which: Which) -> Option<Measured> {
    let figure = match which {
        Which::Point(number) => {
            let point = reading.points.get(number)?;
            Figure {
                value: point.best,
                half_step: point.half_step,
                repeats: None,
            }
        }
        Which::Whole | Which::Swing => {
            let repeats = Repeats::of(reading.points.iter().map(|p| p.best))?;
            Figure {
                value: repeats.mean,
                half_step: reading.points.iter().map(|p| p.half_step).max()?,
                repeats: (repeats.count > 1 && reading.kind == ReadingKind::Repeats).then_some(repeats),
            }
        }
    };
    let measured = Measured {
        best: figure.value,
        between: None,
        budget: Budget::of(sources(taken, &figure)),
        corrections: Vec::new(),
    };
    corrected(job, book, reading, taken, measured)
}

/// With the tool's zero taken off, and brought to 20 °C where that can be done.
fn corrected(job: &Job, book: &Book, reading: &Reading, taken: &Taken<'_>, mut measured: Measured) -> Option<Measured> {
    if let Some(zero) = taken.zero() {
        measured.best = measured.best.checked_sub(zero)?;
        measured.corrections.push(Correction::Zero(zero));
    }
    if taken.dimension == Dimension::LENGTH
        && let Some(part) = reading.temperature
    {
        let feature = job
            .instances
            .get(reading.instance)
            .and_then(|instance| book.features.get(instance.feature?));
        let material = reading
            .material
            .as_ref()
            .or_else(|| feature.and_then(|f| f.material.as_ref()));
        if let Some(material) = material {
            let (expansion, spread) = (material.expansion, material.spread);
            let of_part = job
                .instances
                .get(reading.instance)
                .and_then(|instance| instance.part.as_ref())
                .map_or("", |part| part.key.as_str());
            let name = Origin {
                scope: taken.material_scope(&material.words(), of_part),
                cause: Cause::Expansion,
            };
            warm(&mut measured, taken, part, (expansion, spread, name))?;
        } else {
            unknown_material(&mut measured, taken, part)?;
        }
    }
    Some(measured)
}

/// A length read warm or cold, of what nobody says: it is left as it is, and may be off by as much as any usual material grows.
fn unknown_material(measured: &mut Measured, taken: &Taken<'_>, part: Decimal) -> Option<()> {
    let warmer = part.to_f64()? - REFERENCE;
    if warmer.abs() <= WARM {
        return Some(());
    }
    let half = MOST_EXPANSION * warmer.abs() * measured.best.to_f64()?.abs();
    // A gap hardly grows.
    let digit = taken
        .reading
        .points
        .iter()
        .filter_map(|p| p.half_step.to_f64())
        .fold(0.0, f64::max);
    if half <= digit {
        return Some(());
    }
    measured.budget.shares.push(crate::uncertainty::Share {
        source: Source::within(taken.of_line(Cause::Expansion), Shape::Rectangular, half),
        sensitivity: 1.0,
    });
    Some(())
}

/// How warm a tool is of which nothing is said, °C, and how far from that it may be, beside a part so much warmer than 20 °C. In a warm shop it is as warm
/// as the part; the further the part is from any shop, the less, down to 20 °C again beside a hot one.
fn beside(warmer: f64) -> (Option<Decimal>, f64) {
    let size = warmer.abs();
    let (tool, doubt) = if size <= SHOP {
        (size, TOOL_DOUBT)
    } else {
        ((2.0 * SHOP - size).max(0.0), HOT_DOUBT)
    };
    let at = REFERENCE + tool.copysign(warmer);
    (decimal(at).filter(|_| tool > 0.0), doubt)
}

/// Brings a length to 20 °C: the part grows, and so does the tool it is read with.
fn warm(measured: &mut Measured, taken: &Taken<'_>, part: Decimal, material: (f64, f64, Origin)) -> Option<()> {
    let (expansion, spread, origin) = material;
    let length = measured.best.to_f64()?;
    let warmer = part.to_f64()? - REFERENCE;
    let growth = 1.0 + expansion * warmer;
    if growth <= 0.5 {
        return None;
    }
    let by = decimal(length / growth - length)?;
    measured.best = measured.best.checked_add(by)?;
    measured.corrections.push(Correction::PartTemperature(part, by));
    let slope = length / growth.powi(2);
    let share = |source: Source, sensitivity: f64| crate::uncertainty::Share { source, sensitivity };
    let within = |origin: Origin, half: f64| Source::within(origin, Shape::Rectangular, half);
    let shares = &mut measured.budget.shares;
    shares.push(share(
        within(taken.of_line(Cause::PartTemperature), PART_DOUBT),
        -expansion * slope,
    ));
    shares.push(share(within(origin, spread), -warmer * slope));
    let declared = taken.tool.and_then(|tool| tool.temperature);
    let (tool, doubt) = match declared {
        Some(tool) => (Some(tool), TOOL_DOUBT),
        None => beside(warmer),
    };
    shares.push(share(
        within(taken.of_line(Cause::ToolTemperature), doubt),
        STEEL * length,
    ));
    if let Some(tool) = tool {
        let by = decimal(STEEL * (tool.to_f64()? - REFERENCE) * length)?;
        measured.best = measured.best.checked_add(by)?;
        measured.corrections.push(Correction::ToolTemperature(tool, by));
    }
    Some(())
}
