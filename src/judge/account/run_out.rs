//! Run-out as a vector, over the corrections of a built-up crank.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{Reading, SaidKind};
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

/// Run-outs as they are gathered.
struct Gathered {
    outs: RunOuts,
    /// The event of the latest reading.
    last: usize,
}

/// Every run-out that has angles, by feature and part.
pub(super) fn run_outs(case: &Case<'_>) -> Vec<RunOuts> {
    let moving: Vec<(usize, String)> = case
        .done
        .iter()
        .filter(|(_, done)| case.step(done).is_some_and(|step| !step.disturbs.is_empty()))
        .map(|(event, done)| {
            let from_name = Span {
                start: done.name.span.start,
                end: case.event_span(*event).end,
            };
            (*event, words::fold(from_name.text(case.text())))
        })
        .collect();
    let mut list: Vec<Gathered> = Vec::new();
    for index in 0..case.job.readings.len() {
        add(case, index, &moving, &mut list);
    }
    list.into_iter().map(|gathered| gathered.outs).collect()
}

fn add(case: &Case<'_>, index: usize, moving: &[(usize, String)], list: &mut Vec<Gathered>) {
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
    let at = match list.iter().position(|known| known.outs.name == name) {
        Some(at) => at,
        None => {
            let (unit, most, turns) = (reading.unit, None, Vec::new());
            list.push(Gathered {
                outs: RunOuts {
                    name,
                    unit,
                    most,
                    turns,
                },
                last: 0,
            });
            list.len() - 1
        }
    };
    let Some(known) = list.get_mut(at) else { return };
    let outs = &mut known.outs;
    outs.most = case.limit_of(reading).and_then(|limit| limit.band.hi).or(outs.most);
    let high = High {
        verdict: case.verdict(index),
        place: instance
            .place
            .as_ref()
            .map_or_else(String::new, |place| place.key.clone()),
        swing,
        angle,
    };
    let since = moving
        .iter()
        .filter(|(event, _)| (known.last..reading.event).contains(event));
    let after: Vec<String> = since.map(|(_, step)| step.clone()).collect();
    known.last = reading.event;
    let is_same = |turn: &&mut Turn| after.is_empty() && turn.highs.iter().all(|other| other.place != high.place);
    match outs.turns.last_mut().filter(is_same) {
        Some(turn) => turn.highs.push(high),
        None => outs.turns.push(Turn {
            line: case.line_of(reading.event),
            stage: case.stage(reading.event).key.clone(),
            after,
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
