//! What began a thing anew: steps that disturb it, lines that say that it was renewed, readings behind the work.

use std::hash::{Hash as _, Hasher as _};

use rustc_hash::{FxHashMap, FxHasher};

use crate::judge::case::{Case, only_of};
use crate::model::job::{EventKind, Instance, SaidKind};
use crate::model::names::{says, weighty};
use crate::uncertainty::{Cause, Origin, Scope};

/// Words that say what is measured and not on what: they tie no step to a feature.
const MEASURES: &[&str] = &[
    "and",
    "clearance",
    "depth",
    "diameter",
    "end",
    "for",
    "from",
    "gap",
    "greatest",
    "height",
    "inner",
    "least",
    "left",
    "length",
    "outer",
    "out",
    "play",
    "right",
    "round",
    "run-out",
    "runout",
    "side",
    "size",
    "the",
    "thickness",
    "total",
    "true",
    "wear",
    "width",
    "with",
];

/// What happened in a job that began things anew.
pub(super) struct Changes<'c, 'a> {
    case: &'c Case<'a>,
    /// By word: the events whose line names a thing that was renewed or worked on.
    named: FxHashMap<String, Vec<usize>>,
    /// For each tool, a number for what its permissible error is one with.
    tools: Vec<u64>,
}

impl<'c, 'a> Changes<'c, 'a> {
    pub(super) fn new(case: &'c Case<'a>) -> Changes<'c, 'a> {
        let mut named: FxHashMap<String, Vec<usize>> = FxHashMap::default();
        for (number, event) in case.job.events.iter().enumerate() {
            for name in renewed(&event.kind) {
                for word in weighty(name).filter(|word| !MEASURES.contains(word)) {
                    let list = named.entry(word.to_owned()).or_default();
                    if list.last() != Some(&number) {
                        list.push(number);
                    }
                }
            }
        }
        Changes {
            case,
            named,
            tools: tools(case),
        }
    }

    /// What began an instance anew between a reading of it and a later one; `None` where its life goes on.
    pub(super) fn between(&self, instance: &Instance, then: usize, now: usize) -> Option<String> {
        let is_behind = !self.is_service(now) && self.is_service(then);
        self.touched(instance, then.saturating_add(1), now)
            .or_else(|| self.behind_the_work(is_behind, then.saturating_add(1), now))
    }

    /// The same from the beginning of the job to its first reading.
    pub(super) fn before(&self, instance: &Instance, now: usize) -> Option<String> {
        self.touched(instance, 0, now)
            .or_else(|| self.behind_the_work(!self.is_service(now), 0, now))
    }

    /// The same from its last reading to the end of the job.
    pub(super) fn after(&self, instance: &Instance, then: usize) -> Option<String> {
        self.touched(instance, then.saturating_add(1), usize::MAX)
    }

    /// Whether a reading belongs to the life before the work: one of service, or of a day without a stage, which says nothing.
    fn is_service(&self, event: usize) -> bool {
        let stage = self.case.stage(event);
        stage.is_service() || stage.key.is_empty()
    }

    /// The first step that disturbs an instance, or line that says that it was renewed, from one event on and before another.
    pub(super) fn touched(&self, instance: &Instance, from: usize, to: usize) -> Option<String> {
        let by_manual = instance
            .feature
            .and_then(|feature| self.case.first_disturbed(feature, instance, from, to));
        let event = by_manual.or_else(|| self.named_between(instance, from, to))?;
        let text = self.case.event_span(event).text(self.case.text());
        let first = text.split([',', ';', ':']).next().unwrap_or(text);
        let said = crate::judge::words::fold(first);
        Some(format!("{said}, line {}", self.case.line_of(event)))
    }

    /// That a reading stands behind the work of a job.
    pub(super) fn behind_the_work(&self, is_behind: bool, from: usize, now: usize) -> Option<String> {
        let stage = &self.case.stage(now).key;
        (is_behind && self.case.moves.any(from, now))
            .then(|| format!("read in {stage}, behind the work, line {}", self.case.line_of(now)))
    }

    /// The first event from one on and before another that names what an instance is of.
    fn named_between(&self, instance: &Instance, from: usize, to: usize) -> Option<usize> {
        let part = instance.part.as_ref().map_or("", |part| part.key.as_str());
        let words = weighty(self.case.key_of(instance)).chain(weighty(part));
        words
            .filter(|word| !MEASURES.contains(word))
            .filter_map(|word| {
                let list = self.named.get(word)?;
                let start = list.partition_point(|event| *event < from);
                let mut events = list.get(start..)?.iter().copied();
                events.find(|event| *event >= to || self.is_on(*event, part))
            })
            .filter(|event| *event < to)
            .min()
    }

    /// Whether what an event names may be of a part: not where it names another of the same kind by its number.
    fn is_on(&self, event: usize, part: &str) -> bool {
        let Some(event) = self.case.job.events.get(event) else {
            return false;
        };
        let numbers = |text: &str| -> Vec<String> {
            let is_number = |word: &&str| word.bytes().all(|b| b.is_ascii_digit());
            text.split(' ').filter(is_number).map(str::to_owned).collect()
        };
        let own = numbers(part);
        let mut said: Vec<String> = renewed(&event.kind).into_iter().flat_map(numbers).collect();
        if let EventKind::Did(done) | EventKind::Undid(done) = &event.kind {
            said.extend(only_of(done).into_iter().flat_map(numbers));
        }
        own.is_empty() || said.is_empty() || own.iter().any(|number| said.contains(number))
    }

    /// A number for whose error it is, alike in two logs only where it is the same error.
    pub(super) fn whose(&self, origin: Origin) -> u64 {
        let book = &self.case.rules.book;
        let name = |feature: u32| book.features.get(feature as usize).map(|f| f.name.key.as_str());
        let tool = |tool: u32| self.tools.get(tool as usize).copied();
        let mut hasher = FxHasher::default();
        match origin.scope {
            Scope::ToolOn(index, feature) if name(feature).is_some() && origin.cause == Cause::Permissible => {
                (tool(index), name(feature)).hash(&mut hasher);
            }
            // What no manual knows has another number in each log, and a zero is set anew.
            _ => (&self.case.source.name, origin).hash(&mut hasher),
        }
        hasher.finish()
    }
}

/// The names of what an event renews, or works on without a manual knowing it.
fn renewed(event: &EventKind) -> Vec<&str> {
    match event {
        EventKind::Did(done) | EventKind::Undid(done) => {
            let from: Vec<&str> = done
                .said
                .iter()
                .filter_map(|said| match &said.kind {
                    SaidKind::From(part) => Some(part.as_str()),
                    _ => None,
                })
                .collect();
            let is_foreign = done.step.is_none() || !from.is_empty();
            let own = is_foreign.then_some(done.name.key.as_str());
            own.into_iter().chain(from).collect()
        }
        EventKind::Chose(taken, _) => vec![taken.key.as_str()],
        EventKind::Found(part, said) => {
            let decided = ["replace", "repair", "machine"];
            let is_renewed = said.iter().any(|said| decided.iter().any(|word| says(&said.key, word)));
            is_renewed.then_some(part.key.as_str()).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// For each tool a number: alike in two logs only where both declare it alike, with the same date for its next calibration.
fn tools(case: &Case<'_>) -> Vec<u64> {
    let number = |index: usize| {
        let tool = case.job.tools.get(index)?;
        let mut hasher = FxHasher::default();
        tool.name.key.hash(&mut hasher);
        match &tool.due {
            Some(due) => {
                let facts = (&tool.kind, &due.key, tool.good_to.map(|g| g.0), tool.good_to_share);
                facts.hash(&mut hasher);
            }
            // Whether it was set between two jobs nobody says.
            None => (&case.source.name, index).hash(&mut hasher),
        }
        Some(hasher.finish())
    };
    (0..case.job.tools.len())
        .map(|index| number(index).unwrap_or(0))
        .collect()
}
