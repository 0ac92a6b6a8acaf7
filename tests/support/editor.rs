//! Pages for tests of what an editor asks: a text with `¦` where the cursor is.
#![allow(dead_code)]

use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::workspace::{Library, analyse, analyse_manual};

use super::NOWHERE;

/// The cursor in a test's text.
pub const CURSOR: char = '¦';

/// A text without its cursors, and their byte offsets.
pub fn marked(text: &str) -> (String, Vec<u32>) {
    let mut plain = String::new();
    let mut at = Vec::new();
    for part in text.split(CURSOR) {
        plain.push_str(part);
        at.push(u32::try_from(plain.len()).expect("a short text"));
    }
    at.pop();
    (plain, at)
}

/// The page of a log `x.rebuild`, with a manual at hand as `bench.manual`; an empty manual is none.
pub fn log_page(manual: &str, log: &str) -> Page {
    let library = Library::new();
    if !manual.is_empty() {
        library.give("bench.manual", manual);
    }
    let analysis = analyse("x.rebuild", Path::new(NOWHERE), log.as_bytes().to_vec(), &library);
    Page::Log(Box::new(analysis))
}

/// The page of a manual `bench.manual`.
pub fn manual_page(manual: &str) -> Page {
    let library = Library::new();
    let analysis = analyse_manual("bench.manual", Path::new(NOWHERE), manual.as_bytes().to_vec(), &library);
    Page::Manual(Box::new(analysis))
}

/// A log page and its one cursor.
#[track_caller]
pub fn log_at(manual: &str, log: &str) -> (Page, u32) {
    let (plain, at) = marked(log);
    assert_eq!(at.len(), 1, "one cursor is wanted:\n{log}");
    (log_page(manual, &plain), at[0])
}
