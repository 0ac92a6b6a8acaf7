//! The manuals a log names: found, sound, and not contradicting each other.

use std::sync::Arc;

use crate::calc::Rulebook;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::{Settings, words};
use crate::model::job::Job;
use crate::model::names::file_key;
use crate::syntax::ast::SyntaxError;

/// What was found for the `manual` lines of a log.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// The rules to judge by.
    pub rules: Arc<Rulebook>,
    /// For each name that was not found: the name, and the nearest that exists.
    pub missing: Vec<(String, Option<String>)>,
    /// For each manual with faults in it: its name, and how many.
    pub faulty: Vec<(String, usize)>,
    /// What the repository says for all its logs.
    pub settings: Settings,
    /// What is wrong with the file those were to come from, with its name and line; the defaults are then used.
    pub settings_problem: Option<String>,
}

/// Judges the head of a log.
pub fn check(job: &Job, text: &str, resolved: &Resolved, out: &mut Vec<Finding>) {
    for manual in &job.manuals {
        let written = words::fold(manual.span.text(text));
        let wanted = file_key(&written);
        if let Some((_, near)) = resolved.missing.iter().find(|(name, _)| file_key(name) == wanted) {
            let help = match near {
                Some(near) => format!("`{near}` is near"),
                None => "put a file of that name beside the log or in a `manuals` folder above it; `gudgeon shelf` lists the built-in ones".to_owned(),
            };
            out.push(
                Finding::new(
                    "unknown.manual",
                    Severity::Fault,
                    manual.span,
                    format!("no manual is called `{written}`"),
                )
                .label("not found")
                .help(help),
            );
        }
    }
    if let Some(problem) = &resolved.settings_problem {
        out.push(
            Finding::new(
                "settings.invalid",
                Severity::Fault,
                job.head,
                format!("the settings of this repository are not used: {problem}"),
            )
            .label("judged without them")
            .help(format!(
                "the keys of `gudgeon.toml` are `decide`, `fail-on`, `baseline` and the tables `[weigh]` and `[report]`; of `decide`: {}",
                crate::model::acceptance::ALLOWED
            )),
        );
    }
    let place = job.manuals.last().map_or(job.head, |m| m.span);
    for (name, count) in &resolved.faulty {
        let things = if *count == 1 {
            "a fault in it".to_owned()
        } else {
            format!("{count} faults in it")
        };
        out.push(
            Finding::new(
                "manual.faulty",
                Severity::Doubt,
                place,
                format!("manual {name} has {things}, so some of it is not used"),
            )
            .label("judged by a manual with faults")
            .help(format!("run `gudgeon inspect` on {name}")),
        );
    }
    twice(job, &resolved.rules, place, out);
}

/// Two manuals that the log names, each with a limit for one feature.
fn twice(job: &Job, rules: &Rulebook, place: crate::syntax::Span, out: &mut Vec<Finding>) {
    if job.manuals.len() < 2 {
        return;
    }
    let book = &rules.book;
    let name = |manual: usize| book.manuals.get(manual).map_or("", |m| m.source.name.as_str());
    for twice in &book.twice {
        let (first, second) = twice.manuals;
        let message = format!(
            "{} has limits in two manuals; those of {} are used, not those of {}",
            twice.feature,
            name(first),
            name(second)
        );
        let mut finding = Finding::new("manual.twice", Severity::Doubt, place, message)
            .label("two manuals for one feature")
            .help("put the manual that is to win first, or take the feature out of the other");
        if let Some(feature) = book
            .feature(&crate::model::names::key(&twice.feature))
            .and_then(|id| book.features.get(id))
        {
            finding = finding.see_in(book.source(feature.manual), feature.name.span, "this one is used");
        }
        out.push(finding);
    }
}

/// Problems of a log's own text as findings.
pub fn problems(errors: Vec<SyntaxError>, out: &mut Vec<Finding>) {
    out.extend(errors.into_iter().map(super::text::finding));
}

const MANUAL: &str = "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "unknown.manual",
        severity: "fault",
        says: "The log names a manual that cannot be found.",
        why: "Without it nothing of the job can be judged. It is looked for beside the log, in `manuals` folders from there up to the repository's root, and on the shelf.",
        source: "the language reference",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\nmanual no such book\n2026-03-14 build\nweb width = 52.03 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n",
        },
    },
    Rule {
        code: "settings.invalid",
        severity: "fault",
        says: "The file `gudgeon.toml` of the repository cannot be read, or says something that is not understood.",
        why: "None of it is used, so figures may be accepted by another rule than the workshop has set. The example has the file's text in its first line.",
        source: "the language reference",
        fires: Example {
            manual: MANUAL,
            log: "# gudgeon.toml: decide = \"strict\"\njob x\nmanual m\n2026-03-14 build\nweb width = 52.00 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "# gudgeon.toml: decide = \"guarded\"\njob x\nmanual m\n2026-03-14 build\nweb width = 52.00 mm\n",
        },
    },
    Rule {
        code: "manual.faulty",
        severity: "doubt",
        says: "A manual that the job is judged by has faults of its own.",
        why: "What could not be read in it is not used: a limit may be missing.",
        source: "the manual",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature web width\n  build 52.05 to 51.90 mm\nfeature web gap\n  build 0.1 to 0.2 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nweb gap = 0.15 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\nfeature web gap\n  build 0.1 to 0.2 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nweb gap = 0.15 mm\n",
        },
    },
    Rule {
        code: "manual.twice",
        severity: "doubt",
        says: "Two manuals that the log names both give limits for one feature.",
        why: "The first that is named wins; whether that was meant, only the writer knows.",
        source: "the language reference",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.10 to 0.20 mm\n",
            log: "job x\nmanual m\nmanual pressed crank\n2026-03-14 build\nside play = 0.15 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.10 to 0.20 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside play = 0.15 mm\n",
        },
    },
];
