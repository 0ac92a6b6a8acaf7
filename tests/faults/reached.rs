//! What the program reaches for: no network, no other program but git for `--since`, and no file because a log or a manual names it unless it lies in the workspace.

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};

use super::traced::{can_trace, traced};
use super::{MANUAL, UNTIDY};

/// A folder that holds a workspace, and beside it what nobody is to read.
struct Yard {
    folder: tempfile::TempDir,
}

impl Yard {
    fn new() -> Yard {
        let folder = tempfile::tempdir().unwrap();
        let yard = Yard { folder };
        fs::create_dir_all(yard.shop().join("logs")).unwrap();
        fs::create_dir_all(yard.outside().join("manuals")).unwrap();
        fs::write(yard.shop().join("gudgeon.toml"), "decide = \"plain\"\n").unwrap();
        fs::write(yard.shop().join("logs/bench.manual"), MANUAL).unwrap();
        fs::write(
            yard.outside().join("secret.manual"),
            "manual secret\nfeature hidden thing\n  build 1 to 2 mm\n",
        )
        .unwrap();
        fs::copy(
            yard.outside().join("secret.manual"),
            yard.outside().join("manuals/secret.manual"),
        )
        .unwrap();
        fs::write(yard.outside().join("secret.png"), "no picture\n").unwrap();
        fs::write(yard.outside().join("secret.rebuild"), UNTIDY).unwrap();
        yard
    }

    /// The workspace.
    fn shop(&self) -> PathBuf {
        self.folder.path().canonicalize().unwrap().join("shop")
    }

    /// What lies beside it.
    fn outside(&self) -> PathBuf {
        self.folder.path().canonicalize().unwrap().join("outside")
    }

    /// Everything that a log and a manual may try to name.
    fn hostile(&self) {
        let outside = self.outside().display().to_string();
        let mut log = UNTIDY.to_owned();
        let mut manual = MANUAL.to_owned();
        for way in [
            "../../outside",
            &outside,
            "file:///etc",
            "//outside",
            "http://127.0.0.1:9",
            "~",
            "$HOME",
            "`id`",
            "$(id)",
            "|id",
            ";id",
        ] {
            for name in ["secret", "secret.manual", "secret.png", "manuals/secret"] {
                log.push_str(&format!("photo {way}/{name}\nmanual {way}/{name}\nnote {way}/{name}\n"));
                manual.push_str(&format!("extends {way}/{name}\n"));
            }
        }
        log.push_str("photo link.png\nphoto door/secret.png\nmanual link\nphoto /dev/zero\nphoto /proc/self/mem\n");
        manual.push_str("extends link\n");
        fs::write(self.shop().join("logs/a.rebuild"), log).unwrap();
        fs::write(self.shop().join("logs/bench.manual"), manual).unwrap();
        symlink(self.outside().join("secret.png"), self.shop().join("logs/link.png")).unwrap();
        symlink(
            self.outside().join("secret.manual"),
            self.shop().join("logs/link.manual"),
        )
        .unwrap();
        symlink(self.outside(), self.shop().join("logs/door")).unwrap();
        // A link that is met where a whole folder is named is read as any file of it; this one is only found by its name.
        fs::write(self.shop().join(".ignore"), "link.manual\n").unwrap();
    }

    /// A log that names nothing but its manual.
    fn harmless(&self) {
        fs::write(self.shop().join("logs/a.rebuild"), UNTIDY).unwrap();
    }
}

/// What one run reached for.
#[derive(Default)]
struct Reached {
    /// Files that were opened.
    opened: BTreeSet<String>,
    /// Programs that were started, besides itself.
    started: Vec<String>,
    /// Calls to the network.
    network: Vec<String>,
}

/// The calls of every thread, those of the first thread first.
fn calls(yard: &Yard) -> Vec<String> {
    let mut threads: Vec<(u32, PathBuf)> = fs::read_dir(yard.folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter_map(|path| {
            let number = path.file_name()?.to_str()?.strip_prefix("trace.")?.parse().ok()?;
            Some((number, path))
        })
        .collect();
    threads.sort();
    let mut all = Vec::new();
    for (_, path) in threads {
        all.extend(fs::read_to_string(&path).unwrap().lines().map(str::to_owned));
        fs::remove_file(path).unwrap();
    }
    assert!(!all.is_empty(), "nothing was traced");
    all
}

fn reached(yard: &Yard, args: &[&str]) -> Reached {
    let trace = yard.folder.path().join("trace");
    // A file for each thread: in one for all, calls that overlap are told in two halves.
    let options = [
        "-ff",
        "-o",
        trace.to_str().unwrap(),
        "-s",
        "4096",
        "-y",
        "-e",
        "trace=%network,execve,execveat,openat,open,creat,openat2",
    ];
    let ran = traced(&yard.shop(), &options, args);
    assert!(ran.status.code().is_some_and(|code| code <= 2), "{args:?}: {ran:?}");
    let mut reached = Reached::default();
    let mut programs = 0;
    for call in calls(yard) {
        let path = call.split('"').nth(1).unwrap_or_default().to_owned();
        if call.starts_with("open") || call.starts_with("creat") {
            if !call.contains(" = -1 ") {
                // Where a link leads to is told behind the number of the open file.
                let real = call
                    .rsplit_once('<')
                    .map_or(path.as_str(), |(_, real)| real.trim_end_matches('>'));
                reached.opened.insert(real.to_owned());
            }
        } else if call.starts_with("execve") {
            programs += 1;
            if programs > 1 {
                reached.started.push(path);
            }
        } else if call.contains('(') && !call.starts_with("<... ") && !call.starts_with("+++") {
            // The two ends of a pair of sockets lie in the same process.
            if !call.starts_with("socketpair(AF_UNIX") {
                reached.network.push(call.to_owned());
            }
        }
    }
    reached
}

const COMMANDS: [&[&str]; 12] = [
    &["inspect"],
    &["inspect", "logs/a.rebuild"],
    &["inspect", "logs/bench.manual"],
    &["inspect", "--as", "json"],
    &["report", "logs/a.rebuild"],
    &["report", "logs/a.rebuild", "--history", "logs"],
    &["report", "logs/a.rebuild", "--as", "csv"],
    &["next", "logs/a.rebuild"],
    &["trend"],
    &["costs", "logs/a.rebuild"],
    &["tidy", "--dry"],
    &["why", "logs/a.rebuild"],
];

#[test]
fn nothing_is_reached_because_a_log_or_a_manual_names_it() {
    if !can_trace("what is reached for") {
        return;
    }
    for args in COMMANDS {
        let (plain, hostile) = (Yard::new(), Yard::new());
        plain.harmless();
        hostile.hostile();
        let seen = [(&plain, reached(&plain, args)), (&hostile, reached(&hostile, args))];
        for (yard, reached) in &seen {
            assert_eq!(reached.network, Vec::<String>::new(), "{args:?}");
            assert_eq!(reached.started, Vec::<String>::new(), "{args:?}");
            let outside = yard.outside();
            let secret: Vec<&String> = reached
                .opened
                .iter()
                .filter(|path| Path::new(path).starts_with(&outside))
                .collect();
            assert_eq!(secret, Vec::<&String>::new(), "{args:?}");
        }
        // Whatever else lies outside is opened for a harmless log too: the system's own files, and the user's settings of git.
        let elsewhere = |(yard, reached): &(&Yard, Reached)| -> BTreeSet<String> {
            let shop = yard.shop();
            let is_own = |path: &String| {
                Path::new(path).starts_with(&shop) || path.starts_with("/proc/") || path.contains("pipe:")
            };
            reached.opened.iter().filter(|path| !is_own(path)).cloned().collect()
        };
        let [plain, hostile] = seen.each_ref().map(elsewhere);
        let only_hostile: Vec<&String> = hostile.difference(&plain).collect();
        assert_eq!(only_hostile, Vec::<&String>::new(), "{args:?}");
    }
}

/// Of other programs only git is started, and only where it is asked what changed. What a repository's own settings would have it start is not started.
#[test]
fn only_git_is_started_and_only_for_since() {
    if !can_trace("what git is asked") {
        return;
    }
    let yard = Yard::new();
    yard.harmless();
    let git = |args: &[&str]| {
        let ran = std::process::Command::new("git")
            .current_dir(yard.shop())
            .args(args)
            .output();
        assert!(ran.is_ok_and(|ran| ran.status.success()), "{args:?}");
    };
    git(&["init", "-q"]);
    let trap = yard.folder.path().join("trap");
    fs::write(&trap, format!("#!/bin/sh\ntouch {}/sprung\n", yard.outside().display())).unwrap();
    let mode = std::os::unix::fs::PermissionsExt::from_mode(0o755);
    fs::set_permissions(&trap, mode).unwrap();
    let trap = trap.to_str().unwrap();
    git(&["add", "-A"]);
    git(&["-c", "user.name=a", "-c", "user.email=a@b", "commit", "-qm", "one"]);
    for setting in [
        "core.fsmonitor",
        "core.pager",
        "diff.external",
        "core.sshCommand",
        "core.hooksPath",
        "core.editor",
        "diff.log.textconv",
        "diff.log.command",
    ] {
        git(&["config", setting, trap]);
    }
    fs::write(yard.shop().join(".gitattributes"), "*.rebuild diff=log\n").unwrap();
    fs::write(yard.shop().join("logs/a.rebuild"), UNTIDY.replace("53.00", "53.10")).unwrap();
    let reached = reached(&yard, &["inspect", "--since", "HEAD"]);
    assert!(!yard.outside().join("sprung").exists(), "{:?}", reached.started);
    assert_eq!(reached.network, Vec::<String>::new());
    let others: Vec<&String> = reached.started.iter().filter(|path| !path.ends_with("/git")).collect();
    assert!(
        !reached.started.is_empty() && others.is_empty(),
        "{:?}",
        reached.started
    );
}
