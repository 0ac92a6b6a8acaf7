//! Slips in the digits of a figure: the point moved, two of them swapped, one of them wrong.

use rust_decimal::Decimal;

use crate::quantity::number;

/// How many digits a figure must have, from the first that is not 0, for one of them to be called wrong. Three that are right are needed as
/// evidence: of a gap such as 0.245 nearly any other gap is one digit away.
const ENOUGH: usize = 4;

/// With the point one or two places to the left or right.
pub(super) fn moved_point(written: Decimal) -> Vec<Decimal> {
    [Decimal::TEN, Decimal::ONE_HUNDRED]
        .into_iter()
        .flat_map(|factor| [written.checked_div(factor), written.checked_mul(factor)])
        .flatten()
        .map(|figure| figure.normalize())
        .filter(|figure| *figure != written)
        .collect()
}

/// With each two neighbouring digits swapped in turn, the decimal point left where it is.
pub(super) fn swaps(written: Decimal) -> Vec<Decimal> {
    let text: Vec<char> = written.abs().to_string().chars().collect();
    let places: Vec<usize> = digit_places(&text).collect();
    places
        .windows(2)
        .filter_map(|pair| {
            let [a, b] = pair else { return None };
            let mut swapped = text.clone();
            swapped.swap(*a, *b);
            // Nobody means 01.5.
            let leads_with_0 = matches!(swapped.as_slice(), ['0', second, ..] if second.is_ascii_digit());
            if leads_with_0 { None } else { read(&swapped, written) }
        })
        .collect()
}

/// The one figure that fits and differs in one digit, with the digit that is wrong and the one that was meant.
///
/// Nothing is claimed where two or more such figures fit: a wide limit is met by many. Nor where the figure moves by less than a hundredth of
/// itself: so little may as well be wear.
pub(super) fn one_wrong(written: Decimal, fits: impl Fn(Decimal) -> bool) -> Option<(Decimal, char, char)> {
    let text: Vec<char> = written.abs().to_string().chars().collect();
    let first = digit_places(&text).find(|place| text.get(*place) != Some(&'0'))?;
    if digit_places(&text).filter(|place| *place >= first).count() < ENOUGH {
        return None;
    }
    let mut only = None;
    for place in digit_places(&text).filter(|place| *place >= first) {
        let was = *text.get(place)?;
        for meant in '0'..='9' {
            // With 0 in front it would have a digit less.
            if meant == was || (place == first && meant == '0') {
                continue;
            }
            let mut changed = text.clone();
            *changed.get_mut(place)? = meant;
            let Some(figure) = read(&changed, written).filter(|figure| fits(*figure)) else {
                continue;
            };
            if only.is_some() {
                return None;
            }
            only = Some((figure, was, meant));
        }
    }
    only.filter(|(figure, ..)| moves_enough(*figure, written))
}

/// Whether two figures are a hundredth of the written one apart, or more.
fn moves_enough(figure: Decimal, written: Decimal) -> bool {
    let apart = figure
        .checked_sub(written)
        .and_then(|d| d.abs().checked_mul(Decimal::ONE_HUNDRED));
    apart.is_some_and(|apart| apart >= written.abs())
}

/// Where the digits stand in a figure.
fn digit_places(text: &[char]) -> impl Iterator<Item = usize> {
    text.iter()
        .enumerate()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(place, _)| place)
}

/// The figure of these digits with the sign of the written one, if it is another.
fn read(digits: &[char], written: Decimal) -> Option<Decimal> {
    let figure = number::parse(&digits.iter().collect::<String>()).ok()?;
    let figure = if written.is_sign_negative() { -figure } else { figure };
    (figure != written).then_some(figure)
}
