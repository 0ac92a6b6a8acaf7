//! Tidy layout (being written).
use super::FileKind;
/// Lays a text out neatly.
pub fn tidy(text: &str, _kind: FileKind) -> String { text.to_owned() }
