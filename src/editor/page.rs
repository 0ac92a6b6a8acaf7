//! One file as an editor holds it: read, and judged.

use std::sync::Arc;

use crate::calc::Rulebook;
use crate::judge::{Analysis, Finding, ManualAnalysis};
use crate::syntax::{FileKind, Line, Source};

/// A log or a manual with everything that is known of it. Never changed: an edit makes a new one.
#[derive(Debug)]
pub enum Page {
    /// A log.
    Log(Box<Analysis>),
    /// A manual.
    Manual(Box<ManualAnalysis>),
}

impl Page {
    /// Its text with its name and its lines.
    pub fn source(&self) -> &Arc<Source> {
        match self {
            Page::Log(log) => &log.source,
            Page::Manual(manual) => &manual.source,
        }
    }

    /// Its text.
    pub fn text(&self) -> &str {
        &self.source().text
    }

    /// Which of the two.
    pub fn kind(&self) -> FileKind {
        match self {
            Page::Log(_) => FileKind::Log,
            Page::Manual(_) => FileKind::Manual,
        }
    }

    /// Its lines, each cut into indent, content, gap, comment and end.
    pub fn lines(&self) -> &[Line] {
        match self {
            Page::Log(log) => &log.tree.lines,
            Page::Manual(manual) => &manual.tree.lines,
        }
    }

    /// What is to be said of it.
    pub fn findings(&self) -> &[Finding] {
        match self {
            Page::Log(log) => &log.findings,
            Page::Manual(manual) => &manual.findings,
        }
    }

    /// The rules it is judged by; of a manual, the book in which it stands first.
    pub fn rules(&self) -> &Arc<Rulebook> {
        match self {
            Page::Log(log) => &log.rules,
            Page::Manual(manual) => &manual.rules,
        }
    }
}
