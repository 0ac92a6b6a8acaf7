//! A correction: `fix … OLD -> NEW, why`.

use pest::iterators::Pair;

use super::details::detail;
use super::figures::fix_value;
use super::grammar::{Rule, by_rule};
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Figure, FixTarget, Statement, Subject, SyntaxError};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, stuck, unread};

/// Reads what stands behind `fix`.
pub(super) fn fix(said: Said<'_>) -> Read<Statement> {
    if !has_arrow(said) {
        return amend(said);
    }
    let pairs = by_rule(Rule::fix, said).map_err(|at| stuck(said, at, "correction", usage("fix")))?;
    let mut target = FixTarget::Reading(Subject {
        feature: said.span(),
        part: None,
        place: None,
    });
    let mut figures: Vec<Figure> = Vec::new();
    let mut reason = None;
    for pair in pairs {
        match pair.as_rule() {
            Rule::fix_step | Rule::fix_subject => target = fix_target(pair, said),
            Rule::fix_value => figures.push(fix_value(pair, said)),
            Rule::rest => reason = Some(said.span_of(&pair)),
            _ => {}
        }
    }
    match <[Figure; 2]>::try_from(figures) {
        Ok([old, new]) => Ok(Statement::Fix {
            target: Box::new(target),
            old: Box::new(old),
            new: Box::new(new),
            reason,
        }),
        Err(_) => Err(stuck(said, 0, "correction", usage("fix"))),
    }
}

fn has_arrow(said: Said<'_>) -> bool {
    ["->", "→", "=>"].iter().any(|arrow| said.text.contains(arrow))
}

/// `NAME, DETAIL …`: adds what was not said with a step or a reading.
fn amend(said: Said<'_>) -> Read<Statement> {
    let pairs = by_rule(Rule::amend, said).map_err(|_| without_arrow(said))?;
    let mut subject = Subject {
        feature: said.span(),
        part: None,
        place: None,
    };
    let mut details = Vec::new();
    for pair in pairs {
        match pair.as_rule() {
            Rule::subject_name => subject.feature = said.span_of(&pair),
            Rule::of_part => subject.part = said.inner_span(pair),
            Rule::at_place => subject.place = said.inner_span(pair),
            _ => details.extend(detail(pair, said)),
        }
    }
    // A bare figure is the new one of a correction that lacks its arrow.
    let bare = |detail: &Detail| matches!(detail.kind, DetailKind::Amount { name: None, .. });
    if details.iter().any(bare) {
        return Err(without_arrow(said));
    }
    let comma = said.text.find([',', ';']).unwrap_or(said.text.len());
    let name = said.text.get(..comma).unwrap_or("").trim_end().len();
    Ok(Statement::Amend(
        Span::new(said.base, said.base + name),
        Box::new(subject),
        details,
    ))
}

/// What is mended: a reading, or an amount on a step's line.
fn fix_target(pair: Pair<'_, Rule>, said: Said<'_>) -> FixTarget {
    let is_step = pair.as_rule() == Rule::fix_step;
    let mut names: Vec<Span> = Vec::new();
    let mut part = None;
    let mut place = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::fix_part => part = said.inner_span(inner),
            Rule::fix_place => place = said.inner_span(inner),
            _ => names.push(said.span_of(&inner)),
        }
    }
    let feature = names.first().copied().unwrap_or_default();
    match names.get(1) {
        Some(amount) if is_step => FixTarget::Step(feature, *amount),
        _ => FixTarget::Reading(Subject { feature, part, place }),
    }
}

/// Says that the arrow is missing.
fn without_arrow(said: Said<'_>) -> Box<SyntaxError> {
    let mut error = unread(
        said.span(),
        "a correction needs an arrow between the old figure and the new one",
        usage("fix"),
    );
    error.suggestion = with_arrow(said);
    error
}

/// Where an arrow is missing between two figures, the one straight behind the other: the first of them, with the arrow.
fn with_arrow(said: Said<'_>) -> Option<(Span, String)> {
    let at = said.first_figure().filter(|at| *at > 0)?;
    let mut words = said.skip(at).text.split([' ', '\t']).filter(|word| !word.is_empty());
    let old = words.next()?;
    let new = words.next()?;
    let start = said.base + at;
    new.starts_with(|c: char| c.is_ascii_digit())
        .then(|| (Span::new(start, start + old.len()), format!("{old} ->")))
}
