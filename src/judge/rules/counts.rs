//! What is counted out must be counted in, and what is used once must be new.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::procedure::in_play;
use crate::judge::words;
use crate::model::job::{Done, EventKind, Said, SaidKind};
use crate::model::manual::{Named, Step};
use crate::model::names::{names_thing, says};
use crate::quantity::number;

use super::shared::danger::{DEFER, sentence};

/// Checks counts and renewals.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut told: Vec<&str> = Vec::new();
    for (_, procedure) in in_play(case) {
        for thing in procedure
            .steps
            .iter()
            .flat_map(|s| s.takes_out.iter().chain(&s.puts_in))
        {
            if !told.contains(&thing.key.as_str()) {
                told.push(&thing.key);
                counted(case, thing, out);
            }
        }
        for step in procedure.steps.iter().filter(|s| !s.renews.is_empty()) {
            renewed(case, step, out);
        }
    }
}

/// How many of a thing a step's line says: `28 needles`, `needles 28`, `needles 28 off`.
fn count(done: &Done, thing: &str) -> Option<Decimal> {
    done.said
        .iter()
        .filter(|said| names_thing(&said.key, thing))
        .find_map(|said| match &said.kind {
            SaidKind::Amount(amount) => Some(amount.written),
            SaidKind::Tick => said.key.split(' ').find_map(|word| word.parse().ok()),
            _ => None,
        })
}

/// Whether a thing is new, or came with a part.
fn is_new(done: &Done, thing: &str) -> bool {
    let is_it = |said: &Said| names_thing(&said.key, thing) && says(&said.key, "new");
    done.said.iter().any(|said| match &said.kind {
        SaidKind::Tick | SaidKind::Amount(_) => is_it(said),
        SaidKind::From(_) => true,
        _ => false,
    })
}

struct Side<'c> {
    events: Vec<(usize, &'c Done)>,
    total: Decimal,
    uncounted: Vec<usize>,
}

fn side<'c>(case: &'c Case<'_>, thing: &str, list: impl Fn(&Step) -> &Vec<Named>) -> Side<'c> {
    let mut side = Side {
        events: Vec::new(),
        total: Decimal::ZERO,
        uncounted: Vec::new(),
    };
    for (event, done) in case.done.iter().filter(|(_, done)| !done.is_undone()) {
        if !case
            .step(done)
            .is_some_and(|step| list(step).iter().any(|t| t.key == thing))
        {
            continue;
        }
        side.events.push((*event, done));
        match count(done, thing) {
            Some(count) => side.total = side.total.saturating_add(count),
            None => side.uncounted.push(*event),
        }
    }
    side
}

fn counted(case: &Case<'_>, thing: &Named, out: &mut Vec<Finding>) {
    let taken = side(case, &thing.key, |step| &step.takes_out);
    let put = side(case, &thing.key, |step| &step.puts_in);
    let (Some((first, _)), Some((last, last_done))) = (taken.events.first(), put.events.last()) else {
        return;
    };
    if put.events.iter().any(|(_, done)| is_new(done, &thing.key)) {
        return;
    }
    let was_counted = taken.uncounted.len() < taken.events.len() || put.uncounted.len() < put.events.len();
    if !was_counted {
        return;
    }
    let precaution = case.rules.book.precaution(&thing.key);
    let severity = match precaution {
        Some(_) => Severity::Danger,
        None => Severity::Fault,
    };
    let name = &thing.name;
    if let Some(event) = taken.uncounted.iter().chain(&put.uncounted).next() {
        let step = case
            .done_at(*event)
            .map_or_else(String::new, |d| words::fold(d.name.span.text(case.text())));
        let span = case.done_at(*event).map(|d| d.name.span).unwrap_or_default();
        out.push(
            Finding::new("step.count", Severity::Fault, span, format!("`{step}` does not say how many {name}"))
                .label("not counted")
                .help(format!("count them, and add `fix {step}, 28 {name}` with your own figure; if they are new, `fix {step}, new {name}`")),
        );
        return;
    }
    if taken.total == put.total {
        return;
    }
    // With more to be put together yet, the rest may still go in.
    let is_open = !case.is_closed() && put.total < taken.total && put.events.len() < taken.events.len();
    let (taken_shown, put_shown) = (number::show(taken.total, 0), number::show(put.total, 0));
    let message = format!(
        "{taken_shown} {name} came out, from line {} on, and {put_shown} went in",
        case.line_of(*first)
    );
    let help = match precaution {
        Some(precaution) => format!(
            "{} Find it before anything turns. {DEFER}",
            sentence(&precaution.because)
        ),
        None => "take it apart and count again; one that is loose in a case is found by the gears".to_owned(),
    };
    out.push(
        Finding::new(
            "step.count",
            if is_open { Severity::Open } else { severity },
            last_done.name.span,
            message,
        )
        .label("the counts differ")
        .help(help)
        .see(case.event_span(*first), "counted out here")
        .see(case.event_span(*last), "counted in here"),
    );
}

/// Parts that are used once: new, or a finding each.
fn renewed(case: &Case<'_>, step: &Step, out: &mut Vec<Finding>) {
    let Some(id) = case.rules.book.step_id(&step.name.key) else {
        return;
    };
    for event in case.course.last_of(id) {
        let Some(done) = case.done_at(event) else { continue };
        for thing in &step.renews {
            if let Some(finding) = renewal(case, event, done, thing) {
                out.push(finding);
            }
        }
    }
}

fn renewal(case: &Case<'_>, event: usize, done: &Done, thing: &Named) -> Option<Finding> {
    const AGAIN: &[&str] = &["old", "reused", "used again", "refitted", "original", "second hand"];
    let name = words::fold(done.name.span.text(case.text()));
    let source = case.rules.book.source(thing.manual);
    let reused = done
        .said
        .iter()
        .filter(|said| matches!(said.kind, SaidKind::Tick))
        .find(|said| names_thing(&said.key, &thing.key) && AGAIN.iter().any(|word| says(&said.key, word)));
    // Accepted with its reason it stays in the record, as a doubt.
    let reason = done.reason().map(|said| words::fold(said.span.text(case.text())));
    let severity = if reason.is_some() {
        Severity::Doubt
    } else {
        Severity::Fault
    };
    let accepted = reason.map_or_else(String::new, |reason| format!(", {reason}"));
    if let Some(said) = reused {
        return Some(
            Finding::new(
                "part.reused",
                severity,
                said.span,
                format!("`{name}`: {} is used once, and was used again{accepted}", thing.name),
            )
            .label("used before")
            .help(format!(
                "fit new ones, and write `new {}`; if there is a reason, write it: `…, because …`",
                thing.name
            ))
            .see_in(source, thing.span, "the manual asks for new ones here"),
        );
    }
    let came = case
        .job
        .events
        .iter()
        .enumerate()
        .take(event)
        .any(|(_, e)| matches!(&e.kind, EventKind::Got(part) if names_thing(&part.name.key, &thing.key)));
    if came || is_new(done, &thing.key) {
        return None;
    }
    Some(
        Finding::new(
            "part.not-renewed",
            severity,
            done.name.span,
            format!("`{name}` takes new {}, and nothing says `new`", thing.name),
        )
        .label(format!("new {}?", thing.name))
        .help(format!(
            "if that was so, add `fix {name}, new {}`; if not, fit new: it is used once",
            thing.name
        ))
        .see_in(source, thing.span, "the manual asks for them here"),
    )
}

const NEEDLES: &str = "manual m\nprocedure crank\n  step take rod off  takes out needles\n  step put rod on    after take rod off; puts in needles\n";
const CIRCLIPS: &str = "manual m\nprocedure piston\n  step fit piston  renews circlips\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "step.count",
        severity: "fault; danger where a precaution has the name; open while more is to be put together",
        says: "Not as many went in as came out, or they were counted on one side only.",
        why: "A loose needle in a case is found by the gears.",
        source: "the manual's `takes out` and `puts in`; common practice, no source",
        fires: Example {
            manual: NEEDLES,
            log: "job x\nmanual m\n2026-03-14 build\ndid take rod off, 28 needles\ndid put rod on, 27 needles\n",
        },
        clean: Example {
            manual: NEEDLES,
            log: "job x\nmanual m\n2026-03-14 build\ndid take rod off, 28 needles\ndid put rod on, needles 28\n",
        },
    },
    Rule {
        code: "part.not-renewed",
        severity: "fault; doubt where it is accepted with a reason",
        says: "A step is done with a new part, and nothing says that it was: no `new …` on its line, no `from …`, none that came.",
        why: "Circlips, seals, lock tabs, stretch bolts and head gaskets are used once.",
        source: "the manual's `renews`; common practice, no source",
        fires: Example {
            manual: CIRCLIPS,
            log: "job x\nmanual m\n2026-03-14 build\ndid fit piston, arrow to exhaust\n",
        },
        clean: Example {
            manual: CIRCLIPS,
            log: "job x\nmanual m\n2026-03-14 build\ndid fit piston, arrow to exhaust, circlips new\n",
        },
    },
    Rule {
        code: "part.reused",
        severity: "fault; doubt where it is accepted with its reason",
        says: "A part that is used once was used again.",
        why: "A circlip that was out has lost its spring; a seal that was out has a lip that was turned.",
        source: "the manual's `renews`; common practice, no source",
        fires: Example {
            manual: CIRCLIPS,
            log: "job x\nmanual m\n2026-03-14 build\ndid fit piston, old circlips\n",
        },
        clean: Example {
            manual: CIRCLIPS,
            log: "job x\nmanual m\n2026-03-14 build\ndid fit piston, new circlips\n",
        },
    },
];
