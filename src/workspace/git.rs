//! What differs from a revision, asked of git.

use std::ffi::OsStr;
use std::io::{self, Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use rustc_hash::FxHashSet;

use super::roots::real;

/// The longest list of files that is taken from git, in bytes: 256 MiB, some millions of files.
const MOST_LISTED: u64 = 256 * 1024 * 1024;

/// How much is read of what git says beside that, in bytes; its first line is told.
const MOST_SAID: u64 = 64 * 1024;

/// What differs from a revision in one repository.
#[derive(Debug)]
pub struct Changes {
    /// The top of its working tree.
    top: PathBuf,
    /// What differs, or is not there any more.
    changed: FxHashSet<PathBuf>,
    /// Everything the revision has.
    had: FxHashSet<PathBuf>,
}

impl Changes {
    /// Asks git what in the repository with this top differs from a revision: committed since, staged, not staged, or not even tracked. The error says why it
    /// cannot be told, in words.
    pub fn since(top: &Path, revision: &str) -> Result<Changes, String> {
        let top = real(top);
        let mut changes = Changes {
            top,
            changed: FxHashSet::default(),
            had: FxHashSet::default(),
        };
        // Where nothing was ever committed, all is new.
        if let Some(commit) = changes.commit(revision)? {
            changes.changed = changes.paths(&[
                "diff",
                "--name-only",
                "-z",
                "--no-renames",
                "--no-ext-diff",
                "--no-textconv",
                "--no-relative",
                "--no-color",
                "--ignore-submodules=all",
                &commit,
                "--",
            ])?;
            changes.had = changes.paths(&["ls-tree", "-r", "-z", "--name-only", "--full-tree", &commit])?;
        }
        Ok(changes)
    }

    /// Whether a file, given by where it really is, differs from what the revision has under its path: changed, new, or gone.
    pub fn has(&self, path: &Path) -> bool {
        self.changed.contains(path) || (!self.had.contains(path) && path.exists())
    }

    /// Every path that differs, of files that are there and of those that are gone; not those that were never tracked.
    pub fn paths_changed(&self) -> impl Iterator<Item = &Path> {
        self.changed.iter().map(PathBuf::as_path)
    }

    /// The commit a revision means; `None` for `HEAD` where nothing was committed yet.
    fn commit(&self, revision: &str) -> Result<Option<String>, String> {
        let unknown = |why: &str| {
            Err(format!(
                "there is no revision `{revision}` in {}{why}",
                self.top.display()
            ))
        };
        if revision.trim().is_empty() || revision.starts_with('-') {
            return Err(format!("`{revision}` is no revision: give a commit, a branch or a tag"));
        }
        // The `^{commit}` at its end keeps a revision from being read as a path or a range.
        let wanted = format!("{revision}^{{commit}}");
        let found = self.run(&["rev-parse", "--verify", "--quiet", "--end-of-options", &wanted])?;
        if found.ok {
            let text = String::from_utf8_lossy(&found.out);
            return Ok(Some(text.trim().to_owned()));
        }
        // With --quiet git is silent about a revision that is not there, so whatever it says is another trouble.
        if !found.said.is_empty() {
            return Err(format!("git cannot look for `{revision}`: {}", found.said));
        }
        if revision == "HEAD" && self.run(&["symbolic-ref", "--quiet", "HEAD"])?.ok {
            return Ok(None);
        }
        let shallow = self.run(&["rev-parse", "--is-shallow-repository"])?;
        if shallow.out.starts_with(b"true") {
            return unknown(
                "; this clone is shallow, so fetch more of its history (`git fetch --deepen=100`, or --unshallow)",
            );
        }
        unknown("")
    }

    /// The paths that git lists with NUL behind each.
    fn paths(&self, args: &[&str]) -> Result<FxHashSet<PathBuf>, String> {
        let ran = self.run(args)?;
        if !ran.ok {
            let what = args.first().copied().unwrap_or_default();
            return Err(format!("`git {what}` failed: {}", ran.said));
        }
        let names = ran.out.split(|byte| *byte == 0).filter(|name| !name.is_empty());
        Ok(names.map(|name| self.top.join(Path::new(&of_bytes(name)))).collect())
    }

    /// Runs git at the top. Nothing of the repository's own is started by it: no file watcher, no pager, no outside differ.
    fn run(&self, args: &[&str]) -> Result<Ran, String> {
        let cannot = |error: io::Error| match error.kind() {
            io::ErrorKind::NotFound => "--since needs git, and there is no `git` here".to_owned(),
            _ => format!("git cannot be started: {error}"),
        };
        // What it says goes into a file, so that it never waits for somebody who reads along.
        let mut said = tempfile::tempfile().map_err(cannot)?;
        let mut child = Command::new("git")
            .arg("-C")
            .arg(&self.top)
            .args(["--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false"])
            .args(args)
            .env("GIT_OPTIONAL_LOCKS", "0")
            .env("GIT_TERMINAL_PROMPT", "0")
            .env("LC_ALL", "C")
            .env_remove("GIT_EXTERNAL_DIFF")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(said.try_clone().map_err(cannot)?)
            .spawn()
            .map_err(cannot)?;
        let mut out = Vec::new();
        let read = match child.stdout.take() {
            Some(stream) => stream.take(MOST_LISTED + 1).read_to_end(&mut out),
            None => Ok(0),
        };
        // Whoever has not been read to the end is not waited for.
        if read.is_err() || out.len() as u64 > MOST_LISTED {
            let _ = child.kill();
        }
        let status = child.wait().map_err(cannot)?;
        read.map_err(cannot)?;
        if out.len() as u64 > MOST_LISTED {
            let most = MOST_LISTED / 1024 / 1024;
            return Err(format!(
                "git lists more than {most} MiB of files; go without --since, or name folders"
            ));
        }
        let mut words = Vec::new();
        said.seek(SeekFrom::Start(0)).map_err(cannot)?;
        (&said).take(MOST_SAID).read_to_end(&mut words).map_err(cannot)?;
        let said = String::from_utf8_lossy(&words);
        Ok(Ran {
            ok: status.success(),
            out,
            said: said.lines().next().unwrap_or_default().trim().to_owned(),
        })
    }
}

/// What a run of git came to.
struct Ran {
    ok: bool,
    out: Vec<u8>,
    /// The first line it said on standard error.
    said: String,
}

/// The top of the working tree that a folder, given by where it really is, lies in.
pub fn top_of(folder: &Path) -> Option<&Path> {
    folder.ancestors().find(|above| above.join(".git").exists())
}

#[cfg(unix)]
fn of_bytes(bytes: &[u8]) -> std::borrow::Cow<'_, OsStr> {
    use std::os::unix::ffi::OsStrExt;
    OsStr::from_bytes(bytes).into()
}

#[cfg(not(unix))]
fn of_bytes(bytes: &[u8]) -> std::borrow::Cow<'_, OsStr> {
    std::ffi::OsString::from(String::from_utf8_lossy(bytes).into_owned()).into()
}
