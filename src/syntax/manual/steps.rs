//! Steps, their clauses, and what is never done.

use pest::iterators::{Pair, Pairs};

use super::grammar::{Rule, of_keyword};
use super::headings::subject;
use super::limits::limit;
use crate::syntax::Span;
use crate::syntax::ast::{Clause, Rule as Statement};
use crate::syntax::said::Said;
use crate::syntax::unread::Read;

/// `step NAME clause; clause …`
pub(super) fn step(said: Said<'_>) -> Read<Statement> {
    let mut name = Span::default();
    let mut list = Vec::new();
    for pair in of_keyword(Rule::step, said, "step", "step")? {
        match pair.as_rule() {
            Rule::step_name => name = said.span_of(&pair),
            Rule::clause => list.extend(clause(pair, said)),
            _ => {}
        }
    }
    Ok(Statement::Step(name, list))
}

/// Clauses on a line of their own.
pub(super) fn clauses(said: Said<'_>) -> Read<Statement> {
    let pairs = of_keyword(Rule::clause_line, said, "clause", "step")?;
    Ok(Statement::Clauses(
        pairs
            .filter(|pair| pair.as_rule() == Rule::clause)
            .filter_map(|pair| clause(pair, said))
            .collect(),
    ))
}

/// `never STEP [, TICK] because TEXT`
pub(super) fn never(said: Said<'_>) -> Read<Statement> {
    let mut names = Vec::new();
    let mut reason = None;
    for pair in of_keyword(Rule::never, said, "line", "never")? {
        match pair.as_rule() {
            Rule::never_name => names.push(said.span_of(&pair)),
            Rule::because => reason = said.inner_span(pair),
            _ => {}
        }
    }
    Ok(Statement::Never(names, reason))
}

/// One clause.
fn clause(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Clause> {
    let inner = pair.into_inner().next()?;
    let rule = inner.as_rule();
    let mut pieces = inner.into_inner();
    let items = |pieces: Pairs<'_, Rule>| pieces.map(|pair| said.span_of(&pair)).collect();
    let subjects = |pieces: Pairs<'_, Rule>| pieces.map(|pair| subject(pair, said)).collect();
    Some(match rule {
        Rule::after => Clause::After(items(pieces)),
        Rule::needs => Clause::Needs(items(pieces)),
        Rule::also => Clause::Also(items(pieces)),
        Rule::disturbs => Clause::Disturbs(subjects(pieces)),
        Rule::reads => Clause::Reads(subjects(pieces)),
        Rule::until => Clause::Until(subjects(pieces)),
        Rule::optional => Clause::Optional,
        Rule::once => Clause::Once,
        Rule::because => Clause::Because(said.span_of(&pieces.next()?)),
        _ => {
            let name = said.span_of(&pieces.next()?);
            Clause::Bound(name, limit(pieces.next()?, said)?)
        }
    })
}
