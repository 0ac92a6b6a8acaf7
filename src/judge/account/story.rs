//! What happened, day by day, in the log's own words.

use rustc_hash::FxHashMap;

use super::fits::Fit;
use crate::judge::case::Case;
use crate::judge::finding::Finding;
use crate::judge::words;
use crate::quantity::Verdict;
use crate::syntax::Span;
use crate::syntax::ast::{Entry, Statement};

/// A day of the job.
#[derive(Debug)]
pub struct Day {
    /// The date as written; empty before the first.
    pub written: String,
    /// Its stage; empty where none is named.
    pub stage: String,
    /// What happened, in order.
    pub told: Vec<Told>,
}

/// One line of the log, with what is said of it.
#[derive(Debug)]
pub struct Told {
    /// Its number, from 1.
    pub line: usize,
    /// The time of day in front of it.
    pub clock: Option<String>,
    /// What kind of line it is.
    pub kind: ToldKind,
    /// What it says, without its first word where the kind says that already, and without its comment.
    pub text: String,
    /// For a reading, the worst verdict of its figures, and whether the latest of them were overtaken.
    pub verdict: Option<Verdict>,
    /// Whether the reading was overtaken by a later step and not taken again.
    pub is_stale: bool,
    /// Whether a later line mends or undoes it.
    pub is_mended: bool,
    /// What is found on it: indices into the analysis' findings.
    pub findings: Vec<usize>,
}

/// The kinds of line that an account tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum ToldKind {
    Read,
    Did,
    Undid,
    Found,
    Ordered,
    Got,
    Waiting,
    Stock,
    Option,
    Cost,
    Chose,
    Fix,
    Held,
    Checked,
    Note,
    Photo,
    Meter,
    Closed,
    Unread,
}

/// The days of a log. What stands in the head is told there, and not here.
pub(super) fn days(case: &Case<'_>, findings: &[Finding], fits: &[Fit]) -> Vec<Day> {
    let found = by_line(case, findings);
    let readings = verdicts(case, fits);
    let undone: FxHashMap<usize, bool> = case
        .done
        .iter()
        .map(|(event, done)| (case.line_of(*event), done.is_undone()))
        .collect();
    let mut days: Vec<Day> = Vec::new();
    for entry in &case.tree.entries {
        if let Statement::Day { date, stage } = &entry.statement {
            let written = words::fold(date.text(case.text()));
            days.push(Day {
                written,
                stage: stage.map_or_else(String::new, |stage| words::fold(stage.text(case.text()))),
                told: Vec::new(),
            });
            continue;
        }
        let Some((kind, text)) = said(case, entry) else {
            continue;
        };
        // What the meter showed at first stands in the head.
        if kind == ToldKind::Meter && days.is_empty() {
            continue;
        }
        let line = entry.line + 1;
        let own = readings.get(&line);
        let told = Told {
            line,
            clock: entry.clock.map(|clock| words::fold(clock.text(case.text()))),
            kind,
            text,
            verdict: own.and_then(|own| own.verdict),
            is_stale: own.is_some_and(|own| own.is_stale),
            is_mended: own.is_some_and(|own| own.is_mended) || undone.get(&line).copied().unwrap_or(false),
            findings: (line..line + entry.lines.max(1))
                .filter_map(|line| found.get(&line))
                .flatten()
                .copied()
                .collect(),
        };
        match days.last_mut() {
            Some(day) => day.told.push(told),
            None => days.push(Day {
                written: String::new(),
                stage: String::new(),
                told: vec![told],
            }),
        }
    }
    days
}

fn by_line(case: &Case<'_>, findings: &[Finding]) -> FxHashMap<usize, Vec<usize>> {
    let mut found: FxHashMap<usize, Vec<usize>> = FxHashMap::default();
    for (number, finding) in findings.iter().enumerate() {
        let line = case.source.lines.line_of(finding.span.start) + 1;
        found.entry(line).or_default().push(number);
    }
    found
}

/// What came of the readings of a line.
#[derive(Default)]
struct OfLine {
    verdict: Option<Verdict>,
    is_stale: bool,
    is_mended: bool,
}

fn verdicts(case: &Case<'_>, fits: &[Fit]) -> FxHashMap<usize, OfLine> {
    let mut lines: FxHashMap<usize, OfLine> = FxHashMap::default();
    let weight = |verdict: Verdict| match verdict {
        Verdict::In => 0,
        Verdict::NotProven => 1,
        Verdict::Out => 2,
    };
    for look in fits.iter().filter(|fit| !fit.is_derived).flat_map(|fit| &fit.looks) {
        let event = look
            .reading
            .and_then(|index| case.job.readings.get(index))
            .map(|reading| reading.event);
        let Some(event) = event else { continue };
        let own = lines.entry(case.line_of(event)).or_default();
        own.verdict = [own.verdict, look.verdict()]
            .into_iter()
            .flatten()
            .max_by_key(|verdict| weight(*verdict));
        own.is_stale |= look.stale_by.is_some();
        own.is_mended |= look.was.is_some();
    }
    lines
}

/// What kind of line an entry is, and what it says; `None` for what stands in the head.
fn said(case: &Case<'_>, entry: &Entry) -> Option<(ToldKind, String)> {
    let kind = match &entry.statement {
        Statement::Reading(_) => ToldKind::Read,
        Statement::Did(..) => ToldKind::Did,
        Statement::Undid(..) => ToldKind::Undid,
        Statement::Found(..) => ToldKind::Found,
        Statement::Ordered(..) => ToldKind::Ordered,
        Statement::Got(..) => ToldKind::Got,
        Statement::Waiting(..) => ToldKind::Waiting,
        Statement::Stock(..) => ToldKind::Stock,
        Statement::Option(..) => ToldKind::Option,
        Statement::Cost(..) => ToldKind::Cost,
        Statement::Chose(..) => ToldKind::Chose,
        Statement::Fix { .. } | Statement::Amend(..) => ToldKind::Fix,
        Statement::Held(_) => ToldKind::Held,
        Statement::Checked(..) => ToldKind::Checked,
        Statement::Note(_) => ToldKind::Note,
        Statement::Photo(_) => ToldKind::Photo,
        Statement::Hours(_) => ToldKind::Meter,
        Statement::Closed(_) => ToldKind::Closed,
        Statement::Unread => ToldKind::Unread,
        Statement::Head(..) | Statement::Manual(_) | Statement::Procedure(_) | Statement::Units(_) => return None,
        Statement::Tool(..) | Statement::Day { .. } => return None,
    };
    let whole = whole(case, entry);
    Some((kind, without(&whole, first_word(kind)).to_owned()))
}

/// The word that a kind of line begins with; empty where it begins with a name. Plain prose has none.
fn first_word(kind: ToldKind) -> &'static str {
    match kind {
        ToldKind::Read | ToldKind::Unread => "",
        ToldKind::Did => "did",
        ToldKind::Undid => "undid",
        ToldKind::Found => "found",
        ToldKind::Ordered => "ordered",
        ToldKind::Got => "got",
        ToldKind::Waiting => "waiting",
        ToldKind::Stock => "stock",
        ToldKind::Option => "option",
        ToldKind::Cost => "cost",
        ToldKind::Chose => "chose",
        ToldKind::Fix => "fix",
        ToldKind::Held => "held",
        ToldKind::Checked => "checked",
        ToldKind::Note => "note",
        ToldKind::Photo => "photo",
        ToldKind::Meter => "hours",
        ToldKind::Closed => "closed",
    }
}

/// A text without the word it begins with, where it does.
fn without<'t>(text: &'t str, word: &str) -> &'t str {
    let begins = text
        .get(..word.len())
        .is_some_and(|head| head.eq_ignore_ascii_case(word));
    let rest = text.get(word.len()..).filter(|_| begins);
    match rest {
        Some(rest) if rest.is_empty() || rest.starts_with([' ', ':']) => rest.trim_start_matches([' ', ':']),
        _ => text,
    }
}

/// All of an entry without comments: its own line, and those that belong to it; but not the rows of a table, which is shown as one.
fn whole(case: &Case<'_>, entry: &Entry) -> String {
    let own = match entry.clock {
        Some(clock) => Span {
            start: clock.end,
            end: entry.span.end.max(clock.end),
        },
        None => entry.span,
    };
    let mut text = words::fold(own.text(case.text()));
    let is_table = matches!(&entry.statement, Statement::Reading(reading) if !reading.table.rows.is_empty());
    let more = case
        .tree
        .lines
        .iter()
        .skip(entry.line + 1)
        .take(entry.lines.saturating_sub(1));
    for line in more.filter(|_| !is_table) {
        let next = words::fold(line.content.text(case.text()));
        if !next.is_empty() {
            text.push_str(if matches!(entry.statement, Statement::Note(_)) {
                " "
            } else {
                ", "
            });
            text.push_str(&next);
        }
    }
    text
}
