//! Derived features as they stand at the end: worked out for every part and place they are defined for, and decided.

use rustc_hash::{FxHashMap, FxHashSet};

use super::case::Case;
use super::choices::parts_to_choose;
use crate::calc::{Known, Reason, Scope, Worked, is_claim, work};
use crate::model::book::FeatureId;
use crate::model::job::ReadingKind;
use crate::model::limit::Limit;
use crate::model::manual::Feature;
use crate::model::names::place_within;
use crate::uncertainty::{Acceptance, Decision};

/// A derived feature as it stands at the end, for one part and place.
pub struct Final<'a> {
    /// Which feature.
    pub id: FeatureId,
    /// The feature.
    pub feature: &'a Feature,
    /// Part and place: names as in the manual.
    pub part: Option<&'a str>,
    /// Place.
    pub place: Option<&'a str>,
    /// What it came to.
    pub result: Result<Worked, Reason>,
    /// The limit it is judged by.
    pub limit: Option<&'a Limit>,
    /// What is decided by that limit.
    pub decision: Option<Decision>,
    /// What is known of it, where it had to be worked out to decide.
    known: Option<Known>,
}

impl<'a> Final<'a> {
    /// With its limit, that of the stage of the latest reading it rests on, and what is decided by it.
    fn new(
        case: &Case<'a>,
        id: FeatureId,
        at: [Option<&'a str>; 2],
        result: Result<Worked, Reason>,
    ) -> Option<Final<'a>> {
        let feature = case.rules.book.features.get(id)?;
        let [part, place] = at;
        let mut own = Final {
            id,
            feature,
            part,
            place,
            result,
            limit: None,
            decision: None,
            known: None,
        };
        let Ok(worked) = &own.result else { return Some(own) };
        own.limit = case
            .latest_input(worked)
            .and_then(|reading| feature.limit_at(case.stage(reading.event)));
        let decided = own
            .limit
            .and_then(|limit| worked.decide(&limit.band, own.acceptance(case)));
        if let Some((decision, known)) = decided {
            own.decision = Some(decision);
            own.known = known;
        }
        Some(own)
    }

    /// Whether it is only told ahead, and judges nothing.
    pub fn is_forecast(&self) -> bool {
        self.feature.is_ahead || self.feature.is_lent
    }

    /// What is known of it; `None` if it could not be worked out.
    pub fn known(&self) -> Option<Known> {
        let worked = self.result.as_ref().ok()?;
        self.known.clone().or_else(|| worked.known())
    }

    /// What is known of it, where the decision had to work that out: nothing is drawn for it.
    pub(super) fn known_already(&self) -> Option<&Known> {
        self.known.as_ref()
    }

    /// The rule by which it is accepted.
    pub fn acceptance(&self, case: &Case<'_>) -> Acceptance {
        case.rules.book.acceptance(self.feature).unwrap_or(case.settings.decide)
    }
}

/// A derived feature at a part and a place.
pub(super) type At<'a> = (FeatureId, Option<&'a str>, Option<&'a str>);

/// Every derived feature at every part and place it is defined for, unless it was measured.
pub fn finals<'a>(case: &Case<'a>) -> Vec<Final<'a>> {
    let worked = |at: At<'a>| worked_at(case, at, None).and_then(|result| Final::new(case, at.0, [at.1, at.2], result));
    to_work(case).into_iter().filter_map(worked).collect()
}

/// A derived feature from what was read before an event, or at the end. `None` where it rests on nothing of this job, or not on its own part and place.
pub(super) fn worked_at<'a>(
    case: &Case<'a>,
    (id, part, place): At<'a>,
    before: Option<usize>,
) -> Option<Result<Worked, Reason>> {
    let scope = Scope {
        before,
        part,
        place,
        left: &case.left,
        supposed: None,
    };
    let result = work(case.rules, case.job, &case.by_feature, id, scope)?;
    // A sum of constants rests on nothing in this job.
    let rests = result.as_ref().map_or(true, |w| rests_on_own(case, w, part, place));
    rests.then_some(result)
}

/// Every derived feature with the parts and places it is defined for, unless it was measured there.
pub(super) fn to_work<'a>(case: &Case<'a>) -> Vec<At<'a>> {
    let mut list = Vec::new();
    if case.job.readings.is_empty() {
        return list;
    }
    for (id, feature) in case.rules.book.features.iter().enumerate() {
        if !case.is_derived(id) {
            continue;
        }
        let listed = or_none(feature.parts.iter().map(|p| p.key.as_str()));
        let between = feature.choice.as_ref().filter(|choice| choice.stock.is_none());
        let chosen_from = between
            .map(|choice| parts_to_choose(case, choice))
            .filter(|parts| !parts.is_empty());
        let parts: Vec<Option<&str>> = if let Some(parts) = chosen_from {
            let left = |part: &&str| !case.left.iter().any(|left| left == part);
            parts.into_iter().filter(left).map(Some).collect()
        } else if feature.parts.is_empty() {
            parts_read(case, id)
        } else {
            listed
        };
        let places: Vec<Option<&str>> = or_none(feature.places.iter().map(|p| p.key.as_str()));
        for part in &parts {
            for place in &places {
                if !was_measured(case, id, *part, *place) {
                    list.push((id, *part, *place));
                }
            }
        }
    }
    list
}

/// A sum that takes more features than this, through others too, is worked for all parts together.
const MOST_FEATURES: usize = 64;

/// The features a sum takes without naming a part; for one that is only worked out itself, those that it takes in turn.
fn features_read(case: &Case<'_>, id: FeatureId) -> Vec<FeatureId> {
    let mut list: Vec<FeatureId> = Vec::new();
    let mut seen = vec![id];
    let mut open = vec![id];
    while let Some(next) = open.pop() {
        let Some(Some(sum)) = case.rules.sums.get(next) else {
            continue;
        };
        for feature in sum.features_without_part() {
            if seen.len() > MOST_FEATURES {
                return Vec::new();
            }
            if seen.contains(&feature) {
                continue;
            }
            seen.push(feature);
            let mut read = case.by_feature.get(feature).into_iter().flatten();
            let was_read = read.any(|index| {
                case.job
                    .instances
                    .get(*index)
                    .is_some_and(|instance| case.latest(instance).is_some_and(|(_, reading)| !is_claim(reading)))
            });
            if case.is_derived(feature) && !was_read {
                open.push(feature);
            } else {
                list.push(feature);
            }
        }
    }
    list.sort_unstable();
    list
}

/// The parts a sum is worked for where its manual names none: each by itself if it takes two or more features and all their readings are of parts
/// (bore and piston of each cylinder), else all together.
fn parts_read<'a>(case: &Case<'a>, id: FeatureId) -> Vec<Option<&'a str>> {
    let features = features_read(case, id);
    if features.is_empty() {
        return vec![None];
    }
    let mut parts: Vec<&str> = Vec::new();
    let mut seen: FxHashSet<&str> = FxHashSet::default();
    for feature in &features {
        for index in case.by_feature.get(*feature).into_iter().flatten() {
            let Some(instance) = case.job.instances.get(*index) else {
                continue;
            };
            if case.is_left(instance) || case.latest(instance).is_none() {
                continue;
            }
            match &instance.part {
                None => return vec![None],
                Some(part) if seen.insert(&part.key) => parts.push(&part.key),
                Some(_) => {}
            }
        }
    }
    let told = by_part(case, &features);
    let shared = |part: &&str| told.get(part).is_some_and(|told| told.features == features.len());
    // One feature alone is gathered over its parts, where each has one figure (the masses of two pistons); where each has several, it is gathered
    // within each (the bores of two cylinders).
    let has_several = |part: &&str| told.get(part).is_some_and(|told| told.figures > 1);
    let is_single = features.len() < 2 && !parts.iter().all(has_several);
    if is_single || parts.len() < 2 || !parts.iter().all(shared) {
        return vec![None];
    }
    parts.into_iter().map(Some).collect()
}

/// What was read of a part.
#[derive(Default)]
struct OfPart {
    /// How many of the features.
    features: usize,
    /// How many figures, by the latest readings.
    figures: usize,
}

/// What was read of each part, of these features.
fn by_part<'a>(case: &Case<'a>, features: &[FeatureId]) -> FxHashMap<&'a str, OfPart> {
    let mut parts: FxHashMap<&str, OfPart> = FxHashMap::default();
    for feature in features {
        let mut own: FxHashSet<&str> = FxHashSet::default();
        for index in case.by_feature.get(*feature).into_iter().flatten() {
            let Some(instance) = case.job.instances.get(*index) else {
                continue;
            };
            let Some(part) = &instance.part else { continue };
            let told = parts.entry(part.key.as_str()).or_default();
            told.features += usize::from(own.insert(&part.key));
            told.figures += match case.latest(instance) {
                Some((_, reading)) if reading.kind == ReadingKind::Ring => reading.points.len(),
                Some(_) => 1,
                None => 0,
            };
        }
    }
    parts
}

/// Whether a result has something of its own part and place in it. Without that it would only repeat what holds for the whole.
fn rests_on_own(case: &Case<'_>, worked: &Worked, part: Option<&str>, place: Option<&str>) -> bool {
    let instances = || {
        worked
            .inputs
            .iter()
            .filter_map(|index| case.job.readings.get(*index))
            .filter_map(|reading| case.instance(reading))
    };
    let of_part = part.is_none_or(|wanted| instances().any(|i| i.part.as_ref().is_some_and(|p| p.key == wanted)));
    let at_place =
        place.is_none_or(|wanted| instances().any(|i| i.place.as_ref().is_some_and(|p| place_within(&p.key, wanted))));
    !worked.inputs.is_empty() && of_part && at_place
}

fn or_none<'a>(names: impl Iterator<Item = &'a str>) -> Vec<Option<&'a str>> {
    let list: Vec<Option<&str>> = names.map(Some).collect();
    if list.is_empty() { vec![None] } else { list }
}

/// Whether the latest reading of a derived feature is a measurement, which is then judged itself.
fn was_measured(case: &Case<'_>, id: FeatureId, part: Option<&str>, place: Option<&str>) -> bool {
    case.by_feature
        .get(id)
        .into_iter()
        .flatten()
        .filter_map(|index| case.job.instances.get(*index))
        .filter(|i| {
            i.part.as_ref().map(|p| p.key.as_str()) == part && i.place.as_ref().map(|p| p.key.as_str()) == place
        })
        .any(|i| case.latest(i).is_some_and(|(_, reading)| !is_claim(reading)))
}
