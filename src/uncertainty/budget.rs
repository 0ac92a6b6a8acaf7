//! Budgets: sources with their sensitivities, combined by the law of propagation (JCGM 100:2008, 5.1.2 and 5.2.2).

use super::distribution::coverage_factor;
use super::source::{Shape, Source};

/// A source and how strongly the result follows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The source.
    pub source: Source,
    /// What the result changes by, for a change of one in what the source is an error of.
    pub sensitivity: f64,
}

impl Share {
    /// What it adds to the result: sensitivity times standard uncertainty, with its sign.
    pub fn effect(&self) -> f64 {
        self.sensitivity * self.source.u
    }
}

/// All that a result may be off by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Budget {
    /// The shares; several of one origin are one error.
    pub shares: Vec<Share>,
}

/// What a budget comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combined {
    /// The combined standard uncertainty.
    pub u: f64,
    /// The effective degrees of freedom (Welch and Satterthwaite; JCGM 100:2008, G.4.1); infinite where all sources are known.
    pub dof: f64,
    /// The most it can be off: the sum of the half-widths; infinite if a source has no ends.
    pub bound: f64,
    /// How it is spread, where one source alone makes it uncertain; else it is taken as normal.
    pub shape: Shape,
}

impl Combined {
    /// Nothing is uncertain.
    pub const EXACT: Combined = Combined {
        u: 0.0,
        dof: f64::INFINITY,
        bound: 0.0,
        shape: Shape::Normal,
    };

    /// The coverage factor for 95.45 %, by the degrees of freedom.
    pub fn k(&self) -> f64 {
        coverage_factor(self.dof)
    }

    /// The expanded uncertainty: `k·u`, but never more than the result can be off at all.
    pub fn expanded(&self) -> f64 {
        (self.k() * self.u).min(self.bound)
    }
}

impl Budget {
    /// A budget of one reading's own sources.
    pub fn of(sources: impl IntoIterator<Item = Source>) -> Budget {
        let shares = sources.into_iter().map(|source| Share {
            source,
            sensitivity: 1.0,
        });
        Budget {
            shares: shares.collect(),
        }
    }

    /// The budget of the result times a factor.
    pub fn scale(mut self, by: f64) -> Budget {
        for share in &mut self.shares {
            share.sensitivity *= by;
        }
        self
    }

    /// The budget of a sum of two results.
    #[expect(
        clippy::should_implement_trait,
        reason = "it is a result that is added, not a budget"
    )]
    pub fn add(mut self, other: Budget) -> Budget {
        self.shares.extend(other.shares);
        self
    }

    /// The budget of one result less another.
    pub fn less(self, other: Budget) -> Budget {
        self.add(other.scale(-1.0))
    }

    /// One share for each origin, the greatest effect first. Shares of one origin are added with their signs; where one error is seen in
    /// different size, its shape and degrees of freedom are those of the largest.
    pub fn merged(&self) -> Vec<Share> {
        let mut list = self.shares.clone();
        // Down to the last figure, so that the order in which they were gathered changes nothing.
        list.sort_by(|a, b| {
            (a.source.origin.cmp(&b.source.origin))
                .then(b.source.u.total_cmp(&a.source.u))
                .then(a.source.dof.total_cmp(&b.source.dof))
                .then(b.source.half_width().total_cmp(&a.source.half_width()))
                .then(a.sensitivity.total_cmp(&b.sensitivity))
        });
        let mut merged: Vec<Share> = Vec::with_capacity(list.len());
        for share in list {
            match merged.last_mut() {
                Some(last) if last.source.origin == share.source.origin => {
                    // Two readings may see one error in different size: the effects add, in terms of the first, which is the largest.
                    let effect = last.effect() + share.effect();
                    last.sensitivity = if last.source.u == 0.0 {
                        0.0
                    } else {
                        effect / last.source.u
                    };
                }
                _ => merged.push(share),
            }
        }
        merged.sort_by(|a, b| {
            b.effect()
                .abs()
                .total_cmp(&a.effect().abs())
                .then(a.source.origin.cmp(&b.source.origin))
        });
        merged
    }

    /// Combined standard uncertainty, effective degrees of freedom, and the most it can be off.
    pub fn combined(&self) -> Combined {
        match self.shares.as_slice() {
            [] => Combined::EXACT,
            [one] => combine(std::slice::from_ref(one)),
            _ => combine(&self.merged()),
        }
    }
}

fn combine(shares: &[Share]) -> Combined {
    let u = shares.iter().map(|share| share.effect().powi(2)).sum::<f64>().sqrt();
    // In parts of the whole, so that the fourth power of something small does not vanish.
    let fourth: f64 = shares
        .iter()
        .filter(|share| share.source.dof.is_finite() && share.effect() != 0.0)
        .map(|share| (share.effect() / u).powi(4) / share.source.dof)
        .sum();
    Combined {
        u,
        dof: if fourth > 0.0 { fourth.recip() } else { f64::INFINITY },
        shape: sole(shares).map_or(Shape::Normal, |share| share.source.shape),
        bound: shares
            .iter()
            .filter(|share| share.effect() != 0.0)
            .map(|share| share.sensitivity.abs() * share.source.half_width())
            .sum(),
    }
}

/// The one share that has any effect.
fn sole(shares: &[Share]) -> Option<&Share> {
    let mut felt = shares.iter().filter(|share| share.effect() != 0.0);
    felt.next().filter(|_| felt.next().is_none())
}
