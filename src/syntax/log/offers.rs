//! What there is to choose from: pieces of a stock, and ways to go with what each costs.

use pest::iterators::Pair;

use super::grammar::{Rule, by_rule};
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Cost, CostBy, Piece, Statement};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, stuck};

/// `stock NAME: 2.30 2.35 x2 mm`
pub(super) fn stock(said: Said<'_>) -> Read<Statement> {
    let mut name = Span::default();
    let mut pieces = Vec::new();
    for pair in by_rule(Rule::stock, said).map_err(|at| stuck(said, at, "stock", usage("stock")))? {
        match pair.as_rule() {
            Rule::found_name => name = said.span_of(&pair),
            _ => pieces.extend(piece(pair, said)),
        }
    }
    Ok(Statement::Stock(name, pieces))
}

/// More pieces, on a line below.
pub(super) fn more_pieces(said: Said<'_>, pieces: &mut Vec<Piece>) -> Read<()> {
    let pairs = by_rule(Rule::pieces, said).map_err(|at| stuck(said, at, "stock", usage("stock")))?;
    pieces.extend(pairs.filter_map(|pair| piece(pair, said)));
    Ok(())
}

fn piece(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Piece> {
    if pair.as_rule() != Rule::piece {
        return None;
    }
    let mut parts = pair.into_inner();
    let size = said.amount(&parts.next()?);
    let count = parts.next().and_then(|count| count.as_str().trim().parse().ok());
    Some(Piece {
        size,
        count: count.unwrap_or(1),
    })
}

/// `option NAME: what it costs`
pub(super) fn option(said: Said<'_>) -> Read<Statement> {
    let mut name = Span::default();
    let mut costs = Vec::new();
    for pair in by_rule(Rule::option, said).map_err(|at| stuck(said, at, "option", usage("option")))? {
        match pair.as_rule() {
            Rule::found_name => name = said.span_of(&pair),
            _ => costs.extend(cost(pair, said)),
        }
    }
    Ok(Statement::Option(name, costs))
}

/// More items, on a line below.
pub(super) fn more_costs(said: Said<'_>, costs: &mut Vec<Cost>) -> Read<()> {
    let pairs = by_rule(Rule::costs, said).map_err(|at| stuck(said, at, "option", usage("option")))?;
    costs.extend(pairs.filter_map(|pair| cost(pair, said)));
    Ok(())
}

fn cost(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Cost> {
    if pair.as_rule() != Rule::cost {
        return None;
    }
    let mut cost = Cost {
        span: said.span_of(&pair),
        is_less: false,
        name: None,
        amount: None,
        by: CostBy::Itself,
    };
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::less => cost.is_less = true,
            Rule::detail_name | Rule::tick => cost.name = Some(said.span_of(&piece)),
            Rule::amount => cost.amount = Some(said.amount(&piece)),
            rule => {
                let inner = piece.into_inner().next()?;
                cost.by = match rule {
                    Rule::cost_over => CostBy::Over(inner.as_str().trim().parse().ok()?),
                    Rule::cost_at => CostBy::At(said.amount(&inner)),
                    Rule::cost_of => CostBy::Of(said.amount(&inner)),
                    _ => CostBy::Times(said.amount(&inner)),
                };
            }
        }
    }
    Some(cost)
}
