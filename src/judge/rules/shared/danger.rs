//! The words of a danger.

/// What every danger ends with: Gudgeon is a notebook, not an authority.
pub const DEFER: &str = "The machine's workshop manual, local codes and licensed practice come first.";

/// A sentence from a reason: capital first, full stop last.
pub fn sentence(reason: &str) -> String {
    let mut letters = reason.trim().chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let mut sentence: String = first.to_uppercase().chain(letters).collect();
    if !sentence.ends_with(['.', '!', '?']) {
        sentence.push('.');
    }
    sentence
}
