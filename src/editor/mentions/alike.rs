//! All names of one thing.

use std::collections::BTreeSet;

use super::{Entity, Mention};
use crate::editor::Page;
use crate::model::Book;

/// What is looked for: a kind of thing, and every name it goes by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alike {
    /// What it is.
    pub entity: Entity,
    /// Keys of its names: its own, and those behind `also`.
    pub keys: BTreeSet<String>,
}

impl Alike {
    /// Whether a mention is of it.
    pub fn is(&self, mention: &Mention) -> bool {
        mention.entity == self.entity && self.keys.contains(&mention.key)
    }
}

/// All names of what a mention of a page names, by its book.
pub fn names_of(page: &Page, mention: &Mention) -> Alike {
    let book = &page.rules().book;
    let mut keys = match mention.entity {
        Entity::Feature => of_feature(book, &mention.key),
        Entity::Step => of_step(book, &mention.key),
        Entity::Need => of_need(book, &mention.key),
        _ => BTreeSet::new(),
    };
    keys.insert(mention.key.clone());
    Alike {
        entity: mention.entity,
        keys,
    }
}

fn of_feature(book: &Book, key: &str) -> BTreeSet<String> {
    let id = book.feature(key);
    let feature = id.and_then(|id| book.features.get(id));
    let names = feature
        .into_iter()
        .flat_map(|f| std::iter::once(&f.name.key).chain(&f.also));
    // An alias that is another feature's own name means that one.
    names.filter(|name| book.feature(name) == id).cloned().collect()
}

fn of_step(book: &Book, key: &str) -> BTreeSet<String> {
    let id = book.step_id(key);
    let step = id.and_then(|id| book.step(id));
    let names = step
        .into_iter()
        .flat_map(|s| std::iter::once(&s.name.key).chain(&s.also));
    names.filter(|name| book.step_id(name) == id).cloned().collect()
}

fn of_need(book: &Book, key: &str) -> BTreeSet<String> {
    let precaution = book.precaution(key);
    let names = precaution
        .into_iter()
        .flat_map(|p| std::iter::once(&p.name.key).chain(&p.also));
    names.cloned().collect()
}
