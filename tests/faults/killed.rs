//! Killed at any point of what it does to a disk.

use std::os::unix::process::ExitStatusExt as _;
use std::process::Command;

use super::traced::{can_trace, disturbed};
use super::{GUDGEON, Work, files};

/// The calls by which a file comes to be, is filled, and takes its place; killed before each of them the disk is in every state there is.
const CALLS: [&str; 5] = [
    "write",
    "fchmod",
    "fsync",
    "?rename,renameat,renameat2,linkat",
    "unlink,unlinkat",
];

/// More calls of one kind than any of these makes.
const ENOUGH: usize = 60;

#[test]
fn every_file_is_wholly_the_old_or_wholly_the_new() {
    if !can_trace("killed at every call that writes") {
        return;
    }
    for work in Work::all() {
        let (mut old, mut new) = (0, 0);
        for calls in CALLS {
            let mut number = 1;
            loop {
                let folder = work.folder();
                let ran = disturbed(folder.path(), calls, "signal=KILL", number, work.args);
                let what = format!("killed at {calls} {number}");
                if ran.status.signal() != Some(9) {
                    assert!(ran.status.code().is_some_and(|code| code < 2), "{what}: {ran:?}");
                    break;
                }
                if work.is_old(folder.path(), &what) {
                    old += 1;
                } else {
                    new += 1;
                }
                is_harmless(folder.path());
                number += 1;
                assert!(number < ENOUGH, "{what}");
            }
        }
        // It was killed before and after the file took its place.
        assert!(
            old >= 3 && new >= 1,
            "{:?}: {old} times old, {new} times new",
            work.args
        );
    }
}

/// What a killed process leaves is hidden, at most one, and no search takes it for a log.
fn is_harmless(folder: &std::path::Path) {
    let left: Vec<String> = files(folder)
        .into_iter()
        .filter(|name| name.starts_with(".gudgeon-"))
        .collect();
    assert!(
        left.len() <= 1 && left.iter().all(|name| name.ends_with(".tmp")),
        "{left:?}"
    );
    let ran = Command::new(GUDGEON)
        .current_dir(folder)
        .args(["inspect", "--as", "line"])
        .output()
        .unwrap();
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&ran.stdout),
        String::from_utf8_lossy(&ran.stderr)
    );
    assert!(
        !said.contains(".gudgeon-") && ran.status.code().is_some_and(|code| code < 2),
        "{said}"
    );
}
