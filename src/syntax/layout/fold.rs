//! Blanks inside a line: runs of them become one, and a list has one blank behind its commas.

use crate::syntax::said::BLANKS;

/// Whether a character is a blank between words.
fn is_blank(c: char) -> bool {
    BLANKS.contains(&c)
}

/// Folds the blanks of a text that is not prose: one between words, none before a list comma or semicolon and one behind it, none at
/// either end. A comma with a digit straight behind it is a decimal comma and is left alone.
pub(super) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    let mut blank = false;
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        if is_blank(c) {
            blank = true;
            continue;
        }
        let next = rest.peek().copied();
        let decimal = next.is_some_and(|next| next.is_ascii_digit());
        let parts = c == ';' || (c == ',' && !decimal);
        if blank && !parts && !folded.is_empty() {
            folded.push(' ');
        }
        folded.push(c);
        // What stands behind a comma is parted from it, unless that would change a figure (`3 t;5`) or begin a comment (`a,#4`).
        blank = parts && !decimal && next != Some('#');
    }
    folded
}

/// The same for a text whose commas mean nothing: only the blanks are folded.
pub(super) fn fold_blanks(text: &str) -> String {
    let words: Vec<&str> = text.split(is_blank).filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_folded_and_commas_have_one_behind_them() {
        assert_eq!(
            fold("  force \t 7.5 t ,web\u{A0} supported;oiled "),
            "force 7.5 t, web supported; oiled"
        );
        assert_eq!(fold("go 0,50 , no-go  0,55mm,"), "go 0,50, no-go 0,55mm,");
        assert_eq!(fold(""), "");
        assert_eq!(fold("number 12,#4"), "number 12,#4");
    }

    #[test]
    fn figures_are_left_alone() {
        assert_eq!(fold("1,5 ,5 a,b 3;5"), "1,5 ,5 a, b 3;5");
    }

    #[test]
    fn folding_twice_is_folding_once() {
        for text in ["a ,, b", " ; ;5 ,5,x", "a\u{A0},\t5", ",", "3 t;5;x"] {
            assert_eq!(fold(&fold(text)), fold(text), "{text}");
        }
    }
}
