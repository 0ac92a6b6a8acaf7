//! A text with a name, for messages that point into it.

use super::LineIndex;

/// A text that findings may point into: a log, a manual from a file, or a manual from the shelf.
#[derive(Debug)]
pub struct Source {
    /// Path as given on the command line, or `shelf:NAME` for a built-in manual.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// Where its lines begin.
    pub lines: LineIndex,
}

impl Source {
    /// Wraps a text and indexes its lines.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let lines = LineIndex::new(&text);
        Self {
            name: name.into(),
            text,
            lines,
        }
    }
}
