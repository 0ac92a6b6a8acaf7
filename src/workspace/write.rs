//! Files written whole or not at all.

use std::fs;
use std::io::{self, Read as _, Write as _};
use std::path::Path;

use super::discover;

/// How much of a file that stands there is looked at to tell what it is, in bytes.
const HEAD: u64 = 4096;

/// Writes a file beside its place and then moves it there, so that whoever looks sees all of the old one or all of the new. A file that stands there already
/// is replaced only if `is_own` knows it by its beginning for one that was written before; else it is left alone.
///
/// # Errors
/// Why it was not written, in words, without the path.
pub fn whole(path: &Path, bytes: &[u8], is_own: impl Fn(&[u8]) -> bool) -> Result<(), String> {
    let cannot = |error: io::Error| format!("cannot be written: {}", discover::why(&error));
    // A link is followed, so that what it leads to is replaced and not the link.
    let real = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if let Ok(there) = fs::metadata(&real) {
        if !there.is_file() {
            return Err("this is no file".to_owned());
        }
        let mut head = Vec::new();
        let read = fs::File::open(&real).and_then(|file| file.take(HEAD).read_to_end(&mut head));
        read.map_err(|error| format!("stands there and cannot be read: {}", discover::why(&error)))?;
        if !head.is_empty() && !is_own(&head) {
            return Err("stands there already and is something else; it was left alone. Name another file".to_owned());
        }
    }
    let folder = discover::folder_of(&real);
    let mut fresh = tempfile::Builder::new()
        .prefix(".gudgeon-")
        .suffix(".tmp")
        .tempfile_in(folder)
        .map_err(|error| format!("cannot be written in its folder: {}", discover::why(&error)))?;
    fresh.write_all(bytes).map_err(cannot)?;
    share(fresh.as_file(), &real).map_err(cannot)?;
    fresh.as_file().sync_all().map_err(cannot)?;
    fresh.persist(&real).map_err(|error| cannot(error.error))?;
    Ok(())
}

/// A temporary file is for its owner's eyes alone; what is handed out is not.
#[cfg(unix)]
fn share(file: &fs::File, place: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = fs::metadata(place).map_or(0o644, |there| there.permissions().mode());
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn share(_file: &fs::File, _place: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    type Done = Result<(), Box<dyn std::error::Error>>;

    #[test]
    fn what_is_something_else_is_left_alone() -> Done {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("report.html");
        let is_own = |head: &[u8]| head.starts_with(b"own");
        assert_eq!(whole(&path, b"own 1", is_own), Ok(()));
        assert_eq!(whole(&path, b"own 2", is_own), Ok(()));
        assert_eq!(fs::read(&path)?, b"own 2");
        fs::write(&path, "letter to a customer")?;
        assert!(whole(&path, b"own 3", is_own).is_err_and(|why| why.contains("left alone")));
        assert_eq!(fs::read(&path)?, b"letter to a customer");
        assert!(whole(folder.path(), b"own", is_own).is_err());
        assert!(whole(&folder.path().join("none/report.html"), b"own", is_own).is_err());
        assert_eq!(fs::read_dir(folder.path())?.count(), 1, "nothing is left behind");
        Ok(())
    }
}
