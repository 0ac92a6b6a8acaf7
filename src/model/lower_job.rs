//! From the tree of a log to the job it tells of: names looked up in the book, units resolved, figures as bands, corrections
//! carried out. Problems are collected, never fatal.

use rustc_hash::FxHashMap;

use super::book::Book;
use super::details::{Details, said};
use super::job::*;
use super::names::{key, place_within};
use super::readings::{self, TakenAs};
use super::stage::Stage;
use super::tools::Tool;
use super::units::{Meant, read, read_unit};
use crate::quantity::{Band, Dimension, Unit, number};
use crate::syntax::Span;
use crate::syntax::ast::{
    Amount, Cell, Detail, DetailKind, Figure, FixTarget, HeadKind, LogTree, Reading as Written, Row, Statement,
    Subject, SyntaxError, Value,
};

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
        self.units.iter().find(|unit| unit.dimension == wanted).copied()
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
            Statement::Undid(name, details) => self.undid(span, *name, details),
            Statement::Amend(whole, subject, details) => self.amend(span, *whole, subject, details),
            Statement::Fix { target, old, new, .. } => match target {
                FixTarget::Reading(subject) => self.fix_reading(span, subject, old, new),
                FixTarget::Step(step, amount) => self.fix_step(span, *step, *amount, old, new),
            },
            Statement::Closed(date) => {
                self.job.closed = Some(span);
                if let Some(date) = date {
                    self.calendar(*date);
                }
            }
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
                "the facts are `reads to 0.01 mm`, `good to 0.004 mm`, `zero +0.002 mm`, `rated 20 t`, `range 10 to 60 N·m` and `due 2027-01-31`".to_owned(),
            );
        }
        if self.job.tool(&tool.name.key).is_some() {
            let message = format!("tool `{}` is declared twice; the first counts", name.text(self.text));
            self.problem("tool.twice", name, message, "give one of them another name".to_owned());
            return;
        }
        self.job.tools.push(tool);
    }

    /// Says so if a date is none.
    fn calendar(&mut self, date: Span) {
        if !is_date(date.text(self.text)) {
            let message = format!("`{}` is no day of the calendar", date.text(self.text));
            self.problem(
                "day.invalid",
                date,
                message,
                "a date is year, month and day: 2026-03-14".to_owned(),
            );
        }
    }

    fn begin_day(&mut self, date: Span, stage: Option<Span>) {
        self.calendar(date);
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
        for second in said.iter().filter(|said| said.key.starts_with("did ")) {
            let message = format!(
                "`{}` is a second step on one line, so it is not read",
                second.span.text(self.text)
            );
            self.problem(
                "line.unread",
                second.span,
                message,
                "give it a line of its own".to_owned(),
            );
        }
        self.event(
            span,
            EventKind::Did(Done {
                name: word,
                step,
                said,
                is_undone: false,
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
        let feature = self.book.feature(&name.key).and_then(|id| self.book.features.get(id));
        let meant = self.meant(feature.and_then(|f| f.unit), written.figure.unit, &written.figure.value);
        let tool = written
            .tool
            .map(|t| self.word(t))
            .or_else(|| self.tool_behind_comma(&written.details));
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
        self.stray_figures(&written.details);
        self.conditions(&written.at);
        if let Value::Ring(amounts, places) = &written.figure.value
            && amounts.len() != places.len()
        {
            let message = format!("{} figures stand for {} places", amounts.len(), places.len());
            self.problem(
                "reading.ring",
                written.figure.span,
                message,
                "write one figure for each place, in the same order".to_owned(),
            );
        }
        if let Some((amounts, places)) = self.ring_of_places(&written.figure.value, feature) {
            self.ring(amounts, places, meant, &taken, &name, part.as_ref(), place.as_ref());
        } else if written.table.rows.is_empty() {
            let reading = readings::taken(
                &written.figure,
                self.text,
                meant,
                self.units.blades,
                taken,
                &mut self.problems,
            );
            let instance = self.instance(&name, part.as_ref(), place.as_ref());
            self.keep(instance, reading);
        } else {
            self.table(written, meant, &taken, &name, part.as_ref(), place.as_ref());
        }
        let range = first..self.job.readings.len();
        self.event(span, EventKind::Readings(range));
    }

    /// `at 24 C` is the temperature of the part, `at 80°` or `at 80` an angle; anything else is neither.
    fn conditions(&mut self, at: &[Amount]) {
        for amount in at {
            let wrong = match read(amount, self.text, Meant::default()) {
                Ok(read)
                    if matches!(
                        read.dimension(),
                        Dimension::NONE | Dimension::TEMPERATURE | Dimension::ANGLE
                    ) =>
                {
                    continue;
                }
                Ok(read) => SyntaxError {
                    code: "reading.wrong-dimension",
                    span: read.span,
                    message: format!(
                        "`at {}` is neither a temperature nor an angle",
                        read.span.text(self.text)
                    ),
                    help: "a place stands before the `=`: `bore at 10 mm down = …`; a remark stands behind a comma"
                        .to_owned(),
                    suggestion: None,
                },
                Err(error) => *error,
            };
            self.problems.push(wrong);
        }
    }

    /// `web width = 52.05 mm, by mic`: the comma is one too many, but what is meant is plain.
    fn tool_behind_comma(&self, details: &[Detail]) -> Option<Word> {
        details.iter().find_map(|detail| {
            let text = detail.span.text(self.text);
            let behind = text.get(3..).filter(|_| key(text).starts_with("by "))?;
            let end = detail.span.end;
            Some(self.word(Span {
                start: end - u32::try_from(behind.trim_start().len()).ok()?,
                end,
            }))
        })
    }

    /// A figure behind a comma is not part of the reading, and must not be lost among the details.
    fn stray_figures(&mut self, details: &[Detail]) {
        const AGAIN: &[&str] = &["later", "then", "now", "again", "after", "before", "and"];
        for detail in details {
            let bare = match &detail.kind {
                DetailKind::Amount {
                    name, trailing: None, ..
                } => name.is_none_or(|n| AGAIN.contains(&self.word(n).key.as_str())),
                _ => false,
            };
            if bare || detail.span.text(self.text).contains('=') {
                let message = format!(
                    "`{}` stands behind a comma, so it is not read as part of the reading",
                    detail.span.text(self.text)
                );
                self.problem(
                    "reading.stray-figure",
                    detail.span,
                    message,
                    "several readings of one thing stand behind each other with a blank: `52.00 52.01 mm`; another thing, or a later reading, has a line of its own".to_owned(),
                );
            }
        }
    }

    /// The figures and places of a ring whose places are named, or are places that the manual lists (`at 0, 90, 180, 270`).
    fn ring_of_places<'v>(
        &self,
        value: &'v Value,
        feature: Option<&super::manual::Feature>,
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
    fn ring(
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
            (None, Value::Many(list) | Value::Ring(list, _) | Value::Stages(list)) => {
                list.iter().rev().find_map(|a| a.unit)
            }
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

    fn table(
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

    /// A correction of a reading: of the one that is named, or of the only one of that feature that has the old figure.
    fn fix_reading(&mut self, span: Span, subject: &Subject, old: &Figure, new: &Figure) {
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

    fn fix_step(&mut self, span: Span, step: Span, amount: Span, old: &Figure, new: &Figure) {
        let amount_key = self.word(amount).key;
        let text = self.text;
        let result = self.done_before(step).into_iter().find_map(|event| {
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

    /// The events at which a step was done before, the latest first.
    fn done_before(&self, name: Span) -> Vec<usize> {
        let key = self.word(name).key;
        let wanted = self.book.step_id(&key);
        let is_it = |done: &Done| done.name.key == key || (wanted.is_some() && done.step == wanted);
        let events = self.job.events.iter().enumerate().rev();
        events
            .filter(|(_, event)| matches!(&event.kind, EventKind::Did(done) if is_it(done)))
            .map(|(number, _)| number)
            .collect()
    }

    /// Adds what was not said with the latest step or reading of that name.
    fn amend(&mut self, span: Span, whole: Span, subject: &Subject, details: &[Detail]) {
        if let Some(event) = self.done_before(whole).first().copied() {
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
            if let Some(reading) = self.job.readings.get_mut(index) {
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

    fn undid(&mut self, span: Span, name: Span, details: &[Detail]) {
        let said = self.said(details, Details::Any);
        let word = self.word(name);
        let step = self.book.step_id(&word.key);
        let last = self.done_before(name).into_iter().find(|event| {
            matches!(self.job.events.get(*event).map(|e| &e.kind), Some(EventKind::Did(done)) if !done.is_undone)
        });
        match last.and_then(|event| self.job.events.get_mut(event)) {
            Some(Event {
                kind: EventKind::Did(done),
                ..
            }) => done.is_undone = true,
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
                is_undone: false,
            }),
        );
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

/// Puts a new figure in the place of an old one; `None` if the old one is not this amount's.
fn mend_amount(
    known: &mut SaidAmount,
    old: &Figure,
    new: &Figure,
    text: &str,
) -> Result<Option<()>, super::units::UnitError> {
    let (Value::Single(old), Value::Single(new)) = (&old.value, &new.value) else {
        return Ok(None);
    };
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
