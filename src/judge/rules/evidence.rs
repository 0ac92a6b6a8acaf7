//! Evidence: readings that were overtaken, and readings that are owed.

use rustc_hash::FxHashMap;

use crate::calc::{Reason, Worked};
use crate::judge::case::Case;
use crate::judge::finals::Final;
use crate::judge::finding::{Example, Finding, Rule};
use crate::judge::owed::{Owed, OwedBy, owed_readings, stale_readings};
use crate::judge::words;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Reading};
use crate::model::manual::Feature;
use crate::model::names::named;
use crate::quantity::Verdict;

/// How many derived features are named that rest on one reading.
const MOST_NAMES: usize = 3;

/// Finds what is stale and what is missing.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    stale(case, out);
    missing(case, out);
}

/// One finding for all that was read on one line and overtaken by one step.
fn stale(case: &Case<'_>, out: &mut Vec<Finding>) {
    // The event of the readings and that of the last step that overtook them.
    type Group = (usize, usize);
    let mut groups: Vec<(Group, Vec<(&Instance, &Reading)>)> = Vec::new();
    let mut known: FxHashMap<Group, usize> = FxHashMap::default();
    for (instance, reading, overtaker) in stale_readings(case) {
        let group = (reading.event, overtaker);
        let at = *known.entry(group).or_insert_with(|| {
            groups.push((group, Vec::new()));
            groups.len() - 1
        });
        if let Some((_, list)) = groups.get_mut(at) {
            list.push((instance, reading));
        }
    }
    let rests = if groups.is_empty() {
        FxHashMap::default()
    } else {
        resting(case)
    };
    for ((event, overtaker), list) in groups {
        let Some((instance, reading)) = list.first() else {
            continue;
        };
        let steps = instance
            .feature
            .map_or_else(Vec::new, |feature| case.overtakers(feature, instance, reading.event));
        let name = match list.len() {
            1 => format!("{} ({})", words::subject(case, instance), words::reading(case, reading)),
            _ => case
                .feature(instance)
                .map_or_else(String::new, |f| format!("{} ({} readings)", f.name.name, list.len())),
        };
        let (which, disturb) = match steps.as_slice() {
            [] => (step_on_line(case, overtaker), "disturbs"),
            [one] => (step_on_line(case, *one), "disturbs"),
            [first, .., last] => {
                let between = if steps.len() > 2 {
                    format!(", {} more", steps.len() - 2)
                } else {
                    String::new()
                };
                (
                    format!(
                        "{}{between} and {}",
                        step_on_line(case, *first),
                        step_on_line(case, *last)
                    ),
                    "disturb",
                )
            }
        };
        let message = format!("{name} was read before {which}, which {disturb} it: it proves nothing any more");
        let decision = case
            .index_of(reading)
            .and_then(|index| case.decisions.get(index).copied().flatten());
        let even_then = match (decision, case.limit_of(reading)) {
            (Some((_, decision)), Some(limit)) if list.len() == 1 => match decision.verdict {
                Verdict::NotProven => format!("; even then it was not proven to be {}", limit.words()),
                _ if decision.is_close => format!("; even then it was too close to call, against {}", limit.words()),
                _ => String::new(),
            },
            _ => String::new(),
        };
        let message = format!("{message}{even_then}");
        let span = if list.len() == 1 {
            reading.figure_span
        } else {
            case.event_span(event)
        };
        let again = words::fold(reading.name_span.text(case.text()));
        let mut names: Vec<String> = Vec::new();
        for index in list.iter().filter_map(|(_, reading)| case.index_of(reading)) {
            for name in rests.get(&index).into_iter().flatten() {
                if names.len() < MOST_NAMES && !names.iter().any(|known| known == name) {
                    names.push((*name).to_owned());
                }
            }
        }
        let resting = match names.as_slice() {
            [] => String::new(),
            [one] => format!("; {one} rests on it"),
            names => format!("; {} rest on it", words::list(names)),
        };
        let mut finding = Finding::new("reading.stale", case.owed(), span, message)
            .label("read before the step")
            .help(format!(
                "read it again and write it below line {}: `{again} = …`{resting}",
                case.line_of(overtaker)
            ));
        if let Some(first) = steps.first().filter(|first| **first != overtaker) {
            finding = finding.see(case.event_span(*first), "this came after the reading");
        }
        finding = finding.see(case.event_span(overtaker), "this came after the reading");
        let by = instance
            .feature
            .and_then(|feature| case.disturbing(feature, instance, overtaker));
        if let Some((target, manual, through)) = by {
            let what = match through.and_then(|id| case.rules.book.features.get(id)) {
                Some(input) => format!("it disturbs {}, which this rests on", input.name.name),
                None => "the manual says here what it disturbs".to_owned(),
            };
            finding = finding.see_in(case.rules.book.source(manual), target.span, what);
        }
        out.push(finding);
    }
}

/// For each reading, the derived features that are judged and rest on it, by name.
fn resting<'a>(case: &Case<'a>) -> FxHashMap<usize, Vec<&'a str>> {
    let mut all: FxHashMap<usize, Vec<&str>> = FxHashMap::default();
    for figure in case.finals.iter().filter(|figure| figure.limit.is_some()) {
        let Ok(worked) = &figure.result else { continue };
        for index in &worked.inputs {
            let names = all.entry(*index).or_default();
            let name = figure.feature.name.name.as_str();
            if names.last() != Some(&name) && names.len() < MOST_NAMES {
                names.push(name);
            }
        }
    }
    all
}

/// A derived feature that a step disturbs as a whole, and whose readings are all older than that.
pub(super) fn stale_sum(case: &Case<'_>, figure: &Final<'_>, worked: &Worked, event: usize) -> Finding {
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let mut inputs: Vec<String> = Vec::new();
    for reading in worked.inputs.iter().filter_map(|index| case.job.readings.get(*index)) {
        let read = case
            .instance(reading)
            .map_or_else(String::new, |instance| words::subject(case, instance));
        if !inputs.contains(&read) {
            inputs.push(read);
        }
    }
    let step = step_on_line(case, event);
    let message =
        format!("{name} comes from readings older than {step}, which disturbs it: it proves nothing any more");
    let latest = case.latest_input(worked);
    let span = latest.map_or(case.event_span(event), |reading| reading.figure_span);
    Finding::new("reading.stale", case.owed(), span, message)
        .label("read before the step")
        .help(format!(
            "read again what it moved, of {}, and write it below line {}",
            words::list(&inputs),
            case.line_of(event)
        ))
        .see(case.event_span(event), "this came after the readings")
}

/// `true crank` on line 86.
fn step_on_line(case: &Case<'_>, event: usize) -> String {
    let name = case
        .done_at(event)
        .map_or_else(String::new, |done| words::fold(done.name.span.text(case.text())));
    format!("`{name}` on line {}", case.line_of(event))
}

/// One finding for each feature that is owed.
fn missing(case: &Case<'_>, out: &mut Vec<Finding>) {
    for Owed {
        id,
        feature,
        absent,
        by,
    } in owed_readings(case)
    {
        let finding = match by {
            OwedBy::Required(stage) => {
                let when = if stage.is_empty() {
                    String::new()
                } else {
                    format!(" {stage}")
                };
                let message = format!(
                    "{} {} owed{when} and {} not read",
                    words::list(&absent),
                    words::is(&absent),
                    words::was(&absent)
                );
                owed(case, feature, message)
            }
            OwedBy::Step(step) if case.is_derived(id) => owed_sum(case, id, feature, &step.name.name),
            OwedBy::Step(step) => {
                let message = format!(
                    "{} {} not read, though `{}` asks for it",
                    words::list(&absent),
                    words::was(&absent),
                    step.name.name
                );
                owed(case, feature, message)
            }
        };
        out.push(finding);
    }
}

/// A derived feature that is asked for and cannot be worked out: what is missing is one of its readings.
fn owed_sum(case: &Case<'_>, id: FeatureId, feature: &Feature, asked_by: &str) -> Finding {
    let lacking = case.finals.iter().filter(|f| f.id == id).find_map(|f| match &f.result {
        Err(Reason::Missing(name)) if !name.is_empty() => Some(name.clone()),
        _ => None,
    });
    let mut own = case.finals.iter().filter(|f| f.id == id);
    let is_alone = own.any(|f| matches!(f.result, Err(Reason::Alone)));
    let message = match &lacking {
        Some(name) => format!(
            "{} cannot be worked out, though `{asked_by}` asks for it: {name} was not read",
            feature.name.name
        ),
        None if is_alone => format!(
            "{} cannot be worked out, though `{asked_by}` asks for it: it compares readings with each other, and there is only one",
            feature.name.name
        ),
        None => format!(
            "{} cannot be worked out, though `{asked_by}` asks for it",
            feature.name.name
        ),
    };
    let finding = owed(case, feature, message);
    match lacking {
        Some(name) => finding.help(format!("measure it and write `{name} = …`")),
        None => finding,
    }
}

fn owed(case: &Case<'_>, feature: &Feature, message: String) -> Finding {
    let span = case.job.closed.unwrap_or(case.job.head);
    let label = if case.is_closed() {
        "closed without it"
    } else {
        "still to be read"
    };
    Finding::new("reading.missing", case.owed(), span, message)
        .label(label)
        .help(format!("measure it and write `{} = …`", feature.name.name))
        .see_in(
            case.rules.book.source(feature.manual),
            feature.name.span,
            "the manual has it here",
        )
}

const MANUAL: &str = "manual m\nsource page 1\nfeature run-out at drive side, flywheel side\n  build up to 0.03 mm\n  required\n\
                      procedure crank\n  step true crank  disturbs run-out\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "reading.stale",
        severity: "open; fault once the job is closed",
        says: "The latest reading of a feature was taken before a step that disturbs it.",
        why: "Pressing and truing move webs; honing changes the bore; a gasket changes the squish. What was read before is no evidence any more, however good it was.",
        source: "the manual's `disturbs`; common practice, no source",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid true crank\nrun-out at drive side = 0.02 mm\nrun-out at flywheel side = 0.01 mm\ndid true crank, one light tap\nrun-out at drive side = 0.02 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid true crank\nrun-out at drive side = 0.02 mm\nrun-out at flywheel side = 0.01 mm\n",
        },
    },
    Rule {
        code: "reading.missing",
        severity: "open; fault once the job is closed",
        says: "A reading that the manual requires, or that a step is there to take, was not taken.",
        why: "What was not measured cannot be shown to be right.",
        source: "the manual's `required`, `reads` and `until`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out at drive side = 0.02 mm\ndid true crank\nrun-out at drive side = 0.02 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid true crank\nrun-out at drive side = 0.02 mm\nrun-out at flywheel side = 0.01 mm\n",
        },
    },
];
