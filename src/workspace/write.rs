//! Files written whole or not at all. Whatever the program writes goes through here.
//!
//! A text is written beside its place, brought to the disk, and only then moved there in one go. Whoever looks, also after a power cut, sees all of the old file
//! or all of the new one. What a killed process leaves is at most a hidden `.gudgeon-….tmp`, which no search takes for a log; it may be thrown away.

use std::fs::{self, File, Permissions};
use std::io::{self, Read as _, Write as _};
use std::path::Path;

use tempfile::{Builder, NamedTempFile};

use super::discover;

/// How much of a file that stands there is looked at to tell what it is, in bytes.
const HEAD: u64 = 4096;

/// What may stand where a file is to go.
#[derive(Clone, Copy)]
enum Over<'a> {
    /// Nothing.
    Nothing,
    /// Anything.
    Anything,
    /// What is known by its beginning for a file of the kind that was written before, or is empty.
    Own(&'a dyn Fn(&[u8]) -> bool),
    /// These very bytes.
    Exactly(&'a [u8]),
}

/// Writes a file. One that stands there already is replaced only if `is_own` knows it by its beginning for one that was written before; else it is left alone.
///
/// # Errors
/// Why it was not written, in words, without the path.
pub fn whole(path: &Path, bytes: &[u8], is_own: impl Fn(&[u8]) -> bool) -> Result<(), String> {
    put(path, bytes, Over::Own(&is_own), Mode::Kept)
}

/// Puts a new text in the place of the one that was read. A file that is no longer just that is left alone.
///
/// # Errors
/// As [`whole`].
pub fn instead(path: &Path, old: &[u8], new: &[u8]) -> Result<(), String> {
    put(path, new, Over::Exactly(old), Mode::Kept)
}

/// Writes a file where none is.
///
/// # Errors
/// As [`whole`].
pub fn new(path: &Path, bytes: &[u8]) -> Result<(), String> {
    put(path, bytes, Over::Nothing, Mode::Kept)
}

/// Writes a file that is not to be written over by mistake, whatever stood there.
///
/// # Errors
/// As [`whole`].
pub fn protected(path: &Path, bytes: &[u8]) -> Result<(), String> {
    put(path, bytes, Over::Anything, Mode::ReadOnly)
}

/// Who may do what with the file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mode {
    /// Those who might before; with a new file those whom the system lets by default.
    Kept,
    /// Nobody may write it.
    ReadOnly,
}

/// Writes beside the place, and moves there. The place is looked at before, to save the work, and once more just before the move.
fn put(path: &Path, bytes: &[u8], over: Over<'_>, mode: Mode) -> Result<(), String> {
    // A link is followed, so that what it leads to is replaced and not the link; but nothing may stand where a new file goes, no link either.
    let real = match over {
        Over::Nothing => path.to_owned(),
        _ => path.canonicalize().unwrap_or_else(|_| path.to_owned()),
    };
    let there = may_go(&real, over, mode)?;
    let folder = discover::folder_of(&real);
    let mut builder = Builder::new();
    builder.prefix(".gudgeon-").suffix(".tmp");
    if there.is_none() && mode == Mode::Kept {
        readable(&mut builder);
    }
    let mut fresh = builder.tempfile_in(folder).map_err(|error| in_folder(&error))?;
    fill(&mut fresh, bytes, there.as_ref(), mode).map_err(|error| cannot(&error))?;
    may_go(&real, over, mode)?;
    match over {
        Over::Nothing => fresh
            .persist_noclobber(&real)
            .map_err(|error| match error.error.kind() {
                io::ErrorKind::AlreadyExists => taken(),
                _ => cannot(&error.error),
            })?,
        _ => fresh.persist(&real).map_err(|error| cannot(&error.error))?,
    };
    // The move itself is on the disk only once the folder is. Not every system lets a folder be opened for that.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// What is known of the file that stands there, if one does; an error if it is to stay.
fn may_go(real: &Path, over: Over<'_>, mode: Mode) -> Result<Option<fs::Metadata>, String> {
    if matches!(over, Over::Nothing) {
        return if real.symlink_metadata().is_ok() {
            Err(taken())
        } else {
            Ok(None)
        };
    }
    let there = match fs::metadata(real) {
        Ok(there) => there,
        Err(_) if !matches!(over, Over::Exactly(_)) => return Ok(None),
        Err(error) => return Err(discover::why(&error)),
    };
    if !there.is_file() {
        return Err("this is no file".to_owned());
    }
    if there.permissions().readonly() && mode == Mode::Kept {
        return Err("write-protected; left as it is".to_owned());
    }
    match over {
        Over::Nothing | Over::Anything => {}
        Over::Own(is_own) => {
            let mut head = Vec::new();
            let read = discover::open(real).and_then(|file| {
                let read = file.take(HEAD).read_to_end(&mut head);
                read.map_err(|error| discover::why(&error))
            });
            read.map_err(|why| format!("stands there and cannot be read: {why}"))?;
            if !head.is_empty() && !is_own(&head) {
                return Err(
                    "stands there already and is something else; it was left alone. Name another file".to_owned(),
                );
            }
        }
        Over::Exactly(old) => {
            if there.len() != old.len() as u64 || discover::read(real)? != old {
                return Err("changed by something else meanwhile; left as it is".to_owned());
            }
        }
    }
    Ok(Some(there))
}

/// Fills the file beside the place, and brings it to the disk with the rights it is to have.
fn fill(fresh: &mut NamedTempFile, bytes: &[u8], there: Option<&fs::Metadata>, mode: Mode) -> io::Result<()> {
    fresh.write_all(bytes)?;
    if let Some(there) = there {
        same_owner(fresh.as_file(), there);
        fresh.as_file().set_permissions(there.permissions())?;
    }
    if mode == Mode::ReadOnly {
        let mut permissions: Permissions = fresh.as_file().metadata()?.permissions();
        permissions.set_readonly(true);
        fresh.as_file().set_permissions(permissions)?;
    }
    fresh.as_file().sync_all()
}

/// A temporary file is for its owner's eyes alone; what is handed out is not, as far as the user's mask lets others see anything.
#[cfg(unix)]
fn readable(builder: &mut Builder<'_, '_>) {
    use std::os::unix::fs::PermissionsExt as _;
    builder.permissions(Permissions::from_mode(0o666));
}

#[cfg(not(unix))]
fn readable(_builder: &mut Builder<'_, '_>) {}

/// Whoever may work on others' files does not make them his own by that. Where the system does not let it be, the file is the writer's.
#[cfg(unix)]
fn same_owner(file: &File, there: &fs::Metadata) {
    use std::os::unix::fs::{MetadataExt as _, fchown};
    let is_same = file
        .metadata()
        .is_ok_and(|own| own.uid() == there.uid() && own.gid() == there.gid());
    if !is_same {
        let _ = fchown(file, Some(there.uid()), Some(there.gid()));
    }
}

#[cfg(not(unix))]
fn same_owner(_file: &File, _there: &fs::Metadata) {}

fn taken() -> String {
    "exists already, and is not written over; choose another name".to_owned()
}

/// Why nothing can be written beside the place.
fn in_folder(error: &io::Error) -> String {
    format!(
        "cannot be written in its folder: {}{}",
        discover::why(error),
        way_out(error)
    )
}

/// Why a file cannot be written, and what to do.
fn cannot(error: &io::Error) -> String {
    format!("cannot be written: {}{}", discover::why(error), way_out(error))
}

/// What to do about it. That nothing was lost is to be told: it is the first question of whoever reads that the disk is full.
fn way_out(error: &io::Error) -> &'static str {
    match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "; nothing was changed. Make room, and run it again"
        }
        io::ErrorKind::NotFound => "",
        _ => "; nothing was changed",
    }
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

    #[test]
    fn a_file_that_was_changed_meanwhile_is_left_alone() -> Done {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("a.rebuild");
        fs::write(&path, "written meanwhile\n")?;
        let done = instead(&path, b"what was read\n", b"tidied\n");
        assert!(done.is_err_and(|reason| reason.starts_with("changed by something else")));
        assert_eq!(fs::read_to_string(&path)?, "written meanwhile\n");
        assert_eq!(fs::read_dir(folder.path())?.count(), 1);

        assert_eq!(instead(&path, b"written meanwhile\n", b"tidied\n"), Ok(()));
        assert_eq!(fs::read_to_string(&path)?, "tidied\n");

        fs::remove_file(&path)?;
        assert!(instead(&path, b"tidied\n", b"tidied again\n").is_err());
        assert!(!path.exists(), "what was taken away is not brought back");
        Ok(())
    }

    #[test]
    fn a_new_file_takes_no_place_that_is_taken() -> Done {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("a.rebuild");
        assert_eq!(new(&path, b"job x\n"), Ok(()));
        assert!(new(&path, b"job y\n").is_err_and(|why| why.starts_with("exists already")));
        assert_eq!(fs::read(&path)?, b"job x\n");
        assert_eq!(fs::read_dir(folder.path())?.count(), 1);
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn rights_are_kept_and_links_are_followed() -> Done {
        use std::os::unix::fs::{PermissionsExt as _, symlink};
        let folder = tempfile::tempdir()?;
        let (path, link) = (folder.path().join("a.rebuild"), folder.path().join("link.rebuild"));
        let mode = |path: &Path| fs::metadata(path).map(|about| about.permissions().mode() & 0o777);
        fs::write(&path, "old")?;
        fs::set_permissions(&path, Permissions::from_mode(0o640))?;
        symlink("a.rebuild", &link)?;
        assert_eq!(instead(&link, b"old", b"new"), Ok(()));
        assert!(link.is_symlink());
        assert_eq!((fs::read(&path)?, mode(&path)?), (b"new".to_vec(), 0o640));
        assert!(new(&link, b"x").is_err() && new(&folder.path().join("b"), b"x").is_ok());

        let shelf = folder.path().join("shelf.manual");
        assert_eq!(protected(&shelf, b"one"), Ok(()));
        assert_eq!(mode(&shelf)? & 0o222, 0);
        assert_eq!(protected(&shelf, b"two"), Ok(()));
        assert_eq!(fs::read(&shelf)?, b"two");
        assert!(whole(&shelf, b"three", |_| true).is_err_and(|why| why.starts_with("write-protected")));
        Ok(())
    }
}
