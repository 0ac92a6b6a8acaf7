//! A unit: its name, what it measures, and what a figure in it is in the units it is usually turned into.

use rust_decimal::Decimal;

use super::card::{Card, code};
use crate::quantity::{Dimension, Unit, number, unit};
use crate::syntax::Span;
use crate::syntax::ast::Amount;

/// Pairs that a workshop turns into each other; common practice, no source.
const PAIRS: &[(&str, &str)] = &[
    ("mm", "in"),
    ("µm", "thou"),
    ("hundredths", "thou"),
    ("cm", "in"),
    ("m", "ft"),
    ("km", "mile"),
    ("N·m", "lbf·ft"),
    ("kgf·m", "N·m"),
    ("lbf·in", "N·m"),
    ("bar", "psi"),
    ("kPa", "psi"),
    ("MPa", "psi"),
    ("bar abs", "psi abs"),
    ("°C", "°F"),
    ("kg", "lb"),
    ("g", "oz"),
    ("kN", "lbf"),
    ("tf", "kN"),
    ("kgf", "N"),
    ("cm³", "in³"),
    ("L", "US gal"),
];

/// The unit that one is usually turned into; `None` where none is usual.
pub(in crate::editor) fn usual_pair(own: &Unit) -> Option<&'static Unit> {
    let other = PAIRS.iter().find_map(|(a, b)| match own.symbol {
        symbol if symbol == *a => Some(*b),
        symbol if symbol == *b => Some(*a),
        _ => None,
    })?;
    unit::find(other, Some(own.dimension)).filter(|other| other.dimension == own.dimension)
}

/// The unit under an offset, of one of some amounts; the figure in front of it comes first where the two touch.
pub(super) fn unit_at<'a>(
    amounts: impl IntoIterator<Item = &'a Amount>,
    offset: u32,
    text: &str,
    wanted: Option<Dimension>,
) -> Option<(Span, Card)> {
    let amount = amounts.into_iter().find(|amount| {
        let is_here = |unit: Span| super::touches(unit, offset) && amount.number.end != offset;
        amount.unit.is_some_and(is_here)
    })?;
    let span = amount.unit?;
    let card = card(span.text(text), wanted, Some(amount.number.text(text)))?;
    Some((span, card))
}

/// What a unit is, with a figure in front of it turned into the usual other unit.
pub(super) fn card(written: &str, wanted: Option<Dimension>, figure: Option<&str>) -> Option<Card> {
    let Some(known) = unit::find(written, wanted) else {
        let question = unit::is_undefined(written)?;
        let mut card = Card::new(format!("**{}**", code(written)));
        card.fact(format!("more than one unit is called that: {question}"));
        return Some(card);
    };
    let label = if known.label().is_empty() {
        known.symbol
    } else {
        known.label()
    };
    let mut card = Card::new(format!("**{label}**, {}", known.dimension.name()));
    let name = known.spellings.iter().find(|name| name.len() > 3 && name.is_ascii());
    if let Some(name) = name {
        card.fact(format!("written out: {}", name.replace('·', " ")));
    }
    if known.dimension == Dimension::TEMPERATURE {
        card.fact("a temperature; behind `±` and `good to` it is a difference");
    } else if known.dimension.currency().is_some() {
        card.fact("money of one currency is never added to another");
    } else if let Some(one) = one_of(known) {
        card.fact(one);
    }
    let value = figure.and_then(|figure| crate::quantity::written::read(figure).ok());
    if let Some((value, pair)) = value.map(|written| written.value).zip(usual_pair(known))
        && let Some(other) = known.to_base(value).and_then(|base| pair.from_base(base))
    {
        let places = pair.decimals();
        card.fact(format!(
            "{} {label} = {} {}",
            number::show(value, 6),
            number::show(number::rounded(other, places), places),
            pair.label()
        ));
    }
    Some(card)
}

/// `1 in = 25.4 mm`; `None` for the unit that others are told in.
fn one_of(known: &'static Unit) -> Option<String> {
    let shown = unit::usual(known.dimension)?;
    let shown = if shown.symbol == known.symbol {
        usual_pair(known)?
    } else {
        shown
    };
    let one = shown.from_base(known.to_base(Decimal::ONE)?)?;
    Some(format!(
        "1 {} = {} {}",
        known.label(),
        number::significant(one, 6).normalize(),
        shown.label()
    ))
}
