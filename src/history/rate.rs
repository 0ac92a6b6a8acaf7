//! How fast a figure changes over the meter, as an interval: by two readings, or by the line through more.

use super::Spot;
use super::fit::Fit;
use crate::judge::traces::{Doubt, Point};
use crate::uncertainty::{Combined, Shape};

/// How fast a figure changes: base units by one unit of the meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// The best value.
    pub best: f64,
    /// The least it may be, about 95 %.
    pub low: f64,
    /// The greatest it may be.
    pub high: f64,
    /// How it was worked out.
    pub how: How,
}

/// How a rate was worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum How {
    /// From two readings, by what they may be off by.
    Two,
    /// By the line through three or more.
    Line(Fit),
}

impl Rate {
    /// Whether it is proven that it changes at all.
    pub fn is_proven(&self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

/// The readings that count, with their meter.
pub fn counted(spots: &[Spot]) -> Vec<(f64, &Point)> {
    let counted = spots.iter().filter(|spot| spot.counts);
    counted.filter_map(|spot| Some((spot.meter?, &spot.point))).collect()
}

/// How fast a life wears, or in words why that cannot be said. `unit` is that of the meter.
///
/// Of two readings by their difference, with all that each may be off by put together by the GUM (JCGM 100:2008, 5.1 and 5.2): what is one error for both
/// cancels, blades leave the whole of their bands open. Of three or more by ordinary least squares; its 95 % interval is Student's by what is left over, or
/// what the readings themselves may be off by where that is more: three readings that happen to lie in line prove nothing beyond their own doubt.
pub fn rate(spots: &[Spot], unit: &str) -> Result<Rate, String> {
    let points = counted(spots);
    let first = points.first().map(|(meter, _)| *meter);
    match (points.as_slice(), first) {
        ([], _) | (_, None) => return Err("no reading with a meter reading and two ends".to_owned()),
        ([_], _) => return Err("one reading: it takes two at different meter readings".to_owned()),
        (all, Some(first)) if all.iter().all(|(meter, _)| *meter == first) => {
            return Err(format!(
                "{} readings, all at {} {unit}: no rate can be told",
                all.len(),
                plain(first)
            ));
        }
        _ => {}
    }
    let middle = |(meter, point): &(f64, &Point)| (*meter, point.value());
    let fit = Fit::through(&points.iter().map(middle).collect::<Vec<_>>());
    let weights = weights(&points);
    let own = half(&points, &weights);
    let (best, half, how) = match fit {
        Some(fit) => (fit.slope, own.max(fit.half_slope()), How::Line(fit)),
        None if points.len() > 2 => return Err("no line could be drawn through its readings".to_owned()),
        None => {
            let sum = points.iter().zip(&weights);
            (
                sum.map(|((_, point), weight)| weight * point.value()).sum(),
                own,
                How::Two,
            )
        }
    };
    if !best.is_finite() || !half.is_finite() {
        return Err("its figures are too large to work with".to_owned());
    }
    Ok(Rate {
        best,
        low: best - half,
        high: best + half,
        how,
    })
}

/// How much the slope follows each figure: (x − x̄) / Σ(x − x̄)². Of two readings that is one over their distance.
fn weights(points: &[(f64, &Point)]) -> Vec<f64> {
    let n = points.len() as f64;
    let middle = points.iter().map(|(meter, _)| meter).sum::<f64>() / n;
    let spread: f64 = points.iter().map(|(meter, _)| (meter - middle).powi(2)).sum();
    points.iter().map(|(meter, _)| (meter - middle) / spread).collect()
}

/// Half of the interval that the doubts of the readings leave the slope.
fn half(points: &[(f64, &Point)], weights: &[f64]) -> f64 {
    let open = points.iter().zip(weights).map(|((_, point), weight)| {
        let (low, high) = point.between;
        weight.abs() * (high - low) / 2.0
    });
    let doubts: Vec<(&Doubt, f64)> = points
        .iter()
        .zip(weights)
        .map(|((_, point), weight)| (&point.doubt, *weight))
        .collect();
    open.sum::<f64>() + combined(&doubts).expanded()
}

/// Doubts put together, each with what the result follows it by (JCGM 100:2008, 5.1.2; degrees of freedom by Welch and Satterthwaite, G.4.1). What is one
/// error for several is added with its signs first (5.2.2).
fn combined(doubts: &[(&Doubt, f64)]) -> Combined {
    let mut shared: Vec<(u64, f64)> = doubts
        .iter()
        .flat_map(|(doubt, weight)| {
            doubt
                .shared
                .iter()
                .map(move |(whose, effect)| (*whose, weight * effect))
        })
        .collect();
    shared.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let effects = shared
        .chunk_by(|a, b| a.0 == b.0)
        .map(|one| one.iter().map(|(_, effect)| effect).sum::<f64>());
    let mut u = 0.0;
    let mut bound = 0.0;
    for effect in effects {
        u += effect.powi(2);
        // The permissible error of a tool is a rectangle.
        bound += effect.abs() * Shape::Rectangular.divisor().unwrap_or(f64::INFINITY);
    }
    let own = |(doubt, weight): &(&Doubt, f64)| (weight * doubt.u).powi(2);
    u += doubts.iter().map(own).sum::<f64>();
    bound += doubts
        .iter()
        .filter(|(doubt, weight)| doubt.u > 0.0 && *weight != 0.0)
        .map(|(doubt, weight)| weight.abs() * doubt.bound)
        .sum::<f64>();
    let fourth: f64 = doubts
        .iter()
        .filter(|(doubt, _)| doubt.dof.is_finite() && doubt.u > 0.0)
        .map(|part| (own(part) / u).powi(2) / part.0.dof)
        .sum();
    Combined {
        u: u.sqrt(),
        dof: if fourth > 0.0 { fourth.recip() } else { f64::INFINITY },
        bound,
        shape: Shape::Normal,
    }
}

/// A meter reading without a tail of noughts.
pub fn plain(figure: f64) -> String {
    let rounded = (figure * 100.0).round() / 100.0;
    format!("{rounded}")
}
