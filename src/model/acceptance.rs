//! The words for a rule of acceptance, as a manual and a repository's settings write them.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::names::key;
use crate::quantity::number;
use crate::uncertainty::Acceptance;

/// What may be written, for messages.
pub const ALLOWED: &str = "write `plain`, `guarded`, or `guarded at 95 %` with a share above 50 and below 100";

/// The rule that is written: `plain`, `guarded`, `guarded at 95 %`. The error says what is wrong with it.
pub fn read(text: &str) -> Result<Acceptance, String> {
    let folded = key(text.trim());
    let at = match folded.as_ref() {
        "plain" => return Ok(Acceptance::Plain),
        "guarded" => return Ok(Acceptance::Guarded),
        other => other.strip_prefix("guarded at "),
    };
    let Some(at) = at else {
        return Err(format!("`{}` is no rule of acceptance", text.trim()));
    };
    let share = at
        .strip_suffix('%')
        .and_then(|figure| number::parse(figure.trim_end()).ok());
    let Some(share) = share else {
        return Err(format!("`{at}` is no share in per cent"));
    };
    if share <= Decimal::from(50) || share >= Decimal::ONE_HUNDRED {
        return Err(format!("a share of {share} % decides nothing"));
    }
    let probability = share.checked_div(Decimal::ONE_HUNDRED).and_then(|p| p.to_f64());
    // Between the two it always fits.
    probability
        .map(Acceptance::Probable)
        .ok_or_else(|| format!("`{at}` cannot be read"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_rules_are_read_whatever_their_case_and_blanks() {
        assert_eq!(read(" Plain "), Ok(Acceptance::Plain));
        assert_eq!(read("guarded"), Ok(Acceptance::Guarded));
        assert_eq!(read("guarded  at 95 %"), Ok(Acceptance::Probable(0.95)));
        assert_eq!(read("guarded at 97,5%"), Ok(Acceptance::Probable(0.975)));
    }

    #[test]
    fn anything_else_is_refused() {
        for text in [
            "",
            "strict",
            "guarded at",
            "guarded at 95",
            "guarded at 50 %",
            "guarded at 100 %",
            "guarded at x %",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
