//! Semantic tokens: what each word on a page is.

use super::Page;
use crate::syntax::Span;

/// What a word is. The order is that of the server's legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TokenKind {
    /// The first word of a line, and words of the grammar (`of`, `at`, `by`, `go`).
    Keyword,
    /// A feature.
    Property,
    /// A step.
    Function,
    /// A part.
    Class,
    /// A place.
    Parameter,
    /// A tool.
    Variable,
    /// A figure.
    Number,
    /// A unit.
    Type,
    /// Prose.
    String,
    /// A comment.
    Comment,
    /// A sign: `=`, `->`.
    Operator,
    /// A date, a time of day, a stage, a manual.
    Namespace,
}

/// What is known of a word besides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks {
    /// It is introduced here.
    pub declaration: bool,
    /// A reading that was overtaken, a figure that was mended, a step undone.
    pub deprecated: bool,
    /// It comes from the shelf, not from a manual of the workshop.
    pub default_library: bool,
    /// It is worked out by a sum.
    pub readonly: bool,
}

/// A word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Token {
    /// Where; on one line, never overlapping another, never empty.
    pub span: Span,
    /// What it is.
    pub kind: TokenKind,
    /// What is known besides.
    pub marks: Marks,
}

/// The words of a page within a span, in order of place.
pub fn tokens(_page: &Page, _within: Span) -> Vec<Token> {
    Vec::new()
}
