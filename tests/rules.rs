//! Every rule is judged by its own two examples: the one fires exactly that finding, the other gives none of it.

mod support;

use std::path::Path;

use gudgeon::judge::rules;
use gudgeon::workspace::{Inspected, Kind, Library, inspect};
use support::{NOWHERE, judge, told};

fn judged(manual: &str, log: &str) -> Inspected {
    judge("m.manual", manual, log)
}

fn inspected_manual(manual: &str) -> Inspected {
    let library = Library::new();
    inspect(
        "m.manual",
        Path::new(NOWHERE),
        Kind::Manual,
        manual.as_bytes().to_vec(),
        &library,
    )
}

fn codes(inspected: &Inspected) -> Vec<&'static str> {
    let mut codes: Vec<&str> = inspected.findings.iter().map(|f| f.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

/// Rules whose examples are manuals.
fn is_of_manuals(rule: &gudgeon::judge::Rule) -> bool {
    rule.severity.ends_with("in the manual")
}

#[test]
fn the_first_example_of_a_rule_gives_that_finding_and_no_other() {
    for rule in rules() {
        // A Rust string holds neither bad bytes, nor 16 KiB of text, nor files beside it, nor so much; tests/cli.rs and tests/hostile.rs have those.
        let elsewhere = [
            "text.not-utf8",
            "text.long-line",
            "text.too-much",
            "settings.invalid",
            "manual.chain",
        ];
        if elsewhere.contains(&rule.code) {
            continue;
        }
        let inspected = if is_of_manuals(rule) {
            inspected_manual(rule.fires.manual)
        } else {
            judged(rule.fires.manual, rule.fires.log)
        };
        assert_eq!(codes(&inspected), [rule.code], "{}:\n{}", rule.code, told(&inspected));
    }
}

#[test]
fn the_second_example_of_a_rule_gives_no_finding() {
    for rule in rules() {
        let inspected = if is_of_manuals(rule) {
            inspected_manual(rule.clean.manual)
        } else {
            judged(rule.clean.manual, rule.clean.log)
        };
        // A finished example may still have steps or parts open; what it must not have is anything wrong.
        assert_eq!(
            codes(&inspected),
            Vec::<&str>::new(),
            "{}:\n{}",
            rule.code,
            told(&inspected)
        );
    }
}

#[test]
fn every_rule_says_what_it_is_and_none_is_listed_twice() {
    let all = rules();
    for (number, rule) in all.iter().enumerate() {
        assert!(
            all[..number].iter().all(|other| other.code != rule.code),
            "{} is listed twice",
            rule.code
        );
        assert!(rule.says.ends_with('.') && rule.why.ends_with('.'), "{}", rule.code);
        assert!(!rule.source.is_empty(), "{} has no source", rule.code);
        let words = format!("{} {}", rule.says, rule.why).to_lowercase();
        assert!(!words.contains("safe"), "{} says safe", rule.code);
    }
}

/// The page of all rules is the one of the code; written anew with `cargo run -- why --page > grammar/RULES.md`.
#[test]
fn the_page_of_rules_is_up_to_date() {
    let page = gudgeon::report::rules::page(&rules());
    let on_disk = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/grammar/RULES.md")).unwrap_or_default();
    assert!(
        on_disk == page,
        "grammar/RULES.md: run `cargo run -- why --page > grammar/RULES.md`"
    );
}
