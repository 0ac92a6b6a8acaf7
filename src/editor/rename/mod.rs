//! A name changed everywhere.

use std::path::{Path, PathBuf};

use super::{Index, Page};
use crate::judge::Edit;
use crate::syntax::Span;

/// The name at an offset and its place, if it can be renamed; else why not.
pub fn prepare(_page: &Page, _offset: u32) -> Result<(Span, String), String> {
    Err("nothing here has a name".to_owned())
}

/// The changes that give it another name, by file; else why that cannot be: no name at all, a name taken, one that the grammar would read otherwise.
pub fn rename(
    _page: &Page,
    _path: &Path,
    _offset: u32,
    _to: &str,
    _index: &Index,
) -> Result<Vec<(PathBuf, Vec<Edit>)>, String> {
    Err("nothing here has a name".to_owned())
}
