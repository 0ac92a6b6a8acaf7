//! What there is to choose, looked at before it is done: which kit gives which play, which piece of the stock brings a figure into its limit.

use std::cmp::Ordering;

use pathfinding::prelude::{Matrix, kuhn_munkres_min};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::ahead::as_written;
use super::case::Case;
use crate::calc::{Known, Scope, Supposed, Worked, work};
use crate::metrology::Measured;
use crate::model::book::FeatureId;
use crate::model::job::{EventKind, Reading, SaidKind, Stock, StockPiece};
use crate::model::limit::Limit;
use crate::model::manual::{self, Feature};
use crate::model::names::{named, names_thing};
use crate::quantity::{Unit, Verdict};
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::{Budget, Cause, Decision, Origin, Shape, Source};

/// Packs of pieces that are tried for one place, at most.
const MOST_PACKS: usize = 5_000;

/// Something to choose for one derived feature at one part and place.
#[derive(Clone, Debug)]
pub struct Choice<'a> {
    /// The derived feature that is to come out well.
    pub id: FeatureId,
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

    /// The best of the others.
    pub fn next_best(&self) -> Option<&Candidate> {
        let others = self.candidates.iter().enumerate();
        others
            .filter(|(place, _)| Some(*place) != self.taken)
            .map(|(_, candidate)| candidate)
            .next()
    }
}

/// Everything that is still to be chosen, in the order of the manuals.
pub fn choices<'a>(case: &Case<'a>) -> Vec<Choice<'a>> {
    let mut list = Vec::new();
    if case.is_closed() {
        return list;
    }
    for (id, feature) in case.rules.book.features.iter().enumerate() {
        let Some(choice) = feature.choice.as_ref().filter(|_| case.is_derived(id)) else {
            continue;
        };
        match &choice.stock {
            None => list.extend(among_parts(case, id, feature, choice)),
            Some(stock) => list.extend(from_stock(case, id, feature, choice, &stock.key)),
        }
    }
    list
}

/// The parts that a choice is between: those of the log whose names have all its words, in the order they came up.
pub fn parts_to_choose<'a>(case: &Case<'a>, choice: &manual::Choice) -> Vec<&'a str> {
    let mut parts: Vec<&str> = Vec::new();
    for instance in &case.job.instances {
        let Some(part) = &instance.part else { continue };
        if names_thing(&part.key, &choice.what.key) && !parts.contains(&part.key.as_str()) {
            parts.push(&part.key);
        }
    }
    parts
}

/// The part that was taken: by a `chose` line, or by a step `from` it.
pub fn chosen<'a>(case: &Case<'a>, choice: &manual::Choice) -> Option<&'a str> {
    let is_it = |name: &str| names_thing(name, &choice.what.key);
    case.job.events.iter().rev().find_map(|event| match &event.kind {
        EventKind::Chose(taken, _) if is_it(&taken.key) => Some(taken.key.as_str()),
        EventKind::Did(done) if !done.is_undone() => done.said.iter().find_map(|said| match &said.kind {
            SaidKind::From(part) if is_it(part) => Some(part.as_str()),
            _ => None,
        }),
        _ => None,
    })
}

fn among_parts<'a>(
    case: &Case<'a>,
    id: FeatureId,
    feature: &'a Feature,
    choice: &manual::Choice,
) -> Option<Choice<'a>> {
    if chosen(case, choice).is_some() {
        return None;
    }
    let limit = feature.new_limit();
    let aim = feature.aimed_at();
    let mut candidates = Vec::new();
    for part in parts_to_choose(case, choice) {
        let scope = Scope {
            before: None,
            part: Some(part),
            place: None,
            left: &case.left,
            supposed: None,
        };
        let worked = work(case.rules, case.job, &case.by_feature, id, scope).and_then(Result::ok);
        let Some(worked) = worked.filter(|worked| is_fresh(case, worked)) else {
            continue;
        };
        let name = as_written(case, part);
        candidates.extend(candidate(case, feature, limit, aim, name, Vec::new(), &worked));
    }
    if candidates.len() < 2 {
        return None;
    }
    candidates.sort_by(by_worth);
    Some(Choice {
        id,
        what: choice.what.name.clone(),
        result: feature.name.name.clone(),
        unit: feature.shown_in(),
        limit,
        aim,
        wanted: None,
        effects: Vec::new(),
        candidates,
        taken: Some(0),
    })
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

/// The latest list of a stock.
fn stock_of<'a>(case: &Case<'a>, key: &str) -> Option<&'a Stock> {
    case.job.events.iter().rev().find_map(|event| match &event.kind {
        EventKind::Stock(stock) if names_thing(&stock.name.key, key) || names_thing(key, &stock.name.key) => {
            Some(stock)
        }
        _ => None,
    })
}

fn from_stock<'a>(
    case: &Case<'a>,
    id: FeatureId,
    feature: &'a Feature,
    choice: &manual::Choice,
    stock: &str,
) -> Vec<Choice<'a>> {
    let (Some(stock), Some(piece)) = (stock_of(case, stock), case.rules.book.feature(&choice.what.key)) else {
        return Vec::new();
    };
    let packs = packs(stock, choice.together);
    let mut list = Vec::new();
    let mut at = Vec::new();
    // Where it can be worked for the whole, it is chosen once: a gasket by the smallest squish.
    let whole = packs.first().map(|pack| supposed(piece, pack)).and_then(|supposed| {
        let scope = Scope {
            before: None,
            part: None,
            place: None,
            left: &case.left,
            supposed: Some(&supposed),
        };
        work(case.rules, case.job, &case.by_feature, id, scope)
    });
    let is_listed = !feature.parts.is_empty() || !feature.places.is_empty();
    let targets = match whole {
        Some(Ok(_)) if !is_listed => vec![(None, None)],
        _ => targets(case, feature),
    };
    for (part, place) in targets {
        if is_settled(case, feature, part, place) {
            continue;
        }
        let tried = |supposed: &Supposed| {
            let scope = Scope {
                before: None,
                part,
                place,
                left: &case.left,
                supposed: Some(supposed),
            };
            work(case.rules, case.job, &case.by_feature, id, scope).and_then(Result::ok)
        };
        let (limit, aim) = (feature.new_limit(), feature.aimed_at());
        let mut candidates = Vec::new();
        let mut wanted = None;
        for pack in &packs {
            let supposed = supposed(piece, pack);
            let Some(worked) =
                tried(&supposed).filter(|worked| is_fresh(case, worked) && is_own(case, worked, part, place))
            else {
                continue;
            };
            if wanted.is_none() {
                wanted = aim.and_then(|aim| size_for(aim, &supposed, &worked, &tried));
            }
            let sizes = pack.iter().map(|piece| piece.size).collect();
            candidates.extend(candidate(case, feature, limit, aim, name_of(pack), sizes, &worked));
        }
        if candidates.is_empty() {
            continue;
        }
        candidates.sort_by(by_worth);
        list.push(Choice {
            id,
            what: named(&choice.what.name, part, place),
            result: named(&feature.name.name, part, place),
            unit: feature.shown_in(),
            limit,
            aim,
            wanted,
            effects: Vec::new(),
            taken: Some(0),
            candidates,
        });
        at.push((part, place));
    }
    share_out(stock, &mut list);
    for (choice, (part, place)) in list.iter_mut().zip(at) {
        let best = choice.best().map(|best| best.pieces.clone()).unwrap_or_default();
        let pack = packs
            .iter()
            .find(|pack| pack.iter().map(|piece| piece.size).eq(best.iter().copied()));
        if let Some(pack) = pack {
            choice.effects = effects(case, id, &supposed(piece, pack), part, place);
        }
    }
    list
}

/// Every other derived feature that takes the piece itself, worked with it.
fn effects(
    case: &Case<'_>,
    id: FeatureId,
    supposed: &Supposed,
    part: Option<&str>,
    place: Option<&str>,
) -> Vec<Effect> {
    let takes = |other: &FeatureId| {
        let sum = case.rules.sums.get(*other).and_then(Option::as_ref);
        *other != id && sum.is_some_and(|sum| sum.features().contains(&supposed.feature))
    };
    let others = (0..case.rules.book.features.len()).filter(takes);
    others
        .filter_map(|other| {
            let feature = case.rules.book.features.get(other)?;
            let scope = Scope {
                before: None,
                part,
                place,
                left: &case.left,
                supposed: Some(supposed),
            };
            let worked = work(case.rules, case.job, &case.by_feature, other, scope)?.ok()?;
            Some(Effect {
                name: named(&feature.name.name, part, place),
                known: worked.known()?,
                unit: feature.shown_in(),
            })
        })
        .collect()
}

/// The parts and places a derived feature is worked for: those its manual lists, else those of the readings it takes.
fn targets<'a>(case: &Case<'a>, feature: &'a Feature) -> Vec<(Option<&'a str>, Option<&'a str>)> {
    let listed = |names: &'a [manual::Named]| -> Vec<Option<&'a str>> {
        if names.is_empty() {
            vec![None]
        } else {
            names.iter().map(|name| Some(name.key.as_str())).collect()
        }
    };
    let (parts, places) = (listed(&feature.parts), listed(&feature.places));
    if !feature.parts.is_empty() || !feature.places.is_empty() {
        return parts
            .iter()
            .flat_map(|part| places.iter().map(move |place| (*part, *place)))
            .collect();
    }
    let mut list: Vec<(Option<&str>, Option<&str>)> = Vec::new();
    let id = case.rules.book.feature(&feature.name.key);
    let sum = id.and_then(|id| case.rules.sums.get(id)?.as_ref());
    for input in sum.map(crate::calc::Sum::features).unwrap_or_default() {
        for index in case.by_feature.get(input).into_iter().flatten() {
            let Some(instance) = case.job.instances.get(*index) else {
                continue;
            };
            let key = |word: &'a Option<crate::model::job::Word>| word.as_ref().map(|word| word.key.as_str());
            let at = (key(&instance.part), key(&instance.place));
            if !list.contains(&at) {
                list.push(at);
            }
        }
    }
    // What is read of the whole serves every part; it is no target of its own where there are parts.
    if list.iter().any(|at| *at != (None, None)) {
        list.retain(|at| *at != (None, None));
    }
    list
}

/// Whether the feature whose limits hold is measured there, in its limit, and not overtaken: there is nothing to choose then.
fn is_settled(case: &Case<'_>, feature: &Feature, part: Option<&str>, place: Option<&str>) -> bool {
    let tied = feature
        .limits_of
        .as_ref()
        .and_then(|tie| case.rules.book.feature(&tie.to.key));
    let Some(tied) = tied else { return false };
    let limit = case.rules.book.features.get(tied).and_then(Feature::new_limit);
    let instances = case.by_feature.get(tied).into_iter().flatten();
    let verdicts = instances.filter_map(|index| {
        let instance = case.job.instances.get(*index)?;
        let key = |word: &Option<crate::model::job::Word>| word.as_ref().map(|word| word.key.clone());
        let is_there = part.is_none_or(|part| key(&instance.part).as_deref() == Some(part))
            && place.is_none_or(|place| key(&instance.place).as_deref() == Some(place));
        let reading = case.latest(instance).filter(|_| is_there && !case.is_overtaken(*index));
        let is_out = |reading: &Reading| {
            let band = reading.band();
            band.zip(limit)
                .is_none_or(|(band, limit)| crate::quantity::verdict(&band, &limit.band) != Verdict::In)
        };
        if !is_there || reading.is_none() {
            return None;
        }
        reading.map(|(_, reading)| !is_out(reading))
    });
    // All that were read there, and at least one.
    let verdicts: Vec<bool> = verdicts.collect();
    !verdicts.is_empty() && verdicts.into_iter().all(|is_in| is_in)
}

/// Whether a result has something of its own part and place in it.
fn is_own(case: &Case<'_>, worked: &Worked, part: Option<&str>, place: Option<&str>) -> bool {
    let readings = || worked.inputs.iter().filter_map(|index| case.job.readings.get(*index));
    let instances = || readings().filter_map(|reading| case.instance(reading));
    let is =
        |word: &Option<crate::model::job::Word>, wanted: &str| word.as_ref().is_some_and(|word| word.key == wanted);
    part.is_none_or(|part| instances().any(|instance| is(&instance.part, part)))
        && place.is_none_or(|place| instances().any(|instance| is(&instance.place, place)))
        && !worked.inputs.is_empty()
}

/// Every pack of up to so many pieces, each piece at most as often as it is there.
fn packs(stock: &Stock, together: usize) -> Vec<Vec<&StockPiece>> {
    let mut all: Vec<Vec<&StockPiece>> = Vec::new();
    let mut open: Vec<(usize, Vec<&StockPiece>)> = vec![(0, Vec::new())];
    while let Some((from, pack)) = open.pop() {
        for (number, piece) in stock.pieces.iter().enumerate().skip(from) {
            let used = pack.iter().filter(|other| other.span == piece.span).count();
            if all.len() >= MOST_PACKS || used >= piece.count as usize {
                continue;
            }
            let mut more = pack.clone();
            more.push(piece);
            if more.len() < together {
                open.push((number, more.clone()));
            }
            all.push(more);
        }
    }
    all
}

/// `2.35 mm`, `0.10 + 0.15 mm`
fn name_of(pack: &[&StockPiece]) -> String {
    let unit = pack.first().and_then(|piece| piece.unit);
    let shown = |piece: &&StockPiece| {
        let value = unit.and_then(|unit| unit.from_base(piece.size)).unwrap_or(piece.size);
        value.to_string()
    };
    let sizes: Vec<String> = pack.iter().map(shown).collect();
    format!("{} {}", sizes.join(" + "), unit.map_or("", |unit| unit.label()))
        .trim_end()
        .to_owned()
}

/// A pack in the place of the piece: its sizes are known to half of their last digit.
fn supposed(feature: FeatureId, pack: &[&StockPiece]) -> Supposed {
    let sources = pack.iter().enumerate().map(|(number, piece)| {
        let origin = Origin {
            scope: crate::uncertainty::Scope::Point(u32::MAX, u32::try_from(number).unwrap_or(u32::MAX)),
            cause: Cause::Resolution,
        };
        Source::within(origin, Shape::Rectangular, piece.half_step.to_f64().unwrap_or(0.0))
    });
    Supposed {
        feature,
        measured: Measured {
            best: pack.iter().map(|piece| piece.size).sum(),
            between: None,
            budget: Budget::of(sources),
            corrections: Vec::new(),
        },
    }
}

/// The size that would hit the aim: along the line through this size and one a little larger, and checked. `None` where the sum is not straight.
fn size_for(
    aim: Decimal,
    supposed: &Supposed,
    worked: &Worked,
    tried: &impl Fn(&Supposed) -> Option<Worked>,
) -> Option<Decimal> {
    let moved = |size: Decimal| {
        let mut other = supposed.clone();
        other.measured.best = size;
        tried(&other).map(|worked| worked.best)
    };
    let at = supposed.measured.best;
    let step = Decimal::new(1, 3).max(at.abs().checked_div(Decimal::from(1000))?);
    let slope = moved(at.checked_add(step)?)?
        .checked_sub(worked.best)?
        .checked_div(step)?;
    if slope.is_zero() {
        return None;
    }
    let wanted = at.checked_add(aim.checked_sub(worked.best)?.checked_div(slope)?)?;
    let off = moved(wanted)?.checked_sub(aim)?.abs();
    (off <= step).then(|| decimal(wanted.to_f64()?).map(|wanted| wanted.round_dp(6).normalize()))?
}

/// Gives each place its piece where they want the same and there are not enough: so that as many as can be come out within their limits, and then nearest to
/// their aims. The assignment is solved by the Hungarian method.
fn share_out(stock: &Stock, list: &mut [Choice<'_>]) {
    let is_single = |choice: &Choice<'_>| choice.candidates.iter().all(|candidate| candidate.pieces.len() == 1);
    if list.len() < 2 || !list.iter().all(is_single) || !wanted_twice(stock, list) {
        return;
    }
    let pieces: Vec<Decimal> = stock
        .pieces
        .iter()
        .flat_map(|piece| std::iter::repeat_n(piece.size, (piece.count as usize).min(list.len())))
        .collect();
    // Places without a piece fall on columns of nobody's.
    let columns = pieces.len() + list.len();
    let weight = |choice: &Choice<'_>, column: usize| -> i64 {
        const NONE: i64 = 1_000_000_000_000;
        let Some(size) = pieces.get(column) else { return NONE };
        let found = choice
            .candidates
            .iter()
            .find(|candidate| candidate.pieces.first() == Some(size));
        let Some(candidate) = found else { return NONE };
        // A micrometre off weighs one; out of limit more than all of that.
        let off = candidate.off.and_then(|off| off.abs().to_f64()).unwrap_or(0.0) * 1000.0;
        let off = (off * off).min(1e8) as i64;
        i64::from(candidate.rank()) * 1_000_000_000 + off
    };
    let rows = list
        .iter()
        .map(|choice| (0..columns).map(|column| weight(choice, column)).collect::<Vec<i64>>());
    let Ok(matrix) = Matrix::from_rows(rows) else { return };
    let (_, assigned) = kuhn_munkres_min(&matrix);
    for (choice, column) in list.iter_mut().zip(assigned) {
        let size = pieces.get(column);
        choice.taken = size.and_then(|size| {
            let mut candidates = choice.candidates.iter();
            candidates.position(|candidate| candidate.pieces.first() == Some(size))
        });
    }
}

/// Whether the best pieces of all places are more than the stock has.
fn wanted_twice(stock: &Stock, list: &[Choice<'_>]) -> bool {
    stock.pieces.iter().any(|piece| {
        let takers = list
            .iter()
            .filter_map(Choice::best)
            .filter(|best| best.pieces.first() == Some(&piece.size));
        let there: u32 = stock
            .pieces
            .iter()
            .filter(|other| other.size == piece.size)
            .map(|other| other.count)
            .sum();
        takers.count() > there as usize
    })
}
