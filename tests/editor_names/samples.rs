use std::path::{Path, PathBuf};

use gudgeon::editor::definition::definition;
use gudgeon::editor::index::Summary;
use gudgeon::editor::rename::{prepare, rename};
use gudgeon::editor::{Entity, Index, Mention, Page, mentions};
use gudgeon::syntax::FileKind;
use gudgeon::workspace::{Library, analyse, analyse_manual};

use crate::common::{Files, applied};

/// Every sample by its path, with its text.
fn samples() -> Files {
    let mut list = Vec::new();
    for folder in ["ahead", "as-written", "corrected", "manuals"] {
        for entry in std::fs::read_dir(Path::new("samples").join(folder)).expect("the samples are there") {
            let path = entry.expect("a file").path();
            let text = std::fs::read_to_string(&path).expect("a text");
            list.push((path.to_str().expect("a plain path").replace('\\', "/"), text));
        }
    }
    list.sort();
    list
}

fn page(path: &str, text: &str, library: &Library) -> Page {
    let folder = Path::new(path).parent().expect("a folder");
    let bytes = text.as_bytes().to_vec();
    match FileKind::of_path(Path::new(path)).expect("a log or a manual") {
        FileKind::Log => Page::Log(Box::new(analyse(path, folder, bytes, library))),
        FileKind::Manual => Page::Manual(Box::new(analyse_manual(path, folder, bytes, library))),
    }
}

#[test]
fn what_the_book_knows_leads_there() {
    let library = Library::new();
    let mut count = 0;
    for (path, text) in samples() {
        let page = page(&path, &text, &library);
        let book = &page.rules().book;
        for mention in mentions(&page) {
            let is_known = match mention.entity {
                Entity::Feature => book.feature(&mention.key).is_some(),
                Entity::Step => book.step_id(&mention.key).is_some(),
                Entity::Need | Entity::Manual => true,
                _ => false,
            };
            let found = definition(&page, mention.span.start, &Index::default());
            assert!(!is_known || found.is_some(), "{path}: {mention:?} leads nowhere");
            count += usize::from(is_known);
        }
    }
    assert!(count > 1000, "{count}");
}

fn judged(page: &Page) -> Vec<(&'static str, usize)> {
    let lines = &page.source().lines;
    let told = page.findings().iter();
    let mut list: Vec<_> = told.map(|f| (f.code, lines.line_of(f.span.start))).collect();
    list.sort_unstable();
    list
}

/// Each name of a whole job that may be renamed is: the job is judged as before, and renamed back it has the same bytes.
#[test]
fn every_name_of_a_job_can_be_renamed_and_renamed_back() {
    let files = samples();
    let mut index = Index::default();
    for (path, text) in &files {
        let kind = FileKind::of_path(Path::new(path)).expect("a log or a manual");
        index
            .files
            .insert(PathBuf::from(path), Summary::read(kind, text).into());
    }
    let mut renamed = 0;
    for log in ["corvane-250-crank", "haldrow-hx3-axle", "ostvane-g20-pump"] {
        renamed += all_renamed(&files, &index, &format!("samples/corrected/{log}.rebuild"));
    }
    assert!(renamed > 40, "{renamed}");
}

fn all_renamed(files: &Files, index: &Index, path: &str) -> usize {
    let text = files.iter().find(|(name, _)| name == path).map_or("", |(_, text)| text);
    let before = page(path, text, &Library::new());
    let mut seen: Vec<(Entity, String)> = Vec::new();
    for mention in mentions(&before) {
        let known = (mention.entity, mention.key.clone());
        let is_fixed = mention.entity == Entity::Manual || prepare(&before, mention.span.start).is_err();
        if is_fixed || seen.contains(&known) {
            continue;
        }
        seen.push(known);
        let to = |name: &str| rename(&before, Path::new(path), mention.span.start, name, index);
        let edits = to(&format!("zq {}", seen.len())).or_else(|why| {
            // What a thing is may be told by its name alone: a new pinion seal is a seal.
            assert!(why.starts_with("with this name line "), "{mention:?}: {why}");
            to(&format!("zq {}", mention.span.text(before.text())))
        });
        let there = applied(files, &edits.unwrap_or_else(|why| panic!("{mention:?}: {why}")));
        assert_eq!(judged(&before), judged(&again(files, &there, path)), "{mention:?}");
        back(files, &there, path, &mention, &before);
    }
    seen.len()
}

/// The page of a file as it is in a workspace of changed files.
fn again(were: &Files, files: &Files, path: &str) -> Page {
    let library = Library::new();
    let changed = files.iter().filter(|file| !were.contains(file));
    for (name, text) in changed.filter(|(name, _)| name.ends_with(".manual")) {
        library.give(name, text);
    }
    let text = files.iter().find(|(name, _)| name == path).map_or("", |(_, text)| text);
    page(path, text, &library)
}

fn back(files: &Files, there: &Files, path: &str, mention: &Mention, before: &Page) {
    let mut index = Index::default();
    for (path, text) in there {
        let kind = FileKind::of_path(Path::new(path)).expect("a log or a manual");
        index
            .files
            .insert(PathBuf::from(path), Summary::read(kind, text).into());
    }
    let page = again(files, there, path);
    let from = mention.span.text(before.text());
    let edits = rename(&page, Path::new(path), mention.span.start, from, &index);
    let is = applied(there, &edits.unwrap_or_else(|why| panic!("{mention:?}: {why}")));
    for ((name, was), (_, is)) in files.iter().zip(&is) {
        for (was, is) in was.lines().zip(is.lines()) {
            // A name that was written in several ways is written in one.
            assert_eq!(was.to_lowercase(), is.to_lowercase(), "{name}: {mention:?}");
        }
    }
}
