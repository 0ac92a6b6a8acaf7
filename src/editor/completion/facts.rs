//! What several kinds of proposal ask of a log.

use std::cell::OnceCell;

use super::Around;
use crate::calc::sum::Node;
use crate::judge::Analysis;
use crate::judge::open_work::{OpenWork, open_work};
use crate::model::book::{Book, FeatureId, StepId};
use crate::model::job::{Done, Event, EventKind, Instance, Job, Reading, Word};
use crate::model::manual::Feature;
use crate::model::names::{key, named};
use crate::model::tools::Tool;
use crate::syntax::Span;

/// A log with what lies around it; what is open is worked out when it is first asked for.
pub(super) struct Facts<'a> {
    pub log: &'a Analysis,
    pub around: &'a Around,
    /// The line that is being written: what stands on it half is no name.
    here: Span,
    open: OnceCell<OpenWork>,
}

impl<'a> Facts<'a> {
    /// The facts while a line is written, by its number from 0; `None` for none.
    pub fn new(log: &'a Analysis, around: &'a Around, line: Option<usize>) -> Facts<'a> {
        Facts {
            log,
            around,
            here: line.map_or(
                Span {
                    start: u32::MAX,
                    end: u32::MAX,
                },
                |line| log.source.lines.line_span(line, &log.source.text),
            ),
            open: OnceCell::new(),
        }
    }

    pub fn text(&self) -> &'a str {
        &self.log.source.text
    }

    pub fn job(&self) -> &'a Job {
        &self.log.job
    }

    pub fn book(&self) -> &'a Book {
        &self.log.rules.book
    }

    /// Whether something stands on the line that is being written.
    fn is_here(&self, span: Span) -> bool {
        self.here.start <= span.start
            && span.start
                < self
                    .here
                    .end
                    .max(self.here.start + u32::from(self.here.start < u32::MAX))
    }

    /// Tools that are declared.
    pub fn tools(&self) -> impl Iterator<Item = &'a Tool> {
        self.job().tools.iter().filter(|tool| !self.is_here(tool.name.span))
    }

    /// What was read, at each part and place.
    pub fn all_instances(&self) -> impl Iterator<Item = &'a Instance> {
        self.job().instances.iter().filter(|instance| {
            let mut readings = instance
                .readings
                .iter()
                .filter_map(|index| self.job().readings.get(*index));
            readings.any(|reading| !self.is_here(reading.name_span))
        })
    }

    /// What is open on the bench.
    pub fn open(&self) -> &OpenWork {
        self.open.get_or_init(|| open_work(self.log))
    }

    /// A name as it is written in the log.
    pub fn written(&self, word: &Word) -> String {
        let written = fold(word.span.text(self.text()));
        // The place of a table's cell is put together from two words, and stands nowhere.
        if key(&written) == word.key {
            written
        } else {
            word.key.clone()
        }
    }

    /// A feature by a name in any case; `None` if no manual knows it.
    pub fn feature(&self, name: &str) -> Option<(FeatureId, &'a Feature)> {
        let id = self.book().feature(&key(name))?;
        Some((id, self.book().features.get(id)?))
    }

    /// The instances of a name: of the feature, or of what the log alone calls so.
    pub fn instances(&self, name: &str) -> Vec<&'a Instance> {
        let wanted = key(name);
        let id = self.book().feature(&wanted);
        self.all_instances()
            .filter(|instance| match (id, instance.feature) {
                (Some(wanted), Some(own)) => wanted == own,
                _ => instance.name.key == wanted,
            })
            .collect()
    }

    /// The latest reading of an instance that has a figure.
    pub fn latest(&self, instance: &Instance) -> Option<&'a Reading> {
        let readings = instance.readings.iter().rev();
        readings
            .filter_map(|index| self.job().readings.get(*index))
            .find(|reading| !reading.points.is_empty() && !self.is_here(reading.name_span))
    }

    /// The latest reading of a feature, at whichever part and place.
    pub fn latest_of(&self, name: &str) -> Option<&'a Reading> {
        let all = self.instances(name);
        all.iter().filter_map(|i| self.latest(i)).max_by_key(|r| r.event)
    }

    /// The places at which sums take a feature, each once.
    pub fn places_in_sums(&self, feature: FeatureId) -> Vec<String> {
        let mut known: Vec<String> = Vec::new();
        for sum in self.log.rules.sums.iter().flatten() {
            sum.node.visit(&mut |node| {
                if let Node::Read(read) | Node::Ask(_, read) = node
                    && read.feature == feature
                    && let Some(place) = read.place.as_ref().filter(|place| !known.contains(place))
                {
                    known.push(place.clone());
                }
            });
        }
        known
    }

    /// An instance as it is named in a log: by the manual's name of the feature, if there is one.
    pub fn named(&self, instance: &Instance) -> String {
        let own = instance.feature.and_then(|id| self.book().features.get(id));
        let name = own.map_or_else(|| self.written(&instance.name), |f| f.name.name.clone());
        let word = |word: &Option<Word>| word.as_ref().map(|word| self.written(word));
        named(&name, word(&instance.part).as_deref(), word(&instance.place).as_deref())
    }

    /// The number of the line of an event, from 1.
    pub fn line_of(&self, event: usize) -> usize {
        let span = self.job().events.get(event).map(|e| e.span).unwrap_or_default();
        self.log.source.lines.line_of(span.start) + 1
    }

    /// The text of the line of an event.
    pub fn line(&self, event: usize) -> &'a str {
        let span = self.job().events.get(event).map_or(Span::default(), |e| e.span);
        span.text(self.text())
    }

    /// Steps done and not undone, in order, with their events.
    pub fn done(&self) -> impl DoubleEndedIterator<Item = (usize, &'a Done)> {
        self.events().filter_map(|(at, event)| match &event.kind {
            EventKind::Did(done) if !done.is_undone() => Some((at, done)),
            _ => None,
        })
    }

    /// The event at which a step was last done.
    pub fn last_done(&self, id: StepId) -> Option<usize> {
        let mut done = self.done().rev();
        done.find(|(_, done)| done.step == Some(id)).map(|(at, _)| at)
    }

    /// What happened, with its number.
    pub fn events(&self) -> impl DoubleEndedIterator<Item = (usize, &'a Event)> {
        let all = self.job().events.iter().enumerate();
        all.filter(|(_, event)| !self.is_here(event.span))
    }

    /// The stage at the end of the log; empty before the first.
    pub fn stage(&self) -> &'a str {
        self.job().stages.last().map_or("", |stage| stage.key.as_str())
    }

    /// Stages that come next, with why: as found first, then goods in, build and run in.
    pub fn stages(&self) -> Vec<(String, &'static str)> {
        const COURSE: &[&str] = &["as found", "goods in", "build", "run in"];
        let at = COURSE.iter().position(|stage| *stage == self.stage());
        let next = COURSE.iter().skip(at.map_or(0, |at| at + 1));
        let mut list: Vec<(String, &'static str)> = next.map(|stage| ((*stage).to_owned(), "comes next")).collect();
        if at.is_some() {
            list.push((self.stage().to_owned(), "goes on"));
        }
        list
    }
}

/// A text with its blanks folded to one.
pub(super) fn fold(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
