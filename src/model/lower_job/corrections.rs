//! Corrections: figures mended, things added that were not said, steps undone. The log keeps what was written; the job goes on
//! with what it was mended to.

use super::Lowering;
use crate::model::conditions::Conditions;
use crate::model::details::{Details, amounts, is_staged, said_amount};
use crate::model::job::{Done, Event, EventKind, Instance, Reading, ReadingKind, SaidAmount, SaidKind, Undone};
use crate::model::names::place_within;
use crate::model::readings;
use crate::model::units::{Meant, UnitError};
use crate::syntax::Span;
use crate::syntax::ast::{Detail, Figure, Subject};

impl Lowering<'_> {
    /// A correction of a reading: of the one that is named, or of the only one of that feature that has the old figure.
    pub(super) fn fix_reading(&mut self, span: Span, subject: &Subject, old: &Figure, new: &Figure) {
        let event = self.job.events.len();
        let found = self.readings_of(subject, |reading, text| readings::has(reading, old, text));
        let written = subject.span().text(self.text);
        match found.as_slice() {
            [one] => {
                let text = self.text;
                let mended = self
                    .job
                    .readings
                    .get_mut(*one)
                    .map(|reading| readings::mend(reading, old, new, text, event));
                if let Some(Err(error)) = mended {
                    self.problems.push(*error);
                }
            }
            [] => {
                let last = self
                    .readings_of(subject, |_, _| true)
                    .last()
                    .and_then(|index| self.job.readings.get(*index));
                let help = match last {
                    Some(reading) => format!(
                        "the last reading of it says `{}`: name that figure, with the part and place of the reading",
                        reading.figure_span.text(self.text)
                    ),
                    None => "nothing was read under this name, part and place before: write them as on the reading's own line".to_owned(),
                };
                let message = format!("no reading of {written} above says {}", old.span.text(self.text));
                self.problem("fix.no-target", span, message, help);
            }
            several => {
                let names: Vec<String> = several
                    .iter()
                    .filter_map(|index| self.job.readings.get(*index))
                    .map(|reading| format!("`{}`", reading.name_span.text(self.text)))
                    .collect();
                let message = format!(
                    "{} readings of {written} say {}: which is meant?",
                    several.len(),
                    old.span.text(self.text)
                );
                let help = format!("name the part and place: {}", names.join(", "));
                self.problem("fix.no-target", span, message, help);
            }
        }
    }

    /// Readings of a feature that pass, one for each part and place, the latest; those of the very part and place that are named, else those
    /// that the name can mean.
    fn readings_of(&self, subject: &Subject, passes: impl Fn(&Reading, &str) -> bool) -> Vec<usize> {
        let name = self.word(subject.feature).key;
        let feature = self.book.feature(&name);
        let part = subject.part.map(|p| self.word(p).key);
        let place = subject.place.map(|p| self.word(p).key);
        let same = |instance: &Instance| match feature {
            Some(_) => instance.feature == feature,
            None => instance.name.key == name,
        };
        let latest = |instance: &Instance| {
            instance.readings.iter().rev().copied().find(|index| {
                self.job
                    .readings
                    .get(*index)
                    .is_some_and(|reading| passes(reading, self.text))
            })
        };
        let exact = |i: &&Instance| {
            i.part.as_ref().map(|p| &p.key) == part.as_ref() && i.place.as_ref().map(|p| &p.key) == place.as_ref()
        };
        let near = |i: &&Instance| {
            let of_part = part
                .as_ref()
                .is_none_or(|wanted| i.part.as_ref().is_some_and(|p| p.key == *wanted));
            let at_place = place
                .as_ref()
                .is_none_or(|wanted| i.place.as_ref().is_some_and(|p| place_within(&p.key, wanted)));
            of_part && at_place
        };
        let candidates = || self.job.instances.iter().filter(|i| same(i));
        let found: Vec<usize> = candidates().filter(exact).filter_map(latest).collect();
        if !found.is_empty() {
            return found;
        }
        candidates().filter(near).filter_map(latest).collect()
    }

    pub(super) fn fix_step(&mut self, span: Span, step: Span, amount: Span, old: &Figure, new: &Figure) {
        let amount_key = self.word(amount).key;
        let text = self.text;
        let events = self.steps.get(&self.step_key(step)).into_iter().flatten().rev();
        let result = events.copied().find_map(|event| {
            let EventKind::Did(done) = &mut self.job.events.get_mut(event)?.kind else {
                return None;
            };
            done.said.iter_mut().find_map(|said| match &mut said.kind {
                SaidKind::Amount(known) if known.name == amount_key => mend_amount(known, old, new, text).transpose(),
                _ => None,
            })
        });
        match result {
            Some(Ok(())) => {}
            Some(Err(error)) => self.problems.push(*error),
            None => {
                let message = format!(
                    "no step `{}` above says {} {}",
                    step.text(text),
                    amount.text(text),
                    old.span.text(text)
                );
                self.problem(
                    "fix.no-target",
                    span,
                    message,
                    "write the step, the amount's name and the old figure as on the step's own line".to_owned(),
                );
            }
        }
    }

    /// The latest event above at which a step was done that `counts`.
    fn done_before(&self, name: Span, counts: impl Fn(&Done) -> bool) -> Option<usize> {
        let events = self.steps.get(&self.step_key(name))?;
        events.iter().rev().copied().find(|event| {
            let kind = self.job.events.get(*event).map(|event| &event.kind);
            matches!(kind, Some(EventKind::Did(done)) if counts(done))
        })
    }

    /// Adds what was not said with the latest step or reading of that name.
    pub(super) fn amend(&mut self, span: Span, whole: Span, subject: &Subject, details: &[Detail]) {
        if let Some(event) = self.done_before(whole, |done| !done.is_undone()) {
            let step = self.book.step_id(&self.word(whole).key);
            let wanted = step
                .and_then(|id| self.book.step(id))
                .map_or(Details::Any, Details::Step);
            let more = self.said(details, wanted);
            if let Some(EventKind::Did(done)) = self.job.events.get_mut(event).map(|e| &mut e.kind) {
                done.said.extend(more);
            }
            return;
        }
        let found = self.readings_of(subject, |_, _| true);
        let latest = found.last().copied();
        if let (Some(index), true) = (latest, found.len() == 1) {
            let more = self.said(details, Details::Any);
            let is_plus_minus = matches!(self.job.readings.get(index), Some(r) if r.kind == ReadingKind::PlusMinus);
            self.coverage_factors(&more, is_plus_minus);
            if let Some(reading) = self.job.readings.get_mut(index) {
                Conditions::said(&more).amend(reading);
                reading.said.extend(more);
            }
            return;
        }
        let written = whole.text(self.text);
        let (message, help) = if found.is_empty() {
            (
                format!("no step and no reading above is called `{written}`"),
                "write the name as on its own line",
            )
        } else {
            (
                format!("{} readings above are called `{written}`: which is meant?", found.len()),
                "name the part and place too",
            )
        };
        self.problem("fix.no-target", span, message, help.to_owned());
    }

    pub(super) fn undid(&mut self, span: Span, name: Span, details: &[Detail]) {
        let said = self.said(details, Details::Any);
        let word = self.word(name);
        let step = self.book.step_id(&word.key);
        let last = self.done_before(name, |done| !done.is_undone());
        let at = self.job.events.len();
        match last.and_then(|event| self.job.events.get_mut(event)) {
            Some(Event {
                kind: EventKind::Did(done),
                ..
            }) => {
                done.undone = Some(Undone {
                    at,
                    because: said.iter().any(|s| matches!(s.kind, SaidKind::Because)),
                });
            }
            _ => {
                let message = format!("`{}` was not done before, so it cannot be undone", name.text(self.text));
                self.problem(
                    "fix.no-target",
                    span,
                    message,
                    "write the step's name as on its `did` line".to_owned(),
                );
            }
        }
        self.event(
            span,
            EventKind::Undid(Done {
                name: word,
                step,
                said,
                undone: None,
            }),
        );
    }
}

/// Puts a new figure in the place of an old one; `None` if the old one is not this amount's.
fn mend_amount(known: &mut SaidAmount, old: &Figure, new: &Figure, text: &str) -> Result<Option<()>, UnitError> {
    let meant = Meant {
        dimension: known.unit.map(|u| u.dimension),
        unit: known.unit,
    };
    // Of stages the last is the figure that counts, in the old and in the new.
    let was = amounts(old, text, meant)?;
    if was.last().map(|q| q.written) != Some(known.written) {
        return Ok(None);
    }
    let now = amounts(new, text, meant)?;
    if let SaidKind::Amount(mended) = said_amount(&now, is_staged(new), known.name.clone(), known.tool.clone()) {
        *known = mended;
    }
    Ok(Some(()))
}
