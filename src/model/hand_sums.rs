//! Sums by hand: `2.05 - 0.19 = 1.86 mm`, worked again from their terms, products before sums.

use rust_decimal::Decimal;

use super::job::Worked;
use super::units::{Meant, read};
use crate::quantity::{Dimension, Unit};
use crate::syntax::ast::{Amount, Op};

/// A figure with its dimension; in base units where units were written.
#[derive(Clone, Copy)]
struct Term(Decimal, Dimension);

impl Term {
    /// The sum or the difference of two; `None` if the two do not go together.
    fn with(self, op: Op, other: Term) -> Option<Term> {
        Some(match op {
            Op::Add => Term(self.0.checked_add(other.0)?, self.1.plus(other.1)?),
            Op::Subtract => Term(self.0.checked_sub(other.0)?, self.1.minus(other.1)?),
            Op::Multiply => Term(self.0.checked_mul(other.0)?, self.1.times(other.1)?),
            Op::Divide => Term(self.0.checked_div(other.0)?, self.1.over(other.1)?),
        })
    }
}

/// Works a sum again; `unit` is that of the result. `None` if a term cannot be read, the kinds do not go together, or something is divided by nothing.
///
/// Where no term has a unit, all are in that of the result. Where some have one, the sum is worked in base units with its dimensions: a term without a unit
/// is then a plain number inside a product, and has the unit of the result elsewhere.
///
/// Degrees may be temperatures or differences. They are first taken as they are said (`80 °C - 20 °C = 60 K`), then, if that gives nothing of the kind
/// of the result, as what the result is (`30 °C + 30 °C = 60 °C` of a rise).
pub(super) fn work(first: &Amount, terms: &[(Op, Amount)], unit: Option<&'static Unit>, text: &str) -> Option<Worked> {
    let amounts = || std::iter::once(first).chain(terms.iter().map(|(_, amount)| amount));
    let with_units = amounts().any(|amount| amount.unit.is_some());
    let ops: Vec<Op> = terms.iter().map(|(op, _)| *op).collect();
    let is_product = |op: Option<&Op>| matches!(op, Some(Op::Multiply | Op::Divide));
    let worked = |wanted: Option<Dimension>| -> Option<Decimal> {
        let figures: Option<Vec<Term>> = amounts()
            .enumerate()
            .map(|(number, amount)| {
                let before = number.checked_sub(1).and_then(|at| ops.get(at));
                let in_product = is_product(before) || is_product(ops.get(number));
                let of_result = if with_units && !in_product { unit } else { None };
                term(amount, of_result, wanted, text)
            })
            .collect();
        let Term(base, dimension) = total(&figures?, &ops)?;
        match unit.filter(|_| with_units) {
            Some(unit) if unit.dimension == dimension => unit.from_base(base),
            Some(_) => None,
            None => Some(base),
        }
    };
    let wanted = unit.map(|u| u.dimension);
    let is_degrees = wanted.is_some_and(|of| of.difference() == Dimension::TEMPERATURE_DIFFERENCE);
    let as_said = if is_degrees { worked(None) } else { None };
    Some(Worked {
        result: as_said.or_else(|| worked(wanted))?,
        terms: printed(first, terms, text),
        ops,
    })
}

/// One term: in base units if it has a unit of its own, or takes one.
fn term(amount: &Amount, taken: Option<&'static Unit>, wanted: Option<Dimension>, text: &str) -> Option<Term> {
    let own = read(
        amount,
        text,
        Meant {
            dimension: wanted,
            unit: taken,
        },
    )
    .ok()?;
    Some(Term(own.base, own.dimension()))
}

/// Products first, then the sum of them.
fn total(figures: &[Term], ops: &[Op]) -> Option<Term> {
    let (first, rest) = figures.split_first()?;
    // What is summed so far, and how the product being worked is joined to it.
    let mut sum: Option<(Term, Op)> = None;
    let mut product = *first;
    let join = |sum: Option<(Term, Op)>, product: Term| match sum {
        Some((sum, op)) => sum.with(op, product),
        None => Some(product),
    };
    for (op, figure) in ops.iter().zip(rest) {
        match op {
            Op::Multiply | Op::Divide => product = product.with(*op, *figure)?,
            Op::Add | Op::Subtract => {
                sum = Some((join(sum, product)?, *op));
                product = *figure;
            }
        }
    }
    join(sum, product)
}

/// The terms as they are printed in a message.
fn printed(first: &Amount, terms: &[(Op, Amount)], text: &str) -> String {
    let rest: String = terms
        .iter()
        .map(|(op, amount)| format!(" {} {}", op.sign(), amount.span().text(text)))
        .collect();
    format!("{}{rest}", first.span().text(text))
}
