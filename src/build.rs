//! Before the program is built: which commit it is built from, for `gudgeon --version`.
//!
//! Nothing of the clock or the machine goes in: the same commit gives the same words. From the archive of a package the commit is the one the archive was made of;
//! where there is neither archive nor repository there is only the version. A development build says no commit, so that a commit alone builds nothing anew.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// What cargo writes into the archive of a package, with the commit it was made of.
const ARCHIVE: &str = ".cargo_vcs_info.json";

/// What the program is made of.
const SOURCES: [&str; 4] = ["src", "grammar", "Cargo.toml", "Cargo.lock"];

fn main() {
    let version = env::var("CARGO_PKG_VERSION").unwrap_or_default();
    let root = env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from("."), PathBuf::from);
    let is_release = env::var("PROFILE").is_ok_and(|profile| profile == "release");
    println!("cargo::rerun-if-changed=src/build.rs");
    let commit = is_release.then(|| of_archive(&root).or_else(|| of_repository(&root)));
    let told = match commit.flatten() {
        Some(commit) => format!("{version} ({commit})"),
        None => version,
    };
    println!("cargo::rustc-env=GUDGEON_VERSION={told}");
}

/// The commit an archive was made of.
fn of_archive(root: &Path) -> Option<String> {
    let text = fs::read_to_string(root.join(ARCHIVE)).ok()?;
    // `{ "git": { "sha1": "…", "dirty": true }, … }`
    let commit = text.split("\"sha1\"").nth(1)?.split('"').nth(1)?;
    let commit: String = commit.chars().filter(char::is_ascii_hexdigit).take(12).collect();
    let is_changed = text.contains("\"dirty\": true");
    Some(format!("{commit}{}", if is_changed { ", changed since" } else { "" }))
}

/// The commit that is checked out, with its day, and whether the sources are still those of it. `None` where the folder is not the top of a repository: then
/// it lies in one of somebody else's.
fn of_repository(root: &Path) -> Option<String> {
    let git = |args: &[&str]| {
        let output = Command::new("git")
            .current_dir(root)
            .args(["-c", "core.fsmonitor=false"])
            .args(args)
            .output()
            .ok()?;
        let text = String::from_utf8(output.stdout).ok()?;
        output.status.success().then(|| text.trim().to_owned())
    };
    let top = PathBuf::from(git(&["rev-parse", "--show-toplevel"])?);
    if top.canonicalize().ok()? != root.canonicalize().ok()? {
        return None;
    }
    let branch = git(&["symbolic-ref", "--quiet", "HEAD"]);
    for file in ["HEAD", "logs/HEAD", "packed-refs"]
        .into_iter()
        .chain(branch.as_deref())
    {
        let place = git(&["rev-parse", "--git-path", file])?;
        // What is not there would be taken for changed at each build.
        if root.join(&place).exists() {
            println!("cargo::rerun-if-changed={place}");
        }
    }
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
    }
    let commit = git(&["log", "-1", "--format=%h %cs", "--abbrev=12"])?;
    let changes = ["status", "--porcelain", "--"].into_iter().chain(SOURCES);
    let is_changed = !git(&changes.collect::<Vec<_>>())?.is_empty();
    Some(format!("{commit}{}", if is_changed { ", changed since" } else { "" }))
}
