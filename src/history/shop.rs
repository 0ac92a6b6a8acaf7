//! How fast the machines of a model wear, side by side, and which stands out.

use std::collections::BTreeMap;

use super::rate::Rate;
use super::{Machine, Track};
use crate::quantity::Unit;
use crate::uncertainty::outliers::{FAR, Grubbs, about_median, grubbs, modified_z};

/// The fewest rates among which one can stand out.
const FEWEST: usize = 3;

/// The significance of Grubbs' test.
const SIGNIFICANCE: f64 = 0.05;

/// The rates of one feature over all lives of all machines of a model.
#[derive(Clone, Debug)]
pub struct Spread {
    /// The model.
    pub model: String,
    /// The feature.
    pub feature: String,
    /// Its part.
    pub part: Option<String>,
    /// Its place.
    pub place: Option<String>,
    /// The unit of the figure.
    pub unit: Option<&'static Unit>,
    /// The unit of the meter.
    pub meter: &'static Unit,
    /// Every life with a rate, by machine and number; two or more.
    pub lives: Vec<Among>,
    /// The median of their rates.
    pub median: f64,
    /// The median absolute deviation from it.
    pub deviation: f64,
    /// What stands out, or why nothing can.
    pub outliers: Result<Vec<Outlier>, String>,
    /// Grubbs' test of the one farthest from the mean; `None` where the rates are too few or all alike.
    pub grubbs: Option<Grubbs>,
}

/// One life among others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Among {
    /// Index of its machine.
    pub machine: usize,
    /// Its number.
    pub life: usize,
    /// How fast it wears.
    pub rate: Rate,
}

/// A life that stands out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlier {
    /// Index into [`Spread::lives`].
    pub at: usize,
    /// Its modified z-score.
    pub score: f64,
    /// Whether Grubbs' test says so as well.
    pub by_grubbs: bool,
}

impl Spread {
    /// The feature with its part and place.
    pub fn name(&self) -> String {
        crate::model::names::named(&self.feature, self.part.as_deref(), self.place.as_deref())
    }
}

/// The same feature of the same model over the same meter.
type Of<'m> = (&'m str, &'m str, Option<&'m str>, Option<&'m str>, &'static str);

/// Every feature of a model of which two lives or more have a rate.
pub fn spreads(machines: &[Machine]) -> Vec<Spread> {
    let mut all: BTreeMap<Of<'_>, (&Machine, &Track, &'static Unit, Vec<Among>)> = BTreeMap::new();
    for (number, machine) in machines.iter().enumerate() {
        for track in &machine.tracks {
            for life in &track.lives {
                let (Ok(rate), Some(meter)) = (&life.rate, life.meter) else {
                    continue;
                };
                let (part, place) = (track.part.as_deref(), track.place.as_deref());
                let of = (
                    machine.model_key.as_str(),
                    track.feature.as_str(),
                    part,
                    place,
                    meter.symbol,
                );
                let one = Among {
                    machine: number,
                    life: life.number,
                    rate: *rate,
                };
                all.entry(of).or_insert((machine, track, meter, Vec::new())).3.push(one);
            }
        }
    }
    let several = all.into_values().filter(|(.., lives)| lives.len() > 1);
    several
        .map(|(machine, track, meter, lives)| {
            let rates: Vec<f64> = lives.iter().map(|among| among.rate.best).collect();
            let (median, deviation) = about_median(&rates).unwrap_or((f64::NAN, f64::NAN));
            let test = grubbs(&rates, SIGNIFICANCE);
            Spread {
                model: machine.model.clone(),
                feature: track.feature.clone(),
                part: track.part.clone(),
                place: track.place.clone(),
                unit: track.unit,
                meter,
                outliers: outliers(&lives, &rates, median, test),
                lives,
                median,
                deviation,
                grubbs: test,
            }
        })
        .collect()
}

/// What stands out: by the modified z-score, where its own interval does not reach the median as well. A rate that is hardly known stands out from nothing.
fn outliers(lives: &[Among], rates: &[f64], median: f64, test: Option<Grubbs>) -> Result<Vec<Outlier>, String> {
    if lives.len() < FEWEST {
        return Err(format!("{} rates are too few for one to stand out", lives.len()));
    }
    let Some(scores) = modified_z(rates) else {
        return Err("more than half of the rates are alike, so there is no spread to stand out from".to_owned());
    };
    let scored = lives.iter().zip(scores).enumerate();
    Ok(scored
        .filter(|(_, (among, score))| {
            let reaches = among.rate.low <= median && median <= among.rate.high;
            score.abs() > FAR && !reaches
        })
        .map(|(at, (_, score))| Outlier {
            at,
            score,
            by_grubbs: test.is_some_and(|test| test.at == at && test.g > test.critical),
        })
        .collect())
}
