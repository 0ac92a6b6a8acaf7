//! Words that name more than one unit, and that nobody but the writer can settle.

/// The words, folded, with the question to ask.
pub(super) const UNDEFINED: &[(&[&str], &str)] = &[
    (
        &["ton", "tons", "tonf", "tonsf", "ton·force", "tons·force"],
        "a ton is 1000 kgf, 2000 lbf or 2240 lbf: write t, or the number of kN",
    ),
    (&["tenth", "tenths"], "a tenth is 0.1 mm or 0.0001 in: write mm or thou"),
    (
        &["thousandth", "thousandths"],
        "a thousandth is 0.001 mm or 0.001 in: write µm or thou",
    ),
    (
        &["pound", "pounds"],
        "a pound is a mass, a force or money: write lb, lbf or GBP",
    ),
    (
        &["gal", "gals", "gallon", "gallons"],
        "a gallon is 3.785 L (US) or 4.546 L (imperial): write US gal, imp gal or L",
    ),
    (
        &["floz", "fl·oz", "fluid·ounce", "fluid·ounces"],
        "a fluid ounce is 29.57 mL (US) or 28.41 mL (imperial): write mL",
    ),
    (
        &["pint", "pints"],
        "a pint is 473 mL (US) or 568 mL (imperial): write mL or L",
    ),
    (
        &["quart", "quarts"],
        "a quart is 946 mL (US) or 1137 mL (imperial): write mL or L",
    ),
    (
        &["hp", "bhp", "horsepower", "ps"],
        "a horsepower is 745.7 W or, metric, 735.5 W: write kW",
    ),
    (
        &["dollar", "dollars"],
        "there is more than one dollar: write USD, CAD or AUD",
    ),
    (
        &["kr", "krona", "kronor", "krone", "kroner"],
        "there is more than one crown: write SEK, NOK or DKK",
    ),
    (&["¥"], "this sign stands for two currencies: write JPY if yen is meant"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::spelling::Folded;
    use crate::quantity::unit::meanings;

    #[test]
    fn a_word_is_a_unit_or_a_question_and_not_both() {
        for word in UNDEFINED.iter().flat_map(|(words, _)| *words) {
            assert!(meanings(word).is_empty(), "{word}");
            assert_eq!(
                Folded::new(word).map(|f| f.as_str().to_owned()).as_deref(),
                Some(*word),
                "not folded"
            );
        }
    }
}
