//! Where a file lies for everybody who has the same repository: its path from the root, never that of one machine.

use std::fs;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use rustc_hash::FxHashMap;

use super::discover::folder_of;
use super::settings;

/// The root of the repository of the folder we are in, and of every file that is asked about.
#[derive(Debug)]
pub struct Roots {
    /// Root of the current folder's repository, else the current folder.
    root: PathBuf,
    /// The folder we are in.
    here: PathBuf,
    /// Folders already looked up: where they really are, and the root they lie below.
    folders: Mutex<FxHashMap<PathBuf, (PathBuf, PathBuf)>>,
}

/// A path as others may know it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Placed {
    /// Below the root of the repository we are in: from there, with `/`.
    Inside(String),
    /// Elsewhere: the whole path.
    Outside(PathBuf),
}

impl Roots {
    /// Those of the folder we are in.
    pub fn here() -> Roots {
        let here = real(Path::new("."));
        let root = settings::root(&here).unwrap_or(&here).to_owned();
        Roots {
            root,
            here,
            folders: Mutex::default(),
        }
    }

    /// Where a file lies, seen from the root of the repository we are in. `path` is as it was given or shown.
    pub fn place(&self, path: &Path) -> Placed {
        let whole = self.folder(path).0.join(path.file_name().unwrap_or(path.as_os_str()));
        match whole.strip_prefix(&self.root) {
            Ok(below) => Placed::Inside(slashed(below)),
            Err(_) => Placed::Outside(whole),
        }
    }

    /// The root of the repository that a file itself lies in, and its path from there, with `/`. Outside a repository the folder we are in stands for
    /// the root, or the file's own folder where it does not lie below that.
    pub fn own(&self, path: &Path) -> (PathBuf, String) {
        let (folder, root) = self.folder(path);
        let whole = folder.join(path.file_name().unwrap_or(path.as_os_str()));
        let below = whole.strip_prefix(&root).map(slashed).unwrap_or_default();
        (root, below)
    }

    /// Where the folder of a file really is, and the root it lies below.
    fn folder(&self, path: &Path) -> (PathBuf, PathBuf) {
        let folder = folder_of(path);
        let mut folders = self.folders.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = folders.get(folder) {
            return known.clone();
        }
        let whole = real(folder);
        let root = match settings::root(&whole) {
            Some(root) => root.to_owned(),
            None if whole.starts_with(&self.here) => self.here.clone(),
            None => whole.clone(),
        };
        folders.insert(folder.to_owned(), (whole.clone(), root.clone()));
        (whole, root)
    }
}

/// Where a path really is, links followed; of a path that is not there, as far as it is.
pub fn real(path: &Path) -> PathBuf {
    if let Ok(whole) = fs::canonicalize(path) {
        return whole;
    }
    match (path.parent(), path.file_name()) {
        (Some(above), Some(name)) if !above.as_os_str().is_empty() => real(above).join(name),
        (_, Some(name)) => real(Path::new(".")).join(name),
        _ => std::path::absolute(path).unwrap_or_else(|_| path.to_owned()),
    }
}

/// The parts of a path with `/` between them.
fn slashed(path: &Path) -> String {
    let parts: Vec<_> = path
        .components()
        .filter(|part| !matches!(part, Component::CurDir))
        .map(|part| part.as_os_str().to_string_lossy())
        .collect();
    parts.join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_told_from_the_root_of_its_own_repository() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        let top = fs::canonicalize(folder.path())?;
        fs::create_dir_all(top.join("shop/logs/old"))?;
        fs::write(top.join("shop/gudgeon.toml"), "")?;
        let roots = Roots::here();
        let log = top.join("shop/logs/../logs/old/a b.rebuild");
        assert_eq!(roots.own(&log), (top.join("shop"), "logs/old/a b.rebuild".to_owned()));
        assert_eq!(
            roots.place(&log),
            Placed::Outside(top.join("shop/logs/old/a b.rebuild"))
        );
        // Outside any repository, and not below the folder we are in.
        let loose = top.join("b.rebuild");
        assert_eq!(roots.own(&loose).1, "b.rebuild");
        // What is below the folder we are in is inside.
        assert_eq!(
            roots.place(Path::new("./src/../README.md")),
            Placed::Inside("README.md".to_owned())
        );
        Ok(())
    }

    #[test]
    fn what_is_not_there_is_placed_all_the_same() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        let top = fs::canonicalize(folder.path())?;
        assert_eq!(real(&folder.path().join("gone/x.manual")), top.join("gone/x.manual"));
        Ok(())
    }
}
