//! A correction: `fix … OLD -> NEW, why`.

use pest::iterators::Pair;

use super::grammar::{Rule, by_rule};
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, FixTarget, Statement, Subject, SyntaxError};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, stuck, unread};

/// Reads what stands behind `fix`.
pub(super) fn fix(said: Said<'_>) -> Read<Statement> {
    let pairs = by_rule(Rule::fix, said).map_err(|at| why_not(said, at))?;
    let mut target = FixTarget::Reading(Subject {
        feature: said.span(),
        part: None,
        place: None,
    });
    let mut amounts: Vec<Amount> = Vec::new();
    let mut reason = None;
    for pair in pairs {
        match pair.as_rule() {
            Rule::fix_step | Rule::fix_subject => target = fix_target(pair, said),
            Rule::amount => amounts.push(said.amount(&pair)),
            Rule::rest => reason = Some(said.span_of(&pair)),
            _ => {}
        }
    }
    match amounts.as_slice() {
        [old, new] => Ok(Statement::Fix {
            target,
            old: *old,
            new: *new,
            reason,
        }),
        _ => Err(stuck(said, 0, "correction", usage("fix"))),
    }
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
        _ => FixTarget::Reading(Subject {
            feature,
            part,
            place,
        }),
    }
}

/// Says why a correction could not be read.
fn why_not(said: Said<'_>, at: usize) -> Box<SyntaxError> {
    if ["->", "→", "=>"]
        .iter()
        .any(|arrow| said.text.contains(arrow))
    {
        return stuck(said, at, "correction", usage("fix"));
    }
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
    let mut words = said
        .skip(at)
        .text
        .split([' ', '\t'])
        .filter(|word| !word.is_empty());
    let old = words.next()?;
    let new = words.next()?;
    let start = said.base + at;
    new.starts_with(|c: char| c.is_ascii_digit())
        .then(|| (Span::new(start, start + old.len()), format!("{old} ->")))
}
