//! How far a name reaches: the files that mean the same by it, and where they write it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use crate::editor::Page;
use crate::editor::index::{Index, Manuals, stem_key};
use crate::editor::mentions::{Alike, Entity, Mention, mentions, mentions_of_manual, names_of};
use crate::editor::references::{manual_meant, reaches_over_files, steps_needing};
use crate::model::book::BookManual;
use crate::syntax::{FileKind, Span, parse_manual};

/// The files that mean the same by a name, and where they write it.
#[derive(Debug, Default)]
pub(super) struct Reach {
    /// Every file that means the same by it, whether or not it writes it.
    pub files: BTreeSet<PathBuf>,
    /// Where it is written, in order.
    pub places: BTreeMap<PathBuf, Vec<Span>>,
    /// Of a need, the steps whose lines may say it.
    pub steps: BTreeSet<String>,
}

impl Reach {
    /// How far a name of a page reaches; else why that cannot be told.
    pub(super) fn of(page: &Page, path: &Path, mention: &Mention, index: &Index) -> Result<Reach, String> {
        let mut reach = Reach::default();
        match mention.entity {
            Entity::Manual => {
                reach.manual(path, mention, index);
                return Ok(reach);
            }
            Entity::Machine => {
                reach.files = index
                    .of_machine(mention.span.text(page.text()), path)
                    .into_iter()
                    .collect();
                reach.files.insert(path.to_owned());
            }
            entity if reaches_over_files(entity) => reach.files = shared(page, path, mention, index)?,
            _ => reach.files = BTreeSet::from([path.to_owned()]),
        }
        reach.gather(page, path, mention, index)?;
        Ok(reach)
    }

    /// Every line that means the manual and writes it so, its own among them.
    fn manual(&mut self, path: &Path, mention: &Mention, index: &Index) {
        let target = manual_meant(path, mention, index);
        let manuals = index.manuals();
        for (file, summary) in &index.files {
            for place in summary
                .all()
                .filter(|p| p.entity == Entity::Manual && p.key == mention.key)
            {
                let own = place.is_declaration.then_some(file.as_path());
                if own.or_else(|| manuals.find(file, place.key)) == target {
                    self.files.insert(file.clone());
                    self.places.entry(file.clone()).or_default().push(place.span);
                }
            }
        }
    }

    fn gather(&mut self, page: &Page, path: &Path, mention: &Mention, index: &Index) -> Result<(), String> {
        let wanted = only(mention);
        // A step may ask for it under another name of the same precaution.
        self.steps = steps_needing(page, &names_of(page, mention), index);
        for file in &self.files {
            let Some(summary) = index.files.get(file) else { continue };
            let mut spans: BTreeSet<Span> = BTreeSet::new();
            if file == path {
                spans.extend(mentions(page).iter().filter(|m| wanted.is(m)).map(|m| m.span));
            } else {
                spans.extend(summary.named(&wanted).map(|place| place.span));
            }
            for said in summary.said_needs(&self.steps, &wanted.keys) {
                if !said.is_exact {
                    return Err(format!(
                        "{}, line {}, says `{}` in words that stand apart; write it there as it is called, then rename it",
                        file.display(),
                        said.place.line,
                        mention.key
                    ));
                }
                if file != path {
                    spans.insert(said.place.span);
                }
            }
            if !spans.is_empty() {
                self.places.insert(file.clone(), spans.into_iter().collect());
            }
        }
        Ok(())
    }
}

/// Only what bears the very name.
fn only(mention: &Mention) -> Alike {
    Alike {
        entity: mention.entity,
        keys: BTreeSet::from([mention.key.clone()]),
    }
}

/// The manuals that a name of a manual is common to, with the logs judged by them; the page alone where no manual knows it.
fn shared(page: &Page, path: &Path, mention: &Mention, index: &Index) -> Result<BTreeSet<PathBuf>, String> {
    let manuals = index.manuals();
    let wanted = only(mention);
    let says_it = |file: &Path| index.files.get(file).is_some_and(|s| s.named(&wanted).next().is_some());
    let mut open: Vec<&Path> = manuals.above(path).into_iter().filter(|file| says_it(file)).collect();
    if page.kind() == FileKind::Manual {
        open.push(path);
    }
    let mut known: BTreeSet<&Path> = open.iter().copied().collect();
    while let Some(next) = open.pop() {
        for other in related(next, &manuals, index) {
            if says_it(other) && known.insert(other) {
                open.push(other);
            }
        }
    }
    of_book(page, mention, &known)?;
    let mut files: BTreeSet<PathBuf> = known.iter().map(|file| (*file).to_owned()).collect();
    if !known.is_empty() {
        let logs = index.files.iter().filter(|(_, file)| file.kind == FileKind::Log);
        let by_them = logs.filter(|(log, _)| manuals.above(log).iter().any(|manual| known.contains(manual)));
        files.extend(by_them.map(|(log, _)| log.clone()));
    }
    files.insert(path.to_owned());
    Ok(files)
}

/// The manuals that a manual extends, and those that extend it, through others too.
fn related<'i>(manual: &Path, manuals: &Manuals<'i>, index: &'i Index) -> Vec<&'i Path> {
    let all = index.files.iter().filter(|(_, file)| file.kind == FileKind::Manual);
    let below = all
        .map(|(path, _)| path.as_path())
        .filter(|other| manuals.above(other).contains(&manual));
    manuals.above(manual).into_iter().chain(below).collect()
}

/// A manual that the page is judged by and that knows the name must be among the files that are changed.
fn of_book(page: &Page, mention: &Mention, known: &BTreeSet<&Path>) -> Result<(), String> {
    let book = &page.rules().book;
    let has_file = |manual: &BookManual| {
        let stem = stem_key(Path::new(&manual.source.name));
        known.iter().any(|file| stem_key(file) == stem)
    };
    for manual in book.manuals.iter().filter(|manual| !manual.on_shelf) {
        let text = &manual.source.text;
        let says_it = || {
            mentions_of_manual(&parse_manual(text), text)
                .iter()
                .any(|m| only(mention).is(m))
        };
        if !has_file(manual) && says_it() {
            return Err(format!(
                "`{}` is a name of {}, which is not among the files of the workspace",
                mention.span.text(page.text()),
                manual.source.name
            ));
        }
    }
    Ok(())
}
