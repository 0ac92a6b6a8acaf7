//! Names that were perhaps meant: how near two words are, for every message that says "did you mean".

/// The most candidates that a name is held against.
const MOST_CANDIDATES: usize = 5_000;

/// The candidate nearest to `wanted`, if it is near enough to be worth naming: at most a third of its letters differ, or all words of
/// the one stand in the other. Case is folded. Ties go to the first. No more than the first 5,000 are looked at.
pub fn nearest<'a>(wanted: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = wanted.to_lowercase();
    let length = wanted.chars().count();
    if length == 0 || length > 80 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates.into_iter().take(MOST_CANDIDATES) {
        let folded = candidate.to_lowercase();
        let own_length = folded.chars().count();
        let (longest, least) = (length.max(own_length), length.abs_diff(own_length));
        // The distance is never less than the difference of the lengths: most need not be reckoned.
        let may_be_near = least * 3 <= longest || shares_words(&wanted, &folded);
        if !may_be_near || best.is_some_and(|(known, _)| known <= least) {
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

/// Whether all words of the shorter name stand in the longer one, and at least one of them has four letters.
fn shares_words(a: &str, b: &str) -> bool {
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let long: Vec<&str> = words_of(long).collect();
    let mut weighty = false;
    let all = words_of(short).all(|word| {
        weighty |= word.chars().count() >= 4;
        long.contains(&word)
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
