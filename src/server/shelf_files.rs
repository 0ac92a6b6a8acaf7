//! The shelf's manuals as files that an editor can open: written once into the user's cache folder, so that "go to the limit" works for them too.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::shelf;

/// What the names of sources of the shelf begin with.
const PREFIX: &str = "shelf:";

/// The file of a source of the shelf, `shelf:NAME`; `None` for any other, and where it cannot be written.
pub fn path_of(source: &str) -> Option<PathBuf> {
    let name = source.strip_prefix(PREFIX)?;
    let entry = shelf::all().iter().find(|entry| entry.name == name)?;
    let folder = folder()?;
    let path = folder.join(format!("{name}.manual"));
    if fs::read(&path).is_ok_and(|bytes| bytes == entry.text.as_bytes()) {
        return Some(path);
    }
    write(&folder, &path, entry.text).ok()?;
    Some(path)
}

/// Where they lie: by version, since the shelf changes with the program.
fn folder() -> Option<PathBuf> {
    let version = env!("CARGO_PKG_VERSION");
    Some(dirs::cache_dir()?.join("gudgeon").join(format!("shelf-{version}")))
}

/// Whole or not at all, and not to be written over by mistake.
fn write(folder: &Path, path: &Path, text: &str) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(text.as_bytes())?;
    let mut permissions = file.as_file().metadata()?.permissions();
    permissions.set_readonly(true);
    file.as_file().set_permissions(permissions)?;
    file.persist(path)?;
    Ok(())
}
