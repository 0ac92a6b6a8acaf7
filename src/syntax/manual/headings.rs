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

/// Which word stands in front of the one name of a line.
#[derive(Clone, Copy)]
pub(super) enum Behind {
    /// `limits of FEATURE`
    Limits,
    /// `agrees with FEATURE`
    Agrees,
}

/// A line with one name behind its two words.
pub(super) fn named_behind(said: Said<'_>, behind: Behind) -> Read<Statement> {
    let (rule, keyword) = match behind {
        Behind::Limits => (Rule::limits_line, "limits"),
        Behind::Agrees => (Rule::agrees_line, "agrees"),
    };
    let pairs = of_keyword(rule, said, "line", keyword)?;
    let name = pairs
        .filter(|pair| pair.as_rule() == Rule::name)
        .map(|pair| said.span_of(&pair))
        .next();
    let name = name.unwrap_or_default();
    Ok(match behind {
        Behind::Limits => Statement::LimitsOf(name),
        Behind::Agrees => Statement::AgreesWith(name),
    })
}

/// `choose NAME [from stock NAME] [, up to 2 together]`
pub(super) fn choose(said: Said<'_>) -> Read<Statement> {
    let mut names = Vec::new();
    let mut together = None;
    for pair in of_keyword(Rule::choose_line, said, "choice", "choose")? {
        match pair.as_rule() {
            Rule::choose_name => names.push(said.span_of(&pair)),
            Rule::together => together = Some(said.span_of(&pair)),
            _ => {}
        }
    }
    Ok(Statement::Choose {
        what: names.first().copied().unwrap_or_default(),
        stock: names.get(1).copied(),
        together,
    })
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
