//! Text to tree: lines, spans, what each line says, and recovery. Parsing never fails: a line that cannot be read becomes an
//! error with a place, and everything else is still read. Nothing here knows what a name or a unit means.

pub mod ast;
mod keywords;
pub mod layout;
mod lines;
mod log;
mod manual;
mod near;
mod reparse;
mod run;
mod said;
mod source;
mod span;
pub mod spans;
mod text;
mod unread;

pub use keywords::begins_line;
pub use lines::{LONGEST_LINE, Line, newline_at};
pub use log::parse_log;
pub use manual::parse_manual;
pub use near::{letters, nearest, words_of};
pub use reparse::{changed, reparse_log};
pub use source::Source;
pub use span::{LineIndex, Place, Span};
pub use text::{Decoded, decode};

/// The two kinds of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum FileKind {
    /// A `.rebuild` file.
    Log,
    /// A `.manual` file.
    Manual,
}

impl FileKind {
    /// By the file's extension, in any case; `None` for any other.
    pub fn of_path(path: &std::path::Path) -> Option<FileKind> {
        let extension = path.extension()?.to_str()?;
        if extension.eq_ignore_ascii_case("rebuild") {
            Some(FileKind::Log)
        } else if extension.eq_ignore_ascii_case("manual") {
            Some(FileKind::Manual)
        } else {
            None
        }
    }
}
