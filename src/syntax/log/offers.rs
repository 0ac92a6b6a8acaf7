//! What there is to choose from: pieces of a stock, and ways to go with what each costs; and what was paid.

use pest::iterators::Pair;

use super::grammar::{Rule, by_rule};
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Cost, CostBy, Per, Piece, Statement};
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
    priced(said, "option").map(|(name, costs)| Statement::Option(name, costs))
}

/// `cost NAME: what was paid`
pub(super) fn paid(said: Said<'_>) -> Read<Statement> {
    priced(said, "cost").map(|(name, costs)| Statement::Cost(name, costs))
}

/// A name with items behind it, on a line that begins with a keyword.
fn priced(said: Said<'_>, keyword: &str) -> Read<(Span, Vec<Cost>)> {
    let mut name = Span::default();
    let mut costs = Vec::new();
    for pair in by_rule(Rule::option, said).map_err(|at| stuck(said, at, keyword, usage(keyword)))? {
        match pair.as_rule() {
            Rule::found_name => name = said.span_of(&pair),
            _ => costs.extend(cost(pair, said)),
        }
    }
    Ok((name, costs))
}

/// More items, on a line below one with this keyword.
pub(super) fn more_costs(said: Said<'_>, costs: &mut Vec<Cost>, keyword: &str) -> Read<()> {
    let pairs = by_rule(Rule::costs, said).map_err(|at| stuck(said, at, keyword, usage(keyword)))?;
    costs.extend(pairs.filter_map(|pair| cost(pair, said)));
    Ok(())
}

/// What a price is for.
fn per(pair: &Pair<'_, Rule>) -> Per {
    match pair.as_str().to_ascii_lowercase().as_str() {
        "an hour" => Per::Hour,
        "a day" => Per::Day,
        _ => Per::Piece,
    }
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
                let mut inner = piece.into_inner();
                let (inner, behind) = (inner.next()?, inner.next());
                cost.by = match rule {
                    Rule::cost_over => CostBy::Over(inner.as_str().trim().parse().ok()?),
                    Rule::cost_at => CostBy::At(said.amount(&inner), behind.as_ref().map(per)),
                    Rule::cost_of => CostBy::Of(said.amount(&inner)),
                    _ => CostBy::Times(said.amount(&inner)),
                };
            }
        }
    }
    Some(cost)
}
