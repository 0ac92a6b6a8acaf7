//! The program as it is used: arguments, exit codes, what goes to which stream, and files that are out of the ordinary.

#![allow(clippy::unwrap_used)] // A test that cannot set itself up has failed.

#[path = "cli/acceptance.rs"]
mod acceptance;
#[path = "cli/baseline.rs"]
mod baseline;
#[path = "cli/figures.rs"]
mod figures;
#[path = "cli/json.rs"]
mod json;
#[path = "cli/junit.rs"]
mod junit;
#[path = "cli/odd_files.rs"]
mod odd_files;
#[path = "cli/readings.rs"]
mod readings;
#[path = "cli/recipe.rs"]
mod recipe;
#[path = "cli/reckoning.rs"]
mod reckoning;
#[path = "cli/report.rs"]
mod report;
#[path = "cli/same_bytes.rs"]
mod same_bytes;
#[path = "cli/sarif.rs"]
mod sarif;
#[path = "cli/settings.rs"]
mod settings;
#[path = "cli/since.rs"]
mod since;
#[path = "cli/tidying.rs"]
mod tidying;

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use assert_cmd::Command;
use tempfile::TempDir;

const MANUAL: &str =
    "manual  test bench\nsource  invented for this test\nunits   mm\n\nfeature web width\n  build  51.90 to 52.05 mm\n";
const IN_LIMIT: &str = "job     a crank\nmanual  bench\n\n2026-03-14  build\nweb width = 52.00 mm\n";
const OUT_OF_LIMIT: &str = "job     a crank\nmanual  bench\n\n2026-03-14  build\nweb width = 53.00 mm\n";

/// A folder with a manual and the files given.
fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "bench.manual", MANUAL);
    for (name, text) in files {
        write(folder.path(), name, text);
    }
    folder
}

fn write(folder: &Path, name: &str, text: impl AsRef<[u8]>) {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

/// The program in a folder, without the surroundings of whoever runs the tests.
fn gudgeon(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gudgeon"));
    command
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .timeout(Duration::from_secs(60));
    command
}

/// What a run came to.
struct Ran {
    code: Option<i32>,
    out: String,
    err: String,
}

fn run(folder: &Path, args: &[&str]) -> Ran {
    ran(gudgeon(folder).args(args))
}

fn ran(command: &mut Command) -> Ran {
    let output = command.output().unwrap();
    let ran = Ran {
        code: output.status.code(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    };
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

mod inspecting {
    use super::*;

    #[test]
    fn a_reading_in_limit_is_clean() {
        let folder = folder(&[("a.rebuild", IN_LIMIT)]);
        let ran = run(folder.path(), &["inspect"]);
        assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
        assert!(
            ran.out.contains("1 log, 1 manual: 1 reading judged: 1 in, 0 out"),
            "{}",
            ran.out
        );
        assert_eq!(ran.err, "");
    }

    #[test]
    fn a_reading_out_of_limit_is_shown_with_its_limit() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
        let ran = run(folder.path(), &["inspect", "a.rebuild"]);
        assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
        assert!(ran.out.contains("fault[limit.out] "), "{}", ran.out);
        assert!(ran.out.contains("[a.rebuild:5:"), "{}", ran.out);
        assert!(ran.out.contains("web width = 53.00 mm"), "{}", ran.out);
        assert!(ran.out.contains("bench.manual:6:"), "{}", ran.out);
        assert!(ran.out.contains("51.90 to 52.05 mm"), "{}", ran.out);
        assert!(ran.out.contains("1 out"), "{}", ran.out);
    }

    #[test]
    fn the_threshold_decides_the_exit_code() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
        for (least, code) in [("danger", 0), ("fault", 1), ("doubt", 1), ("open", 1)] {
            let ran = run(folder.path(), &["inspect", "--fail-on", least]);
            assert_eq!(ran.code, Some(code), "{least}: {}", ran.out);
        }
    }

    #[test]
    fn one_line_a_finding() {
        let folder = folder(&[("b/a.rebuild", OUT_OF_LIMIT)]);
        write(folder.path(), "b/bench.manual", MANUAL);
        let ran = run(folder.path(), &["inspect", "b", "--as", "line"]);
        assert_eq!(ran.code, Some(1));
        let line = ran
            .out
            .lines()
            .find(|line| line.contains("limit.out"))
            .unwrap_or_default();
        assert!(line.starts_with("b/a.rebuild:5:"), "{}", ran.out);
        assert!(line.contains(": fault[limit.out] "), "{}", ran.out);
    }

    #[test]
    fn what_cannot_be_read_does_not_keep_the_rest_from_being_judged() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT), ("notes.txt", "x")]);
        let ran = run(folder.path(), &["inspect", "gone.rebuild", "notes.txt", "a.rebuild"]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.out.contains("limit.out"), "{}", ran.out);
        assert!(ran.out.contains("2 paths could not be read."), "{}", ran.out);
        assert!(ran.err.contains("gone.rebuild: there is no such file"), "{}", ran.err);
        assert!(ran.err.contains("notes.txt: neither a log nor a manual"), "{}", ran.err);
    }

    #[test]
    fn nothing_to_judge_is_no_success() {
        let empty = tempfile::tempdir().unwrap();
        let ran = run(empty.path(), &["inspect"]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
        assert!(ran.err.contains("no log (.rebuild)"), "{}", ran.err);
    }

    #[test]
    fn bad_arguments() {
        let folder = folder(&[]);
        for args in [
            &["inspect", "--as", "poem"][..],
            &["inspect", "--fail-on", "nothing"],
            &["inspect", "--jobs", "0"],
            &["inspect", "--name", "x.rebuild"],
            &["inspect", "-", "--name", "x.txt"],
            &["frobnicate"],
            &[],
        ] {
            assert_eq!(run(folder.path(), args).code, Some(2), "{args:?}");
        }
    }

    #[test]
    fn standard_input_is_a_log_unless_its_name_says_otherwise() {
        let folder = folder(&[]);
        let said = ran(gudgeon(folder.path())
            .args(["inspect", "-", "--as", "line"])
            .write_stdin(OUT_OF_LIMIT));
        assert_eq!(said.code, Some(1), "{}", said.err);
        assert!(said.out.contains("-:5:"), "{}", said.out);
        assert!(said.out.contains("[limit.out]"), "{}", said.out);

        let named = ran(gudgeon(folder.path())
            .args(["inspect", "-", "--as", "line", "--name", "x.rebuild"])
            .write_stdin(OUT_OF_LIMIT));
        assert!(named.out.contains("x.rebuild:5:"), "{}", named.out);

        let manual = ran(gudgeon(folder.path())
            .args(["inspect", "-", "--name", "x.manual"])
            .write_stdin(MANUAL));
        assert_eq!(manual.code, Some(0), "{}", manual.out);
        assert!(manual.out.contains("1 manual."), "{}", manual.out);
    }

    #[test]
    fn the_order_does_not_hang_on_the_number_of_threads() {
        let folder = folder(&[]);
        for number in 0..40 {
            write(folder.path(), &format!("{}/{number}.rebuild", number % 7), OUT_OF_LIMIT);
        }
        let one = run(folder.path(), &["inspect", "--as", "line", "--jobs", "1"]);
        let four = run(folder.path(), &["inspect", "--as", "line", "--jobs", "4"]);
        assert!(one.out.lines().count() >= 40);
        assert_eq!(one.out, four.out);
        let paths: Vec<&str> = one.out.lines().filter_map(|line| line.split(':').next()).collect();
        let mut sorted = paths.clone();
        sorted.sort_by(|a, b| Path::new(a).cmp(Path::new(b)));
        assert_eq!(paths, sorted);
    }

    #[test]
    fn a_file_that_is_named_twice_is_judged_once() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
        let ran = run(folder.path(), &["inspect", "a.rebuild", "./a.rebuild", "."]);
        assert!(ran.out.contains("1 log, 1 manual:"), "{}", ran.out);
    }

    #[test]
    fn colour_only_if_it_is_asked_for() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT)]);
        let plain = run(folder.path(), &["inspect"]);
        assert!(!plain.out.contains('\u{1b}'));
        let asked = run(folder.path(), &["inspect", "--colour", "always"]);
        assert!(asked.out.contains('\u{1b}'));
        let alias = run(folder.path(), &["inspect", "--color", "always"]);
        assert_eq!(alias.out, asked.out);
        let refused = ran(gudgeon(folder.path()).env("NO_COLOR", "1").arg("inspect"));
        assert_eq!(refused.out, plain.out);
    }

    #[test]
    fn ignore_files_count_without_a_repository_and_hidden_files_are_left_out() {
        let folder = folder(&[
            (".gitignore", "old/\n"),
            ("old/a.rebuild", OUT_OF_LIMIT),
            (".hidden.rebuild", OUT_OF_LIMIT),
            ("new/a.rebuild", IN_LIMIT),
        ]);
        write(folder.path(), "new/bench.manual", MANUAL);
        let ran = run(folder.path(), &["inspect", "--as", "json"]);
        assert!(ran.out.contains("new/a.rebuild"), "{}", ran.out);
        assert!(
            !ran.out.contains("old/a.rebuild") && !ran.out.contains(".hidden"),
            "{}",
            ran.out
        );
        // What is named is judged all the same.
        let named = run(folder.path(), &["inspect", "--as", "line", "old/a.rebuild"]);
        assert!(named.out.contains("old/a.rebuild:"), "{}", named.out);
    }

    #[test]
    fn more_findings_than_anyone_reads() {
        let mut log = String::from("job a crank\nmanual bench\n2026-03-14 build\n");
        for number in 0..80 {
            log.push_str(&format!("frobnicate {number}\n"));
        }
        let folder = folder(&[("a.rebuild", &log)]);
        let ran = run(folder.path(), &["inspect", "a.rebuild"]);
        assert!(
            ran.out.contains("more in this file; --as line shows all"),
            "{}",
            ran.out
        );
        let all = run(folder.path(), &["inspect", "a.rebuild", "--as", "line"]);
        assert!(all.out.lines().count() >= 80);
    }
}

mod other_commands {
    use super::*;

    #[test]
    fn a_new_log_is_never_written_over_an_old_one() {
        let folder = folder(&[]);
        let printed = run(folder.path(), &["start", "bench"]);
        assert_eq!(printed.code, Some(0), "{}", printed.err);
        assert!(printed.out.contains("manual"), "{}", printed.out);

        let first = run(folder.path(), &["start", "bench", "--out", "new.rebuild"]);
        assert_eq!(first.code, Some(0), "{}", first.err);
        let path = folder.path().join("new.rebuild");
        assert_eq!(fs::read_to_string(&path).unwrap(), printed.out);

        fs::write(&path, "job mine\n").unwrap();
        let second = run(folder.path(), &["start", "bench", "--out", "new.rebuild"]);
        assert_eq!(second.code, Some(2));
        assert!(second.err.contains("exists already"), "{}", second.err);
        assert_eq!(fs::read_to_string(&path).unwrap(), "job mine\n");

        let wrong = run(folder.path(), &["start", "bench", "--out", "new.txt"]);
        assert_eq!(wrong.code, Some(2));
        assert!(wrong.err.contains("must end in .rebuild"), "{}", wrong.err);
    }

    #[test]
    fn a_new_log_can_be_judged_at_once() {
        let folder = folder(&[]);
        run(folder.path(), &["start", "bench", "--out", "new.rebuild"]);
        let ran = run(folder.path(), &["inspect", "new.rebuild", "--as", "line"]);
        assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    }

    #[test]
    fn an_unknown_manual_is_answered_with_the_nearest() {
        let folder = folder(&[]);
        let ran = run(folder.path(), &["start", "presed crank"]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
        assert!(ran.err.contains("pressed crank"), "{}", ran.err);
    }

    #[test]
    fn every_code_is_listed_and_explained() {
        let folder = folder(&[]);
        let list = run(folder.path(), &["why"]);
        assert_eq!(list.code, Some(0));
        let codes: Vec<&str> = list
            .out
            .lines()
            .filter(|line| !line.starts_with(' '))
            .filter_map(|line| line.split_whitespace().next())
            .collect();
        assert!(codes.contains(&"limit.out"), "{}", list.out);
        for code in codes {
            let ran = run(folder.path(), &["why", code]);
            assert_eq!(ran.code, Some(0), "{code}");
            assert!(ran.out.starts_with(code), "{}", ran.out);
            assert!(ran.out.contains("\nSource: "), "{code}");
            assert!(ran.out.contains("This gives it:"), "{code}");
        }
        let family = run(folder.path(), &["why", "limit"]);
        assert!(family.out.contains("limit.out"), "{}", family.out);
    }

    #[test]
    fn an_unknown_code_is_answered_with_the_nearest() {
        let folder = folder(&[]);
        let ran = run(folder.path(), &["why", "limit.uot"]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
        assert!(ran.err.contains("limit.out"), "{}", ran.err);
    }

    #[test]
    fn the_shelf_is_listed_and_printed() {
        let folder = folder(&[]);
        let list = run(folder.path(), &["shelf"]);
        assert_eq!(list.code, Some(0));
        assert!(list.out.contains("pressed crank"), "{}", list.out);
        let one = run(folder.path(), &["shelf", "Pressed  Crank"]);
        assert_eq!(one.code, Some(0));
        assert!(one.out.contains("manual"), "{}", one.out);
        let unknown = run(folder.path(), &["shelf", "pressd crank"]);
        assert_eq!((unknown.code, unknown.out.as_str()), (Some(2), ""));
        assert!(unknown.err.contains("Did you mean pressed crank"), "{}", unknown.err);
    }

    #[test]
    fn every_command_explains_itself() {
        let folder = folder(&[]);
        for command in ["inspect", "tidy", "start", "why", "shelf", "costs"] {
            let ran = run(folder.path(), &[command, "--help"]);
            assert_eq!(ran.code, Some(0));
            assert!(ran.out.contains("Exit codes:"), "{}", ran.out);
            assert!(ran.out.contains(&format!("Example: gudgeon {command}")), "{}", ran.out);
        }
        let version = run(folder.path(), &["--version"]);
        assert_eq!(version.out, concat!("gudgeon ", env!("CARGO_PKG_VERSION"), "\n"));
    }
}

#[test]
fn a_manual_that_extends_nothing_known_is_said_where_it_is_used() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = "job x\nmanual m\n2026-03-14 build\nplay = 1 mm\n";
    std::fs::write(folder.path().join("x.rebuild"), log).expect("written");
    let manual = "manual m\nsource page 1\nextends nowhere at all\nfeature play\n  build 1 to 2 mm\n";
    std::fs::write(folder.path().join("m.manual"), manual).expect("written");
    let output = assert_cmd::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
        .current_dir(folder.path())
        .args(["inspect", "--as", "line", "x.rebuild"])
        .output()
        .expect("run");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        said.contains("manual.faulty") && !said.contains("unknown.manual"),
        "{said}"
    );
}
