//! What there is to choose, looked at before it is done: which kit gives which play, which piece of the stock brings a figure into its limit.

mod parts;
mod share;
mod stock;

use std::cmp::Ordering;

use rust_decimal::Decimal;

use super::case::Case;
use crate::calc::{Known, Scope, Supposed, Worked};
use crate::model::limit::Limit;
use crate::model::manual::Feature;
use crate::quantity::{Unit, Verdict};
use crate::uncertainty::Decision;

use parts::among_parts;
pub use parts::{chosen, parts_to_choose};
use stock::from_stock;
pub use stock::stock_of;

/// Something to choose for one derived feature at one part and place.
#[derive(Clone, Debug)]
pub struct Choice<'a> {
    /// What is chosen, with the place it is for: `new valve shim at valve 1`, `rod kit`.
    pub what: String,
    /// What comes out: `valve clearance with it`.
    pub result: String,
    /// The unit of what comes out.
    pub unit: Option<&'static Unit>,
    /// The limit it is held against.
    pub limit: Option<&'a Limit>,
    /// The figure that is aimed at, base units.
    pub aim: Option<Decimal>,
    /// The size that would hit it, base units, where sizes are chosen.
    pub wanted: Option<Decimal>,
    /// What may be taken, the best first.
    pub candidates: Vec<Candidate>,
    /// What else the best of them changes: other derived features that take it.
    pub effects: Vec<Effect>,
    /// Which of them it is to be: the best, unless that piece is wanted more elsewhere. `None` if the stock has too few pieces.
    pub taken: Option<usize>,
}

/// Another derived feature that follows the choice.
#[derive(Clone, Debug)]
pub struct Effect {
    /// Its name, with part and place.
    pub name: String,
    /// What it comes to.
    pub known: Known,
    /// Its unit.
    pub unit: Option<&'static Unit>,
}

/// Something that may be taken.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Its name: a part, or sizes with their unit.
    pub name: String,
    /// Its pieces, base units; empty for a part.
    pub pieces: Vec<Decimal>,
    /// What is known of the result.
    pub known: Known,
    /// What is decided of it; `None` without a limit.
    pub decision: Option<Decision>,
    /// How far it lies from what is aimed at, base units.
    pub off: Option<Decimal>,
}

impl Candidate {
    /// Whether it comes out within the limit.
    pub fn is_in(&self) -> bool {
        self.decision.is_none_or(|decision| decision.verdict == Verdict::In)
    }

    /// In, in but close, not proven, out.
    fn rank(&self) -> u8 {
        match self.decision {
            None => 0,
            Some(decision) => match (decision.verdict, decision.is_close) {
                (Verdict::In, false) => 0,
                (Verdict::In, true) => 1,
                (Verdict::NotProven, _) => 2,
                _ => 3,
            },
        }
    }
}

impl Choice<'_> {
    /// The candidate that it is to be.
    pub fn best(&self) -> Option<&Candidate> {
        self.candidates.get(self.taken?)
    }
}

/// Everything that is still to be chosen, in the order of the manuals.
pub fn choices<'a>(case: &Case<'a>) -> Vec<Choice<'a>> {
    let mut list = Vec::new();
    if case.is_closed() {
        return list;
    }
    for (id, feature) in case.rules.book.features.iter().enumerate() {
        // Where nothing says what is wanted, none is better than another.
        let is_wanted = feature.new_limit().is_some() || feature.aimed_at().is_some();
        let Some(choice) = feature.choice.as_ref().filter(|_| is_wanted && case.is_derived(id)) else {
            continue;
        };
        match &choice.stock {
            None => list.extend(among_parts(case, id, feature, choice)),
            Some(stock) => list.extend(from_stock(case, id, feature, choice, &stock.key)),
        }
    }
    list
}

/// All readings of the job as it stands, with what is supposed.
fn scope<'c>(
    case: &'c Case<'_>,
    part: Option<&'c str>,
    place: Option<&'c str>,
    supposed: Option<&'c Supposed>,
) -> Scope<'c> {
    Scope {
        before: None,
        part,
        place,
        left: &case.left,
        supposed,
    }
}

/// Whether nothing that a result rests on was overtaken.
fn is_fresh(case: &Case<'_>, worked: &Worked) -> bool {
    let readings = worked.inputs.iter().filter_map(|index| case.job.readings.get(*index));
    let mut instances = readings.map(|reading| reading.instance);
    !instances.any(|instance| case.is_overtaken(instance))
}

fn candidate(
    case: &Case<'_>,
    feature: &Feature,
    limit: Option<&Limit>,
    aim: Option<Decimal>,
    name: String,
    pieces: Vec<Decimal>,
    worked: &Worked,
) -> Option<Candidate> {
    let rule = case.rules.book.acceptance(feature).unwrap_or(case.settings.decide);
    let known = worked.known()?;
    let target = aim.or_else(|| limit.and_then(|limit| limit.band.lo.or(limit.band.hi)));
    Some(Candidate {
        name,
        pieces,
        decision: limit.map(|limit| known.decide(&limit.band, rule)),
        off: target.and_then(|aim| worked.best.checked_sub(aim)),
        known,
    })
}

/// The better first: by the verdict, then by how near it comes to the aim, then with fewer pieces.
fn by_worth(a: &Candidate, b: &Candidate) -> Ordering {
    let off = |candidate: &Candidate| candidate.off.map_or(Decimal::MAX, |off| off.abs());
    (a.rank().cmp(&b.rank()))
        .then_with(|| off(a).cmp(&off(b)))
        .then_with(|| a.pieces.len().cmp(&b.pieces.len()))
}
