//! What is to be done next in a job: what to stop for, what to put right, read again, wait for and order, and which steps the procedures allow now. It is
//! what is opened after five months of waiting for a part.

use rust_decimal::Decimal;
use rustc_hash::FxHashSet;

use super::case::Case;
use super::finding::{Finding, Severity};
use super::owed::stale_readings;
use super::procedure::{Clause, alternatives, holds, in_play, is_owed, measured};
use super::rules::order::{open_name, open_steps};
use super::{Analysis, ahead, costs, words};
use crate::model::book::{FeatureId, StepId};
use crate::model::job::EventKind;
use crate::model::manual::{BoundKind, Named, NeverWhen, Procedure, Step, Target};
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

/// The last step, in the order they may be done, that is still owed and moves a feature.
pub(super) fn still_moved(case: &Case<'_>, feature: FeatureId) -> Option<String> {
    let mut mover = None;
    for (number, procedure) in in_play(case) {
        let ids = (0..procedure.steps.len()).map(|step| StepId {
            procedure: number,
            step,
        });
        for id in in_turn(case, ids.collect()) {
            let is_open = !case.is_closed() && case.course.first(id).is_none() && is_owed(case, id);
            let Some(step) = case.rules.book.step(id).filter(|_| is_open) else {
                continue;
            };
            let moves = |target: &Target| case.rules.book.feature(&target.feature) == Some(feature);
            if step.disturbs.iter().any(moves) {
                mover = Some(step.name.name.clone());
            }
        }
    }
    mover
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

/// A step that was not done yet, and how it stands with it.
pub(super) struct StepOpen {
    pub id: StepId,
    /// `Do`, `DoLater` or `MayDo`.
    pub kind: Kind,
    /// Its name; of alternatives all their names.
    pub what: String,
    /// What has still to happen before.
    pub blockers: Vec<String>,
}

/// The steps of a procedure that are not done yet and are owed or possible, each behind those it comes after.
pub(super) fn steps_open(case: &Case<'_>, number: usize, procedure: &Procedure) -> Vec<StepOpen> {
    let open: FxHashSet<StepId> = open_steps(case, number).map(|asked| asked.step).collect();
    let ids = (0..procedure.steps.len()).map(|step| StepId {
        procedure: number,
        step,
    });
    let mut list = Vec::new();
    for id in in_turn(case, ids.collect()) {
        let Some(step) = case.rules.book.step(id) else { continue };
        if !step.reads.is_empty() || case.course.first(id).is_some() {
            continue;
        }
        let choice = open_steps(case, number).find(|asked| asked.step == id && asked.clause == Clause::OneOf);
        let in_choice = alternatives(case, id).is_some();
        if in_choice && choice.is_none() {
            continue;
        }
        let is_asked_for = open.contains(&id) || is_owed(case, id);
        let blockers = blockers(case, id, step);
        let kind = match (is_asked_for, blockers.is_empty()) {
            (true, true) => Kind::Do,
            (true, false) => Kind::DoLater,
            (false, true) if is_possible(case, procedure, id, step) => Kind::MayDo,
            _ => continue,
        };
        let what = match choice {
            Some(choice) => open_name(case, choice),
            None => step.name.name.clone(),
        };
        list.push(StepOpen {
            id,
            kind,
            what,
            blockers,
        });
    }
    list
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

/// Steps so that each stands behind those it comes after; otherwise as the manual has them.
fn in_turn(case: &Case<'_>, mut steps: Vec<StepId>) -> Vec<StepId> {
    let mut turned = Vec::with_capacity(steps.len());
    while !steps.is_empty() {
        let free = steps.iter().position(|id| {
            let step = case.rules.book.step(*id);
            let before = step.into_iter().flat_map(|s| s.after.iter().chain(&s.directly_after));
            let before = before.filter_map(|name| case.rules.book.step_id(&name.key));
            before
                .chain(followed(case, *id))
                .all(|before| before == *id || !steps.contains(&before))
        });
        turned.push(steps.remove(free.unwrap_or(0)));
    }
    turned
}

/// The steps of the same procedure that a step is to follow.
pub(super) fn followed(case: &Case<'_>, id: StepId) -> Vec<StepId> {
    let Some(procedure) = case.rules.book.procedures.get(id.procedure) else {
        return Vec::new();
    };
    let follows = |step: &Step| {
        let mut next = step.then.iter().chain(&step.then_directly);
        next.any(|name| case.rules.book.step_id(&name.key) == Some(id))
    };
    let all = procedure.steps.iter().enumerate().filter(|(_, step)| follows(step));
    all.map(|(step, _)| StepId { step, ..id }).collect()
}

/// What has still to happen before a step may be done.
pub(super) fn blockers(case: &Case<'_>, id: StepId, step: &Step) -> Vec<String> {
    let end = case.job.events.len();
    let mut list: Vec<String> = Vec::new();
    let mut push = |blocker: String| {
        if !list.contains(&blocker) {
            list.push(blocker);
        }
    };
    for name in step.after.iter().chain(&step.directly_after) {
        let Some(id) = case.rules.book.step_id(&name.key) else {
            continue;
        };
        let Some(before) = case.rules.book.step(id) else {
            continue;
        };
        if !before.reads.is_empty() {
            if !before.optional {
                for one in measured(case, &before.reads, end) {
                    if !one.is_known {
                        push(format!("{} is read", one.name));
                    } else if !one.is_fresh {
                        push(format!("{} is read again", one.name));
                    }
                }
            }
            continue;
        }
        let any_of = alternatives(case, id).unwrap_or_else(|| vec![id]);
        let was_done = any_of.iter().any(|id| case.course.first(*id).is_some());
        if was_done {
            for one in measured(case, &before.until, end).iter().filter(|one| !one.is_good()) {
                push(format!("{} is read in limit", one.name));
            }
        } else if any_of.len() > 1 {
            let names: Vec<String> = any_of
                .iter()
                .filter_map(|id| case.rules.book.step(*id))
                .map(|step| format!("`{}`", step.name.name))
                .collect();
            push(format!("{} is done", names.join(" or ")));
        } else if is_owed(case, id) || !step.directly_after.is_empty() {
            push(format!("`{}` is done", before.name.name));
        }
    }
    // What it is to follow comes first, if that is still to be done.
    for before in followed(case, id) {
        let is_open = case.course.first(before).is_none() && is_owed(case, before);
        if let Some(before) = case.rules.book.step(before).filter(|_| is_open) {
            push(format!("`{}` is done", before.name.name));
        }
    }
    for one in measured(case, &step.given, end).iter().filter(|one| !one.is_good()) {
        push(format!("{} is read in limit", one.name));
    }
    for condition in step.only_if.iter().filter(|condition| !holds(case, condition, None)) {
        push(format!("`{}` holds", condition.words));
    }
    list
}

/// Whether a step that need not be done is worth a line: what it comes after was done or read, or the log names the procedure; and nothing that comes
/// after it was done already, it waits for no step that it is to follow, and none was done that it must not be done with.
fn is_possible(case: &Case<'_>, procedure: &Procedure, id: StepId, step: &Step) -> bool {
    let before: Vec<StepId> = step
        .after
        .iter()
        .filter_map(|name| case.rules.book.step_id(&name.key))
        .collect();
    // What is never to be done at all is no offer.
    let is_never = procedure.nevers.iter().any(|never| {
        let is_it = case.rules.book.step_id(&never.step.key) == Some(id);
        is_it && never.ticks.is_empty() && never.only_if.is_empty() && matches!(never.when, NeverWhen::Ever)
    });
    let not_against = !is_never
        && step
            .not_with
            .iter()
            .filter_map(|name| case.rules.book.step_id(&name.key))
            .all(|other| case.course.first(other).is_none());
    let is_named = case.job.procedures.iter().any(|p| p.key == procedure.name.key);
    let is_reached = before.iter().any(|id| {
        let reads = case.rules.book.step(*id).map_or(&[][..], |step| step.reads.as_slice());
        case.course.first(*id).is_some()
            || measured(case, reads, case.job.events.len())
                .iter()
                .any(|one| one.is_known)
    });
    let names = |list: &[Named]| list.iter().any(|name| case.rules.book.step_id(&name.key) == Some(id));
    let is_past = procedure.steps.iter().enumerate().any(|(step, later)| {
        let was_done = case.course.first(StepId { step, ..id }).is_some();
        was_done && names(&later.after)
    });
    // What is to follow a step that was done is told with that.
    let is_told = followed(case, id)
        .iter()
        .any(|before| case.course.first(*before).is_some());
    not_against && (is_reached || is_named) && !is_past && !is_told
}

/// Why a step may be done now.
pub(super) fn allowed(case: &Case<'_>, step: &Step) -> String {
    let after: Vec<String> = step
        .after
        .iter()
        .filter_map(|name| {
            let id = case.rules.book.step_id(&name.key)?;
            let at = case.course.last(id)?;
            Some(format!("`{}` on line {}", name.name, case.line_of(at)))
        })
        .collect();
    let until: Vec<String> = measured(case, &step.until, case.job.events.len())
        .into_iter()
        .filter(|one| !one.is_good())
        .map(|one| one.name)
        .collect();
    match (after.is_empty(), until.is_empty()) {
        (true, true) => String::new(),
        (false, true) => format!("after {}", words::list(&after)),
        (true, false) => format!("until {} {} in limit", words::list(&until), words::is(&until)),
        (false, false) => format!(
            "after {}, until {} {} in limit",
            words::list(&after),
            words::list(&until),
            words::is(&until)
        ),
    }
}

/// What a step's line is to say, and what goes with it.
pub fn goes_with(step: &Step) -> String {
    let mut all = Vec::new();
    let list = |names: &[Named]| names.iter().map(|n| n.name.clone()).collect::<Vec<_>>();
    if !step.needs.is_empty() {
        all.push(format!("needs {}", words::list(&list(&step.needs))));
    }
    if !step.renews.is_empty() {
        all.push(format!("new {}", words::list(&list(&step.renews))));
    }
    for need in &step.uses {
        let rated = need.rated.map_or(String::new(), |(rating, unit)| {
            format!(" rated for at least {}", words::figure(rating, Some(unit)))
        });
        all.push(format!("with a {}{rated}", need.kind.name));
    }
    for bound in &step.bounds {
        all.push(match &bound.bound {
            BoundKind::Limit(limit) => format!("{} {}", bound.name, limit.words()),
            BoundKind::RatingOf(tool) => format!("{} up to the rating of the {}", bound.name, tool.name),
        });
    }
    for wait in &step.waits {
        let time = words::figure(wait.time, Some(wait.unit));
        let least = if wait.is_least { "at least" } else { "within" };
        all.push(format!("{least} {time} after `{}`", wait.after.name));
    }
    for count in step.takes_out.iter().chain(&step.puts_in) {
        all.push(format!("count the {}", count.name));
    }
    if !step.then.is_empty() || !step.then_directly.is_empty() {
        let next: Vec<String> = list(&step.then_directly).into_iter().chain(list(&step.then)).collect();
        all.push(format!("then {}", words::list(&next)));
    }
    all.join("; ")
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
