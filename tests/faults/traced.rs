//! The program under `strace`: which calls of the system it makes, and the same with one of them disturbed.

use std::path::Path;
use std::process::{Command, Output};

use super::{GUDGEON, skipped};

/// Whether programs can be traced here; said where they cannot.
pub fn can_trace(what: &str) -> bool {
    let ran = Command::new("strace").args(["-f", "-o", "/dev/null", "true"]).output();
    let can = cfg!(target_os = "linux") && ran.is_ok_and(|ran| ran.status.success());
    if !can {
        skipped(&format!("{what}: there is no strace here, or it may not be used"));
    }
    can
}

/// Runs the program in a folder with `strace` told `options`.
pub fn traced(folder: &Path, options: &[&str], args: &[&str]) -> Output {
    let mut command = Command::new("strace");
    command.current_dir(folder).args(["-f", "-qq"]).args(options);
    command.arg(GUDGEON).args(args).output().unwrap()
}

/// Runs it with the `number`th call of one of these kinds, in each thread, disturbed: `error=EIO`, `signal=KILL`. `trace` is left in the folder above.
pub fn disturbed(folder: &Path, calls: &str, how: &str, number: usize, args: &[&str]) -> Output {
    let inject = format!("inject={calls}:{how}:when={number}");
    traced(
        folder,
        &["-o", "/dev/null", "-e", &format!("trace={calls}"), "-e", &inject],
        args,
    )
}
