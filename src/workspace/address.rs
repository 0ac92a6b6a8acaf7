//! Addresses of files, as they stand in a page.

use std::path::Path;

use percent_encoding::{AsciiSet, CONTROLS, utf8_percent_encode};

/// What a path of an address must not hold as it is.
const UNSAFE: &AsciiSet = &CONTROLS
    .add(b' ')
    .add(b'"')
    .add(b'#')
    .add(b'%')
    .add(b'<')
    .add(b'>')
    .add(b'?')
    .add(b'[')
    .add(b']')
    .add(b'^')
    .add(b'`')
    .add(b'{')
    .add(b'|')
    .add(b'}')
    .add(b'\\')
    .add(b':');

/// The name of a file as a part of an address.
pub fn encoded(name: &str) -> String {
    utf8_percent_encode(name, UNSAFE).to_string()
}

/// The address of a file from a folder; `None` where there is no way between them.
pub fn between(file: &Path, folder: &Path) -> Option<String> {
    let folder = folder.canonicalize().ok()?;
    let (mut from, mut to) = (folder.components().peekable(), file.components().peekable());
    while from.peek().is_some() && from.peek() == to.peek() {
        from.next();
        to.next();
    }
    let up = from.map(|_| "..".to_owned());
    let down = to.map(|part| part.as_os_str().to_str().map(encoded));
    up.map(Some)
        .chain(down)
        .collect::<Option<Vec<String>>>()
        .map(|parts| parts.join("/"))
}
