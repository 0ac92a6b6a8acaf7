//! A step: what keeps people from harm first, then its order, what its line must say, and what it moves.

use rust_decimal::Decimal;

use super::card::{Card, code, plain};
use super::history::when;
use super::manual_name;
use super::sum::is_beyond;
use crate::judge::case::Case;
use crate::judge::words;
use crate::model::Book;
use crate::model::book::StepId;
use crate::model::job::{Done, SaidKind};
use crate::model::manual::{BoundKind, Condition, Named, Never, NeverWhen, Precaution, Step, Target};
use crate::model::names::{named, names_thing};
use crate::quantity::Unit;

/// What every step that can hurt ends with.
pub(super) const DEFER: &str = "the machine's workshop manual, local codes and licensed practice come first";

/// A step as it was done in a log.
#[derive(Clone, Copy)]
pub(super) struct AsDone<'c> {
    /// The case.
    pub(super) case: &'c Case<'c>,
    /// Its line.
    pub(super) done: &'c Done,
}

/// A step that a manual knows; with what a log says of it, where it was done.
pub(super) fn card(book: &Book, id: StepId, done: Option<AsDone<'_>>) -> Option<Card> {
    let step = book.step(id)?;
    let procedure = book.procedures.get(id.procedure)?;
    let mut card = Card::new(format!(
        "**{}**, a step of {} ({})",
        code(&step.name.name),
        code(&procedure.name.name),
        manual_name(book, step.manual)
    ));
    let mut can_hurt = false;
    // What keeps people from harm stands first.
    for need in &step.needs {
        if let Some(precaution) = precaution_of(book, need) {
            can_hurt = true;
            let said = done.map_or("", |done| {
                if says(done, book, need) {
                    ", said"
                } else {
                    ", **not said**"
                }
            });
            card.fact(format!(
                "caution: {}{said}; {}",
                code(&need.name),
                plain(&precaution.because)
            ));
        }
    }
    let is_it = |named: &Named| book.step_id(&named.key) == Some(id);
    for never in book
        .procedures
        .iter()
        .flat_map(|p| &p.nevers)
        .filter(|n| is_it(&n.step))
    {
        can_hurt = true;
        card.fact(format!("**never** {}", never_words(never)));
    }
    if can_hurt {
        card.fact(DEFER);
    }
    if let Some(done) = done {
        card.fact(times(done.case, id));
    }
    let case = done.map(|done| done.case);
    order(book, step, case, &mut card);
    for need in step.needs.iter().filter(|need| precaution_of(book, need).is_none()) {
        let said = done.map_or("", |done| {
            if says(done, book, need) {
                ", said"
            } else {
                ", **not said**"
            }
        });
        card.fact(format!("needs {}{said}", code(&need.name)));
    }
    bounds(step, done, &mut card);
    for need in &step.uses {
        card.fact(used(need, case));
    }
    for part in &step.renews {
        card.fact(format!("new each time: {}", code(&part.name)));
    }
    for (word, list) in [("counts out", &step.takes_out), ("counts in", &step.puts_in)] {
        if !list.is_empty() {
            card.fact(format!("{word}: {}", names(list)));
        }
    }
    for (word, list) in [
        ("disturbs", &step.disturbs),
        ("reads", &step.reads),
        ("repeated until in limit:", &step.until),
        ("given in limit:", &step.given),
        ("look before at", &step.expects),
    ] {
        if !list.is_empty() {
            card.fact(format!("{word} {}", targets(book, list)));
        }
    }
    if step.optional {
        card.fact("need not be done");
    }
    if step.once {
        card.fact("not done twice");
    }
    Some(card)
}

/// The precaution that a need is, under any of its alternatives.
pub(super) fn precaution_of<'b>(book: &'b Book, need: &Named) -> Option<&'b Precaution> {
    need.key.split(" or ").find_map(|name| book.precaution(name))
}

/// Whether a step's line says what is needed, under any of its names; as the judge asks it.
pub(super) fn says(done: AsDone<'_>, book: &Book, need: &Named) -> bool {
    let mut names: Vec<&str> = need.key.split(" or ").collect();
    let precautions: Vec<&Precaution> = names.iter().filter_map(|name| book.precaution(name)).collect();
    for precaution in precautions {
        names.push(&precaution.name.key);
        names.extend(precaution.also.iter().map(String::as_str));
    }
    let is_amount = done
        .done
        .said
        .iter()
        .any(|said| matches!(&said.kind, SaidKind::Amount(amount) if names.contains(&amount.name.as_str())));
    is_amount || done.case.says_any(done.done, &names)
}

fn never_words(never: &Never) -> String {
    let ticks = if never.ticks.is_empty() {
        String::new()
    } else {
        format!(" with {}", code(&never.ticks.join(", ")))
    };
    let when = match &never.when {
        NeverWhen::Ever => String::new(),
        NeverWhen::Before(other) => format!(" before {}", code(&other.name)),
        NeverWhen::After(other) => format!(" after {}", code(&other.name)),
    };
    let only_if = if never.only_if.is_empty() {
        String::new()
    } else {
        format!(" if {}", conditions(&never.only_if))
    };
    format!(
        "{}{ticks}{when}{only_if}: {}",
        code(&never.step.name),
        plain(&never.because)
    )
}

/// When it was done, by the lines of the log.
fn times(case: &Case<'_>, id: StepId) -> String {
    let all: Vec<String> = case
        .done
        .iter()
        .filter(|(_, done)| done.step == Some(id))
        .map(|(event, done)| {
            let undone = done.undone.map_or_else(String::new, |undone| {
                format!(", undone on line {}", case.line_of(undone.at))
            });
            format!("line {} on {}{undone}", case.line_of(*event), when(case, *event))
        })
        .collect();
    match all.as_slice() {
        [] => "not done yet".to_owned(),
        [one] => format!("done: {one}"),
        [.., last] => format!("done {} times, last {last}", all.len()),
    }
}

/// What it comes before and after, with the lines where that was done.
fn order(book: &Book, step: &Step, case: Option<&Case<'_>>, card: &mut Card) {
    for (word, list) in [
        ("after", &step.after),
        ("directly after", &step.directly_after),
        ("then", &step.then),
        ("then directly", &step.then_directly),
        ("not with", &step.not_with),
    ] {
        if !list.is_empty() {
            let told: Vec<String> = list.iter().map(|name| step_state(book, name, case)).collect();
            card.fact(format!("{word} {}", told.join(", ")));
        }
    }
    for wait in &step.waits {
        let least = if wait.is_least { "at least" } else { "within" };
        card.fact(format!(
            "{least} {} after {}",
            words::figure(wait.time, Some(wait.unit)),
            step_state(book, &wait.after, case)
        ));
    }
    for (word, list) in [("owed only if", &step.owed_if), ("allowed only if", &step.only_if)] {
        if !list.is_empty() {
            card.fact(format!("{word} {}", conditions(list)));
        }
    }
}

/// A step's name with the line on which it was done.
fn step_state(book: &Book, name: &Named, case: Option<&Case<'_>>) -> String {
    let Some(case) = case else { return code(&name.name) };
    let id = book.step_id(&name.key);
    let at = id.and_then(|id| case.course.last(id));
    let reads = id
        .and_then(|id| book.step(id))
        .is_some_and(|step| !step.reads.is_empty());
    match at {
        Some(event) => format!("{} (line {})", code(&name.name), case.line_of(event)),
        // Of a step of measuring the readings are the evidence.
        None if reads => format!("{} (readings)", code(&name.name)),
        None => format!("{} (not yet)", code(&name.name)),
    }
}

/// What bounds its amounts, with what was said.
fn bounds(step: &Step, done: Option<AsDone<'_>>, card: &mut Card) {
    for bound in &step.bounds {
        let said = done.and_then(|done| {
            done.done.said.iter().find_map(|said| match &said.kind {
                SaidKind::Amount(amount) if amount.name == bound.name => Some(amount),
                _ => None,
            })
        });
        let said_words = match (done, said) {
            (None, _) => String::new(),
            (Some(_), None) => ", not said".to_owned(),
            (Some(_), Some(amount)) => {
                let beyond = matches!(&bound.bound, BoundKind::Limit(limit) if is_beyond(&amount.band, &limit.band));
                let beyond = if beyond { ", **outside it**" } else { "" };
                format!(", said {}{beyond}", words::figure(amount.last, amount.unit))
            }
        };
        card.fact(match &bound.bound {
            BoundKind::Limit(limit) => format!("{} {}{said_words}", plain(&bound.name), limit.words()),
            BoundKind::RatingOf(tool) => {
                let rated = done.and_then(|done| rating(done.case, &tool.key));
                let rated = rated.map_or_else(String::new, |(rating, unit)| {
                    format!(" ({})", words::figure(rating, Some(unit)))
                });
                format!(
                    "{} up to the rating of {}{rated}{said_words}",
                    plain(&bound.name),
                    code(&tool.name)
                )
            }
        });
    }
}

/// The least rating of the tools of a log that are called so, or are of that kind.
fn rating(case: &Case<'_>, key: &str) -> Option<(Decimal, &'static Unit)> {
    let named = case
        .job
        .tools
        .iter()
        .filter(|tool| tool.name.key == key || names_thing(&tool.kind, key));
    named.filter_map(|tool| tool.rated).min_by_key(|(rating, _)| *rating)
}

fn used(need: &crate::model::manual::ToolNeed, case: Option<&Case<'_>>) -> String {
    let rated = need.rated.map_or_else(String::new, |(rating, unit)| {
        format!(" rated for at least {}", words::figure(rating, Some(unit)))
    });
    let own = case.and_then(|case| rating(case, &need.kind.key));
    let own = own.map_or_else(String::new, |(rating, unit)| {
        format!("; the log's is rated {}", words::figure(rating, Some(unit)))
    });
    format!("with a {}{rated}{own}", code(&need.kind.name))
}

pub(super) fn conditions(list: &[Condition]) -> String {
    let words: Vec<String> = list.iter().map(|condition| code(&condition.words)).collect();
    words.join(" and ")
}

/// Names, each as code.
pub(super) fn names(list: &[Named]) -> String {
    let names: Vec<String> = list.iter().map(|name| code(&name.name)).collect();
    names.join(", ")
}

/// Features with their parts and places, by the names their manual has for them.
pub(super) fn targets(book: &Book, list: &[Target]) -> String {
    let mut told: Vec<String> = Vec::new();
    for target in list {
        let feature = book.feature(&target.feature).and_then(|id| book.features.get(id));
        let name = feature.map_or(target.feature.as_str(), |feature| feature.name.name.as_str());
        let name = code(&named(name, target.part.as_deref(), target.place.as_deref()));
        if !told.contains(&name) {
            told.push(name);
        }
    }
    told.join(", ")
}

/// A step that no manual knows.
pub(super) fn unknown(name: &str) -> Card {
    let mut card = Card::new(format!("**{}**", code(name)));
    card.fact("no manual of this job knows this step: nothing follows from it");
    card
}
