//! The straight line through points, by least squares.

/// A straight line `y = level + slope·x` with the standard uncertainties of both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// How much `y` grows by for one of `x`.
    pub slope: f64,
    /// `y` at `x = 0`.
    pub level: f64,
    /// Standard uncertainty of the slope.
    pub u_slope: f64,
    /// Standard uncertainty of the level.
    pub u_level: f64,
    /// The standard deviation of what is left over.
    pub residual: f64,
    /// Degrees of freedom: points less two.
    pub dof: f64,
}

impl Line {
    /// Through at least three points of which two differ in `x`; `None` otherwise.
    pub fn through(points: &[(f64, f64)]) -> Option<Line> {
        let count = points.len();
        if count < 3 {
            return None;
        }
        let n = count as f64;
        // About their middle, so that nothing is lost in large figures.
        let x0 = points.iter().map(|(x, _)| x).sum::<f64>() / n;
        let y0 = points.iter().map(|(_, y)| y).sum::<f64>() / n;
        let xx: f64 = points.iter().map(|(x, _)| (x - x0).powi(2)).sum();
        let xy: f64 = points.iter().map(|(x, y)| (x - x0) * (y - y0)).sum();
        let slope = xy / xx;
        if !slope.is_finite() {
            return None;
        }
        let left: f64 = points.iter().map(|(x, y)| (y - y0 - slope * (x - x0)).powi(2)).sum();
        let dof = n - 2.0;
        let residual = (left / dof).sqrt();
        let u_slope = residual / xx.sqrt();
        Some(Line {
            slope,
            level: y0 - slope * x0,
            u_slope,
            u_level: residual * (1.0 / n + x0 * x0 / xx).sqrt(),
            residual,
            dof,
        })
    }
}
