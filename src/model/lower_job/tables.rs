//! Readings of several places on one line or below it: rings and tables.

use super::Lowering;
use crate::model::job::Word;
use crate::model::manual::Feature;
use crate::model::readings::{self, TakenAs};
use crate::model::units::Meant;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Cell, Reading as Written, Row, Value};

impl Lowering<'_> {
    /// The figures and places of a ring whose places are named, or are places that the manual lists (`at 0, 90, 180, 270`).
    pub(super) fn ring_of_places<'v>(
        &self,
        value: &'v Value,
        feature: Option<&Feature>,
    ) -> Option<(&'v [Amount], &'v [Span])> {
        let Value::Ring(amounts, places) = value else {
            return None;
        };
        let listed = |place: &Span| feature.is_some_and(|f| f.places.iter().any(|p| p.key == self.word(*place).key));
        let named = |place: &Span| {
            !place
                .text(self.text)
                .starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',')
        };
        let each = amounts.len() == places.len() && (places.iter().all(listed) || places.iter().all(named));
        each.then_some((amounts.as_slice(), places.as_slice()))
    }

    /// One reading for each figure and place.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn ring(
        &mut self,
        amounts: &[Amount],
        places: &[Span],
        meant: Meant,
        taken: &TakenAs<'_>,
        name: &Word,
        part: Option<&Word>,
        place: Option<&Word>,
    ) {
        for (amount, at) in amounts.iter().zip(places) {
            let mut word = self.word(*at);
            if let Some(place) = place {
                word.key = format!("{} {}", place.key, word.key);
            }
            let reading = readings::cell(amount, amount.span(), self.text, meant, taken, &mut self.problems);
            let instance = self.instance(name, part, Some(&word));
            self.keep(instance, reading);
        }
    }

    pub(super) fn table(
        &mut self,
        written: &Written,
        meant: Meant,
        taken: &TakenAs<'_>,
        name: &Word,
        part: Option<&Word>,
        place: Option<&Word>,
    ) {
        let columns: Vec<Word> = written.table.columns.iter().map(|c| self.word(*c)).collect();
        let rows = written.table.rows.as_slice();
        let widest = rows.iter().map(|r| r.cells.len()).max().unwrap_or(0);
        if let Some(message) = uneven(rows, columns.len(), widest) {
            self.problem(
                "table.columns",
                written.subject.span(),
                message,
                "name each column, two spaces between one name and the next, and write `-` for what was not measured"
                    .to_owned(),
            );
        }
        let parts_known = self
            .book
            .feature(&name.key)
            .and_then(|id| self.book.features.get(id))
            .map_or(&[][..], |f| f.parts.as_slice());
        let is_part = |word: &Word| part.is_none() && parts_known.iter().any(|p| p.key == word.key);
        let mut above: Vec<Option<Amount>> = vec![None; widest];
        for row in rows {
            let label = row.label.map(|l| self.word(l));
            for (number, cell) in row.cells.iter().enumerate() {
                let amount = match cell {
                    Cell::Amount(amount) => Some(*amount),
                    Cell::Ditto(_) => above.get(number).copied().flatten(),
                    Cell::Dash(_) => None,
                };
                if let Some(slot) = above.get_mut(number) {
                    *slot = amount;
                }
                let Some(amount) = amount else { continue };
                let span = match cell {
                    Cell::Ditto(span) | Cell::Dash(span) => *span,
                    Cell::Amount(amount) => amount.span(),
                };
                let words = [place, label.as_ref(), columns.get(number)];
                // A row or a column may be a part of the feature rather than a place.
                let own_part = words.into_iter().flatten().find(|word| is_part(word)).cloned();
                let joined: Vec<&str> = words
                    .into_iter()
                    .flatten()
                    .filter(|word| own_part.as_ref().is_none_or(|p| p.key != word.key))
                    .map(|w| w.key.as_str())
                    .collect();
                let cell_place = (!joined.is_empty()).then(|| Word {
                    key: joined.join(" "),
                    span,
                });
                let reading = readings::cell(&amount, span, self.text, meant, taken, &mut self.problems);
                let instance = self.instance(name, own_part.as_ref().or(part), cell_place.as_ref());
                self.keep(instance, reading);
            }
        }
    }
}

/// What is wrong with the shape of a table.
fn uneven(rows: &[Row], columns: usize, widest: usize) -> Option<String> {
    if columns == 0 {
        return (widest > 1)
            .then(|| format!("a row of this table has {widest} figures, and nothing says what each is"));
    }
    let odd = rows.iter().find(|row| row.cells.len() != columns)?;
    Some(format!(
        "a row of this table has {} figures, but its heading names {columns} columns",
        odd.cells.len()
    ))
}
