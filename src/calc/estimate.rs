//! From a worked sum to an estimate: by first order where the sum is straight over what its figures may be off by, else by drawing.

use rust_decimal::Decimal;

use super::formula::float;
use super::work::Worked;
use crate::quantity::{Band, Verdict, verdict};
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::sampling::{DRAWS, Drawn, draw_columns};
use crate::uncertainty::{Acceptance, Combined, Decision, Estimate, Method, Shape, Share, Source, decide};

/// How far a sum may be off from a straight line, at two standard uncertainties either way, in parts of the expanded uncertainty.
const STRAIGHT: f64 = 0.05;

/// A sum's estimate, with what was drawn where it was drawn.
#[derive(Clone, Debug)]
pub struct Known {
    /// The estimate.
    pub estimate: Estimate,
    /// What was drawn, and what first order says beside it.
    drawn: Option<(Drawn, Estimate)>,
}

impl Known {
    /// Holds it against a limit.
    ///
    /// A sum with a corner may come out better the less is known: the larger of two uncertain figures grows with their doubt. So that a wider
    /// doubt never proves more, drawn figures prove something only where first order proves it too.
    pub fn decide(&self, limit: &Band, rule: Acceptance) -> Decision {
        let mut decision = decide(&self.estimate, limit, rule);
        let Some((drawn, first)) = self.drawn.as_ref().filter(|_| self.estimate.between.is_none()) else {
            return decision;
        };
        let straight = decide(first, limit, rule);
        let end = |end: Option<Decimal>, missing: f64| end.map_or(missing, float);
        let p = drawn.share_between(end(limit.lo, f64::NEG_INFINITY), end(limit.hi, f64::INFINITY));
        decision.probability = Some(p);
        if let Acceptance::Probable(wanted) = rule {
            decision.verdict = match () {
                () if p >= wanted => Verdict::In,
                () if p <= 1.0 - wanted => Verdict::Out,
                () => Verdict::NotProven,
            };
        }
        if rule == Acceptance::Plain {
            decision.is_close |= straight.is_close;
        } else if decision.verdict != straight.verdict {
            decision.verdict = Verdict::NotProven;
        }
        decision
    }
}

/// How far the draws reach to one side; the noise of floating point is nothing.
fn side(reach: f64, whole: f64) -> f64 {
    if reach > whole * 1e-9 { reach } else { 0.0 }
}

impl Worked {
    /// What is known of the result. `None` if it grows too large.
    pub fn known(&self) -> Option<Known> {
        let first = Estimate::new(self.best, self.between, &self.budget)?;
        // A range is over all that its figures may be already.
        let is_range = self.between.is_some() && self.budget.shares.is_empty();
        if is_range
            || first.combined.u == 0.0 && !self.is_uncertain()
            || self.resolved.formula.is_linear()
            || self.is_straight()
        {
            return Some(Known {
                estimate: first,
                drawn: None,
            });
        }
        let Some(drawn) = self.drawn() else {
            return Some(Known {
                estimate: first,
                drawn: None,
            });
        };
        let (lo, hi) = drawn.interval();
        let best = float(self.best);
        let straight = first.clone();
        let estimate = Estimate {
            below: decimal(side(best - lo, hi - lo))?,
            above: decimal(side(hi - best, hi - lo))?,
            combined: Combined {
                u: drawn.standard_deviation(),
                dof: f64::INFINITY,
                bound: f64::INFINITY,
                shape: Shape::Normal,
            },
            method: Method::Drawn,
            ..first
        };
        Some(Known {
            estimate,
            drawn: Some((drawn, straight)),
        })
    }

    /// Holds the result against a limit, and gives what is known of it where that had to be worked out. Where the very worst of all figures
    /// together leaves no doubt, nothing is drawn. `None` if it grows too large.
    pub fn decide(&self, limit: &Band, rule: Acceptance) -> Option<(Decision, Option<Known>)> {
        if self.between.is_none() && !self.resolved.formula.is_linear() {
            let sure = self.worst().map(|worst| verdict(&worst, limit));
            if let Some(verdict @ (Verdict::In | Verdict::Out)) = sure {
                let decision = Decision {
                    verdict,
                    is_close: false,
                    probability: None,
                };
                return Some((decision, None));
            }
        }
        let known = self.known()?;
        Some((known.decide(limit, rule), Some(known)))
    }

    /// The result over everything its figures may be, all at once.
    fn worst(&self) -> Option<Band> {
        let widened = self.resolved.widened()?;
        Some(super::evaluate::evaluate(widened).ok()?.bare())
    }

    /// The value without uncertainty, or what is left open.
    pub fn bare(&self) -> Band {
        self.between.unwrap_or(Band::exact(self.best))
    }

    /// Whether any of its figures is uncertain.
    fn is_uncertain(&self) -> bool {
        self.resolved
            .leaves
            .iter()
            .any(|leaf| !leaf.measured.budget.shares.is_empty())
    }

    /// Each source once, with what it does to each figure: leaf and sensitivity.
    fn sources(&self) -> Vec<(Source, Vec<(usize, f64)>)> {
        let mut all: Vec<(usize, Share)> = Vec::new();
        for (leaf, figure) in self.resolved.leaves.iter().enumerate() {
            all.extend(figure.measured.budget.shares.iter().map(|share| (leaf, *share)));
        }
        all.sort_by_key(|(_, share)| share.source.origin);
        let mut list: Vec<(Source, Vec<(usize, f64)>)> = Vec::new();
        for (leaf, share) in all {
            match list.last_mut() {
                Some((source, on)) if source.origin == share.source.origin => {
                    // One error seen in different size by different figures.
                    let scale = if source.u == 0.0 {
                        0.0
                    } else {
                        share.source.u / source.u
                    };
                    on.push((leaf, share.sensitivity * scale));
                }
                _ => list.push((share.source, vec![(leaf, share.sensitivity)])),
            }
        }
        list
    }

    /// Whether the sum runs straight over two standard uncertainties of each source to either side.
    fn is_straight(&self) -> bool {
        let leaves: Vec<f64> = self.resolved.leaves.iter().map(|l| float(l.measured.best)).collect();
        let formula = &self.resolved.formula;
        let at = |moved: &[f64]| formula.float(&|leaf| moved.get(leaf).copied().unwrap_or(f64::NAN));
        let middle = at(&leaves);
        let room = STRAIGHT * 2.0 * self.budget.combined().u;
        self.sources().iter().all(|(source, on)| {
            let shifted = |by: f64| {
                let mut moved = leaves.clone();
                for (leaf, sensitivity) in on {
                    if let Some(value) = moved.get_mut(*leaf) {
                        *value += by * sensitivity * source.u;
                    }
                }
                at(&moved)
            };
            let bent = shifted(2.0) + shifted(-2.0) - 2.0 * middle;
            bent.abs() <= room
        })
    }

    fn drawn(&self) -> Option<Drawn> {
        let sources = self.sources();
        let each: Vec<Source> = sources.iter().map(|(source, _)| *source).collect();
        let best: Vec<f64> = self.resolved.leaves.iter().map(|l| float(l.measured.best)).collect();
        let mut leaves: Vec<Vec<f64>> = vec![Vec::new(); best.len()];
        draw_columns(&each, DRAWS, |columns| {
            let rows = columns.first().map_or(0, Vec::len);
            for (column, best) in leaves.iter_mut().zip(&best) {
                column.clear();
                column.resize(rows, *best);
            }
            for (errors, (_, on)) in columns.iter().zip(&sources) {
                for (leaf, sensitivity) in on {
                    if let Some(column) = leaves.get_mut(*leaf) {
                        column
                            .iter_mut()
                            .zip(errors)
                            .for_each(|(value, error)| *value += error * sensitivity);
                    }
                }
            }
            self.resolved.formula.column(&leaves, rows)
        })
    }
}

impl super::formula::Resolved {
    /// The same with every figure as wide as it may be. `None` if a figure grows too large.
    fn widened(&self) -> Option<super::formula::Resolved> {
        let leaves = self
            .leaves
            .iter()
            .map(|leaf| {
                let reach = leaf.measured.estimate()?.reach()?;
                let mut leaf = leaf.clone();
                leaf.measured.between = Some(reach);
                leaf.measured.budget.shares.clear();
                Some(leaf)
            })
            .collect::<Option<Vec<_>>>()?;
        Some(super::formula::Resolved {
            formula: self.formula.clone(),
            leaves,
        })
    }
}
