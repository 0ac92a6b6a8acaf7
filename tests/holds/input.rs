//! How an input is taken apart. It stays text, so that a case can be read, and mended by hand.

/// The line between two parts of an input.
pub const BETWEEN: &str = "====\n";

/// The bytes as text; what is none becomes U+FFFD.
pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// The parts of an input. Without a line between them, it is one part.
pub fn parts(text: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let mut start = 0;
    for (at, between) in text.match_indices(BETWEEN) {
        let begins_line = at == 0 || text.as_bytes().get(at - 1) == Some(&b'\n');
        if begins_line {
            parts.push(&text[start..at]);
            start = at + between.len();
        }
    }
    parts.push(&text[start..]);
    parts
}

/// The manual and the log of an input; without a line between them, it is a log alone.
pub fn manual_and_log(text: &str) -> (&str, &str) {
    match parts(text).as_slice() {
        [manual, log, ..] => (manual, log),
        _ => ("", text),
    }
}
