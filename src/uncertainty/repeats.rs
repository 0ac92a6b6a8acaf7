//! The same thing read several times (type A, JCGM 100:2008, 4.2).

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

/// Mean and scatter of figures read one after the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeats {
    /// How many.
    pub count: usize,
    /// Their mean, exact but for the last digit of a decimal.
    pub mean: Decimal,
    /// The standard deviation of one figure, with `count - 1` below the line; 0 for one figure alone.
    pub deviation: f64,
}

impl Repeats {
    /// Of figures in base units; `None` if there is none, or they grow too large.
    pub fn of(figures: impl Iterator<Item = Decimal> + Clone) -> Option<Repeats> {
        let (mut count, mut total) = (0_usize, Decimal::ZERO);
        for figure in figures.clone() {
            count += 1;
            total = total.checked_add(figure)?;
        }
        let mean = total.checked_div(Decimal::from(count))?;
        let square: f64 = figures
            .map(|figure| figure.checked_sub(mean).and_then(|d| d.to_f64()).map(|d| d * d))
            .sum::<Option<f64>>()?;
        let deviation = if count > 1 {
            (square / (count - 1) as f64).sqrt()
        } else {
            0.0
        };
        Some(Repeats { count, mean, deviation })
    }

    /// The standard uncertainty of the mean.
    pub fn of_mean(&self) -> f64 {
        self.deviation / (self.count.max(1) as f64).sqrt()
    }

    /// Its degrees of freedom.
    pub fn dof(&self) -> f64 {
        (self.count.max(2) - 1) as f64
    }
}
