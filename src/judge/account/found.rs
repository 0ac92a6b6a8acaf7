//! What was looked at and decided, and figures that were mended.

use jiff::civil::Date;

use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{EventKind, Said};
use crate::syntax::ast::{FixTarget, Statement};

/// A part that was looked at.
#[derive(Clone, Debug)]
pub struct Inspection {
    /// The part, as written.
    pub part: String,
    /// Its line, from 1.
    pub line: usize,
    /// Its date.
    pub date: Option<Date>,
    /// What was seen.
    pub condition: String,
    /// What was decided: `reuse`, `repair`, `replace`; empty if nothing was.
    pub decision: String,
}

/// A figure that was mended by a later line.
#[derive(Clone, Debug)]
pub struct Correction {
    /// The line of the correction, from 1.
    pub line: usize,
    /// What was mended.
    pub what: String,
    /// As it stood.
    pub old: String,
    /// As it is to be read.
    pub new: String,
    /// Why; empty if nothing is said.
    pub reason: String,
}

/// What can be decided of a part, as it is written in logs.
const DECISIONS: &[&str] = &["reuse", "watch", "repair", "machine", "replace", "reject", "scrap"];

fn is_decision(said: &Said) -> bool {
    DECISIONS
        .iter()
        .any(|decision| said.key.split(' ').next() == Some(decision))
}

pub(super) fn inspections(case: &Case<'_>) -> Vec<Inspection> {
    let mut list = Vec::new();
    for (number, event) in case.job.events.iter().enumerate() {
        let EventKind::Found(part, said) = &event.kind else {
            continue;
        };
        let told = |wanted: bool| {
            let own = said.iter().filter(|said| is_decision(said) == wanted);
            let texts: Vec<String> = own.map(|said| words::fold(said.span.text(case.text()))).collect();
            texts.join(", ")
        };
        list.push(Inspection {
            part: words::fold(part.span.text(case.text())),
            line: case.line_of(number),
            date: case.job.date(number),
            condition: told(false),
            decision: told(true),
        });
    }
    list
}

pub(super) fn corrections(case: &Case<'_>) -> Vec<Correction> {
    let said = |span: crate::syntax::Span| words::fold(span.text(case.text()));
    let fixes = case.tree.entries.iter().filter_map(|entry| match &entry.statement {
        Statement::Fix {
            target,
            old,
            new,
            reason,
        } => Some(Correction {
            line: entry.line + 1,
            what: match &**target {
                FixTarget::Reading(subject) => said(subject.span()),
                FixTarget::Step(step, amount) => format!("{} of {}", said(*amount), said(*step)),
            },
            old: said(old.span),
            new: said(new.span),
            reason: reason.map_or_else(String::new, said),
        }),
        _ => None,
    });
    fixes.collect()
}
