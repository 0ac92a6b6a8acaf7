//! Names that nobody knows: features, parts, places, steps, tools, stages, procedures.

use rustc_hash::FxHashSet;

use crate::judge::case::Case;
use crate::judge::finding::{Edit, Example, Finding, Fix, Rule, Severity};
use crate::judge::words;
use crate::model::job::{EventKind, Instance, SaidKind, Word};
use crate::model::manual::Named;
use crate::model::names::{key, place_within};
use crate::model::stage::Stage;
use crate::model::tools::{is_plain, plain_names};
use crate::syntax::ast::Statement;
use crate::syntax::{Span, nearest};

/// Names every unknown, once each.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    features(case, out);
    steps(case, out);
    tools(case, out);
    checked(case, out);
    prose_steps(case, out);
    stages(case, out);
    procedures(case, out);
}

fn unknown(code: &'static str, span: Span, message: String, near: Option<&str>, otherwise: &str) -> Finding {
    let help = match near {
        Some(near) => format!("`{near}` is near"),
        None => otherwise.to_owned(),
    };
    Finding::new(code, Severity::Doubt, span, message)
        .label("not known")
        .help(help)
}

fn features(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut said: FxHashSet<&str> = FxHashSet::default();
    for instance in &case.job.instances {
        let Some(feature) = case.feature(instance) else {
            if !instance.readings.is_empty() && said.insert(&instance.name.key) {
                out.push(unknown_feature(case, instance, said.len() <= MOST_COMPARED));
            }
            continue;
        };
        if instance.readings.is_empty() {
            continue;
        }
        listed(
            case,
            instance,
            "part",
            "of",
            instance.part.as_ref(),
            &feature.parts,
            out,
        );
        listed(
            case,
            instance,
            "place",
            "at",
            instance.place.as_ref(),
            &feature.places,
            out,
        );
    }
}

/// Unknown names that are held against every name of the manuals: who has more of them has no manual, and not a slip of the pen.
const MOST_COMPARED: usize = 500;

/// Says that no manual knows a name; where it is to be compared, with the one that is near.
fn unknown_feature(case: &Case<'_>, instance: &Instance, is_compared: bool) -> Finding {
    let written = words::fold(instance.name.span.text(case.text()));
    let names = is_compared.then(|| case.rules.book.feature_names());
    let near = names.and_then(|names| nearest(&instance.name.key, names));
    let message = format!("no manual of this job knows `{written}`, so it cannot be judged");
    let mut finding = unknown(
        "unknown.feature",
        instance.name.span,
        message,
        near,
        "add a `feature` line to the manual, with its limit; or write it behind `note`",
    );
    if let Some(near) = near {
        // `run-out drive side` is `run-out at drive side`.
        let rest = instance
            .name
            .key
            .strip_prefix(near)
            .map(str::trim)
            .filter(|rest| !rest.is_empty());
        if let Some(rest) = rest {
            finding.help = format!("perhaps `{near} at {rest}`: the place stands behind `at`, the part behind `of`");
        }
    }
    finding
}

/// A part or place must be one of those the manual lists, where it lists any.
fn listed(
    case: &Case<'_>,
    instance: &Instance,
    what: &str,
    word: &str,
    said: Option<&Word>,
    known: &[Named],
    out: &mut Vec<Finding>,
) {
    if known.is_empty() {
        return;
    }
    let names: Vec<String> = known.iter().map(|n| n.name.clone()).collect();
    let name = case.feature(instance).map_or("", |f| f.name.name.as_str());
    match said {
        Some(said)
            if known
                .iter()
                .any(|n| place_within(&said.key, &n.key) || place_within(&n.key, &said.key)) => {}
        Some(said) => {
            let near = nearest(&said.key, known.iter().map(|n| n.key.as_str()));
            let message = format!(
                "{name} has no {what} `{}`: the manual lists {}",
                said.key,
                words::list(&names)
            );
            out.push(unknown(
                "unknown.place",
                said.span,
                message,
                near,
                "write one of them, or add this one to the manual's `feature` line",
            ));
        }
        // Of a table: its rows and columns are parts where the manual lists them, so this one is misspelt.
        None if what == "part"
            && instance
                .place
                .as_ref()
                .is_some_and(|place| place.span != instance.name.span) =>
        {
            let place = instance.place.as_ref();
            let written = place.map_or("", |p| p.key.as_str());
            let span = place.map_or(instance.name.span, |p| p.span);
            let message = format!(
                "{name}: nothing in `{written}` is one of its parts: {}",
                words::list(&names)
            );
            let help = format!(
                "write `{name} {word} {} = …`, or the part's name as the name of a row or a column",
                names.first().map_or("", String::as_str)
            );
            out.push(unknown("unknown.place", span, message, None, &help));
        }
        None => {
            let message = format!("{name} does not say its {what}: {}", words::list(&names));
            let help = format!("write `{name} {word} {} = …`", names.first().map_or("", String::as_str));
            out.push(unknown("unknown.place", instance.name.span, message, None, &help));
        }
    }
}

fn steps(case: &Case<'_>, out: &mut Vec<Finding>) {
    if case.rules.book.procedures.is_empty() {
        return;
    }
    let mut said: FxHashSet<&str> = FxHashSet::default();
    for (_, done) in &case.done {
        if done.step.is_some() || !said.insert(&done.name.key) {
            continue;
        }
        let written = words::fold(done.name.span.text(case.text()));
        let is_compared = said.len() <= MOST_COMPARED;
        let near = is_compared.then(|| nearest(&done.name.key, case.rules.book.step_names()));
        let near = near.flatten();
        // Without a manual of its own a job may hold any step; only a known one with a slip of the pen is asked about.
        let is_slip = |near: &str| strsim::osa_distance(near, &done.name.key) <= 2;
        if case.job.manuals.is_empty() && !near.is_some_and(is_slip) {
            continue;
        }
        let message = format!("no manual of this job knows the step `{written}`, so nothing follows from it");
        out.push(unknown(
            "unknown.step",
            done.name.span,
            message,
            near,
            "add a `step` line to the manual's procedure; or write it behind `note`",
        ));
    }
}

/// Prose that is the name of a step: `did` was forgotten, and nothing would follow from it.
fn prose_steps(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut in_head = true;
    for entry in &case.tree.entries {
        in_head &= !matches!(entry.statement, Statement::Day { .. });
        let Statement::Note(text) = entry.statement else {
            continue;
        };
        // Behind the word `note` it is meant as prose.
        if text.start != entry.span.start {
            continue;
        }
        if in_head && let Some(finding) = misspelt_head(case, text) {
            out.push(finding);
            continue;
        }
        let said = text.text(case.text());
        let name = said.split([',', ';']).next().unwrap_or("");
        if case.rules.book.step_id(&key(name.trim())).is_none() {
            continue;
        }
        let name = words::fold(name);
        out.push(
            Finding::new(
                "step.no-did",
                Severity::Fault,
                text,
                format!("`{name}` is a step, but the line does not begin with `did`, so it is read as prose"),
            )
            .label("`did` or `note`?")
            .help(format!(
                "if it was done, write `did {name}`; if it is only a remark, put `note` in front"
            ))
            .fix(Some(Fix {
                title: "put `did` in front".to_owned(),
                edits: vec![Edit {
                    span: Span {
                        end: text.start,
                        ..text
                    },
                    text: "did ".to_owned(),
                }],
            })),
        );
    }
}

/// Prose before the first day whose first word is a head word with one letter wrong: `manul tarn-250` would leave the job without its manual.
fn misspelt_head(case: &Case<'_>, text: Span) -> Option<Finding> {
    const HEAD: &[&str] = &["job", "machine", "owner", "hours", "manual", "procedure", "units"];
    let said = text.text(case.text());
    let written = said.split([' ', '\t']).next()?;
    let first = written.to_lowercase();
    let near = HEAD
        .iter()
        .find(|word| strsim::osa_distance(word, &first) == 1 && first != format!("{word}s"))?;
    let span = Span {
        end: text.start + u32::try_from(written.len()).ok()?,
        ..text
    };
    let message = format!("no line begins with `{first}`, so this is read as prose");
    Some(
        Finding::new("line.unread", Severity::Fault, span, message)
            .label(format!("`{near}`?"))
            .help(format!("`{near}` is near; if it is prose, put `note` in front"))
            .fix(Some(Fix {
                title: format!("write `{near}`"),
                edits: vec![Edit {
                    span,
                    text: (*near).to_owned(),
                }],
            })),
    )
}

fn tools(case: &Case<'_>, out: &mut Vec<Finding>) {
    let in_readings = case.job.readings.iter().filter_map(|r| r.tool.as_ref());
    let in_amounts = case
        .job
        .events
        .iter()
        .filter_map(|event| match &event.kind {
            EventKind::Did(done) => Some(&done.said),
            _ => None,
        })
        .flatten()
        .filter_map(|said| match &said.kind {
            SaidKind::Amount(amount) => amount.tool.as_ref(),
            _ => None,
        });
    let mut said: FxHashSet<&str> = FxHashSet::default();
    for tool in in_readings.chain(in_amounts) {
        if !said.insert(&tool.key) || is_plain(&tool.key) || case.job.tool(&tool.key).is_some() {
            continue;
        }
        let declared = case.job.tools.iter().map(|t| t.name.key.as_str());
        let near = if said.len() <= MOST_COMPARED {
            nearest(&tool.key, declared).or_else(|| nearest(&tool.key, plain_names()))
        } else {
            None
        };
        let written = words::fold(tool.span.text(case.text()));
        out.push(unknown(
            "unknown.tool",
            tool.span,
            format!("no tool is called `{written}`"),
            near,
            &format!("declare it at the head: `tool {written}: what it is, reads to 0.01 mm`; if part of it says how the work was held, put a comma before that"),
        ));
    }
}

/// `checked float 0.15`: what it names is no tool, and its figure would be lost. Without a figure it is prose.
fn checked(case: &Case<'_>, out: &mut Vec<Finding>) {
    for event in &case.job.events {
        let EventKind::Checked(tool) = &event.kind else {
            continue;
        };
        let has_figure = event.span.text(case.text()).bytes().any(|b| b.is_ascii_digit());
        if !has_figure || is_plain(&tool.key) || case.job.tool(&tool.key).is_some() {
            continue;
        }
        let written = words::fold(tool.span.text(case.text()));
        let near = nearest(&tool.key, case.job.tools.iter().map(|t| t.name.key.as_str()));
        out.push(unknown(
            "unknown.tool",
            tool.span,
            format!("`checked` names a tool that was checked, and no tool is called `{written}`"),
            near,
            "a reading is written `FEATURE = FIGURE`; a remark has `note` in front",
        ));
    }
}

fn stages(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut said: FxHashSet<String> = FxHashSet::default();
    for entry in &case.tree.entries {
        let Statement::Day { stage: Some(stage), .. } = &entry.statement else {
            continue;
        };
        let folded = key(stage.text(case.text())).into_owned();
        let in_manual = || {
            case.rules
                .book
                .features
                .iter()
                .flat_map(|f| &f.limits)
                .any(|limit| limit.stage == folded)
        };
        if Stage::is_known(&folded) || said.contains(&folded) || in_manual() {
            continue;
        }
        let near = nearest(&folded, Stage::all());
        let all: Vec<&str> = Stage::all().collect();
        let message = format!(
            "`{}` is no stage that is known; it is judged like `build`",
            words::fold(stage.text(case.text()))
        );
        out.push(unknown(
            "unknown.stage",
            *stage,
            message,
            near,
            &format!("the stages are {}", all.join(", ")),
        ));
        said.insert(folded);
    }
}

fn procedures(case: &Case<'_>, out: &mut Vec<Finding>) {
    for procedure in &case.job.procedures {
        let known = || case.rules.book.procedures.iter().map(|p| p.name.key.as_str());
        if known().any(|name| name == procedure.key) {
            continue;
        }
        let near = nearest(&procedure.key, known());
        let message = format!("no manual of this job has a procedure `{}`", procedure.key);
        out.push(unknown(
            "unknown.procedure",
            procedure.span,
            message,
            near,
            "look at the manual's `procedure` lines",
        ));
    }
}

const MANUAL: &str = "manual m\nsource page 1\nfeature run-out at drive side, flywheel side\n  build up to 0.03 mm\nprocedure crank\n  step true crank\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "unknown.feature",
        severity: "doubt",
        says: "A reading is of something that no manual of the job knows.",
        why: "Without a limit a figure cannot be judged. Often it is a spelling, or a place that belongs behind `at`.",
        source: "the manuals of the job",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out drive side = 0.02 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out at drive side = 0.02 mm\n",
        },
    },
    Rule {
        code: "unknown.place",
        severity: "doubt",
        says: "A reading has a part or place that the manual does not list, or leaves it out.",
        why: "Readings at different places are different readings: under a wrong name one of them seems to be missing, and none is overtaken.",
        source: "the manual's `feature` line",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out at drve side = 0.02 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out at drive side = 0.02 mm\n",
        },
    },
    Rule {
        code: "unknown.step",
        severity: "doubt",
        says: "A step is not in any procedure of the job's manuals.",
        why: "Nothing follows from it: it overtakes no reading and needs no precaution. Often it is a spelling.",
        source: "the manuals of the job",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid tru crank\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid true crank\n",
        },
    },
    Rule {
        code: "step.no-did",
        severity: "fault",
        says: "A line is the name of a step, but does not begin with `did`.",
        why: "Without `did` it is prose: no precaution is asked for, and no reading is overtaken.",
        source: "the manuals of the job",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ntrue crank, one light tap\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid true crank, one light tap\n",
        },
    },
    Rule {
        code: "unknown.tool",
        severity: "doubt",
        says: "A reading was taken with a tool that is not declared, and whose name is not the plain name of a kind.",
        why: "How far a reading is to be trusted depends on the tool.",
        source: "the log's `tool` lines",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool dial 1: dial indicator\n2026-03-14 build\nrun-out at drive side = 0.02 mm by dial 2\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool dial 1: dial indicator\n2026-03-14 build\nrun-out at drive side = 0.02 mm by dial 1\n",
        },
    },
    Rule {
        code: "unknown.stage",
        severity: "doubt",
        says: "A day has a stage that is not known.",
        why: "The stage decides which limit is used.",
        source: "the language reference",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 biuld\nrun-out at drive side = 0.02 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nrun-out at drive side = 0.02 mm\n",
        },
    },
    Rule {
        code: "unknown.procedure",
        severity: "doubt",
        says: "The log is to follow a procedure that no manual has.",
        why: "None of its steps can be asked for.",
        source: "the manuals of the job",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\nprocedure crnk\n2026-03-14 build\ndid true crank\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\nprocedure crank\n2026-03-14 build\ndid true crank\n",
        },
    },
];
