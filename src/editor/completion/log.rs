//! Proposals in a log: which word the line begins with, and what is wanted there.

use super::facts::Facts;
use super::list::List;
use super::written::{Written, entry_above, is_blank};
use super::{Completion, CompletionKind, bench, costs, parts, steps, tools, value};
use crate::model::book::Book;
use crate::model::names::key;
use crate::model::stage::Stage;
use crate::quantity::unit;
use crate::syntax::ast::Statement;

/// What may stand where the cursor is.
pub(super) fn offers(facts: &Facts<'_>, written: Written<'_>) -> Vec<Completion> {
    let tree = &facts.log.tree;
    let width = |line: usize| {
        let line = tree.lines.get(line);
        line.map_or(0, |line| line.indent_width(facts.text()))
    };
    if let Some(entry) = entry_above(&tree.entries, &written, width) {
        return below(facts, &entry.statement, written);
    }
    let written = written.without_clock();
    if let Some(stage) = behind_date(written) {
        let mut list = List::new(stage.typed());
        stages(&mut list, facts);
        return list.done();
    }
    let Some((word, rest)) = written.first_word() else {
        return bench::offers(facts, written);
    };
    if is_reading(&word, rest.said) {
        return value::offers(facts, written);
    }
    match word.as_str() {
        "job" | "owner" | "by" | "note" | "hours" => Vec::new(),
        "machine" => names(
            rest,
            &facts.around.machines,
            CompletionKind::Value,
            "another job's machine",
        ),
        "photo" => names(rest, &facts.around.photos, CompletionKind::File, "beside the log"),
        "manual" => {
            let mut list = List::new(rest.typed());
            manuals(&mut list, &facts.around.manuals);
            list.done()
        }
        "procedure" => {
            let mut list = List::new(rest.typed());
            procedures(&mut list, &facts.log.rules.book);
            list.done()
        }
        "units" => {
            let item = rest.last_item();
            let mut list = List::new(item.typed_behind(rest));
            units(&mut list);
            list.done()
        }
        "tool" => tools::declared(facts, rest),
        "did" | "undid" => steps::offers(facts, &word, rest),
        "found" => parts::found(facts, rest),
        "option" | "cost" => costs::offers(facts, &word, rest),
        "ordered" | "got" | "waiting" | "chose" | "stock" => parts::offers(facts, &word, rest),
        "fix" => parts::fixes(facts, rest),
        "held" => tools::held(facts, rest),
        "checked" => tools::checked(facts, rest),
        "closed" => {
            let mut list = List::new(rest.typed());
            list.word(CompletionKind::Stage, &facts.around.today, "today");
            list.done()
        }
        _ => value::before(facts, written),
    }
}

/// Below an entry: more of what it says.
fn below(facts: &Facts<'_>, statement: &Statement, written: Written<'_>) -> Vec<Completion> {
    match statement {
        Statement::Did(name, details) | Statement::Undid(name, details) => {
            let own = written.base - written.indent;
            let said = details.iter().filter(|detail| (detail.span.start as usize) < own);
            let said: Vec<&str> = said.map(|detail| detail.span.text(facts.text())).collect();
            steps::details(facts, name.text(facts.text()), said, written)
        }
        Statement::Tool(_, details) => tools::tool_facts(facts, details, written),
        Statement::Reading(reading) => value::details(facts, reading.subject.feature.text(facts.text()), written),
        Statement::Found(..) => parts::conditions(written),
        Statement::Option(_, costs) => costs::more_items(facts, "option", costs, written),
        Statement::Cost(_, costs) => costs::more_items(facts, "cost", costs, written),
        _ => Vec::new(),
    }
}

/// Whether a line that begins with a word of the log is a reading all the same: it has a `=` that its own line would not have.
fn is_reading(word: &str, rest: &str) -> bool {
    match word {
        "fix" | "job" | "machine" | "owner" | "hours" | "units" | "note" => false,
        "did" | "undid" | "found" | "tool" => rest.trim_start_matches(is_blank).starts_with('='),
        _ => rest.contains('=') && !rest.contains(':'),
    }
}

/// What stands behind the date of a day line.
fn behind_date(written: Written<'_>) -> Option<Written<'_>> {
    let date = written.said.get(..10)?;
    let behind = written.said.get(10..)?;
    let mut lengths = date.split('-').map(str::len);
    let shape = [lengths.next(), lengths.next(), lengths.next(), lengths.next()];
    let is_date = shape == [Some(4), Some(2), Some(2), None] && date.bytes().all(|b| b == b'-' || b.is_ascii_digit());
    (is_date && behind.starts_with(|c: char| is_blank(c) || c == ':' || c == ',')).then(|| {
        let rest = written.skip(11).trimmed();
        rest.without_clock()
    })
}

/// The stages: those a log usually goes through next first, then those of its manuals.
pub(super) fn stages(list: &mut List<'_>, facts: &Facts<'_>) {
    for (stage, why) in facts.stages() {
        list.word(CompletionKind::Stage, &stage, why);
    }
    let of_limits = facts
        .log
        .rules
        .book
        .features
        .iter()
        .flat_map(|f| &f.limits)
        .map(|l| l.stage.as_str());
    let mut add = |stage: &str| {
        let is_service = Stage { key: stage.to_owned() }.is_service();
        let by = if is_service { "service limits" } else { "build limits" };
        list.word(CompletionKind::Stage, stage, format!("judged by the {by}"));
    };
    Stage::all().for_each(&mut add);
    of_limits.filter(|stage| !stage.is_empty()).for_each(add);
}

/// Names as they are.
fn names(rest: Written<'_>, names: &[String], kind: CompletionKind, detail: &str) -> Vec<Completion> {
    let mut list = List::new(rest.typed());
    for name in names {
        list.word(kind, name, detail);
    }
    list.done()
}

/// Manuals that may be named; where nobody says which there are, those of the shelf.
pub(super) fn manuals(list: &mut List<'_>, around: &[String]) {
    let shelf = crate::shelf::all();
    for name in around {
        let on_shelf = shelf.iter().find(|entry| key(entry.name) == key(name));
        list.add(
            CompletionKind::Manual,
            name,
            on_shelf.map_or("a manual of the workshop", |_| "on the shelf"),
            super::draft::Draft::of(name),
            format!("manual {name}"),
        );
    }
    for entry in shelf.iter().filter(|_| around.is_empty()) {
        list.add(
            CompletionKind::Manual,
            entry.name,
            "on the shelf",
            super::draft::Draft::of(entry.name),
            format!("manual {}", entry.name),
        );
    }
}

fn procedures(list: &mut List<'_>, book: &Book) {
    for procedure in &book.procedures {
        let first: Vec<&str> = procedure.steps.iter().take(3).map(|s| s.name.name.as_str()).collect();
        list.word(CompletionKind::Step, &procedure.name.name, first.join(", "));
    }
}

/// Units that a `units` line may set.
pub(super) fn units(list: &mut List<'_>) {
    list.word(
        CompletionKind::Keyword,
        "blades hundredths",
        "bare figures in go and no-go",
    );
    for unit in unit::all().filter(|unit| !unit.label().is_empty()) {
        list.add(
            CompletionKind::Unit,
            unit.label(),
            unit.dimension.name(),
            super::draft::Draft::of(unit.label()),
            format!("unit {}", unit.symbol),
        );
    }
}
