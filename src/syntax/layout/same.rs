//! Whether two texts say the same: their trees compared without the places of things.

use super::fold::fold;
use crate::syntax::ast::{LogTree, ManualTree};
use crate::syntax::spans::Spans;

/// What the statements of a text say: the shape of each, and the words in it with their blanks folded.
pub(super) struct Meaning<T> {
    said: Vec<(T, Vec<String>)>,
    errors: usize,
}

impl<T: PartialEq> Meaning<T> {
    /// The statements that do not say the same in the other text; none if all do. Where the other has more or fewer statements only
    /// the first is named, since what follows it is shifted.
    pub fn differences(&self, other: &Self) -> Vec<usize> {
        let pairs = || self.said.iter().zip(&other.said);
        if self.said.len() != other.said.len() || self.errors != other.errors {
            return vec![pairs().take_while(|(a, b)| a == b).count()];
        }
        pairs()
            .enumerate()
            .filter_map(|(number, (a, b))| (a != b).then_some(number))
            .collect()
    }
}

/// What a log says.
pub(super) fn of_log(tree: &LogTree, text: &str) -> Meaning<crate::syntax::ast::Statement> {
    Meaning {
        said: tree
            .entries
            .iter()
            .map(|entry| meaning(&entry.statement, entry.span.text(text), text))
            .collect(),
        errors: tree.errors.len(),
    }
}

/// What a manual says.
pub(super) fn of_manual(tree: &ManualTree, text: &str) -> Meaning<crate::syntax::ast::Rule> {
    Meaning {
        said: tree
            .entries
            .iter()
            .map(|entry| meaning(&entry.rule, entry.span.text(text), text))
            .collect(),
        errors: tree.errors.len(),
    }
}

/// A statement without its places. One without words of its own, such as a line that could not be read, is told by the whole line.
fn meaning<T: Spans + Clone>(statement: &T, line: &str, text: &str) -> (T, Vec<String>) {
    let mut shape = statement.clone();
    let mut words = Vec::new();
    shape.each_span(&mut |span| {
        // The stage of a limit is a name and a keyword, so case is left aside; nothing but keywords is ever written small.
        words.push(fold(span.text(text)).to_lowercase());
        *span = Default::default();
    });
    if words.is_empty() {
        words.push(fold(&line.replace(':', " ")).to_lowercase());
    }
    (shape, words)
}
