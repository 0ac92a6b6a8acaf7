//! The five sample jobs, as written and as corrected: what is said of each, and that the corrected ones are clean.

use std::path::Path;

use gudgeon::syntax::layout::tidy;
use gudgeon::workspace::{Inspected, Kind, Library, inspect};

const JOBS: &[&str] = &[
    "corvane-250-crank",
    "caldmoor-350-top-end",
    "tesselby-tk2-twin",
    "haldrow-hx3-axle",
    "ostvane-g20-pump",
];

fn folder(form: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(form)
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn judge(form: &str, text: &str) -> Inspected {
    inspect(
        "job.rebuild",
        &folder(form),
        Kind::Log,
        text.as_bytes().to_vec(),
        &Library::new(),
    )
}

fn job(form: &str, name: &str) -> (String, Inspected) {
    let text = read(&folder(form).join(format!("{name}.rebuild")));
    let inspected = judge(form, &text);
    (text, inspected)
}

/// Each finding with the line it stands on, and the count of everything.
fn told(inspected: &Inspected) -> String {
    let mut out = String::new();
    for finding in &inspected.findings {
        let source = &inspected.source;
        let line = source.lines.line_of(finding.span.start);
        let text = source.lines.line_span(line, &source.text).text(&source.text).trim_end();
        out.push_str(&format!(
            "{text}\n  {}[{}] {}\n",
            finding.severity.word(),
            finding.code,
            finding.message
        ));
    }
    let tally = &inspected.tally;
    out.push_str(&format!(
        "{} judged: {} in, {} out, {} not proven, {} of these history; {} stale; {} without a limit; {} steps open\n",
        tally.judged,
        tally.inside,
        tally.out,
        tally.not_proven,
        tally.history,
        tally.stale,
        tally.unjudged,
        tally.steps_open
    ));
    out
}

#[test]
fn each_job_as_written_gives_its_planted_mistakes_and_nothing_else() {
    for name in JOBS {
        let (_, inspected) = job("as-written", name);
        insta::assert_snapshot!(format!("as-written-{name}"), told(&inspected));
    }
}

#[test]
fn each_job_as_corrected_is_clean() {
    for name in JOBS {
        let (_, inspected) = job("corrected", name);
        insta::assert_snapshot!(format!("corrected-{name}"), told(&inspected));
        assert!(inspected.findings.is_empty(), "{name}");
    }
}

#[test]
fn every_manual_of_the_samples_and_of_the_shelf_is_sound() {
    let folder = folder("manuals");
    let mut texts: Vec<(String, String)> = std::fs::read_dir(&folder)
        .into_iter()
        .flatten()
        .filter_map(Result::ok)
        .map(|entry| (entry.file_name().to_string_lossy().into_owned(), read(&entry.path())))
        .collect();
    // That of the job that is looked ahead in (tests/ahead.rs) lies beside them.
    assert_eq!(texts.len(), JOBS.len() + 1);
    texts.extend(
        gudgeon::shelf::all()
            .iter()
            .map(|entry| (entry.file.to_owned(), entry.text.to_owned())),
    );
    for (name, text) in texts {
        let inspected = inspect(&name, &folder, Kind::Manual, text.into_bytes(), &Library::new());
        assert!(inspected.findings.is_empty(), "{name}: {}", told(&inspected));
    }
}

/// A fix that is offered removes its own finding and brings no new one.
#[test]
fn each_fix_removes_its_finding_and_adds_none() {
    let mut tried = 0;
    for name in JOBS {
        let (text, before) = job("as-written", name);
        for finding in before.findings.iter().filter(|f| f.fix.is_some()) {
            let Some(fix) = &finding.fix else { continue };
            let mut mended = text.clone();
            for edit in fix.edits.iter().rev() {
                mended.replace_range(edit.span.range(), &edit.text);
            }
            let after = judge("as-written", &mended);
            let count = |all: &Inspected| {
                all.findings
                    .iter()
                    .filter(|f| f.code == finding.code && f.message == finding.message)
                    .count()
            };
            assert_eq!(
                count(&after),
                0,
                "{name}: {} is still there after `{}`",
                finding.code,
                fix.title
            );
            assert!(
                after.findings.len() < before.findings.len(),
                "{name}: `{}` brought something new:\n{}",
                fix.title,
                told(&after)
            );
            tried += 1;
        }
    }
    assert!(tried >= 4, "only {tried} fixes were offered");
}

/// With its manual taken away a job is still read, and nothing of it is said to be dangerous or wrong but that the manual is missing.
#[test]
fn without_its_manual_a_corrected_job_is_judged_by_the_shelf() {
    for name in JOBS {
        let (text, _) = job("corrected", name);
        let bare: String = text
            .lines()
            .filter(|line| !line.starts_with("manual"))
            .map(|line| format!("{line}\n"))
            .collect();
        let inspected = judge("corrected", &bare);
        let grave: Vec<&str> = inspected
            .findings
            .iter()
            .filter(|f| f.severity >= gudgeon::judge::Severity::Fault)
            .map(|f| f.message.as_str())
            .collect();
        assert!(grave.is_empty(), "{name}: {grave:?}");
    }
}

/// Everything said of a text but the places, which tidying moves.
fn said(inspected: &Inspected) -> Vec<String> {
    inspected
        .findings
        .iter()
        .map(|f| format!("{} {}", f.code, f.message))
        .collect()
}

#[test]
fn tidying_changes_no_verdict() {
    for form in ["as-written", "corrected"] {
        for name in JOBS {
            let (text, before) = job(form, name);
            let after = judge(form, &tidy(&text, Kind::Log));
            assert_eq!(said(&before), said(&after), "{form} {name}");
            assert_eq!(before.tally, after.tally, "{form} {name}");
        }
    }
}

#[test]
fn the_shelf_the_manuals_and_the_corrected_jobs_are_tidy() {
    for entry in gudgeon::shelf::all() {
        assert_eq!(tidy(entry.text, Kind::Manual), entry.text, "{}", entry.file);
    }
    for name in JOBS {
        let (text, _) = job("corrected", name);
        assert_eq!(tidy(&text, Kind::Log), text, "{name}");
    }
}
