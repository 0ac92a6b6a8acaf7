//! The rule of acceptance in words: `plain`, `guarded`, `guarded at 95 %`.

use rust_decimal::prelude::ToPrimitive as _;

use super::names::key;
use crate::quantity::number;
use crate::uncertainty::Acceptance;

/// Reads a rule of acceptance, as it stands in a manual or in the repository's settings.
///
/// # Errors
/// What is wrong with it, in words.
pub fn decide(text: &str) -> Result<Acceptance, String> {
    let folded = key(text);
    match folded.as_ref() {
        "plain" => return Ok(Acceptance::Plain),
        "guarded" => return Ok(Acceptance::Guarded),
        _ => {}
    }
    let share = folded
        .strip_prefix("guarded at ")
        .and_then(|rest| rest.trim().strip_suffix('%'))
        .and_then(|figure| number::parse(figure.trim()).ok())
        .and_then(|figure| figure.to_f64());
    match share {
        // Below a half, a figure that is probably out would be accepted.
        Some(share) if share > 50.0 && share < 100.0 => Ok(Acceptance::Probable(share / 100.0)),
        Some(_) => Err(format!("`{text}`: the probability lies between 50 % and 100 %")),
        None => Err(format!("`{text}` is no rule of acceptance")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_in_words() {
        assert_eq!(decide("plain"), Ok(Acceptance::Plain));
        assert_eq!(decide("Guarded"), Ok(Acceptance::Guarded));
        assert_eq!(decide("guarded at 95 %"), Ok(Acceptance::Probable(0.95)));
        assert_eq!(decide("guarded at 97,5%"), Ok(Acceptance::Probable(0.975)));
        for wrong in ["guarded at 40 %", "guarded at 100 %", "strict", "", "guarded at most"] {
            assert!(decide(wrong).is_err(), "{wrong}");
        }
    }
}
