//! False alarms over every clean log there is: the corrected samples and the shop's worth of small jobs in `tests/clean`, in which nothing is wrong
//! or in doubt. Whatever is said of them is a false alarm.

use std::io::Write;
use std::path::{Path, PathBuf};

use gudgeon::judge::finding::Tally;
use gudgeon::workspace::{Kind, Library, inspect};

fn logs(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "rebuild"))
        .collect();
    paths.sort();
    paths
}

#[test]
fn nothing_is_said_of_any_clean_log() {
    let mut alarms = Vec::new();
    let mut tally = Tally::default();
    let mut count = 0;
    for path in ["samples/corrected", "samples/ahead", "tests/clean"]
        .into_iter()
        .flat_map(logs)
    {
        let bytes = std::fs::read(&path).expect("a readable log");
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let folder = path.parent().expect("a log lies in a folder");
        let inspected = inspect(&name, folder, Kind::Log, bytes, &Library::new());
        for finding in &inspected.findings {
            let line = inspected.source.lines.line_of(finding.span.start) + 1;
            alarms.push(format!("{name}:{line} {}: {}", finding.code, finding.message));
        }
        tally.add(inspected.tally);
        count += 1;
    }
    // Written past the capture of the test runner, so that the count is seen in every run.
    let told = format!(
        "false alarms: {} on {count} clean logs with {} judged figures and {} without a limit\n",
        alarms.len(),
        tally.judged,
        tally.unjudged
    );
    std::io::stderr()
        .write_all(told.as_bytes())
        .expect("the error stream takes a line");
    assert!(alarms.is_empty(), "{}", alarms.join("\n"));
    // The logs were judged at all: a linter that read nothing would raise no alarm either.
    assert!(count >= 39, "{count} logs");
    assert!(tally.judged >= 400, "{} judged", tally.judged);
    assert_eq!(
        tally.out + tally.not_proven,
        tally.history,
        "whatever is out was mended further down"
    );
}
