//! Finding the files to work on, and reading them: folders are searched, and only plain files of a bearable size are
//! ever opened, so that a pipe or a device cannot make the program hang.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use ignore::WalkBuilder;

use super::Kind;

/// The largest file that is read, in bytes: 64 MiB, some hundred times the log of a whole shop's year. What is read takes up to a hundred times its size in memory.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The most lines that are read of a file. A line takes one or two KiB of memory, however short it is.
pub const MOST_LINES: usize = 2_000_000;

/// A log or a manual that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Where it is.
    pub path: PathBuf,
    /// The path as it is shown: without a leading `./`, and with a sign for what is not Unicode.
    pub name: String,
    /// What it is, by its ending.
    pub kind: Kind,
}

impl Found {
    /// The folder the file is in; `.` for a bare file name.
    pub fn folder(&self) -> &Path {
        folder_of(&self.path)
    }
}

/// A path that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// The path as it is shown.
    pub path: String,
    /// Why not, in words.
    pub reason: String,
}

/// What a search came to.
#[derive(Debug, Default)]
pub struct Discovered {
    /// Logs and manuals, sorted by path, each of them once.
    pub files: Vec<Found>,
    /// What was named, or lay in a folder under the name of a log, and cannot be read.
    pub unreadable: Vec<Unreadable>,
    /// What the user should know and can live with, one line each.
    pub notes: Vec<String>,
}

/// The folder a path is in; `.` for a bare name.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// The root of the workspace that a file lies in: that of its repository, else its own folder; of a manual in a `manuals` folder the folder above.
pub fn root_of(path: &Path) -> PathBuf {
    let folder = folder_of(path);
    if let Some(root) = super::settings::root(folder) {
        return root.to_owned();
    }
    let above = folder
        .parent()
        .filter(|_| folder.file_name().is_some_and(|name| name == "manuals"));
    above.unwrap_or(folder).to_owned()
}

/// The largest file of names to leave out (`.gitignore`, `.ignore`) by which a folder is searched, in bytes.
const MOST_IGNORED: u64 = 1024 * 1024;

/// How many folders deep pictures are looked for, and how many are named.
const PICTURES: (usize, usize) = (3, 200);

/// Pictures in a folder and the folders in it, by their paths from there, with `/`.
pub fn pictures(folder: &Path) -> Vec<String> {
    let is_picture = |path: &Path| {
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or("");
        ["jpg", "jpeg", "png", "gif", "webp", "heic", "avif", "svg"]
            .iter()
            .any(|known| ending.eq_ignore_ascii_case(known))
    };
    let walk = WalkBuilder::new(folder).max_depth(Some(PICTURES.0)).build();
    let mut found: Vec<String> = walk
        .filter_map(Result::ok)
        .filter(|entry| is_picture(entry.path()))
        .take(PICTURES.1)
        .filter_map(|entry| {
            let parts = entry.path().strip_prefix(folder).ok()?.components();
            let parts: Vec<_> = parts.map(|part| part.as_os_str().to_string_lossy()).collect();
            Some(parts.join("/"))
        })
        .collect();
    found.sort();
    found
}

/// Looks for logs and manuals. A file that is named is taken whatever the ignore files say; a folder is searched with
/// all folders in it, leaving out hidden files and what `.gitignore` and `.ignore` name. Linked files are read, linked
/// folders inside a folder are not followed.
pub fn discover(paths: &[PathBuf]) -> Discovered {
    let mut found = Discovered::default();
    for path in paths {
        named(path, &mut found);
    }
    found.files.sort_by(|a, b| a.path.cmp(&b.path));
    if paths.len() > 1 {
        // A file may have been named twice, or lie in a folder that was named as well.
        let mut seen = rustc_hash::FxHashSet::default();
        found
            .files
            .retain(|file| seen.insert(fs::canonicalize(&file.path).unwrap_or_else(|_| file.path.clone())));
    }
    found.unreadable.sort_by(|a, b| a.path.cmp(&b.path));
    found.unreadable.dedup();
    found
}

/// Reads a plain file. The error says why not, in words.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    let file = open(path)?;
    let expected = file.metadata().map_or(0, |about| about.len());
    let mut bytes = Vec::with_capacity(usize::try_from(expected).unwrap_or(0));
    fill(file, &mut bytes)?;
    Ok(bytes)
}

/// Opens a plain file of a bearable size to be read. It is looked at before it is opened, since opening a device may already do something, and after it: what
/// stands there may have become a pipe meanwhile, and whoever opens a pipe waits for somebody who writes into it.
pub fn open(path: &Path) -> Result<File, String> {
    plain(path)?;
    let mut options = File::options();
    options.read(true);
    without_waiting(&mut options);
    let file = options.open(path).map_err(|error| why(&error))?;
    is_plain(&file.metadata().map_err(|error| why(&error))?)?;
    Ok(file)
}

/// Has a file opened at once or not at all. For plain files that is no difference.
#[cfg(unix)]
fn without_waiting(options: &mut fs::OpenOptions) {
    use std::os::unix::fs::OpenOptionsExt as _;
    options.custom_flags(libc::O_NONBLOCK);
}

#[cfg(not(unix))]
fn without_waiting(_options: &mut fs::OpenOptions) {}

/// Reads standard input, or whatever else is no file, up to the size that is read of a file.
pub fn read_stream(stream: impl Read) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    fill(stream, &mut bytes)?;
    Ok(bytes)
}

/// Reads to the end. A file may have grown since it was looked at, so what comes is counted.
fn fill(stream: impl Read, bytes: &mut Vec<u8>) -> Result<(), String> {
    stream
        .take(MOST_BYTES + 1)
        .read_to_end(bytes)
        .map_err(|error| why(&error))?;
    // A carriage return ends a line too, alone or with a line feed behind it. A file with fewer bytes need not be counted.
    let may_be_long = bytes.len() > MOST_LINES;
    let lines = match may_be_long.then(|| memchr::memchr2_iter(b'\n', b'\r', bytes).count()) {
        Some(ends) if ends > MOST_LINES => ends - memchr::memmem::find_iter(bytes, "\r\n").count(),
        Some(ends) => ends,
        None => 0,
    };
    too_much(bytes.len(), lines).map_or(Ok(()), Err)
}

/// Why a text of so many bytes and lines is too much to be read, in words; `None` where it is not.
pub fn too_much(bytes: usize, lines: usize) -> Option<String> {
    if bytes as u64 > MOST_BYTES {
        return Some(too_large(bytes as u64));
    }
    (lines > MOST_LINES)
        .then(|| format!("too long: {lines} lines, and no more than {MOST_LINES} are read; write a log for each job"))
}

/// An error of the operating system in plain words.
pub fn why(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "no permission".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

/// A path as it is shown.
pub fn shown(path: &Path) -> String {
    let path = match path.strip_prefix("./") {
        Ok(rest) if !rest.as_os_str().is_empty() => rest,
        _ => path,
    };
    path.to_string_lossy().into_owned()
}

/// A path as it is shown where it was found and not named: from the current folder, where it lies below it.
pub fn shown_from_here(path: &Path) -> String {
    let here = std::env::current_dir().ok();
    shown(here.and_then(|here| path.strip_prefix(here).ok()).unwrap_or(path))
}

/// Whether it is a plain file of a bearable size; the error says what else it is.
fn plain(path: &Path) -> Result<(), String> {
    let about = fs::metadata(path).map_err(|error| {
        // The link can be looked at, what it leads to cannot.
        let link = fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink());
        if link && error.kind() == io::ErrorKind::NotFound {
            "a link to something that is not there".to_owned()
        } else {
            why(&error)
        }
    })?;
    is_plain(&about)
}

/// The same of what is known of it.
fn is_plain(about: &fs::Metadata) -> Result<(), String> {
    if about.is_dir() {
        return Err("a folder, where a file is wanted".to_owned());
    }
    if !about.is_file() {
        return Err("not a plain file but a pipe, a socket or a device".to_owned());
    }
    if about.len() > MOST_BYTES {
        return Err(too_large(about.len()));
    }
    Ok(())
}

fn too_large(bytes: u64) -> String {
    let mebibytes = bytes.div_ceil(1024 * 1024);
    let most = MOST_BYTES / 1024 / 1024;
    format!("too large: {mebibytes} MiB, and no more than {most} MiB are read; write a log for each job")
}

/// Takes a path that was named.
fn named(path: &Path, found: &mut Discovered) {
    if fs::metadata(path).is_ok_and(|about| about.is_dir()) {
        search(path, found);
        return;
    }
    let verdict = plain(path).and_then(|()| {
        Kind::of_path(path)
            .ok_or_else(|| "neither a log nor a manual: the name must end in .rebuild or .manual".to_owned())
    });
    match verdict {
        Ok(kind) => found.files.push(Found {
            path: path.to_owned(),
            name: shown(path),
            kind,
        }),
        Err(reason) => found.unreadable.push(Unreadable {
            path: shown(path),
            reason,
        }),
    }
}

/// Searches a folder and all folders in it.
fn search(root: &Path, found: &mut Discovered) {
    let mut walk = WalkBuilder::new(root);
    walk.require_git(false).follow_links(false);
    let blocked_by: Arc<Mutex<Vec<Unreadable>>> = Arc::default();
    if !is_searchable(root, &blocked_by) {
        found.unreadable.append(&mut lock(&blocked_by));
        return;
    }
    let beside = Arc::clone(&blocked_by);
    walk.filter_entry(move |entry| {
        let is_folder = entry.file_type().is_some_and(|kind| kind.is_dir());
        !is_folder || is_searchable(entry.path(), &beside)
    });
    for entry in walk.build() {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => {
                found.unreadable.push(blocked(&error, root));
                continue;
            }
        };
        if let Some(error) = entry.error() {
            found.notes.push(format!("an ignore file was not understood: {error}"));
        }
        let path = entry.path();
        let Some(kind) = Kind::of_path(path) else {
            continue;
        };
        let name = shown(path);
        if entry.file_type().is_some_and(|kind| kind.is_dir()) {
            found
                .notes
                .push(format!("{name}: a folder with the name of a file; it is searched"));
            continue;
        }
        if entry.path_is_symlink() && fs::metadata(path).is_ok_and(|about| about.is_dir()) {
            found
                .notes
                .push(format!("{name}: a link to a folder; it is not followed"));
            continue;
        }
        match plain(path) {
            Ok(()) => found.files.push(Found {
                path: path.to_owned(),
                name,
                kind,
            }),
            Err(reason) => found.unreadable.push(Unreadable { path: name, reason }),
        }
    }
    found.unreadable.append(&mut lock(&blocked_by));
}

/// Whether what names the files to leave out in a folder can be read: the library that does so would wait for ever at a pipe, and take a huge file whole. A folder
/// that cannot be searched as it wants to be is not searched.
fn is_searchable(folder: &Path, blocked: &Mutex<Vec<Unreadable>>) -> bool {
    let wrong = |name: &&str| {
        let about = fs::metadata(folder.join(name));
        let reason = match about {
            Ok(about) if about.is_dir() || (about.is_file() && about.len() <= MOST_IGNORED) => None,
            Ok(about) if about.is_file() => Some("larger than 1 MiB, so its folder is not searched"),
            Ok(_) => Some("not a plain file, so its folder is not searched"),
            Err(_) => None,
        };
        reason.map(|reason| (folder.join(name), reason))
    };
    let Some((path, reason)) = [".gitignore", ".ignore", ".git"].iter().find_map(wrong) else {
        return true;
    };
    lock(blocked).push(Unreadable {
        path: shown(&path),
        reason: reason.to_owned(),
    });
    false
}

/// Takes a lock; a panic elsewhere while it was held does no harm to a list.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What stopped a search at one point, with the path if the error knows it.
fn blocked(error: &ignore::Error, root: &Path) -> Unreadable {
    let path = path_of(error).unwrap_or(root);
    Unreadable {
        path: shown(path),
        reason: error.io_error().map_or_else(|| error.to_string(), why),
    }
}

fn path_of(error: &ignore::Error) -> Option<&Path> {
    match error {
        ignore::Error::WithPath { path, .. } => Some(path),
        ignore::Error::WithDepth { err, .. } | ignore::Error::WithLineNumber { err, .. } => path_of(err),
        ignore::Error::Loop { child, .. } => Some(child),
        _ => None,
    }
}
