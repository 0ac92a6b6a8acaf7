//! Everywhere a name stands: on this page, and in the workspace.

use std::path::{Path, PathBuf};

use super::{Index, Page};
use crate::syntax::Span;

/// Everywhere on this page that the name at an offset stands, with whether it is introduced there.
pub fn highlights(_page: &Page, _offset: u32) -> Vec<(Span, bool)> {
    Vec::new()
}

/// Everywhere in the workspace. `path` is the page's own, whose entry in the index may be older than the page. Names of tools, parts and places are a log's own;
/// those of features, steps, needs, manuals and machines reach over all files.
pub fn references(
    _page: &Page,
    _path: &Path,
    _offset: u32,
    _index: &Index,
    _declarations: bool,
) -> Vec<(PathBuf, Span)> {
    Vec::new()
}
