//! Steps, their clauses, and what is never done.

use pest::iterators::{Pair, Pairs};

use super::grammar::{Rule, of_keyword};
use super::headings::subject;
use super::limits::limit;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Clause, ConditionNode, NeverNode, NeverOrder, Rule as Statement, Subject};
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

fn items_only(pieces: Pairs<'_, Rule>, said: Said<'_>) -> Vec<Span> {
    let items = pieces.filter(|pair| pair.as_rule() == Rule::item);
    items.map(|pair| said.span_of(&pair)).collect()
}

fn amount_of(mut pieces: Pairs<'_, Rule>, said: Said<'_>) -> Option<Amount> {
    pieces
        .find(|pair| pair.as_rule() == Rule::amount)
        .map(|pair| said.amount(&pair))
}

/// What stands behind `if`.
fn condition(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<ConditionNode> {
    let rule = pair.as_rule();
    let mut pieces = pair.into_inner();
    let first = said.span_of(&pieces.next()?);
    Some(match rule {
        Rule::cond_not_did => ConditionNode::NotDid(first),
        Rule::cond_did => ConditionNode::Did(first),
        Rule::cond_got => ConditionNode::Got(first),
        Rule::cond_found => ConditionNode::Found(first, said.span_of(&pieces.next()?)),
        _ => {
            let mut subject = Subject {
                feature: first,
                part: None,
                place: None,
            };
            for piece in pieces {
                match piece.as_rule() {
                    Rule::cond_part => subject.part = said.inner_span(piece),
                    Rule::cond_place => subject.place = said.inner_span(piece),
                    Rule::feature_state => return Some(ConditionNode::Feature(subject, said.span_of(&piece))),
                    _ => {}
                }
            }
            return None;
        }
    })
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
    let mut order = NeverOrder::Ever;
    let mut conditions = Vec::new();
    let mut because = None;
    for pair in of_keyword(Rule::never, said, "line", "never")? {
        match pair.as_rule() {
            Rule::never_name => names.push(said.span_of(&pair)),
            Rule::never_before => order = said.inner_span(pair).map_or(order, NeverOrder::Before),
            Rule::never_after => order = said.inner_span(pair).map_or(order, NeverOrder::After),
            Rule::never_if => conditions.extend(pair.into_inner().next().and_then(|inner| never_if(inner, said))),
            Rule::because => because = said.inner_span(pair),
            _ => {}
        }
    }
    Ok(Statement::Never(NeverNode {
        names,
        order,
        conditions,
        because,
    }))
}

/// `did STEP`, `FEATURE read`
fn never_if(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<ConditionNode> {
    let is_did = pair.as_rule() == Rule::never_did;
    let name = said.span_of(&pair.clone().into_inner().next()?);
    if is_did {
        return Some(ConditionNode::Did(name));
    }
    let subject = Subject {
        feature: name,
        part: None,
        place: None,
    };
    // The word `read` is the last of it.
    let whole = said.span_of(&pair);
    let state = Span {
        start: whole.end - u32::try_from("read".len()).ok()?,
        end: whole.end,
    };
    Some(ConditionNode::Feature(subject, state))
}

/// `one of STEP, STEP`; the first word is read already.
pub(super) fn one_of(said: Said<'_>) -> Read<Statement> {
    let pairs = of_keyword(Rule::one_of, said, "line", "one")?;
    Ok(Statement::OneOf(
        pairs
            .filter(|pair| pair.as_rule() == Rule::item)
            .map(|pair| said.span_of(&pair))
            .collect(),
    ))
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
        Rule::directly_after => Clause::DirectlyAfter(items(pieces)),
        Rule::then => {
            let directly = pieces.peek().is_some_and(|first| first.as_rule() == Rule::directly);
            let steps = pieces.filter(|pair| pair.as_rule() == Rule::item);
            Clause::Then {
                steps: steps.map(|pair| said.span_of(&pair)).collect(),
                directly,
            }
        }
        Rule::not_with => Clause::NotWith(items(pieces)),
        Rule::given => Clause::Given(subjects(pieces)),
        Rule::expects => Clause::Expects(subjects(pieces)),
        Rule::pattern => {
            let first = said.span_of(&pieces.next()?);
            match pieces.next() {
                Some(second) => Clause::Pattern(Some(first), said.span_of(&second)),
                None => Clause::Pattern(None, first),
            }
        }
        Rule::takes_out => Clause::TakesOut(items(pieces)),
        Rule::puts_in => Clause::PutsIn(items(pieces)),
        Rule::renews => Clause::Renews(items(pieces)),
        Rule::uses => {
            let kind = said.span_of(&pieces.next()?);
            Clause::Uses(kind, amount_of(pieces, said))
        }
        Rule::wait => Clause::Wait {
            is_least: pieces.next()?.as_rule() == Rule::wait_least,
            time: amount_of(pieces.clone(), said)?,
            after: items_only(pieces, said),
        },
        Rule::only_if | Rule::if_clause => Clause::If {
            only: rule == Rule::only_if,
            condition: condition(pieces.next()?, said)?,
        },
        _ => {
            let name = said.span_of(&pieces.next()?);
            Clause::Bound(name, limit(pieces.next()?, said)?)
        }
    })
}
