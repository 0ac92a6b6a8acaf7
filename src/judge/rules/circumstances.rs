//! What must hold when a step is done: readings taken and in limit, a condition, time passed.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::procedure::{Asked, Breached, Clause};
use crate::judge::words;
use crate::model::manual::Step;
use crate::order::State;
use crate::syntax::Span;

use super::order::{name_at, name_of};

/// Says every breach of such a clause.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for asked in &case.asked {
        out.extend(asked.breaches.iter().filter_map(|breach| breached(case, asked, breach)));
    }
}

/// The finding of one breach; none of a clause that is not of this family.
fn breached(case: &Case<'_>, asked: &Asked, breach: &Breached) -> Option<Finding> {
    let step = case.rules.book.step(asked.step)?;
    let at = breach.at?;
    let finding = match asked.clause {
        Clause::Reads => not_measured(case, asked, breach, at),
        Clause::Until => not_yet(case, asked, breach, at),
        Clause::Given => not_given(case, breach, at),
        Clause::OnlyIf => not_allowed(case, step, breach, at)?,
        Clause::Wait => too_soon(case, asked, step, breach, at)?,
        _ => return None,
    };
    Some(finding.see_in(
        case.rules.book.source(asked.manual),
        asked.span,
        "the manual asks for it here",
    ))
}

fn span_of(case: &Case<'_>, event: usize) -> Span {
    case.done_at(event).map(|done| done.name.span).unwrap_or_default()
}

/// `run-out at drive side and side play were not read; web width was disturbed since`
fn lacking(breach: &Breached) -> String {
    [
        (&breach.unread, "read"),
        (&breach.stale, "read again"),
        (&breach.out, "in limit"),
    ]
    .into_iter()
    .filter(|(list, _)| !list.is_empty())
    .map(|(list, what)| format!("{} {} {what}", words::list(list), words::was(list)))
    .collect::<Vec<_>>()
    .join(", and before ")
}

/// A measuring step that comes before: its readings must be there, and fresh, when the step is done.
fn not_measured(case: &Case<'_>, asked: &Asked, breach: &Breached, at: usize) -> Finding {
    let name = name_at(case, at);
    let measuring = asked.others.first().and_then(|id| case.rules.book.step(*id));
    let finding = Finding::new(
        "step.order",
        Severity::Fault,
        span_of(case, at),
        format!("`{name}` was done before {}", lacking(breach)),
    )
    .label("too early");
    match measuring {
        Some(measuring) => finding
            .help(format!(
                "`{}` comes first: its readings stand above this step",
                measuring.name.name
            ))
            .see_in(
                case.rules.book.source(measuring.manual),
                measuring.name.span,
                "these readings are asked for here",
            ),
        None => finding,
    }
}

/// A step that is repeated until a reading is in its limit: the next one waits for that reading.
fn not_yet(case: &Case<'_>, asked: &Asked, breach: &Breached, at: usize) -> Finding {
    let name = name_at(case, at);
    let lacking = breach.lacking();
    let repeated = asked.others.first().map_or_else(String::new, |id| name_of(case, *id));
    Finding::new(
        "step.order",
        Severity::Fault,
        span_of(case, at),
        format!(
            "`{name}` was done before {} {} read in limit, which `{repeated}` is repeated for",
            words::list(&lacking),
            words::was(&lacking)
        ),
    )
    .label("too early")
    .help(format!(
        "go on with `{repeated}` and read again, until it is in limit; then go on"
    ))
}

/// Something that must be known, and right, before the step.
fn not_given(case: &Case<'_>, breach: &Breached, at: usize) -> Finding {
    let name = name_at(case, at);
    let help = if breach.out.is_empty() {
        "measure first; if it was measured, write the reading above this line".to_owned()
    } else {
        format!(
            "put {} right first, and read again; then do it",
            words::list(&breach.out)
        )
    };
    Finding::new(
        "step.given",
        Severity::Fault,
        span_of(case, at),
        format!("`{name}` was done before {}", lacking(breach)),
    )
    .label("too early")
    .help(help)
}

fn not_allowed(case: &Case<'_>, step: &Step, breach: &Breached, at: usize) -> Option<Finding> {
    let condition = step.only_if.get(breach.number)?;
    let name = name_at(case, at);
    Some(
        Finding::new(
            "step.condition",
            Severity::Fault,
            span_of(case, at),
            format!(
                "`{name}` is only to be done if `{}`, and nothing above says so",
                condition.words
            ),
        )
        .label("the condition does not hold")
        .help("write what made it needed above this line, or undo it: `undid STEP, because …`"),
    )
}

fn too_soon(case: &Case<'_>, asked: &Asked, step: &Step, breach: &Breached, at: usize) -> Option<Finding> {
    let wait = step.waits.get(breach.number)?;
    let from = breach.other?;
    let name = name_at(case, at);
    let first = asked.others.first().map_or_else(String::new, |id| name_of(case, *id));
    let time = words::figure(wait.time, Some(wait.unit));
    let asks = if wait.is_least {
        format!("at least {time} after `{first}`")
    } else {
        format!("within {time} after `{first}`")
    };
    let line = case.line_of(from);
    let (severity, message, help) = match (breach.state, wait.is_least) {
        (State::Broken, true) => (
            Severity::Fault,
            format!("`{name}` is to be done {asks}, and was done sooner, by the times written here and on line {line}"),
            "do it again when the time has passed; if a time was written wrongly, mend it".to_owned(),
        ),
        (State::Broken, false) => (
            Severity::Fault,
            format!("`{name}` is to be done {asks}, and was done later, by the times written here and on line {line}"),
            format!("do both again, from `{first}` on; if a time was written wrongly, mend it"),
        ),
        _ => (
            Severity::Doubt,
            format!("`{name}` is to be done {asks}; the times of the two lines do not tell whether it was"),
            "write the time in front of both lines: `09:40 did …`".to_owned(),
        ),
    };
    Some(
        Finding::new("step.wait", severity, span_of(case, at), message)
            .label("the time between")
            .help(help)
            .see(case.event_span(from), "from here"),
    )
}

const MANUAL: &str = "manual m\nsource page 1\nfeature end float\n  build 0.10 to 0.25 mm\nfeature crankpin play\n  build up to 0.02 mm\n\
                      procedure cases\n  step close cases  given end float\n  step renew pin  only if crankpin play out; disturbs crankpin play\n  \
                      step start engine  optional\n  step re-torque head  optional; at least 8 h after start engine\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "step.given",
        severity: "fault",
        says: "A step was done before something it rests on was read, read again since it was disturbed, or in its limit.",
        why: "Will the jig take the crank, is the float right: what is found out afterwards means taking it apart again.",
        source: "the manual's `given`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ncrankpin play = 0.05 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\nend float = 0.20 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nend float = 0.20 mm\ncrankpin play = 0.05 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\n",
        },
    },
    Rule {
        code: "step.condition",
        severity: "fault",
        says: "A step was done that is only to be done under a condition, and nothing in the log says that it held.",
        why: "What is taken apart without need is disturbed without need.",
        source: "the manual's `only if`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nend float = 0.20 mm\ncrankpin play = 0.01 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nend float = 0.20 mm\ncrankpin play = 0.05 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\n",
        },
    },
    Rule {
        code: "step.wait",
        severity: "fault; doubt where the times that are written do not tell",
        says: "Too little time, or too much, lies between two steps.",
        why: "A head is tightened again when it is cold, sealant wants its hours, and a heated bearing goes on before it has cooled.",
        source: "the manual's `at least … after` and `within … after`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nend float = 0.20 mm\ncrankpin play = 0.05 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\n10:00 did start engine\n14:30 did re-torque head\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nend float = 0.20 mm\ncrankpin play = 0.05 mm\ndid renew pin\ncrankpin play = 0.01 mm\ndid close cases\n10:00 did start engine\n2026-03-15 build\ndid re-torque head\n",
        },
    },
];
