//! A name changed everywhere.

mod check;
mod forms;
mod reach;
mod refusals;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::Page;
use super::index::Index;
use super::mentions::{Alike, Entity, Mention, mention_at};
use crate::judge::Edit;
use crate::syntax::Span;
use reach::Reach;

/// The name at an offset and its place, if it can be renamed; else why not.
pub fn prepare(page: &Page, offset: u32) -> Result<(Span, String), String> {
    let mention = renamable(page, offset)?;
    Ok((mention.span, mention.span.text(page.text()).to_owned()))
}

/// The changes that give it another name, by file; else why that cannot be: no name at all, a name taken, one that the grammar would read otherwise, or one by
/// which the page would be judged otherwise. Only what is written with the very name at the offset is changed: other names of the same thing stay.
///
/// A name of a workshop's manual is changed in that manual, in those that it extends or that extend it and use the name, and in the logs judged by them. Names
/// of tools, parts, places and ways to go are changed in the log alone. A machine is changed in all its logs that write it so. A manual is changed wherever it
/// is named so; its file keeps its name, since a manual is found by its first line too.
pub fn rename(
    page: &Page,
    path: &Path,
    offset: u32,
    to: &str,
    index: &Index,
) -> Result<Vec<(PathBuf, Vec<Edit>)>, String> {
    let mention = renamable(page, offset)?;
    let to = to.trim_matches([' ', '\t', '\u{A0}']);
    refusals::of_letters(mention.entity, to)?;
    let index = index.with(path, page);
    let change = Change {
        entity: mention.entity,
        from: mention.key.clone(),
        key: mention.entity.key(to),
        to: to.to_owned(),
    };
    let reach = Reach::of(page, path, &mention, &index)?;
    if change.key != change.from {
        refusals::taken(page, path, &change, &reach, &index)?;
    }
    check::all(page, path, &change, &reach, &index)?;
    let edits = |spans: Vec<Span>| -> Vec<Edit> { spans.into_iter().map(|span| change.edit(span)).collect() };
    Ok(reach
        .places
        .into_iter()
        .map(|(path, spans)| (path, edits(spans)))
        .collect())
}

fn renamable(page: &Page, offset: u32) -> Result<Mention, String> {
    let mention = mention_at(page, offset).ok_or("nothing here has a name")?;
    refusals::fixed(page, &mention)?;
    Ok(mention)
}

/// A name and what it becomes.
struct Change {
    entity: Entity,
    /// The key as it was.
    from: String,
    /// The key as it will be.
    key: String,
    /// The name as it will be written.
    to: String,
}

impl Change {
    fn edit(&self, span: Span) -> Edit {
        Edit {
            span,
            text: self.to.clone(),
        }
    }

    /// What bears a name.
    fn named(&self, key: &str) -> Alike {
        Alike {
            entity: self.entity,
            keys: BTreeSet::from([key.to_owned()]),
        }
    }
}
