//! Figures that are not written as one decimal: ratios and fractions, as they stand on a fuel can or a drill.

use rust_decimal::Decimal;

use super::number::{NumberError, half_step, parse};

/// A figure as it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its value.
    pub value: Decimal,
    /// Half a unit of its last written digit; of a fraction, of its last decimal.
    pub half_step: Decimal,
    /// Whether it is a ratio, which has no unit.
    pub is_ratio: bool,
}

/// Reads a figure in any form: `0.40` and all that [`parse`] reads, a ratio `50:1` (50) or `1:50` (0.02), a fraction `3/8`, or a
/// whole number with one, `1 3/8` or `1-3/8`. A sign in front holds for all of it.
///
/// # Errors
///
/// As [`parse`], and [`NumberError::NothingBelow`] for a fraction or a ratio of something to 0.
pub fn read(text: &str) -> Result<Written, NumberError> {
    let plain = |value: Decimal| Written {
        value,
        half_step: half_step(value),
        is_ratio: false,
    };
    match parse(text) {
        Err(NumberError::NotANumber) => {}
        read => return read.map(plain),
    }
    if let Some((left, right)) = text.split_once(':') {
        return ratio(parse(left)?, parse(right)?);
    }
    let Some((left, below)) = text.split_once('/') else {
        return Err(NumberError::NotANumber);
    };
    let bare = left.trim_start_matches(['+', '-', '\u{2212}']);
    let is_negative = left.len() > bare.len() && !left.starts_with('+');
    let (whole, above) = match bare.split_once([' ', '\t', '\u{A0}', '-']) {
        Some((whole, above)) => (count(whole)?, above.trim()),
        None => (Decimal::ZERO, bare),
    };
    let value = divide(count(above)?, count(below)?)?
        .checked_add(whole)
        .ok_or(NumberError::TooLarge)?
        .normalize();
    Ok(plain(if is_negative { -value } else { value }))
}

/// A whole number: `1.5 3/8` is no figure.
fn count(text: &str) -> Result<Decimal, NumberError> {
    let value = parse(text)?;
    if value.scale() == 0 {
        Ok(value)
    } else {
        Err(NumberError::NotANumber)
    }
}

fn divide(above: Decimal, below: Decimal) -> Result<Decimal, NumberError> {
    if below.is_zero() {
        return Err(NumberError::NothingBelow);
    }
    above.checked_div(below).ok_or(NumberError::TooLarge)
}

/// `50:1` is known to half a part of 50, and so is `1:50`.
fn ratio(left: Decimal, right: Decimal) -> Result<Written, NumberError> {
    let value = divide(left, right)?;
    let half_step = if right == Decimal::ONE {
        half_step(left)
    } else {
        divide(value, right)?
            .checked_mul(half_step(right))
            .ok_or(NumberError::TooLarge)?
            .normalize()
    };
    Ok(Written {
        value,
        half_step,
        is_ratio: true,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn every_form_is_read() {
        for (text, value, half, is_ratio) in [
            ("0.40", "0.40", "0.005", false),
            ("-18", "-18", "0.5", false),
            ("50:1", "50", "0.5", true),
            ("1:50", "0.02", "0.0002", true),
            ("12.5:1", "12.5", "0.05", true),
            ("3/8", "0.375", "0.0005", false),
            ("1 3/8", "1.375", "0.0005", false),
            ("1-3/8", "1.375", "0.0005", false),
            ("-1 3/8", "-1.375", "0.0005", false),
            ("1  1/2", "1.5", "0.05", false),
            ("12/8", "1.5", "0.05", false),
        ] {
            let read = read(text).expect(text);
            let shown = (read.value.to_string(), read.half_step.to_string(), read.is_ratio);
            assert_eq!(shown, (value.to_owned(), half.to_owned(), is_ratio), "{text}");
        }
    }

    #[test]
    fn what_is_none_says_why() {
        for (text, why) in [
            ("", NumberError::Empty),
            ("3/0", NumberError::NothingBelow),
            ("1 3/0", NumberError::NothingBelow),
            ("50:0", NumberError::NothingBelow),
            ("3/", NumberError::Empty),
            ("1 2 3/8", NumberError::NotANumber),
            ("3/8/2", NumberError::NotANumber),
            ("a/b", NumberError::NotANumber),
            ("1.5 3/8", NumberError::NotANumber),
            ("3.5/8", NumberError::NotANumber),
            ("79228162514264337593543950335 3/2", NumberError::TooLarge),
        ] {
            assert_eq!(read(text), Err(why), "{text}");
        }
    }

    proptest! {
        #[test]
        fn never_panics(text in "[-+0-9.,:/ ]{0,40}") {
            let _ = read(&text);
        }

        /// A fraction of inches is so many parts of the whole.
        #[test]
        fn a_mixed_number_is_whole_and_part(whole in 0u32..99, above in 1u32..64, power in 0u32..7) {
            let below = 2u32.pow(power);
            let parts = Decimal::from(whole * below + above);
            let read = read(&format!("{whole} {above}/{below}")).expect("a figure");
            prop_assert_eq!(read.value * Decimal::from(below), parts);
        }
    }
}
