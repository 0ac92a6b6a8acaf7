//! Files that change under the hand, and what is no file where one is looked for.

use std::fs;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use super::traced::can_trace;
use super::{GUDGEON, UNTIDY, folder, skipped};

/// How long a run may take on a busy machine before it is said to hang.
const PATIENCE: Duration = Duration::from_secs(30);

/// Runs it, and ends it if it hangs. Standard output and error go to files, so that nobody has to read along.
fn ends(mut command: Command, what: &str) -> Output {
    let (mut out, mut err) = (tempfile::tempfile().unwrap(), tempfile::tempfile().unwrap());
    command
        .stdin(Stdio::null())
        .stdout(out.try_clone().unwrap())
        .stderr(err.try_clone().unwrap());
    let mut child = command.spawn().unwrap();
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > PATIENCE {
            let _ = child.kill();
            panic!("{what}: it hangs");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    Output {
        status,
        stdout: all(&mut out),
        stderr: all(&mut err),
    }
}

/// All that was written into a file.
fn all(file: &mut fs::File) -> Vec<u8> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0)).unwrap();
    file.read_to_end(&mut bytes).unwrap();
    bytes
}

fn gudgeon(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(GUDGEON);
    command.current_dir(folder).args(args);
    command
}

/// Makes a pipe; `false` where that cannot be done.
fn pipe(path: &Path) -> bool {
    Command::new("mkfifo")
        .arg(path)
        .status()
        .is_ok_and(|status| status.success())
}

#[test]
fn a_log_that_changes_while_it_is_read_gets_a_sane_answer() {
    let folder = folder();
    let log = folder.path().join("a.rebuild");
    let is_over = AtomicBool::new(false);
    let long = UNTIDY.repeat(2000);
    std::thread::scope(|scope| {
        // Grows, shrinks, is replaced, vanishes, becomes a folder, a pipe and a link to itself, over and over.
        scope.spawn(|| {
            while !is_over.load(Ordering::Relaxed) {
                let _ = fs::write(&log, &long);
                let _ = fs::OpenOptions::new()
                    .write(true)
                    .open(&log)
                    .and_then(|file| file.set_len(100));
                let _ = fs::write(folder.path().join("new"), UNTIDY)
                    .and_then(|()| fs::rename(folder.path().join("new"), &log));
                let _ = fs::remove_file(&log);
                let _ = fs::create_dir(&log).and_then(|()| fs::remove_dir(&log));
                let _ = (pipe(&log), fs::remove_file(&log));
                let _ = symlink("a.rebuild", &log).and_then(|()| fs::remove_file(&log));
            }
        });
        for number in 0..120 {
            let command = ["inspect", "next", "report", "costs"][number % 4];
            let ran = ends(gudgeon(folder.path(), &[command, "a.rebuild"]), command);
            let err = String::from_utf8_lossy(&ran.stderr);
            assert!(ran.status.code().is_some_and(|code| code <= 2), "{command}: {ran:?}");
            assert!(
                !err.contains("panic") && !err.contains("a fault in gudgeon"),
                "{command}: {err}"
            );
            assert!(
                ran.status.code() != Some(2) || !err.trim().is_empty(),
                "{command}: nothing is said"
            );
        }
        is_over.store(true, Ordering::Relaxed);
    });
}

/// Between the look at a file and its opening it becomes a pipe: whoever opens that waits for somebody who writes.
#[test]
fn a_log_that_becomes_a_pipe_just_before_it_is_opened_does_not_make_it_hang() {
    if !can_trace("a log that becomes a pipe") {
        return;
    }
    let folder = folder();
    let log = folder.path().join("a.rebuild");
    let path = log.to_string_lossy().into_owned();
    let mut command = Command::new("strace");
    command
        .current_dir(folder.path())
        .args(["-f", "-qq", "-o", "/dev/null", "-P", &path]);
    command.args(["-e", "trace=openat", "-e", "inject=openat:delay_enter=1500000"]);
    command.args([GUDGEON, "inspect", &path]);
    let ran = std::thread::scope(|scope| {
        scope.spawn(|| {
            std::thread::sleep(Duration::from_millis(700));
            fs::remove_file(&log).unwrap();
            assert!(pipe(&log));
        });
        ends(command, "opening a pipe")
    });
    let err = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(2), "{err}");
    assert!(err.contains("not a plain file but a pipe"), "{err}");
}

/// What is named or met, and is no file, is said and does not make it hang: for everything that reads files.
#[test]
fn what_is_no_file_does_not_make_it_hang() {
    let folder = folder();
    let here = |name: &str| folder.path().join(name);
    if !pipe(&here("p.rebuild")) {
        return skipped("pipes in the place of files: there is no mkfifo here");
    }
    symlink("/dev/zero", here("z.rebuild")).unwrap();
    symlink("/dev/tty", here("t.manual")).unwrap();
    for name in ["p.rebuild", "z.rebuild", "t.manual"] {
        for command in ["inspect", "tidy", "report", "next", "trend", "costs", "why"] {
            let ran = ends(gudgeon(folder.path(), &[command, name]), command);
            let err = String::from_utf8_lossy(&ran.stderr);
            assert_eq!(ran.status.code(), Some(2), "{command} {name}: {err}");
            assert!(!err.trim().is_empty(), "{command} {name}");
        }
    }
    for args in [
        &["inspect", "a.rebuild", "--baseline", "p.rebuild"][..],
        &["inspect", "a.rebuild", "--baseline", "z.rebuild"],
        &["inspect", "a.rebuild", "--write-baseline", "p.rebuild"],
        &["report", "a.rebuild", "--as", "csv", "--out", "p.rebuild"],
        &["start", "bench", "--out", "p.rebuild"],
        &["inspect"],
        &["tidy", "--dry"],
        &["trend", "."],
    ] {
        let ran = ends(gudgeon(folder.path(), args), &args.join(" "));
        assert_eq!(
            ran.status.code(),
            Some(2),
            "{args:?}: {}",
            String::from_utf8_lossy(&ran.stderr)
        );
    }
}

/// The same of what is read beside a log: its manual, the settings, what is ignored, a photo.
#[test]
fn what_lies_beside_a_log_and_is_no_file_does_not_make_it_hang() {
    for beside in [
        "bench.manual",
        "gudgeon.toml",
        ".gitignore",
        ".ignore",
        ".git",
        "photo.png",
    ] {
        let folder = folder();
        let place = folder.path().join(beside);
        let _ = fs::remove_file(&place);
        if !pipe(&place) {
            return skipped("pipes beside a log: there is no mkfifo here");
        }
        fs::write(folder.path().join("a.rebuild"), format!("{UNTIDY}photo photo.png\n")).unwrap();
        for args in [
            &["inspect"][..],
            &["inspect", "a.rebuild"],
            &["report", "a.rebuild"],
            &["tidy", "--dry"],
        ] {
            let ran = ends(gudgeon(folder.path(), args), &format!("{beside}: {args:?}"));
            assert!(ran.status.code().is_some_and(|code| code <= 2), "{beside}: {ran:?}");
        }
    }
}
