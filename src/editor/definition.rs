//! Where a name is introduced, or the limit that a figure is held against.

use std::sync::Arc;

use super::mentions::{Alike, Entity, Mention, mention_at, mentions, names_of};
use super::{Index, Page};
use crate::judge::Analysis;
use crate::model::Book;
use crate::model::book::BookManual;
use crate::model::job::{Done, EventKind, SaidKind};
use crate::model::limit::Limit;
use crate::model::manual::Feature;
use crate::model::names::{file_key, says};
use crate::syntax::{Source, Span};

/// A place to go to.
#[derive(Clone, Debug)]
pub struct Destination {
    /// The text it stands in.
    pub source: Arc<Source>,
    /// What is shown: the whole line.
    pub whole: Span,
    /// The name or the limit on it.
    pub span: Span,
}

/// Where what stands at an offset comes from, with the span it was asked of: a feature to its line in the manual, a step to its step, a tool to its `tool` line, a
/// figure to its limit, a manual to its first line. Several where several manuals say it, the one that wins first. What only another file of the index could
/// tell is not followed: the index has no text.
pub fn definition(page: &Page, offset: u32, _index: &Index) -> Option<(Span, Vec<Destination>)> {
    let found = match mention_at(page, offset) {
        Some(mention) => (mention.span, of_mention(page, &mention)),
        None => match page {
            Page::Log(log) => of_figure(log, offset).or_else(|| of_tick(log, offset))?,
            Page::Manual(_) => return None,
        },
    };
    (!found.1.is_empty()).then_some(found)
}

fn of_mention(page: &Page, mention: &Mention) -> Vec<Destination> {
    let book = &page.rules().book;
    let wanted = names_of(page, mention);
    match mention.entity {
        Entity::Feature => or_first(of_feature(book, &wanted), page, &wanted),
        Entity::Step => or_first(of_step(book, &wanted), page, &wanted),
        Entity::Procedure => or_first(of_procedure(book, &wanted), page, &wanted),
        Entity::Need => of_need(book, &wanted),
        Entity::Manual => of_manual(page, mention).into_iter().collect(),
        Entity::Tool | Entity::Choice => declared(page, &wanted).into_iter().collect(),
        Entity::Part => match declared(page, &wanted) {
            Some(came_in) => vec![came_in],
            None => or_first(listed(book, &wanted), page, &wanted),
        },
        Entity::Place => or_first(listed(book, &wanted), page, &wanted),
        Entity::Stock => {
            let chosen = declared(page, &wanted).into_iter().collect();
            or_first(chosen, page, &wanted)
        }
        Entity::Machine | Entity::Job => Vec::new(),
    }
}

/// Failing all else, the first place on the page.
fn or_first(found: Vec<Destination>, page: &Page, wanted: &Alike) -> Vec<Destination> {
    if !found.is_empty() {
        return found;
    }
    let first = mentions(page).into_iter().find(|m| wanted.is(m));
    first.map(|m| destination(page.source(), m.span)).into_iter().collect()
}

/// Where a name is introduced on the page itself; of several the last, since the latest list of a stock counts. A tool declared twice is the first.
fn declared(page: &Page, wanted: &Alike) -> Option<Destination> {
    let list = mentions(page);
    let mut introduced = list.iter().filter(|m| wanted.is(m) && m.is_declaration);
    let one = if wanted.entity == Entity::Stock {
        introduced.next_back()
    } else {
        introduced.next()
    }?;
    Some(destination(page.source(), one.span))
}

fn destination(source: &Arc<Source>, span: Span) -> Destination {
    let line = source.lines.line_span(source.lines.line_of(span.start), &source.text);
    let written = line.text(&source.text).trim_end_matches(['\n', '\r']).len();
    Destination {
        source: Arc::clone(source),
        whole: Span::new(line.start as usize, line.start as usize + written),
        span,
    }
}

/// Its headings: those under which there is a limit, a figure or a sum, in the order in which manuals win; where there is none, the first.
fn of_feature(book: &Book, wanted: &Alike) -> Vec<Destination> {
    let is_it = |f: &&Feature| {
        std::iter::once(&f.name.key)
            .chain(&f.also)
            .any(|name| wanted.keys.contains(name))
    };
    let says_something = |f: &Feature| !f.limits.is_empty() || f.nominal.is_some() || f.calc.is_some();
    let all: Vec<(&BookManual, &Feature)> = book
        .manuals
        .iter()
        .flat_map(|manual| manual.manual.features.iter().filter(is_it).map(move |f| (manual, f)))
        .collect();
    let with_limits: Vec<&(&BookManual, &Feature)> = all.iter().filter(|(_, f)| says_something(f)).collect();
    let shown = if with_limits.is_empty() {
        all.iter().take(1).collect()
    } else {
        with_limits
    };
    shown
        .into_iter()
        .map(|(manual, feature)| destination(&manual.source, feature.name.span))
        .collect()
}

fn of_step(book: &Book, wanted: &Alike) -> Vec<Destination> {
    let mut list = Vec::new();
    for manual in &book.manuals {
        for step in manual.manual.procedures.iter().flat_map(|p| &p.steps) {
            if std::iter::once(&step.name.key)
                .chain(&step.also)
                .any(|name| wanted.keys.contains(name))
            {
                list.push(destination(&manual.source, step.name.span));
            }
        }
    }
    list
}

fn of_procedure(book: &Book, wanted: &Alike) -> Vec<Destination> {
    let mut list = Vec::new();
    for manual in &book.manuals {
        let own = manual
            .manual
            .procedures
            .iter()
            .filter(|p| wanted.keys.contains(&p.name.key));
        list.extend(own.map(|procedure| destination(&manual.source, procedure.name.span)));
    }
    list
}

/// The precaution, and failing that the clauses that ask for it.
fn of_need(book: &Book, wanted: &Alike) -> Vec<Destination> {
    let mut precautions = Vec::new();
    let mut clauses = Vec::new();
    for manual in &book.manuals {
        let is_named = |key: &str| wanted.keys.contains(key);
        for precaution in &manual.manual.precautions {
            if is_named(&precaution.name.key) || precaution.also.iter().any(|name| is_named(name)) {
                precautions.push(destination(&manual.source, precaution.name.span));
            }
        }
        for need in manual
            .manual
            .procedures
            .iter()
            .flat_map(|p| &p.steps)
            .flat_map(|s| &s.needs)
        {
            if need.key.split(" or ").any(is_named) {
                clauses.push(destination(&manual.source, need.span));
            }
        }
    }
    if precautions.is_empty() { clauses } else { precautions }
}

/// The first line of the manual that is meant.
fn of_manual(page: &Page, mention: &Mention) -> Option<Destination> {
    let source = if mention.is_declaration {
        page.source()
    } else {
        &manual_of_book(page, mention)?.source
    };
    let at = destination(source, Span::new(0, 0));
    Some(Destination { span: at.whole, ..at })
}

/// The manual of a page's book that a mention means: by the number of the `manual` line, and else by its name. `None` where the page names itself, or a manual
/// that was not found.
pub(super) fn manual_of_book<'p>(page: &'p Page, mention: &Mention) -> Option<&'p BookManual> {
    if mention.is_declaration {
        return None;
    }
    let manuals = &page.rules().book.manuals;
    let is_other = |manual: &BookManual| !Arc::ptr_eq(&manual.source, page.source());
    let by_name = || {
        manuals
            .iter()
            .find(|manual| is_called(manual, &mention.key) && is_other(manual))
    };
    let by_line = || {
        let Page::Log(log) = page else { return None };
        let root = log
            .job
            .manuals
            .iter()
            .position(|word| word.span.start == mention.span.start)?;
        manuals.iter().find(|manual| manual.root == root)
    };
    // A manual that is named twice, or extended by one above, was brought in by the first line that names it.
    by_line().or_else(by_name)
}

fn is_called(manual: &BookManual, key: &str) -> bool {
    let file = std::path::Path::new(&manual.source.name);
    let stem = file.file_stem().map(|stem| file_key(&stem.to_string_lossy()));
    let on_shelf = manual.source.name.strip_prefix("shelf:").map(file_key);
    file_key(&manual.manual.name) == key || stem.as_deref() == Some(key) || on_shelf.as_deref() == Some(key)
}

/// Where a feature lists a part or a place.
fn listed(book: &Book, wanted: &Alike) -> Vec<Destination> {
    let mut list = Vec::new();
    for manual in &book.manuals {
        for feature in &manual.manual.features {
            let names = if wanted.entity == Entity::Part {
                &feature.parts
            } else {
                &feature.places
            };
            let own = names.iter().filter(|name| wanted.keys.contains(&name.key));
            list.extend(own.map(|name| destination(&manual.source, name.span)));
        }
    }
    list.truncate(1);
    list
}

/// The limit that a reading is held against, or the bound of an amount of a step.
fn of_figure(log: &Analysis, offset: u32) -> Option<(Span, Vec<Destination>)> {
    let touches = |span: Span| span.start <= offset && offset <= span.end;
    let book = &log.rules.book;
    let of_limit = |limit: &Limit| Some(destination(book.source(limit.manual)?, limit.span));
    for reading in log.job.readings.iter().filter(|reading| touches(reading.figure_span)) {
        let feature = log.job.instances.get(reading.instance).and_then(|i| i.feature);
        let event = log.job.events.get(reading.event);
        let limit = feature
            .and_then(|id| book.features.get(id))
            .zip(event)
            .and_then(|(feature, event)| feature.limit_at(log.job.stage(event.stage)));
        if let Some(place) = limit.and_then(of_limit) {
            return Some((reading.figure_span, vec![place]));
        }
    }
    for (done, said) in done_lines(log).flat_map(|done| done.said.iter().map(move |said| (done, said))) {
        let SaidKind::Amount(amount) = &said.kind else { continue };
        if !touches(said.span) {
            continue;
        }
        let step = done.step.and_then(|id| book.step(id))?;
        let bound = step.bounds.iter().find(|bound| says(&amount.name, &bound.name))?;
        let source = book.source(bound.manual)?;
        return Some((said.span, vec![destination(source, bound.span)]));
    }
    None
}

fn done_lines(log: &Analysis) -> impl Iterator<Item = &Done> {
    log.job.events.iter().filter_map(|event| match &event.kind {
        EventKind::Did(done) => Some(done),
        _ => None,
    })
}

/// A tick that says a need in words that stand apart: `web well supported`.
fn of_tick(log: &Analysis, offset: u32) -> Option<(Span, Vec<Destination>)> {
    let book = &log.rules.book;
    let said = done_lines(log).flat_map(|done| done.said.iter().map(move |said| (done, said)));
    let touching = said.filter(|(_, said)| said.is_tick() && said.span.start <= offset && offset <= said.span.end);
    for (done, said) in touching {
        let Some(step) = done.step.and_then(|id| book.step(id)) else {
            continue;
        };
        for need in step.needs.iter().flat_map(|need| need.key.split(" or ")) {
            let precaution = book.precaution(need);
            let mut names = precaution
                .into_iter()
                .flat_map(|p| std::iter::once(&p.name.key).chain(&p.also));
            if says(&said.key, need) || names.any(|name| says(&said.key, name)) {
                let keys = std::iter::once(need.to_owned()).collect();
                let wanted = Alike {
                    entity: Entity::Need,
                    keys,
                };
                return Some((said.span, of_need(book, &wanted)));
            }
        }
    }
    None
}
