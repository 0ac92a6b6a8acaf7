//! A call of a function of the trade: scaled to its units, worked at the best figures, over what blades leave open, and to first order.

use rust_decimal::Decimal;

use super::formula::float;
use crate::quantity::{Band, Dimension};
use crate::trade::{Function, Given, Gives, Refused, Word};
use crate::uncertainty::estimate::decimal;

/// Steps over each open figure: both ends and the middle, where there are few; else the ends alone.
const MOST_OPEN: usize = 6;
const MOST_CORNERS: usize = 12;

/// A function with its words, and what brings base units to its own.
#[derive(Clone, Debug)]
pub struct Called {
    /// The function.
    pub function: &'static Function,
    words: Vec<Option<Word>>,
    scales: Vec<f64>,
    gives: f64,
}

impl PartialEq for Called {
    fn eq(&self, other: &Called) -> bool {
        self.function.name == other.function.name && self.words == other.words
    }
}

/// Base units for one of the trade's: a newton is 1000 kg·mm/s².
pub fn scale(dimension: Dimension) -> f64 {
    1000.0_f64.powi(dimension.mass())
}

impl Called {
    /// A call with its words read; `dimensions`: of what stands for each parameter.
    pub fn new(
        function: &'static Function,
        words: Vec<Option<Word>>,
        dimensions: &[Dimension],
        gives: Dimension,
    ) -> Called {
        Called {
            function,
            words,
            scales: dimensions.iter().map(|of| scale(*of)).collect(),
            gives: scale(gives),
        }
    }

    /// The same figures given to another function that takes as many. `None` if it takes others, or gives no one dimension.
    pub fn as_another(&self, function: &'static Function) -> Option<Called> {
        let Gives::Of(gives) = function.gives else { return None };
        (function.parameters.len() == self.function.parameters.len()).then(|| Called {
            function,
            words: self.words.clone(),
            scales: self.scales.clone(),
            gives: scale(gives),
        })
    }

    /// Works it out; in and out in base units.
    pub fn work(&self, figures: &[f64]) -> Result<f64, Refused> {
        let scaled: Vec<f64> = figures
            .iter()
            .zip(&self.scales)
            .map(|(figure, by)| figure / by)
            .collect();
        let given = Given {
            figures: &scaled,
            words: &self.words,
        };
        self.function.call(&given).map(|result| result * self.gives)
    }

    /// The figures as the function takes them, in its own units.
    pub fn figures(&self, figures: &[f64]) -> Vec<f64> {
        figures
            .iter()
            .zip(&self.scales)
            .map(|(figure, by)| figure / by)
            .collect()
    }

    /// What it comes to over all that its figures may be: at their ends and middles, which is the whole of it where it only rises or falls with each. An
    /// end that is infinite is left open, and so is the result where a figure has no end.
    pub fn over(&self, bands: &[Band]) -> Result<Band, Refused> {
        let open: Vec<usize> = (0..bands.len())
            .filter(|place| bands.get(*place).is_some_and(|b| !b.is_exact()))
            .collect();
        let ends = |place: usize| {
            let band = bands.get(place).copied().unwrap_or(Band::exact(Decimal::ZERO));
            band.lo.zip(band.hi).map(|(lo, hi)| (float(lo), float(hi)))
        };
        let all: Option<Vec<(f64, f64)>> = (0..bands.len()).map(ends).collect();
        let Some(all) = all.filter(|_| open.len() <= MOST_CORNERS) else {
            return Ok(Band {
                lo: None,
                hi: None,
                ..Band::exact(Decimal::ZERO)
            });
        };
        let steps = if open.len() <= MOST_OPEN { 3 } else { 2 };
        let mut figures: Vec<f64> = all.iter().map(|(lo, hi)| f64::midpoint(*lo, *hi)).collect();
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        let corners = (0..open.len()).fold(1_usize, |count, _| count.saturating_mul(steps));
        for corner in 0..corners {
            let mut rest = corner;
            for place in &open {
                let step = (rest % steps) as f64 / (steps - 1) as f64;
                rest /= steps;
                if let (Some(figure), Some((lo, hi))) = (figures.get_mut(*place), all.get(*place)) {
                    *figure = lo + (hi - lo) * step;
                }
            }
            let result = self.work(&figures)?;
            least = least.min(result);
            most = most.max(result);
        }
        let end = |value: f64| if value.is_finite() { decimal(value) } else { None };
        Ok(Band {
            lo: end(least),
            hi: end(most),
            ..Band::exact(Decimal::ZERO)
        })
    }

    /// How strongly it follows one figure, at these figures: the slope between a small step up and one down, or on one side where the other is refused.
    pub fn slope(&self, figures: &[f64], place: usize, u: f64) -> f64 {
        let Some(at) = figures.get(place).copied() else {
            return 0.0;
        };
        let step = (at.abs().max(u) * 1e-5).max(1e-9);
        let moved = |by: f64| {
            let mut moved = figures.to_vec();
            if let Some(figure) = moved.get_mut(place) {
                *figure = at + by;
            }
            self.work(&moved).ok().filter(|result| result.is_finite())
        };
        let here = || self.work(figures).ok().filter(|result| result.is_finite());
        match (moved(step), moved(-step)) {
            (Some(up), Some(down)) => (up - down) / (2.0 * step),
            (Some(up), None) => here().map_or(0.0, |here| (up - here) / step),
            (None, Some(down)) => here().map_or(0.0, |here| (here - down) / step),
            (None, None) => 0.0,
        }
    }
}
