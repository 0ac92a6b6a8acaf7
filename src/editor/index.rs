//! The names of every file of a workspace.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Mention;
use crate::syntax::FileKind;

/// What is kept of a file that is not open: its names, and what its head says. Small: there may be thousands.
#[derive(Debug)]
pub struct Summary {
    /// Which kind of file.
    pub kind: FileKind,
}

impl Summary {
    /// Reads a text for its names alone; nothing is judged.
    pub fn read(kind: FileKind, _text: &str) -> Summary {
        Summary { kind }
    }

    /// The machine of a log, as written.
    pub fn machine(&self) -> Option<&str> {
        None
    }

    /// Its names, in order of place.
    pub fn mentions(&self) -> Vec<Mention> {
        Vec::new()
    }
}

/// Every file of a workspace by its path; cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct Index {
    /// The files. A `BTreeMap`, so that answers have an order that depends on nothing else.
    pub files: BTreeMap<PathBuf, Arc<Summary>>,
}

impl Index {
    /// Other logs of the machine of a log, earliest first.
    pub fn of_machine(&self, _machine: &str, _but: &Path) -> Vec<PathBuf> {
        Vec::new()
    }
}
