//! The shelf's manuals as files that an editor can open: written once into the user's cache folder, so that "go to the limit" works for them too.

use std::fs;
use std::path::PathBuf;

use crate::shelf;
use crate::workspace::write;

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
    fs::create_dir_all(&folder).ok()?;
    write::protected(&path, entry.text.as_bytes()).ok()?;
    Some(path)
}

/// Where they lie: by version, since the shelf changes with the program.
fn folder() -> Option<PathBuf> {
    let version = env!("CARGO_PKG_VERSION");
    Some(dirs::cache_dir()?.join("gudgeon").join(format!("shelf-{version}")))
}
