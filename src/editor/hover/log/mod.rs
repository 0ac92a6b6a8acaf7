//! What stands under the cursor in a log: the line, then the word of it.

mod readings;
mod said;

use std::sync::Arc;

use super::card::{Card, code};
use super::step::{self, AsDone};
use super::{Hover, amount, case_of, first_word, keyword, part, place, reading, things, tool, touches};
use crate::editor::shape::entry_on;
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::model::job::EventKind;
use crate::quantity::{Dimension, unit};
use crate::syntax::ast::{Amount, Cost, CostBy, Entry, FixTarget, HeadKind, Statement};
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
    let entry = entry_on(log, line)?;
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
                Some((span, tool::card(case, name.text(self.text()), None)))
            }
            Statement::Checked(name, details) => self
                .of(*name, |text| Some(tool::card(case, text, self.event_of(entry))))
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
            Statement::Cost(name, costs) => self.cost(*name, costs),
            Statement::Fix { target, old, new, .. } => {
                let amounts = reading::amounts(old).into_iter().chain(reading::amounts(new));
                if let Some(found) = self.unit(amounts, None) {
                    return Some(found);
                }
                match &**target {
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
        self.cost_units(costs)
            .or_else(|| self.of(name, |text| things::offer(self.case, text)))
    }

    fn cost(&self, name: Span, costs: &[Cost]) -> Found {
        self.cost_units(costs)
            .or_else(|| self.is_in(name).then(|| (name, things::paid(self.case, name))))
    }

    /// A unit in the items of an option or of a cost.
    fn cost_units(&self, costs: &[Cost]) -> Found {
        let amounts = costs.iter().flat_map(|cost| {
            let by = match &cost.by {
                CostBy::At(amount, _) | CostBy::Of(amount) | CostBy::Times(amount) => Some(amount),
                CostBy::Itself | CostBy::Over(_) => None,
            };
            cost.amount.iter().chain(by)
        });
        self.unit(amounts, None)
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
