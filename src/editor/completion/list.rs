//! The list of proposals: what fits what has been typed, each once, in the order they were offered.

use rustc_hash::FxHashSet;

use super::draft::Draft;
use super::{Completion, CompletionKind};
use crate::model::names::key;
use crate::syntax::Span;

/// The most that are proposed at once: nobody reads further, and clients must keep them all.
const MOST: usize = 400;

/// What has been typed of a name, and where.
#[derive(Clone, Copy, Debug)]
pub(super) struct Typed<'t> {
    /// The words, as written.
    pub text: &'t str,
    /// Where: from the first of its words to the cursor.
    pub span: Span,
    /// Whether a blank is still wanted in front of it: it touches a `,`, `:` or `=`.
    pub wants_blank: bool,
}

/// Proposals in order.
pub(super) struct List<'t> {
    typed: Typed<'t>,
    wanted: String,
    known: FxHashSet<(String, u8)>,
    list: Vec<Completion>,
}

impl<'t> List<'t> {
    /// An empty list for what has been typed.
    pub fn new(typed: Typed<'t>) -> List<'t> {
        List {
            wanted: key(typed.text).into_owned(),
            typed,
            known: FxHashSet::default(),
            list: Vec::new(),
        }
    }

    /// Whether nothing has been typed yet.
    pub fn is_blank(&self) -> bool {
        self.wanted.is_empty()
    }

    /// Whether nothing more is taken.
    pub fn is_full(&self) -> bool {
        self.list.len() >= MOST
    }

    /// Whether a label begins with what has been typed, or one of its words does.
    pub fn fits(&self, label: &str) -> bool {
        begins(&key(label), &self.wanted)
    }

    /// Adds a proposal behind the others, if it fits what has been typed.
    pub fn add(&mut self, kind: CompletionKind, label: &str, detail: impl Into<String>, draft: Draft, data: String) {
        if self.fits(label) {
            self.push(kind, label.to_owned(), detail.into(), draft, data);
        }
    }

    /// The same for something that goes by several names: found by another it is shown with that in front.
    pub fn add_named<'n>(
        &mut self,
        kind: CompletionKind,
        (label, others): (&str, impl IntoIterator<Item = &'n str>),
        detail: impl Into<String>,
        draft: Draft,
        data: String,
    ) {
        if self.fits(label) {
            self.push(kind, label.to_owned(), detail.into(), draft, data);
            return;
        }
        let other = others.into_iter().find(|other| begins(other, &self.wanted));
        if let Some(other) = other {
            self.push(kind, format!("{other} → {label}"), detail.into(), draft, data);
        }
    }

    /// Mere words.
    pub fn word(&mut self, kind: CompletionKind, word: &str, detail: impl Into<String>) {
        self.add(kind, word, detail, Draft::of(word), String::new());
    }

    fn push(&mut self, kind: CompletionKind, label: String, detail: String, draft: Draft, data: String) {
        if label.is_empty() || self.is_full() || !self.known.insert((key(&label).into_owned(), kind as u8)) {
            return;
        }
        let draft = if self.typed.wants_blank {
            Draft::of(" ").join(&draft)
        } else {
            draft
        };
        let (text, snippet) = draft.done();
        self.list.push(Completion {
            label,
            detail,
            kind,
            replaces: self.typed.span,
            text,
            snippet,
            rank: u32::try_from(self.list.len()).unwrap_or(u32::MAX),
            data,
        });
    }

    /// The proposals. What is written in full already stands first: whoever goes on then changes nothing.
    pub fn done(mut self) -> Vec<Completion> {
        // One letter is hardly ever all of it.
        if self.wanted.len() > 1 {
            self.list.sort_by_key(|one| key(&one.label) != self.wanted);
            for (rank, one) in self.list.iter_mut().enumerate() {
                one.rank = u32::try_from(rank).unwrap_or(u32::MAX);
            }
        }
        self.list
    }
}

/// Whether a name begins with what is wanted, or what stands behind a blank, `/` or `(` in it. Both are keys.
fn begins(name: &str, wanted: &str) -> bool {
    name.match_indices(wanted).any(|(at, _)| {
        let before = name.get(..at).and_then(|before| before.chars().next_back());
        before.is_none_or(|c| matches!(c, ' ' | '/' | '('))
    })
}

#[cfg(test)]
mod tests {
    use super::begins;

    #[test]
    fn a_name_is_found_by_the_beginning_of_its_words() {
        assert!(begins("web width", "web wi"));
        assert!(begins("web width", "wid"));
        assert!(begins("web width", ""));
        assert!(!begins("web width", "eb"));
        assert!(!begins("web width", "width web"));
    }
}
