//! A log that is edited, and read again only where the edits reach, is what reading and judging all of it gives.
//!
//! The first part of an input is the log; each line of the second is an edit, `AT LENGTH TEXT`, where `\n`, `\r` and `\t` in the text stand for what they stand
//! for elsewhere.

use std::path::Path;
use std::sync::Arc;

use gudgeon::editor::glance::{Judged, glance};
use gudgeon::judge::{judge_log, judge_tree};
use gudgeon::syntax::{LineIndex, Source, Span, parse_log, reparse_log};
use gudgeon::workspace::Library;

use super::{input, judged};

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let parts = input::parts(&text);
    let [log, edits, ..] = parts.as_slice() else { return };
    let library = judged::library(&[]);
    let mut old = (*log).to_owned();
    let mut tree = parse_log(&old);
    let mut lines = LineIndex::new(&old);
    let judged = Judged::of(&judged::analysis(&old, &library));
    for (span, typed) in edits.lines().take(12).map(edit) {
        let span = within(span, &old);
        let mut new = old.clone();
        new.replace_range(span.range(), &typed);

        lines.edited(&new, span, typed.len());
        assert_eq!(
            format!("{lines:?}"),
            format!("{:?}", LineIndex::new(&new)),
            "{old:?} -> {new:?}"
        );

        tree = reparse_log(tree, &old, &new);
        let whole = parse_log(&new);
        assert_eq!(tree.lines, whole.lines, "{old:?} -> {new:?}");
        assert_eq!(tree.entries, whole.entries, "{old:?} -> {new:?}");
        assert_eq!(tree.errors, whole.errors, "{old:?} -> {new:?}");
        old = new;
    }
    let now = Arc::new(Source::new("x.rebuild", old));
    let resolve =
        |library: &Library, names: &[String], said: &_| library.resolve_for(Path::new(judged::NOWHERE), names, said);
    let again = judge_tree(Arc::clone(&now), tree, Vec::new(), |names, said| {
        resolve(&library, names, said)
    });
    let whole = judge_log(Arc::clone(&now), Vec::new(), |names, said| {
        resolve(&library, names, said)
    });
    assert_eq!(judged::all(&again.findings), judged::all(&whole.findings));
    assert_eq!(again.tally, whole.tally);

    for finding in glance(&judged, &now).unwrap_or_default() {
        assert!(
            now.text.get(finding.span.range()).is_some(),
            "{}",
            judged::whole(&finding)
        );
    }
}

/// An edit from its line.
fn edit(line: &str) -> ((usize, usize), String) {
    let mut words = line.splitn(3, ' ');
    let mut number = || words.next().and_then(|word| word.parse::<u32>().ok()).unwrap_or(0) as usize;
    let (at, length) = (number(), number());
    let typed = words.next().unwrap_or("");
    let typed = typed.replace("\\n", "\n").replace("\\r", "\r").replace("\\t", "\t");
    ((at, length), typed)
}

/// The span that an edit means in a text: inside it, on the boundaries of characters.
fn within((at, length): (usize, usize), text: &str) -> Span {
    let boundary = |mut at: usize| {
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = boundary(at % (text.len() + 1));
    let end = boundary((start + length % 4096).min(text.len()));
    Span::new(start, end)
}
