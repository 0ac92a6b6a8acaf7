//! What stands behind a comma: ticks, amounts, dates, part numbers, reasons.

use super::figures::{amount_tail, empty_figure};
use super::grammar::{Rule, by_rule};
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Value};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, rest_of, unread};
use pest::iterators::Pair;

/// One detail; `None` if the pair is something else.
pub(super) fn detail(pair: Pair<'_, Rule>, said: Said<'_>) -> Option<Detail> {
    let span = said.span_of(&pair);
    let kind = match pair.as_rule() {
        Rule::named => named(pair, said, span),
        Rule::tick => DetailKind::Tick(span),
        Rule::because => DetailKind::Because(said.inner_span(pair)?),
        Rule::ordered_as => DetailKind::OrderedAs(said.inner_span(pair)?),
        Rule::part_number => DetailKind::Number(said.inner_span(pair)?),
        Rule::from_part => DetailKind::From(said.inner_span(pair)?),
        _ => return None,
    };
    Some(Detail { span, kind })
}

/// A name alone, which is a tick; or with a date or an amount behind it.
fn named(pair: Pair<'_, Rule>, said: Said<'_>, span: Span) -> DetailKind {
    let mut name = None;
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::detail_name => name = Some(said.span_of(&piece)),
            Rule::date => {
                let date = said.span_of(&piece);
                return DetailKind::Date { name, date };
            }
            Rule::quantity => return quantity(piece, said, name),
            _ => {}
        }
    }
    DetailKind::Tick(span)
}

/// An amount, with the tool it was read on and words behind it.
fn quantity(pair: Pair<'_, Rule>, said: Said<'_>, name: Option<Span>) -> DetailKind {
    let mut figure = empty_figure(said.span_of(&pair));
    let mut tool = None;
    let mut trailing = None;
    let mut first = None;
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::about => figure.unsure = true,
            Rule::amount => {
                let read = said.amount(&piece);
                figure.span = read.span();
                figure.value = Value::Single(read);
                first = Some(read);
            }
            Rule::clause_name => tool = Some(said.span_of(&piece)),
            Rule::trailing => trailing = Some(said.span_of(&piece)),
            _ => {
                if let Some(first) = first {
                    figure.span = figure.span.to(said.span_of(&piece));
                    amount_tail(piece, said, first, &mut figure);
                }
            }
        }
    }
    DetailKind::Amount {
        name,
        figure: Box::new(figure),
        tool,
        trailing,
    }
}

/// Details on a line of their own, added to those already there.
pub(super) fn more_details(said: Said<'_>, details: &mut Vec<Detail>) -> Read<()> {
    let pairs = by_rule(Rule::details, said).map_err(|at| {
        let (at, rest) = rest_of(said.text, at);
        unread(
            said.skip(at).span(),
            format!("`{rest}` is not understood here"),
            "an indented line adds details to the line above it, parted by commas",
        )
    })?;
    details.extend(pairs.filter_map(|pair| detail(pair, said)));
    Ok(())
}
