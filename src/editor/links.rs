//! Files that a page names: photos and manuals.

use std::path::Path;

use super::Page;
use crate::model::Book;
use crate::model::book::BookManual;
use crate::model::names::file_key;
use crate::syntax::Span;
use crate::syntax::ast::{Rule, Statement};

/// What a link leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkTo {
    /// A file, by its path as written: relative to the page's folder.
    File(String),
    /// A manual, by the name of its source: a path or `shelf:NAME`.
    Manual(String),
}

/// A span that leads to a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// Where.
    pub span: Span,
    /// Where to.
    pub to: LinkTo,
    /// What it is, in a few words.
    pub tip: String,
}

/// Photos of a log, manuals that it names or that a manual extends. Nothing of a manual that is not found.
pub fn links(page: &Page) -> Vec<Link> {
    let text = page.text();
    let manual = |name: &Span, but: Option<&str>| manual(&page.rules().book, *name, text, but);
    match page {
        Page::Log(log) => {
            let entries = log.tree.entries.iter();
            let all = entries.filter_map(|entry| match &entry.statement {
                Statement::Photo(path) => photo(*path, text),
                Statement::Manual(name) => manual(name, None),
                _ => None,
            });
            all.collect()
        }
        Page::Manual(own) => {
            let entries = own.tree.entries.iter();
            let all = entries.filter_map(|entry| match &entry.rule {
                // A workshop may call its own manual as the one on the shelf that it extends.
                Rule::Extends(name) => manual(name, Some(&own.source.name)),
                _ => None,
            });
            all.collect()
        }
    }
}

fn photo(path: Span, text: &str) -> Option<Link> {
    let written = path.text(text);
    (!written.is_empty()).then(|| Link {
        span: path,
        to: LinkTo::File(written.to_owned()),
        tip: "show the photo".to_owned(),
    })
}

/// The manual of a book that a name means, but for one of that source.
pub(super) fn manual_named<'b>(book: &'b Book, written: &str, but: Option<&str>) -> Option<&'b BookManual> {
    let written = written.trim();
    let wanted = file_key(written.strip_suffix(".manual").unwrap_or(written));
    let mut all = book.manuals.iter().filter(|entry| but != Some(&entry.source.name));
    all.find(|entry| is_called(entry, &wanted))
}

fn manual(book: &Book, name: Span, text: &str, but: Option<&str>) -> Option<Link> {
    let found = manual_named(book, name.text(text), but)?;
    let title = &found.manual.name;
    Some(Link {
        span: name,
        to: LinkTo::Manual(found.source.name.clone()),
        tip: if found.on_shelf {
            format!("{title}, from the shelf")
        } else {
            format!("{title}, in {}", found.source.name)
        },
    })
}

/// Whether a manual has this key: by its own name, by that of its file, by that on the shelf.
fn is_called(entry: &BookManual, wanted: &str) -> bool {
    let source = entry.source.name.as_str();
    let on_shelf = source.strip_prefix("shelf:").map(file_key);
    let of_file = || {
        let stem = Path::new(source).file_stem()?;
        Some(file_key(&stem.to_string_lossy()))
    };
    file_key(&entry.manual.name) == wanted || on_shelf.or_else(of_file).as_deref() == Some(wanted)
}
