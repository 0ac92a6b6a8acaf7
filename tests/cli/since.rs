//! `gudgeon inspect --since`: what a change touches, told by git.

use super::*;

/// Runs git in a folder, by no settings but its own.
fn git(folder: &Path, args: &[&str]) {
    let output = std::process::Command::new("git")
        .current_dir(folder)
        .args([
            "-c",
            "user.name=Ada",
            "-c",
            "user.email=ada@shop.invalid",
            "-c",
            "commit.gpgsign=false",
        ])
        .args(["-c", "init.defaultBranch=main", "-c", "protocol.file.allow=always"])
        .args(args)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .output()
        .expect("git is there");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "git {args:?}: {said}");
}

fn log(manual: &str) -> String {
    format!("job a crank\nmanual {manual}\n\n2026-03-14  build\nweb width = 53.00 mm\n")
}

fn manual(name: &str, extends: &str) -> String {
    format!("manual  {name}\nsource  invented\n{extends}units   mm\n\nfeature web width\n  build  51.90 to 52.05 mm\n")
}

/// A repository: two logs on `one`, which extends `base`; one on `other`; one on the shelf.
fn repository() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    write(at, "manuals/base.manual", manual("base", ""));
    write(at, "manuals/one.manual", manual("one", "extends base\n"));
    write(
        at,
        "manuals/other.manual",
        manual("other", "").replace("52.05", "52.06"),
    );
    write(at, "logs/a b.rebuild", log("one"));
    write(at, "logs/é.rebuild", log("one"));
    write(at, "logs/other.rebuild", log("other"));
    write(at, "logs/deep/shelf.rebuild", log("pressed crank"));
    git(at, &["init", "--quiet"]);
    commit(at);
    folder
}

fn commit(at: &Path) {
    git(at, &["add", "--all"]);
    git(at, &["commit", "--quiet", "--message", "the shop's book"]);
}

/// The files that are judged, by name.
fn judged(at: &Path, args: &[&str]) -> Vec<String> {
    let mut all = vec!["inspect", "--as", "json", "--since", "HEAD"];
    all.extend(args);
    let ran = run(at, &all);
    assert!(ran.code < Some(2), "{}", ran.err);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let files = value["files"].as_array().unwrap();
    files
        .iter()
        .map(|file| file["path"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn nothing_changed_nothing_judged() {
    let folder = repository();
    assert_eq!(judged(folder.path(), &[]), Vec::<String>::new());
    let ran = run(folder.path(), &["inspect", "--since", "HEAD"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(0), "Nothing was judged.\n"));
    assert!(
        ran.err.contains("0 of 7 logs and manuals are touched since HEAD"),
        "{}",
        ran.err
    );
}

#[test]
fn what_differs_is_judged_whether_committed_staged_unstaged_or_untracked() {
    let folder = repository();
    let at = folder.path();
    write(at, "logs/é.rebuild", log("one") + "note more\n");
    assert_eq!(judged(at, &[]), ["logs/é.rebuild"]);
    git(at, &["add", "--all"]);
    assert_eq!(judged(at, &[]), ["logs/é.rebuild"]);
    write(at, "logs/new one.rebuild", log("one"));
    assert_eq!(judged(at, &[]), ["logs/new one.rebuild", "logs/é.rebuild"]);
    commit(at);
    assert_eq!(judged(at, &[]), Vec::<String>::new());
    let since = run(at, &["inspect", "--since", "HEAD~1", "--as", "line"]);
    assert_eq!(since.code, Some(1));
    assert!(
        since.out.contains("logs/é.rebuild:5:") && !since.out.contains("a b.rebuild"),
        "{}",
        since.out
    );
    // One that git ignores and that is named all the same is in no revision.
    write(at, ".gitignore", "scrap/\n");
    write(at, "scrap/x.rebuild", log("one"));
    assert_eq!(judged(at, &["scrap/x.rebuild"]), ["scrap/x.rebuild"]);
}

#[test]
fn a_changed_manual_touches_all_that_rests_on_it() {
    let folder = repository();
    let at = folder.path();
    write(at, "manuals/base.manual", manual("base", "").replace("51.90", "51.80"));
    let through = [
        "logs/a b.rebuild",
        "logs/é.rebuild",
        "manuals/base.manual",
        "manuals/one.manual",
    ];
    assert_eq!(judged(at, &[]), through);
    // From a folder below, and of that folder alone.
    assert_eq!(judged(&at.join("logs"), &[]), ["a b.rebuild", "é.rebuild"]);
    assert_eq!(judged(&at.join("logs"), &["deep"]), Vec::<String>::new());
    git(at, &["checkout", "--quiet", "."]);
    write(at, "manuals/one.manual", manual("one", "extends base\n") + "# more\n");
    assert_eq!(
        judged(at, &[]),
        ["logs/a b.rebuild", "logs/é.rebuild", "manuals/one.manual"]
    );
}

#[test]
fn a_manual_that_is_gone_or_has_another_name_touches_what_named_it() {
    let folder = repository();
    let at = folder.path();
    git(at, &["mv", "manuals/base.manual", "manuals/ground.manual"]);
    let all = [
        "logs/a b.rebuild",
        "logs/é.rebuild",
        "manuals/ground.manual",
        "manuals/one.manual",
    ];
    assert_eq!(judged(at, &[]), all);
    git(at, &["reset", "--quiet", "--hard"]);
    fs::remove_file(at.join("manuals/other.manual")).unwrap();
    assert_eq!(judged(at, &[]), ["logs/other.rebuild"]);
    // The whole folder gone: what was looked for in it is touched.
    fs::remove_dir_all(at.join("manuals")).unwrap();
    assert_eq!(
        judged(at, &[]),
        ["logs/a b.rebuild", "logs/other.rebuild", "logs/é.rebuild"]
    );
}

#[test]
fn a_new_manual_nearer_by_touches_what_it_is_found_by_now() {
    let folder = repository();
    let at = folder.path();
    // In the place of one of the shelf, for one folder; and of one further off, for another.
    write(
        at,
        "logs/deep/manuals/pressed-crank.manual",
        manual("pressed crank", ""),
    );
    assert_eq!(
        judged(at, &[]),
        ["logs/deep/manuals/pressed-crank.manual", "logs/deep/shelf.rebuild"]
    );
    write(at, "logs/Other.manual", manual("other", "").replace("52.05", "52.07"));
    assert_eq!(
        judged(at, &["logs"]),
        [
            "logs/Other.manual",
            "logs/deep/manuals/pressed-crank.manual",
            "logs/deep/shelf.rebuild",
            "logs/other.rebuild"
        ]
    );
    // One further off than the one that is found touches nothing.
    commit(at);
    write(
        at,
        "manuals/other.manual",
        manual("other", "").replace("52.05", "52.09"),
    );
    assert_eq!(judged(at, &[]), ["manuals/other.manual"]);
}

#[test]
fn settings_touch_all_below_them() {
    let folder = repository();
    let at = folder.path();
    write(at, "gudgeon.toml", "decide = \"guarded\"\n");
    assert_eq!(judged(at, &[]).len(), 7);
    commit(at);
    assert_eq!(judged(at, &[]), Vec::<String>::new());
    write(at, "logs/deep/gudgeon.toml", "");
    assert_eq!(judged(at, &[]), ["logs/deep/shelf.rebuild"]);
    commit(at);
    // The nearer ones hold there, and those above do not reach in.
    write(at, "gudgeon.toml", "");
    assert!(!judged(at, &[]).contains(&"logs/deep/shelf.rebuild".to_owned()));
    git(at, &["checkout", "--quiet", "."]);
    fs::remove_file(at.join("logs/deep/gudgeon.toml")).unwrap();
    assert_eq!(judged(at, &[]), ["logs/deep/shelf.rebuild"]);
}

#[test]
fn it_is_as_if_all_were_judged_and_only_the_touched_shown() {
    let folder = repository();
    let at = folder.path();
    write(
        at,
        "manuals/one.manual",
        manual("one", "extends base\n").replace("52.05", "52.10"),
    );
    let all = run(at, &["inspect", "--as", "line"]);
    let some = run(at, &["inspect", "--as", "line", "--since", "HEAD"]);
    let touched = judged(at, &[]);
    let expected: Vec<&str> = all
        .out
        .lines()
        .filter(|line| touched.iter().any(|path| line.starts_with(&format!("{path}:"))))
        .collect();
    assert_eq!(some.out.lines().collect::<Vec<_>>(), expected);
}

#[test]
fn a_revision_that_is_none_is_said() {
    let folder = repository();
    let at = folder.path();
    for (revision, why) in [
        ("--output=x", "`--output=x` is no revision"),
        ("-p", "`-p` is no revision"),
        ("", "`` is no revision"),
        ("nosuch", "there is no revision `nosuch`"),
        ("HEAD~9", "there is no revision `HEAD~9`"),
        ("HEAD:logs", "there is no revision `HEAD:logs`"),
    ] {
        let ran = run(at, &["inspect", "--since", revision]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{revision}");
        assert!(ran.err.contains(why), "{revision}: {}", ran.err);
    }
    assert!(!at.join("x").exists());
}

#[test]
fn before_the_first_commit_all_is_new() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "a.rebuild", log("pressed crank"));
    git(folder.path(), &["init", "--quiet"]);
    assert_eq!(judged(folder.path(), &[]), ["a.rebuild"]);
}

#[test]
fn without_a_repository_or_without_git_it_is_said() {
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    let ran = run(folder.path(), &["inspect", "--since", "HEAD"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("a.rebuild lies in no git repository"), "{}", ran.err);
    let folder = repository();
    let none = super::ran(
        gudgeon(folder.path())
            .env("PATH", "/nowhere")
            .args(["inspect", "--since", "HEAD"]),
    );
    assert_eq!(none.code, Some(2));
    assert!(
        none.err.contains("--since needs git, and there is no `git` here"),
        "{}",
        none.err
    );
}

#[test]
fn a_shallow_clone_knows_what_it_has_and_says_what_it_has_not() {
    let folder = repository();
    write(folder.path(), "logs/é.rebuild", log("one") + "note more\n");
    commit(folder.path());
    let clones = tempfile::tempdir().unwrap();
    let from = format!("file://{}", folder.path().display());
    git(clones.path(), &["clone", "--quiet", "--depth", "1", &from, "clone"]);
    let at = clones.path().join("clone");
    write(&at, "logs/other.rebuild", log("other") + "note more\n");
    assert_eq!(judged(&at, &[]), ["logs/other.rebuild"]);
    let ran = run(&at, &["inspect", "--since", "HEAD~1"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("this clone is shallow"), "{}", ran.err);
}

#[test]
fn nothing_of_the_repository_is_started_by_it() {
    let folder = repository();
    let at = folder.path();
    let trap = at.join("trap.sh");
    fs::write(&trap, "#!/bin/sh\ntouch \"$(dirname \"$0\")/sprung\"\n").unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(&trap, fs::Permissions::from_mode(0o755)).unwrap();
    }
    let trap = trap.display().to_string();
    for key in [
        "core.fsmonitor",
        "diff.external",
        "core.pager",
        "diff.log.textconv",
        "diff.log.command",
    ] {
        git(at, &["config", key, &trap]);
    }
    write(at, ".gitattributes", "*.rebuild diff=log\n");
    write(at, "logs/é.rebuild", log("one") + "note more\n");
    assert_eq!(judged(at, &["logs"]), ["logs/é.rebuild"]);
    assert!(!at.join("sprung").exists());
}
