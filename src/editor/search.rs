//! Names of a workspace by a few of their letters.

use std::path::PathBuf;

use super::{Entity, Index};
use crate::syntax::Span;

/// A name of the workspace.
#[derive(Clone, Debug)]
pub struct Found {
    /// The name as written.
    pub name: String,
    /// What it names.
    pub entity: Entity,
    /// The file.
    pub path: PathBuf,
    /// The file's title: of a log its job and machine.
    pub within: String,
    /// Where.
    pub span: Span,
}

/// Jobs, machines, features, steps, tools and parts whose name has the letters of `query` in their order (`wbwd` finds `web width`), the best first, at most `most`.
pub fn search(_index: &Index, _query: &str, _most: usize) -> Vec<Found> {
    Vec::new()
}
