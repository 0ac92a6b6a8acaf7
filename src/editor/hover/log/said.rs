//! A step in a log, what is added to one, and what stands behind the commas of a line.

use super::super::card::{Card, code};
use super::super::step::{self, AsDone};
use super::super::{reading, things, tool, verdict};
use super::{Ask, Found};
use crate::model::job::Done;
use crate::quantity::Dimension;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Entry, Statement, Subject};

impl Ask<'_> {
    /// A line that adds to one above: to a step, or to a reading.
    pub(super) fn amended(&self, entry: &Entry, name: Span, subject: &Subject, details: &[Detail]) -> Found {
        let key = crate::model::names::key(name.text(self.text())).into_owned();
        if self.case.rules.book.step_id(&key).is_some() {
            return self.named_step(name).or_else(|| self.details(entry, details));
        }
        if self.is_in(subject.span()) {
            let index = reading::above(self.case, subject, entry.span.start)?;
            let card = reading::card(self.case, index, None, self.earlier)?;
            return Some((subject.span(), card));
        }
        self.details(entry, details)
    }

    /// The step that a line adds to: the last one of its name above.
    pub(super) fn amended_step(&self, entry: &Entry) -> Option<&Done> {
        let Statement::Amend(name, ..) = &entry.statement else {
            return None;
        };
        let id = self
            .case
            .rules
            .book
            .step_id(&crate::model::names::key(name.text(self.text())))?;
        let mut above = self.case.done.iter().rev();
        let found =
            above.find(|(event, done)| done.step == Some(id) && self.case.event_span(*event).start < entry.span.start);
        found.map(|(_, done)| *done)
    }

    /// What was done, with what its line says.
    pub(super) fn step(&self, entry: &Entry, name: Span, details: &[Detail]) -> Found {
        let event = self.event_of(entry);
        if self.is_in(name) {
            let Some(done) = event.and_then(|event| self.case.done_at(event)) else {
                return self.named_step(name);
            };
            let card = match done.step {
                Some(id) => {
                    let done = AsDone { case: self.case, done };
                    step::card(&self.case.rules.book, id, Some(done))?
                }
                None => step::unknown(name.text(self.text())),
            };
            return Some((name, card));
        }
        self.details(entry, details)
    }

    /// What stands behind the commas of a line.
    pub(super) fn details(&self, entry: &Entry, details: &[Detail]) -> Found {
        if let Some(found) = self.details_unit(details) {
            return Some(found);
        }
        let detail = details.iter().find(|detail| self.is_in(detail.span))?;
        let event = self.event_of(entry);
        let done: Option<&Done> = event
            .and_then(|event| self.case.done_at(event))
            .or_else(|| self.amended_step(entry));
        match &detail.kind {
            DetailKind::Tick(span) => {
                let step = done.and_then(|done| self.case.step(done));
                step?;
                Some((*span, things::tick(self.case, step, *span)?))
            }
            // On the line of an order it is who sells it.
            DetailKind::From(part) if done.is_some() => self.part(*part),
            DetailKind::Amount { name, tool, .. } => {
                if let Some(tool) = tool.filter(|tool| self.is_in(*tool)) {
                    return Some((tool, tool::card(self.case, tool.text(self.text()), event)));
                }
                let done = done?;
                let step = self.case.step(done)?;
                let name = (*name)?;
                let key = crate::model::names::key(name.text(self.text()));
                let bound = step.bounds.iter().find(|bound| bound.name == key)?;
                let mut card = Card::new(format!("**{}** of {}", code(&bound.name), code(&step.name.name)));
                match &bound.bound {
                    crate::model::manual::BoundKind::Limit(limit) => {
                        card.fact(verdict::limit_line(limit, &self.case.rules.book).replacen(
                            "tolerance",
                            "allowed",
                            1,
                        ));
                        if self.case.rules.book.precaution(&bound.name).is_some() {
                            card.fact("passing it is a **danger**");
                            card.fact(step::DEFER);
                        }
                    }
                    crate::model::manual::BoundKind::RatingOf(tool) => {
                        card.fact(format!("at most what {} is rated for", code(&tool.name)));
                        card.fact(step::DEFER);
                    }
                }
                Some((detail.span, card))
            }
            _ => None,
        }
    }

    pub(super) fn details_unit(&self, details: &[Detail]) -> Found {
        details.iter().find_map(|detail| match &detail.kind {
            DetailKind::Amount { name, figure, .. } => {
                // What is written with a load is a force: `6 t on press`.
                let is_load = name.is_some_and(|name| {
                    let name = crate::model::names::key(name.text(self.text())).into_owned();
                    matches!(name.as_str(), "force" | "rated" | "load")
                });
                self.unit(reading::amounts(figure), is_load.then_some(Dimension::FORCE))
            }
            _ => None,
        })
    }
}
