//! The program as it is used: arguments, exit codes, what goes to which stream, and files that are out of the ordinary.

#![allow(clippy::unwrap_used)] // A test that cannot set itself up has failed.

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
            &["inspect", "--as", "sarif"][..],
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

mod odd_files {
    use super::*;

    #[test]
    fn bytes_that_are_no_text_become_a_finding() {
        let folder = folder(&[]);
        write(folder.path(), "a.rebuild", b"job a crank\nnote \xff\xfe\n");
        let ran = run(folder.path(), &["inspect", "--as", "line"]);
        assert_eq!(ran.code, Some(1), "{}", ran.err);
        assert!(ran.out.contains("[text.not-utf8]"), "{}", ran.out);
    }

    #[test]
    fn control_characters_never_reach_the_terminal() {
        let folder = folder(&[]);
        write(folder.path(), "a.rebuild", b"job a crank\nnote a\0b\x1b[31mc\n");
        for form in ["text", "line", "json"] {
            let ran = run(folder.path(), &["inspect", "--as", form]);
            assert!(ran.out.contains("text.control"), "{}", ran.out);
            assert!(
                !ran.out.chars().any(|c| c != '\n' && c.is_control()),
                "{form}: {:?}",
                ran.out
            );
        }
        let shown = run(folder.path(), &["inspect"]);
        assert!(shown.out.contains('␀'), "{}", shown.out);
    }

    #[test]
    fn a_line_of_fifty_megabytes() {
        let folder = folder(&[]);
        let mut log = b"job a crank\nnote ".to_vec();
        log.resize(log.len() + 50_000_000, b'x');
        log.push(b'\n');
        write(folder.path(), "a.rebuild", &log);
        let began = Instant::now();
        for form in ["text", "line", "json"] {
            let ran = run(folder.path(), &["inspect", "--as", form]);
            assert!(ran.out.contains("text.long-line"), "{form}");
            assert!(ran.out.len() < 10_000, "{form}: {}", ran.out.len());
        }
        assert!(began.elapsed() < Duration::from_secs(50));
    }

    #[test]
    fn a_folder_with_the_name_of_a_log_is_searched() {
        let folder = folder(&[("x.rebuild/a.rebuild", OUT_OF_LIMIT)]);
        for args in [
            &["inspect", "--as", "line"][..],
            &["inspect", "--as", "line", "x.rebuild"],
        ] {
            let ran = run(folder.path(), args);
            assert_ne!(ran.code, Some(2), "{}", ran.err);
            assert!(ran.out.contains("x.rebuild/a.rebuild:"), "{}", ran.out);
            assert!(
                ran.err.contains("x.rebuild: a folder with the name of a file"),
                "{}",
                ran.err
            );
            assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
        }
    }

    #[test]
    fn a_file_that_is_too_large_is_not_read() {
        let folder = folder(&[("a.rebuild", IN_LIMIT)]);
        let file = fs::File::create(folder.path().join("huge.rebuild")).unwrap();
        file.set_len(300 * 1024 * 1024).unwrap();
        let ran = run(folder.path(), &["inspect"]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.err.contains("huge.rebuild: too large: 300 MiB"), "{}", ran.err);
        assert!(ran.out.contains("1 log, 1 manual:"), "{}", ran.out);
    }

    #[cfg(unix)]
    mod unix {
        use std::os::unix::fs::symlink;

        use super::*;

        #[test]
        fn a_link_to_nothing_is_named() {
            let folder = folder(&[("a.rebuild", IN_LIMIT)]);
            symlink("gone", folder.path().join("b.rebuild")).unwrap();
            for args in [&["inspect"][..], &["inspect", "a.rebuild", "b.rebuild"]] {
                let ran = run(folder.path(), args);
                assert_eq!(ran.code, Some(2));
                assert!(
                    ran.err.contains("b.rebuild: a link to something that is not there"),
                    "{}",
                    ran.err
                );
                assert!(ran.out.contains("1 log"), "{}", ran.out);
            }
        }

        #[test]
        fn links_in_a_circle_end() {
            let folder = folder(&[("logs/a.rebuild", IN_LIMIT)]);
            write(folder.path(), "logs/bench.manual", MANUAL);
            symlink("..", folder.path().join("logs/up")).unwrap();
            symlink("loop.rebuild", folder.path().join("logs/loop.rebuild")).unwrap();
            let ran = run(folder.path(), &["inspect"]);
            assert_eq!(ran.code, Some(2));
            assert!(ran.err.contains("logs/loop.rebuild: "), "{}", ran.err);
            assert!(ran.out.contains("1 log, 2 manuals:"), "{}", ran.out);
        }

        #[test]
        fn a_linked_log_is_judged() {
            let folder = folder(&[("kept/a.txt", OUT_OF_LIMIT)]);
            symlink("kept/a.txt", folder.path().join("a.rebuild")).unwrap();
            let ran = run(folder.path(), &["inspect", "--as", "line"]);
            assert!(ran.out.contains("a.rebuild:5:"), "{}{}", ran.out, ran.err);
        }

        #[test]
        fn a_pipe_does_not_make_it_hang() {
            let folder = folder(&[]);
            let pipe = folder.path().join("p.rebuild");
            let made = std::process::Command::new("mkfifo").arg(&pipe).status();
            if !made.is_ok_and(|status| status.success()) {
                return;
            }
            for args in [&["inspect"][..], &["inspect", "p.rebuild"], &["tidy", "p.rebuild"]] {
                let ran = run(folder.path(), args);
                assert_eq!(ran.code, Some(2));
                assert!(ran.err.contains("p.rebuild: not a plain file"), "{}", ran.err);
            }
        }

        #[test]
        fn a_file_without_permission_is_named() {
            use std::os::unix::fs::PermissionsExt;
            let folder = folder(&[("a.rebuild", IN_LIMIT)]);
            let path = folder.path().join("a.rebuild");
            fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
            if fs::read(&path).is_ok() {
                // Whoever may read everything cannot be refused.
                return;
            }
            let ran = run(folder.path(), &["inspect"]);
            assert_eq!(ran.code, Some(2));
            assert!(ran.err.contains("a.rebuild: no permission"), "{}", ran.err);
        }

        #[test]
        fn a_name_with_an_escape_in_it_is_shown_without() {
            let folder = folder(&[("a\u{1b}[31m\n.rebuild", OUT_OF_LIMIT)]);
            for form in ["text", "line", "json"] {
                let ran = run(folder.path(), &["inspect", "--as", form]);
                assert!(ran.out.contains("limit.out"));
                assert!(!ran.out.contains('\u{1b}'), "{form}: {:?}", ran.out);
            }
        }

        #[test]
        fn nobody_reads_on() {
            use std::io::Read;
            use std::process::Stdio;
            let folder = folder(&[]);
            for number in 0..300 {
                write(folder.path(), &format!("{number}.rebuild"), OUT_OF_LIMIT);
            }
            let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
                .current_dir(folder.path())
                .arg("inspect")
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap();
            let mut some = [0; 10];
            let mut out = child.stdout.take().unwrap();
            out.read_exact(&mut some).unwrap();
            drop(out);
            let output = child.wait_with_output().unwrap();
            assert_eq!(String::from_utf8_lossy(&output.stderr), "");
            // The findings were there, whether or not anybody read them.
            assert_eq!(output.status.code(), Some(1));
        }

        #[test]
        fn a_full_disk_is_no_success() {
            let folder = folder(&[("a.rebuild", IN_LIMIT)]);
            let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else {
                return;
            };
            let output = std::process::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
                .current_dir(folder.path())
                .arg("inspect")
                .stdout(full)
                .output()
                .unwrap();
            assert_eq!(output.status.code(), Some(2));
            let err = String::from_utf8_lossy(&output.stderr);
            assert!(err.contains("could not print: the disk is full"), "{err}");
        }
    }
}

mod json {
    use super::*;
    use serde_json::Value;

    fn value(text: &str) -> Value {
        serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
    }

    fn assert_valid(folder: &Path, args: &[&str]) -> Value {
        let schema = value(&run(folder, &["inspect", "--schema"]).out);
        let validator = jsonschema::validator_for(&schema).unwrap();
        let mut all = vec!["inspect", "--as", "json"];
        all.extend(args);
        let output = value(&run(folder, &all).out);
        let errors: Vec<String> = validator
            .iter_errors(&output)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{errors:?}");
        output
    }

    #[test]
    fn what_is_written_fits_the_schema() {
        let folder = folder(&[("a.rebuild", OUT_OF_LIMIT), ("b.rebuild", IN_LIMIT)]);
        let output = assert_valid(folder.path(), &["a.rebuild", "b.rebuild", "gone.rebuild"]);
        let files = output["files"].as_array().unwrap();
        assert_eq!(files.len(), 2);
        assert_eq!(files[0]["path"], "a.rebuild");
        assert_eq!(files[0]["kind"], "log");
        let found = files[0]["findings"]
            .as_array()
            .unwrap()
            .iter()
            .find(|finding| finding["code"] == "limit.out")
            .unwrap();
        assert_eq!(found["severity"], "fault");
        assert_eq!(found["place"]["line"], 5);
        let bytes = |key: &str| usize::try_from(found["place"][key].as_u64().unwrap()).unwrap();
        let under = &OUT_OF_LIMIT[bytes("start_byte")..bytes("end_byte")];
        assert!(under.contains("53.00"), "{under}");
        assert!(
            found["related"].as_array().unwrap().iter().any(|related| {
                related["path"]
                    .as_str()
                    .is_some_and(|path| path.ends_with("bench.manual"))
                    && related["place"]["line"] == 6
            }),
            "{found}"
        );
        assert_eq!(output["tally"]["judged"], 2);
        assert_eq!(output["tally"]["in"], 1);
        assert_eq!(output["tally"]["out"], 1);
        assert_eq!(output["counts"]["fault"], 1);
        assert_eq!(output["unread"][0]["path"], "gone.rebuild");
    }

    #[test]
    fn an_empty_folder_gives_an_empty_answer_of_the_same_shape() {
        let empty = tempfile::tempdir().unwrap();
        let output = assert_valid(empty.path(), &[]);
        assert_eq!(output["files"].as_array().map(Vec::len), Some(0));
    }

    #[test]
    fn the_schema_refuses_what_is_not_of_its_shape() {
        let folder = folder(&[]);
        let schema = value(&run(folder.path(), &["inspect", "--schema"]).out);
        let validator = jsonschema::validator_for(&schema).unwrap();
        let mut output = assert_valid(folder.path(), &[]);
        output["files"][0]["kind"] = "poem".into();
        assert!(!validator.is_valid(&output));
        assert!(!validator.is_valid(&value("{}")));
    }
}

mod tidying {
    use super::*;

    const UNTIDY: &str = "job     a crank   \nmanual  bench\n\n2026-03-14  build\nweb   width=52.00 mm  \n";

    #[test]
    fn a_dry_run_shows_and_changes_nothing() {
        let folder = folder(&[("a.rebuild", UNTIDY)]);
        let ran = run(folder.path(), &["tidy", "--dry", "a.rebuild"]);
        assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
        assert!(ran.out.starts_with("a.rebuild: "), "{}", ran.out);
        assert!(ran.out.contains("5 - web   width=52.00 mm··"), "{}", ran.out);
        assert!(ran.out.contains("5 + "), "{}", ran.out);
        assert_eq!(fs::read_to_string(folder.path().join("a.rebuild")).unwrap(), UNTIDY);
    }

    #[test]
    fn a_file_is_tidied_once_and_then_left_alone() {
        let folder = folder(&[("a.rebuild", UNTIDY)]);
        let path = folder.path().join("a.rebuild");
        let ran = run(folder.path(), &["tidy", "a.rebuild"]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert!(
            ran.out.contains("tidied a.rebuild\n1 file tidied, 0 tidy already."),
            "{}",
            ran.out
        );
        let once = fs::read_to_string(&path).unwrap();
        assert_ne!(once, UNTIDY);
        let about = fs::metadata(&path).unwrap();

        let again = run(folder.path(), &["tidy", "a.rebuild"]);
        assert_eq!(again.code, Some(0));
        assert!(again.out.contains("0 files tidied, 1 tidy already."), "{}", again.out);
        assert_eq!(fs::read_to_string(&path).unwrap(), once);
        let after = fs::metadata(&path).unwrap();
        assert_eq!(about.modified().unwrap(), after.modified().unwrap());
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            assert_eq!(about.ino(), after.ino());
        }
        assert_eq!(run(folder.path(), &["tidy", "--dry", "a.rebuild"]).code, Some(0));
        // Nothing is left lying about.
        let mut names: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        names.sort();
        assert_eq!(names, ["a.rebuild", "bench.manual"]);
    }

    #[test]
    fn standard_input_goes_to_standard_output() {
        let folder = folder(&[("a.rebuild", UNTIDY)]);
        let piped = ran(gudgeon(folder.path()).args(["tidy", "-"]).write_stdin(UNTIDY));
        assert_eq!(piped.code, Some(0));
        run(folder.path(), &["tidy", "a.rebuild"]);
        let tidied = fs::read_to_string(folder.path().join("a.rebuild")).unwrap();
        assert_eq!(piped.out, tidied);
        let dry = ran(gudgeon(folder.path()).args(["tidy", "-", "--dry"]).write_stdin(tidied));
        assert_eq!((dry.code, dry.out.as_str()), (Some(0), ""));
    }

    #[test]
    fn what_is_not_text_is_left_as_it_is() {
        let folder = folder(&[]);
        let bytes = b"job a crank   \nnote \xff   \n";
        write(folder.path(), "a.rebuild", bytes);
        let ran = run(folder.path(), &["tidy", "a.rebuild"]);
        assert_eq!(ran.code, Some(2));
        assert!(
            ran.err
                .contains("a.rebuild: not UTF-8 text: the first bad byte is in line 2"),
            "{}",
            ran.err
        );
        assert_eq!(fs::read(folder.path().join("a.rebuild")).unwrap(), bytes);
    }

    #[cfg(unix)]
    #[test]
    fn links_and_permissions_are_kept() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = folder(&[("kept/real.rebuild", UNTIDY)]);
        let real = folder.path().join("kept/real.rebuild");
        let link = folder.path().join("a.rebuild");
        symlink("kept/real.rebuild", &link).unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        let ran = run(folder.path(), &["tidy", "a.rebuild", "kept"]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_ne!(fs::read_to_string(&real).unwrap(), UNTIDY);
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    }

    #[cfg(unix)]
    #[test]
    fn a_write_protected_file_is_left_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = folder(&[("a.rebuild", UNTIDY)]);
        let path = folder.path().join("a.rebuild");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        let ran = run(folder.path(), &["tidy", "a.rebuild"]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.err.contains("write-protected"), "{}", ran.err);
        assert_eq!(fs::read_to_string(&path).unwrap(), UNTIDY);
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
        for command in ["inspect", "tidy", "start", "why", "shelf"] {
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

mod settings {
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
                "line 1: unknown field `decid`, expected `decide`",
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
}

/// The rule of acceptance: the repository's, a manual's, a feature's.
mod acceptance {
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
}

/// `gudgeon why` of figures.
mod figures {
    use super::*;

    const LOG: &str = "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, zero +0.002 mm\n2026-03-14 build\n\
                       width = 52.03 mm by mic\nbore at top = 72.012 mm by bore gauge at 50 C, aluminium\nbore at bottom = 72.010 mm by bore gauge\n\
                       piston = 71.95 mm by mic\ngap = go 0.30, no-go 0.35 mm by feelers\n";
    const MANUAL: &str = "manual m\nsource page 1\nfeature width\n  build 51.90 to 52.05 mm\nfeature bore at top, bottom\n  unit mm\nfeature piston\n  \
                          unit mm\nfeature gap\n  build 0.2 to 0.4 mm\ncalc clearance = smallest(bore) - piston\n  build 0.00 to 0.06 mm\n";

    fn why(args: &[&str]) -> Ran {
        let folder = folder(&[("x.rebuild", LOG), ("m.manual", MANUAL)]);
        run(folder.path(), &[&["why"], args].concat())
    }

    #[test]
    fn a_line_is_shown_with_its_budget() {
        insta::assert_snapshot!("why-a-line", why(&["x.rebuild:5"]).out);
        insta::assert_snapshot!("why-a-warm-part", why(&["x.rebuild:6:3"]).out);
        insta::assert_snapshot!("why-blades", why(&["x.rebuild", "gap"]).out);
        insta::assert_snapshot!("why-a-sum", why(&["x.rebuild", "Clearance"]).out);
    }

    #[test]
    fn json_fits_its_schema_and_holds_every_figure() {
        let schema = why(&["--schema"]).out;
        let schema: serde_json::Value = serde_json::from_str(&schema).expect("a schema");
        let validator = jsonschema::validator_for(&schema).expect("a sound schema");
        let ran = why(&["x.rebuild", "--as", "json"]);
        assert_eq!(ran.code, Some(0));
        let written: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
        assert!(validator.is_valid(&written), "{}", ran.out);
        let names: Vec<&str> = written["figures"]
            .as_array()
            .expect("figures")
            .iter()
            .filter_map(|figure| figure["name"].as_str())
            .collect();
        assert_eq!(names, ["width", "bore", "bore", "piston", "gap", "clearance"]);
    }

    #[test]
    fn what_is_not_there_is_said() {
        let none = why(&["x.rebuild:2"]);
        assert_eq!((none.code, none.out.as_str()), (Some(2), ""));
        assert!(none.err.contains("a line that has a reading"), "{}", none.err);
        let near = why(&["x.rebuild", "widht"]);
        assert!(near.err.contains("Did you mean width?"), "{}", near.err);
        let lost = why(&["y.rebuild"]);
        assert_eq!(lost.code, Some(2));
        assert!(lost.err.contains("y.rebuild: there is no such file"), "{}", lost.err);
    }
}
