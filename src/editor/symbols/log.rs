//! The outline of a log: the job, its tools, its days, and what was read and done on each.

use super::super::shape::{Lines, day_lines, days, is_decision, subject_words};
use super::{Symbol, SymbolKind};
use crate::judge::Analysis;
use crate::judge::standing::{ReadingStanding, Standings};
use crate::judge::words::fold;
use crate::model::job::{Event, EventKind};
use crate::quantity::Verdict;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Entry, FixTarget, HeadKind, Reading, Statement, Table};

/// The job with all that stands below it; nothing of an empty page.
pub(super) fn outline(analysis: &Analysis) -> Vec<Symbol> {
    let Some(first) = analysis.tree.entries.first() else {
        return Vec::new();
    };
    let own = Outline {
        analysis,
        text: &analysis.source.text,
        standings: analysis.standings(),
    };
    let (head, days) = days(&analysis.tree.entries);
    let mut children = own.head(head);
    let lines = day_lines(&analysis.tree);
    children.extend(
        days.zip(lines)
            .filter_map(|(day, lines)| own.day(day, lines.span(&analysis.tree.lines))),
    );
    let [title, machine] = [HeadKind::Job, HeadKind::Machine].map(|wanted| {
        analysis.tree.entries.iter().find_map(|entry| match &entry.statement {
            Statement::Head(kind, words) if *kind == wanted => Some(*words),
            _ => None,
        })
    });
    let name_span = title.or(machine).unwrap_or(first.span);
    vec![Symbol {
        name: match title.or(machine) {
            Some(words) => own.words(words),
            None => "job without a name".to_owned(),
        },
        detail: title.and(machine).map_or_else(String::new, |words| own.words(words)),
        kind: SymbolKind::Job,
        span: Span::new(0, own.text.len()),
        name_span,
        children,
    }]
}

struct Outline<'a> {
    analysis: &'a Analysis,
    text: &'a str,
    standings: &'a Standings,
}

/// What an entry is called, before it has its place.
struct Named {
    name: String,
    detail: String,
    kind: SymbolKind,
    name_span: Span,
}

impl Outline<'_> {
    fn words(&self, span: Span) -> String {
        fold(span.text(self.text))
    }

    /// What stands before the first day: manuals, tools in a group, and whatever was read or done without a day.
    fn head(&self, entries: &[Entry]) -> Vec<Symbol> {
        let mut list: Vec<Symbol> = Vec::new();
        // Tools that stand below each other, with nothing else of the outline between, are a group.
        let mut tools: Vec<Symbol> = Vec::new();
        for symbol in entries.iter().filter_map(|entry| self.entry(entry)) {
            if symbol.kind != SymbolKind::Tool {
                list.extend(group(std::mem::take(&mut tools)));
                list.push(symbol);
            } else {
                tools.push(symbol);
            }
        }
        list.extend(group(tools));
        list
    }

    /// A day: its date with its stage, and its entries.
    fn day(&self, entries: &[Entry], span: Span) -> Option<Symbol> {
        let (first, rest) = entries.split_first()?;
        let Statement::Day { date, stage } = &first.statement else {
            return None;
        };
        Some(Symbol {
            name: match stage {
                Some(stage) => format!("{} {}", self.words(*date), self.words(*stage)),
                None => self.words(*date),
            },
            detail: String::new(),
            kind: SymbolKind::Day,
            span,
            name_span: stage.map_or(*date, |stage| date.to(stage)),
            children: rest.iter().filter_map(|entry| self.entry(entry)).collect(),
        })
    }

    /// An entry, if it is worth a line.
    fn entry(&self, entry: &Entry) -> Option<Symbol> {
        let named = self.named(entry).filter(|named| !named.name.is_empty())?;
        let span = Lines::of_entry(entry).span(&self.analysis.tree.lines);
        Some(Symbol {
            name: named.name,
            detail: named.detail,
            kind: named.kind,
            span,
            name_span: named.name_span,
            children: match &entry.statement {
                Statement::Reading(reading) => self.rows(entry, &reading.table),
                _ => Vec::new(),
            },
        })
    }

    fn named(&self, entry: &Entry) -> Option<Named> {
        let plain = |lead: &str, name: Span, detail: String, kind: SymbolKind| {
            Some(Named {
                name: format!("{lead}{}", self.words(name)),
                detail,
                kind,
                name_span: name,
            })
        };
        match &entry.statement {
            Statement::Manual(name) => plain("", *name, String::new(), SymbolKind::Manual),
            Statement::Tool(name, details) => plain("", *name, self.first(details), SymbolKind::Tool),
            Statement::Checked(name, details) => plain("checked ", *name, self.first(details), SymbolKind::Tool),
            Statement::Reading(reading) => Some(self.reading(entry, reading)),
            Statement::Did(name, details) => plain("", *name, self.done(entry, details), SymbolKind::Step),
            Statement::Undid(name, details) => plain("undid ", *name, self.amount(details), SymbolKind::Step),
            Statement::Found(name, details) => plain("", *name, self.decision(details), SymbolKind::Inspection),
            Statement::Ordered(name, details) => plain("ordered ", *name, self.first(details), SymbolKind::Part),
            Statement::Got(name, details) => plain("got ", *name, self.first(details), SymbolKind::Part),
            Statement::Waiting(name, details) => plain("waiting for ", *name, self.first(details), SymbolKind::Part),
            Statement::Chose(name, over, _) => {
                let over = over.map_or_else(String::new, |over| format!("over {}", self.words(over)));
                plain("chose ", *name, over, SymbolKind::Part)
            }
            Statement::Stock(name, pieces) => {
                let count: u64 = pieces.iter().map(|piece| u64::from(piece.count)).sum();
                plain("stock ", *name, counted(count, "piece"), SymbolKind::Other)
            }
            Statement::Option(name, _) => plain("option ", *name, String::new(), SymbolKind::Other),
            Statement::Cost(name, costs) => {
                let first = costs.first().map_or_else(String::new, |cost| self.words(cost.span));
                plain("cost ", *name, first, SymbolKind::Other)
            }
            Statement::Fix { target, old, new, .. } => {
                let (name, name_span) = match &**target {
                    FixTarget::Reading(subject) => (subject_words(subject, self.text), subject.span()),
                    FixTarget::Step(step, amount) => {
                        let name = format!("{}, {}", self.words(*step), self.words(*amount));
                        (name, step.to(*amount))
                    }
                };
                Some(Named {
                    name: format!("fix {name}"),
                    detail: format!("{} -> {}", self.words(old.span), self.words(new.span)),
                    kind: SymbolKind::Other,
                    name_span,
                })
            }
            Statement::Amend(name, _, details) => plain("fix ", *name, self.first(details), SymbolKind::Other),
            Statement::Closed(_) => Some(Named {
                name: self.words(entry.span),
                detail: String::new(),
                kind: SymbolKind::Other,
                name_span: entry.span,
            }),
            _ => None,
        }
    }

    /// What happened on the line of an entry.
    fn event(&self, entry: &Entry) -> Option<&Event> {
        let events = &self.analysis.job.events;
        let at = events.partition_point(|event| event.span.start < entry.span.start);
        events.get(at).filter(|event| event.span == entry.span)
    }

    /// The readings of an entry.
    fn readings(&self, entry: &Entry) -> std::ops::Range<usize> {
        match self.event(entry).map(|event| &event.kind) {
            Some(EventKind::Readings(range)) => range.clone(),
            _ => 0..0,
        }
    }

    fn reading(&self, entry: &Entry, reading: &Reading) -> Named {
        let range = self.readings(entry);
        let standings = self.standings.readings.get(range.clone()).unwrap_or_default();
        let figure = match standings {
            [one] if reading.table.rows.is_empty() => one.figure.clone(),
            [] => self.words(reading.figure.span),
            _ if reading.table.rows.is_empty() => self.words(reading.figure.span),
            many => counted(many.len() as u64, "figure"),
        };
        let subject = &reading.subject;
        // A place may stand behind the figure: the name is then what stands in front of it.
        let before = |span: &Span| span.end <= reading.figure.span.start || reading.figure.span.is_empty();
        Named {
            name: subject_words(subject, self.text),
            detail: joined([figure, worst(standings).to_owned()]),
            kind: SymbolKind::Reading,
            name_span: [subject.part, subject.place]
                .into_iter()
                .flatten()
                .filter(before)
                .fold(subject.feature, Span::to),
        }
    }

    /// The rows of a table: a name and its figures.
    fn rows(&self, entry: &Entry, table: &Table) -> Vec<Symbol> {
        let own = entry.line..entry.line + entry.lines;
        let mut list: Vec<Symbol> = Vec::new();
        for row in &table.rows {
            let Some(label) = row.label else { continue };
            let number = self.analysis.source.lines.line_of(label.start);
            let span = Lines {
                first: number,
                last: number,
            }
            .span(&self.analysis.tree.lines);
            let is_next = list.last().is_none_or(|last| last.span.end <= span.start);
            if !own.contains(&number) || !is_next {
                continue;
            }
            let readings = self.readings(entry);
            let from = self.analysis.job.readings.get(readings.clone()).unwrap_or_default();
            let start = from.partition_point(|reading| reading.figure_span.start < span.start);
            let end = from.partition_point(|reading| reading.figure_span.start < span.end);
            let standings = self
                .standings
                .readings
                .get(readings.start + start..readings.start + end)
                .unwrap_or_default();
            let content = self.analysis.tree.lines.get(number).map_or(label, |line| line.content);
            let figures = Span {
                start: label.end.min(content.end),
                end: content.end,
            };
            list.push(Symbol {
                name: self.words(label),
                detail: joined([self.words(figures), worst(standings).to_owned()]),
                kind: SymbolKind::Reading,
                span,
                name_span: label,
                children: Vec::new(),
            });
        }
        list
    }

    /// Whether a step was undone, and its first amount.
    fn done(&self, entry: &Entry, details: &[Detail]) -> String {
        let undone = match self.event(entry).map(|event| &event.kind) {
            Some(EventKind::Did(done)) if done.is_undone() => "undone",
            _ => "",
        };
        joined([self.amount(details), undone.to_owned()])
    }

    fn amount(&self, details: &[Detail]) -> String {
        let amount = details.iter().find_map(|detail| match &detail.kind {
            DetailKind::Amount {
                name: Some(name),
                figure,
                ..
            } => Some(name.to(figure.span)),
            _ => None,
        });
        amount.map_or_else(String::new, |span| self.words(span))
    }

    fn first(&self, details: &[Detail]) -> String {
        details
            .first()
            .map_or_else(String::new, |detail| self.words(detail.span))
    }

    /// What was decided of a part that was looked at, else the first that was said of it.
    fn decision(&self, details: &[Detail]) -> String {
        let words = details.iter().map(|detail| self.words(detail.span));
        let decided = words.into_iter().find(|words| is_decision(words));
        decided.unwrap_or_else(|| self.first(details))
    }
}

/// Tools as a group; one alone stands for itself.
fn group(tools: Vec<Symbol>) -> Option<Symbol> {
    if tools.len() < 2 {
        return tools.into_iter().next();
    }
    let (first, last) = (tools.first()?, tools.last()?);
    Some(Symbol {
        name: "tools".to_owned(),
        detail: tools.len().to_string(),
        kind: SymbolKind::Other,
        span: first.span.to(last.span),
        name_span: first.name_span,
        children: tools,
    })
}

/// The gravest word about some readings: `out`, `not proven`, `stale`, `in`; nothing where none was judged.
fn worst(standings: &[ReadingStanding]) -> &'static str {
    let weight = |own: &ReadingStanding| {
        let verdict = own.standing.decision.map(|decision| decision.verdict);
        match (own.standing.stale_by, verdict) {
            (Some(_), _) => (2, "stale"),
            (None, Some(Verdict::Out)) => (4, Verdict::Out.word()),
            (None, Some(Verdict::NotProven)) => (3, Verdict::NotProven.word()),
            (None, Some(Verdict::In)) => (1, Verdict::In.word()),
            (None, None) => (0, ""),
        }
    };
    standings.iter().map(weight).max().map_or("", |(_, word)| word)
}

/// `1 piece`, `5 pieces`.
fn counted(count: u64, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// Words with a comma between them, empty ones left out.
fn joined<const N: usize>(words: [String; N]) -> String {
    let words: Vec<String> = words.into_iter().filter(|word| !word.is_empty()).collect();
    words.join(", ")
}
