//! Every command of the program, from the command line's own definition: what `--help` shows as an example is taken by that definition and runs; what shells
//! complete and what manual pages say is made from it.

use std::path::Path;
use std::process::{Command as Process, Output, Stdio};
use std::time::Duration;

use assert_cmd::Command;
use gudgeon::cli::command;

/// A log that has what the examples ask for: a reading on line 23 and a piston clearance.
const LOG: &str = "\
job a top end
machine Tarn 250 trials single, frame TN-0417
2026-03-14 as found
note 4
note 5
note 6
note 7
note 8
note 9
note 10
note 11
note 12
note 13
note 14
note 15
note 16
note 17
note 18
note 19
bore = 72.035 mm
piston size = 71.980 mm
piston clearance = 0.055 mm
side play = go 0.40, no-go 0.45 mm
";

/// Each command but `help`, by its name, with the examples of its `--help`.
fn examples() -> Vec<(String, Vec<String>)> {
    let command = command();
    let mut list = vec![("gudgeon".to_owned(), of(&command))];
    list.extend(
        command
            .get_subcommands()
            .map(|one| (one.get_name().to_owned(), of(one))),
    );
    list
}

fn of(command: &clap::Command) -> Vec<String> {
    let behind = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let lines = behind.lines().filter_map(|line| line.strip_prefix("Example: "));
    lines.map(str::to_owned).collect()
}

/// The words of a command line, as a shell parts them: `'…'` is one word. What stands behind `>` is no word of it.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut is_quoted = false;
    for c in line.chars() {
        match c {
            '\'' => is_quoted = !is_quoted,
            '>' if !is_quoted => break,
            ' ' if !is_quoted => words.push(String::new()),
            c => words.last_mut().expect("there is a first word").push(c),
        }
    }
    assert!(!is_quoted, "a quote without an end: {line}");
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn the_words_of_a_line_are_those_of_a_shell() {
    assert_eq!(
        words("gudgeon why a.rebuild 'side play' > x"),
        ["gudgeon", "why", "a.rebuild", "side play"]
    );
}

#[test]
fn every_command_has_an_example_that_its_own_definition_takes() {
    for (name, examples) in examples() {
        assert!(!examples.is_empty(), "gudgeon {name} --help shows no `Example: `");
        for example in examples {
            let words = words(&example);
            assert_eq!(words.first().map(String::as_str), Some("gudgeon"), "{example}");
            assert!(
                name == "gudgeon" || words.get(1) == Some(&name),
                "{example} is none of {name}"
            );
            if let Err(error) = command().try_get_matches_from(&words) {
                panic!("{example}\n{error}");
            }
        }
    }
}

#[test]
fn every_command_says_what_its_exit_codes_mean() {
    for one in command().get_subcommands() {
        let behind = one.get_after_help().map(ToString::to_string).unwrap_or_default();
        assert!(
            behind.contains("Exit codes: 0 "),
            "gudgeon {} --help: {behind}",
            one.get_name()
        );
    }
}

/// Each in a folder of its own with the files it names: the log above under each name that ends in `.rebuild`, and in each folder that is read; a repository
/// whose branch is `main` where something since then is asked for. An example of a new command that needs another kind of file is given it here.
#[test]
fn every_example_runs() {
    for (_, examples) in examples() {
        for example in examples {
            let folder = tempfile::tempdir().expect("a folder");
            let words = words(&example);
            for (before, word) in words.iter().zip(words.iter().skip(1)) {
                let name = word.split(':').next().unwrap_or("");
                if name.ends_with(".rebuild") && before != "--out" {
                    put(folder.path(), name);
                }
                if matches!(word.as_str(), "logs" | "samples") {
                    put(folder.path(), &format!("{word}/a.rebuild"));
                }
            }
            if words.iter().any(|word| word == "--since") {
                if !is_there("git") {
                    continue;
                }
                repository(folder.path());
                put(folder.path(), "since.rebuild");
            }
            let ran = run(
                folder.path(),
                &words.iter().skip(1).map(String::as_str).collect::<Vec<_>>(),
            );
            // 1 is that something was found, or that nobody spoke to the server.
            let code = ran.status.code();
            let said = String::from_utf8_lossy(&ran.stderr);
            assert!(matches!(code, Some(0 | 1)), "{example}: {code:?}\n{said}");
            assert!(!said.contains("panicked"), "{said}");
        }
    }
}

fn put(folder: &Path, name: &str) {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("made");
    std::fs::write(path, LOG).expect("written");
}

/// A repository with one commit on `main`.
fn repository(folder: &Path) {
    put(folder, "before.rebuild");
    let git = |args: &[&str]| {
        let ran = Process::new("git")
            .args([
                "-c",
                "user.name=bench",
                "-c",
                "user.email=bench@example.invalid",
                "-c",
                "commit.gpgsign=false",
            ])
            .args(args)
            .current_dir(folder)
            .output()
            .expect("it can be started");
        assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    };
    git(&["init", "--quiet"]);
    git(&["symbolic-ref", "HEAD", "refs/heads/main"]);
    git(&["add", "."]);
    git(&["commit", "--quiet", "-m", "before"]);
}

/// The program in a folder, with nothing on its standard input.
fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gudgeon"))
        .args(args)
        .current_dir(folder)
        .timeout(Duration::from_secs(60))
        .output()
        .expect("it can be started")
}

fn printed(folder: &Path, args: &[&str]) -> String {
    let ran = run(folder, args);
    assert_eq!(ran.status.code(), Some(0), "{}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout).expect("text")
}

/// Whether a program is on the path. Where it is not, the test says that it left something out.
fn is_there(program: &str) -> bool {
    let is_there = Process::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .stdin(Stdio::null())
        .status()
        .is_ok();
    if !is_there {
        eprintln!("left out: {program} is not installed");
    }
    is_there
}

#[test]
fn what_shells_complete_is_read_by_the_shells_and_names_every_command() {
    let folder = tempfile::tempdir().expect("a folder");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = printed(folder.path(), &["completions", shell]);
        for one in command().get_subcommands() {
            assert!(script.contains(one.get_name()), "{shell}: {}", one.get_name());
        }
        assert!(script.contains("fail-on"), "{shell}");
        std::fs::write(folder.path().join(shell), script).expect("written");
        if matches!(shell, "bash" | "zsh" | "fish") && is_there(shell) {
            let read = Process::new(shell)
                .arg("-n")
                .arg(folder.path().join(shell))
                .output()
                .expect("it can be started");
            assert!(
                read.status.success(),
                "{shell}: {}",
                String::from_utf8_lossy(&read.stderr)
            );
        }
    }
    let unknown = run(folder.path(), &["completions", "sh"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("possible values: bash"));
}

/// What bash itself proposes for `gudgeon ne` and for `gudgeon inspect --as `.
#[test]
fn bash_completes_a_command_and_a_value() {
    if !is_there("bash") {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let script = printed(folder.path(), &["completions", "bash"]);
    std::fs::write(folder.path().join("gudgeon.bash"), script).expect("written");
    let proposed = |line: &[&str]| {
        let typed = line.last().expect("a word");
        let before = line.iter().rev().nth(1).expect("two words");
        let all: Vec<String> = line.iter().map(|word| format!("'{word}'")).collect();
        let (all, last) = (all.join(" "), line.len() - 1);
        let ask = format!(
            "source ./gudgeon.bash; COMP_WORDS=({all}); COMP_CWORD={last}; _gudgeon gudgeon '{typed}' '{before}'; echo \"${{COMPREPLY[@]}}\""
        );
        let ran = Process::new("bash")
            .args(["--norc", "-c", &ask])
            .current_dir(folder.path())
            .output()
            .expect("it can be started");
        String::from_utf8_lossy(&ran.stdout).trim().to_owned()
    };
    assert_eq!(proposed(&["gudgeon", "ne"]), "next");
    assert_eq!(proposed(&["gudgeon", "costs", "--as", ""]), "text json csv");
}

#[test]
fn a_manual_page_for_each_command_is_written_whole_and_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    // One of an earlier version is written over; what else lies there is left.
    std::fs::create_dir_all(folder.path().join("man1")).expect("made");
    std::fs::write(folder.path().join("man1/gudgeon.1"), "old").expect("written");
    std::fs::write(folder.path().join("man1/other.1"), "mine").expect("written");
    let said = printed(folder.path(), &["manpages", "man1"]);
    let mut expected = vec!["man1/gudgeon.1".to_owned()];
    expected.extend(
        command()
            .get_subcommands()
            .map(|one| format!("man1/gudgeon-{}.1", one.get_name())),
    );
    let lines: Vec<String> = said.lines().map(|line| line.replace('\\', "/")).collect();
    assert_eq!(lines, expected);
    let mut there: Vec<String> = std::fs::read_dir(folder.path().join("man1"))
        .expect("a folder")
        .map(|entry| format!("man1/{}", entry.expect("an entry").file_name().to_string_lossy()))
        .collect();
    there.sort();
    expected.push("man1/other.1".to_owned());
    expected.sort();
    assert_eq!(there, expected, "nothing half-made is left behind");
    let of = |name: &str| std::fs::read_to_string(folder.path().join("man1").join(name)).expect("a page");
    assert_eq!(of("other.1"), "mine");
    for name in expected.iter().filter(|name| !name.ends_with("other.1")) {
        let page = of(name.trim_start_matches("man1/"));
        for section in [
            "NAME",
            "SYNOPSIS",
            "OPTIONS",
            "\"EXIT STATUS\"",
            "EXAMPLES",
            "\"SEE ALSO\"",
        ] {
            assert!(
                page.contains(&format!(".SH {section}\n")),
                "{name} lacks {section}:\n{page}"
            );
        }
    }
    // Again is the same.
    let before = of("gudgeon-inspect.1");
    printed(folder.path(), &["manpages", "man1"]);
    assert_eq!(of("gudgeon-inspect.1"), before);
}

#[test]
fn a_manual_page_is_read_by_man() {
    let folder = tempfile::tempdir().expect("a folder");
    printed(folder.path(), &["manpages", "man1"]);
    let page = folder.path().join("man1/gudgeon-why.1");
    let (reader, args): (&str, &[&str]) = if is_there("man") {
        ("man", &["--warnings", "-l"])
    } else if is_there("mandoc") {
        ("mandoc", &["-Wwarning"])
    } else {
        return;
    };
    let read = Process::new(reader)
        .args(args)
        .arg(&page)
        .env("MANPAGER", "cat")
        .env("MANWIDTH", "100")
        .output()
        .expect("it can be started");
    let (shown, warned) = (
        String::from_utf8_lossy(&read.stdout),
        String::from_utf8_lossy(&read.stderr),
    );
    assert!(read.status.success(), "{warned}");
    assert_eq!(warned, "");
    assert!(shown.contains("gudgeon why job.rebuild 'piston clearance'"), "{shown}");
}

#[test]
fn a_folder_that_is_a_file_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("man1"), "a file").expect("written");
    let ran = run(folder.path(), &["manpages", "man1"]);
    assert_eq!(ran.status.code(), Some(2));
    let said = String::from_utf8_lossy(&ran.stderr).into_owned();
    assert!(said.contains("man1: the folder cannot be made"), "{said}");
}

const COSTS: &str = "\
job rebore
2026-03-14
ordered piston kit: price 129 EUR
cost rebore: work 45 EUR, post 2 x 6 EUR
cost \"odd\": 1 EUR over 3 jobs
2026-03-20
cost plating: 3 GBP
";

#[test]
fn costs_as_text_as_json_by_its_schema_and_as_a_table() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("a.rebuild"), COSTS).expect("written");
    let text = printed(folder.path(), &["costs", "a.rebuild"]);
    // 45 + 12 + 0.33 paid.
    assert!(
        text.contains("57.33 EUR paid, 129.00 EUR still to come: 186.33 EUR"),
        "{text}"
    );
    assert!(text.contains("3.00 GBP paid"), "{text}");
    assert!(
        text.contains("piston kit, since 2026-03-14, 6 days: 129.00 EUR"),
        "{text}"
    );

    let schema: serde_json::Value =
        serde_json::from_str(&printed(folder.path(), &["costs", "--schema"])).expect("JSON");
    let json: serde_json::Value =
        serde_json::from_str(&printed(folder.path(), &["costs", "a.rebuild", "--as", "json"])).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let errors: Vec<String> = validator.iter_errors(&json).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(json["logs"][0]["totals"][1]["landed"], "3");
    assert_eq!(json["logs"][0]["on_order"][0]["days"], 6);

    let table = printed(folder.path(), &["costs", "a.rebuild", "--as", "csv"]);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), 5, "{table}");
    assert!(
        rows.iter()
            .any(|row| &row[3] == "\"odd\"" && row[9].starts_with("0.3333")),
        "{table}"
    );

    // As it stood on the first day there is no money in GBP.
    let then = printed(folder.path(), &["costs", "a.rebuild", "--at", "2026-03-14"]);
    assert!(!then.contains("GBP"), "{then}");
    let none = run(folder.path(), &["costs", "nowhere.rebuild"]);
    assert_eq!(none.status.code(), Some(2));
}
