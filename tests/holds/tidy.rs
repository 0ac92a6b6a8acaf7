//! Laying out changes nothing but blanks: twice is once, the tree is the same, and the same is found before and after.

use gudgeon::judge::Finding;
use gudgeon::syntax::layout::tidy;
use gudgeon::syntax::{FileKind, Line, parse_log, parse_manual};

use super::{input, judged};

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let (manual, log) = input::manual_and_log(&text);

    let tidy_log = once(log, FileKind::Log);
    let (before, after) = (parse_log(log), parse_log(&tidy_log));
    assert_eq!(before.errors.len(), after.errors.len(), "{tidy_log}");
    assert_eq!(before.entries.len(), after.entries.len(), "{tidy_log}");
    for (before, after) in before.entries.iter().zip(&after.entries) {
        assert_eq!(kind(&before.statement), kind(&after.statement), "{tidy_log}");
    }
    assert_eq!(comments(&before.lines, log), comments(&after.lines, &tidy_log));

    let tidy_manual = once(manual, FileKind::Manual);
    let (before, after) = (parse_manual(manual), parse_manual(&tidy_manual));
    assert_eq!(before.errors.len(), after.errors.len(), "{tidy_manual}");
    assert_eq!(comments(&before.lines, manual), comments(&after.lines, &tidy_manual));

    let (library, tidied) = (judged::library_of(manual), judged::library_of(&tidy_manual));
    let said = |findings: &[Finding]| judged::all_words(findings).join("\n").to_lowercase();
    assert_eq!(
        said(&judged::log(log, &library).findings),
        said(&judged::log(&tidy_log, &tidied).findings)
    );
    assert_eq!(
        said(&judged::manual(manual, &library).findings),
        said(&judged::manual(&tidy_manual, &tidied).findings)
    );
}

/// A text laid out; laid out again, it is the same, and what is ink in it is what was ink before.
fn once(text: &str, kind: FileKind) -> String {
    let once = tidy(text, kind);
    assert_eq!(tidy(&once, kind), once, "laid out twice is not laid out once");
    assert_eq!(ink(&once), ink(text), "ink was lost or added");
    once
}

/// A text without blanks and line ends, and without colons, since the one behind a keyword is left out.
fn ink(text: &str) -> String {
    let blank = |c: char| matches!(c, ' ' | '\t' | '\u{A0}' | '\n' | '\r' | '\u{FEFF}' | ':');
    text.chars()
        .filter(|c| !blank(*c))
        .flat_map(char::to_lowercase)
        .collect()
}

/// The comments of a text, sorted.
fn comments<'t>(lines: &[Line], text: &'t str) -> Vec<&'t str> {
    let mut comments: Vec<&str> = lines.iter().map(|line| line.comment.text(text).trim_end()).collect();
    comments.retain(|comment| !comment.is_empty());
    comments.sort_unstable();
    comments
}

/// What a statement is, without its places.
fn kind(statement: &dyn std::fmt::Debug) -> String {
    let shown = format!("{statement:?}");
    let mut kind = String::new();
    let mut rest = shown.as_str();
    while let Some(at) = rest.find("Span {") {
        kind.push_str(&rest[..at]);
        rest = rest[at..].split_once('}').map_or("", |(_, rest)| rest);
    }
    kind + rest
}
