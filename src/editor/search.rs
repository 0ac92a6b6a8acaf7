//! Names of a workspace by a few of their letters.

use std::path::{Path, PathBuf};

use nucleo_matcher::pattern::{Atom, AtomKind, CaseMatching, Normalization};
use nucleo_matcher::{Config, Matcher, Utf32Str};
use rustc_hash::{FxHashMap, FxHashSet};

use super::index::Summary;
use super::{Entity, Index};
use crate::syntax::{FileKind, Span};

/// A name of the workspace.
#[derive(Clone, Debug)]
pub struct Found {
    /// The name as written.
    pub name: String,
    /// What it names.
    pub entity: Entity,
    /// The file.
    pub path: PathBuf,
    /// The file's title: of a log its job and machine.
    pub within: String,
    /// Where.
    pub span: Span,
}

/// Letters of a query beyond which no name is longer; the rest is not looked at.
const LONGEST: usize = 100;

/// Jobs, machines, features, steps, tools, parts and whatever else a file introduces, whose name has the letters of `query` in their order (`wbwd` finds `web
/// width`), the best first, at most `most`. Blanks of the query do not count. What begins a word and what stands together weighs more; of equals the shorter
/// name comes first, then by name, path and place. A feature or step that no file introduces (it is the shelf's, or nobody's) is found where it is first named.
pub fn search(index: &Index, query: &str, most: usize) -> Vec<Found> {
    let needle: String = query.chars().filter(|c| !c.is_whitespace()).take(LONGEST).collect();
    if needle.is_empty() {
        return Vec::new();
    }
    let mut scores = Scores::new(&needle);
    let mut found: Vec<(u16, Name<'_>)> = names(index)
        .into_iter()
        .filter_map(|name| Some((scores.of(&name.text)?, name)))
        .collect();
    found.sort_by(|(score, a), (other, b)| {
        let by_score = other.cmp(score);
        by_score.then_with(|| (a.text.len(), &a.text, a.path, a.span).cmp(&(b.text.len(), &b.text, b.path, b.span)))
    });
    found.truncate(most);
    let shown = found.into_iter().map(|(_, name)| Found {
        name: name.text,
        entity: name.entity,
        path: name.path.to_owned(),
        within: title(name.path, name.file),
        span: name.span,
    });
    shown.collect()
}

/// A name that may be found.
struct Name<'i> {
    text: String,
    entity: Entity,
    path: &'i Path,
    file: &'i Summary,
    span: Span,
}

/// Every name that is introduced in some file, and each feature and step that none introduces, once.
fn names(index: &Index) -> Vec<Name<'_>> {
    let mut list = Vec::new();
    let mut known: FxHashSet<(Entity, &str)> = FxHashSet::default();
    for (path, file) in &index.files {
        let title = file.title.as_deref().filter(|_| file.kind == FileKind::Log);
        list.extend(title.map(|title| Name {
            text: title.to_owned(),
            entity: Entity::Job,
            path,
            file,
            span: file.title_span(),
        }));
        for (place, written) in file.declared() {
            known.insert((place.entity, place.key));
            list.push(Name {
                text: written.to_owned(),
                entity: place.entity,
                path,
                file,
                span: place.span,
            });
        }
    }
    for (path, file) in index.files.iter().filter(|(_, file)| file.kind == FileKind::Log) {
        for place in file
            .all()
            .filter(|p| matches!(p.entity, Entity::Feature | Entity::Step))
        {
            if known.insert((place.entity, place.key)) {
                list.push(Name {
                    text: place.key.to_owned(),
                    entity: place.entity,
                    path,
                    file,
                    span: place.span,
                });
            }
        }
    }
    list
}

/// What a file is called: of a log its job and its machine, of a manual its name; failing these its path.
fn title(path: &Path, file: &Summary) -> String {
    let said: Vec<&str> = [&file.title, &file.machine]
        .into_iter()
        .flatten()
        .map(|part| &**part)
        .collect();
    if said.is_empty() {
        return path.display().to_string();
    }
    said.join(", ")
}

/// How well names fit, each name asked once.
struct Scores {
    atom: Atom,
    matcher: Matcher,
    letters: Vec<char>,
    known: FxHashMap<String, Option<u16>>,
}

impl Scores {
    fn new(needle: &str) -> Scores {
        Scores {
            atom: Atom::new(
                needle,
                CaseMatching::Ignore,
                Normalization::Smart,
                AtomKind::Fuzzy,
                false,
            ),
            matcher: Matcher::new(Config::DEFAULT),
            letters: Vec::new(),
            known: FxHashMap::default(),
        }
    }

    fn of(&mut self, name: &str) -> Option<u16> {
        if let Some(score) = self.known.get(name) {
            return *score;
        }
        let score = self
            .atom
            .score(Utf32Str::new(name, &mut self.letters), &mut self.matcher);
        self.known.insert(name.to_owned(), score);
        score
    }
}
