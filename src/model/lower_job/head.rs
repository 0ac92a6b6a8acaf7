//! The head of a log and what holds from a line on: its title, its units, its tools, its days.

use super::Lowering;
use crate::model::details::Details;
use crate::model::job::Meter;
use crate::model::stage::Stage;
use crate::model::tools::Tool;
use crate::model::units::{Meant, read, read_unit};
use crate::quantity::{Dimension, Unit, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Detail};

/// What the `units` line says of bare figures.
#[derive(Default)]
pub(in crate::model) struct UnitsLine {
    units: Vec<&'static Unit>,
    /// The unit of bare figures in go and no-go.
    pub(in crate::model) blades: Option<&'static Unit>,
}

impl UnitsLine {
    /// The unit of a bare figure of this dimension; of a length if the dimension is not known.
    pub(in crate::model) fn of(&self, dimension: Option<Dimension>) -> Option<&'static Unit> {
        let wanted = dimension.unwrap_or(Dimension::LENGTH);
        let own = self.units.iter().find(|unit| unit.dimension == wanted).copied();
        // `units °F` holds for differences as well.
        own.or_else(|| self.units.iter().find_map(|unit| unit.twin(wanted)))
    }
}

impl Lowering<'_> {
    pub(super) fn title(&mut self, span: Span, title: Span) {
        if self.job.title.is_some() {
            self.problem(
                "job.twice",
                span,
                "a second `job` line".to_owned(),
                "keep one job in a file: begin a new file for this one".to_owned(),
            );
            return;
        }
        self.job.title = Some(title);
        self.job.head = span;
    }

    pub(super) fn units_line(&mut self, items: &[Span]) {
        for item in items {
            let written = item.text(self.text);
            // Lengths are of the text as written: a lower-case letter may have more bytes than its capital.
            let behind = |word: &str| {
                let is_word = written
                    .get(..word.len())
                    .is_some_and(|first| first.eq_ignore_ascii_case(word));
                written.get(word.len()..).filter(|_| is_word)
            };
            let for_blades = behind("blades ")
                .or_else(|| behind("blade "))
                .map(|unit| unit.trim_start().len());
            let span = match for_blades {
                Some(length) => Span::new(item.end as usize - length, item.end as usize),
                None => *item,
            };
            match read_unit(span, self.text, None) {
                Ok(unit) if for_blades.is_some() => self.units.blades = Some(unit),
                Ok(unit) => self.units.units.push(unit),
                Err(error) => self.problems.push(*error),
            }
        }
    }

    pub(super) fn tool(&mut self, name: Span, details: &[Detail]) {
        let said = self.said(details, Details::Tool);
        let (tool, unknown) = Tool::new(self.word(name), &said);
        for span in unknown {
            // A unit that cannot be read has been named already.
            if self
                .problems
                .iter()
                .rev()
                .take(8)
                .any(|p| span.start <= p.span.start && p.span.end <= span.end)
            {
                continue;
            }
            let message = format!("`{}` is no fact about a tool that is understood", span.text(self.text));
            self.problem(
                "tool.fact",
                span,
                message,
                "the facts are `reads to 0.01 mm`, `good to 0.004 mm` or `good to 4 %`, `repeats to 0.001 mm`, `zero +0.002 mm`, `at 24 C`, `rated 20 t`, `range 10 to 60 N·m` and `due 2027-01-31`".to_owned(),
            );
        }
        if let Some(due) = tool.due.as_ref().filter(|due| !is_date(&due.key)) {
            self.no_such_day(due.span);
        }
        if self.tools.contains_key(&tool.name.key) {
            let message = format!("tool `{}` is declared twice; the first counts", name.text(self.text));
            self.problem("tool.twice", name, message, "give one of them another name".to_owned());
            return;
        }
        self.tools.insert(tool.name.key.clone(), self.job.tools.len());
        self.job.tools.push(tool);
    }

    /// Says so if a date is none.
    pub(super) fn calendar(&mut self, date: Span) {
        if !is_date(date.text(self.text)) {
            self.no_such_day(date);
            return;
        }
        // Written year first, dates are in the order of their letters.
        let text = self.text;
        match self.latest.filter(|latest| latest.text(text) > date.text(text)) {
            Some(latest) => {
                let message = format!(
                    "{} stands below {}: the days run backwards",
                    date.text(text),
                    latest.text(text)
                );
                self.problem(
                    "day.backwards",
                    date,
                    message,
                    "one of the two dates is wrong, or the lines are out of order".to_owned(),
                );
            }
            None => self.latest = Some(date),
        }
    }

    fn no_such_day(&mut self, date: Span) {
        let message = format!("`{}` is no day of the calendar", date.text(self.text));
        self.problem(
            "day.invalid",
            date,
            message,
            "a date is year, month and day: 2026-03-14".to_owned(),
        );
    }

    /// What the meter showed: it never runs backwards. A figure without a unit is of hours.
    pub(super) fn hours(&mut self, amount: &Amount) {
        let meant = Meant {
            dimension: None,
            unit: unit::find("h", Some(Dimension::TIME)),
        };
        let read = match read(amount, self.text, meant) {
            Ok(read) => read,
            Err(error) => {
                self.problems.push(*error);
                return;
            }
        };
        let Some(unit) = read.unit else { return };
        let most = self.meters.get(&unit.dimension);
        let most = most.and_then(|index| self.job.hours.get(*index));
        if let Some(above) = most.filter(|above| above.base > read.base) {
            let message = format!(
                "the meter shows {}, but {} was written above: it runs backwards",
                read.span.text(self.text),
                above.span.text(self.text)
            );
            self.problem(
                "hours.backwards",
                read.span,
                message,
                "one of the two figures is wrong, or the meter was changed: then begin a new log with the new one"
                    .to_owned(),
            );
        } else {
            self.meters.insert(unit.dimension, self.job.hours.len());
        }
        self.job.hours.push(Meter {
            span: read.span,
            value: read.written,
            base: read.base,
            unit,
            event: self.job.events.len(),
        });
    }

    /// The time in front of an entry, in minutes since midnight. It runs forward within a day.
    pub(super) fn time_of_day(&mut self, clock: Span) -> Option<u16> {
        let written = clock.text(self.text);
        let time = minutes(written);
        let (message, help) = match (time, self.latest_time) {
            (None, _) => (
                format!("`{written}` is no time of day"),
                "a time is hours and minutes, from 00:00 to 23:59",
            ),
            (Some(time), Some((latest, above))) if latest > time => (
                format!(
                    "{written} stands below {}: the time runs backwards",
                    above.text(self.text)
                ),
                "one of the two is wrong, or the lines are out of order; past midnight a new day begins, with its date",
            ),
            (Some(time), _) => {
                self.latest_time = Some((time, clock));
                return Some(time);
            }
        };
        self.problem("day.time", clock, message, help.to_owned());
        time
    }

    pub(super) fn begin_day(&mut self, date: Span, stage: Option<Span>) {
        // The same date again, with another stage, is still that day.
        let goes_on = self
            .latest
            .is_some_and(|latest| latest.text(self.text) == date.text(self.text));
        if !goes_on {
            self.latest_time = None;
        }
        self.calendar(date);
        self.day += 1;
        self.job.dates.resize(self.day, None);
        self.job.dates.push(date.text(self.text).parse().ok());
        let Some(stage) = stage else { return };
        let word = self.word(stage);
        if self.job.stages.last().is_some_and(|last| last.key == word.key) {
            return;
        }
        self.job.stages.push(Stage { key: word.key });
        self.stage = self.job.stages.len() - 1;
    }
}

/// A time of day as minutes since midnight; `None` if it is none.
fn minutes(text: &str) -> Option<u16> {
    let (hours, minutes) = text.split_once(':')?;
    let (hours, minutes) = (hours.parse::<u16>().ok()?, minutes.parse::<u16>().ok()?);
    (hours < 24 && minutes < 60).then(|| hours * 60 + minutes)
}

/// Whether a text is a day that the calendar has.
fn is_date(text: &str) -> bool {
    text.parse::<jiff::civil::Date>().is_ok()
}
