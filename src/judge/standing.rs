//! How each figure of a log stands: what was decided, with how much room, and what has overtaken it. What an editor shows beside a reading.

use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::Analysis;
use super::case::Case;
use super::next;
use super::owed::{OwedBy, owed_readings};
use super::rules::derived::worked_then;
use super::words;
use crate::calc::{Known, Worked, is_claim};
use crate::model::job::{Reading, Word};
use crate::model::limit::Limit;
use crate::model::manual::Feature;
use crate::model::names::named;
use crate::quantity::{Band, Unit, Verdict};
use crate::syntax::Span;
use crate::uncertainty::Decision;

/// What is said of one figure, read or worked out.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// What was decided; `None` where there is no limit or no figure, or a part was left for another.
    pub decision: Option<Decision>,
    /// Of what is in, how far it is from the nearer end of its limit; of what is out, how far beyond it: base units, a difference. `None` for all else.
    pub room: Option<Decimal>,
    /// The event of the step that has overtaken it, so that it proves nothing any more.
    pub stale_by: Option<usize>,
    /// The limit with its source, in words.
    pub limit: Option<String>,
}

/// A reading of a log.
#[derive(Clone, Debug, Default)]
pub struct ReadingStanding {
    /// What is said of it.
    pub standing: Standing,
    /// Its figure as it was read, with its unit; as mended where it was mended.
    pub figure: String,
    /// Whether the sum of the feature was worked again beside it: its own figure is then only a claim, and that of the sum is judged.
    pub is_reckoned: bool,
}

/// A derived feature whose sum was worked.
#[derive(Clone, Debug)]
pub struct WorkedStanding {
    /// The reading that it stands beside: the claim, else the latest reading that it rests on. Index into `Job::readings`.
    pub reading: usize,
    /// Whether that reading is a claim of the same feature.
    pub is_claim: bool,
    /// What it is called, with its part and place.
    pub name: String,
    /// What is said of it.
    pub standing: Standing,
    /// The unit it is shown in.
    pub unit: Option<&'static Unit>,
    worked: Worked,
    known: OnceLock<Option<Known>>,
}

impl WorkedStanding {
    /// What is known of it: `0.053 ± 0.004 mm`. May have to be drawn (once), which takes some milliseconds.
    pub fn known(&self) -> String {
        let known = self.known.get_or_init(|| self.worked.known());
        match known {
            Some(known) => words::known(&known.estimate, self.unit),
            None => words::band(&self.worked.bare(), self.unit),
        }
    }
}

/// A reading that is owed, or several of one feature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwedStanding {
    /// What was not read, with its part and place.
    pub names: Vec<String>,
    /// The last line of the step that asks for it, where a step does and was done.
    pub asked_at: Option<Span>,
}

/// How everything in a log stands.
#[derive(Clone, Debug, Default)]
pub struct Standings {
    /// Each reading, in the order of `Job::readings`.
    pub readings: Vec<ReadingStanding>,
    /// Each derived feature that was worked, by the reading it stands beside; what is only told ahead is left out.
    pub worked: Vec<WorkedStanding>,
    /// What the manual asks for and was not read.
    pub owed: Vec<OwedStanding>,
    /// The first step that may be done now, as [`next::next`] has it; `None` if the job is closed, no step is to be done, or all wait for something.
    pub next_step: Option<String>,
}

impl Standings {
    /// The derived features that stand beside a reading.
    pub fn worked_beside(&self, reading: usize) -> &[WorkedStanding] {
        let from = self.worked.partition_point(|worked| worked.reading < reading);
        let to = self.worked.partition_point(|worked| worked.reading <= reading);
        self.worked.get(from..to).unwrap_or_default()
    }
}

impl Analysis {
    /// How each figure stands. Worked out once.
    pub fn standings(&self) -> &Standings {
        self.standings.get_or_init(|| {
            let case = self.case();
            let mut worked = claims(&case);
            unwritten(&case, &mut worked);
            worked.sort_by_key(|worked| worked.reading);
            let mut readings: Vec<ReadingStanding> = (0..case.job.readings.len())
                .map(|index| of_reading(&case, index).unwrap_or_default())
                .collect();
            for claim in worked.iter().filter(|worked| worked.is_claim) {
                if let Some(own) = readings.get_mut(claim.reading) {
                    own.standing = claim.standing.clone();
                    own.is_reckoned = true;
                }
            }
            Standings {
                readings,
                worked,
                owed: owed(&case),
                next_step: next::first_step(&case, &self.findings),
            }
        })
    }
}

/// How far a figure is from the nearer end of its limit: within it if it is in, beyond it if it is out.
fn room(figure: &Band, allowed: &Band, verdict: Verdict) -> Option<Decimal> {
    let less = |a: Option<Decimal>, b: Option<Decimal>| a.zip(b).and_then(|(a, b)| a.checked_sub(b));
    match verdict {
        Verdict::In => {
            let ends = [less(figure.lo, allowed.lo), less(allowed.hi, figure.hi)];
            ends.into_iter().flatten().min()
        }
        Verdict::Out => {
            let ends = [less(allowed.lo, figure.hi), less(figure.lo, allowed.hi)];
            ends.into_iter().flatten().max()
        }
        Verdict::NotProven => None,
    }
    // A guarded rule may call out what lies within the limit.
    .filter(|room| !room.is_sign_negative() || room.is_zero())
}

/// The limit with its source: `0.35 to 0.55 mm (build limit; source: workshop manual, page 41)`.
fn in_words(case: &Case<'_>, limit: &Limit) -> String {
    format!("{} ({})", limit.words(), case.limit_note(limit))
}

/// Whether a figure without a unit was taken in the log's own unit though the sum of the feature comes to something else: a ratio is no length.
fn is_other_kind(case: &Case<'_>, reading: &Reading) -> bool {
    let sum = case
        .instance(reading)
        .and_then(|instance| case.rules.sums.get(instance.feature?)?.as_ref());
    let wanted = sum.and_then(|sum| sum.dimension);
    let own = reading.unit.map(|unit| unit.dimension);
    wanted
        .zip(own)
        .is_some_and(|(wanted, own)| wanted.difference() != own.difference())
}

fn of_reading(case: &Case<'_>, index: usize) -> Option<ReadingStanding> {
    let reading = case.job.readings.get(index)?;
    let instance = case.instance(reading)?;
    let figure = if is_other_kind(case, reading) {
        words::fold(reading.figure_span.text(case.text()))
    } else {
        words::reading(case, reading)
    };
    if reading.points.is_empty() || case.is_left(instance) {
        return Some(ReadingStanding {
            figure,
            ..ReadingStanding::default()
        });
    }
    let limit = case.limit_of(reading);
    let decided = case.decisions.get(index).copied().flatten();
    let room = decided.zip(limit).and_then(|((which, decision), limit)| {
        let bare = case.estimate(index, which)?.bare();
        room(&bare, &case.allowed(reading, limit), decision.verdict)
    });
    let is_latest = case.latest(instance).is_some_and(|(latest, _)| latest == index);
    let is_evidence = !(is_claim(reading) && instance.feature.is_some_and(|feature| case.is_derived(feature)));
    let overtaker = case.overtaken.get(reading.instance).copied().flatten();
    Some(ReadingStanding {
        standing: Standing {
            decision: decided.map(|(_, decision)| decision),
            room,
            stale_by: overtaker.filter(|_| is_latest && is_evidence),
            limit: limit.map(|limit| in_words(case, limit)),
        },
        figure,
        is_reckoned: false,
    })
}

/// The event that has overtaken what a sum rests on; `None` also where that was read again since.
fn overtaken(case: &Case<'_>, worked: &Worked) -> Option<usize> {
    let latest = |index: &usize| {
        let reading = case.job.readings.get(*index)?;
        let (latest, _) = case.latest(case.instance(reading)?)?;
        (latest == *index).then(|| case.overtaken.get(reading.instance).copied().flatten())?
    };
    worked.inputs.iter().filter_map(latest).max()
}

/// Every claim whose sum can be worked, from what was read when it was written.
fn claims(case: &Case<'_>) -> Vec<WorkedStanding> {
    let all = 0..case.job.readings.len();
    all.filter_map(|index| claim(case, index)).collect()
}

fn claim(case: &Case<'_>, index: usize) -> Option<WorkedStanding> {
    let reading = case.job.readings.get(index)?;
    let instance = case.instance(reading)?;
    let id = instance.feature.filter(|feature| case.is_derived(*feature))?;
    if !is_claim(reading) || reading.points.is_empty() || case.is_left(instance) {
        return None;
    }
    let worked = worked_then(case, reading, instance, id)?.ok()?;
    let limit = case.limit_of(reading);
    let key = |word: &Option<Word>| word.as_ref().map(|word| word.key.clone());
    let (part, place) = (key(&instance.part), key(&instance.place));
    // Where it rests on the same readings as at the end, it was decided already.
    let same = case.finals.iter().find(|figure| {
        let is_it = figure.id == id && figure.part == part.as_deref() && figure.place == place.as_deref();
        let is_as_then = || figure.result.as_ref().is_ok_and(|end| end.inputs == worked.inputs);
        let has_limit = || figure.limit.map(std::ptr::from_ref) == limit.map(std::ptr::from_ref);
        is_it && is_as_then() && has_limit()
    });
    let (decision, known) = match (same, limit) {
        (Some(figure), _) => (figure.decision, figure.known_already().cloned()),
        (None, Some(limit)) => {
            let (decision, known) = worked.decide(&limit.band, case.acceptance(instance))?;
            (Some(decision), known)
        }
        (None, None) => (None, None),
    };
    Some(WorkedStanding {
        reading: index,
        is_claim: true,
        name: words::subject(case, instance),
        standing: of_worked(case, &worked, decision, limit),
        unit: if is_other_kind(case, reading) {
            case.feature(instance).and_then(Feature::shown_in)
        } else {
            reading.unit
        },
        worked,
        known: cell(known),
    })
}

fn of_worked(case: &Case<'_>, worked: &Worked, decision: Option<Decision>, limit: Option<&Limit>) -> Standing {
    Standing {
        decision,
        room: decision
            .zip(limit)
            .and_then(|(decision, limit)| room(&worked.bare(), &limit.band, decision.verdict)),
        stale_by: overtaken(case, worked),
        limit: limit.map(|limit| in_words(case, limit)),
    }
}

/// What is known already, or is to be worked out when it is asked for.
fn cell(known: Option<Known>) -> OnceLock<Option<Known>> {
    known.map_or_else(OnceLock::new, |known| OnceLock::from(Some(known)))
}

/// What was worked out though nobody wrote it, where there is a limit for it: beside the latest reading it rests on.
fn unwritten(case: &Case<'_>, list: &mut Vec<WorkedStanding>) {
    for figure in case.finals.iter().filter(|figure| !figure.is_forecast()) {
        let (Ok(worked), Some(decision)) = (&figure.result, figure.decision) else {
            continue;
        };
        let is_written = case
            .instances_at(figure.id, figure.part, figure.place)
            .any(|instance| case.latest(instance).is_some());
        let beside = worked.inputs.iter().copied().max_by_key(|index| {
            let event = case.job.readings.get(*index).map(|reading| reading.event);
            (event, *index)
        });
        let Some(reading) = beside.filter(|_| !is_written) else {
            continue;
        };
        list.push(WorkedStanding {
            reading,
            is_claim: false,
            name: named(&figure.feature.name.name, figure.part, figure.place),
            standing: of_worked(case, worked, Some(decision), figure.limit),
            unit: figure.feature.shown_in(),
            worked: worked.clone(),
            known: cell(figure.known_already().cloned()),
        });
    }
}

fn owed(case: &Case<'_>) -> Vec<OwedStanding> {
    let all = owed_readings(case).into_iter().map(|owed| {
        let asked_at = match owed.by {
            OwedBy::Required(_) => None,
            OwedBy::Step(step) => {
                let mut done = case.done.iter().rev();
                let last = done.find(|(_, done)| case.step(done).is_some_and(|own| std::ptr::eq(own, step)));
                last.map(|(event, _)| case.event_span(*event))
            }
        };
        OwedStanding {
            names: owed.absent,
            asked_at,
        }
    });
    all.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(lo: i64, hi: i64) -> Band {
        Band::between(Decimal::new(lo, 2), Decimal::new(hi, 2))
    }

    #[test]
    fn room_is_what_is_left_to_the_nearer_end_and_what_is_beyond_it() {
        let limit = band(35, 50);
        assert_eq!(room(&band(40, 45), &limit, Verdict::In), Some(Decimal::new(5, 2)));
        assert_eq!(room(&band(50, 50), &limit, Verdict::In), Some(Decimal::ZERO));
        assert_eq!(room(&band(55, 60), &limit, Verdict::Out), Some(Decimal::new(5, 2)));
        assert_eq!(room(&band(10, 20), &limit, Verdict::Out), Some(Decimal::new(15, 2)));
        assert_eq!(room(&band(45, 55), &limit, Verdict::NotProven), None);
    }

    #[test]
    fn an_open_limit_has_one_end() {
        let limit = Band::at_most(Decimal::new(3, 2));
        assert_eq!(room(&band(2, 2), &limit, Verdict::In), Some(Decimal::new(1, 2)));
    }

    #[test]
    fn what_a_guarded_rule_calls_out_within_the_limit_has_no_room() {
        assert_eq!(room(&band(49, 49), &band(35, 50), Verdict::Out), None);
    }
}
