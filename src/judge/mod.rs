//! Judges a job by its rules. Pure: a text and its manuals go in, findings come out; nothing here reads a file, a clock or an environment.

pub mod account;
mod ahead;
pub mod case;
pub mod choices;
pub mod costs;
mod decisions;
mod disturbance;
pub mod figures;
pub mod finals;
pub mod finding;
mod moves;
pub mod next;
pub mod offers;
pub mod open_work;
pub mod owed;
pub mod procedure;
pub(crate) mod rules;
pub mod slip;
pub mod standing;
pub mod steps_open;
pub mod traces;
pub mod truing;
mod weights;
pub mod words;

use std::sync::{Arc, OnceLock};

use rustc_hash::FxHashSet;

use crate::calc::{Rulebook, is_claim};
use crate::model::manual::Manual;
use crate::model::names::key;
use crate::model::{Job, lower_job};
use crate::quantity::Verdict;
use crate::syntax::ast::{LogTree, ManualTree, Statement, SyntaxError};
use crate::syntax::parse_log;
use crate::uncertainty::{Acceptance, Decision};

pub use crate::syntax::Source;
use case::Case;
pub use finding::{Edit, Example, Finding, Fix, Related, Rule, Severity, Tally};
pub use rules::head::Resolved;
pub use weights::Weights;

/// What a repository says for all its logs; a manual may say otherwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    /// By which rule figures are accepted.
    pub decide: Acceptance,
    /// What findings weigh.
    pub weights: Arc<Weights>,
}

/// Everything that is known of a log once it has been judged.
#[derive(Debug)]
pub struct Analysis {
    /// Its text.
    pub source: Arc<Source>,
    /// What was written.
    pub tree: LogTree,
    /// What it means.
    pub job: Job,
    /// What it was judged by.
    pub rules: Arc<Rulebook>,
    /// What the repository says for all its logs.
    pub settings: Settings,
    /// What is to be said of it: what is wrong by place, then what is still to do.
    pub findings: Vec<Finding>,
    /// What was judged, counted.
    pub tally: Tally,
    /// What the procedures in play ask of the order of steps, and what came of it.
    pub order: Vec<procedure::Verdict>,
    /// How each figure stands; worked out when it is first asked for.
    standings: OnceLock<standing::Standings>,
}

impl Analysis {
    /// The case once more, for whoever asks further questions of it.
    pub(crate) fn case(&self) -> Case<'_> {
        Case::new(&self.source, &self.tree, &self.job, &self.rules, self.settings.clone())
    }

    /// The same without what may take long; see [`Case::begun`].
    fn begun(&self) -> Case<'_> {
        Case::begun(&self.source, &self.tree, &self.job, &self.rules, self.settings.clone())
    }
}

/// Everything that is known of a manual once it has been read and judged by itself.
#[derive(Debug)]
pub struct ManualAnalysis {
    /// Its text.
    pub source: Arc<Source>,
    /// What was written.
    pub tree: ManualTree,
    /// The book in which it stands first, with all it extends.
    pub rules: Arc<Rulebook>,
    /// What is to be said of it.
    pub findings: Vec<Finding>,
}

/// Reads and judges a log. `resolve` finds the manuals by the names the log gives (none: the whole shelf, by what else it says); `errors` are those of
/// decoding the file.
pub fn judge_log(
    source: Arc<Source>,
    errors: Vec<SyntaxError>,
    resolve: impl FnOnce(&[String], &FxHashSet<String>) -> Resolved,
) -> Analysis {
    let tree = parse_log(&source.text);
    judge_tree(source, tree, errors, resolve)
}

/// The same of a text that has been read already: `tree` is the tree of `source`.
pub fn judge_tree(
    source: Arc<Source>,
    tree: LogTree,
    errors: Vec<SyntaxError>,
    resolve: impl FnOnce(&[String], &FxHashSet<String>) -> Resolved,
) -> Analysis {
    let names: Vec<String> = tree
        .entries
        .iter()
        .filter_map(|entry| match &entry.statement {
            Statement::Manual(name) => Some(name.text(&source.text).to_owned()),
            _ => None,
        })
        .collect();
    let said = if names.is_empty() {
        names_said(&tree, &source.text)
    } else {
        FxHashSet::default()
    };
    let resolved = resolve(&names, &said);
    let (job, problems) = lower_job(&tree, &source.text, &resolved.rules.book);
    let mut findings = Vec::new();
    rules::head::problems(errors, &mut findings);
    rules::head::problems(tree.errors.clone(), &mut findings);
    rules::head::problems(problems, &mut findings);
    rules::head::check(&job, &source.text, &resolved, &mut findings);
    let (tally, order) = {
        let case = Case::new(&source, &tree, &job, &resolved.rules, resolved.settings.clone());
        let counted = || (tally(&case), procedure::verdicts(&case));
        if rules::is_long(&case) {
            rayon::join(|| rules::check(&case, &mut findings), counted).1
        } else {
            rules::check(&case, &mut findings);
            counted()
        }
    };
    for finding in &mut findings {
        resolved.settings.weights.weigh(finding);
    }
    in_order(&mut findings);
    told_once(&mut findings);
    cut(&mut findings);
    Analysis {
        source,
        tree,
        job,
        rules: resolved.rules,
        settings: resolved.settings,
        findings,
        tally,
        order,
        standings: OnceLock::new(),
    }
}

/// The names of features and steps that a log says, as keys.
fn names_said(tree: &LogTree, text: &str) -> FxHashSet<String> {
    let said = tree.entries.iter().filter_map(|entry| match &entry.statement {
        Statement::Reading(reading) => Some(reading.subject.feature),
        Statement::Did(step, _) => Some(*step),
        _ => None,
    });
    said.map(|span| key(span.text(text)).into_owned()).collect()
}

/// Judges a manual by itself: what could not be read in it, and names it does not know. `rules` is the book in which it stands first.
pub fn judge_manual(
    own: &Manual,
    tree: &ManualTree,
    problems: Vec<SyntaxError>,
    rules: &Rulebook,
    errors: Vec<SyntaxError>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    rules::head::problems(errors, &mut findings);
    rules::head::problems(tree.errors.clone(), &mut findings);
    rules::head::problems(problems, &mut findings);
    let of_sums = rules
        .problems
        .iter()
        .filter(|(manual, _)| *manual == 0)
        .map(|(_, error)| error.clone())
        .collect();
    rules::head::problems(of_sums, &mut findings);
    rules::manuals::check(own, rules, &mut findings);
    in_order(&mut findings);
    cut(&mut findings);
    findings
}

/// The most findings that are told of one file.
pub const MOST_FINDINGS: usize = 50_000;

/// Leaves out what is beyond, the lightest first, and says so where the first of the gravest left out stood. Takes findings in order, and leaves them so. What is said weighs as
/// much as the gravest that is left out: no gate opens because there was too much.
fn cut(findings: &mut Vec<Finding>) {
    if findings.len() <= MOST_FINDINGS {
        return;
    }
    let all = findings.len();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    let left_out = findings.split_off(MOST_FINDINGS);
    let gravest = left_out.iter().map(|finding| finding.severity).max();
    let graver = left_out.iter().filter(|finding| Some(finding.severity) == gravest);
    let first = graver.min_by_key(|finding| finding.span.start);
    if let (Some(first), Some(gravest)) = (first, gravest) {
        let message = format!(
            "{all} things are found in this file; {} of them are not told, the gravest of those from here on",
            left_out.len()
        );
        findings.push(
            Finding::new("text.too-much", gravest, first.span, message)
                .label("the first that is left out")
                .help("see whether this is a log at all; else put right what is told, and look again"),
        );
    }
    in_order(findings);
}

/// What is wrong by place, then what is still to do; the weightier first at one place, then by code, so that the order never depends on anything else.
fn in_order(findings: &mut [Finding]) {
    let is_open = |finding: &Finding| finding.severity == Severity::Open;
    findings.sort_by(|a, b| {
        (is_open(a), a.span.start, b.severity, a.code, &a.message).cmp(&(
            is_open(b),
            b.span.start,
            a.severity,
            b.code,
            &b.message,
        ))
    });
}

/// The same slip seen in two ways, by its limit and by an earlier reading, is told once, with all it rests on; and so is what two clauses of a manual
/// say in the same words. Takes findings in order.
fn told_once(findings: &mut Vec<Finding>) {
    findings.dedup_by(|later, first| {
        let alike = later.code == first.code && later.span == first.span;
        let same = later.code == "reading.slip" || later.message == first.message;
        if !(alike && same) || later.fix != first.fix {
            return false;
        }
        for related in later.related.drain(..) {
            let is_known = first
                .related
                .iter()
                .any(|known| known.span == related.span && known.message == related.message);
            if !is_known {
                first.related.push(related);
            }
        }
        true
    });
}

/// Counts what was judged: every reading that is no claim, and derived figures.
fn tally(case: &Case<'_>) -> Tally {
    let mut tally = Tally::default();
    let mut count = |decision: Option<Decision>, is_history: bool| {
        let Some(Decision { verdict, is_close, .. }) = decision else {
            tally.unjudged += 1;
            return;
        };
        tally.judged += 1;
        tally.close += usize::from(is_close);
        match verdict {
            Verdict::In => tally.inside += 1,
            Verdict::Out => tally.out += 1,
            Verdict::NotProven => tally.not_proven += 1,
        }
        tally.history += usize::from(is_history && verdict != Verdict::In);
    };
    for (index, reading) in case.job.readings.iter().enumerate() {
        let Some(instance) = case.instance(reading) else {
            continue;
        };
        let derived = instance.feature.is_some_and(|f| case.is_derived(f));
        if reading.points.is_empty() || (derived && is_claim(reading)) {
            continue;
        }
        let is_latest = case.latest(instance).is_some_and(|(latest, _)| latest == index);
        count(case.decision(index), !is_latest || case.is_left(instance));
    }
    // What is only worked out ahead is a forecast, and no verdict.
    for figure in case.finals.iter().filter(|figure| !figure.is_forecast()) {
        if let Some(decision) = figure.decision {
            count(Some(decision), false);
        }
    }
    tally.corrected = (0..case.job.readings.len())
        .filter(|index| case.is_corrected(*index))
        .count();
    tally.stale = owed::stale_readings(case).count();
    tally.steps_open = procedure::in_play(case)
        .into_iter()
        .map(|(number, _)| rules::order::open_steps(case, number).count())
        .sum();
    tally
}

pub use figures::figures;
pub use traces::logged;

/// Every rule, for `gudgeon why`.
pub fn rules() -> Vec<&'static Rule> {
    rules::all().collect()
}
