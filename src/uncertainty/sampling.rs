//! Drawing: the distribution of a result from draws of its sources (JCGM 101:2008), with a fixed seed so that it comes out the same every
//! time and on every machine.

use rand::{RngExt as _, SeedableRng as _};
use rand_distr::{Distribution as _, StandardNormal, StudentT};
use rand_pcg::Pcg64Mcg;

use super::distribution::COVERED;
use super::source::{Shape, Source};

/// How many draws are made. The ends of the interval are then good to about one part in a hundred of the uncertainty.
pub const DRAWS: usize = 20_000;

/// Any fixed number does.
const SEED: u64 = 20;

/// Draws of a result, sorted.
#[derive(Clone, Debug)]
pub struct Drawn {
    values: Vec<f64>,
}

/// Draws each source and works the result out of them. `sources` are of different origin; the model is given, for each, its error in
/// units of its own, and gives the result. `None` if the model fails at any draw.
pub fn draw(sources: &[Source], draws: usize, mut model: impl FnMut(&[f64]) -> Option<f64>) -> Option<Drawn> {
    let mut random = Pcg64Mcg::seed_from_u64(SEED);
    let mut errors = vec![0.0; sources.len()];
    let mut values = Vec::with_capacity(draws);
    for _ in 0..draws {
        for (error, source) in errors.iter_mut().zip(sources) {
            *error = source.u * standard(source, &mut random);
        }
        values.push(model(&errors).filter(|value| value.is_finite())?);
    }
    values.sort_by(f64::total_cmp);
    (!values.is_empty()).then_some(Drawn { values })
}

/// A draw of mean 0 and standard deviation 1; of Student's distribution, scale 1.
fn standard(source: &Source, random: &mut Pcg64Mcg) -> f64 {
    let mut uniform = || random.random::<f64>();
    match source.shape {
        Shape::Rectangular => (2.0 * uniform() - 1.0) * 3.0_f64.sqrt(),
        Shape::Triangular => (uniform() + uniform() - 1.0) * 6.0_f64.sqrt(),
        // JCGM 101:2008, 6.4.4: the sum of two rectangles of different width.
        Shape::Trapezoidal(top) => {
            let (wide, narrow) = ((1.0 + top) / 2.0, (1.0 - top) / 2.0);
            let sum = (2.0 * uniform() - 1.0) * wide + (2.0 * uniform() - 1.0) * narrow;
            sum * (6.0 / (1.0 + top * top)).sqrt()
        }
        Shape::Arcsine => (std::f64::consts::TAU * uniform()).sin() * 2.0_f64.sqrt(),
        Shape::Normal => match StudentT::new(source.dof) {
            Ok(student) if source.dof.is_finite() => student.sample(random),
            _ => StandardNormal.sample(random),
        },
    }
}

impl Drawn {
    /// Their mean.
    pub fn mean(&self) -> f64 {
        self.values.iter().sum::<f64>() / self.values.len() as f64
    }

    /// Their standard deviation.
    pub fn standard_deviation(&self) -> f64 {
        let mean = self.mean();
        let square: f64 = self.values.iter().map(|value| (value - mean).powi(2)).sum();
        (square / (self.values.len().max(2) - 1) as f64).sqrt()
    }

    /// The ends between which 95.45 % lie, as many outside on either side (JCGM 101:2008, 7.7).
    pub fn interval(&self) -> (f64, f64) {
        (self.quantile(0.5 - COVERED / 2.0), self.quantile(0.5 + COVERED / 2.0))
    }

    fn quantile(&self, p: f64) -> f64 {
        let at = (p * self.values.len() as f64) as usize;
        let last = self.values.len().saturating_sub(1);
        self.values.get(at.min(last)).copied().unwrap_or(f64::NAN)
    }

    /// The share of draws from `lo` to `hi`, both included.
    pub fn share_between(&self, lo: f64, hi: f64) -> f64 {
        let from = self.values.partition_point(|value| *value < lo);
        let to = self.values.partition_point(|value| *value <= hi);
        to.saturating_sub(from) as f64 / self.values.len() as f64
    }
}
