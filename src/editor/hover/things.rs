//! Manuals, needs, procedures, the machine and its meter.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::card::{Card, code, plain};
use super::history::{file_of, key_at, meter_at};
use super::step::{DEFER, precaution_of};
use crate::judge::Analysis;
use crate::judge::case::Case;
use crate::judge::offers::ways;
use crate::judge::words;
use crate::model::book::StepId;
use crate::model::job::EventKind;
use crate::model::manual::{Named, Step};
use crate::model::names::{file_key, key, says};
use crate::quantity::{Dimension, unit};
use crate::syntax::Span;
use crate::syntax::ast::Rule;

pub(super) fn plural(count: usize, word: &str) -> String {
    if count == 1 {
        word.to_owned()
    } else {
        format!("{word}s")
    }
}

/// A manual by the name a log or a manual gives it.
pub(super) fn manual(book: &crate::model::Book, name: &str) -> Card {
    let mut card = Card::new(format!("**{}**", code(name)));
    let wanted = file_key(name);
    let found = book.manuals.iter().enumerate().find(|(_, entry)| {
        let file = file_of(&entry.source.name);
        let file = file.strip_prefix("shelf:").unwrap_or(file);
        let file = file.strip_suffix(".manual").unwrap_or(file);
        file_key(file) == wanted || file_key(&entry.manual.name) == wanted
    });
    let Some((number, entry)) = found else {
        card.fact("no manual of this name is used here: look at the name, and where its file lies");
        return card;
    };
    let text = &entry.source.text;
    let tree = crate::syntax::parse_manual(text);
    let head = |pick: fn(&Rule) -> Option<Span>| tree.entries.iter().find_map(|entry| pick(&entry.rule));
    let title = tree.entries.iter().find(|entry| matches!(entry.rule, Rule::Manual(_)));
    // The name with what stands behind it: the edition.
    if let Some((_, title)) = title.and_then(|entry| entry.span.text(text).split_once([' ', '\t'])) {
        card.fact(plain(title));
    }
    let source = head(|rule| match rule {
        Rule::Source(source) => Some(*source),
        _ => None,
    });
    card.fact(match source {
        Some(source) => format!("source: {}", plain(source.text(text))),
        None => "no source is given for the whole of it".to_owned(),
    });
    if !entry.manual.extends.is_empty() {
        card.fact(format!("extends {}", super::step::names(&entry.manual.extends)));
    }
    card.fact(if entry.on_shelf {
        "from the shelf: common practice, not your machine".to_owned()
    } else {
        format!("from the file {}", code(&entry.source.name))
    });
    let own = &entry.manual;
    let steps: usize = own.procedures.iter().map(|procedure| procedure.steps.len()).sum();
    card.fact(format!(
        "{} {}, {} {}, {steps} {}",
        own.features.len(),
        plural(own.features.len(), "feature"),
        own.precautions.len(),
        plural(own.precautions.len(), "precaution"),
        plural(steps, "step")
    ));
    if number == 0 && book.manuals.iter().any(|other| other.root != entry.root) {
        card.fact("its word comes before that of the others");
    }
    card
}

/// What is said behind a comma of a step: which needs it answers, and why they are asked.
pub(super) fn tick(case: &Case<'_>, step: Option<&Step>, span: Span) -> Option<Card> {
    let said = key_at(case, span);
    let book = &case.rules.book;
    let mut card = Card::new(format!("**{}**", code(span.text(case.text()))));
    let needs: Vec<&Named> = step.into_iter().flat_map(|step| &step.needs).collect();
    let mut is_known = false;
    for need in needs {
        let precaution = precaution_of(book, need);
        let also = precaution
            .into_iter()
            .flat_map(|p| std::iter::once(&p.name.key).chain(&p.also));
        let mut names = need.key.split(" or ").chain(also.map(String::as_str));
        if !names.any(|name| says(&said, name)) {
            continue;
        }
        is_known = true;
        card.fact(format!("answers the need {}", code(&need.name)));
        if let Some(precaution) = precaution {
            card.fact(format!("why: {}", plain(&precaution.because)));
            card.fact(DEFER);
        }
    }
    let parts = step.into_iter().flat_map(|step| &step.renews);
    for part in parts.filter(|part| crate::model::names::names_thing(&said, &part.key)) {
        is_known = true;
        card.fact(format!("answers that {} are new each time", code(&part.name)));
    }
    if !is_known {
        card.fact("a remark: no need of this step is answered by it");
    }
    Some(card)
}

/// A precaution or a need by its name: why it is asked, and which steps ask it.
pub(super) fn need(book: &crate::model::Book, name: &str) -> Card {
    let own = key(name).into_owned();
    let mut card = Card::new(format!("**{}**", code(name)));
    let precaution = own.split(" or ").find_map(|name| book.precaution(name));
    if let Some(precaution) = precaution {
        card.fact(format!("a precaution: {}", plain(&precaution.because)));
        card.fact("a step that needs it and does not say it is a danger");
        let also = others(&precaution.name.key, &precaution.also);
        if !also.is_empty() {
            card.fact(format!("also: {}", also.join(", ")));
        }
        card.fact(DEFER);
    } else {
        card.fact("must be said on the step's line");
    }
    let names: Vec<&str> = match precaution {
        Some(p) => std::iter::once(p.name.key.as_str())
            .chain(p.also.iter().map(String::as_str))
            .collect(),
        None => own.split(" or ").collect(),
    };
    let steps = book.procedures.iter().flat_map(|p| &p.steps).filter(|step| {
        let mut needs = step.needs.iter().flat_map(|need| need.key.split(" or "));
        needs.any(|need| names.contains(&need))
    });
    card.list("needed by:", steps.map(|step| code(&step.name.name)).collect());
    card
}

/// Other names than its own, each once.
pub(super) fn others(own: &str, also: &[String]) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for name in also.iter().filter(|name| *name != own) {
        let name = code(name);
        if !told.contains(&name) {
            told.push(name);
        }
    }
    told
}

/// A procedure: its steps in the order written, with what was done of them.
pub(super) fn procedure(book: &crate::model::Book, name: &str, case: Option<&Case<'_>>) -> Card {
    let own = key(name).into_owned();
    let mut card = Card::new(format!("**{}**", code(name)));
    let found = book
        .procedures
        .iter()
        .enumerate()
        .find(|(_, procedure)| procedure.name.key == own);
    let Some((number, procedure)) = found else {
        card.fact("no manual used here has a procedure of this name");
        return card;
    };
    let mut done = 0;
    let steps: Vec<String> = procedure
        .steps
        .iter()
        .enumerate()
        .map(|(step, told)| {
            let id = StepId {
                procedure: number,
                step,
            };
            let at = case.and_then(|case| Some((case, case.course.last(id)?)));
            let state = match (at, case) {
                (Some((case, event)), _) => {
                    done += 1;
                    format!(", line {}", case.line_of(event))
                }
                (None, Some(_)) if told.optional => ", need not be done".to_owned(),
                (None, Some(_)) if !told.reads.is_empty() => ", by its readings".to_owned(),
                (None, Some(_)) => ", not yet".to_owned(),
                (None, None) => String::new(),
            };
            format!("{}{state}", code(&told.name.name))
        })
        .collect();
    card.fact(match case {
        Some(_) => format!("{} steps, {done} of them done", steps.len()),
        None => format!("{} steps", steps.len()),
    });
    card.list("steps:", steps);
    card
}

/// The machine, with the earlier jobs on it that are known.
pub(super) fn machine(case: &Case<'_>, span: Span, earlier: &[Arc<Analysis>]) -> Card {
    let mut card = Card::new(format!("**{}**", code(span.text(case.text()))));
    let own = &case.source.name;
    let jobs: Vec<String> = earlier
        .iter()
        .rev()
        .filter(|log| log.source.name != *own)
        .map(|log| {
            let then = super::case_of(log);
            let title = log.job.title.map_or("", |title| title.text(&log.source.text));
            let date = log.job.dates.iter().flatten().next_back();
            let date = date.map_or_else(|| "no date".to_owned(), ToString::to_string);
            let meter = meter_at(&then, usize::MAX).map_or_else(String::new, |meter| format!(", {meter}"));
            format!("{date}{meter}: {} ({})", plain(title), plain(file_of(&log.source.name)))
        })
        .collect();
    if jobs.is_empty() {
        card.fact("no earlier log of this machine is known here");
    }
    card.list("earlier jobs, newest first:", jobs);
    card
}

/// What the meter showed, and what was run since it was last written.
pub(super) fn meter(case: &Case<'_>, span: Span, earlier: &[Arc<Analysis>]) -> Option<Card> {
    let at = case
        .job
        .hours
        .iter()
        .position(|meter| meter.span.start <= span.start && span.end <= meter.span.end)?;
    let own = case.job.hours.get(at)?;
    let mut card = Card::new(format!("**{}** on the meter", words::figure(own.base, Some(own.unit))));
    let before = at.checked_sub(1).and_then(|at| case.job.hours.get(at));
    let same = before.filter(|meter| meter.unit.dimension == own.unit.dimension);
    if let Some(run) = same.and_then(|before| own.base.checked_sub(before.base)) {
        card.fact(format!(
            "{} since it was last written in this log",
            words::difference(run, Some(own.unit))
        ));
    }
    let last = earlier.iter().rev().find_map(|log| {
        let meters = log.job.hours.iter().rev();
        let mut meters = meters.filter(|meter| meter.unit.dimension == own.unit.dimension && meter.base <= own.base);
        meters.next().map(|meter| (log, *meter))
    });
    if let Some((log, meter)) = last
        && let Some(run) = own.base.checked_sub(meter.base)
    {
        card.fact(format!(
            "{} since the job in {}",
            words::difference(run, Some(own.unit)),
            plain(file_of(&log.source.name))
        ));
    }
    Some(card)
}

/// What was paid: what each item came to, and all of them.
pub(super) fn paid(case: &Case<'_>, name: Span) -> Card {
    let mut card = Card::new(format!("**{}**, paid beside parts", code(name.text(case.text()))));
    let events = &case.job.events;
    let paid = events.iter().find_map(|event| match &event.kind {
        EventKind::Cost(paid) if paid.name.span == name => Some(paid),
        _ => None,
    });
    let Some(paid) = paid else { return card };
    if !paid.is_whole {
        card.fact("an item of it could not be read: the sum is not whole");
    }
    for (sum, unit) in crate::judge::offers::sums(&paid.items) {
        card.fact(format!("comes to {} in all", words::money(sum, unit)));
    }
    let items = paid.items.iter();
    let told = items.map(|item| {
        format!(
            "{}: {}",
            plain(item.span.text(case.text())),
            words::money(item.amount, item.unit)
        )
    });
    card.list("items:", told.collect());
    card
}

/// A way to go: what it costs in all, how long it takes and lasts.
pub(super) fn offer(case: &Case<'_>, name: &str) -> Option<Card> {
    let own = key(name).into_owned();
    let all = ways(case);
    let way = all.iter().find(|way| way.name == own)?;
    let mut card = Card::new(format!("**{}**, a way to go", code(name)));
    let totals: Vec<String> = way
        .total
        .iter()
        .map(|(sum, unit)| words::figure(*sum, Some(unit)))
        .collect();
    if !totals.is_empty() {
        let risk = way
            .cost()
            .filter(|_| !way.risk.is_zero())
            .map_or_else(String::new, |(_, unit)| {
                format!(
                    ", of which {} is what may go wrong",
                    words::figure(way.risk, Some(unit))
                )
            });
        card.fact(format!("costs {} in all{risk}", totals.join(" and ")));
    }
    if !way.is_whole {
        card.fact("an item of it could not be read: the sum is not whole");
    }
    let time = |seconds: Decimal, unit: &str| {
        let told = words::figure(seconds, unit::find(unit, Some(Dimension::TIME)));
        if told.ends_with(" day") && told != "1 day" {
            format!("{told}s")
        } else {
            told
        }
    };
    if let Some(takes) = way.takes {
        card.fact(format!("takes {}", time(takes, "day")));
    }
    if let Some(lasts) = way.lasts {
        let hour = way.an_hour().map_or_else(String::new, |(cost, unit)| {
            format!(", {} an hour", words::figure(cost, Some(unit)))
        });
        card.fact(format!("lasts {}{hour}", time(lasts, "h")));
    }
    if all.len() > 1 {
        let names: Vec<String> = all.iter().map(|way| code(way.name)).collect();
        card.list("all ways, the cheapest first:", names);
    }
    Some(card)
}
