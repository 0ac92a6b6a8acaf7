//! Everywhere a name stands: on this page, and in the workspace.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::mentions::{Alike, Entity, Mention, mention_at, mentions, names_of};
use super::{Index, Page};
use crate::syntax::Span;

/// Everywhere on this page that the name at an offset stands, with whether it is introduced there.
pub fn highlights(page: &Page, offset: u32) -> Vec<(Span, bool)> {
    let Some(mention) = mention_at(page, offset) else {
        return Vec::new();
    };
    let wanted = names_of(page, &mention);
    let own = mentions(page).into_iter().filter(|m| wanted.is(m));
    own.map(|m| (m.span, m.is_declaration)).collect()
}

/// Everywhere in the workspace. `path` is the page's own, whose entry in the index may be older than the page. Names of tools, parts and places are a log's own;
/// those of features, steps, needs, manuals and machines reach over all files. In order of path and place.
pub fn references(page: &Page, path: &Path, offset: u32, index: &Index, declarations: bool) -> Vec<(PathBuf, Span)> {
    let Some(mention) = mention_at(page, offset) else {
        return Vec::new();
    };
    let index = index.with(path, page);
    let mut found = own(page, path, &mention, &index);
    if reaches_over_files(mention.entity) {
        others(page, path, &mention, &index, &mut found);
    }
    let kept = found
        .into_iter()
        .filter(|(_, _, is_declaration)| declarations || !is_declaration);
    let list: BTreeSet<(PathBuf, Span)> = kept.map(|(path, span, _)| (path, span)).collect();
    list.into_iter().collect()
}

/// Whether a name means the same in other files.
pub(super) fn reaches_over_files(entity: Entity) -> bool {
    !matches!(entity, Entity::Tool | Entity::Part | Entity::Place | Entity::Choice)
}

type Place = (PathBuf, Span, bool);

fn own(page: &Page, path: &Path, mention: &Mention, index: &Index) -> Vec<Place> {
    let wanted = names_of(page, mention);
    let target = (mention.entity == Entity::Manual)
        .then(|| manual_meant(path, mention, index))
        .flatten();
    let is_it = |m: &Mention| match target {
        Some(target) => m.entity == Entity::Manual && manual_meant(path, m, index) == Some(target),
        None => wanted.is(m),
    };
    let list = mentions(page).into_iter().filter(is_it);
    list.map(|m| (path.to_owned(), m.span, m.is_declaration)).collect()
}

fn others(page: &Page, path: &Path, mention: &Mention, index: &Index, found: &mut Vec<Place>) {
    let wanted = names_of(page, mention);
    let files = || index.files.iter().filter(|(other, _)| *other != path);
    match mention.entity {
        Entity::Machine => {
            let machine = mention.span.text(page.text());
            for other in index.of_machine(machine, path) {
                let places = index.files.get(&other).into_iter().flat_map(|file| file.all());
                let places = places.filter(|place| place.entity == Entity::Machine);
                found.extend(places.map(|place| (other.clone(), place.span, place.is_declaration)));
            }
        }
        Entity::Manual => {
            let target = manual_meant(path, mention, index);
            let manuals = index.manuals();
            for (other, file) in files() {
                for place in file.all().filter(|place| place.entity == Entity::Manual) {
                    let meant = if place.is_declaration {
                        Some(other.as_path())
                    } else {
                        manuals.find(other, place.key)
                    };
                    if meant == target && (target.is_some() || wanted.keys.contains(place.key)) {
                        found.push((other.clone(), place.span, place.is_declaration));
                    }
                }
            }
        }
        _ => {
            let steps = steps_needing(page, &wanted, index);
            for (other, file) in files() {
                let places = file.named(&wanted);
                found.extend(places.map(|place| (other.clone(), place.span, place.is_declaration)));
            }
            // A tick may say a need in words that stand apart, on the page too.
            for (file, summary) in &index.files {
                let ticks = summary.said_needs(&steps, &wanted.keys);
                found.extend(ticks.map(|said| (file.clone(), said.place.span, false)));
            }
        }
    }
}

/// The manual of the workspace that a mention on a page means; on its own `manual` line it is that file. `None` if it is on the shelf, or nowhere.
pub(super) fn manual_meant<'i>(path: &'i Path, mention: &Mention, index: &'i Index) -> Option<&'i Path> {
    if mention.is_declaration {
        return Some(path);
    }
    index.manual_of(path, &mention.key)
}

/// Keys of the steps whose lines may say a need: by the book of the page and by the manuals of the workspace, under all their names. None for what is no need.
pub(super) fn steps_needing(page: &Page, need: &Alike, index: &Index) -> BTreeSet<String> {
    if need.entity != Entity::Need {
        return BTreeSet::new();
    }
    let book = &page.rules().book;
    let mut steps = index.steps_needing(&need.keys);
    let needs_it = |needs: &str| needs.split(" or ").any(|one| need.keys.contains(one));
    for step in book.procedures.iter().flat_map(|procedure| &procedure.steps) {
        let names = || std::iter::once(&step.name.key).chain(&step.also);
        if step.needs.iter().any(|named| needs_it(&named.key)) || names().any(|name| steps.contains(name)) {
            steps.extend(names().cloned());
        }
    }
    steps
}
