//! Files that a page names: photos and manuals.

use super::Page;
use crate::syntax::Span;

/// What a link leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkTo {
    /// A file, by its path as written: relative to the page's folder.
    File(String),
    /// A manual, by the name of its source: a path or `shelf:NAME`.
    Manual(String),
}

/// A span that leads to a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// Where.
    pub span: Span,
    /// Where to.
    pub to: LinkTo,
    /// What it is, in a few words.
    pub tip: String,
}

/// Photos of a log, manuals that it names or that a manual extends.
pub fn links(_page: &Page) -> Vec<Link> {
    Vec::new()
}
