//! A piece of a stock, or a pack of them, for each part and place where one is wanted.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::share::share_out;
use super::{Case, Choice, Effect, by_worth, candidate, is_fresh, scope};
use crate::calc::{Supposed, Worked, work};
use crate::metrology::Measured;
use crate::model::book::FeatureId;
use crate::model::job::{EventKind, Reading, Stock, StockPiece};
use crate::model::manual::{self, Feature};
use crate::model::names::{named, names_thing};
use crate::quantity::Verdict;
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::{Budget, Cause, Origin, Shape, Source};

/// Packs of pieces that are tried for one place, at most, and for all places together.
const MOST_PACKS: usize = 2_000;
const MOST_TRIED: usize = 20_000;

/// The latest list of a stock.
pub fn stock_of<'a>(case: &Case<'a>, key: &str) -> Option<&'a Stock> {
    case.job.events.iter().rev().find_map(|event| match &event.kind {
        EventKind::Stock(stock) if names_thing(&stock.name.key, key) || names_thing(key, &stock.name.key) => {
            Some(stock)
        }
        _ => None,
    })
}

pub(super) fn from_stock<'a>(
    case: &Case<'a>,
    id: FeatureId,
    feature: &'a Feature,
    choice: &manual::Choice,
    stock: &str,
) -> Vec<Choice<'a>> {
    let Some(piece) = case.rules.book.feature(&choice.what.key) else {
        return Vec::new();
    };
    let dimension = case.rules.book.features.get(piece).and_then(Feature::dimension);
    let Some(stock) = stock_of(case, stock) else {
        return without_stock(case, id, feature, choice, piece);
    };
    let fits = |piece: &StockPiece| dimension.is_none() || piece.unit.map(|unit| unit.dimension) == dimension;
    let mut packs = packs(stock, choice.together, fits);
    let mut list = Vec::new();
    let mut at = Vec::new();
    // Where it can be worked for the whole, it is chosen once: a gasket by the smallest squish.
    let whole = packs.first().map(|pack| supposed(piece, pack)).and_then(|supposed| {
        let scope = scope(case, None, None, Some(&supposed));
        work(case.rules, case.job, &case.by_feature, id, scope)
    });
    let is_listed = !feature.parts.is_empty() || !feature.places.is_empty();
    let targets = match whole {
        Some(Ok(_)) if !is_listed => vec![(None, None)],
        _ => targets(case, feature),
    };
    packs.truncate(MOST_TRIED / targets.len().max(1));
    for (part, place) in targets {
        if is_settled(case, feature, part, place) {
            continue;
        }
        let tried = |supposed: &Supposed| {
            let scope = scope(case, part, place, Some(supposed));
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

/// Where no stock is listed, what would hit the aim can still be told.
fn without_stock<'a>(
    case: &Case<'a>,
    id: FeatureId,
    feature: &'a Feature,
    choice: &manual::Choice,
    piece: FeatureId,
) -> Vec<Choice<'a>> {
    let probe = Supposed {
        feature: piece,
        measured: Measured {
            best: Decimal::ONE,
            between: None,
            budget: Budget::default(),
            corrections: Vec::new(),
        },
    };
    let Some(aim) = feature.aimed_at() else {
        return Vec::new();
    };
    let whole = scope(case, None, None, Some(&probe));
    let whole = work(case.rules, case.job, &case.by_feature, id, whole);
    let is_listed = !feature.parts.is_empty() || !feature.places.is_empty();
    let targets = match whole {
        Some(Ok(_)) if !is_listed => vec![(None, None)],
        _ => targets(case, feature),
    };
    let mut list = Vec::new();
    for (part, place) in targets.into_iter().take(MOST_TRIED) {
        let tried = |supposed: &Supposed| {
            let scope = scope(case, part, place, Some(supposed));
            work(case.rules, case.job, &case.by_feature, id, scope).and_then(Result::ok)
        };
        let is_open = !is_settled(case, feature, part, place);
        let worked =
            tried(&probe).filter(|worked| is_open && is_fresh(case, worked) && is_own(case, worked, part, place));
        let wanted = worked.and_then(|worked| size_for(aim, &probe, &worked, &tried));
        if wanted.is_some() {
            list.push(Choice {
                what: named(&choice.what.name, part, place),
                result: named(&feature.name.name, part, place),
                unit: feature.shown_in(),
                limit: feature.new_limit(),
                aim: Some(aim),
                wanted,
                effects: Vec::new(),
                taken: None,
                candidates: Vec::new(),
            });
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
            let scope = scope(case, part, place, Some(supposed));
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
fn packs(stock: &Stock, together: usize, fits: impl Fn(&StockPiece) -> bool) -> Vec<Vec<&StockPiece>> {
    let mut all: Vec<Vec<&StockPiece>> = Vec::new();
    let mut open: Vec<(usize, Vec<&StockPiece>)> = vec![(0, Vec::new())];
    while let Some((from, pack)) = open.pop() {
        for (number, piece) in stock
            .pieces
            .iter()
            .enumerate()
            .skip(from)
            .filter(|(_, piece)| fits(piece))
        {
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
            best: pack
                .iter()
                .fold(Decimal::ZERO, |sum, piece| sum.saturating_add(piece.size)),
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
