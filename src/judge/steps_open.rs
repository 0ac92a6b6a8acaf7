//! Steps that are not done yet: which may be done now, what stands before the others, and what goes with each. `next` tells it in words, `open_work` shows it
//! to whoever writes the log.

use rustc_hash::FxHashSet;

use super::case::Case;
use super::next::Kind;
use super::procedure::{Clause, alternatives, holds, in_play, is_owed, measured};
use super::rules::order::{open_name, open_steps};
use super::words;
use crate::model::book::{FeatureId, StepId};
use crate::model::manual::{BoundKind, Named, NeverWhen, Procedure, Step, Target};

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
