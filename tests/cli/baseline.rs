//! Old findings do not stand in the way of new work: `--baseline`, `--write-baseline` and the settings.

use super::*;

const PRESSED: &str =
    "job x\ntool press: press, rated 10 t\n2026-03-14 build\ndid press together, force 6 t on press\n";

fn written(folder: &Path) -> String {
    fs::read_to_string(folder.join("known.jsonl")).unwrap()
}

#[test]
fn what_is_known_is_counted_and_what_is_new_fails() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
    let made = run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    assert_eq!(made.code, Some(0), "{}", made.err);
    assert!(
        made.err.contains("known.jsonl: 1 known finding written"),
        "{}",
        made.err
    );

    let old = run(folder.path(), &["inspect", "--baseline", "known.jsonl"]);
    assert_eq!(old.code, Some(0), "{}{}", old.out, old.err);
    assert!(!old.out.contains("limit.out"), "{}", old.out);
    assert!(
        old.out
            .ends_with("Nothing new found. Known from the baseline: 1 fault.\n"),
        "{}",
        old.out
    );
    assert_eq!(old.err, "");

    // Lines above move it, and another reading is out: only that one is told.
    let more = OUT_OF_LIMIT.replace("2026", "note one more line\n\n2026") + "web width = 53.10 mm\n";
    write(folder.path(), "a.rebuild", more);
    let new = run(
        folder.path(),
        &["inspect", "--as", "line", "--baseline", "known.jsonl", "a.rebuild"],
    );
    assert_eq!(new.code, Some(1));
    let out: Vec<&str> = new.out.lines().filter(|line| line.contains("limit.out")).collect();
    assert!(out.len() == 1 && out[0].contains("53.1"), "{}", new.out);
}

#[test]
fn a_known_danger_is_always_told_and_fails_nothing() {
    let folder = folder(&[("a.rebuild", PRESSED)]);
    assert_eq!(run(folder.path(), &["inspect"]).code, Some(1));
    run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    for form in ["text", "line", "json", "sarif", "junit"] {
        let ran = run(folder.path(), &["inspect", "--as", form, "--baseline", "known.jsonl"]);
        assert_eq!(ran.code, Some(0), "{form}: {}", ran.err);
        assert!(ran.out.contains("danger.precaution"), "{form}: {}", ran.out);
        let mark = match form {
            "json" => "\"known\":true",
            "sarif" => "\"baselineState\":\"unchanged\"",
            _ => "(known from the baseline)",
        };
        assert!(ran.out.replace("\n  ", " ").contains(mark), "{form}: {}", ran.out);
    }
}

#[test]
fn sarif_says_what_is_new_and_what_is_unchanged() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
    run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    write(folder.path(), "b.rebuild", OUT_OF_LIMIT);
    let ran = run(
        folder.path(),
        &["inspect", "--as", "sarif", "--baseline", "known.jsonl"],
    );
    assert_eq!(ran.code, Some(1));
    assert_eq!(ran.out.matches("\"baselineState\":\"unchanged\"").count(), 1);
    assert_eq!(ran.out.matches("\"baselineState\":\"new\"").count(), 1);
}

#[test]
fn what_no_longer_occurs_is_told_until_the_file_is_written_anew() {
    let folder = folder(&[
        ("a.rebuild", OUT_OF_LIMIT),
        ("b.rebuild", OUT_OF_LIMIT),
        ("c.rebuild", OUT_OF_LIMIT),
    ]);
    run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    let before = written(folder.path());
    assert_eq!(before.lines().count(), 4);
    write(folder.path(), "a.rebuild", IN_LIMIT);
    fs::remove_file(folder.path().join("c.rebuild")).unwrap();
    let told = run(folder.path(), &["inspect", "--baseline", "known.jsonl"]);
    assert_eq!(told.code, Some(0));
    assert!(
        told.err
            .contains("known.jsonl: 2 findings of the baseline no longer occur (first limit.out in a.rebuild)"),
        "{}",
        told.err
    );
    // One file alone: of the others nothing is known.
    let one = run(folder.path(), &["inspect", "--baseline", "known.jsonl", "b.rebuild"]);
    assert!(
        one.err
            .contains("1 finding of the baseline no longer occurs (first limit.out in c.rebuild)"),
        "{}",
        one.err
    );

    // Of a file that is not judged now what is known is kept; of one that is gone it is not.
    run(
        folder.path(),
        &["inspect", "a.rebuild", "--write-baseline", "known.jsonl"],
    );
    let after = written(folder.path());
    assert_eq!(after.lines().count(), 2);
    assert!(after.contains("\"path\":\"b.rebuild\""), "{after}");
    // Line for line: whoever compares the two sees what went.
    assert!(after.lines().all(|line| before.contains(line)));
}

#[test]
fn what_became_graver_is_new() {
    // A reading that is only too close to call, and is out where its manual asks for a finer limit.
    let folder = folder(&[
        ("a.rebuild", OUT_OF_LIMIT),
        ("gudgeon.toml", "[weigh]\n\"limit.out\" = \"doubt\"\n"),
    ]);
    run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    write(folder.path(), "gudgeon.toml", "");
    let ran = run(folder.path(), &["inspect", "--as", "line", "--baseline", "known.jsonl"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.out.contains("fault[limit.out]"), "{}", ran.out);
}

#[test]
fn the_settings_name_it_and_the_command_line_wins() {
    let folder = folder(&[
        ("gudgeon.toml", "fail-on = \"doubt\"\nbaseline = \"ci/known.jsonl\"\n"),
        ("logs/a.rebuild", OUT_OF_LIMIT),
        ("ci/keep", ""),
    ]);
    write(folder.path(), "manuals/bench.manual", MANUAL);
    let without = run(folder.path(), &["inspect"]);
    assert_eq!(without.code, Some(2), "{}", without.out);
    assert!(
        without
            .err
            .contains("ci/known.jsonl cannot be read: there is no such file")
            && without.err.contains("--write-baseline"),
        "{}",
        without.err
    );
    let made = run(folder.path(), &["inspect", "--write-baseline", "ci/known.jsonl"]);
    assert_eq!(made.code, Some(0), "{}", made.err);
    // The same from any folder of the repository, and from outside.
    for (from, path) in [("", "."), ("logs", "."), ("ci", "../logs")] {
        let ran = run(&folder.path().join(from), &["inspect", path]);
        assert_eq!(ran.code, Some(0), "{from}: {}{}", ran.out, ran.err);
    }
    let elsewhere = tempfile::tempdir().unwrap();
    let ran = run(elsewhere.path(), &["inspect", folder.path().to_str().unwrap()]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert_eq!(run(folder.path(), &["inspect", "--no-baseline"]).code, Some(1));
    assert_eq!(
        run(folder.path(), &["inspect", "--no-baseline", "--fail-on", "danger"]).code,
        Some(0)
    );
}

#[test]
fn the_settings_say_what_fails() {
    for (settings, code) in [("", 1), ("fail-on = \"danger\"\n", 0), ("fail-on = \"open\"\n", 1)] {
        let folder = folder(&[("gudgeon.toml", settings), ("a.rebuild", OUT_OF_LIMIT)]);
        assert_eq!(run(folder.path(), &["inspect"]).code, Some(code), "{settings}");
        assert_eq!(run(folder.path(), &["inspect", "--fail-on", "fault"]).code, Some(1));
    }
}

#[test]
fn a_file_that_is_no_baseline_is_neither_used_nor_written_over() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
    for (text, why) in [
        ("job x\n", "is no baseline"),
        ("", "is no baseline"),
        (
            "{\"gudgeon\":\"baseline\",\"schema\":1}\n<<<<<<< ours\n",
            "line 2: not a finding",
        ),
        ("{\"gudgeon\":\"baseline\",\"schema\":7}\n", "another version wrote it"),
    ] {
        write(folder.path(), "known.jsonl", text);
        let used = run(folder.path(), &["inspect", "--baseline", "known.jsonl"]);
        assert_eq!((used.code, used.out.as_str()), (Some(2), ""), "{text}");
        assert!(used.err.contains(why), "{}", used.err);
        let over = run(folder.path(), &["inspect", "--write-baseline", "known.jsonl"]);
        assert_eq!((over.code, over.out.as_str()), (Some(2), ""), "{text}");
        assert!(over.err.contains("left as it is"), "{}", over.err);
        assert_eq!(written(folder.path()), text);
    }
    let sarif = run(folder.path(), &["inspect", "--baseline", "gone.jsonl", "--as", "sarif"]);
    assert_eq!(sarif.code, Some(2));
    assert!(sarif.out.contains("\"executionSuccessful\":false"), "{}", sarif.out);
}
