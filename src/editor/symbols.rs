//! The outline of a page.

mod log;
mod manual;

use super::Page;
use crate::syntax::Span;

/// What a line of an outline is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SymbolKind {
    /// The head of a log, the job.
    Job,
    /// A day with its stage.
    Day,
    /// A reading.
    Reading,
    /// A step done or undone.
    Step,
    /// An inspection.
    Inspection,
    /// A part ordered, got, chosen or waited for.
    Part,
    /// A tool.
    Tool,
    /// A manual.
    Manual,
    /// A feature of a manual.
    Feature,
    /// A sum of a manual.
    Calc,
    /// A procedure.
    Procedure,
    /// A precaution.
    Precaution,
    /// Anything else.
    Other,
}

/// A line of an outline, with those below it.
#[derive(Clone, Debug)]
pub struct Symbol {
    /// Its name.
    pub name: String,
    /// More: the figure read, the verdict; may be empty.
    pub detail: String,
    /// What it is.
    pub kind: SymbolKind,
    /// All of it.
    pub span: Span,
    /// Its name; inside `span`.
    pub name_span: Span,
    /// What stands below it.
    pub children: Vec<Symbol>,
}

/// The outline of a page: a log by days, a manual by its features and procedures.
pub fn outline(page: &Page) -> Vec<Symbol> {
    match page {
        Page::Log(analysis) => log::outline(analysis),
        Page::Manual(analysis) => manual::outline(analysis),
    }
}
