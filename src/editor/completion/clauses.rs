//! The clauses of a step in a manual: which there are, and what each may name.

use super::CompletionKind::{Feature, Keyword, Need, Part, Tool, Value};
use super::draft::Draft;
use super::list::List;
use super::manual::{features, steps};
use super::manual_words::{CLAUSES, drafted, words};
use super::written::{Written, is_blank};
use super::{Completion, tools};
use crate::model::book::Book;
use crate::model::manual;

/// The words in front of steps, of features, and of others.
const BEFORE_STEPS: &[&str] = &["after", "then", "directly", "with", "before", "did"];
const BEFORE_FEATURES: &[&str] = &["disturbs", "reads", "until", "given", "expects"];
const BEFORE_OTHERS: &[&str] = &[
    "needs", "out", "in", "renews", "uses", "if", "of", "because", "also", "pattern", "found", "got",
];

/// Within the clauses of a step; `rest` is all of them, with the step's name in front where `named`.
pub(super) fn offers(book: &Book, rest: Written<'_>, named: bool) -> Vec<Completion> {
    let parted = rest.said.rfind(';').map(|at| rest.skip(at + 1).trimmed());
    let clause = parted.unwrap_or(rest);
    let all: Vec<&str> = [BEFORE_STEPS, BEFORE_FEATURES, BEFORE_OTHERS].concat();
    let Some((before, which, behind)) = clause.behind_last(&all) else {
        // The step's name, or a clause that begins: what has been typed of it is its last word, or all of it behind a `;`.
        let start = clause.said.rfind(is_blank).map_or(0, |at| at + 1);
        let start = if clause.said.is_char_boundary(start) {
            start
        } else {
            clause.said.len()
        };
        let is_name = named && parted.is_none();
        if is_name && start == 0 {
            let mut list = List::new(clause.typed());
            steps(&mut list, book);
            return list.done();
        }
        let item = if is_name { clause.skip(start) } else { clause };
        let mut list = List::new(item.typed_behind(rest));
        words(&mut list, CLAUSES);
        return list.done();
    };
    let word = all.get(which).copied().unwrap_or("");
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(rest));
    match word {
        "with" if !before.to_lowercase().ends_with("not") => {}
        "out" if !before.to_lowercase().ends_with("takes") => {}
        "in" if !before.to_lowercase().ends_with("puts") => {}
        word if BEFORE_STEPS.contains(&word) => {
            if word == "then" {
                list.add(
                    Keyword,
                    "directly",
                    "as the very next step",
                    drafted("directly …"),
                    String::new(),
                );
            }
            steps(&mut list, book);
        }
        word if BEFORE_FEATURES.contains(&word) => features(&mut list, book),
        "needs" => needs(&mut list, book, item.base),
        "out" | "in" | "renews" | "got" | "found" => {
            let all = book.procedures.iter().flat_map(|p| &p.steps);
            for part in all.flat_map(|s| s.takes_out.iter().chain(&s.puts_in).chain(&s.renews)) {
                list.word(Part, &part.name, "a part of another step");
            }
            for part in book.features.iter().flat_map(|f| &f.parts) {
                list.word(Part, &part.name, "a part of a feature");
            }
            if word == "found" {
                for decision in ["reuse", "watch", "repair", "machine", "replace"] {
                    list.word(Value, decision, "what was decided");
                }
            }
        }
        "uses" => tools::kinds(&mut list),
        "of" if before.to_lowercase().ends_with("rating") => {
            list.word(Tool, "press", "the tool of that name or kind");
            tools::kinds(&mut list);
        }
        "if" => {
            for (word, detail) in [
                ("did", "a step was done"),
                ("not did", "it was not"),
                ("found", "what was decided of a part"),
                ("got", "a part came"),
            ] {
                list.add(Keyword, word, detail, Draft::of(word).say(" ").stop(""), String::new());
            }
            for feature in &book.features {
                let draft = Draft::of(&feature.name.name).say(" ").stop("out");
                list.add(
                    Feature,
                    &feature.name.name,
                    "in, out or read",
                    draft,
                    format!("feature {}", feature.name.key),
                );
            }
        }
        _ => {}
    }
    list.done()
}

/// Precautions, then the ticks that other steps need.
fn needs(list: &mut List<'_>, book: &Book, here: usize) {
    for precaution in &book.precautions {
        let others = precaution.also.iter().map(String::as_str);
        let name = &precaution.name.name;
        let detail = format!("precaution: {}", precaution.because);
        list.add_named(
            Need,
            (name, others),
            detail,
            Draft::of(name),
            format!("need {}", precaution.name.key),
        );
    }
    for step in book.procedures.iter().flat_map(|p| &p.steps) {
        // What is being written is no name yet.
        let is_whole = |need: &&manual::Named| need.manual != 0 || need.span.start as usize != here;
        for need in step.needs.iter().filter(is_whole) {
            list.word(Need, &need.name, format!("needed by {}", step.name.name));
        }
    }
}
