//! What stands under the cursor in a log: the line, then the word of it.

use std::sync::Arc;

use super::card::{Card, code};
use super::step::{self, AsDone};
use super::{Hover, amount, case_of, first_word, keyword, part, place, reading, things, touches, verdict};
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{Done, EventKind, Reading};
use crate::quantity::{Dimension, unit};
use crate::syntax::ast::{
    Amount, Cost, CostBy, Detail, DetailKind, Entry, FixTarget, HeadKind, Reading as Written, Statement, Subject, Value,
};
use crate::syntax::{FileKind, Span};

/// One question: what stands at this offset.
struct Ask<'c> {
    case: &'c Case<'c>,
    log: &'c Analysis,
    earlier: &'c [Arc<Analysis>],
    offset: u32,
}

type Found = Option<(Span, Card)>;

/// What is known of what stands at an offset of a line of a log.
pub(super) fn at(log: &Analysis, line: usize, offset: u32, earlier: &[Arc<Analysis>]) -> Option<Hover> {
    let number = log
        .tree
        .entries
        .partition_point(|entry| entry.line <= line)
        .checked_sub(1)?;
    let entry = log.tree.entries.get(number)?;
    if line >= entry.line + entry.lines.max(1) {
        return None;
    }
    let case = case_of(log);
    let ask = Ask {
        case: &case,
        log,
        earlier,
        offset,
    };
    let (span, card) = ask.keyword(entry, line).or_else(|| ask.statement(entry))?;
    Some(Hover::new(span, &card))
}

impl Ask<'_> {
    fn text(&self) -> &str {
        self.case.text()
    }

    fn is_in(&self, span: Span) -> bool {
        touches(span, self.offset)
    }

    /// The first word of the line, where it is one of those that say what a line is.
    fn keyword(&self, entry: &Entry, line: usize) -> Found {
        let is_other = matches!(
            entry.statement,
            Statement::Reading(_) | Statement::Day { .. } | Statement::Unread
        );
        if is_other || entry.line != line {
            return None;
        }
        let written = self.log.tree.lines.get(line)?;
        let word = first_word(written, entry.clock, self.text());
        if !self.is_in(word) {
            return None;
        }
        let mut card = keyword::card(FileKind::Log, word.text(self.text()))?;
        if matches!(entry.statement, Statement::Closed(_)) {
            card = place::closed(self.case, &self.log.findings);
        }
        Some((word, card))
    }

    fn statement(&self, entry: &Entry) -> Found {
        let case = self.case;
        match &entry.statement {
            Statement::Reading(written) => self.reading(entry, written),
            Statement::Did(name, details) | Statement::Undid(name, details) => self.step(entry, *name, details),
            Statement::Tool(name, details) => {
                if !self.is_in(*name)
                    && let Some(found) = self.details_unit(details)
                {
                    return Some(found);
                }
                let mut spans = std::iter::once(*name).chain(details.iter().map(|detail| detail.span));
                let span = spans.find(|span| self.is_in(*span))?;
                Some((span, things::tool(case, name.text(self.text()), None)))
            }
            Statement::Checked(name, details) => self
                .of(*name, |text| Some(things::tool(case, text, self.event_of(entry))))
                .or_else(|| self.details(entry, details)),
            Statement::Manual(name) => self.of(*name, |text| Some(things::manual(&case.rules.book, text))),
            Statement::Procedure(name) => self.of(*name, |text| {
                Some(things::procedure(&case.rules.book, text, Some(case)))
            }),
            Statement::Head(HeadKind::Machine, name) => {
                let card = || things::machine(case, *name, self.earlier);
                self.is_in(*name).then(|| (*name, card()))
            }
            Statement::Units(items) => items.iter().find_map(|item| self.of(*item, units_item)),
            Statement::Hours(meter) => {
                let span = meter.span();
                self.is_in(span)
                    .then(|| Some((span, things::meter(case, span, self.earlier)?)))
                    .flatten()
            }
            Statement::Day { date, stage } => {
                if self.is_in(*date) {
                    return Some((*date, place::day(case, *date)?));
                }
                let stage = (*stage).filter(|stage| self.is_in(*stage))?;
                Some((stage, place::stage(case, stage)))
            }
            Statement::Found(name, details)
            | Statement::Ordered(name, details)
            | Statement::Got(name, details)
            | Statement::Waiting(name, details) => self.part(*name).or_else(|| self.details(entry, details)),
            Statement::Chose(taken, other, details) => self
                .part(*taken)
                .or_else(|| self.part((*other)?))
                .or_else(|| self.details(entry, details)),
            Statement::Stock(name, pieces) => {
                let sizes: Vec<&Amount> = pieces.iter().map(|piece| &piece.size).collect();
                self.unit(sizes, None).or_else(|| self.stock(*name))
            }
            Statement::Option(name, costs) => self.option(*name, costs),
            Statement::Fix { target, old, new, .. } => {
                let amounts = reading::amounts(old).into_iter().chain(reading::amounts(new));
                if let Some(found) = self.unit(amounts, None) {
                    return Some(found);
                }
                match target {
                    FixTarget::Reading(subject) => {
                        let all = [subject.span(), old.span, new.span];
                        let span = all.into_iter().find(|span| self.is_in(*span))?;
                        let index = reading::above(case, subject, entry.span.start)?;
                        Some((span, reading::card(case, index, None, self.earlier)?))
                    }
                    FixTarget::Step(name, _) => self.named_step(*name),
                }
            }
            Statement::Amend(name, subject, details) => self.amended(entry, *name, subject, details),
            Statement::Held(details) => self.details(entry, details),
            Statement::Head(..)
            | Statement::Note(_)
            | Statement::Photo(_)
            | Statement::Closed(_)
            | Statement::Unread => None,
        }
    }

    /// A span with its text, if the offset is in it.
    fn of(&self, span: Span, card: impl FnOnce(&str) -> Option<Card>) -> Found {
        if !self.is_in(span) {
            return None;
        }
        Some((span, card(span.text(self.text()))?))
    }

    fn unit<'a>(&self, amounts: impl IntoIterator<Item = &'a Amount>, wanted: Option<Dimension>) -> Found {
        amount::unit_at(amounts, self.offset, self.text(), wanted)
    }

    /// The event that a line made.
    fn event_of(&self, entry: &Entry) -> Option<usize> {
        let events = &self.case.job.events;
        let at = events.partition_point(|event| event.span.start < entry.span.start);
        events.get(at).filter(|event| event.span == entry.span).map(|_| at)
    }

    fn part(&self, name: Span) -> Found {
        self.is_in(name).then(|| (name, part::card(self.case, name)))
    }

    fn stock(&self, name: Span) -> Found {
        self.of(name, |text| {
            let mut card = Card::new(format!("**{}**, a stock", code(text)));
            let own = crate::model::names::key(text);
            let mut stocks = self.case.job.events.iter().rev().filter_map(|event| match &event.kind {
                EventKind::Stock(stock) if stock.name.key == own => Some(stock),
                _ => None,
            });
            let stock = stocks.next()?;
            let count: u32 = stock
                .pieces
                .iter()
                .map(|piece| piece.count)
                .fold(0, u32::saturating_add);
            card.fact(format!("{count} pieces; the latest list of a name counts"));
            let sizes = stock.pieces.iter().map(|piece| {
                let many = if piece.count > 1 {
                    format!(", {} of it", piece.count)
                } else {
                    String::new()
                };
                let written = piece.span.text(self.text());
                let label = piece.unit.map_or("", |unit| unit.label());
                let has_unit = written.chars().any(char::is_alphabetic);
                let size = if has_unit {
                    written.to_owned()
                } else {
                    format!("{written} {label}")
                };
                format!("{}{many}", code(&size))
            });
            card.list("sizes:", sizes.collect());
            Some(card)
        })
    }

    fn option(&self, name: Span, costs: &[Cost]) -> Found {
        let amounts = costs.iter().flat_map(|cost| {
            let by = match &cost.by {
                CostBy::At(amount) | CostBy::Of(amount) | CostBy::Times(amount) => Some(amount),
                CostBy::Itself | CostBy::Over(_) => None,
            };
            cost.amount.iter().chain(by)
        });
        self.unit(amounts, None)
            .or_else(|| self.of(name, |text| things::offer(self.case, text)))
    }

    fn named_step(&self, name: Span) -> Found {
        self.of(name, |text| {
            let key = crate::model::names::key(text).into_owned();
            let id = self.case.rules.book.step_id(&key);
            let done = self
                .case
                .done
                .iter()
                .rev()
                .find(|(_, done)| done.step == id && id.is_some());
            let done = done.map(|(_, done)| AsDone { case: self.case, done });
            match id {
                Some(id) => step::card(&self.case.rules.book, id, done),
                None => Some(step::unknown(text)),
            }
        })
    }

    /// A line that adds to one above: to a step, or to a reading.
    fn amended(&self, entry: &Entry, name: Span, subject: &Subject, details: &[Detail]) -> Found {
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
    fn amended_step(&self, entry: &Entry) -> Option<&Done> {
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
    fn step(&self, entry: &Entry, name: Span, details: &[Detail]) -> Found {
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
    fn details(&self, entry: &Entry, details: &[Detail]) -> Found {
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
                    return Some((tool, things::tool(self.case, tool.text(self.text()), event)));
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

    fn details_unit(&self, details: &[Detail]) -> Found {
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

    /// A reading, its tool, or one of its figures.
    fn reading(&self, entry: &Entry, written: &Written) -> Found {
        let case = self.case;
        let event = self.event_of(entry)?;
        let EventKind::Readings(range) = &case.job.events.get(event)?.kind else {
            return None;
        };
        let indices: Vec<usize> = range.clone().collect();
        if let Some(tool) = written.tool.filter(|tool| self.is_in(*tool)) {
            return Some((tool, things::tool(case, tool.text(self.text()), Some(event))));
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
    fn figure(&self, indices: &[usize]) -> Found {
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
    fn heading(&self, written: &Written, indices: &[usize]) -> Found {
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

/// One item of a `units` line: `mm`, `blades hundredths`.
fn units_item(text: &str) -> Option<Card> {
    let said = text.trim();
    let (word, rest) = said.split_once([' ', '\t']).unwrap_or(("", said));
    let is_blades = word.eq_ignore_ascii_case("blades") || word.eq_ignore_ascii_case("blade");
    let symbol = if is_blades { rest.trim() } else { said };
    let mut card = amount::card(symbol, None, None)?;
    let of = unit::find(symbol, None)
        .map(|unit| unit.dimension.name())
        .unwrap_or_default();
    card.fact(if is_blades {
        "meant where a figure in go and no-go has no unit".to_owned()
    } else {
        format!("meant where a figure that is {of} has no unit")
    });
    Some(card)
}
