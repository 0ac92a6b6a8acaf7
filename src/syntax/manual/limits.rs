//! Limits: what is allowed at a stage, or for an amount of a step.

use pest::iterators::Pair;

use super::grammar::{Rule, of_keyword};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Bound, LimitNode, MaterialNode, Rule as Statement};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, unread};

/// `STAGE LIMIT [, source TEXT]`: the stage, the limit, its source.
pub(super) fn of_stage(said: Said<'_>) -> Read<(Span, LimitNode, Option<Span>)> {
    of_keyword_line(said, "build")
}

/// The same behind a keyword of its own, with that keyword's usage as the help.
pub(super) fn of_keyword_line(said: Said<'_>, keyword: &str) -> Read<(Span, LimitNode, Option<Span>)> {
    let mut stage = Span::default();
    let mut found = None;
    let mut source = None;
    for pair in of_keyword(Rule::limit_line, said, "limit", keyword)? {
        match pair.as_rule() {
            Rule::limit_stage => stage = said.span_of(&pair),
            Rule::limit => found = limit(pair, said),
            Rule::rest => source = Some(said.span_of(&pair)),
            _ => {}
        }
    }
    match found {
        Some(limit) => Ok((stage, limit, source)),
        None => Err(unread(
            said.span(),
            "this limit has no figure",
            super::usage::usage(keyword),
        )),
    }
}

/// `material NAME`, or a coefficient of expansion of its own.
pub(super) fn material(said: Said<'_>) -> Read<Statement> {
    let mut node = MaterialNode::Named(said.span());
    for pair in of_keyword(Rule::material_line, said, "line", "material")? {
        match pair.as_rule() {
            Rule::material_name => node = MaterialNode::Named(said.span_of(&pair)),
            Rule::expansion => {
                let mut pieces = pair.into_inner();
                let Some(figure) = pieces.next() else { continue };
                let spread = pieces.next().and_then(|tail| tail.into_inner().next());
                node = MaterialNode::Expansion(said.amount(&figure), spread.map(|pair| said.amount(&pair)));
            }
            _ => {}
        }
    }
    Ok(Statement::Material(node))
}

/// One limit.
pub(super) fn limit(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<LimitNode> {
    let inner = pair.into_inner().next()?;
    match inner.as_rule() {
        Rule::coded => Some(LimitNode::Coded(said.span_of(&inner))),
        Rule::upto => bound(inner, said).map(LimitNode::UpTo),
        Rule::least => bound(inner, said).map(LimitNode::AtLeast),
        _ => {
            let mut pieces = inner.into_inner();
            let first = said.amount(&pieces.next()?);
            let Some(tail) = pieces.next() else {
                return Some(LimitNode::Exactly(first));
            };
            let rule = tail.as_rule();
            let amounts: Vec<Amount> = tail.into_inner().map(|pair| said.amount(&pair)).collect();
            match (rule, amounts.as_slice()) {
                (Rule::pm_tail, [spread]) => Some(LimitNode::PlusMinus(first, *spread)),
                (Rule::tolerance_tail, [plus, minus]) => Some(LimitNode::Tolerance(first, *plus, *minus)),
                (_, [second]) => Some(LimitNode::Between(first, *second)),
                _ => None,
            }
        }
    }
}

/// One end of a limit.
fn bound(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Bound> {
    let inner = pair.into_inner().next()?;
    Some(match inner.as_rule() {
        Rule::rating => Bound::RatingOf(said.inner_span(inner)?),
        _ => Bound::Amount(said.amount(&inner)),
    })
}
