//! Names that were perhaps meant: how near two words are, for every message that says "did you mean".

use std::borrow::Cow;

/// The most candidates that a name is held against.
const MOST_CANDIDATES: usize = 5_000;

/// The candidate nearest to `wanted`, if it is near enough to be worth naming: at most a third of its letters differ, or all words of
/// the one stand in the other. Case is folded. Ties go to the first. No more than the first 5,000 are looked at.
pub fn nearest<'a>(wanted: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = folded(wanted);
    let (length, own_letters) = (wanted.chars().count(), letters(&wanted));
    if length == 0 || length > 80 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates.into_iter().take(MOST_CANDIDATES) {
        let folded = folded(candidate);
        let other_length = folded.chars().count();
        let longest = length.max(other_length);
        // The distance is never less than the difference of the lengths, nor than what letters alone take: most need not be reckoned.
        let apart = (own_letters ^ letters(&folded)).count_ones().div_ceil(2) as usize;
        let least = length.abs_diff(other_length).max(apart);
        if best.is_some_and(|(known, _)| known <= least) || least * 3 > longest && !shares_words(&wanted, &folded) {
            continue;
        }
        let distance = strsim::osa_distance(&wanted, &folded);
        let near = distance * 3 <= longest || shares_words(&wanted, &folded);
        if near && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Lower case; what is so already is not copied.
fn folded(name: &str) -> Cow<'_, str> {
    if name.bytes().all(|byte| byte.is_ascii() && !byte.is_ascii_uppercase()) {
        Cow::Borrowed(name)
    } else {
        Cow::Owned(name.to_lowercase())
    }
}

/// Which characters a word has, as bits; several may share one. A slip puts one in, takes one out, or both: so the distance of two words is never less
/// than half the number of bits in which they differ.
pub fn letters(word: &str) -> u64 {
    word.chars().fold(0, |set, c| set | 1 << (u32::from(c) % 64))
}

/// Whether all words of the shorter name stand in the longer one, and at least one of them has four letters.
fn shares_words(a: &str, b: &str) -> bool {
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let mut weighty = false;
    let all = words_of(short).all(|word| {
        weighty |= word.chars().count() >= 4;
        words_of(long).any(|other| other == word)
    });
    all && weighty
}

/// The words of a name, parted by blanks.
pub fn words_of(name: &str) -> impl Iterator<Item = &str> {
    name.split([' ', '\t', '\u{A0}']).filter(|word| !word.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typing_slip_finds_its_name() {
        let known = ["side play", "web width", "run-out"];
        assert_eq!(nearest("sid play", known), Some("side play"));
        assert_eq!(nearest("Web Widht", known), Some("web width"));
        assert_eq!(nearest("width", known), Some("web width"));
        assert_eq!(nearest("torque", known), None);
        assert_eq!(nearest("", known), None);
    }
}
