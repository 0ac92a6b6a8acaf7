//! Derived features: `calc NAME = EXPRESSION`.

use pest::iterators::Pair;

use super::grammar::{Rule, of_keyword};
use super::headings::{add, subject};
use super::usage::usage;
use crate::syntax::ast::{Argument, Expr, Heading, Op, Reference, Rule as Statement};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, unread};

/// Deepest nesting of brackets that an expression may have; keeps the parser's stack bounded on hostile input.
const DEEPEST: usize = 32;

/// Longest sum in bytes; keeps the tree of `1 + 1 + 1 …` from growing so deep that walking it would run out of stack.
const LONGEST: usize = 2000;

/// Reads what stands behind `calc`.
pub(super) fn calc(said: Said<'_>) -> Read<Statement> {
    if said.text.len() > LONGEST {
        return Err(unread(
            said.span(),
            format!(
                "this sum has {} bytes; no more than {LONGEST} are read",
                said.text.len()
            ),
            "split the sum into two `calc` lines",
        ));
    }
    if depth(said.text) > DEEPEST {
        return Err(unread(
            said.span(),
            format!("brackets are nested more than {DEEPEST} deep"),
            "split the sum into two `calc` lines",
        ));
    }
    let mut heading = Heading::default();
    let mut expression = None;
    for pair in of_keyword(Rule::calc, said, "calc", "calc")? {
        match pair.as_rule() {
            Rule::expr => expression = expr(pair, said),
            _ => add(&mut heading, pair, said),
        }
    }
    match expression {
        Some(expression) => Ok(Statement::Calc(heading, expression)),
        None => Err(unread(said.span(), "no sum stands behind the `=`", usage("calc"))),
    }
}

/// How deep brackets are nested.
fn depth(text: &str) -> usize {
    let mut depth = 0_usize;
    let mut deepest = 0;
    for byte in text.bytes() {
        match byte {
            b'(' => depth += 1,
            b')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        deepest = deepest.max(depth);
    }
    deepest
}

/// An argument of a function, with its name if it is given by name.
fn argument(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Argument> {
    let mut pieces = pair.into_inner();
    let first = pieces.next()?;
    Some(match pieces.next() {
        Some(value) => Argument {
            name: Some(said.span_of(&first)),
            value: expr(value, said)?,
        },
        None => Argument {
            name: None,
            value: expr(first, said)?,
        },
    })
}

/// Builds the tree of a sum from the grammar's levels.
fn expr(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Expr> {
    let span = said.span_of(&pair);
    match pair.as_rule() {
        Rule::expr | Rule::term => {
            let mut pieces = pair.into_inner();
            let mut left = expr(pieces.next()?, said)?;
            while let Some(op) = pieces.next() {
                let right = expr(pieces.next()?, said)?;
                left = Expr::Binary(Op::of(op.as_str()), Box::new(left), Box::new(right));
            }
            Some(left)
        }
        Rule::power => {
            let mut pieces = pair.into_inner();
            let left = expr(pieces.next()?, said)?;
            match pieces.next() {
                Some(right) => Some(Expr::Power(Box::new(left), Box::new(expr(right, said)?))),
                None => Some(left),
            }
        }
        Rule::unary => {
            let mut negative = false;
            for piece in pair.into_inner() {
                if piece.as_rule() == Rule::negate {
                    negative = !negative;
                } else {
                    let inner = expr(piece, said)?;
                    return Some(if negative {
                        Expr::Negate(Box::new(inner), span)
                    } else {
                        inner
                    });
                }
            }
            None
        }
        Rule::call => {
            let mut pieces = pair.into_inner();
            let name = said.span_of(&pieces.next()?);
            let arguments: Option<Vec<Argument>> = pieces.map(|piece| argument(piece, said)).collect();
            Some(Expr::Call(name, arguments?, span))
        }
        Rule::quoted => Some(Expr::Text(said.span_of(&pair.into_inner().next()?))),
        Rule::code => Some(Expr::Text(span)),
        Rule::between => {
            let mut ends = pair.into_inner();
            Some(Expr::Range(said.amount(&ends.next()?), said.amount(&ends.next()?)))
        }
        Rule::literal => Some(Expr::Number(said.amount(&pair))),
        _ => {
            let mut pieces = pair.clone().into_inner();
            let as_found = pieces.any(|piece| piece.as_rule() == Rule::as_found);
            Some(Expr::Reference(Reference {
                subject: subject(pair, said),
                as_found,
                span,
            }))
        }
    }
}
