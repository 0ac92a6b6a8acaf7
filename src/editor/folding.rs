//! What may be folded away.

use super::Page;
use super::shape::{Lines, blocks, day_lines, log_head, manual_head};
use crate::syntax::Line;

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

/// Days, entries of several lines, tables, runs of comments; features, procedures and steps with what belongs to them. In order of their first lines, the outer first.
pub fn folds(page: &Page) -> Vec<Fold> {
    let mut regions: Vec<Lines> = Vec::new();
    match page {
        Page::Log(log) => {
            regions.extend(log_head(&log.tree));
            regions.extend(day_lines(&log.tree));
            regions.extend(log.tree.entries.iter().map(Lines::of_entry));
        }
        Page::Manual(manual) => {
            regions.extend(manual_head(&manual.tree));
            regions.extend(blocks(&manual.tree).into_iter().map(|block| block.lines));
        }
    }
    let regions = regions.into_iter().map(|lines| (lines, FoldKind::Region));
    let comments = comment_runs(page.lines())
        .into_iter()
        .map(|lines| (lines, FoldKind::Comment));
    let mut list: Vec<Fold> = regions
        .chain(comments)
        .filter(|(lines, _)| lines.first < lines.last)
        .map(|(Lines { first, last }, kind)| Fold { first, last, kind })
        .collect();
    list.sort_by_key(|fold| (fold.first, std::cmp::Reverse(fold.last)));
    // An editor folds one thing at a line: the outer. A head that is one entry is such a case.
    list.dedup_by_key(|fold| fold.first);
    list
}

/// Lines one below the other that hold a comment and nothing else.
fn comment_runs(lines: &[Line]) -> Vec<Lines> {
    let is_comment = |line: &Line| line.is_empty() && !line.comment.is_empty();
    let mut first = 0;
    let mut list = Vec::new();
    for run in lines.chunk_by(|a, b| is_comment(a) && is_comment(b)) {
        if run.first().is_some_and(is_comment) {
            list.push(Lines {
                first,
                last: first + run.len() - 1,
            });
        }
        first += run.len();
    }
    list
}
