//! What is to be done next in a job: what to stop for, what to put right, read again, wait for and order, and which steps the procedures allow now. It is
//! what is opened after five months of waiting for a part.

use rust_decimal::Decimal;

use super::case::Case;
use super::finding::{Finding, Severity};
use super::owed::stale_readings;
use super::procedure::in_play;
use super::steps_open::{allowed, goes_with, steps_open, still_moved};
use super::{Analysis, ahead, costs, words};
use crate::model::job::EventKind;
use crate::model::manual::{Procedure, Step};
use crate::model::names::names_thing;
use crate::quantity::Verdict;
use crate::syntax::Span;

/// What kind of thing is to be done. The order is that in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A danger: before anything else.
    Stop,
    /// Something wrong in the record, or out of limit.
    PutRight,
    /// A part that was ordered and has not come.
    WaitFor,
    /// A part that is wanted and was not ordered.
    Order,
    /// Something to choose: a part, a piece of a stock, a way to go.
    Choose,
    /// A reading that a step has overtaken.
    ReadAgain,
    /// A reading that is owed.
    Read,
    /// A crank to true: where to strike, what to wedge.
    TrueUp,
    /// A step that may be done now.
    Do,
    /// A step that something else comes before.
    DoLater,
    /// A reading that a step has overtaken, and that another which is still to be done will move again.
    ReadLater,
    /// A step that may be done, and need not.
    MayDo,
    /// Figures worked out ahead, which no step asks for.
    Know,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Todo {
    /// What kind of thing.
    pub kind: Kind,
    /// What: a step, a reading, a part, or the message of a finding.
    pub what: String,
    /// Why, or why not yet; may be empty.
    pub why: String,
    /// What goes with it: what the step needs, or what to do about a finding; may be empty.
    pub with: String,
    /// What is to be expected of it, what else there is to choose from, what else is known: a sentence each.
    pub more: Vec<String>,
    /// What there is to choose from.
    pub options: Vec<Offered>,
    /// The line of the log it comes from.
    pub span: Option<Span>,
}

impl Todo {
    /// A thing to do, with nothing more said.
    pub fn new(kind: Kind, what: String) -> Todo {
        Todo {
            kind,
            what,
            why: String::new(),
            with: String::new(),
            more: Vec::new(),
            options: Vec::new(),
            span: None,
        }
    }
}

/// One of several to choose from. Figures are in `unit`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// Its name: a part, a size, a way to go.
    pub name: String,
    /// What comes out with it: the figure, or the price.
    pub comes_to: Option<Decimal>,
    /// The least it may be.
    pub low: Option<Decimal>,
    /// The greatest it may be.
    pub high: Option<Decimal>,
    /// The unit.
    pub unit: String,
    /// The verdict by the limit.
    pub verdict: Option<Verdict>,
    /// Whether it is the one to take.
    pub is_taken: bool,
}

/// Everything that is to be done, the most pressing first; steps in the order their procedure allows.
pub fn next(analysis: &Analysis) -> Vec<Todo> {
    let case = analysis.case();
    let mut list: Vec<Todo> = analysis
        .findings
        .iter()
        .filter_map(|finding| of_finding(&case, finding))
        .collect();
    for (instance, reading, overtaker) in stale_readings(&case) {
        let name = words::subject(&case, instance);
        let why = format!(
            "`{}` on line {} came after the reading on line {}",
            step_at(&case, overtaker),
            case.line_of(overtaker),
            case.line_of(reading.event)
        );
        let mover = instance.feature.and_then(|feature| still_moved(&case, feature));
        list.push(Todo {
            kind: if mover.is_some() {
                Kind::ReadLater
            } else {
                Kind::ReadAgain
            },
            why: match mover {
                Some(step) => format!("{why}; once `{step}` is done, which moves it again"),
                None => why,
            },
            with: format!("`{} = …`", words::target(&case, instance)),
            span: Some(case.event_span(overtaker)),
            ..Todo::new(Kind::ReadAgain, name)
        });
    }
    sums_to_come(&case, &mut list);
    // What is closed has nothing left to do but what is wrong in it.
    if !case.is_closed() {
        list.extend(ahead::todos(&case));
        for (number, procedure) in in_play(&case) {
            steps(&case, number, procedure, &mut list);
        }
    }
    list.sort_by_key(|todo| todo.kind);
    list
}

fn step_at(case: &Case<'_>, event: usize) -> String {
    case.done_at(event)
        .map_or_else(String::new, |done| words::fold(done.name.span.text(case.text())))
}

/// A finding as something to do; `None` where the case itself tells it better.
fn of_finding(case: &Case<'_>, finding: &Finding) -> Option<Todo> {
    let kind = match (finding.code, finding.severity) {
        ("reading.stale" | "step.open", _) => return None,
        ("part.waiting", _) => Kind::WaitFor,
        ("part.not-ordered", _) => Kind::Order,
        ("reading.missing", _) => Kind::Read,
        (_, Severity::Danger) => Kind::Stop,
        (_, Severity::Fault) => Kind::PutRight,
        ("step.follow", _) => Kind::Do,
        (_, Severity::Open) | ("tool.weak" | "tool.overdue", _) => Kind::PutRight,
        (_, Severity::Doubt) => return None,
    };
    let why = match kind {
        Kind::WaitFor => waited(case, finding.span),
        _ => String::new(),
    };
    Some(Todo {
        why,
        with: finding.help.clone(),
        span: Some(finding.span),
        ..Todo::new(kind, finding.message.clone())
    })
}

/// Says of what is waited for how much is still to be paid for it.
fn sums_to_come(case: &Case<'_>, list: &mut [Todo]) {
    let mut waited = list.iter_mut().filter(|todo| todo.kind == Kind::WaitFor).peekable();
    if waited.peek().is_none() {
        return;
    }
    let on_order = costs::of_case(case).on_order;
    for todo in waited {
        let Some(span) = todo.span else { continue };
        let is_it = |one: &&costs::Awaited| one.span.start <= span.start && span.end <= one.span.end;
        let Some(awaited) = on_order.iter().find(is_it) else {
            continue;
        };
        let sums: Vec<String> = awaited
            .to_come
            .iter()
            .map(|(sum, unit)| words::money(*sum, unit))
            .collect();
        if !sums.is_empty() {
            let parted = if todo.why.is_empty() { "" } else { "; " };
            todo.why
                .push_str(&format!("{parted}{} still to come for it", words::list(&sums)));
        }
    }
}

/// Since when a part is waited for, and how long that was by the last date in the log.
fn waited(case: &Case<'_>, span: Span) -> String {
    let at = case
        .job
        .events
        .iter()
        .position(|event| event.span.start <= span.start && span.end <= event.span.end);
    let since = at.and_then(|event| case.job.date(event));
    let last = case.job.dates.iter().rev().flatten().next();
    let Some((since, last)) = since.zip(last) else {
        return String::new();
    };
    match since.until(*last).map(|passed| passed.get_days()) {
        Ok(0) => format!("since {since}, the last day of the log"),
        Ok(1) => format!("since {since}, a day before the last day of the log"),
        Ok(days) if days > 1 => format!("since {since}, {days} days before the last day of the log"),
        _ => format!("since {since}"),
    }
}

/// The steps of a procedure that are not done yet, each behind those it comes after.
fn steps(case: &Case<'_>, number: usize, procedure: &Procedure, list: &mut Vec<Todo>) {
    for open in steps_open(case, number, procedure) {
        let Some(step) = case.rules.book.step(open.id) else {
            continue;
        };
        list.push(Todo {
            why: if open.blockers.is_empty() {
                allowed(case, step)
            } else {
                format!("once {}", words::list(&open.blockers))
            },
            with: goes_with(step),
            more: ahead::expected(case, step),
            ..Todo::new(open.kind, open.what)
        });
        if open.kind != Kind::MayDo {
            to_order(case, step, list);
        }
    }
}

/// The first step that may be done now, as [`next`] has it, without what is to be expected of it and of all the others, which takes draws. `None` if the job
/// is closed, no step is to be done, or all wait for something.
pub(super) fn first_step(case: &Case<'_>, findings: &[Finding]) -> Option<String> {
    if case.is_closed() {
        return None;
    }
    // What must follow a step that was done is told as a finding, and before all other steps.
    let mut followers = findings.iter().filter_map(|finding| of_finding(case, finding));
    if let Some(todo) = followers.find(|todo| todo.kind == Kind::Do) {
        return Some(todo.what);
    }
    in_play(case).into_iter().find_map(|(number, procedure)| {
        let mut open = steps_open(case, number, procedure).into_iter();
        open.find(|open| open.kind == Kind::Do).map(|open| open.what)
    })
}

/// Parts that a step wants new and that were neither ordered nor came.
fn to_order(case: &Case<'_>, step: &Step, list: &mut Vec<Todo>) {
    for part in &step.renews {
        let is_it = |name: &str| names_thing(name, &part.key);
        let is_heard_of = case.job.events.iter().any(|event| match &event.kind {
            EventKind::Ordered(known) | EventKind::Got(known) => is_it(&known.name.key),
            EventKind::Waiting(name, _) => is_it(&name.key),
            _ => false,
        });
        let what = format!("{}, for `{}`", part.name, step.name.name);
        if !is_heard_of && !list.iter().any(|todo| todo.kind == Kind::Order && todo.what == what) {
            list.push(Todo {
                why: "used once, and none was ordered or came".to_owned(),
                with: format!("`ordered {}: number …`", part.name),
                ..Todo::new(Kind::Order, what)
            });
        }
    }
}

/// Whether what is to be done holds anything up: no fault, nothing owed.
pub fn is_done(list: &[Todo]) -> bool {
    list.iter().all(|todo| matches!(todo.kind, Kind::MayDo | Kind::Know))
}
