//! The case before the judge: a job and its rules, with everything worked out once that several rules need.

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::Settings;
use super::disturbance::{Disturber, disturbers};
use super::finals::{Final, finals};
use super::finding::{Edit, Finding, Fix, Severity, Source};
use super::moves::Moves;
use super::procedure::{Asked, Course, asked};
use super::rules::instruments::coarse;
use super::rules::is_long;
use super::rules::slips::{Slipped, among_siblings};
use crate::calc::{Rulebook, Worked};
use crate::metrology::Which;
use crate::model::Job;
use crate::model::book::FeatureId;
use crate::model::job::{Done, EventKind, Instance, Reading};
use crate::model::limit::Limit;
use crate::model::manual::{Feature, Step};
use crate::model::names::{place_within, says};
use crate::model::stage::Stage;
use crate::syntax::ast::LogTree;
use crate::syntax::{LineIndex, Span, newline_at};
use crate::uncertainty::Decision;

pub use super::disturbance::only_of;

/// A job, the rules it is judged by, and what follows from both at once.
pub struct Case<'a> {
    /// The log's text.
    pub source: &'a Arc<Source>,
    /// Its tree.
    pub tree: &'a LogTree,
    /// The job.
    pub job: &'a Job,
    /// The rules.
    pub rules: &'a Rulebook,
    /// Instances of each feature of the book.
    pub by_feature: Vec<Vec<usize>>,
    /// For each instance, the event that overtook its latest reading.
    pub overtaken: Vec<Option<usize>>,
    /// What the repository says for all its logs.
    pub settings: Settings,
    /// For each reading, what was decided, and on which of its figures; `None` where there is no limit or no figure.
    pub decisions: Vec<Option<(Which, Decision)>>,
    /// The latest readings whose tool is too coarse for their limit, one a feature.
    pub coarse: BTreeSet<usize>,
    /// Readings with a figure that stands apart from its siblings as a usual slip makes it.
    pub slipped: FxHashMap<usize, Slipped>,
    /// What may have moved a thing without a manual saying so.
    pub(super) moves: Moves,
    /// Parts that were left for others: keys.
    pub left: Vec<String>,
    /// Every step done, with the number of its event.
    pub done: Vec<(usize, &'a Done)>,
    /// For each feature, every step that disturbs it.
    pub(super) disturbers: Vec<Vec<Disturber<'a>>>,
    /// Every derived feature as it stands at the end.
    pub finals: Vec<Final<'a>>,
    /// The steps that a manual knows, in order.
    pub course: Course<'a>,
    /// What the procedures in play ask of their order, and what came of it.
    pub asked: Vec<Asked>,
}

impl<'a> Case<'a> {
    /// Works out what several rules need.
    pub fn new(
        source: &'a Arc<Source>,
        tree: &'a LogTree,
        job: &'a Job,
        rules: &'a Rulebook,
        settings: Settings,
    ) -> Case<'a> {
        let mut case = Case::begun(source, tree, job, rules, settings);
        case.coarse = coarse(&case);
        case.slipped = among_siblings(&case);
        case.finals = finals(&case);
        case
    }

    /// The same without what may take long: no derived feature is worked out (some are drawn), no slip is looked for. It knows what was done, what was
    /// overtaken and what is asked of the order.
    pub(super) fn begun(
        source: &'a Arc<Source>,
        tree: &'a LogTree,
        job: &'a Job,
        rules: &'a Rulebook,
        settings: Settings,
    ) -> Case<'a> {
        let features = rules.book.features.len();
        let mut by_feature = vec![Vec::new(); features];
        for (index, instance) in job.instances.iter().enumerate() {
            if let Some(list) = instance.feature.and_then(|id| by_feature.get_mut(id)) {
                list.push(index);
            }
        }
        let done: Vec<(usize, &Done)> = job
            .events
            .iter()
            .enumerate()
            .filter_map(|(number, event)| match &event.kind {
                EventKind::Did(done) => Some((number, done)),
                _ => None,
            })
            .collect();
        let disturbers = disturbers(job, rules, &by_feature);
        let mut case = Case {
            source,
            tree,
            job,
            rules,
            by_feature,
            overtaken: Vec::new(),
            settings,
            decisions: Vec::new(),
            coarse: BTreeSet::new(),
            slipped: FxHashMap::default(),
            moves: Moves::new(job),
            left: left_parts(job),
            done,
            disturbers,
            finals: Vec::new(),
            course: Course::default(),
            asked: Vec::new(),
        };
        case.overtaken = job.instances.iter().map(|i| case.overtaker(i)).collect();
        case.decisions = if is_long(&case) {
            let all = (0..job.readings.len()).into_par_iter();
            all.map(|index| case.decide(index)).collect()
        } else {
            (0..job.readings.len()).map(|index| case.decide(index)).collect()
        };
        case.course = Course::new(&case);
        case.asked = asked(&case);
        case
    }

    /// The log's text.
    pub fn text(&self) -> &'a str {
        &self.source.text
    }

    /// The instances of a feature at a part and a place, where they are named.
    pub fn instances_at<'c>(
        &'c self,
        feature: FeatureId,
        part: Option<&'c str>,
        place: Option<&'c str>,
    ) -> impl Iterator<Item = &'a Instance> + 'c {
        self.by_feature
            .get(feature)
            .into_iter()
            .flatten()
            .filter_map(|index| self.job.instances.get(*index))
            .filter(move |instance| fits(instance, part, place))
    }

    /// Whether the job is closed.
    pub fn is_closed(&self) -> bool {
        self.job.closed.is_some()
    }

    /// What is still to do is open; once the job is closed it is a fault.
    pub fn owed(&self) -> Severity {
        if self.is_closed() {
            Severity::Fault
        } else {
            Severity::Open
        }
    }

    /// The feature of an instance.
    pub fn feature(&self, instance: &Instance) -> Option<&'a Feature> {
        instance.feature.and_then(|id| self.rules.book.features.get(id))
    }

    /// The key of a feature's name: as its manual has it, else as it was written.
    pub fn key_of<'c>(&'c self, instance: &'c Instance) -> &'c str {
        self.feature(instance).map_or(&instance.name.key, |f| &f.name.key)
    }

    /// The instance of a reading.
    pub fn instance(&self, reading: &Reading) -> Option<&'a Instance> {
        self.job.instances.get(reading.instance)
    }

    /// The stage of an event.
    pub fn stage(&self, event: usize) -> &Stage {
        self.job.stage(self.job.events.get(event).map_or(0, |e| e.stage))
    }

    /// Where an event stands.
    pub fn event_span(&self, event: usize) -> Span {
        self.job.events.get(event).map(|e| e.span).unwrap_or_default()
    }

    /// The number of the line an event stands on, from 1.
    pub fn line_of(&self, event: usize) -> usize {
        self.lines().line_of(self.event_span(event).start) + 1
    }

    fn lines(&self) -> &LineIndex {
        &self.source.lines
    }

    /// The latest reading of an instance that has a figure.
    pub fn latest(&self, instance: &Instance) -> Option<(usize, &'a Reading)> {
        instance
            .readings
            .iter()
            .rev()
            .filter_map(|index| self.job.readings.get(*index).map(|r| (*index, r)))
            .find(|(_, reading)| !reading.points.is_empty())
    }

    /// The step a done line means.
    pub fn step(&self, done: &Done) -> Option<&'a Step> {
        done.step.and_then(|id| self.rules.book.step(id))
    }

    /// Whether the latest reading of an instance was overtaken by a step, and proves nothing any more.
    pub fn is_overtaken(&self, instance: usize) -> bool {
        self.overtaken.get(instance).copied().flatten().is_some()
    }

    /// Whether a figure of an event is how the machine came in, in a job that is still open: being out is then what the job is for.
    pub fn came_in_worn(&self, event: usize) -> bool {
        self.stage(event).is_service() && !self.is_closed()
    }

    /// The latest reading that a worked sum rests on.
    pub fn latest_input(&self, worked: &Worked) -> Option<&'a Reading> {
        let readings = worked.inputs.iter().filter_map(|index| self.job.readings.get(*index));
        readings.max_by_key(|reading| reading.event)
    }

    /// Whether an instance is of a part that was left for another.
    pub fn is_left(&self, instance: &Instance) -> bool {
        instance.part.as_ref().is_some_and(|part| self.left.contains(&part.key))
    }

    /// Whether a feature is derived.
    pub fn is_derived(&self, feature: FeatureId) -> bool {
        self.rules.sums.get(feature).is_some_and(Option::is_some)
    }

    /// The limit a reading is judged by.
    pub fn limit_of(&self, reading: &Reading) -> Option<&'a Limit> {
        let feature = self.feature(self.instance(reading)?)?;
        feature.limit_at(self.stage(reading.event))
    }

    /// The step done or undone at an event.
    pub fn done_at(&self, event: usize) -> Option<&'a Done> {
        match &self.job.events.get(event)?.kind {
            EventKind::Did(done) | EventKind::Undid(done) => Some(done),
            _ => None,
        }
    }

    /// Whether a reading was taken with blades, by the tool's plain name or its declared kind.
    pub fn is_by_blades(&self, reading: &Reading) -> bool {
        let blades = |name: &str| name.contains("feeler") || name.contains("blade");
        reading.tool.as_ref().is_some_and(|tool| {
            let kind = self.job.tool(&tool.key).map_or("", |t| t.kind.as_str());
            blades(&tool.key) || blades(kind)
        })
    }

    /// Whether a step's line says what is needed, under any of the names.
    pub fn says_any(&self, done: &Done, names: &[&str]) -> bool {
        done.said
            .iter()
            .filter(|said| said.is_tick())
            .any(|said| names.iter().any(|name| says(&said.key, name)))
    }

    /// A line to be added below a reading, and below all the rows of its table.
    pub fn add_line_below_reading(&self, reading: &Reading, line: &str) -> Option<Fix> {
        let mut last = reading.name_span;
        if let Some(EventKind::Readings(range)) = self.job.events.get(reading.event).map(|event| &event.kind) {
            for cell in range.clone().filter_map(|index| self.job.readings.get(index)) {
                if cell.figure_span.start > last.start {
                    last = cell.figure_span;
                }
            }
        }
        self.add_line_below(last, line)
    }

    /// A line to be added below an entry.
    pub fn add_line_below(&self, at: Span, line: &str) -> Option<Fix> {
        let number = self.lines().line_of(at.start);
        let written = self.tree.lines.get(number)?;
        let end = written.comment.to(written.content).to(written.gap).end;
        let newline = newline_at(&self.tree.lines, number, self.text());
        Some(Fix {
            title: format!("add below: {line}"),
            edits: vec![Edit {
                span: Span { start: end, end },
                text: format!("{newline}{line}"),
            }],
        })
    }

    /// The source of a limit, as it is named in a message: `workshop manual, page 41 (tarn-250)`.
    pub fn limit_note(&self, limit: &Limit) -> String {
        let stage = limit.name();
        match &limit.source {
            Some(source) => format!("{stage}; source: {source}"),
            None => format!("{stage}; no source is given"),
        }
    }

    /// Adds the place of a limit to a finding.
    pub fn with_limit(&self, finding: Finding, limit: &Limit) -> Finding {
        finding.see_in(self.rules.book.source(limit.manual), limit.span, self.limit_note(limit))
    }
}

/// Parts that a `chose … over …` line left, unless a later line takes them after all.
fn left_parts(job: &Job) -> Vec<String> {
    let mut left: FxHashSet<String> = FxHashSet::default();
    for event in &job.events {
        if let EventKind::Chose(taken, other) = &event.kind {
            left.remove(&taken.key);
            if let Some(other) = other {
                left.insert(other.key.clone());
            }
        }
    }
    let mut list: Vec<String> = left.into_iter().collect();
    list.sort();
    list
}

/// Whether an instance is of this part and at this place, where they are named.
fn fits(instance: &Instance, part: Option<&str>, place: Option<&str>) -> bool {
    let of_part = part.is_none_or(|wanted| instance.part.as_ref().is_some_and(|p| p.key == wanted));
    let at_place = place.is_none_or(|wanted| instance.place.as_ref().is_some_and(|p| place_within(&p.key, wanted)));
    of_part && at_place
}
