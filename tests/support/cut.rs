//! The samples as pages, and texts cut from them at random.
#![allow(dead_code)]

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use gudgeon::editor::Page;
use gudgeon::syntax::FileKind;
use gudgeon::workspace::{Library, analyse, analyse_manual};

/// Each sample, logs and manuals, by its path in the repository.
pub fn sample_paths() -> Vec<PathBuf> {
    let mut list = Vec::new();
    for folder in [
        "samples/as-written",
        "samples/corrected",
        "samples/manuals",
        "samples/ahead",
    ] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let entries = std::fs::read_dir(folder).expect("the samples");
        list.extend(entries.map(|entry| entry.expect("a sample").path()));
    }
    list.sort();
    list
}

/// The manuals are read once for all pages.
static LIBRARY: LazyLock<Library> = LazyLock::new(Library::new);

/// A page of a text in a folder.
pub fn page_of(kind: FileKind, name: &str, folder: &Path, text: &str) -> Page {
    let library = &*LIBRARY;
    let bytes = text.as_bytes().to_vec();
    match kind {
        FileKind::Log => Page::Log(Box::new(analyse(name, folder, bytes, library))),
        FileKind::Manual => Page::Manual(Box::new(analyse_manual(name, folder, bytes, library))),
    }
}

/// The page of a sample, with the manuals it names.
pub fn sample(path: &Path) -> Page {
    let kind = FileKind::of_path(path).expect("a log or a manual");
    let text = std::fs::read_to_string(path).expect("a sample");
    let folder = path.parent().expect("a folder");
    let name = path.file_name().and_then(|name| name.to_str()).expect("a name");
    page_of(kind, name, folder, &text)
}

/// A sample in which pieces are taken out and others put in: for each cut, where it is taken out and how much, where it is put in again and how much of it.
pub fn cut_up(which: usize, cuts: &[(f64, usize, f64, usize)]) -> (FileKind, PathBuf, String) {
    let paths = sample_paths();
    let path = paths[which % paths.len()].clone();
    let kind = FileKind::of_path(&path).expect("a log or a manual");
    let mut text: Vec<char> = std::fs::read_to_string(&path).expect("a sample").chars().collect();
    for (from, taken, to, put) in cuts {
        let at = |share: f64, length: usize| ((share * length as f64) as usize).min(length);
        let start = at(*from, text.len());
        let end = (start + taken).min(text.len());
        let piece: Vec<char> = text.drain(start..end).collect();
        let to = at(*to, text.len());
        text.splice(to..to, piece.into_iter().take(*put));
    }
    (kind, path, text.into_iter().collect())
}
