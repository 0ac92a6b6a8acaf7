//! What may be written next: the foreman at the elbow. The line is read as far as the cursor, by its words and commas and not by its grammar, since half a
//! line has none; what is open is known from the job as it stands at its end, wherever the cursor is.

mod bench;
mod clauses;
mod costs;
mod draft;
mod facts;
mod head;
mod list;
mod log;
mod manual;
mod manual_words;
mod parts;
mod readings;
mod steps;
mod sums;
mod told;
mod tools;
mod value;
mod written;

use super::Page;
use crate::syntax::Span;

/// What a proposal is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CompletionKind {
    /// A first word, or another word of the grammar.
    Keyword,
    /// A feature.
    Feature,
    /// A step.
    Step,
    /// A part.
    Part,
    /// A place.
    Place,
    /// A tool.
    Tool,
    /// A unit.
    Unit,
    /// A manual.
    Manual,
    /// A stage or a date.
    Stage,
    /// A tick or an amount that a step needs.
    Need,
    /// A figure.
    Value,
    /// A photo or another file.
    File,
}

/// A proposal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// What is shown.
    pub label: String,
    /// Why it is proposed, in a few words: `owed: as found`, `may be done now`.
    pub detail: String,
    /// What it is.
    pub kind: CompletionKind,
    /// What is replaced: what has been typed of it.
    pub replaces: Span,
    /// The text that is written, for clients without snippets.
    pub text: String,
    /// The same as a snippet (`$1`, `${2:mm}`, `$0`), where that says more.
    pub snippet: Option<String>,
    /// Its rank: lower comes first.
    pub rank: u32,
    /// What [`documentation`] needs to know; may be empty.
    pub data: String,
}

/// What lies around the page and is not on it.
#[derive(Clone, Debug, Default)]
pub struct Around {
    /// Names of manuals that may be named here.
    pub manuals: Vec<String>,
    /// Machines of other logs.
    pub machines: Vec<String>,
    /// Files beside the log that a `photo` line may name: paths relative to its folder.
    pub photos: Vec<String>,
    /// Today, as `2026-03-14`: the client's clock.
    pub today: String,
}

/// What may be written at an offset, the most fitting first. None in comments and prose.
pub fn completions(page: &Page, offset: u32, around: &Around) -> Vec<Completion> {
    let Some(written) = written::Written::at(page, offset) else {
        return Vec::new();
    };
    match page {
        Page::Log(analysis) => log::offers(&facts::Facts::new(analysis, around, Some(written.line)), written),
        Page::Manual(analysis) => manual::offers(analysis, around, written),
    }
}

/// What is known of a proposal, in markdown; worked out when it is looked at.
pub fn documentation(page: &Page, data: &str) -> Option<String> {
    told::told(page, data)
}
