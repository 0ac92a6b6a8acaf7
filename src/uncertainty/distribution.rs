//! The normal distribution and Student's, and the coverage factor.

use std::sync::OnceLock;

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// The share of the normal distribution within two standard deviations: what `k = 2` covers.
pub const COVERED: f64 = 0.954_499_736_103_641_6;

/// Degrees of freedom from which on the coverage factor is taken to be 2: at 1000 it is 2.0025.
const MANY: usize = 1000;

/// More than the noise of the few operations that degrees of freedom come out of, in parts of them.
const NOISE: f64 = 1e-12;

/// The share of the standard normal distribution (infinite `dof`) or Student's below `z`.
pub fn below(z: f64, dof: f64) -> f64 {
    if z.is_nan() {
        return f64::NAN;
    }
    if z.is_infinite() {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    if dof.is_finite()
        && let Ok(student) = StudentsT::new(0.0, 1.0, dof)
    {
        return student.cdf(z);
    }
    Normal::standard().cdf(z)
}

/// The value that a share `p` of the distribution lies below.
pub fn quantile(p: f64, dof: f64) -> f64 {
    if dof.is_finite()
        && let Ok(student) = StudentsT::new(0.0, 1.0, dof)
    {
        return student.inverse_cdf(p);
    }
    Normal::standard().inverse_cdf(p)
}

/// How many standard uncertainties cover 95.45 % (JCGM 100:2008, G.3 and table G.2): 2 where the degrees of freedom are many.
/// They are cut down to a whole number first (G.4.1, note 1), and are at least 1.
pub fn coverage_factor(dof: f64) -> f64 {
    static KNOWN: [OnceLock<f64>; MANY] = [const { OnceLock::new() }; MANY];
    if dof.is_nan() || dof >= MANY as f64 {
        return 2.0;
    }
    // What is whole but for the noise of floating point is whole: 10 degrees worked out as 9.999… are not 9.
    let whole = (dof.max(1.0) * (1.0 + NOISE)).floor();
    // At least 1 and below MANY, as seen above.
    let slot = KNOWN.get(whole as usize);
    slot.map_or(2.0, |slot| *slot.get_or_init(|| quantile(0.5 + COVERED / 2.0, whole)))
}
