//! What stands out from its like: the modified z-score, and Grubbs' test. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17 and 1.3.5.17.1.

use super::distribution::quantile;

/// Beyond this modified z-score a figure is to be looked at (Iglewicz and Hoaglin 1993; e-Handbook 1.3.5.17).
pub const FAR: f64 = 3.5;

/// What makes the median absolute deviation of a normal distribution 1 (the same source).
const NORMAL: f64 = 0.6745;

/// The middle of figures; of an even number the mean of the two in the middle. `None` of none.
pub fn median(figures: &[f64]) -> Option<f64> {
    let mut sorted = figures.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    Some(f64::midpoint(*sorted.get(half.checked_sub(1)?)?, upper))
}

/// The median, and the median absolute deviation from it. `None` of none.
pub fn about_median(figures: &[f64]) -> Option<(f64, f64)> {
    let middle = median(figures)?;
    let off: Vec<f64> = figures.iter().map(|figure| (figure - middle).abs()).collect();
    Some((middle, median(&off)?))
}

/// The modified z-score of each figure: 0.6745 (x − median) / MAD. `None` where more than half of the figures are alike, so that there is nothing to
/// measure by.
pub fn modified_z(figures: &[f64]) -> Option<Vec<f64>> {
    let (middle, deviation) = about_median(figures)?;
    let score = |figure: &f64| NORMAL * (figure - middle) / deviation;
    (deviation > 0.0).then(|| figures.iter().map(score).collect())
}

/// Grubbs' test for one outlier, to either side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grubbs {
    /// The place of the figure that lies farthest from the mean.
    pub at: usize,
    /// How far, in standard deviations.
    pub g: f64,
    /// What it must be over to be an outlier.
    pub critical: f64,
}

/// Grubbs' test at a significance, two-sided. `None` of fewer than three figures, or where all are alike.
pub fn grubbs(figures: &[f64], significance: f64) -> Option<Grubbs> {
    let n = figures.len() as f64;
    let mean = figures.iter().sum::<f64>() / n;
    let square: f64 = figures.iter().map(|figure| (figure - mean).powi(2)).sum();
    let deviation = (square / (n - 1.0)).sqrt();
    if figures.len() < 3 || deviation <= 0.0 || !deviation.is_finite() {
        return None;
    }
    let off = |at: &usize| figures.get(*at).map_or(0.0, |figure| (figure - mean).abs());
    let at = (0..figures.len()).max_by(|a, b| off(a).total_cmp(&off(b)))?;
    Some(Grubbs {
        at,
        g: off(&at) / deviation,
        critical: grubbs_critical(figures.len(), significance / 2.0),
    })
}

/// The critical value of Grubbs' test for one side at a significance; for both sides give half of it.
pub fn grubbs_critical(count: usize, significance: f64) -> f64 {
    let n = count as f64;
    let t = quantile(1.0 - significance / n, n - 2.0);
    (n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt()
}
