//! The examples of the language reference run as tests.
//!
//! A manual block must be sound. A log block must be read without complaint; one marked `finds CODE …` is judged with the manual block above it
//! and must give just those codes.

mod support;

use std::path::Path;

use gudgeon::judge::Severity;
use gudgeon::workspace::{Kind, Library, inspect};
use support::{NOWHERE, judge, told};

const REFERENCE: &str = include_str!("../grammar/README.md");

struct Block<'a> {
    line: usize,
    language: &'a str,
    finds: Option<Vec<&'a str>>,
    text: String,
}

fn blocks() -> Vec<Block<'static>> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for (number, line) in REFERENCE.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(info), None) => {
                let mut words = info.split_whitespace();
                let language = words.next().unwrap_or("");
                let finds = (words.next() == Some("finds")).then(|| words.collect());
                open = Some(Block {
                    line: number + 1,
                    language,
                    finds,
                    text: String::new(),
                });
            }
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some(block)) => {
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, None) => {}
        }
    }
    blocks
}

#[test]
fn every_example_of_the_reference_says_what_it_is_said_to() {
    let mut manual = String::new();
    let (mut manuals, mut logs, mut judged) = (0, 0, 0);
    for block in blocks() {
        match (block.language, &block.finds) {
            ("manual", _) => {
                manuals += 1;
                let folder = Path::new(NOWHERE);
                let inspected = inspect(
                    "example.manual",
                    folder,
                    Kind::Manual,
                    block.text.clone().into_bytes(),
                    &Library::new(),
                );
                assert!(
                    inspected.findings.is_empty(),
                    "line {}:\n{}",
                    block.line,
                    told(&inspected)
                );
                manual = block.text;
            }
            ("rebuild", None) => {
                logs += 1;
                let inspected = judge("example.manual", &manual, &block.text);
                let families = [
                    "line.",
                    "text.",
                    "table.",
                    "fix.",
                    "unknown.unit",
                    "reading.wrong",
                    "reading.too",
                    "job.",
                    "day.",
                ];
                let unread: Vec<&str> = inspected
                    .findings
                    .iter()
                    .map(|f| f.code)
                    .filter(|code| families.iter().any(|family| code.starts_with(family)))
                    .collect();
                assert!(unread.is_empty(), "line {}:\n{}", block.line, told(&inspected));
            }
            ("rebuild", Some(expected)) => {
                judged += 1;
                let inspected = judge("example.manual", &manual, &block.text);
                let mut codes: Vec<&str> = inspected.findings.iter().map(|f| f.code).collect();
                codes.sort_unstable();
                let mut expected = expected.clone();
                expected.sort_unstable();
                assert_eq!(codes, expected, "line {}:\n{}", block.line, told(&inspected));
            }
            ("toml", _) => {
                let library = Library::new();
                library.give_settings("gudgeon.toml", &block.text);
                let log = b"job x\n".to_vec();
                let inspected = inspect("x.rebuild", Path::new(NOWHERE), Kind::Log, log, &library);
                assert!(
                    inspected.findings.is_empty(),
                    "line {}:\n{}",
                    block.line,
                    told(&inspected)
                );
            }
            _ => {}
        }
    }
    assert!(
        manuals >= 2 && logs >= 5 && judged >= 3,
        "the reference has lost its examples: {manuals} {logs} {judged}"
    );
}

#[test]
fn every_keyword_is_shown_in_the_reference() {
    let shown: Vec<String> = blocks().into_iter().map(|b| b.text).collect();
    let all = shown.join("\n");
    let first_words: Vec<&str> = all
        .lines()
        .filter_map(|line| {
            line.split_whitespace()
                .find(|word| !word.contains(':') || word.len() > 5)
        })
        .collect();
    for keyword in [
        "job",
        "machine",
        "owner",
        "by",
        "hours",
        "manual",
        "procedure",
        "units",
        "tool",
        "did",
        "found",
        "ordered",
        "got",
        "chose",
        "waiting",
        "fix",
        "held",
        "note",
        "photo",
        "closed",
        "source",
        "extends",
        "feature",
        "calc",
        "precaution",
        "step",
        "never",
        "nominal",
        "unit",
        "say",
        "required",
        "decide",
        "material",
        "alike",
        "because",
    ] {
        assert!(first_words.contains(&keyword), "`{keyword}` is not shown in an example");
    }
}

#[test]
fn a_reading_at_its_limit_is_in_and_severity_has_its_order() {
    assert!(
        Severity::Danger > Severity::Fault && Severity::Fault > Severity::Doubt && Severity::Doubt > Severity::Open
    );
    let manual = "manual m\nsource page 1\nfeature run-out\n  build up to 0.03 mm\n";
    let inspected = judge(
        "m.manual",
        manual,
        "job x\nmanual m\n2026-03-14 build\nrun-out = 0.03 mm\n",
    );
    assert_eq!(inspected.tally.inside, 1, "{}", told(&inspected));
}

/// The first log and the first manual of the README do what the README says of them.
#[test]
fn the_readme_keeps_its_word() {
    let readme = include_str!("../README.md");
    let block = |begins: &str| {
        let start = readme
            .find(begins)
            .unwrap_or_else(|| panic!("the README has lost `{begins}`"));
        let rest = &readme[start..];
        rest[..rest.find("```").unwrap_or(rest.len())].to_owned()
    };
    let (log, manual) = (block("job      bottom end"), block("manual   Tarn 250"));
    let first = judge("", "", &log);
    assert_eq!(
        first.findings.first().map(|f| f.code),
        Some("danger.precaution"),
        "{}",
        told(&first)
    );
    let folder = Path::new(NOWHERE);
    let own = inspect(
        "tarn-250.manual",
        folder,
        Kind::Manual,
        manual.clone().into_bytes(),
        &Library::new(),
    );
    assert!(own.findings.is_empty(), "{}", told(&own));
    let named = judge(
        "tarn-250.manual",
        &manual,
        &log.replace("hours    312", "hours    312\nmanual   tarn-250"),
    );
    assert!(
        named.findings.iter().all(|f| f.code != "unknown.manual"),
        "{}",
        told(&named)
    );
    assert_eq!(named.tally.inside, 1);
}
