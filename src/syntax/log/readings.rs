//! A reading: `FEATURE [of PART] [at PLACE] = VALUE [by TOOL] [at TEMPERATURE] [, detail …]`.

use pest::iterators::Pair;

use super::details::detail;
use super::figures::{empty_figure, figure};
use super::grammar::{Rule, by_rule};
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Reading, Statement, Subject, SyntaxError, Table, Value};
use crate::syntax::said::{BLANKS, Said};
use crate::syntax::unread::{Read, rest_of, unread};

/// Reads a line that has a `=`.
pub(super) fn reading(said: Said<'_>) -> Read<Statement> {
    let pairs = by_rule(Rule::reading, said).map_err(|at| why_not(said, at))?;
    let end = said.base + said.text.len();
    let mut reading = Reading {
        subject: Subject {
            feature: Span::default(),
            part: None,
            place: None,
        },
        figure: empty_figure(Span::new(end, end)),
        tool: None,
        at: Vec::new(),
        details: Vec::new(),
        table: Table::default(),
    };
    for pair in pairs {
        match pair.as_rule() {
            Rule::subject_name => reading.subject.feature = said.span_of(&pair),
            // A later part or place overrules an earlier one.
            Rule::of_part => reading.subject.part = said.inner_span(pair),
            Rule::at_place => reading.subject.place = said.inner_span(pair),
            Rule::value => reading.figure = figure(pair, said),
            Rule::late_angles => reading.figure.value = ring(reading.figure.value, pair, said),
            Rule::late_place => {
                let place = said.inner_span(pair);
                reading.subject.place = reading.subject.place.or(place);
            }
            // `by dti on vee blocks`, `0.03 on centres`: what stands behind `on` says how it was held.
            Rule::by_tool if reading.tool.is_some() || !starts_with_by(&pair) => {
                let span = said.span_of(&pair);
                reading.details.push(Detail {
                    span,
                    kind: DetailKind::Tick(span),
                });
            }
            Rule::by_tool => reading.tool = said.inner_span(pair),
            Rule::at_amount => {
                let at = pair.into_inner().next();
                reading.at.extend(at.map(|inner| said.amount(&inner)));
            }
            _ => reading.details.extend(detail(pair, said)),
        }
    }
    Ok(Statement::Reading(Box::new(reading)))
}

/// Whether a clause is `by …` rather than `on …`.
fn starts_with_by(pair: &Pair<'_, Rule>) -> bool {
    pair.as_str().starts_with(['b', 'B'])
}

/// The figures of a reading with the angles that stand behind its tool.
fn ring(value: Value, pair: Pair<'_, Rule>, said: Said<'_>) -> Value {
    let angles = pair.into_inner().flat_map(Pair::into_inner);
    let angles = angles
        .filter(|angle| angle.as_rule() == Rule::unsigned)
        .map(|angle| said.span_of(&angle))
        .collect();
    match value {
        Value::Many(amounts) => Value::Ring(amounts, angles),
        Value::Single(amount) => Value::Ring(vec![amount], angles),
        other => other,
    }
}

/// Says why a reading could not be read.
fn why_not(said: Said<'_>, at: usize) -> Box<SyntaxError> {
    const FORMS: &str = "a reading is `FEATURE = 52.03 mm`, `= go 0.50, no-go 0.55 mm`, `= 0.10 to 0.20 mm`, \
                         `= 0.15 ± 0.02 mm` or `= 52.00 52.01 mm`, then `by TOOL`, `at 24 C`, and details behind a comma; figures at several places go into a table below it";
    let (before, behind) = said.text.split_once('=').unwrap_or((said.text, ""));
    if before.trim().is_empty() {
        return unread(said.span(), "no name stands before the `=`", FORMS);
    }
    if let Some((at, word)) = slashed(behind) {
        let start = said.base + before.len() + 1 + at;
        return unread(
            Span::new(start, start + word.len()),
            format!("`{word}` can mean two things"),
            "write `1.05 to 1.10` for a range, `1.05 1.10` for two readings",
        );
    }
    let (stop, rest) = rest_of(said.text, at);
    if rest.is_empty() {
        let message = "something is missing at the end of this reading";
        return unread(said.span(), message, FORMS);
    }
    let place = if stop < before.len() { "name" } else { "reading" };
    let message = format!("`{rest}` is not understood in this {place}");
    unread(said.skip(stop).span(), message, FORMS)
}

/// A word that is two figures with decimals and a slash between them, and where it begins.
fn slashed(text: &str) -> Option<(usize, &str)> {
    let figure = |side: &str| side.contains(['.', ',']) && side.bytes().all(|b| matches!(b, b'0'..=b'9' | b'.' | b','));
    let mut start = 0;
    for piece in text.split_inclusive(BLANKS) {
        let word = piece.trim_end_matches(|c| BLANKS.contains(&c) || c == ',');
        let sides = word.split_once('/');
        if word.len() < 40 && sides.is_some_and(|(left, right)| figure(left) && figure(right)) {
            return Some((start, word));
        }
        start += piece.len();
    }
    None
}
