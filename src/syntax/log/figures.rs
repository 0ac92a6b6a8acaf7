//! The figures of a reading or an amount: single, blades, ranges, repeats, rings, sums.

use pest::iterators::Pair;

use super::grammar::Rule;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Figure, Op, Value};
use crate::syntax::said::Said;

/// A figure that nothing is known of yet.
pub(super) fn empty_figure(span: Span) -> Figure {
    Figure {
        value: Value::Empty,
        span,
        unit: None,
        unsure: false,
    }
}

/// All that stands behind the `=` of a reading, up to its clauses.
pub(super) fn figure(pair: Pair<'_, Rule>, said: Said<'_>) -> Figure {
    let mut figure = empty_figure(said.span_of(&pair));
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::about | Rule::unsure => figure.unsure = true,
            Rule::words => figure.value = Value::Words(said.span_of(&inner)),
            Rule::go_first | Rule::no_go_first => figure.value = blades(inner, said),
            Rule::figures => figures(inner, said, &mut figure),
            _ => {}
        }
    }
    figure
}

/// Blades with their words before them.
fn blades(pair: Pair<'_, Rule>, said: Said<'_>) -> Value {
    let goes = pair.as_rule() == Rule::go_first;
    let mut blades = pair.into_inner().map(|blade| said.amount(&blade));
    let first = blades.next();
    let second = blades.next();
    if goes {
        Value::Blades {
            go: first,
            no_go: second,
        }
    } else {
        Value::Blades {
            go: second,
            no_go: first,
        }
    }
}

/// The old or the new figure of a correction.
pub(super) fn fix_value(pair: Pair<'_, Rule>, said: Said<'_>) -> Figure {
    let mut figure = empty_figure(said.span_of(&pair));
    let mut inner = pair.into_inner();
    match inner.next() {
        Some(first) if first.as_rule() == Rule::amount => {
            let first = said.amount(&first);
            figure.value = Value::Single(first);
            if let Some(tail) = inner.next() {
                amount_tail(tail, said, first, &mut figure);
            }
        }
        Some(first) => figure.value = blades(first, said),
        None => {}
    }
    figure
}

/// A figure and what follows it.
fn figures(pair: Pair<'_, Rule>, said: Said<'_>, figure: &mut Figure) {
    let mut inner = pair.into_inner();
    let Some(first) = inner.next().map(|p| said.amount(&p)) else {
        return;
    };
    figure.value = Value::Single(first);
    if let Some(tail) = inner.next() {
        amount_tail(tail, said, first, figure);
    }
}

/// What follows the first figure: a range, blades, repeats, a ring, a sum.
pub(super) fn amount_tail(tail: Pair<'_, Rule>, said: Said<'_>, first: Amount, figure: &mut Figure) {
    let rule = tail.as_rule();
    let mut amounts = Vec::new();
    let mut ops = Vec::new();
    let mut count = 1;
    let mut below = None;
    let mut more = None;
    let mut below_unit = None;
    let mut angles = Vec::new();
    for piece in tail.into_inner() {
        match piece.as_rule() {
            Rule::amount | Rule::plain_amount | Rule::fraction => amounts.push(said.amount(&piece)),
            Rule::op => ops.push(Op::of(piece.as_str())),
            Rule::count => count = piece.as_str().parse().unwrap_or(1),
            // The last is what stands below the line.
            Rule::digits_only => below = Some(said.span_of(&piece)),
            Rule::unit if below.is_some() => below_unit = Some(said.span_of(&piece)),
            Rule::range_tail | Rule::pm_tail => more = Some(piece),
            Rule::unit => figure.unit = Some(said.span_of(&piece)),
            Rule::ring_places => angles.extend(piece.into_inner().map(|place| said.span_of(&place))),
            Rule::angles => {
                for angle in piece.into_inner() {
                    match angle.as_rule() {
                        Rule::unit => figure.unit = Some(said.span_of(&angle)),
                        _ => angles.push(said.span_of(&angle)),
                    }
                }
            }
            _ => {}
        }
    }
    if let Some(below) = below {
        let fraction = Amount {
            number: first.number.to(below),
            unit: below_unit,
        };
        figure.value = Value::Single(fraction);
        if let Some(more) = more {
            amount_tail(more, said, fraction, figure);
        }
        return;
    }
    let second = amounts.first().copied();
    figure.value = match (rule, second) {
        (Rule::pm_tail, Some(second)) => Value::PlusMinus(first, second),
        (Rule::range_tail | Rule::dash_tail, Some(second)) => Value::Range(first, second),
        (Rule::blades_tail, no_go) => Value::Blades { go: Some(first), no_go },
        (Rule::times_tail, _) => Value::Times(first, count),
        (Rule::sum_tail, _) => sum(first, &amounts, &ops),
        (Rule::stages_tail, Some(second)) if amounts.len() == 1 && is_inch_fraction(first, second, said) => {
            Value::Single(Amount {
                number: first.number.to(second.number),
                unit: second.unit,
            })
        }
        (Rule::stages_tail, _) => Value::Stages(std::iter::once(first).chain(amounts).collect()),
        (Rule::many_tail, _) => {
            let all: Vec<Amount> = std::iter::once(first).chain(amounts).collect();
            if angles.is_empty() {
                Value::Many(all)
            } else {
                Value::Ring(all, angles)
            }
        }
        _ => Value::Single(first),
    };
}

/// Whether two figures with a stroke between them are a fraction of an inch rather than two stages: `3/8 in`, but not `10/20 N·m`.
fn is_inch_fraction(above: Amount, below: Amount, said: Said<'_>) -> bool {
    let text = |span: Span| {
        let start = (span.start as usize).saturating_sub(said.base);
        said.text.get(start..start + span.len()).unwrap_or("")
    };
    let in_inches = below
        .unit
        .is_some_and(|unit| matches!(text(unit).to_lowercase().as_str(), "in" | "in." | "inch" | "\"" | "″"));
    let is_part = ["2", "4", "8", "16", "32", "64"].contains(&text(below.number));
    above.unit.is_none() && in_inches && is_part
}

/// A sum by hand: the last amount is the result, the others follow their signs.
fn sum(first: Amount, amounts: &[Amount], ops: &[Op]) -> Value {
    match amounts.split_last() {
        Some((result, terms)) => Value::Sum {
            first,
            terms: ops.iter().copied().zip(terms.iter().copied()).collect(),
            result: *result,
        },
        None => Value::Single(first),
    }
}
