//! Which logs and manuals a change touches: those that differ from a revision, and those that rest on a manual or on settings that do.

use std::hash::Hash;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use rustc_hash::{FxHashMap, FxHashSet};

use super::git::{Changes, top_of};
use super::library::{Library, Loaded};
use super::roots::real;
use super::settings;
use super::{Kind, discover};
use crate::model::names::file_key;
use crate::syntax::ast::Statement;
use crate::syntax::{decode, parse_log};

/// What differs from a revision, in every repository that files were asked about.
#[derive(Debug)]
pub struct Touched {
    repositories: Vec<Repository>,
    /// Whether any manual that a file in a folder could reach differs.
    reachable: Mutex<FxHashMap<PathBuf, bool>>,
    /// Whether a log in a folder that names these manuals rests on one that differs.
    rests: Mutex<FxHashMap<(PathBuf, Vec<String>), bool>>,
}

#[derive(Debug)]
struct Repository {
    top: PathBuf,
    changes: Changes,
    /// Manuals that differ or are gone: their folder and file key.
    manuals: FxHashSet<(PathBuf, String)>,
}

impl Repository {
    fn since(top: &Path, revision: &str) -> Result<Repository, String> {
        let changes = Changes::since(top, revision)?;
        let manuals = changes.paths_changed().filter_map(|path| {
            let is_manual = Kind::of_path(path) == Some(Kind::Manual);
            is_manual.then(|| Some((path.parent()?.to_owned(), stem_key(path))))?
        });
        Ok(Repository {
            top: top.to_owned(),
            manuals: manuals.collect(),
            changes,
        })
    }
}

impl Touched {
    /// Asks git what differs from a revision in the repositories that these files lie in. The error says why that cannot be told.
    pub fn since<'a>(files: impl Iterator<Item = &'a Path>, revision: &str) -> Result<Touched, String> {
        let mut folders: FxHashSet<&Path> = FxHashSet::default();
        let mut repositories: Vec<Repository> = Vec::new();
        for file in files {
            let folder = discover::folder_of(file);
            if !folders.insert(folder) {
                continue;
            }
            let whole = real(folder);
            let top = top_of(&whole).ok_or_else(|| {
                let name = discover::shown(file);
                format!("{name} lies in no git repository, so it is not known what changed since `{revision}`")
            })?;
            if repositories.iter().all(|known| known.top != top) {
                repositories.push(Repository::since(top, revision)?);
            }
        }
        Ok(Touched {
            repositories,
            reachable: Mutex::default(),
            rests: Mutex::default(),
        })
    }

    /// Whether a file is touched: it differs itself, rests on a manual that does, or on settings that do. A log is read for the names of its manuals, and
    /// judged no further. What cannot be read counts as touched, so that it is said.
    pub fn has(&self, path: &Path, kind: Kind, library: &Library) -> bool {
        let folder = discover::folder_of(path);
        if self.differs(path) || self.settings_differ(folder) {
            return true;
        }
        // Where no manual differs that it could reach, there is nothing to read it for.
        if !kept(&self.reachable, folder.to_owned(), |folder| {
            self.reaches(folder, library)
        }) {
            return false;
        }
        match kind {
            Kind::Log => {
                let Ok(bytes) = discover::read(path) else { return true };
                let names = names_of(&decode(bytes).text);
                kept(&self.rests, (folder.to_owned(), names), |(folder, names)| {
                    let mut seen = Vec::new();
                    names
                        .iter()
                        .any(|name| self.rests_on(library, folder, name, None, &mut seen))
                })
            }
            Kind::Manual => match library.read(path) {
                Some(own) => self.extends(library, folder, &own, &mut Vec::new()),
                None => true,
            },
        }
    }

    /// Whether a file that is there differs, or what it leads to where it is a link.
    fn differs(&self, path: &Path) -> bool {
        let own = real(discover::folder_of(path)).join(path.file_name().unwrap_or_default());
        let target = real(path);
        self.differs_at(&own) || (target != own && self.differs_at(&target))
    }

    /// The same of where it really is. Of what lies in no repository that was asked nothing is known, and it is taken to differ.
    fn differs_at(&self, path: &Path) -> bool {
        let holds = |repository: &&Repository| path.starts_with(&repository.top);
        // The deepest: one repository may lie in another.
        let mine = self
            .repositories
            .iter()
            .filter(holds)
            .max_by_key(|r| r.top.as_os_str().len());
        mine.is_none_or(|repository| repository.changes.has(path))
    }

    /// Whether settings that hold for a folder differ, or did hold and are gone.
    fn settings_differ(&self, folder: &Path) -> bool {
        let whole = real(folder);
        let Some(root) = settings::root(&whole) else {
            return false;
        };
        let between = whole.ancestors().take_while(|above| above.starts_with(root));
        let mut files = between.map(|above| above.join(settings::FILE));
        files.any(|file| self.repositories.iter().any(|repository| repository.changes.has(&file)))
    }

    /// Whether any manual differs, or is gone, in a folder where one is looked for from here, or from a manual that is found there.
    fn reaches(&self, folder: &Path, library: &Library) -> bool {
        let mut open = vec![folder.to_owned()];
        let mut seen: FxHashSet<PathBuf> = FxHashSet::default();
        while let Some(folder) = open.pop() {
            for place in library.search(&folder).iter() {
                let whole = real(place);
                if !seen.insert(whole.clone()) {
                    continue;
                }
                let listed = library.listed(place);
                let gone = |repository: &Repository| repository.manuals.iter().any(|(folder, _)| *folder == whole);
                if self.repositories.iter().any(gone) || listed.values().any(|path| self.differs(path)) {
                    return true;
                }
                if !listed.is_empty() {
                    open.push(place.clone());
                }
            }
        }
        false
    }

    /// Whether the manual of a name, looked for from a folder as [`Library::find`] does, differs, was another one, or rests on such a one.
    fn rests_on(
        &self,
        library: &Library,
        folder: &Path,
        name: &str,
        own: Option<&Loaded>,
        seen: &mut Vec<PathBuf>,
    ) -> bool {
        let wanted = file_key(name.trim().trim_end_matches(".manual"));
        for place in library.search(folder).iter() {
            let found = library.listed(place).get(&wanted).cloned();
            let there = (real(place), wanted.clone());
            // One that is gone from here, too: another is found in its place now, or none.
            let differs = self
                .repositories
                .iter()
                .any(|repository| repository.manuals.contains(&there));
            if differs || found.as_deref().is_some_and(|path| self.differs(path)) {
                return true;
            }
            let Some(next) = found.as_deref().and_then(|path| library.read(path)) else {
                continue;
            };
            // A manual never extends itself: the same name means the next one of that name.
            if own.is_some_and(|own| own.source.name == next.source.name || own.source.text == next.source.text) {
                continue;
            }
            return self.extends(library, folder, &next, seen);
        }
        false
    }

    /// Whether one of those that a manual extends differs, or rests on one that does.
    fn extends(&self, library: &Library, folder: &Path, own: &Loaded, seen: &mut Vec<PathBuf>) -> bool {
        let path = PathBuf::from(&own.source.name);
        if seen.contains(&path) {
            return false;
        }
        seen.push(path);
        let near = own.folder.as_deref().unwrap_or(folder);
        own.manual
            .extends
            .iter()
            .any(|name| self.rests_on(library, near, &name.name, Some(own), seen))
    }
}

/// What was worked out before for a key, or is now. Two threads may both work it out; they come to the same.
fn kept<K: Eq + Hash>(known: &Mutex<FxHashMap<K, bool>>, key: K, work: impl FnOnce(&K) -> bool) -> bool {
    let lock = || known.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(answer) = lock().get(&key) {
        return *answer;
    }
    let answer = work(&key);
    lock().insert(key, answer);
    answer
}

/// The names of the manuals that a log gives.
fn names_of(text: &str) -> Vec<String> {
    let entries = parse_log(text).entries;
    let names = entries.iter().filter_map(|entry| match &entry.statement {
        Statement::Manual(name) => Some(name.text(text).to_owned()),
        _ => None,
    });
    names.collect()
}

/// The form of a manual's file name that is compared.
fn stem_key(path: &Path) -> String {
    file_key(&path.file_stem().unwrap_or_default().to_string_lossy())
}
