//! The names of every file of a workspace.

mod summary;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::Page;
use crate::model::machine::Machine;
use crate::model::names::file_key;
use crate::syntax::FileKind;

pub use summary::{SaidNeed, Standing, Summary};

/// Every file of a workspace by its path; cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct Index {
    /// The files. A `BTreeMap`, so that answers have an order that depends on nothing else.
    pub files: BTreeMap<PathBuf, Arc<Summary>>,
}

impl Index {
    /// The same with a page in the place of what is known of its file, which may be older.
    pub fn with(&self, path: &Path, page: &Page) -> Index {
        let summary = match page {
            Page::Log(log) => Summary::of_log(&log.tree, &log.source.text),
            Page::Manual(manual) => Summary::of_manual(&manual.tree, &manual.source.text),
        };
        let mut index = self.clone();
        index.files.insert(path.to_owned(), Arc::new(summary));
        index
    }

    /// Other logs of the machine of a log, earliest first; those without a date last. `machine` is what stands behind the word in the log, in any case. Two
    /// logs are of one machine if both say the same number of it (frame, engine, serial), and else if they write it alike.
    pub fn of_machine(&self, machine: &str, but: &Path) -> Vec<PathBuf> {
        let wanted = Machine::new(machine);
        let is_it = |file: &Summary| file.machine.as_deref().is_some_and(|m| Machine::new(m).is(&wanted));
        let mut list: Vec<(bool, _, &PathBuf)> = self
            .files
            .iter()
            .filter(|(path, file)| *path != but && file.kind == FileKind::Log && is_it(file))
            .map(|(path, file)| (file.dates.is_none(), file.dates, path))
            .collect();
        list.sort();
        list.into_iter().map(|(_, _, path)| path.clone()).collect()
    }

    /// Which manual of the workspace a file means by a name: of the folders in which it is looked for (the file's own, a `manuals` folder in it, and those of
    /// the folders above) the nearest that has one so called, by the file's name or by its `manual` line. `None` if there is none, or it is on the shelf. A
    /// manual never means itself.
    pub fn manual_of(&self, from: &Path, name: &str) -> Option<&Path> {
        self.manuals().find(from, name)
    }

    /// The manuals of the workspace, made ready for many questions.
    pub(super) fn manuals(&self) -> Manuals<'_> {
        let mut by_place: FxHashMap<(&Path, String), &Path> = FxHashMap::default();
        let all = || self.files.iter().filter(|(_, file)| file.kind == FileKind::Manual);
        // A file's name comes before what its first line calls it, as where manuals are read from disk.
        let by_file = all().map(|(path, _)| (path, stem_key(path)));
        let by_line = all().filter_map(|(path, file)| Some((path, file_key(file.title.as_deref()?))));
        for (path, key) in by_file.chain(by_line) {
            let folder = path.parent().unwrap_or(Path::new(""));
            by_place.entry((folder, key)).or_insert(path);
        }
        Manuals { index: self, by_place }
    }

    /// Keys of the steps that need something, by the manuals of the workspace.
    pub(super) fn steps_needing(&self, needs: &BTreeSet<String>) -> BTreeSet<String> {
        let files = self.files.values();
        files
            .flat_map(|file| file.steps_needing(needs))
            .map(str::to_owned)
            .collect()
    }
}

/// The key of a manual's file.
pub(super) fn stem_key(path: &Path) -> String {
    path.file_stem()
        .map(|stem| file_key(&stem.to_string_lossy()))
        .unwrap_or_default()
}

/// The manuals of a workspace by folder and name.
pub(super) struct Manuals<'i> {
    index: &'i Index,
    by_place: FxHashMap<(&'i Path, String), &'i Path>,
}

impl<'i> Manuals<'i> {
    /// As [`Index::manual_of`].
    pub(super) fn find(&self, from: &Path, name: &str) -> Option<&'i Path> {
        let wanted = file_key(name.trim().trim_end_matches(".manual"));
        let own = from.parent().unwrap_or(Path::new(""));
        let found = |folder: &Path| {
            self.by_place
                .get(&(folder, wanted.clone()))
                .copied()
                .filter(|path| *path != from)
        };
        found(own).or_else(|| own.ancestors().find_map(|folder| found(&folder.join("manuals"))))
    }

    /// The manuals of the workspace that a log is judged by or a manual builds on, itself not among them, the one that wins first.
    pub(super) fn above(&self, path: &Path) -> Vec<&'i Path> {
        let mut list: Vec<&'i Path> = Vec::new();
        // As deep as manuals extend each other, each once; the one to be looked at next stands last.
        let mut open = self.named_by(path);
        while let Some(next) = open.pop() {
            if next != path && !list.contains(&next) {
                list.push(next);
                open.extend(self.named_by(next));
            }
        }
        list
    }

    /// The manuals that a file names itself, the last first.
    fn named_by(&self, path: &Path) -> Vec<&'i Path> {
        let names = self
            .index
            .files
            .get(path)
            .into_iter()
            .flat_map(|file| file.manuals.iter().rev());
        names.filter_map(|name| self.find(path, name)).collect()
    }
}
