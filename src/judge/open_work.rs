//! What is open on the bench, for whoever writes the log: steps with what stands before them, and readings that are owed or were overtaken, each by
//! feature, part and place. The same as [`super::next`] tells in words, without what is worked out ahead, so that it is quick.

use rustc_hash::FxHashSet;

use super::case::Case;
use super::next::Kind;
use super::owed::{absent, expected, stale_readings};
use super::procedure::{Asked, Clause, State, alternatives, holds, in_play};
use super::steps_open::{StepOpen, allowed, blockers, steps_open, still_moved};
use super::{Analysis, Severity, ahead, words};
use crate::calc::sum::Node;
use crate::calc::{Reason, Scope, work};
use crate::model::book::{FeatureId, StepId};
use crate::model::manual::{Feature, NeverWhen, Procedure, Step, Target};
use crate::model::names::key;

/// How a step stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenStep {
    /// Which.
    pub id: StepId,
    /// `Do`, `DoLater` or `MayDo`.
    pub kind: Kind,
    /// Why it may be done, or what has still to happen before; in workshop words, never empty.
    pub why: String,
}

/// A reading to be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenReading {
    /// Of which feature.
    pub feature: FeatureId,
    /// The part: a key, or as it is written in the log.
    pub part: Option<String>,
    /// The place, likewise.
    pub place: Option<String>,
    /// `ReadAgain`, `Read` or `ReadLater`.
    pub kind: Kind,
    /// Why: `stale since line 33`.
    pub why: String,
    /// The reading that was overtaken: index into `Job::readings`.
    pub like: Option<usize>,
}

/// Everything that is open.
#[derive(Clone, Debug, Default)]
pub struct OpenWork {
    /// Steps in the order they may be done: of the procedures in play first, then those with which one of the log's own manuals begins.
    pub steps: Vec<OpenStep>,
    /// Readings, the most pressing first.
    pub readings: Vec<OpenReading>,
    /// Steps that must not be done, now or ever: no offer.
    pub forbidden: FxHashSet<StepId>,
    /// Names of the procedures that are in play.
    pub in_play: Vec<String>,
    /// Whether nothing is owed, asked for or wrong: the job may be closed.
    pub is_settled: bool,
    /// What stands in `readings`: feature, part and place.
    known: FxHashSet<(FeatureId, String, String)>,
}

/// What is open in a log as it stands at its end.
pub fn open_work(analysis: &Analysis) -> OpenWork {
    let case = analysis.begun();
    let mut open = OpenWork::default();
    if case.is_closed() {
        return open;
    }
    let playing = in_play(&case);
    open.in_play = playing.iter().map(|(_, p)| p.name.name.clone()).collect();
    let mut waiting = Vec::new();
    nevers(&case, &mut open.forbidden, &mut waiting);
    open.followers(&case, &waiting);
    for (number, procedure) in &playing {
        for step in steps_open(&case, *number, procedure) {
            let why = why(&case, &step);
            // Of alternatives each may be the one.
            for other in alternatives(&case, step.id).unwrap_or_default() {
                let own = StepOpen {
                    id: other,
                    kind: step.kind,
                    what: String::new(),
                    blockers: Vec::new(),
                };
                open.add(&case, &waiting, own, format!("{}; {why}", step.what));
            }
            open.add(&case, &waiting, step, why);
        }
    }
    open.stale(&case);
    open.asked(&case, &playing);
    open.required(&case);
    let is_owed = open.steps.iter().any(|step| step.kind != Kind::MayDo) || !open.readings.is_empty();
    // What is out by a rule of thumb is a doubt, and still nothing to close a job on.
    let mut findings = analysis.findings.iter();
    let is_wrong = findings.any(|f| f.severity != Severity::Doubt || f.code.starts_with("limit."));
    let begin = beginnings(&case);
    // A job with readings alone is one that no procedure is known for.
    let is_begun = !case.done.is_empty() || (begin.is_empty() && !case.job.readings.is_empty());
    open.is_settled = is_begun && !is_owed && !is_wrong;
    for (number, procedure) in begin {
        open.beginning(&case, &waiting, number, procedure);
    }
    open.companions(&case);
    open.readings.sort_by_key(|reading| reading.kind);
    open
}

/// What is to be expected of a step by the readings there are: a sentence each. It works derived features out, and some may be drawn.
pub fn expectations(analysis: &Analysis, id: StepId) -> Vec<String> {
    let case = analysis.case();
    case.rules
        .book
        .step(id)
        .map_or_else(Vec::new, |step| ahead::expected(&case, step))
}

fn why(case: &Case<'_>, open: &StepOpen) -> String {
    if !open.blockers.is_empty() {
        return format!("once {}", words::list(&open.blockers));
    }
    let after = case
        .rules
        .book
        .step(open.id)
        .map_or_else(String::new, |s| allowed(case, s));
    match (after.is_empty(), open.kind) {
        (false, _) => after,
        (true, Kind::MayDo) => "may be done, and need not".to_owned(),
        (true, _) => "may be done now".to_owned(),
    }
}

/// Steps that must never be done as things stand, and those that must not be done before another that was not done yet.
fn nevers(case: &Case<'_>, forbidden: &mut FxHashSet<StepId>, waiting: &mut Vec<(StepId, String)>) {
    for never in case.rules.book.procedures.iter().flat_map(|p| &p.nevers) {
        let Some(id) = case.rules.book.step_id(&never.step.key) else {
            continue;
        };
        let applies = never.ticks.is_empty() && never.only_if.iter().all(|condition| holds(case, condition, None));
        if !applies {
            continue;
        }
        let was_done = |key: &str| {
            let other = case.rules.book.step_id(key);
            other.is_some_and(|other| case.course.first(other).is_some())
        };
        match &never.when {
            NeverWhen::Ever => _ = forbidden.insert(id),
            NeverWhen::After(other) if was_done(&other.key) => _ = forbidden.insert(id),
            NeverWhen::Before(other) if !was_done(&other.key) => waiting.push((id, other.name.clone())),
            NeverWhen::After(_) | NeverWhen::Before(_) => {}
        }
    }
}

/// Procedures of the manuals that the log names of which no step was done.
fn beginnings<'c>(case: &Case<'c>) -> Vec<(usize, &'c Procedure)> {
    if case.job.manuals.is_empty() {
        return Vec::new();
    }
    let book = &case.rules.book;
    // Of what one `manual` line brings in, the first is the one it names.
    let is_named = |manual: usize| {
        let root = book.manuals.get(manual).map(|m| m.root);
        root.is_some() && book.manuals.iter().position(|m| Some(m.root) == root) == Some(manual)
    };
    let all = book.procedures.iter().enumerate();
    all.filter(|(number, procedure)| {
        let is_own = procedure.steps.first().is_some_and(|step| is_named(step.manual));
        let mut steps = (0..procedure.steps.len()).map(|step| StepId {
            procedure: *number,
            step,
        });
        is_own && steps.all(|id| case.course.first(id).is_none())
    })
    .collect()
}

impl OpenWork {
    fn add(&mut self, case: &Case<'_>, waiting: &[(StepId, String)], step: StepOpen, why: String) {
        let mut open = OpenStep {
            id: step.id,
            kind: step.kind,
            why,
        };
        let first: Vec<&str> = waiting
            .iter()
            .filter(|(id, _)| *id == open.id)
            .map(|(_, name)| name.as_str())
            .collect();
        if let Some(first) = first.first() {
            open.kind = Kind::DoLater;
            open.why = format!("never before `{first}`, which is not done");
        }
        let is_known = self.steps.iter().any(|known| known.id == open.id);
        let is_step = case.rules.book.step(open.id).is_some();
        if is_step && !is_known && !self.forbidden.contains(&open.id) {
            self.steps.push(open);
        }
    }

    /// Steps, and readings, that are to follow a step that was done.
    fn followers(&mut self, case: &Case<'_>, waiting: &[(StepId, String)]) {
        let follows = |asked: &&Asked| matches!(asked.clause, Clause::Then | Clause::ThenDirectly);
        for asked in case.asked.iter().filter(follows) {
            let open = asked.breaches.iter().filter(|breach| breach.state == State::Open);
            let Some(at) = open.filter_map(|breach| breach.at).max() else {
                continue;
            };
            let directly = if asked.clause == Clause::ThenDirectly {
                " directly"
            } else {
                ""
            };
            let why = format!("to follow{directly}, after line {}", case.line_of(at));
            for id in &asked.others {
                let Some(step) = case.rules.book.step(*id) else {
                    continue;
                };
                for target in &step.reads {
                    self.targets(case, target, None, &why);
                }
                if step.reads.is_empty() {
                    let open = StepOpen {
                        id: *id,
                        kind: Kind::Do,
                        what: String::new(),
                        blockers: Vec::new(),
                    };
                    self.add(case, waiting, open, why.clone());
                }
            }
        }
    }

    fn read(&mut self, reading: OpenReading) {
        let name = |name: &Option<String>| name.as_deref().map(key).unwrap_or_default().into_owned();
        let place = (reading.feature, name(&reading.part), name(&reading.place));
        if self.known.insert(place) {
            self.readings.push(reading);
        }
    }

    /// Readings that a step has overtaken.
    fn stale(&mut self, case: &Case<'_>) {
        for (instance, reading, overtaker) in stale_readings(case) {
            let Some(feature) = instance.feature else { continue };
            let name = |word: &Option<crate::model::job::Word>| word.as_ref().map(|word| word.key.clone());
            let since = format!("stale since line {}", case.line_of(overtaker));
            let mover = still_moved(case, feature);
            self.read(OpenReading {
                feature,
                part: name(&instance.part),
                place: name(&instance.place),
                kind: if mover.is_some() {
                    Kind::ReadLater
                } else {
                    Kind::ReadAgain
                },
                why: match mover {
                    Some(step) => format!("{since}; `{step}` will move it again"),
                    None => since,
                },
                like: case.index_of(reading),
            });
        }
    }

    /// Readings that the steps of the procedures in play ask for.
    fn asked(&mut self, case: &Case<'_>, playing: &[(usize, &Procedure)]) {
        for (_, procedure) in playing {
            for step in &procedure.steps {
                let done = case
                    .rules
                    .book
                    .step_id(&step.name.key)
                    .and_then(|id| case.course.first(id));
                let mut conditions = step.owed_if.iter().chain(&step.only_if);
                let is_due = !step.optional && conditions.all(|condition| holds(case, condition, None));
                if !(is_due || done.is_some()) {
                    continue;
                }
                let until = if done.is_some() { step.until.as_slice() } else { &[] };
                for target in step.reads.iter().chain(until) {
                    let why = format!("owed: {}", step.name.name);
                    self.targets(case, target, None, &why);
                }
            }
        }
        // What a step waits for is read before it, if anything can be.
        let waiting: Vec<Vec<Target>> = self
            .steps
            .iter()
            .filter(|open| open.kind == Kind::DoLater)
            .filter_map(|open| case.rules.book.step(open.id))
            .map(|step| step.given.clone())
            .collect();
        for target in waiting.iter().flatten() {
            self.targets(case, target, None, "wanted before a step");
        }
    }

    /// Readings that a manual the log names requires.
    fn required(&mut self, case: &Case<'_>) {
        if case.job.manuals.is_empty() {
            return;
        }
        for (id, feature) in case.rules.book.features.iter().enumerate() {
            for stage in &feature.required {
                let why = match stage.as_str() {
                    "" => "owed: the manual requires it".to_owned(),
                    stage => format!("owed: {stage}"),
                };
                self.feature(case, (id, feature), None, Some(stage), &why);
            }
        }
    }

    fn targets(&mut self, case: &Case<'_>, target: &Target, stage: Option<&str>, why: &str) {
        let book = &case.rules.book;
        let found = book.feature(&target.feature);
        if let Some(own) = found.and_then(|id| Some((id, book.features.get(id)?))) {
            self.feature(case, own, Some(target), stage, why);
        }
    }

    fn feature(
        &mut self,
        case: &Case<'_>,
        (id, feature): (FeatureId, &Feature),
        target: Option<&Target>,
        stage: Option<&str>,
        why: &str,
    ) {
        let unread = absent(case, id, feature, target, stage);
        for (part, place) in expected(feature, target) {
            if !unread.contains(&crate::model::names::named(&feature.name.name, part, place)) {
                continue;
            }
            if case.is_derived(id) {
                self.input(case, id, (part, place), why);
                continue;
            }
            self.read(OpenReading {
                feature: id,
                part: part.map(str::to_owned),
                place: place.map(str::to_owned),
                kind: Kind::Read,
                why: why.to_owned(),
                like: None,
            });
        }
    }

    /// What is missing to work a derived feature out.
    fn input(&mut self, case: &Case<'_>, id: FeatureId, at: (Option<&str>, Option<&str>), why: &str) {
        let scope = Scope {
            before: None,
            part: at.0,
            place: at.1,
            left: &case.left,
            supposed: None,
        };
        let Some(Err(Reason::Missing(name))) = work(case.rules, case.job, &case.by_feature, id, scope) else {
            return;
        };
        let (rest, place) = split(&name, " at ");
        let (feature, part) = split(rest, " of ");
        let Some(feature) = case.rules.book.feature(&key(feature)) else {
            return;
        };
        self.read(OpenReading {
            feature,
            part: part.map(str::to_owned),
            place: place.map(str::to_owned),
            kind: Kind::Read,
            why: why.to_owned(),
            like: None,
        });
    }

    /// Readings that a sum holds against one that was taken: of the two ends of a crank the other.
    fn companions(&mut self, case: &Case<'_>) {
        let all = case.rules.sums.iter().zip(&case.rules.book.features);
        for (sum, derived) in all.filter_map(|(sum, derived)| Some((sum.as_ref()?, derived))) {
            let mut places: Vec<(FeatureId, String)> = Vec::new();
            sum.node.visit(&mut |node| {
                if let Node::Read(read) = node
                    && let (None, Some(place)) = (&read.part, &read.place)
                {
                    places.push((read.feature, place.clone()));
                }
            });
            let is_read =
                |(id, place): &(FeatureId, String)| case.instances_at(*id, None, Some(place)).next().is_some();
            for (id, place) in places.iter().filter(|one| !is_read(one)) {
                if places.iter().any(|other| other.0 == *id && is_read(other)) {
                    self.read(OpenReading {
                        feature: *id,
                        part: None,
                        place: Some(place.clone()),
                        kind: Kind::Read,
                        why: format!("{} asks for it", derived.name.name),
                        like: None,
                    });
                }
            }
        }
    }

    /// The steps and readings with which a procedure begins.
    fn beginning(&mut self, case: &Case<'_>, waiting: &[(StepId, String)], number: usize, procedure: &Procedure) {
        let why = format!("begins {}", procedure.name.name);
        let is_first = |step: &&Step| !step.reads.is_empty() && step.after.is_empty();
        for target in procedure.steps.iter().filter(is_first).take(1).flat_map(|s| &s.reads) {
            self.targets(case, target, None, &why);
        }
        // Of a procedure in which nothing is owed by itself any step may be the first.
        let all_optional = procedure
            .steps
            .iter()
            .all(|step| step.optional || !step.reads.is_empty());
        for (index, step) in procedure.steps.iter().enumerate() {
            let id = StepId {
                procedure: number,
                step: index,
            };
            if !step.reads.is_empty() || (step.optional && !all_optional) || case.course.first(id).is_some() {
                continue;
            }
            let others: Vec<&str> = step
                .after
                .iter()
                .filter_map(|name| case.rules.book.step(case.rules.book.step_id(&name.key)?))
                .filter(|before| before.reads.is_empty())
                .map(|before| before.name.name.as_str())
                .collect();
            if !others.is_empty() {
                continue;
            }
            let blockers = blockers(case, id, step);
            let (kind, why) = if blockers.is_empty() {
                (Kind::MayDo, why.clone())
            } else {
                (Kind::DoLater, format!("{why}, once {}", words::list(&blockers)))
            };
            let open = StepOpen {
                id,
                kind,
                what: String::new(),
                blockers: Vec::new(),
            };
            self.add(case, waiting, open, why);
        }
    }
}

/// A name parted at the last such word.
fn split<'n>(name: &'n str, word: &str) -> (&'n str, Option<&'n str>) {
    name.rsplit_once(word)
        .map_or((name, None), |(name, behind)| (name, Some(behind)))
}
