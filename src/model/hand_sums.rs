//! Sums by hand: `2.05 - 0.19 = 1.86 mm`, worked again from their terms, products before sums.

use rust_decimal::Decimal;

use super::job::Worked;
use super::units::read_unit;
use crate::quantity::{Dimension, Unit, number};
use crate::syntax::ast::{Amount, Op};

/// A figure with its dimension; in base units where units were written.
#[derive(Clone, Copy)]
struct Term(Decimal, Dimension);

/// Works a sum again; `unit` is that of the result. `None` if a term cannot be read, the kinds do not go together, or something is divided by nothing.
///
/// Where no term has a unit, all are in that of the result. Where some have one, the sum is worked in base units with its dimensions: a term without a unit
/// is then a plain number inside a product, and has the unit of the result elsewhere.
pub(super) fn work(first: &Amount, terms: &[(Op, Amount)], unit: Option<&'static Unit>, text: &str) -> Option<Worked> {
    let amounts = || std::iter::once(first).chain(terms.iter().map(|(_, amount)| amount));
    let with_units = amounts().any(|amount| amount.unit.is_some());
    let ops: Vec<Op> = terms.iter().map(|(op, _)| *op).collect();
    let is_product = |op: Option<&Op>| matches!(op, Some(Op::Multiply | Op::Divide));
    let figures: Option<Vec<Term>> = amounts()
        .enumerate()
        .map(|(number, amount)| {
            let before = number.checked_sub(1).and_then(|at| ops.get(at));
            let in_product = is_product(before) || is_product(ops.get(number));
            let of_result = if with_units && !in_product { unit } else { None };
            term(amount, of_result, unit, text)
        })
        .collect();
    let figures = figures?;
    let Term(base, dimension) = total(&figures, &ops)?;
    let result = match unit.filter(|_| with_units) {
        Some(unit) if unit.dimension == dimension => unit.from_base(base)?,
        Some(_) => return None,
        None => base,
    };
    Some(Worked {
        result,
        terms: printed(first, terms, text),
        ops,
    })
}

/// One term: in base units if it has a unit of its own, or takes one.
fn term(amount: &Amount, taken: Option<&'static Unit>, result: Option<&'static Unit>, text: &str) -> Option<Term> {
    let written = number::parse(amount.number.text(text)).ok()?;
    let own = match amount.unit {
        Some(span) => Some(read_unit(span, text, result.map(|u| u.dimension)).ok()?),
        None => taken,
    };
    Some(match own {
        Some(unit) => Term(unit.to_base(written)?, unit.dimension),
        None => Term(written, Dimension::NONE),
    })
}

/// Products first, then the sum of them.
fn total(figures: &[Term], ops: &[Op]) -> Option<Term> {
    let (first, rest) = figures.split_first()?;
    let mut sum: Option<Term> = None;
    let mut product = *first;
    let add = |sum: Option<Term>, product: Term| -> Option<Term> {
        match sum {
            Some(Term(base, dimension)) if dimension == product.1 => {
                Some(Term(base.checked_add(product.0)?, dimension))
            }
            Some(_) => None,
            None => Some(product),
        }
    };
    for (op, figure) in ops.iter().zip(rest) {
        match op {
            Op::Multiply => product = Term(product.0.checked_mul(figure.0)?, product.1.times(figure.1)?),
            Op::Divide => product = Term(product.0.checked_div(figure.0)?, product.1.over(figure.1)?),
            Op::Add | Op::Subtract => {
                sum = Some(add(sum, product)?);
                product = if *op == Op::Subtract {
                    Term(-figure.0, figure.1)
                } else {
                    *figure
                };
            }
        }
    }
    add(sum, product)
}

/// The terms as they are printed in a message.
fn printed(first: &Amount, terms: &[(Op, Amount)], text: &str) -> String {
    let rest: String = terms
        .iter()
        .map(|(op, amount)| format!(" {} {}", op.sign(), amount.span().text(text)))
        .collect();
    format!("{}{rest}", first.span().text(text))
}
