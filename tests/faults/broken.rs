//! Calls of the system that fail.

use super::traced::{can_trace, disturbed, traced};
use super::{UNTIDY, Work, files, folder};

/// Each call that writes, each way it may fail, and what is said of it.
const FAILING: [(&str, &str, &str); 9] = [
    ("write", "ENOSPC", "the disk is full; nothing was changed. Make room"),
    ("write", "EDQUOT", "nothing was changed. Make room"),
    ("write", "EIO", "nothing was changed"),
    ("fsync", "EIO", "nothing was changed"),
    ("fsync", "ENOSPC", "the disk is full; nothing was changed. Make room"),
    (
        "rename,renameat,renameat2",
        "EACCES",
        "no permission; nothing was changed",
    ),
    ("rename,renameat,renameat2", "EXDEV", "nothing was changed"),
    ("rename,renameat,renameat2", "EROFS", "nothing was changed"),
    (
        "rename,renameat,renameat2",
        "ENOSPC",
        "the disk is full; nothing was changed. Make room",
    ),
];

#[test]
fn what_cannot_be_written_is_said_and_nothing_is_lost() {
    if !can_trace("writing that fails") {
        return;
    }
    for work in Work::all() {
        for (calls, error, said) in FAILING {
            let folder = work.folder();
            let before = files(folder.path());
            let ran = disturbed(folder.path(), calls, &format!("error={error}"), 1, work.args);
            let what = format!("{:?}, {calls} {error}", work.args);
            let err = String::from_utf8_lossy(&ran.stderr);
            assert_eq!(ran.status.code(), Some(2), "{what}: {err}");
            // Standard error is written too; where another thread writes the file, its own first call fails as well.
            let is_silenced = calls == "write" && err.is_empty();
            assert!(
                is_silenced || (err.contains(said) && err.contains(work.file)),
                "{what}: {err}"
            );
            assert!(work.is_old(folder.path(), &what), "{what}");
            assert_eq!(files(folder.path()), before, "{what}: something is left behind");
        }
    }
}

/// A call that was only interrupted is made again.
#[test]
fn what_was_interrupted_is_done_all_the_same() {
    if !can_trace("calls that are interrupted") {
        return;
    }
    for work in Work::all() {
        for calls in ["write", "fsync"] {
            let folder = work.folder();
            let ran = disturbed(folder.path(), calls, "error=EINTR", 1, work.args);
            assert!(
                ran.status.code().is_some_and(|code| code < 2),
                "{:?} {calls}: {ran:?}",
                work.args
            );
            assert!(!work.is_old(folder.path(), calls), "{:?} {calls}", work.args);
        }
    }
}

/// A log that cannot be read to its end is named, and is not judged by its beginning, let alone written anew.
#[test]
fn what_cannot_be_read_is_named() {
    if !can_trace("reading that fails") {
        return;
    }
    for (error, said) in [("EIO", "Input/output error"), ("EACCES", "no permission")] {
        for args in [
            &["inspect", "a.rebuild"][..],
            &["tidy", "a.rebuild"],
            &["report", "a.rebuild", "--out", "a.html"],
            &["next", "a.rebuild"],
        ] {
            for number in [1, 2] {
                let folder = folder();
                let log = folder.path().join("a.rebuild");
                let inject = format!("inject=read:error={error}:when={number}");
                let path = log.to_string_lossy().into_owned();
                let options = [
                    "-o",
                    "/dev/null",
                    "-P",
                    &path,
                    "-P",
                    "a.rebuild",
                    "-e",
                    "trace=read",
                    "-e",
                    &inject,
                ];
                let ran = traced(folder.path(), &options, args);
                let err = String::from_utf8_lossy(&ran.stderr);
                assert_eq!(ran.status.code(), Some(2), "{args:?}, read {number}: {err}");
                assert!(
                    err.contains("a.rebuild: ") && err.contains(said),
                    "{args:?}, read {number}: {err}"
                );
                assert_eq!(std::fs::read_to_string(&log).unwrap(), UNTIDY);
                assert_eq!(files(folder.path()), ["a.rebuild"], "{args:?}");
            }
        }
    }
}
