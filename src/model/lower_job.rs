//! From the tree of a log to the job it tells of: names looked up in the book, units resolved, figures as bands, corrections
//! carried out. Problems are collected, never fatal.

use rustc_hash::FxHashMap;

use super::book::Book;
use super::details::{Details, said};
use super::job::*;
use super::names::key;
use super::readings::{self, TakenAs};
use super::stage::Stage;
use super::tools::Tool;
use super::units::{Meant, quantity, read, read_unit};
use crate::quantity::{Band, Dimension, Unit, number};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Cell, Detail, FixTarget, HeadKind, LogTree, Reading as Written, Statement, Subject, SyntaxError, Value};

/// Lowers a log by a book.
pub fn lower_job(tree: &LogTree, text: &str, book: &Book) -> (Job, Vec<SyntaxError>) {
    let mut lowering = Lowering {
        text,
        book,
        job: Job::default(),
        problems: Vec::new(),
        units: UnitsLine::default(),
        index: FxHashMap::default(),
        held: Vec::new(),
        stage: 0,
        day: 0,
    };
    lowering.job.stages.push(Stage { key: String::new() });
    lowering.job.head = tree.entries.first().map(|e| e.span).unwrap_or_default();
    lowering.job.events.reserve(tree.entries.len());
    lowering.job.readings.reserve(tree.entries.len());
    for entry in &tree.entries {
        lowering.entry(entry.span, &entry.statement);
    }
    (lowering.job, lowering.problems)
}

/// What the `units` line says of bare figures.
#[derive(Default)]
pub(super) struct UnitsLine {
    units: Vec<&'static Unit>,
    /// The unit of bare figures in go and no-go.
    pub(super) blades: Option<&'static Unit>,
}

impl UnitsLine {
    /// The unit of a bare figure of this dimension; of a length if the dimension is not known.
    pub(super) fn of(&self, dimension: Option<Dimension>) -> Option<&'static Unit> {
        let wanted = dimension.unwrap_or(Dimension::LENGTH);
        self.units
            .iter()
            .find(|unit| unit.dimension == wanted)
            .copied()
    }
}

struct Lowering<'a> {
    text: &'a str,
    book: &'a Book,
    job: Job,
    problems: Vec<SyntaxError>,
    units: UnitsLine,
    /// Feature, part and place, folded, to the instance.
    index: FxHashMap<String, usize>,
    held: Vec<Said>,
    stage: usize,
    day: usize,
}

impl<'a> Lowering<'a> {
    fn word(&self, span: Span) -> Word {
        Word {
            key: key(span.text(self.text)).into_owned(),
            span,
        }
    }

    fn problem(&mut self, code: &'static str, span: Span, message: String, help: String) {
        self.problems.push(SyntaxError {
            code,
            span,
            message,
            help,
            suggestion: None,
        });
    }

    fn event(&mut self, span: Span, kind: EventKind) {
        self.job.events.push(Event {
            span,
            stage: self.stage,
            day: self.day,
            kind,
        });
    }

    fn said(&mut self, details: &[Detail], wanted: Details<'_>) -> Vec<Said> {
        details
            .iter()
            .map(|detail| said(detail, self.text, &self.units, wanted, &mut self.problems))
            .collect()
    }

    fn entry(&mut self, span: Span, statement: &Statement) {
        match statement {
            Statement::Head(HeadKind::Job, title) => self.title(span, *title),
            Statement::Head(..) | Statement::Note(_) | Statement::Photo(_) | Statement::Unread => {}
            Statement::Manual(name) => {
                let word = self.word(*name);
                self.job.manuals.push(word);
            }
            Statement::Procedure(name) => {
                let word = self.word(*name);
                self.job.procedures.push(word);
            }
            Statement::Units(items) => self.units_line(items),
            Statement::Hours(amount) => {
                if let Err(error) = read(amount, self.text, Meant::default()) {
                    self.problems.push(*error);
                }
            }
            Statement::Tool(name, details) => self.tool(*name, details),
            Statement::Day { date, stage } => self.begin_day(*date, *stage),
            Statement::Reading(written) => self.reading(span, written),
            Statement::Did(name, details) => self.did(span, *name, details),
            Statement::Found(name, details) => {
                let said = self.said(details, Details::Any);
                let word = self.word(*name);
                self.event(span, EventKind::Found(word, said));
            }
            Statement::Ordered(name, details) => {
                let part = self.part(*name, details);
                self.event(span, EventKind::Ordered(part));
            }
            Statement::Got(name, details) => {
                let part = self.part(*name, details);
                self.event(span, EventKind::Got(part));
            }
            Statement::Waiting(name, details) => {
                self.said(details, Details::Any);
                let word = self.word(*name);
                self.event(span, EventKind::Waiting(word));
            }
            Statement::Chose(taken, left, details) => {
                self.said(details, Details::Any);
                let (taken, left) = (self.word(*taken), left.map(|l| self.word(l)));
                self.event(span, EventKind::Chose(taken, left));
            }
            Statement::Held(details) => {
                self.held = self.said(details, Details::Any);
                let said = self.held.clone();
                self.event(span, EventKind::Held(said));
            }
            Statement::Fix {
                target, old, new, ..
            } => self.fix(span, target, old, new),
            Statement::Closed(_) => self.job.closed = Some(span),
        }
    }

    fn title(&mut self, span: Span, title: Span) {
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

    fn units_line(&mut self, items: &[Span]) {
        for item in items {
            let written = item.text(self.text);
            let folded = written.to_lowercase();
            let for_blades = folded
                .strip_prefix("blades ")
                .or_else(|| folded.strip_prefix("blade "))
                .map(|unit| unit.trim_start().len());
            let span = match for_blades {
                Some(length) => Span {
                    start: item.end - u32::try_from(length).unwrap_or(0),
                    end: item.end,
                },
                None => *item,
            };
            match read_unit(span, self.text, None) {
                Ok(unit) if for_blades.is_some() => self.units.blades = Some(unit),
                Ok(unit) => self.units.units.push(unit),
                Err(error) => self.problems.push(*error),
            }
        }
    }

    fn tool(&mut self, name: Span, details: &[Detail]) {
        let said = self.said(details, Details::Tool);
        let tool = Tool::new(self.word(name), &said);
        if self.job.tool(&tool.name.key).is_some() {
            let message = format!("tool `{}` is declared twice; the first counts", name.text(self.text));
            self.problem("tool.twice", name, message, "give one of them another name".to_owned());
            return;
        }
        self.job.tools.push(tool);
    }

    fn begin_day(&mut self, date: Span, stage: Option<Span>) {
        if !is_date(date.text(self.text)) {
            let message = format!("`{}` is no day of the calendar", date.text(self.text));
            self.problem("day.invalid", date, message, "a date is year, month and day: 2026-03-14".to_owned());
        }
        self.day += 1;
        let Some(stage) = stage else { return };
        let word = self.word(stage);
        if self.job.stages.last().is_some_and(|last| last.key == word.key) {
            return;
        }
        self.job.stages.push(Stage { key: word.key });
        self.stage = self.job.stages.len() - 1;
    }

    fn part(&mut self, name: Span, details: &[Detail]) -> Part {
        let said = self.said(details, Details::Any);
        Part {
            name: self.word(name),
            said,
        }
    }

    fn did(&mut self, span: Span, name: Span, details: &[Detail]) {
        let word = self.word(name);
        let step = self.book.step_id(&word.key);
        let wanted = step
            .and_then(|id| self.book.step(id))
            .map_or(Details::Any, Details::Step);
        let said = self.said(details, wanted);
        self.event(
            span,
            EventKind::Did(Done {
                name: word,
                step,
                said,
            }),
        );
    }

    /// The instance of a feature at a part and a place, made if it is new.
    fn instance(&mut self, name: &Word, part: Option<&Word>, place: Option<&Word>) -> usize {
        let feature = self.book.feature(&name.key);
        let known = feature.and_then(|id| self.book.features.get(id));
        let canonical = known.map_or(name.key.as_str(), |f| f.name.key.as_str());
        let mut path = String::with_capacity(canonical.len() + 24);
        path.push_str(canonical);
        for word in [part, place] {
            path.push('\u{1}');
            path.push_str(word.map_or("", |w| w.key.as_str()));
        }
        if let Some(index) = self.index.get(&path) {
            return *index;
        }
        let index = self.job.instances.len();
        self.job.instances.push(Instance {
            feature,
            name: name.clone(),
            part: part.cloned(),
            place: place.cloned(),
            readings: Vec::new(),
        });
        self.index.insert(path, index);
        index
    }

    fn reading(&mut self, span: Span, written: &Written) {
        let first = self.job.readings.len();
        let subject = &written.subject;
        let name = self.word(subject.feature);
        let part = subject.part.map(|p| self.word(p));
        let place = subject.place.map(|p| self.word(p));
        let feature = self
            .book
            .feature(&name.key)
            .and_then(|id| self.book.features.get(id));
        let meant = self.meant(feature.and_then(|f| f.unit), written.figure.unit, &written.figure.value);
        let tool = written.tool.map(|t| self.word(t));
        let mut said = self.said(&written.details, Details::Any);
        said.extend(self.held.iter().cloned());
        let taken = TakenAs {
            event: self.job.events.len(),
            name_span: subject.span(),
            good_to: tool
                .as_ref()
                .and_then(|t| self.job.tool(&t.key))
                .and_then(|t| t.good_to),
            wanted: feature.and_then(|f| f.dimension()),
            feature: feature.map_or(name.key.as_str(), |f| f.name.name.as_str()),
            tool,
            said,
            unsure: written.figure.unsure,
        };
        if written.table.rows.is_empty() {
            let reading = readings::taken(&written.figure, self.text, meant, self.units.blades, taken, &mut self.problems);
            let instance = self.instance(&name, part.as_ref(), place.as_ref());
            self.keep(instance, reading);
        } else {
            self.table(written, meant, &taken, &name, part.as_ref(), place.as_ref());
        }
        let range = first..self.job.readings.len();
        self.event(span, EventKind::Readings(range));
    }

    fn keep(&mut self, instance: usize, mut reading: Reading) {
        reading.instance = instance;
        let index = self.job.readings.len();
        self.job.readings.push(reading);
        if let Some(instance) = self.job.instances.get_mut(instance) {
            instance.readings.push(index);
        }
    }

    /// The unit of bare figures: behind the whole value, or in front of the table, or by the job, or by the manual.
    fn meant(&mut self, of_feature: Option<&'static Unit>, behind: Option<Span>, value: &Value) -> Meant {
        let dimension = of_feature.map(|u| u.dimension);
        let written = match (behind, value) {
            (Some(span), _) => Some(span),
            (None, Value::Words(span)) => crate::quantity::unit::find(span.text(self.text), dimension).map(|_| *span),
            (None, Value::Many(list) | Value::Ring(list, _) | Value::Stages(list)) => list.iter().rev().find_map(|a| a.unit),
            (None, Value::Range(_, b)) => b.unit,
            (None, Value::PlusMinus(a, b)) => b.unit.or(a.unit),
            (None, Value::Blades { go, no_go }) => no_go.and_then(|a| a.unit).or(go.and_then(|a| a.unit)),
            (None, Value::Sum { result, first, .. }) => result.unit.or(first.unit),
            _ => None,
        };
        let read = written.map(|span| read_unit(span, self.text, dimension));
        let unit = match read {
            Some(Ok(unit)) => Some(unit),
            // Named once here; the figures then go without.
            Some(Err(error)) if behind.is_some() => {
                self.problems.push(*error);
                None
            }
            _ => None,
        };
        let unit = unit.or_else(|| self.units.of(dimension)).or(of_feature);
        Meant {
            dimension: dimension.or(unit.map(|u| u.dimension)),
            unit,
        }
    }

    fn table(&mut self, written: &Written, meant: Meant, taken: &TakenAs<'_>, name: &Word, part: Option<&Word>, place: Option<&Word>) {
        let columns: Vec<Word> = written.table.columns.iter().map(|c| self.word(*c)).collect();
        let widest = written.table.rows.iter().map(|r| r.cells.len()).max().unwrap_or(0);
        if !columns.is_empty() && widest > columns.len() {
            let message = format!("a row of this table has {widest} figures, but its heading names {} columns", columns.len());
            self.problem(
                "table.columns",
                written.subject.span(),
                message,
                "name each column; two spaces part one name from the next".to_owned(),
            );
        }
        let mut above: Vec<Option<Amount>> = vec![None; widest];
        for row in &written.table.rows {
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
                let joined: Vec<&str> = words.into_iter().flatten().map(|w| w.key.as_str()).collect();
                let cell_place = (!joined.is_empty()).then(|| Word {
                    key: joined.join(" "),
                    span,
                });
                let reading = readings::cell(&amount, span, self.text, meant, taken, &mut self.problems);
                let instance = self.instance(name, part, cell_place.as_ref());
                self.keep(instance, reading);
            }
        }
    }

    fn fix(&mut self, span: Span, target: &FixTarget, old: &Amount, new: &Amount) {
        match target {
            FixTarget::Reading(subject) => self.fix_reading(span, subject, old, new),
            FixTarget::Step(step, amount) => self.fix_step(span, *step, *amount, old, new),
        }
    }

    fn fix_reading(&mut self, span: Span, subject: &Subject, old: &Amount, new: &Amount) {
        let name = self.word(subject.feature);
        let part = subject.part.map(|p| self.word(p));
        let place = subject.place.map(|p| self.word(p));
        let event = self.job.events.len();
        let instance = self.instance(&name, part.as_ref(), place.as_ref());
        let list = self
            .job
            .instances
            .get(instance)
            .map(|i| i.readings.clone())
            .unwrap_or_default();
        for index in list.iter().rev() {
            let Some(reading) = self.job.readings.get_mut(*index) else {
                continue;
            };
            match readings::mend(reading, old, new, self.text, event) {
                Ok(true) => return,
                Ok(false) => {}
                Err(error) => {
                    self.problems.push(*error);
                    return;
                }
            }
        }
        let last = list
            .last()
            .and_then(|index| self.job.readings.get(*index))
            .map(|reading| reading.figure_span.text(self.text).to_owned());
        let written = name.span.text(self.text);
        let help = match last {
            Some(figure) => format!("the last reading of it says `{figure}`: name that figure, with the part and place of the reading"),
            None => "nothing was read under this name, part and place before: write them as on the reading's own line".to_owned(),
        };
        let message = format!("no reading of {written} above says {}", old.span().text(self.text));
        self.problem("fix.no-target", span, message, help);
    }

    fn fix_step(&mut self, span: Span, step: Span, amount: Span, old: &Amount, new: &Amount) {
        let step_key = self.word(step).key;
        let amount_key = self.word(amount).key;
        let wanted = self.book.step_id(&step_key);
        let mut result = None;
        'search: for event in self.job.events.iter_mut().rev() {
            let EventKind::Did(done) = &mut event.kind else {
                continue;
            };
            if done.name.key != step_key && (wanted.is_none() || done.step != wanted) {
                continue;
            }
            for said in &mut done.said {
                if let SaidKind::Amount(known) = &mut said.kind
                    && known.name == amount_key
                    && let Some(mended) = mend_amount(known, old, new, self.text).transpose()
                {
                    result = Some(mended);
                    break 'search;
                }
            }
        }
        match result {
            Some(Ok(())) => {}
            Some(Err(error)) => self.problems.push(*error),
            None => {
                let message = format!(
                    "no step `{}` above says {} {}",
                    step.text(self.text),
                    amount.text(self.text),
                    old.span().text(self.text)
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
}

/// Puts a new figure in the place of an old one; `None` if the old one is not this amount's.
fn mend_amount(known: &mut SaidAmount, old: &Amount, new: &Amount, text: &str) -> Result<Option<()>, super::units::UnitError> {
    let Ok(figure) = number::parse(old.number.text(text)) else {
        return Ok(None);
    };
    if figure != known.written {
        return Ok(None);
    }
    let meant = Meant {
        dimension: known.unit.map(|u| u.dimension),
        unit: known.unit,
    };
    let read = read(new, text, meant)?;
    let read = quantity(read.written, read.unit, read.span)?;
    known.band = Band::exact(read.base);
    known.last = read.base;
    known.written = read.written;
    known.unit = read.unit;
    Ok(Some(()))
}

/// Whether a text is a day that the calendar has.
fn is_date(text: &str) -> bool {
    let mut parts = text.splitn(3, '-').map(|part| part.parse::<u32>().ok());
    let (Some(Some(year)), Some(Some(month)), Some(Some(day))) = (parts.next(), parts.next(), parts.next()) else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let length = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    (1..=length).contains(&day)
}
