//! How names are compared: case and spacing do not matter.

use std::borrow::Cow;

/// The form of a name that is compared: lower case, one space between words, none at the ends. Borrows when the name is already so.
pub fn key(name: &str) -> Cow<'_, str> {
    let mut blank_before = true;
    let plain = name.bytes().all(|byte| {
        let blank = byte == b' ';
        let fine = if blank {
            !blank_before
        } else {
            byte.is_ascii() && !byte.is_ascii_uppercase() && byte != b'\t'
        };
        blank_before = blank;
        fine
    });
    if plain && !name.ends_with(' ') {
        return Cow::Borrowed(name);
    }
    let mut folded = String::with_capacity(name.len());
    for word in name.split([' ', '\t', '\u{A0}']).filter(|word| !word.is_empty()) {
        if !folded.is_empty() {
            folded.push(' ');
        }
        folded.extend(word.chars().flat_map(char::to_lowercase));
    }
    Cow::Owned(folded)
}

/// The form of a file's or manual's name that is compared: as [`key`], with hyphens and underscores as spaces, so that
/// `tarn-250` and `Tarn 250` are one.
pub fn file_key(name: &str) -> String {
    key(&name.replace(['-', '_'], " ")).into_owned()
}

/// Words that turn a tick into its opposite, or put it off.
const NEGATIONS: &[&str] = &[
    "not",
    "no",
    "without",
    "never",
    "nor",
    "isn't",
    "wasn't",
    "away",
    "none",
    "n/a",
    "torn",
    "broken",
    "missing",
    "lost",
    "forgotten",
    "forgot",
    "skipped",
    "later",
    "tomorrow",
    "will",
    "should",
    "todo",
    "except",
];

/// Whether a tick says what is needed: the needed words stand in it in order, and nothing in it denies them. Both are keys.
pub fn says(tick: &str, needed: &str) -> bool {
    // Most ticks lack the needed words, and that is seen sooner than whether they deny them.
    let mut words = tick.split(' ');
    needed.split(' ').all(|wanted| words.any(|word| word == wanted))
        && (!tick.split(' ').any(|word| NEGATIONS.contains(&word))
            || needed.split(' ').any(|word| NEGATIONS.contains(&word)))
}

/// A word without the `s` of more than one.
fn stem(word: &str) -> &str {
    word.strip_suffix('s').filter(|stem| stem.len() > 2).unwrap_or(word)
}

/// Whether a text names a thing, one of it or more: every word of it, in any order. Both are keys.
pub fn names_thing(text: &str, thing: &str) -> bool {
    thing
        .split(' ')
        .all(|wanted| text.split([' ', '-']).any(|word| stem(word) == stem(wanted)))
}

/// The words by which two names speak of one part: those of three letters and more, one of it or many.
pub fn weighty(name: &str) -> impl Iterator<Item = &str> {
    name.split(' ').filter(|word| word.len() > 2).map(stem)
}

/// Whether every word of `wanted` stands in `place`: `top` in `top along`. Both are keys.
pub fn place_within(place: &str, wanted: &str) -> bool {
    place == wanted
        || wanted
            .split(' ')
            .all(|word| place.split(' ').any(|other| other == word))
}

/// A feature with its part and place, as the manual names them.
pub fn named(feature: &str, part: Option<&str>, place: Option<&str>) -> String {
    let mut name = feature.to_owned();
    for (word, said) in [(" of ", part), (" at ", place)] {
        if let Some(said) = said {
            name.push_str(word);
            name.push_str(said);
        }
    }
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_spacing_do_not_matter() {
        assert_eq!(key("  Web \t Width "), "web width");
        assert_eq!(key("WEB width"), key("web  width"));
        assert!(matches!(key("web width"), Cow::Borrowed(_)));
        assert_eq!(key("Ölbohrung"), "ölbohrung");
        assert_eq!(file_key("Tarn-250"), "tarn 250");
    }

    #[test]
    fn a_thing_is_named_by_all_its_words_one_of_it_or_more() {
        assert!(names_thing("28 new needles", "needle"));
        assert!(names_thing("washers of copper", "copper washer"));
        assert!(!names_thing("washers", "copper washer"));
        assert_eq!(weighty("main bearings").collect::<Vec<_>>(), ["main", "bearing"]);
        assert_eq!(weighty("gear of it").collect::<Vec<_>>(), ["gear"]);
    }

    #[test]
    fn a_tick_says_a_need_unless_it_denies_it() {
        assert!(says("web supported close round the pin", "web supported"));
        assert!(says("new copper washers", "copper washers"));
        assert!(!says("web not supported", "web supported"));
        assert!(!says("no gloves", "gloves"));
        assert!(!says("gloves torn", "gloves"));
        assert!(!says("area will be clear later", "area clear"));
        assert!(!says("supported web", "web supported"));
        assert!(says("no flame", "no flame"));
    }
}
