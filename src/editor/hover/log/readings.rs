//! A reading in a log: its name, its figures, its tool, the rows and columns of its table.

use super::super::{amount, reading, tool, touches};
use super::{Ask, Found};
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{EventKind, Reading};
use crate::syntax::ast::{Amount, Entry, Reading as Written, Value};

impl Ask<'_> {
    /// A reading, its tool, or one of its figures.
    pub(super) fn reading(&self, entry: &Entry, written: &Written) -> Found {
        let case = self.case;
        let event = self.event_of(entry)?;
        let EventKind::Readings(range) = &case.job.events.get(event)?.kind else {
            return None;
        };
        let indices: Vec<usize> = range.clone().collect();
        if let Some(tool) = written.tool.filter(|tool| self.is_in(*tool)) {
            return Some((tool, tool::card(case, tool.text(self.text()), Some(event))));
        }
        let wanted = indices.first().and_then(|index| case.job.readings.get(*index));
        let wanted = wanted.and_then(|reading| reading.unit).map(|unit| unit.dimension);
        let cells = written.table.rows.iter().flat_map(|row| &row.cells);
        let cells = cells.filter_map(|cell| match cell {
            crate::syntax::ast::Cell::Amount(amount) => Some(amount),
            _ => None,
        });
        let amounts = reading::amounts(&written.figure).into_iter().chain(cells);
        let found = self
            .unit(amounts, wanted)
            .or_else(|| self.details_unit(&written.details));
        if found.is_some() {
            return found;
        }
        // How warm the part was, or where the dial read highest: what came of that is told with the reading.
        let at = written.at.iter().map(Amount::span).find(|at| self.is_in(*at));
        if let (Some(at), [index]) = (at, indices.as_slice()) {
            return Some((at, reading::card(case, *index, None, self.earlier)?));
        }
        let words_unit = match written.figure.value {
            Value::Words(words) => Some(words),
            _ => written.figure.unit,
        };
        if let Some(span) = words_unit.filter(|span| self.is_in(*span))
            && let Some(card) = amount::card(span.text(self.text()), wanted, None)
        {
            return Some((span, card));
        }
        self.figure(&indices)
            .or_else(|| self.heading(written, &indices))
            .or_else(|| self.details(entry, &written.details))
    }

    /// A figure of one of the readings of a line.
    pub(super) fn figure(&self, indices: &[usize]) -> Found {
        let is_here = |index: &&usize| {
            let reading = self.case.job.readings.get(**index);
            reading.is_some_and(|reading| reading.figure_span != reading.name_span && self.is_in(reading.figure_span))
        };
        let index = *indices.iter().find(is_here)?;
        let reading = self.case.job.readings.get(index)?;
        let which = point_at(reading, self.offset);
        let span = match which {
            Some(Which::Point(number)) => reading.points.get(number)?.span,
            _ => reading.figure_span,
        };
        Some((span, reading::card(self.case, index, which, self.earlier)?))
    }

    /// The name of what was read; of a table, a row or a column.
    pub(super) fn heading(&self, written: &Written, indices: &[usize]) -> Found {
        let subject = written.subject.span();
        let is_name = self.is_in(subject);
        if is_name && indices.len() == 1 {
            let index = *indices.first()?;
            return Some((subject, reading::card(self.case, index, None, self.earlier)?));
        }
        if is_name {
            return Some((subject, reading::several(self.case, subject.text(self.text()), indices)));
        }
        let rows = written.table.rows.iter().filter_map(|row| row.label);
        let mut labels = rows.chain(written.table.columns.iter().copied());
        let label = labels.find(|label| self.is_in(*label))?;
        let key = crate::model::names::key(label.text(self.text())).into_owned();
        let here = indices.iter().copied().filter(|index| {
            let reading = self.case.job.readings.get(*index);
            let instance = reading.and_then(|reading| self.case.instance(reading));
            let words = instance
                .into_iter()
                .flat_map(|instance| [&instance.part, &instance.place]);
            words
                .flatten()
                .any(|word| crate::model::names::place_within(&word.key, &key))
        });
        let here: Vec<usize> = here.collect();
        let title = format!(
            "{} at {}",
            words::fold(written.subject.feature.text(self.text())),
            words::fold(label.text(self.text()))
        );
        Some((label, reading::several(self.case, &title, &here)))
    }
}

/// Which of several figures of a reading stands at an offset.
fn point_at(reading: &Reading, offset: u32) -> Option<Which> {
    if reading.points.len() < 2 || reading.mended.is_some() {
        return None;
    }
    let at = reading.points.iter().position(|point| touches(point.span, offset))?;
    Some(Which::Point(at))
}
