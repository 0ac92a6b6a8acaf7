//! Names like the one that was not found.

/// Up to three names that look most like `wanted`, the likest first; the names compare without regard to case.
pub fn nearest<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    // Nobody means a name by typing a novel, and the comparison takes time with the length.
    let wanted: String = wanted.chars().take(100).collect::<String>().to_lowercase();
    let mut ranked: Vec<(f64, &str)> = names
        .map(|name| (strsim::jaro_winkler(&wanted, &name.to_lowercase()), name))
        .filter(|(likeness, _)| *likeness > 0.7)
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    ranked.truncate(3);
    ranked.into_iter().map(|(_, name)| name).collect()
}

/// A sentence that offers names: ` Did you mean a, b or c?`, or nothing if there is nothing to offer.
pub fn offer(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => format!(" Did you mean {one}?"),
        [rest @ .., last] => format!(" Did you mean {} or {last}?", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_likest_comes_first() {
        let names = ["limit.out", "limit.not-proven", "step.missing"];
        let near = nearest("Limit.ot", names.into_iter());
        assert_eq!(near.first(), Some(&"limit.out"));
        assert!(nearest("zzz", names.into_iter()).is_empty());
    }

    #[test]
    fn offers_read_well() {
        assert_eq!(offer(&[]), "");
        assert_eq!(offer(&["a"]), " Did you mean a?");
        assert_eq!(offer(&["a", "b", "c"]), " Did you mean a, b or c?");
    }
}
