//! The rule of acceptance: the repository's, a manual's, a feature's.

const LOG: &str = "job x\nmanual m\ntool dial: dial indicator, reads to 0.01 mm, good to 0.01 mm\n2026-03-14 build\nplay = 0.49 mm by dial\n";
const MANUAL: &str = "manual m\nsource page 1\nfeature play\n  build 0.30 to 0.50 mm\n";

/// What is said of the log, two folders below the root, in a repository with this file and this manual.
fn said(toml: &str, manual: &str) -> (Option<i32>, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let below = folder.path().join("2026").join("march");
    std::fs::create_dir_all(&below).expect("made");
    std::fs::write(folder.path().join("gudgeon.toml"), toml).expect("written");
    std::fs::write(below.join("x.rebuild"), LOG).expect("written");
    std::fs::write(below.join("m.manual"), manual).expect("written");
    let output = assert_cmd::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
        .current_dir(folder.path())
        .args(["inspect", "--as", "line", "2026"])
        .output()
        .expect("run");
    (
        output.status.code(),
        String::from_utf8_lossy(&output.stdout).into_owned(),
    )
}

#[test]
fn they_choose_the_rule_of_acceptance() {
    let (code, out) = said("# nothing\n", MANUAL);
    assert_eq!(code, Some(0), "{out}");
    assert!(out.contains("doubt[limit.close]"), "{out}");
    let (code, out) = said("decide = \"guarded\"\n", MANUAL);
    assert_eq!(code, Some(1), "{out}");
    assert!(out.contains("fault[limit.not-proven]"), "{out}");
    // 0.49 ± 0.013: about 93 % likely to be in.
    let (_, out) = said("decide = \"guarded at 99 %\"\n", MANUAL);
    assert!(out.contains("fault[limit.not-proven]"), "{out}");
    let (_, out) = said("decide = \"guarded at 60 %\"\n", MANUAL);
    assert!(!out.contains("limit."), "{out}");
}

#[test]
fn a_manual_overrules_them() {
    let manual = MANUAL.replace("source page 1", "source page 1\ndecide plain");
    let (code, out) = said("decide = \"guarded\"\n", &manual);
    assert_eq!(code, Some(0), "{out}");
    assert!(out.contains("doubt[limit.close]"), "{out}");
    let of_feature = format!("{MANUAL}  decide guarded\n");
    let (_, out) = said("", &of_feature);
    assert!(out.contains("fault[limit.not-proven]"), "{out}");
}
