//! Run-out as a vector, over the corrections of a built-up crank.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{EventKind, Reading, SaidKind};
use crate::quantity::{Unit, Verdict};
use crate::syntax::Span;

/// The run-outs of one thing, turn after turn.
#[derive(Debug)]
pub struct RunOuts {
    /// The feature, with its part.
    pub name: String,
    /// The unit of the figures.
    pub unit: Option<&'static Unit>,
    /// The greatest that is allowed at the end, base units.
    pub most: Option<Decimal>,
    /// Each time both ends were read, in order.
    pub turns: Vec<Turn>,
}

/// One time that the thing was turned under the dials.
#[derive(Debug)]
pub struct Turn {
    /// The line of its first reading, from 1.
    pub line: usize,
    /// The stage.
    pub stage: String,
    /// The steps that were done since the turn before and disturb it, as written.
    pub after: Vec<String>,
    /// What the dials said, in the order of the log.
    pub highs: Vec<High>,
}

/// What a dial said over one turn.
#[derive(Clone, Debug)]
pub struct High {
    /// The place; empty if none is written.
    pub place: String,
    /// The whole swing of the needle, base units.
    pub swing: Decimal,
    /// Where it reads highest, degrees.
    pub angle: Decimal,
    /// The verdict.
    pub verdict: Option<Verdict>,
}

/// Every run-out that has angles, by feature and part.
pub(super) fn run_outs(case: &Case<'_>) -> Vec<RunOuts> {
    let mut list: Vec<(String, RunOuts)> = Vec::new();
    let mut since: Vec<String> = Vec::new();
    for (number, event) in case.job.events.iter().enumerate() {
        match &event.kind {
            EventKind::Did(done) => {
                let disturbs = case.step(done).is_some_and(|step| !step.disturbs.is_empty());
                if disturbs {
                    let from_name = Span {
                        start: done.name.span.start,
                        end: event.span.end,
                    };
                    since.push(words::fold(from_name.text(case.text())));
                }
            }
            EventKind::Readings(range) => {
                for index in range.clone() {
                    add(case, number, index, &mut since, &mut list);
                }
            }
            _ => {}
        }
    }
    list.into_iter().map(|(_, outs)| outs).collect()
}

fn add(case: &Case<'_>, event: usize, index: usize, since: &mut Vec<String>, list: &mut Vec<(String, RunOuts)>) {
    let Some(reading) = case.job.readings.get(index) else {
        return;
    };
    let Some(instance) = case.instance(reading) else { return };
    let (Some(angle), Some(swing)) = (high(reading), reading.best()) else {
        return;
    };
    let feature = case.key_of(instance).to_owned();
    let name = match &instance.part {
        Some(part) => format!("{feature} of {}", part.key),
        None => feature,
    };
    let place = instance
        .place
        .as_ref()
        .map_or_else(String::new, |place| place.key.clone());
    let at = match list.iter().position(|(known, _)| *known == name) {
        Some(at) => at,
        None => {
            list.push((
                name.clone(),
                RunOuts {
                    name,
                    unit: reading.unit,
                    most: None,
                    turns: Vec::new(),
                },
            ));
            list.len() - 1
        }
    };
    let Some((_, outs)) = list.get_mut(at) else { return };
    outs.most = case.limit_of(reading).and_then(|limit| limit.band.hi).or(outs.most);
    let is_same_turn = |turn: &Turn| since.is_empty() && turn.highs.iter().all(|high| high.place != place);
    let high = High {
        verdict: case.verdict(index),
        place: place.clone(),
        swing,
        angle,
    };
    match outs.turns.last_mut().filter(|turn| is_same_turn(turn)) {
        Some(turn) => turn.highs.push(high),
        None => outs.turns.push(Turn {
            line: case.line_of(event),
            stage: case.stage(event).key.clone(),
            after: std::mem::take(since),
            highs: vec![high],
        }),
    }
}

/// The angle behind `high at`, degrees.
fn high(reading: &Reading) -> Option<Decimal> {
    reading.said.iter().find_map(|said| match &said.kind {
        SaidKind::Amount(amount) if amount.name == "high at" => Some(amount.last),
        _ => None,
    })
}
