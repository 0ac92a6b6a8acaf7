//! Drawing: the distribution of a result from draws of its sources (JCGM 101:2008), with a fixed seed so that it comes out the same every
//! time and on every machine.

use std::cell::RefCell;
use std::rc::Rc;

use rand::{RngExt as _, SeedableRng as _};
use rand_distr::{Distribution as _, StandardNormal, StudentT};
use rand_pcg::Pcg64Mcg;

use super::distribution::COVERED;
use super::source::{Shape, Source};

/// How many draws are made. The ends of the interval are then good to about one and a half parts in a hundred of the uncertainty.
pub const DRAWS: usize = 10_000;

/// Any fixed number does.
const SEED: u64 = 20;

/// Draws of a result.
#[derive(Clone, Debug)]
pub struct Drawn {
    values: Vec<f64>,
    interval: (f64, f64),
}

/// Draws worked out at a time: few enough that a column stays near the processor.
const BLOCK: usize = 500;

/// Sources whose draws are kept for the next sums, at most: 80 kB each.
const MOST_KEPT: usize = 32;

/// What each source may be off by in units of its own, for every draw.
type Standard = Rc<Vec<Vec<f64>>>;

/// Draws, with the shapes and degrees of freedom they were made for.
type Kept = (Vec<(Shape, f64)>, Standard);

thread_local! {
    /// The draws last made, oldest first. The seed is fixed, so the same shapes always give the same draws, and most
    /// sums of a repository are over the same kinds of sources.
    static KEPT: RefCell<Vec<Kept>> = const { RefCell::new(Vec::new()) };
}

/// Draws each source and works the result out of them, many draws at a time. `sources` are of different origin; the model is given, for
/// each, a column of its errors in units of its own, and gives a column of results. `None` if any result is no number.
pub fn draw_columns(sources: &[Source], draws: usize, mut model: impl FnMut(&[Vec<f64>]) -> Vec<f64>) -> Option<Drawn> {
    let kept = (draws == DRAWS && sources.len() <= MOST_KEPT).then(|| kept(sources));
    let mut random = Pcg64Mcg::seed_from_u64(SEED);
    let mut columns: Vec<Vec<f64>> = sources.iter().map(|_| Vec::with_capacity(BLOCK)).collect();
    let mut values = Vec::with_capacity(draws);
    while values.len() < draws {
        let done = values.len();
        let rows = BLOCK.min(draws - done);
        match &kept {
            Some(kept) => {
                for ((column, source), standard) in columns.iter_mut().zip(sources).zip(kept.iter()) {
                    column.clear();
                    let block = standard.get(done..done + rows).unwrap_or_default();
                    column.extend(block.iter().map(|draw| source.u * draw));
                }
            }
            None => block(sources, rows, &mut random, &mut columns, |source, draw| source.u * draw),
        }
        let results = model(&columns);
        // A model that gives another number of results would never end this.
        if results.len() != rows {
            return None;
        }
        values.extend(results);
    }
    Drawn::of(values)
}

/// Fills a block of each source's column, in the order in which all draws are made.
fn block(
    sources: &[Source],
    rows: usize,
    random: &mut Pcg64Mcg,
    columns: &mut [Vec<f64>],
    scaled: impl Fn(&Source, f64) -> f64,
) {
    for (column, source) in columns.iter_mut().zip(sources) {
        column.clear();
        column.extend((0..rows).map(|_| scaled(source, standard(source, random))));
    }
}

/// The draws for such sources, made now or kept from an earlier sum.
fn kept(sources: &[Source]) -> Standard {
    let shapes = || sources.iter().map(|source| (source.shape, source.dof));
    KEPT.with_borrow_mut(|kept| {
        if let Some((_, draws)) = kept.iter().find(|(of, _)| of.iter().copied().eq(shapes())) {
            return Rc::clone(draws);
        }
        let draws = Rc::new(all(sources));
        kept.push((shapes().collect(), Rc::clone(&draws)));
        let held = |kept: &[Kept]| kept.iter().map(|(of, _)| of.len()).sum::<usize>();
        while held(kept) > MOST_KEPT {
            kept.remove(0);
        }
        draws
    })
}

/// Every draw of each source, in units of its own.
fn all(sources: &[Source]) -> Vec<Vec<f64>> {
    let mut random = Pcg64Mcg::seed_from_u64(SEED);
    let mut all: Vec<Vec<f64>> = sources.iter().map(|_| Vec::with_capacity(DRAWS)).collect();
    let mut columns = vec![Vec::new(); sources.len()];
    for _ in 0..DRAWS / BLOCK {
        block(sources, BLOCK, &mut random, &mut columns, |_, draw| draw);
        for (all, column) in all.iter_mut().zip(&columns) {
            all.extend_from_slice(column);
        }
    }
    all
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
    /// Of values already worked out; `None` if there is none, or one is no number.
    pub fn of(mut values: Vec<f64>) -> Option<Drawn> {
        if values.is_empty() || !values.iter().all(|value| value.is_finite()) {
            return None;
        }
        let last = values.len() - 1;
        let place = |p: f64| ((p * values.len() as f64) as usize).min(last);
        let (low, high) = (place(0.5 - COVERED / 2.0), place(0.5 + COVERED / 2.0));
        // Two places are wanted, not the whole order.
        let (_, lo, rest) = values.select_nth_unstable_by(low, f64::total_cmp);
        let lo = *lo;
        let hi = match high.checked_sub(low + 1) {
            Some(further) if further < rest.len() => *rest.select_nth_unstable_by(further, f64::total_cmp).1,
            _ => lo,
        };
        Some(Drawn {
            values,
            interval: (lo, hi),
        })
    }

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
        self.interval
    }

    /// The share of draws from `lo` to `hi`, both included.
    pub fn share_between(&self, lo: f64, hi: f64) -> f64 {
        let inside = self
            .values
            .iter()
            .filter(|value| lo <= **value && **value <= hi)
            .count();
        inside as f64 / self.values.len() as f64
    }
}
