//! What may have moved a thing, or put another in its place, without a manual saying so: counted up to each event, so that any stretch of a log
//! is asked at once.

use crate::model::Job;
use crate::model::job::{EventKind, Said, SaidKind};
use crate::model::names::says;

/// Counts before each event, and one more for the end.
#[derive(Debug, Default)]
pub struct Moves {
    /// Steps that no manual knows, steps that fitted a part, parts that came or were chosen.
    unknown: Vec<u32>,
    /// All steps.
    steps: Vec<u32>,
}

impl Moves {
    /// Counts the events of a job.
    pub fn new(job: &Job) -> Moves {
        let mut moves = Moves::default();
        let (mut unknown, mut steps) = (0, 0);
        for event in &job.events {
            moves.unknown.push(unknown);
            moves.steps.push(steps);
            match &event.kind {
                EventKind::Did(done) | EventKind::Undid(done) => {
                    let fitted = done.said.iter().any(|said| matches!(said.kind, SaidKind::From(_)));
                    unknown += u32::from(done.step.is_none() || fitted);
                    steps += 1;
                }
                EventKind::Got(_) | EventKind::Chose(..) => unknown += 1,
                // What is found to be replaced or repaired will be, whether or not that is written.
                EventKind::Found(_, said) => {
                    let decided = |said: &Said| {
                        ["replace", "repair", "machine"]
                            .iter()
                            .any(|word| says(&said.key, word))
                    };
                    unknown += u32::from(said.iter().any(decided));
                }
                _ => {}
            }
        }
        moves.unknown.push(unknown);
        moves.steps.push(steps);
        moves
    }

    /// Whether something happened between two events that may have moved a thing without a manual saying so. Of a feature that no manual knows, any step
    /// may have.
    pub fn foreign(&self, is_known: bool, from: usize, to: usize) -> bool {
        let counts = if is_known { &self.unknown } else { &self.steps };
        let before = |event: usize| counts.get(event).copied().unwrap_or(0);
        before(to) > before(from.saturating_add(1)) || (!is_known && self.foreign(true, from, to))
    }

    /// Whether anything at all was done, chosen or came, from one event on and before another.
    pub fn any(&self, from: usize, to: usize) -> bool {
        [&self.unknown, &self.steps].into_iter().any(|counts| {
            let before = |event: usize| counts.get(event).or(counts.last()).copied().unwrap_or(0);
            before(to) > before(from)
        })
    }
}
