//! Order: what comes before what, what follows what, what is missing, what is still to do.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::procedure::{Asked, Breached, Clause, in_play};
use crate::judge::words;
use crate::model::book::StepId;
use crate::model::manual::Procedure;
use crate::order::State;
use crate::syntax::Span;

/// Checks the order of the steps that were done, and what the procedures in play still ask for.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut missing: Vec<StepId> = Vec::new();
    for asked in &case.asked {
        for breach in &asked.breaches {
            if let Some(finding) = breached(case, asked, breach, &mut missing) {
                out.push(finding);
            }
        }
    }
    for (number, procedure) in in_play(case) {
        still_to_do(case, number, procedure, &missing, out);
    }
}

/// What the step of an event is called there.
pub(super) fn name_at(case: &Case<'_>, event: usize) -> String {
    case.done_at(event)
        .map_or_else(String::new, |done| words::fold(done.name.span.text(case.text())))
}

/// The name of a step as its manual has it.
pub(super) fn name_of(case: &Case<'_>, id: StepId) -> String {
    case.rules
        .book
        .step(id)
        .map_or_else(String::new, |step| step.name.name.clone())
}

/// `a`, `b` or `c`: the names of steps, in marks.
fn any_of(case: &Case<'_>, ids: &[StepId]) -> String {
    let names: Vec<String> = ids.iter().map(|id| format!("`{}`", name_of(case, *id))).collect();
    match names.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        _ => names.concat(),
    }
}

/// The finding of one breach; none where another says it.
fn breached(case: &Case<'_>, asked: &Asked, breach: &Breached, missing: &mut Vec<StepId>) -> Option<Finding> {
    let at = breach.at?;
    let span = case.done_at(at)?.name.span;
    let name = name_at(case, at);
    let others = any_of(case, &asked.others);
    let finding = match (asked.clause, breach.other) {
        (Clause::After, Some(first)) => Finding::new(
            "step.order",
            Severity::Fault,
            span,
            format!(
                "`{name}` was done before `{}`, which stands on line {}",
                name_at(case, first),
                case.line_of(first)
            ),
        )
        .label("too early")
        .help(format!(
            "{others} comes first; undo and do it in order, or move the line if it was only written in the wrong place"
        ))
        .see(case.event_span(first), "this should have come first"),
        (Clause::After, None) => {
            if asked.others.iter().any(|other| missing.contains(other)) {
                return None;
            }
            missing.extend(&asked.others);
            let write = asked.others.first().map_or_else(String::new, |id| name_of(case, *id));
            Finding::new(
                "step.missing",
                Severity::Fault,
                span,
                format!("`{name}` was done, but {others}, which comes before it, is not written"),
            )
            .label(format!("{others} belongs before this"))
            .help(format!(
                "if it was done, write `did {write}` above this line; if not, go back to it"
            ))
        }
        (Clause::Once, other) => twice(case, span, asked, other.unwrap_or(at)),
        (Clause::OneOf | Clause::NotWith, Some(first)) => {
            let other = name_at(case, first);
            Finding::new(
                "step.both",
                Severity::Fault,
                span,
                format!(
                    "`{name}` was done as well as `{other}` on line {}: only one of the two may be",
                    case.line_of(first)
                ),
            )
            .label("the other was done already")
            .help(format!(
                "if one of them was undone, write `undid {other}, because …` between the two; else look which of them holds"
            ))
            .see(case.event_span(first), "and this")
        }
        (Clause::DirectlyAfter, before) => {
            let (what, help) = match before {
                Some(before) => (
                    format!(
                        "but `{}` on line {} was done just before it",
                        name_at(case, before),
                        case.line_of(before)
                    ),
                    "nothing may come between the two; do both again, one straight after the other",
                ),
                None => (
                    "and no step was done before it".to_owned(),
                    "do both, one straight after the other",
                ),
            };
            let finding = Finding::new(
                "step.directly",
                Severity::Fault,
                span,
                format!("`{name}` is to be done directly after {others}, {what}"),
            )
            .label("not directly after it")
            .help(help);
            match before {
                Some(before) => finding.see(case.event_span(before), "this came in between"),
                None => finding,
            }
        }
        (Clause::ThenDirectly, Some(next)) => Finding::new(
            "step.directly",
            Severity::Fault,
            span,
            format!(
                "`{name}` is to be followed directly by {others}, but `{}` on line {} came next",
                name_at(case, next),
                case.line_of(next)
            ),
        )
        .label("something came in between")
        .help("nothing may come between the two; do both again, one straight after the other")
        .see(case.event_span(next), "this came next"),
        (Clause::Then, _) if !breach.unread.is_empty() => {
            let lacking = &breach.unread;
            Finding::new(
                "step.follow",
                case.owed(),
                span,
                format!(
                    "`{name}` is to be followed by {others}, and {} {} not read since",
                    words::list(lacking),
                    words::was(lacking)
                ),
            )
            .label("not read since")
            .help(format!("read it again, and write it below line {}", case.line_of(at)))
        }
        (Clause::Then | Clause::ThenDirectly, _) => {
            // What was never done and is owed anyhow is told with what is still to do.
            let is_told = |id: &StepId| {
                case.course.first(*id).is_none() && case.asked.iter().any(|a| a.clause == Clause::Step && a.step == *id)
            };
            if asked.others.iter().any(is_told) {
                return None;
            }
            let when = if asked.clause == Clause::Then { "" } else { "directly " };
            let again = match asked.others.iter().find_map(|id| case.course.last(*id)) {
                Some(before) => format!(
                    "; the last time it was done, on line {}, is before it",
                    case.line_of(before)
                ),
                None => String::new(),
            };
            let write = asked.others.first().map_or_else(String::new, |id| name_of(case, *id));
            Finding::new(
                "step.follow",
                case.owed(),
                span,
                format!("`{name}` is to be followed {when}by {others}, and is not yet{again}"),
            )
            .label("not followed yet")
            .help(format!(
                "do it, and write `did {write}` below line {}",
                case.line_of(at)
            ))
        }
        // `circumstances` tells these.
        (Clause::Reads | Clause::Until | Clause::Given | Clause::OnlyIf | Clause::Wait, _) => return None,
        (Clause::Step | Clause::OneOf | Clause::NotWith, _) => return None,
    };
    Some(finding.see_in(
        case.rules.book.source(asked.manual),
        asked.span,
        "the manual asks for it here",
    ))
}

fn twice(case: &Case<'_>, span: Span, asked: &Asked, first: usize) -> Finding {
    let message = format!("`{}` was done twice; it is to be done once", name_of(case, asked.step));
    Finding::new("step.twice", Severity::Fault, span, message)
        .label("the second time")
        .help("say what was undone in between, or take the line out if it was written twice")
        .see(case.event_span(first), "the first time")
}

/// What a procedure still asks for: the steps that are not done and may not be left out, and the alternatives of which none was done.
pub fn open_steps<'c>(case: &'c Case<'_>, number: usize) -> impl Iterator<Item = &'c Asked> {
    case.asked.iter().filter(move |asked| {
        let is_one = matches!(asked.clause, Clause::Step | Clause::OneOf);
        is_one && asked.procedure == number && asked.breaches.iter().any(|b| b.at.is_none() && b.state != State::Kept)
    })
}

/// What is still to do, in words: the step, or the choice.
pub fn open_name(case: &Case<'_>, asked: &Asked) -> String {
    if asked.clause == Clause::Step {
        return name_of(case, asked.step);
    }
    let all: Vec<StepId> = std::iter::once(asked.step)
        .chain(asked.others.iter().copied())
        .collect();
    let names: Vec<String> = all.iter().map(|id| name_of(case, *id)).collect();
    match names.as_slice() {
        [first @ .., last] => format!("one of {} or {last}", first.join(", ")),
        [] => String::new(),
    }
}

fn still_to_do(case: &Case<'_>, number: usize, procedure: &Procedure, missing: &[StepId], out: &mut Vec<Finding>) {
    let is_told = |asked: &&Asked| missing.contains(&asked.step);
    let open: Vec<&Asked> = open_steps(case, number).filter(|asked| !is_told(asked)).collect();
    let Some(closed) = case.job.closed else {
        let names: Vec<String> = open.iter().map(|asked| open_name(case, asked)).collect();
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
                .help("write each as `did STEP` when it is done; `gudgeon next` says what comes first"),
        );
        return;
    };
    for asked in open {
        let name = open_name(case, asked);
        let step = name_of(case, asked.step);
        let message = match asked.clause {
            Clause::Step => format!("`{name}` of {} was never done", procedure.name.name),
            _ => format!("{}: {name} was to be done, and none was", procedure.name.name),
        };
        let finding = Finding::new("step.missing", Severity::Fault, closed, message)
            .label("closed without it")
            .help(format!(
                "if it was done, write `did {step}` where it belongs; if not, the job is not finished"
            ));
        out.push(finding.see_in(
            case.rules.book.source(asked.manual),
            asked.span,
            "the manual asks for it here",
        ));
    }
}

const MANUAL: &str = "manual m\nprocedure crank\n  step press in crankpin\n  step press together  after press in crankpin; once\n  step fit cases  after press together\n";

const CHOICE: &str = "manual m\nprocedure crank\n  one of press pin dry, press pin oiled\n  step press pin dry\n  step press pin oiled\n";
const FOLLOWED: &str = "manual m\nprocedure case\n  step heat case\n  step drop bearing  directly after heat case; then grease lip\n  step grease lip\n";

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
    Rule {
        code: "step.both",
        severity: "fault",
        says: "Two steps were done of which only one may be.",
        why: "A joint that was sealed with sealant and with a gasket, a thread that was oiled and locked: the one spoils the other.",
        source: "the manual's `one of` and `not with`",
        fires: Example {
            manual: CHOICE,
            log: "job x\nmanual m\n2026-03-14 build\ndid press pin dry\ndid press pin oiled\n",
        },
        clean: Example {
            manual: CHOICE,
            log: "job x\nmanual m\n2026-03-14 build\ndid press pin dry\nundid press pin dry, because it galled\ndid press pin oiled\n",
        },
    },
    Rule {
        code: "step.follow",
        severity: "open; fault once the job is closed",
        says: "A step was done that another is to follow, and that one was not done since.",
        why: "A shim that was changed wants its clearance read; a head that was run hot wants its nuts gone over. The step is only half of the work.",
        source: "the manual's `then`",
        fires: Example {
            manual: FOLLOWED,
            log: "job x\nmanual m\n2026-03-14 build\ndid grease lip\ndid heat case\ndid drop bearing\n",
        },
        clean: Example {
            manual: FOLLOWED,
            log: "job x\nmanual m\n2026-03-14 build\ndid heat case\ndid drop bearing\ndid grease lip\n",
        },
    },
    Rule {
        code: "step.directly",
        severity: "fault",
        says: "Something was done between two steps that belong straight behind one another.",
        why: "A case that was heated cools while something else is done, and the bearing then sticks half way in.",
        source: "the manual's `directly after` and `then directly`",
        fires: Example {
            manual: FOLLOWED,
            log: "job x\nmanual m\n2026-03-14 build\ndid heat case\ndid grease lip\ndid drop bearing\ndid grease lip\n",
        },
        clean: Example {
            manual: FOLLOWED,
            log: "job x\nmanual m\n2026-03-14 build\ndid heat case\ndid drop bearing\ndid grease lip\n",
        },
    },
];
