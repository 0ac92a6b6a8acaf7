//! Readings as measurements, held against their limits by the rule that is in force.

use super::case::Case;
use crate::metrology::{Measured, Which, measure};
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::model::limit::Limit;
use crate::quantity::{Band, Verdict};
use crate::uncertainty::{Acceptance, Decision, Estimate, decide};

impl<'a> Case<'a> {
    /// The rule by which a feature is accepted: its own, its manual's, the repository's.
    pub fn acceptance(&self, instance: &Instance) -> Acceptance {
        self.feature(instance)
            .and_then(|feature| self.rules.book.acceptance(feature))
            .unwrap_or(self.settings.decide)
    }

    /// The figures of a reading that are judged by themselves: each of a ring (of a run-out its swing), else the reading as a whole.
    pub fn judged(&self, reading: &Reading) -> Vec<Which> {
        if reading.kind == ReadingKind::Ring && self.is_run_out(reading) {
            vec![Which::Swing]
        } else if reading.kind == ReadingKind::Ring {
            (0..reading.points.len()).map(Which::Point).collect()
        } else {
            vec![Which::Whole]
        }
    }

    /// Whether it is a run-out: what a needle swings over one turn.
    pub fn is_run_out(&self, reading: &Reading) -> bool {
        let name = self.instance(reading).map_or("", |instance| self.key_of(instance));
        name.split(' ')
            .any(|word| matches!(word, "run-out" | "runout" | "r/o" | "eccentricity" | "swash"))
    }

    /// A reading, or one figure of it, as a measurement.
    pub fn measured(&self, index: usize, which: Which) -> Option<Measured> {
        measure(self.job, &self.rules.book, index, which)
    }

    /// Whether the figure of a reading was corrected for the tool's zero or for a temperature.
    pub fn is_corrected(&self, index: usize) -> bool {
        let Some(reading) = self.job.readings.get(index) else {
            return false;
        };
        let has_zero = || {
            let tool = reading.tool_index.and_then(|tool| self.job.tools.get(tool));
            tool.is_some_and(|tool| tool.zero.is_some())
        };
        // Most have neither, and are not asked further.
        (reading.temperature.is_some() || has_zero())
            && self
                .judged(reading)
                .first()
                .and_then(|which| self.measured(index, *which))
                .is_some_and(|measured| !measured.corrections.is_empty())
    }

    /// What is known of a reading, or of one figure of it.
    pub fn estimate(&self, index: usize, which: Which) -> Option<Estimate> {
        self.measured(index, which)?.estimate()
    }

    /// The decision on a reading by its limit: of a ring, that on its worst figure, with which it is. `None` where there is no limit or no figure.
    pub fn decide(&self, index: usize) -> Option<(Which, Decision)> {
        let reading = self.job.readings.get(index)?;
        let limit = self.limit_of(reading)?;
        let mut worst: Option<(Which, Decision)> = None;
        for which in self.judged(reading) {
            let decision = self.decide_figure(reading, &self.estimate(index, which)?, limit);
            if worst.is_none_or(|(_, known)| weight(&decision) > weight(&known)) {
                worst = Some((which, decision));
            }
        }
        worst
    }

    /// The decision on one figure of a reading, by the rule that is in force for it.
    pub fn decide_figure(&self, reading: &Reading, estimate: &Estimate, limit: &Limit) -> Decision {
        let rule = self.instance(reading).map_or(Acceptance::Plain, |i| self.acceptance(i));
        decide(estimate, &self.allowed(reading, limit), rule)
    }

    /// What a limit allows: to one side or the other, run-out is as bad.
    pub fn allowed(&self, reading: &Reading, limit: &Limit) -> Band {
        match (limit.band.lo, limit.band.hi) {
            (None, Some(hi)) if self.is_run_out(reading) => Band::between(-hi, hi),
            _ => limit.band,
        }
    }

    /// The number of a reading of this job.
    pub fn index_of(&self, reading: &Reading) -> Option<usize> {
        let own = |index: &&usize| self.job.readings.get(**index).is_some_and(|r| std::ptr::eq(r, reading));
        self.instance(reading)?.readings.iter().rfind(own).copied()
    }

    /// The verdict on a reading of this job; as [`Case::verdict`].
    pub fn verdict_of(&self, reading: &Reading) -> Option<Verdict> {
        self.verdict(self.index_of(reading)?)
    }

    /// What was decided of a reading; `None` where there is no limit or no figure.
    pub fn decision(&self, index: usize) -> Option<Decision> {
        self.decisions
            .get(index)
            .copied()
            .flatten()
            .map(|(_, decision)| decision)
    }

    /// The verdict on a reading; `None` where there is no limit or no figure.
    pub fn verdict(&self, index: usize) -> Option<Verdict> {
        self.decision(index).map(|decision| decision.verdict)
    }
}

/// How grave a decision is, to pick the worst.
fn weight(decision: &Decision) -> (u8, bool) {
    let grave = match decision.verdict {
        Verdict::In => 0,
        Verdict::NotProven => 1,
        Verdict::Out => 2,
    };
    // Of two that are out, the one that is surely out.
    let close = if decision.verdict == Verdict::Out {
        !decision.is_close
    } else {
        decision.is_close
    };
    (grave, close)
}
