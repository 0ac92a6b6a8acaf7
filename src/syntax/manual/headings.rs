//! Names with parts, places and other names; the choices of `say`.

use pest::iterators::Pair;

use super::grammar::{Rule, of_keyword};
use crate::syntax::Span;
use crate::syntax::ast::{Heading, Rule as Statement, Subject};
use crate::syntax::said::Said;
use crate::syntax::unread::Read;

/// `NAME [of A, B] [at A, B] [, also A, B]`, behind `feature` or `precaution`.
pub(super) fn heading(said: Said<'_>, keyword: &str) -> Read<Heading> {
    let mut heading = Heading::default();
    for pair in of_keyword(Rule::feature, said, keyword, keyword)? {
        add(&mut heading, pair, said);
    }
    Ok(heading)
}

/// Adds one pair of a heading to it; any other pair is passed over.
pub(super) fn add(heading: &mut Heading, pair: Pair<'_, Rule>, said: Said<'_>) {
    match pair.as_rule() {
        Rule::head_name => heading.name = said.span_of(&pair),
        Rule::of_list => heading.parts = inner_spans(pair, said),
        Rule::at_list => heading.places = inner_spans(pair, said),
        Rule::also_list => heading.also = inner_spans(pair, said),
        _ => {}
    }
}

/// Where the pairs inside a pair stand.
pub(super) fn inner_spans(pair: Pair<'_, Rule>, said: Said<'_>) -> Vec<Span> {
    pair.into_inner().map(|inner| said.span_of(&inner)).collect()
}

/// `say A or B`
pub(super) fn say(said: Said<'_>) -> Read<Statement> {
    let pairs = of_keyword(Rule::say_line, said, "line", "say")?;
    Ok(Statement::Say(
        pairs
            .filter(|pair| pair.as_rule() == Rule::say_choice)
            .map(|pair| said.span_of(&pair))
            .collect(),
    ))
}

/// `FEATURE [of PART] [at PLACE]`, in a list or in a sum.
pub(super) fn subject(pair: Pair<'_, Rule>, said: Said<'_>) -> Subject {
    let mut subject = Subject {
        feature: said.span_of(&pair),
        part: None,
        place: None,
    };
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::subject_name | Rule::expr_name => subject.feature = said.span_of(&inner),
            Rule::of_part | Rule::expr_part => subject.part = said.inner_span(inner),
            Rule::at_place | Rule::expr_place => subject.place = said.inner_span(inner),
            _ => {}
        }
    }
    subject
}
