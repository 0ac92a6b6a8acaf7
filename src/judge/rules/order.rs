//! Order: what comes before what, what is missing, what is still to do.

use crate::judge::case::Case;
use crate::judge::case::only_of;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::book::{FeatureId, StepId};
use crate::model::job::{Done, Instance, Reading};
use crate::model::manual::{Procedure, Step, Target};
use crate::model::names::named;
use crate::quantity::Verdict;

use super::evidence::expected;

/// Checks the order of the steps that were done, and what the procedures in play still ask for.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut missing: Vec<StepId> = Vec::new();
    let mut seen: Vec<StepId> = Vec::new();
    for (event, done) in &case.done {
        let (Some(id), Some(step)) = (done.step, case.step(done)) else {
            continue;
        };
        if done.is_undone {
            continue;
        }
        if seen.contains(&id) {
            if step.once && !is_elsewhere(case, *event, done) {
                out.push(twice(case, *event, done, step, id));
            }
            continue;
        }
        seen.push(id);
        for before in &step.after {
            let Some(before_id) = case.rules.book.step_id(&before.key) else {
                continue;
            };
            let Some(first) = case.rules.book.step(before_id) else {
                continue;
            };
            if first.reads.is_empty() {
                comes_after(case, *event, done, step, before_id, first, &mut missing, out);
            } else {
                readings_before(case, *event, done, step, first, out);
            }
        }
    }
    for (number, procedure) in in_play(case) {
        still_to_do(case, number, procedure, &missing, out);
    }
}

/// Procedures that the log names, or of which a step was done.
pub fn in_play<'c>(case: &Case<'c>) -> Vec<(usize, &'c Procedure)> {
    case.rules
        .book
        .procedures
        .iter()
        .enumerate()
        .filter(|(number, procedure)| {
            let named = case.job.procedures.iter().any(|p| p.key == procedure.name.key);
            let begun = case
                .done
                .iter()
                .any(|(_, done)| done.step.is_some_and(|id| id.procedure == *number));
            named || begun
        })
        .collect()
}

fn see_step(case: &Case<'_>, finding: Finding, step: &Step, message: &str) -> Finding {
    finding.see_in(case.rules.book.source(step.manual), step.name.span, message.to_owned())
}

/// Whether a step was done on another part or place than every time before.
fn is_elsewhere(case: &Case<'_>, event: usize, done: &Done) -> bool {
    let here = only_of(done);
    let before = case
        .done
        .iter()
        .filter(|(at, other)| *at < event && other.step == done.step && !other.is_undone);
    !here.is_empty()
        && before
            .into_iter()
            .all(|(_, other)| !only_of(other).is_empty() && only_of(other) != here)
}

fn was_done(case: &Case<'_>, id: StepId) -> Option<usize> {
    case.done
        .iter()
        .find(|(_, done)| done.step == Some(id) && !done.is_undone)
        .map(|(event, _)| *event)
}

#[allow(clippy::too_many_arguments)]
fn comes_after(
    case: &Case<'_>,
    event: usize,
    done: &Done,
    step: &Step,
    before_id: StepId,
    before: &Step,
    missing: &mut Vec<StepId>,
    out: &mut Vec<Finding>,
) {
    let name = words::fold(done.name.span.text(case.text()));
    match was_done(case, before_id) {
        Some(at) if at < event => until_before(case, event, done, step, before, out),
        Some(at) => {
            let message = format!(
                "`{name}` was done before `{}`, which stands on line {}",
                before.name.name,
                case.line_of(at)
            );
            let finding = Finding::new("step.order", Severity::Fault, done.name.span, message)
                .label("too early")
                .help(format!("`{}` comes first; undo and do it in order, or move the line if it was only written in the wrong place", before.name.name))
                .see(case.event_span(at), "this should have come first");
            out.push(see_step(case, finding, step, "the order is given here"));
        }
        None if before.optional || missing.contains(&before_id) => {}
        None => {
            missing.push(before_id);
            let message = format!(
                "`{name}` was done, but `{}`, which comes before it, is not written",
                before.name.name
            );
            let finding = Finding::new("step.missing", Severity::Fault, done.name.span, message)
                .label(format!("`{}` belongs before this", before.name.name))
                .help(format!(
                    "if it was done, write `did {}` above this line; if not, go back to it",
                    before.name.name
                ));
            out.push(see_step(case, finding, step, "the order is given here"));
        }
    }
}

/// A measuring step that comes before: its readings must be there, and fresh, when the step is done.
fn readings_before(case: &Case<'_>, event: usize, done: &Done, step: &Step, measuring: &Step, out: &mut Vec<Finding>) {
    if measuring.optional {
        return;
    }
    let mut unread = Vec::new();
    let mut stale = Vec::new();
    for wanted in measured(case, &measuring.reads, event) {
        match wanted.last {
            None => unread.push(wanted.name),
            Some(_) if !wanted.is_fresh => stale.push(wanted.name),
            Some(_) => {}
        }
    }
    let name = words::fold(done.name.span.text(case.text()));
    for (list, what) in [(unread, "read"), (stale, "read again")] {
        if list.is_empty() {
            continue;
        }
        let message = format!(
            "`{name}` was done before {} {} {what}",
            words::list(&list),
            words::was(&list)
        );
        let finding = Finding::new("step.order", Severity::Fault, done.name.span, message)
            .label("too early")
            .help(format!(
                "`{}` comes first: its readings stand above this step",
                measuring.name.name
            ));
        let finding = see_step(case, finding, measuring, "these readings are asked for here");
        out.push(see_step(case, finding, step, "the order is given here"));
    }
}

/// A step that is repeated until a reading is in its limit: the next one waits for that reading.
fn until_before(case: &Case<'_>, event: usize, done: &Done, step: &Step, repeated: &Step, out: &mut Vec<Finding>) {
    let wanting: Vec<String> = measured(case, &repeated.until, event)
        .into_iter()
        .filter(|wanted| {
            let in_limit = |reading: &Reading| case.verdict_of(reading) != Some(Verdict::Out);
            !(wanted.is_fresh && wanted.last.is_some_and(in_limit))
        })
        .map(|wanted| wanted.name)
        .collect();
    if wanting.is_empty() {
        return;
    }
    let name = words::fold(done.name.span.text(case.text()));
    let message = format!(
        "`{name}` was done before {} {} read in limit, which `{}` is repeated for",
        words::list(&wanting),
        words::was(&wanting),
        repeated.name.name
    );
    let finding = Finding::new("step.order", Severity::Fault, done.name.span, message)
        .label("too early")
        .help(format!(
            "go on with `{}` and read again, until it is in limit; then go on",
            repeated.name.name
        ));
    let finding = see_step(case, finding, repeated, "`until` stands here");
    out.push(see_step(case, finding, step, "the order is given here"));
}

/// Something that is measured: at one part and place of a feature.
struct Measured<'c> {
    /// The feature with its part and place.
    name: String,
    /// Its last reading before the event in question.
    last: Option<&'c Reading>,
    /// Whether nothing has disturbed it between that reading and the event.
    is_fresh: bool,
}

/// Each part and place of what a step reads, as it stood before an event. Derived features are left out: their readings are what counts.
fn measured<'c>(case: &Case<'c>, targets: &[Target], event: usize) -> Vec<Measured<'c>> {
    let book = &case.rules.book;
    let mut list = Vec::new();
    for target in targets {
        let id = book.feature(&target.feature).filter(|id| !case.is_derived(*id));
        let Some((id, feature)) = id.and_then(|id| Some((id, book.features.get(id)?))) else {
            continue;
        };
        for (part, place) in expected(feature, Some(target)) {
            let last = last_before(case, id, part, place, event);
            list.push(Measured {
                name: named(&feature.name.name, part, place),
                is_fresh: last
                    .is_some_and(|(instance, reading)| !case.disturbed_between(id, instance, reading.event, event)),
                last: last.map(|(_, reading)| reading),
            });
        }
    }
    list
}

/// The last reading of a feature at a part and place before an event.
fn last_before<'c>(
    case: &Case<'c>,
    id: FeatureId,
    part: Option<&str>,
    place: Option<&str>,
    event: usize,
) -> Option<(&'c Instance, &'c Reading)> {
    case.instances_at(id, part, place)
        .filter_map(|i| {
            i.readings
                .iter()
                .filter_map(|index| case.job.readings.get(*index))
                .rfind(|r| r.event < event && !r.points.is_empty())
                .map(|r| (i, r))
        })
        .max_by_key(|(_, reading)| reading.event)
}

fn twice(case: &Case<'_>, event: usize, done: &Done, step: &Step, id: StepId) -> Finding {
    let first = was_done(case, id).unwrap_or(event);
    let message = format!("`{}` was done twice; it is to be done once", step.name.name);
    let finding = Finding::new("step.twice", Severity::Fault, done.name.span, message)
        .label("the second time")
        .help("say what was undone in between, or take the line out if it was written twice")
        .see(case.event_span(first), "the first time");
    see_step(case, finding, step, "`once` stands here")
}

/// The names of the steps of a procedure that are not done and may not be left out.
pub fn open_steps<'c>(case: &Case<'c>, number: usize, procedure: &'c Procedure) -> Vec<(StepId, &'c Step)> {
    procedure
        .steps
        .iter()
        .enumerate()
        .map(|(step, known)| {
            (
                StepId {
                    procedure: number,
                    step,
                },
                known,
            )
        })
        .filter(|(id, step)| !step.optional && step.reads.is_empty() && was_done(case, *id).is_none())
        .collect()
}

fn still_to_do(case: &Case<'_>, number: usize, procedure: &Procedure, missing: &[StepId], out: &mut Vec<Finding>) {
    let open = open_steps(case, number, procedure);
    let Some(closed) = case.job.closed else {
        let still = open.iter().filter(|(id, _)| !missing.contains(id));
        let names: Vec<String> = still.map(|(_, s)| s.name.name.clone()).collect();
        if names.is_empty() {
            return;
        }
        let count = if names.len() == 1 {
            "one step is".to_owned()
        } else {
            format!("{} steps are", names.len())
        };
        let message = format!("{}: {count} still to do: {}", procedure.name.name, names.join(", "));
        out.push(
            Finding::new("step.open", Severity::Open, case.job.head, message)
                .label("not finished")
                .help("write each as `did STEP` when it is done"),
        );
        return;
    };
    for (id, step) in open {
        if missing.contains(&id) {
            continue;
        }
        let message = format!("`{}` of {} was never done", step.name.name, procedure.name.name);
        let finding = Finding::new("step.missing", Severity::Fault, closed, message)
            .label("closed without it")
            .help(format!(
                "if it was done, write `did {}` where it belongs; if not, the job is not finished",
                step.name.name
            ));
        out.push(see_step(case, finding, step, "the manual asks for it here"));
    }
}

const MANUAL: &str = "manual m\nprocedure crank\n  step press in crankpin\n  step press together  after press in crankpin; once\n  step fit cases  after press together\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "step.order",
        severity: "fault",
        says: "A step was done before one that comes first, or before the readings that belong before it.",
        why: "As-found readings cannot be taken any more once it is apart, and a case closed over a crank that was not measured has to be opened again.",
        source: "the manual's `after`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together\ndid press in crankpin\ndid fit cases\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\ndid fit cases\n",
        },
    },
    Rule {
        code: "step.missing",
        severity: "fault",
        says: "A step was left out: a later one was done, or the job was closed, without it.",
        why: "A step that is not written is a step that nobody can prove was done.",
        source: "the manual's procedure",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\nclosed 2026-03-14\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\ndid fit cases\nclosed 2026-03-14\n",
        },
    },
    Rule {
        code: "step.twice",
        severity: "fault",
        says: "A step that is to be done once was done twice.",
        why: "A pin pressed a second time has lost grip; a stretch bolt tightened a second time is longer than it was.",
        source: "the manual's `once`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\ndid press together\ndid fit cases\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\ndid fit cases\n",
        },
    },
    Rule {
        code: "step.open",
        severity: "open",
        says: "A procedure has begun and has steps still to do.",
        why: "It is what is left on the bench. Once the job is closed each of them is a fault.",
        source: "the manual's procedure",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press in crankpin\ndid press together\ndid fit cases\n",
        },
    },
];
