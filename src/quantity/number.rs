//! Figures as people write them: read with every digit kept, and shown with no more digits than are wanted.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

/// The most decimals a [`Decimal`] can hold.
const MOST_DECIMALS: u32 = 28;

/// The largest run of digits a [`Decimal`] can hold, taken as one whole number: 2^96 - 1.
const MOST_DIGITS: u128 = (1 << 96) - 1;

/// Why a text is not a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NumberError {
    /// Nothing is written.
    Empty,
    /// It is not a plain figure such as `0.40`, `0,40`, `.40` or `-18`.
    NotANumber,
    /// More digits than can be reckoned with: about 28 in all.
    TooLarge,
    /// A fraction or a ratio of something to 0.
    NothingBelow,
}

impl fmt::Display for NumberError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NumberError::Empty => "there is no figure here",
            NumberError::NotANumber => "this is not a figure: write it like 0.40, 0,40, .40 or -18",
            NumberError::TooLarge => "this figure has too many digits: no more than 28 can be read",
            NumberError::NothingBelow => "this fraction has nothing below the line",
        })
    }
}

impl std::error::Error for NumberError {}

/// Reads a figure: `0.40`, `0,40`, `.40`, `,40`, `+0.02`, `-18`, `−18`.
///
/// The decimals written are kept as the scale, so `0.40` has scale 2 and `0.4` has scale 1. There is no exponent, no
/// separator of thousands, and a point must have a digit behind it. Minus zero is zero.
///
/// # Errors
///
/// [`NumberError::Empty`] for an empty or blank text, [`NumberError::TooLarge`] for more digits than a [`Decimal`] holds,
/// [`NumberError::NotANumber`] for anything else.
pub fn parse(text: &str) -> Result<Decimal, NumberError> {
    let (negative, digits) = match text.as_bytes() {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        // U+2212, the printed minus sign.
        [0xE2, 0x88, 0x92, rest @ ..] => (true, rest),
        rest => (false, rest),
    };
    // 18 digits fit a u64, and nearly every figure is shorter than that.
    let read = if digits.len() <= 18 {
        narrow(digits)
    } else {
        wide(digits)?
    };
    match read {
        Some((value, scale)) => Ok(build(value, scale, negative)),
        None if text.trim().is_empty() => Err(NumberError::Empty),
        None => Err(NumberError::NotANumber),
    }
}

/// Digits of a short figure without its sign, and the number of decimals; `None` if it is not a figure.
fn narrow(digits: &[u8]) -> Option<(u128, u32)> {
    let mut value: u64 = 0;
    let mut scale: Option<u32> = None;
    let mut last_is_digit = false;
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                value = value * 10 + u64::from(byte - b'0');
                scale = scale.map(|s| s + 1);
                last_is_digit = true;
            }
            b'.' | b',' if scale.is_none() => {
                scale = Some(0);
                last_is_digit = false;
            }
            _ => return None,
        }
    }
    last_is_digit.then(|| (u128::from(value), scale.unwrap_or(0)))
}

/// As [`narrow`], for a figure of any length. The whole of it is looked at before it is called too large, so that a long
/// word is not taken for a long figure.
fn wide(digits: &[u8]) -> Result<Option<(u128, u32)>, NumberError> {
    let mut value: u128 = 0;
    let mut scale: Option<u32> = None;
    let mut last_is_digit = false;
    let mut fits = true;
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                value = value * 10 + u128::from(byte - b'0');
                scale = scale.map(|s| s.saturating_add(1));
                last_is_digit = true;
                if value > MOST_DIGITS {
                    fits = false;
                    value = 0;
                }
            }
            b'.' | b',' if scale.is_none() => {
                scale = Some(0);
                last_is_digit = false;
            }
            _ => return Ok(None),
        }
    }
    let scale = scale.unwrap_or(0);
    match (last_is_digit, fits && scale <= MOST_DECIMALS) {
        (false, _) => Ok(None),
        (true, false) => Err(NumberError::TooLarge),
        (true, true) => Ok(Some((value, scale))),
    }
}

/// Puts a figure together; `value` is below 2^96 and `scale` at most 28. The library makes minus zero plain zero.
fn build(value: u128, scale: u32, negative: bool) -> Decimal {
    let part = |shift: u32| u32::try_from((value >> shift) & 0xFFFF_FFFF).unwrap_or(0);
    Decimal::from_parts(part(0), part(32), part(64), negative, scale)
}

/// Half a unit of the last written digit, always positive: 0.005 for `0.40`, 0.5 for `12`.
///
/// A figure with 28 decimals gives its whole last digit, since half of it cannot be held: too wide rather than too narrow.
pub fn half_step(value: Decimal) -> Decimal {
    let scale = value.scale();
    if scale >= MOST_DECIMALS {
        Decimal::from_parts(1, 0, 0, false, MOST_DECIMALS)
    } else {
        Decimal::from_parts(5, 0, 0, false, scale + 1)
    }
}

/// The figure as text with at most `most` decimals, rounded half away from zero, without trailing zeros and never `-0`.
///
/// `0.050` gives `0.05`, and `-0.0004` with three decimals gives `0`.
pub fn show(value: Decimal, most: u32) -> String {
    let rounded = value
        .round_dp_with_strategy(most, RoundingStrategy::MidpointAwayFromZero)
        .normalize();
    if rounded.is_zero() {
        "0".to_owned()
    } else {
        rounded.to_string()
    }
}

/// The figure to so many decimals, half away from zero.
pub fn rounded(value: Decimal, decimals: u32) -> Decimal {
    value.round_dp_with_strategy(decimals.min(MOST_DECIMALS), RoundingStrategy::MidpointAwayFromZero)
}

/// The figure as text with all its decimals up to nine, and at least `least` of them: `0.4` with two is `0.40`.
///
/// The decimal library's own padding fails for figures near the longest it holds.
pub fn padded(value: Decimal, least: u32) -> String {
    let mut text = show(value, 9);
    let decimals = text.split_once('.').map_or(0, |(_, behind)| behind.len());
    let wanted = least.min(9) as usize;
    if decimals < wanted {
        if decimals == 0 {
            text.push('.');
        }
        text.extend(std::iter::repeat_n('0', wanted - decimals));
    }
    text
}

/// The figure rounded to so many significant digits; never finer than 28 decimals, and whole figures are left whole.
///
/// `0.0082345` to two digits is `0.0082`, `123.4` is `123`.
pub fn significant(value: Decimal, digits: u32) -> Decimal {
    let size = value.abs();
    // The power of ten of the first digit; figures are at most 29 digits long, so this ends soon.
    let mut leading: i64 = 0;
    let mut power = Decimal::ONE;
    if size >= Decimal::ONE {
        while let Some(next) = power.checked_mul(Decimal::TEN).filter(|next| *next <= size) {
            power = next;
            leading += 1;
        }
    } else {
        while power > size && leading > -i64::from(MOST_DECIMALS) {
            power /= Decimal::TEN;
            leading -= 1;
        }
    }
    let decimals = (i64::from(digits) - 1 - leading).clamp(0, i64::from(MOST_DECIMALS));
    let decimals = u32::try_from(decimals).unwrap_or(0);
    value.round_dp_with_strategy(decimals, RoundingStrategy::MidpointAwayFromZero)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn text_of(written: &str) -> String {
        parse(written).map_or_else(|e| format!("{e:?}"), |d| d.to_string())
    }

    #[test]
    fn reads_every_way_of_writing() {
        for (written, meant) in [
            ("0.40", "0.40"),
            ("0,40", "0.40"),
            (".40", "0.40"),
            (",40", "0.40"),
            ("+0.02", "0.02"),
            ("-18", "-18"),
            ("−18", "-18"),
            ("−,5", "-0.5"),
            ("007", "7"),
            ("-0.00", "0.00"),
            ("12345678901234567.89", "12345678901234567.89"),
            ("0000000000000000000000000000000000000000001", "1"),
            ("79228162514264337593543950335", "79228162514264337593543950335"),
        ] {
            assert_eq!(text_of(written), meant, "{written}");
        }
    }

    #[test]
    fn refuses_what_is_no_figure() {
        for written in [
            "5.",
            "5,",
            ".",
            "-",
            "+",
            "--5",
            "+-5",
            "1.2.3",
            "1,2.3",
            "1 2",
            " 1",
            "0x10",
            "1e3",
            "1_000",
            "NaN",
            "−",
            "½",
            "٣",
            "1234567890123456789x",
            "12345678901234567890.",
            "99999999999999999999999999999999999999999999999999x",
        ] {
            assert_eq!(parse(written), Err(NumberError::NotANumber), "{written}");
        }
        assert_eq!(parse(""), Err(NumberError::Empty));
        assert_eq!(parse(" \t"), Err(NumberError::Empty));
        for written in [
            "79228162514264337593543950336",
            "999999999999999999999999999999999999999999999999999999999999",
            "0.00000000000000000000000000000",
            "-10000000000000000000000000000.0",
        ] {
            assert_eq!(parse(written), Err(NumberError::TooLarge), "{written}");
        }
    }

    #[test]
    fn keeps_the_digits_written() {
        assert_eq!(parse("0.40").map(|d| d.scale()), Ok(2));
        assert_eq!(parse("0.400").map(|d| d.scale()), Ok(3));
        assert_eq!(parse("12").map(|d| d.scale()), Ok(0));
    }

    #[test]
    fn half_of_the_last_digit() {
        let half = |t: &str| parse(t).map(half_step).map(|d| d.to_string());
        assert_eq!(half("0.40"), Ok("0.005".to_owned()));
        assert_eq!(half("12"), Ok("0.5".to_owned()));
        assert_eq!(half("-52.5"), Ok("0.05".to_owned()));
        assert_eq!(
            half("0.0000000000000000000000000001"),
            Ok("0.0000000000000000000000000001".to_owned())
        );
    }

    #[test]
    fn shows_no_more_than_is_wanted() {
        for (written, most, shown) in [
            ("0.050", 3, "0.05"),
            ("0.0005", 3, "0.001"),
            ("-0.0005", 3, "-0.001"),
            ("-0.0004", 3, "0"),
            ("2.5", 0, "3"),
            ("-2.5", 0, "-3"),
            ("100", 2, "100"),
            ("100.00", 2, "100"),
            ("0.00", 2, "0"),
            ("51.9849", 2, "51.98"),
            ("1.5", 40, "1.5"),
        ] {
            assert_eq!(
                parse(written).map(|d| show(d, most)),
                Ok(shown.to_owned()),
                "{written} to {most}"
            );
        }
    }

    #[test]
    fn padded_decimals() {
        for (written, least, shown) in [
            ("0.4", 2, "0.40"),
            ("52", 2, "52.00"),
            ("52.125", 2, "52.125"),
            ("-0.000", 1, "0.0"),
            (
                "79228162514264337593543950335",
                9,
                "79228162514264337593543950335.000000000",
            ),
        ] {
            assert_eq!(parse(written).map(|d| padded(d, least)), Ok(shown.to_owned()));
        }
    }

    #[test]
    fn significant_digits() {
        for (written, digits, shown) in [
            ("0.0082345", 2, "0.0082"),
            ("0.0099999", 2, "0.010"),
            ("123.4", 2, "123"),
            ("0", 2, "0"),
            ("-0.00051", 1, "-0.0005"),
            ("1.25", 2, "1.3"),
            ("0.0000000000000000000000000001", 12, "0.0000000000000000000000000001"),
        ] {
            let rounded = parse(written).map(|d| significant(d, digits).normalize());
            assert_eq!(rounded, parse(shown).map(|d| d.normalize()), "{written} to {digits}");
        }
    }

    proptest! {
        #[test]
        fn significant_never_panics(mantissa in any::<i64>(), scale in 0u32..=28, digits in 0u32..40) {
            let value = Decimal::new(mantissa, scale);
            let rounded = significant(value, digits);
            // A rounded figure is off by at most half a unit of its last digit, which is no more than half of itself.
            prop_assert!((rounded - value).abs() <= value.abs() || digits == 0);
        }

        /// An outside check: the decimal library's own reader, which knows nothing of commas or of the printed minus.
        #[test]
        fn agrees_with_the_library(minus in "[+-]?", whole in "[0-9]{0,14}", part in "[0-9]{1,13}", mark in "[.,]") {
            let written = format!("{minus}{whole}{mark}{part}");
            let plain = format!("{minus}0{whole}.{part}");
            let meant = plain.parse::<Decimal>().expect("a plain figure");
            let read = parse(&written).expect("a figure");
            prop_assert_eq!(read, meant);
            prop_assert_eq!(read.scale(), meant.scale());
        }

        #[test]
        fn never_panics(text in any::<String>(), most in any::<u32>()) {
            if let Ok(value) = parse(&text) {
                let _ = (half_step(value), show(value, most));
            }
        }

        #[test]
        fn what_is_shown_reads_back(mantissa in any::<i64>(), scale in 0u32..=28) {
            let value = Decimal::new(mantissa, scale);
            prop_assert_eq!(parse(&show(value, 28)), Ok(value));
        }
    }
}
