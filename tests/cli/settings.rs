//! `gudgeon.toml`: what is said of one that cannot be used.

use super::*;

/// What is said of the settings of a folder by an inspection of all in it, one line a finding.
fn said(files: &[(&str, &str)]) -> (Option<i32>, Vec<String>) {
    let folder = folder(files);
    let ran = run(folder.path(), &["inspect", "--as", "line"]);
    let said = ran.out.lines().filter(|line| line.contains("settings.invalid"));
    (ran.code, said.map(str::to_owned).collect())
}

#[test]
fn sound_settings_are_no_finding() {
    for settings in ["", "decide = \"plain\"\n", "decide = \"guarded at 95 %\"\n"] {
        let (code, said) = said(&[("gudgeon.toml", settings), ("a.rebuild", IN_LIMIT)]);
        assert_eq!((code, said), (Some(0), vec![]), "{settings}");
    }
}

#[test]
fn settings_hold_for_every_folder_of_the_repository_whatever_manual_is_named() {
    use gudgeon::uncertainty::Acceptance;
    use gudgeon::workspace::Library;

    let folder = folder(&[
        ("gudgeon.toml", "decide = \"guarded\"\n"),
        ("work/logs/a.rebuild", IN_LIMIT),
    ]);
    let library = Library::new();
    for names in [vec![], vec!["pressed crank".to_owned()]] {
        let resolved = library.resolve(&folder.path().join("work/logs"), &names);
        assert_eq!(resolved.settings.decide, Acceptance::Guarded);
        assert_eq!(resolved.settings_problem, None);
    }
}

#[test]
fn settings_that_are_wrong_are_a_fault_of_each_log_with_file_and_line() {
    let wrong = "# of the shop\ndecide = \"strict\"\n";
    let (code, said) = said(&[
        ("gudgeon.toml", wrong),
        ("a.rebuild", IN_LIMIT),
        ("work/logs/b.rebuild", "job b\n2026-03-14 build\nnote nothing yet\n"),
    ]);
    assert_eq!(code, Some(1));
    assert_eq!(said.len(), 2, "{said:?}");
    for (line, place) in said.iter().zip(["a.rebuild:1:1", "work/logs/b.rebuild:1:1"]) {
        assert!(line.starts_with(place), "{line}");
        assert!(line.contains("fault[settings.invalid]"), "{line}");
        assert!(
            line.contains("gudgeon.toml, line 2: `strict` is no rule of acceptance"),
            "{line}"
        );
    }
}

#[test]
fn unknown_keys_and_what_is_no_toml_are_said() {
    for (settings, why) in [
        (
            "decid = \"plain\"\n",
            "line 1: unknown field `decid`, expected one of `decide`, `fail-on`, `baseline`",
        ),
        ("decide = 95\n", "line 1: invalid type"),
        ("decide =\n", "line 1: "),
    ] {
        let (code, said) = said(&[("gudgeon.toml", settings), ("a.rebuild", IN_LIMIT)]);
        assert_eq!(code, Some(1), "{settings}");
        assert!(said.len() == 1 && said[0].contains(why), "{settings}: {said:?}");
    }
}

#[test]
fn a_file_that_cannot_be_read_is_said() {
    let (_, not_text) = said(&[("gudgeon.toml/inside", ""), ("a.rebuild", IN_LIMIT)]);
    assert!(
        not_text.len() == 1 && not_text[0].contains("cannot be read: a folder"),
        "{not_text:?}"
    );
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    write(folder.path(), "gudgeon.toml", b"decide = \"\xE9\"\n");
    let ran = run(folder.path(), &["inspect", "--as", "line"]);
    assert!(
        ran.out.contains("gudgeon.toml cannot be read: not UTF-8 text"),
        "{}",
        ran.out
    );
}

#[test]
fn the_settings_of_another_repository_do_not_reach_into_this_one() {
    let (code, said) = said(&[
        ("gudgeon.toml", "decide = \"strict\"\n"),
        ("inner/.git/HEAD", "ref: refs/heads/main\n"),
        ("inner/bench.manual", MANUAL),
        ("inner/a.rebuild", IN_LIMIT),
    ]);
    assert_eq!((code, said), (Some(0), vec![]));
}
