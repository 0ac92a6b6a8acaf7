//! What can go wrong from without: a full disk, a process killed, an error of the system at any call, files that change under the hand, a client that vanishes; and
//! that nothing is reached that was not named. What this machine cannot show is skipped, and said so.

#![allow(clippy::unwrap_used)] // A test that cannot set itself up has failed.

mod served;

#[path = "faults/broken.rs"]
mod broken;
#[path = "faults/changing.rs"]
mod changing;
#[path = "faults/full.rs"]
mod full;
#[path = "faults/killed.rs"]
mod killed;
#[path = "faults/reached.rs"]
mod reached;
#[path = "faults/serving.rs"]
mod serving;
#[path = "faults/traced.rs"]
mod traced;

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

/// The program.
const GUDGEON: &str = env!("CARGO_BIN_EXE_gudgeon");

/// A log that is not tidy, with a finding.
const UNTIDY: &str = "job   a crank\nmanual bench\n\n2026-03-14    build\nweb   width =   53.00 mm   \n";

/// The same, tidy.
const TIDY: &str = "job      a crank\nmanual   bench\n\n2026-03-14  build\nweb width = 53.00 mm\n";

const MANUAL: &str =
    "manual  test bench\nsource  invented for this test\nunits   mm\n\nfeature web width\n  build  51.90 to 52.05 mm\n";

/// A folder with the manual and an untidy log `a.rebuild`.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("bench.manual"), MANUAL).unwrap();
    fs::write(folder.path().join("a.rebuild"), UNTIDY).unwrap();
    folder
}

/// The files of a folder by name, but for the manual.
fn files(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = entries.map(|name| name.to_string_lossy().into_owned()).collect();
    names.retain(|name| name != "bench.manual");
    names.sort();
    names
}

/// Says that something is not shown here, on the terminal itself: what a test prints is swallowed.
fn skipped(what: &str) {
    let _ = writeln!(std::io::stderr(), "skipped: {what}");
}

/// One thing that writes a file, and what the file is to be before and after.
struct Work {
    /// The words of the command line.
    args: &'static [&'static str],
    /// The file it writes.
    file: &'static str,
    /// What stood in it; `None` where there was none.
    old: Option<String>,
    /// How it is wholly written.
    new: Vec<u8>,
}

impl Work {
    /// Everything that writes files, each once with a file that stands there and, where that may be, once without. What it is to become is seen from a run that
    /// nothing disturbs.
    fn all() -> Vec<Work> {
        type Old = Option<fn() -> String>;
        const DONE: &[(&[&str], &str, Old)] = &[
            (&["tidy", "a.rebuild"], "a.rebuild", Some(|| UNTIDY.to_owned())),
            (&["report", "a.rebuild", "--out", "a.html"], "a.html", None),
            (&["report", "a.rebuild", "--out", "a.html"], "a.html", Some(old_report)),
            (&["report", "a.rebuild", "--as", "csv", "--out", "a.csv"], "a.csv", None),
            (&["inspect", "--write-baseline", "known.jsonl"], "known.jsonl", None),
            (
                &["inspect", "--write-baseline", "known.jsonl"],
                "known.jsonl",
                Some(old_baseline),
            ),
            (&["start", "bench", "--out", "b.rebuild"], "b.rebuild", None),
        ];
        let work = DONE.iter().map(|(args, file, old)| {
            let mut work = Work {
                args,
                file,
                old: old.map(|old| old()),
                new: Vec::new(),
            };
            let folder = work.folder();
            let ran = Command::new(GUDGEON)
                .current_dir(folder.path())
                .args(work.args)
                .output()
                .unwrap();
            assert!(ran.status.code().is_some_and(|code| code < 2), "{ran:?}");
            work.new = fs::read(folder.path().join(file)).unwrap();
            assert_ne!(Some(work.new.clone()), work.old.clone().map(String::into_bytes));
            work
        });
        work.collect()
    }

    /// A folder in which it is still to be done.
    fn folder(&self) -> TempDir {
        let folder = folder();
        if let Some(old) = &self.old {
            fs::write(folder.path().join(self.file), old).unwrap();
        }
        folder
    }

    /// Whether the file is as it was before; else it must be wholly as it is to be.
    fn is_old(&self, folder: &Path, what: &str) -> bool {
        let there = fs::read(folder.join(self.file)).ok();
        let is_old = there == self.old.clone().map(String::into_bytes);
        let said = || {
            there
                .as_deref()
                .map(|bytes| String::from_utf8_lossy(bytes).chars().take(200).collect::<String>())
        };
        assert!(
            is_old || there.as_ref() == Some(&self.new),
            "{:?}, {what}: {:?}",
            self.args,
            said()
        );
        if self.file != "a.rebuild" {
            assert_eq!(fs::read(folder.join("a.rebuild")).unwrap(), UNTIDY.as_bytes(), "{what}");
        }
        is_old
    }
}

/// A report as one was written before.
fn old_report() -> String {
    "<!DOCTYPE html><html><head><meta name=\"generator\" content=\"gudgeon 0.0.1\"></head><body>old</body></html>\n"
        .to_owned()
}

/// A baseline as one was written before.
fn old_baseline() -> String {
    "{\"gudgeon\":\"baseline\",\"schema\":1}\n".to_owned()
}

#[test]
fn the_tidy_log_is_the_tidy_log() {
    let tidy = Work::all().into_iter().find(|work| work.args[0] == "tidy").unwrap();
    assert_eq!(String::from_utf8_lossy(&tidy.new), TIDY);
}

/// The folder of the scripts beside the tests.
fn scripts() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults")
}
