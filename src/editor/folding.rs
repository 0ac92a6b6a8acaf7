//! What may be folded away.

use super::Page;

/// Why something folds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoldKind {
    /// An entry, a day, a feature.
    Region,
    /// Comment lines.
    Comment,
}

/// Lines to fold, zero-based, both inclusive; never one line alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fold {
    /// First line: it stays visible.
    pub first: usize,
    /// Last line.
    pub last: usize,
    /// Why.
    pub kind: FoldKind,
}

/// Days, entries of several lines, tables, runs of comments; features, procedures and steps with what belongs to them.
pub fn folds(_page: &Page) -> Vec<Fold> {
    Vec::new()
}
