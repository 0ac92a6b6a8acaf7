//! Decisions: an estimate held against a limit (JCGM 106:2012; ISO 14253-1).

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::distribution::below;
use super::estimate::{Estimate, Method};
use super::source::Shape;
use crate::quantity::{Band, Verdict, verdict};

/// By which rule a figure is accepted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Acceptance {
    /// Simple acceptance (JCGM 106:2012, 8.2): the best value decides. Whether the limit lies inside the uncertainty is said as well.
    #[default]
    Plain,
    /// The whole of the expanded uncertainty, `k = 2`, must lie in the limit, or outside it to be rejected: a guard band of `U`
    /// (JCGM 106:2012, 8.3.2; ISO 14253-1:2013).
    Guarded,
    /// Accepted from this probability of conformity on, rejected from this probability of the contrary on; above 0.5
    /// (ISO 14253-1:2017 takes 0.95).
    Probable(f64),
}

/// What was decided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decision {
    /// In, out, or not proven.
    pub verdict: Verdict,
    /// Whether a limit lies inside the uncertainty although the plain rule has decided.
    pub is_close: bool,
    /// How probable it is that the true value conforms; `None` where blades or a range leave every value alike, or nothing is uncertain.
    pub probability: Option<f64>,
}

/// Holds an estimate against a limit by a rule. Where there is no distribution (blades, a range), only what lies wholly in the limit is
/// in, whatever the rule.
pub fn decide(estimate: &Estimate, limit: &Band, rule: Acceptance) -> Decision {
    let simple = verdict(&estimate.bare(), limit);
    // What grows too large to reckon with proves nothing.
    let whole = estimate
        .reach()
        .map_or(Verdict::NotProven, |reach| verdict(&reach, limit));
    let probability = conformity(estimate, limit);
    let verdict = match (rule, probability) {
        (Acceptance::Plain, _) => simple,
        (Acceptance::Probable(wanted), Some(p)) => match () {
            () if p >= wanted => Verdict::In,
            () if p <= 1.0 - wanted => Verdict::Out,
            () => Verdict::NotProven,
        },
        _ => whole,
    };
    Decision {
        verdict,
        // Whoever asks for a probability has said what is close enough.
        is_close: rule == Acceptance::Plain && verdict != Verdict::NotProven && whole != verdict,
        probability,
    }
}

/// The probability that the true value lies in the limit (JCGM 106:2012, 7.2 to 7.4), by the normal distribution, or Student's where the
/// degrees of freedom are few. `None` without a distribution, or where it was drawn: the drawer counts it.
pub fn conformity(estimate: &Estimate, limit: &Band) -> Option<f64> {
    if !estimate.has_distribution() || estimate.method != Method::FirstOrder {
        return None;
    }
    let combined = &estimate.combined;
    // A distance is worked out exactly before it becomes a float.
    let distance = |end: Option<Decimal>, missing: f64| match end {
        Some(end) => end.checked_sub(estimate.best)?.to_f64(),
        None => Some(missing),
    };
    let lower = distance(limit.lo, f64::NEG_INFINITY)?;
    let upper = distance(limit.hi, f64::INFINITY)?;
    let share = |distance: f64| match () {
        // Beyond what it can be off at all there is nothing.
        () if distance >= combined.bound => 1.0,
        () if distance <= -combined.bound => 0.0,
        // One rectangle alone is no bell.
        () if combined.shape == Shape::Rectangular => (distance / combined.bound + 1.0) / 2.0,
        () => below(distance / combined.u, combined.dof),
    };
    Some((share(upper) - share(lower)).clamp(0.0, 1.0))
}
