//! Finding the files to work on, and reading them: folders are searched, and only plain files of a bearable size are
//! ever opened, so that a pipe or a device cannot make the program hang.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use ignore::WalkBuilder;

use super::Kind;

/// The largest file that is read, in bytes: 256 MiB.
pub const MOST_BYTES: u64 = 256 * 1024 * 1024;

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
    let size = plain(path)?;
    let file = File::open(path).map_err(|error| why(&error))?;
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or(0));
    // The file may have grown since it was looked at.
    file.take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| why(&error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large(bytes.len() as u64));
    }
    Ok(bytes)
}

/// Reads standard input, or whatever else is no file, up to the size that is read of a file.
pub fn read_stream(stream: impl Read) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    stream
        .take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| why(&error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large(bytes.len() as u64));
    }
    Ok(bytes)
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

/// Size of a plain file in bytes; the error says what else it is.
fn plain(path: &Path) -> Result<u64, String> {
    let about = fs::metadata(path).map_err(|error| {
        // The link can be looked at, what it leads to cannot.
        let link = fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink());
        if link && error.kind() == io::ErrorKind::NotFound {
            "a link to something that is not there".to_owned()
        } else {
            why(&error)
        }
    })?;
    if about.is_dir() {
        return Err("a folder, where a file is wanted".to_owned());
    }
    if !about.is_file() {
        return Err("not a plain file but a pipe, a socket or a device".to_owned());
    }
    if about.len() > MOST_BYTES {
        return Err(too_large(about.len()));
    }
    Ok(about.len())
}

fn too_large(bytes: u64) -> String {
    let mebibytes = bytes.div_ceil(1024 * 1024);
    format!("too large: {mebibytes} MiB, and no more than 256 MiB are read")
}

/// Takes a path that was named.
fn named(path: &Path, found: &mut Discovered) {
    if fs::metadata(path).is_ok_and(|about| about.is_dir()) {
        search(path, found);
        return;
    }
    let verdict = plain(path).and_then(|_| {
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
    let walk = WalkBuilder::new(root).require_git(false).follow_links(false).build();
    for entry in walk {
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
            Ok(_) => found.files.push(Found {
                path: path.to_owned(),
                name,
                kind,
            }),
            Err(reason) => found.unreadable.push(Unreadable { path: name, reason }),
        }
    }
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
