//! The straight line through the readings of a life.

use linregress::fit_low_level_regression_model;

use crate::uncertainty::distribution::{below, quantile};

/// A straight line by ordinary least squares, about the middle of its points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The middle of the meter readings.
    pub middle: f64,
    /// The figure there.
    pub level: f64,
    /// What the figure grows by for one unit of the meter.
    pub slope: f64,
    /// Standard error of the slope, from what is left over.
    pub u_slope: f64,
    /// The standard deviation of what is left over.
    pub residual: f64,
    /// How many points.
    pub count: usize,
    /// The sum of squares of the meter readings about their middle.
    pub spread: f64,
}

/// The share of Student's distribution below the upper end of an interval of 95 %.
const UPPER: f64 = 0.975;

impl Fit {
    /// Through three points or more, of which two differ in their meter; `None` otherwise. `linregress` draws the line; about the middle, and in parts of the
    /// greatest distance from it, so that nothing is lost in large figures.
    pub fn through(points: &[(f64, f64)]) -> Option<Fit> {
        let count = points.len();
        let n = count as f64;
        let middle = points.iter().map(|(x, _)| x).sum::<f64>() / n;
        let height = points.iter().map(|(_, y)| y).sum::<f64>() / n;
        let reach = points.iter().map(|(x, _)| (x - middle).abs()).fold(0.0, f64::max);
        if count < 3 || reach == 0.0 || !reach.is_finite() {
            return None;
        }
        let rows: Vec<f64> = points
            .iter()
            .flat_map(|(x, y)| [y - height, 1.0, (x - middle) / reach])
            .collect();
        let model = fit_low_level_regression_model(&rows, count, 3).ok()?;
        let (&[level, slope], &[_, u_slope]) = (model.parameters(), model.se()) else {
            return None;
        };
        let fit = Fit {
            middle,
            level: height + level,
            slope: slope / reach,
            u_slope: u_slope / reach,
            residual: model.scale().sqrt(),
            count,
            spread: points.iter().map(|(x, _)| (x - middle).powi(2)).sum(),
        };
        (fit.slope.is_finite() && fit.u_slope.is_finite()).then_some(fit)
    }

    /// Degrees of freedom: points less two.
    pub fn dof(&self) -> f64 {
        self.count as f64 - 2.0
    }

    /// The figure on the line.
    pub fn at(&self, meter: f64) -> f64 {
        self.level + self.slope * (meter - self.middle)
    }

    /// Half of the 95 % interval of the slope, by Student's t.
    pub fn half_slope(&self) -> f64 {
        quantile(UPPER, self.dof()) * self.u_slope
    }

    /// Half of the 95 % interval of the line itself at a meter reading: how far the band lies from it.
    pub fn half_at(&self, meter: f64) -> f64 {
        quantile(UPPER, self.dof()) * self.residual * self.leverage(meter).sqrt()
    }

    /// How much one point at a meter reading pulls the line: 0 to 1 for those it goes through.
    fn leverage(&self, meter: f64) -> f64 {
        1.0 / self.count as f64 + (meter - self.middle).powi(2) / self.spread
    }

    /// How improbable it is that a point of the line lies so far off by chance, if the others scatter as they do: the residual by the line through the others
    /// (externally studentized), two-sided, times the number of points (Bonferroni). Cook and Weisberg 1982, 2.2.2; reference from memory. `None` where the others
    /// are too few to scatter.
    pub fn chance(&self, (meter, figure): (f64, f64)) -> Option<f64> {
        let dof = self.dof() - 1.0;
        let free = 1.0 - self.leverage(meter);
        if dof < 1.0 || free < 1e-9 {
            return None;
        }
        let off = figure - self.at(meter);
        let others = (self.dof() * self.residual.powi(2) - off.powi(2) / free).max(0.0) / dof;
        let student = off.abs() / (others * free).sqrt();
        if student.is_nan() {
            return Some(1.0);
        }
        Some((2.0 * below(-student, dof) * self.count as f64).min(1.0))
    }
}
