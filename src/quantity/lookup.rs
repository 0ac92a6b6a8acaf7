//! Units found by their written names: the spelling as it stands first, the folded form of it second.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use super::dimension::Dimension;
use super::spelling::Folded;
use super::table::UNITS;
use super::undefined::UNDEFINED;
use super::unit::Unit;
use crate::syntax::letters;

/// What may stand between the words of a compound unit, as it is written.
const JOINTS: [&str; 7] = ["·", "", " ", "-", ".", "*", "⋅"];

type Meanings = Vec<&'static Unit>;

/// The names, built once from the table.
struct Index {
    /// By the exact spelling.
    exact: FxHashMap<String, Meanings>,
    /// By the folded spelling.
    folded: FxHashMap<String, Meanings>,
    /// Folded spelling, its letters and the spelling itself, for finding the nearest.
    spelled: Vec<(String, u64, &'static str)>,
    /// Question by folded word.
    undefined: FxHashMap<&'static str, &'static str>,
}

static INDEX: LazyLock<Index> = LazyLock::new(build);

fn build() -> Index {
    let mut index = Index {
        exact: FxHashMap::default(),
        folded: FxHashMap::default(),
        spelled: Vec::new(),
        undefined: FxHashMap::default(),
    };
    for unit in UNITS.iter() {
        for spelling in std::iter::once(&unit.symbol).chain(unit.spellings) {
            let joints = if spelling.contains('·') {
                &JOINTS[..]
            } else {
                &JOINTS[..1]
            };
            for joint in joints {
                let written = spelling.replace('·', joint);
                if let Some(folded) = Folded::new(&written) {
                    mean(&mut index.folded, folded.as_str().to_owned(), unit);
                }
                mean(&mut index.exact, written, unit);
            }
            if let Some(folded) = Folded::new(spelling) {
                let letters = letters(folded.as_str());
                index.spelled.push((folded.as_str().to_owned(), letters, spelling));
            }
        }
    }
    for (words, question) in UNDEFINED {
        index.undefined.extend(words.iter().map(|word| (*word, *question)));
    }
    index
}

/// Adds a meaning, one for each dimension: what stands first in the table wins.
fn mean(map: &mut FxHashMap<String, Meanings>, name: String, unit: &'static Unit) {
    let list = map.entry(name).or_default();
    if list.iter().all(|known| known.dimension != unit.dimension) {
        list.push(unit);
    }
}

/// All that a written unit can mean, the usual meaning first; empty if it is unknown, or [undefined](is_undefined).
///
/// `kg` is a mass first and a force second. The exact spelling wins, so `mPa` is not `MPa`; after that case, spaces, marks
/// between the words of a compound, `µ` or `u`, `²` or `^2` do not matter. `M` and `k` alone are no units: they are taken for
/// neither metre nor kelvin.
pub fn meanings(name: &str) -> &'static [&'static Unit] {
    let index = &*INDEX;
    if let Some(list) = index.exact.get(name) {
        return list;
    }
    if matches!(name.trim(), "M" | "k") {
        return &[];
    }
    Folded::new(name)
        .and_then(|folded| index.folded.get(folded.as_str()))
        .map_or(&[], Vec::as_slice)
}

/// The meaning of a written unit that has the wanted dimension if there is one, else its first meaning: °C is a difference where one is
/// wanted, and a temperature elsewhere; K is a difference unless a temperature is wanted.
pub fn find(name: &str, wanted: Option<Dimension>) -> Option<&'static Unit> {
    let list = meanings(name);
    wanted
        .and_then(|dimension| list.iter().find(|unit| unit.dimension == dimension))
        .or_else(|| list.first())
        .copied()
}

/// The question to ask about a word that names several units of different size, such as `ton` or `gallon`; `None` for any
/// other word.
pub fn is_undefined(name: &str) -> Option<&'static str> {
    let folded = Folded::new(name)?;
    INDEX.undefined.get(folded.as_str()).copied()
}

/// The known spelling nearest to a misspelt unit: one slip away, or two in a word of five letters or more. `None` if nothing
/// is that near, or if the word is too short to tell.
pub fn nearest(name: &str) -> Option<&'static str> {
    let folded = Folded::new(name)?;
    let word = folded.as_str();
    let length = word.chars().count();
    let allowed = match length {
        0 | 1 => return None,
        2..=4 => 1,
        _ => 2,
    };
    let own = letters(word);
    INDEX
        .spelled
        .iter()
        // A slip puts one letter in, takes one out, or both.
        .filter(|(_, letters, _)| (letters ^ own).count_ones() as usize <= 2 * allowed)
        .filter(|(known, ..)| known.chars().count() >= 2 && known.len().abs_diff(word.len()) <= 2 * allowed)
        .map(|(known, _, spelling)| {
            let other_start = known.chars().next() != word.chars().next();
            (strsim::osa_distance(known, word), other_start, *spelling)
        })
        .filter(|(distance, ..)| *distance <= allowed)
        // `min_by_key` keeps the first of equals: the one that stands first in the table.
        .min_by_key(|(distance, other_start, _)| (*distance, *other_start))
        .map(|(.., spelling)| spelling)
}

/// Every unit, in the order of the table. °C, °F and K stand in it twice: as temperatures and as differences.
pub fn all() -> impl Iterator<Item = &'static Unit> {
    UNITS.iter()
}

/// The unit a worked-out figure of this dimension is shown in when nobody has asked for another: mm, N·m, cm³, °C.
/// `None` for a plain number and for dimensions without a unit of their own.
pub fn usual(dimension: Dimension) -> Option<&'static Unit> {
    let name = match dimension {
        Dimension::NONE => return None,
        Dimension::MASS => "kg",
        Dimension::FORCE => "kN",
        Dimension::PRESSURE => "bar",
        // Elsewhere the first in the table is the usual one.
        _ => return UNITS.iter().find(|unit| unit.dimension == dimension),
    };
    find(name, Some(dimension))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn symbols(name: &str) -> Vec<&'static str> {
        let mut list: Vec<&str> = meanings(name).iter().map(|unit| unit.symbol).collect();
        // °C is one unit with two meanings.
        list.dedup();
        list
    }

    #[test]
    fn every_spelling_the_bench_uses() {
        for (symbol, spellings) in [
            ("mm", "mm|MM|Mm"),
            ("µm", "µm|μm|um|micron|microns|UM"),
            ("in", "in|inch|\"|″|In|in.|INCHES"),
            ("hundredths", "hundredths|hundredth|huns"),
            ("cm³", "cc|cm³|cm3|cm^3|ml|mL|ML|cc/rev"),
            ("L", "L|l|litre|Litres"),
            ("in³", "in³|cu in|cu. in.|in^3"),
            ("US gal", "US gal|us gal|US gallons"),
            ("imp gal", "imp gal|imp. gal."),
            ("N·m", "N·m|Nm|N.m|N*m|N m|N-m|nm|NM|n m"),
            ("kN·m", "kN·m|kNm"),
            (
                "lbf·ft",
                "ft-lb|ft lb|lb-ft|lb ft|lbf ft|ft·lbf|ftlb|FT-LBS|lbf·ft|ft.lb|ft. lbs.",
            ),
            ("lbf·in", "in-lb|in lb|lb-in|lb in|inlb|in. lbs"),
            ("kgf·m", "kgm|mkg|kgf m|kg·m|m-kg"),
            ("kgf·cm", "kgcm|kg-cm|kgf·cm"),
            ("psi", "psi|PSI|lb/in²|lb/sq in"),
            ("kgf/cm²", "kg/cm2|kg/cm²|kgf/cm^2|kg / cm²"),
            ("inHg", "inHg|in Hg|\"Hg|inhg|in. Hg"),
            ("mmH₂O", "mmH2O|mm H₂O|mm H2O"),
            ("°C", "°C|C|degC|deg C|° C|c|℃|degrees C"),
            ("°F", "°F|F|f|deg F"),
            ("K", "K"),
            ("°", "°|deg|degree|degrees|º"),
            ("arcmin", "'|′|arcmin|arc minutes"),
            ("rpm", "rpm|r/min|RPM|r.p.m.|r.p.m"),
            ("L/min", "L/min|l/min|L / min|lpm"),
            ("km/h", "km/h|KM/H|kph"),
            ("‰", "‰"),
            ("EUR", "EUR|€|eur"),
            ("USD", "$|USD"),
            ("PLN", "PLN|zł|ZŁ"),
            ("h", "h|hr|hrs|hours|H"),
            ("MPa", "MPa|mpa|MPA|Mpa"),
            ("mPa", "mPa"),
            ("m", "m"),
        ] {
            for spelling in spellings.split('|') {
                assert_eq!(symbols(spelling), [symbol], "{spelling}");
            }
        }
    }

    #[test]
    fn mass_first_and_force_second() {
        for (name, both) in [
            ("t", ["t", "tf"]),
            ("T", ["t", "tf"]),
            ("kg", ["kg", "kgf"]),
            ("KG", ["kg", "kgf"]),
            ("lb", ["lb", "lbf"]),
            ("lbs.", ["lb", "lbf"]),
            ("oz", ["oz", "ozf"]),
        ] {
            assert_eq!(symbols(name), both, "{name}");
            assert_eq!(find(name, None).map(|u| u.dimension), Some(Dimension::MASS));
            assert_eq!(
                find(name, Some(Dimension::FORCE)).map(|u| u.dimension),
                Some(Dimension::FORCE)
            );
            assert_eq!(
                find(name, Some(Dimension::LENGTH)).map(|u| u.dimension),
                Some(Dimension::MASS)
            );
        }
    }

    #[test]
    fn what_is_no_unit() {
        for name in [
            "",
            " ",
            "M",
            "k",
            "m·m",
            "k m",
            "ft-",
            "-lb",
            "web width",
            "goes",
            "by",
            "at",
            "x",
            "m2m",
            "mm mm",
            "a word that is much too long to be a unit",
        ] {
            assert!(meanings(name).is_empty(), "{name}");
            assert_eq!(find(name, Some(Dimension::LENGTH)), None);
        }
    }

    #[test]
    fn asks_where_a_word_has_no_one_meaning() {
        for name in ["ton", "Tons", "tenths", "pounds", "gal", "fl oz", "hp", "kr"] {
            assert!(meanings(name).is_empty(), "{name}");
            assert!(is_undefined(name).is_some_and(|q| q.contains("write")), "{name}");
        }
        assert_eq!(
            is_undefined("ton"),
            Some("a ton is 1000 kgf, 2000 lbf or 2240 lbf: write t, or the number of kN")
        );
        assert_eq!(is_undefined("t"), None);
        assert_eq!(is_undefined("mm"), None);
        assert_eq!(is_undefined(""), None);
    }

    #[test]
    fn the_nearest_spelling() {
        for (slip, meant) in [
            ("milimetre", "millimetre"),
            ("mmm", "mm"),
            ("mircon", "micron"),
            ("thuo", "thou"),
            ("hunderdths", "hundredths"),
            ("ft-bl", "ft·lb"),
            ("kgf/cn2", "kgf/cm²"),
            ("degreess", "degrees"),
        ] {
            assert_eq!(nearest(slip), Some(meant), "{slip}");
        }
        for far in ["", "q", "crankpin", "with care", "because"] {
            assert_eq!(nearest(far), None, "{far}");
        }
    }

    /// Folding must not make two units of one dimension into one word, but for the one pair that is meant to.
    #[test]
    fn no_two_units_share_a_name() {
        let mut exact: Vec<(String, &Unit)> = Vec::new();
        let mut clashes = Vec::new();
        for unit in UNITS.iter() {
            for spelling in std::iter::once(&unit.symbol).chain(unit.spellings) {
                let folded = Folded::new(spelling).unwrap_or_else(|| panic!("{spelling} does not fold"));
                exact.push((folded.as_str().replace('·', ""), unit));
            }
        }
        for (at, (name, unit)) in exact.iter().enumerate() {
            for (other, second) in exact.iter().skip(at + 1) {
                if name == other && unit.dimension == second.dimension && unit.symbol != second.symbol {
                    clashes.push((name.as_str(), unit.symbol, second.symbol));
                }
            }
        }
        assert_eq!(clashes, [("mpa", "MPa", "mPa")]);
    }

    /// Two meanings in different dimensions are meant for mass and force, and for a temperature and a difference.
    #[test]
    fn only_weights_and_degrees_have_two_meanings() {
        let (t, d) = (Dimension::TEMPERATURE, Dimension::TEMPERATURE_DIFFERENCE);
        let both = [[Dimension::MASS, Dimension::FORCE], [t, d], [d, t]];
        for (name, list) in INDEX.folded.iter().chain(&INDEX.exact) {
            let dimensions: Vec<_> = list.iter().map(|unit| unit.dimension).collect();
            assert!(
                dimensions.len() == 1 || both.iter().any(|two| two[..] == dimensions),
                "{name}: {dimensions:?}"
            );
        }
    }

    #[test]
    fn a_degree_is_what_is_wanted() {
        let (t, d) = (Dimension::TEMPERATURE, Dimension::TEMPERATURE_DIFFERENCE);
        let kind = |name: &str, wanted| find(name, wanted).map(|u| u.dimension);
        for name in ["°C", "C", "deg F", "F", "℉"] {
            assert_eq!(
                (kind(name, None), kind(name, Some(Dimension::LENGTH))),
                (Some(t), Some(t)),
                "{name}"
            );
        }
        assert_eq!((kind("K", None), kind("kelvin", None)), (Some(d), Some(d)));
        for name in ["°C", "F", "K"] {
            assert_eq!((kind(name, Some(t)), kind(name, Some(d))), (Some(t), Some(d)), "{name}");
        }
    }

    #[test]
    fn an_absolute_pressure_says_so() {
        for (name, symbol) in [
            ("bar abs", "bar abs"),
            ("bara", "bar abs"),
            ("bar a", "bar abs"),
            ("BAR ABS", "bar abs"),
            ("bar absolute", "bar abs"),
            ("psia", "psi abs"),
            ("psi abs", "psi abs"),
            ("kPa abs", "kPa abs"),
            ("hPa abs", "mbar abs"),
            ("mbar abs", "mbar abs"),
            ("kg/cm2 abs", "kgf/cm² abs"),
            ("\"Hg abs", "inHg abs"),
            ("bar", "bar"),
            ("barg", "bar"),
            ("bar gauge", "bar"),
            ("psig", "psi"),
        ] {
            assert_eq!(symbols(name), [symbol], "{name}");
            let absolute = symbol.ends_with(" abs");
            let of = if absolute {
                Dimension::ABSOLUTE_PRESSURE
            } else {
                Dimension::PRESSURE
            };
            // Never the other kind, even where that is wanted: the two are not the same figure.
            for wanted in [None, Some(Dimension::PRESSURE), Some(Dimension::ABSOLUTE_PRESSURE)] {
                assert_eq!(find(name, wanted).map(|u| u.dimension), Some(of), "{name}");
            }
        }
    }

    #[test]
    fn every_symbol_finds_its_unit() {
        for symbol in all().map(|unit| unit.symbol) {
            assert_eq!(find(symbol, None).map(|u| u.symbol), Some(symbol));
        }
        for unit in UNITS.iter() {
            let usual = usual(unit.dimension).map(|u| u.dimension);
            assert_eq!(usual, (!unit.dimension.is_none()).then_some(unit.dimension));
        }
        assert_eq!(usual(Dimension::FORCE).map(|u| u.symbol), Some("kN"));
        assert_eq!(usual(Dimension::TORQUE).map(|u| u.symbol), Some("N·m"));
    }

    proptest! {
        #[test]
        fn never_panics(name in any::<String>()) {
            let _ = (meanings(&name), is_undefined(&name), nearest(&name));
        }
    }
}
