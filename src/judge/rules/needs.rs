//! What a step's line must say, and what must never be done; its amounts are held against their bounds by `bounds`.

use std::collections::BTreeSet;

use rustc_hash::FxHashMap;

use crate::judge::case::Case;
use crate::judge::disturbance::only_of;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::procedure::holds;
use crate::judge::words;
use crate::model::book::StepId;
use crate::model::job::{Done, Said, SaidKind};
use crate::model::manual::{Named, Never, NeverWhen, Precaution};
use crate::model::names::says;

use super::shared::danger::{DEFER, sentence};
use super::shared::walk::each_done;

/// Checks what the line of each step that was done must say, and what must never be done.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let all = case.rules.book.procedures.iter().flat_map(|p| &p.nevers);
    let nevers: Vec<Forbidden<'_>> = all.map(|never| Forbidden::new(case, never)).collect();
    // A step is done many times under few names, and most names are none that is forbidden.
    let mut by_name: FxHashMap<(&str, Option<StepId>), Vec<usize>> = FxHashMap::default();
    each_done(case, out, |event, done, found| {
        let named = by_name
            .entry((done.name.key.as_str(), done.step))
            .or_insert_with(|| named_by(&nevers, done));
        let nevers = named.iter().filter_map(|number| nevers.get(*number));
        let is_forbidden = broken(case, nevers, event, done, found);
        let Some(step) = case.step(done) else { return };
        for need in &step.needs {
            // What must not be done at all is not made right by a precaution.
            if !(is_forbidden && case.rules.book.precaution(&need.key).is_some()) {
                found.extend(unsaid(case, done, need));
            }
        }
    });
}

/// What must never be done, with the step it names and the one it is held against, where a manual knows them.
struct Forbidden<'c> {
    never: &'c Never,
    step: Option<StepId>,
    /// Each time the other step was done, of `before` and `after`.
    others: Vec<(usize, &'c Done)>,
    /// The parts by which the two are told apart, as in [`crate::order`]: those their lines name, if they have one in common; else none.
    parts: Vec<&'c str>,
}

impl<'c> Forbidden<'c> {
    fn new(case: &'c Case<'_>, never: &'c Never) -> Forbidden<'c> {
        let step = case.rules.book.step_id(&never.step.key);
        let other = match &never.when {
            NeverWhen::Ever => None,
            NeverWhen::Before(other) | NeverWhen::After(other) => case.rules.book.step_id(&other.key),
        };
        let done = |id: Option<StepId>| {
            let all = case
                .done
                .iter()
                .filter(move |(_, done)| id.is_some() && done.step == id);
            all.map(|(event, done)| (*event, *done))
        };
        let others: Vec<(usize, &Done)> = done(other).collect();
        let named = |id: Option<StepId>| -> BTreeSet<&str> { done(id).flat_map(|(_, done)| only_of(done)).collect() };
        let parts = if others.is_empty() {
            Vec::new()
        } else {
            let (own, theirs) = (named(step), named(other));
            let has_common = !own.is_disjoint(&theirs);
            own.union(&theirs).copied().filter(|_| has_common).collect()
        };
        Forbidden {
            never,
            step,
            others,
            parts,
        }
    }

    /// For each part that a step was done on, the last time the other was done on it before, and not undone by then.
    fn in_force(&self, event: usize, done: &Done) -> Vec<Option<usize>> {
        let is_on = |done: &Done, part: Option<&str>| {
            let named = only_of(done);
            part.is_none_or(|part| named.is_empty() || named.contains(&part))
        };
        let end = self.others.partition_point(|(at, _)| *at < event);
        let last = |part: Option<&str>| {
            let mut before = self.others.iter().take(end).rev();
            let counts = |d: &Done| is_on(d, part) && d.undone.is_none_or(|undone| undone.at > event);
            before.find(|(_, d)| counts(d)).map(|(at, _)| *at)
        };
        if self.parts.is_empty() {
            return vec![last(None)];
        }
        let here = self
            .parts
            .iter()
            .map(|part| Some(*part))
            .filter(|part| is_on(done, *part));
        here.map(last).collect()
    }
}

fn unsaid(case: &Case<'_>, done: &Done, need: &Named) -> Option<Finding> {
    // `oiled or paste`: either will do; and where one of them keeps people from harm, so does the need.
    let mut names: Vec<&str> = need.key.split(" or ").collect();
    let precautions: Vec<&Precaution> = names
        .iter()
        .filter_map(|name| case.rules.book.precaution(name))
        .collect();
    for precaution in &precautions {
        names.push(&precaution.name.key);
        names.extend(precaution.also.iter().map(String::as_str));
    }
    let precaution = precautions.first().copied();
    let amount = done
        .said
        .iter()
        .any(|said| matches!(&said.kind, SaidKind::Amount(amount) if names.contains(&amount.name.as_str())));
    if amount || case.says_any(done, &names) {
        return None;
    }
    let name = words::fold(done.name.span.text(case.text()));
    // Nothing is overwritten: what was done and not written is added below. Of alternatives the first is shown.
    let first = need.name.split(" or ").next().unwrap_or(&need.name);
    let line = format!("fix {name}, {first}");
    let wanted = format!("`{}`", need.name.replace(" or ", "` or `"));
    let slip = misspelt(case, done, &names);
    let finding = match precaution {
        Some(precaution) => {
            let why = sentence(&precaution.because);
            Finding::new(
                "danger.precaution",
                Severity::Danger,
                done.name.span,
                format!("`{name}` does not say {wanted}{slip}"),
            )
            .label(format!("{wanted} is not written"))
            .help(
                format!("{why} Stop and make sure of it; if it was done and only not written, add `{line}`. {DEFER}")
                    .trim()
                    .to_owned(),
            )
            .see_in(
                case.rules.book.source(precaution.manual),
                precaution.name.span,
                "the precaution",
            )
        }
        None => Finding::new(
            "step.need",
            Severity::Fault,
            done.name.span,
            format!("`{name}` needs {wanted}, and it is not written{slip}"),
        )
        .label(format!("{wanted} is not written"))
        .help(format!(
            "if it was done and only not written, add `{line}`; if not, do it"
        )),
    };
    Some(finding.see_in(
        case.rules.book.source(need.manual),
        need.span,
        "the step asks for it here",
    ))
}

/// `; `web supportd` is near`: a tick that is nearly one of the names; empty if there is none.
fn misspelt(case: &Case<'_>, done: &Done, names: &[&str]) -> String {
    let is_near = |said: &Said| {
        let mut long = names.iter().filter(|name| name.len() > 4);
        matches!(said.kind, SaidKind::Tick) && long.any(|name| strsim::osa_distance(&said.key, name) <= 2)
    };
    let near = done.said.iter().find(|said| is_near(said));
    near.map_or_else(String::new, |said| {
        format!("; `{}` is near", words::fold(said.span.text(case.text())))
    })
}

/// The numbers of those whose step is the one that was done, or whose name it says.
fn named_by(nevers: &[Forbidden<'_>], done: &Done) -> Vec<usize> {
    let is_named = |forbidden: &Forbidden<'_>| {
        let same_step = done.step.is_some() && forbidden.step == done.step;
        same_step || says(&done.name.key, &forbidden.never.step.key)
    };
    let all = nevers.iter().enumerate();
    all.filter(|(_, forbidden)| is_named(forbidden))
        .map(|(number, _)| number)
        .collect()
}

/// Adds a danger for each `never` about a step that it breaks; whether there was one.
fn broken<'c>(
    case: &Case<'_>,
    nevers: impl Iterator<Item = &'c Forbidden<'c>>,
    event: usize,
    done: &Done,
    out: &mut Vec<Finding>,
) -> bool {
    let mut is_broken = false;
    for forbidden in nevers {
        let never = forbidden.never;
        let ticked = never.ticks.iter().all(|tick| is_done_with(case, done, tick));
        let applies = || never.only_if.iter().all(|condition| holds(case, condition, None));
        if !(ticked && applies()) {
            continue;
        }
        match &never.when {
            NeverWhen::Ever => {
                out.push(never_at_all(case, done, never));
                is_broken = true;
            }
            NeverWhen::Before(other) => {
                if forbidden.in_force(event, done).contains(&None) {
                    out.push(out_of_turn(case, done, never, other, None));
                }
            }
            NeverWhen::After(other) => {
                if let Some(at) = forbidden.in_force(event, done).into_iter().flatten().max() {
                    out.push(out_of_turn(case, done, never, other, Some(at)));
                }
            }
        }
    }
    is_broken
}

/// Whether a step was done with a forbidden tick. Words that say one of the step's own needs (`air bled`) are not it.
fn is_done_with(case: &Case<'_>, done: &Done, tick: &str) -> bool {
    let needs = case.step(done).map_or(&[][..], |step| step.needs.as_slice());
    done.said
        .iter()
        .filter(|said| said.is_tick() && says(&said.key, tick))
        .any(|said| !needs.iter().any(|need| says(&said.key, &need.key)))
}

/// A step that hurts when it is done before, or after, another.
fn out_of_turn(case: &Case<'_>, done: &Done, never: &Never, other: &Named, at: Option<usize>) -> Finding {
    let name = words::fold(done.name.span.text(case.text()));
    let message = match at {
        None => format!(
            "`{name}` must never be done before `{}`, and that is not written above",
            other.name
        ),
        Some(at) => format!(
            "`{name}` must never be done after `{}`, which stands on line {}",
            other.name,
            case.line_of(at)
        ),
    };
    let next = match at {
        None => format!(
            "Stop and do `{}` first; if it was done and only not written, write it above this line.",
            other.name
        ),
        Some(_) => format!(
            "Do not go on. If `{}` was undone in between, write `undid {}, because …` above this line.",
            other.name, other.name
        ),
    };
    let finding = Finding::new("danger.sequence", Severity::Danger, done.name.span, message)
        .label(if at.is_none() { "too early" } else { "too late" })
        .help(format!("{} {next} {DEFER}", sentence(&never.because)).trim().to_owned())
        .see_in(
            case.rules.book.source(never.manual),
            never.step.span,
            "the manual forbids it here",
        );
    match at {
        Some(at) => finding.see(case.event_span(at), "done here"),
        None => finding,
    }
}

fn never_at_all(case: &Case<'_>, done: &Done, never: &Never) -> Finding {
    let name = words::fold(done.name.span.text(case.text()));
    let with = if never.ticks.is_empty() {
        String::new()
    } else {
        format!(" with `{}`", never.ticks.join("`, `"))
    };
    Finding::new(
        "danger.never",
        Severity::Danger,
        done.name.span,
        format!("`{name}` must never be done{with}"),
    )
    .label("never")
    .help(
        format!("{} Do not go on. {DEFER}", sentence(&never.because))
            .trim()
            .to_owned(),
    )
    .see_in(
        case.rules.book.source(never.manual),
        never.step.span,
        "the manual forbids it here",
    )
}

pub(super) const PRESS: &str = "manual m\nprecaution web supported, also web held\n  because an unsupported web bends the shaft, and the pin can fly\n\
                     procedure crank\n  step press together  needs web supported, oiled; force up to rating of press\n";

const SEQUENCE: &str = "manual m\nprocedure start\n  step prime oil  optional\n  step start engine\n  never start engine before prime oil because a dry bearing seizes in seconds\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "danger.precaution",
        severity: "danger",
        says: "A step does not say the precaution that keeps people from harm.",
        why: "What may hurt somebody is asked for by name, on the step's own line. The precaution's own reason is shown with the finding. \
              The machine's workshop manual, local codes and licensed practice come first.",
        source: "the manual's `precaution`; common practice, no source",
        fires: Example {
            manual: PRESS,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together, oiled\n",
        },
        clean: Example {
            manual: PRESS,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together, oiled, web held close round the pin\n",
        },
    },
    Rule {
        code: "danger.never",
        severity: "danger",
        says: "A step was done that must never be done, or not in that way.",
        why: "The manual says why, and the reason is shown with the finding. The machine's workshop manual, local codes and licensed practice come first.",
        source: "the manual's `never`; common practice, no source",
        fires: Example {
            manual: "manual m\nprocedure pump\n  step pressure test\n  never pressure test, air because compressed air stores energy and throws parts\n",
            log: "job x\nmanual m\n2026-03-14 build\ndid pressure test, shop air, 8 bar\n",
        },
        clean: Example {
            manual: "manual m\nprocedure pump\n  step pressure test\n  never pressure test, air because compressed air stores energy and throws parts\n",
            log: "job x\nmanual m\n2026-03-14 build\ndid pressure test, water, 9 bar\n",
        },
    },
    Rule {
        code: "danger.sequence",
        severity: "danger",
        says: "A step was done before, or after, another with which it can hurt somebody in that order.",
        why: "A plain bearing that is started dry is gone in seconds and may throw its rod; a case heated with the seals in fumes and burns. The manual's own \
              reason is shown with the finding. The machine's workshop manual, local codes and licensed practice come first.",
        source: "the manual's `never … before …` and `never … after …`; common practice, no source",
        fires: Example {
            manual: SEQUENCE,
            log: "job x\nmanual m\n2026-03-14 build\ndid start engine\ndid prime oil\n",
        },
        clean: Example {
            manual: SEQUENCE,
            log: "job x\nmanual m\n2026-03-14 build\ndid prime oil\ndid start engine\n",
        },
    },
    Rule {
        code: "step.need",
        severity: "fault",
        says: "A step does not say something it needs.",
        why: "Oiled, new washers, threadlocked: what is not written cannot be proved later.",
        source: "the manual's `needs`",
        fires: Example {
            manual: PRESS,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together, web supported\n",
        },
        clean: Example {
            manual: PRESS,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together, web supported, oiled\n",
        },
    },
];
