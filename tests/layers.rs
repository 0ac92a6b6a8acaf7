//! The floors of the house: a lower one never imports a higher one, only `cli` prints, and nothing below the faces touches the disk, the
//! clock or the environment. Read from the sources themselves.

#[path = "layers/source.rs"]
mod source;

use std::path::Path;

use source::Source;

/// Each floor, lowest first, with the floors it may use besides itself.
const FLOORS: &[(&str, &[&str])] = &[
    ("syntax", &[]),
    ("order", &[]),
    ("quantity", &["syntax"]),
    ("uncertainty", &["quantity"]),
    ("trade", &["quantity"]),
    ("model", &["syntax", "quantity", "uncertainty", "trade"]),
    ("metrology", &["quantity", "uncertainty", "model"]),
    (
        "calc",
        &["syntax", "quantity", "uncertainty", "trade", "model", "metrology"],
    ),
    (
        "judge",
        &[
            "syntax",
            "order",
            "quantity",
            "uncertainty",
            "trade",
            "model",
            "metrology",
            "calc",
        ],
    ),
    ("history", &["quantity", "uncertainty", "trade", "model", "judge"]),
    ("shelf", &[]),
    (
        "workspace",
        &["syntax", "uncertainty", "model", "calc", "judge", "shelf"],
    ),
    (
        "report",
        &[
            "syntax",
            "quantity",
            "uncertainty",
            "trade",
            "model",
            "metrology",
            "calc",
            "judge",
            "history",
            "workspace",
        ],
    ),
    (
        "editor",
        &[
            "syntax",
            "quantity",
            "uncertainty",
            "trade",
            "model",
            "metrology",
            "calc",
            "judge",
            "shelf",
        ],
    ),
    (
        "server",
        &["syntax", "model", "judge", "shelf", "workspace", "editor", "report"],
    ),
    (
        "cli",
        &[
            "syntax",
            "trade",
            "model",
            "calc",
            "judge",
            "history",
            "shelf",
            "workspace",
            "report",
            "server",
        ],
    ),
];

/// Floors that work on texts alone: they touch no disk, no clock and no environment.
const PURE: &[&str] = &[
    "syntax",
    "order",
    "quantity",
    "uncertainty",
    "trade",
    "model",
    "metrology",
    "calc",
    "judge",
    "history",
    "shelf",
    "report",
    "editor",
];

/// What those never use of the standard library.
const OUTSIDE: &[&str] = &["env", "fs", "net", "process", "thread", "time"];

/// Macros that write on the terminal.
const PRINTS: &[&str] = &["dbg", "eprint", "eprintln", "print", "println"];

/// Other people's crates that reach outside, or that one floor is there to hide, and the floors that may name them.
const HIDDEN: &[(&str, &[&str])] = &[
    ("pest", &["syntax"]),
    ("pest_derive", &["syntax"]),
    ("rand", &["uncertainty"]),
    ("rand_distr", &["uncertainty"]),
    ("rand_pcg", &["uncertainty"]),
    ("ignore", &["workspace"]),
    ("tempfile", &["workspace", "server"]),
    ("toml", &["workspace"]),
    ("csv", &["report"]),
    ("maud", &["report"]),
    ("miette", &["report"]),
    ("quick_junit", &["report"]),
    ("dirs", &["server"]),
    ("futures_util", &["server"]),
    ("tokio", &["server"]),
    ("tower_lsp", &["server"]),
    ("tower_service", &["server"]),
    ("clap", &["cli"]),
    ("clap_complete", &["cli"]),
    ("clap_mangen", &["cli"]),
    ("indicatif", &["cli"]),
    ("terminal_size", &["cli"]),
];

/// Every source below `src` and `examples`.
fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    let mut folders = vec!["src".to_owned(), "examples".to_owned()];
    while let Some(folder) = folders.pop() {
        let entries = std::fs::read_dir(root.join(&folder)).expect("the folder is there");
        for entry in entries.map(|entry| entry.expect("an entry can be read")) {
            let place = format!("{folder}/{}", entry.file_name().to_string_lossy());
            if entry.path().is_dir() {
                folders.push(place);
            } else if place == "src/build.rs" {
                // It runs before the program is built, and belongs to no floor.
            } else if place.ends_with(".rs") {
                let text = std::fs::read_to_string(entry.path()).expect("a source is text");
                files.push(Source::read(&place, &text));
            }
        }
    }
    files.sort_by(|a, b| a.place.cmp(&b.place));
    assert!(files.len() > 300, "the sources are found");
    files
}

/// What is wrong with the floors that a file uses.
fn steps_up(file: &Source) -> Vec<String> {
    let Some(own) = file.floor() else { return Vec::new() };
    let known = FLOORS.iter().find(|(floor, _)| *floor == own);
    let (_, allowed) = known.unwrap_or_else(|| panic!("{} stands on no floor", file.place));
    let named = file.paths.iter().filter_map(|path| match path.as_slice() {
        // A constant of the whole crate, its version, stands on no floor.
        [root, constant] if root == "crate" && constant.chars().all(|c| c.is_ascii_uppercase()) => None,
        [root, floor, ..] if root == "crate" => Some(floor.as_str()),
        _ => None,
    });
    let is_wrong = |floor: &str| floor != own && !allowed.contains(&floor);
    named
        .filter(|floor| is_wrong(floor))
        .map(|floor| format!("{} uses `{floor}`, and {own} may not", file.place))
        .collect()
}

/// What a file does that only others may: print, speak the protocol, touch the disk or the clock.
fn trespasses(file: &Source) -> Vec<String> {
    let floor = file.floor().unwrap_or(match file.place.as_str() {
        "src/main.rs" => "cli",
        _ => "examples",
    });
    let mut wrong = Vec::new();
    if !matches!(floor, "cli" | "examples") {
        wrong.extend(
            file.macros
                .iter()
                .filter(|name| PRINTS.contains(&name.as_str()))
                .cloned(),
        );
    }
    for path in &file.paths {
        let (first, second) = (path[0].as_str(), path[1].as_str());
        let is_hidden = HIDDEN
            .iter()
            .any(|(name, floors)| *name == first && !floors.contains(&floor));
        let is_stream = first == "std"
            && path[1..]
                .iter()
                .any(|name| matches!(name.as_str(), "stdin" | "stdout" | "stderr"));
        let prints = is_stream && !matches!(floor, "cli" | "server" | "examples");
        let is_outside = first == "std" && (OUTSIDE.contains(&second) || matches!(second, "*" | "as"));
        let is_clock = path.last().is_some_and(|name| name == "now");
        if is_hidden || prints || (PURE.contains(&floor) && (is_outside || is_clock)) {
            wrong.push(path.join("::"));
        }
    }
    wrong
        .into_iter()
        .map(|what| format!("{} uses `{what}`, and {floor} may not", file.place))
        .collect()
}

#[track_caller]
fn assert_none(wrong: Vec<String>) {
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn every_module_has_its_floor() {
    let library = include_str!("../src/lib.rs");
    let modules: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    let mut floors: Vec<&str> = FLOORS.iter().map(|(floor, _)| *floor).collect();
    floors.sort_unstable();
    assert_eq!(modules, floors);
    // Lowest first: a floor uses only those that stand before it, so there is no way round.
    for (number, (floor, below)) in FLOORS.iter().enumerate() {
        for used in *below {
            let stands_before = FLOORS[..number].iter().any(|(lower, _)| lower == used);
            assert!(stands_before, "{floor} may not use {used}");
        }
    }
}

#[test]
fn a_floor_uses_only_those_it_stands_on() {
    assert_none(sources().iter().flat_map(steps_up).collect());
}

#[test]
fn a_floor_may_use_no_more_than_it_does() {
    let files = sources();
    let mut wrong = Vec::new();
    for (floor, below) in FLOORS {
        let own = files.iter().filter(|file| file.floor() == Some(floor));
        let paths: Vec<&source::Path> = own.flat_map(|file| &file.paths).collect();
        let is_used = |used: &str| paths.iter().any(|path| path[0] == "crate" && path[1] == used);
        wrong.extend(
            below
                .iter()
                .filter(|used| !is_used(used))
                .map(|used| format!("{floor} does not use {used}")),
        );
    }
    assert_none(wrong);
}

#[test]
fn only_the_commands_print_only_the_server_speaks_and_all_below_is_text() {
    assert_none(sources().iter().flat_map(trespasses).collect());
}

/// Whether anything is said of a file of one line.
fn is_wrong(place: &str, text: &str) -> bool {
    let file = Source::read(place, text);
    !(steps_up(&file).is_empty() && trespasses(&file).is_empty())
}

#[test]
fn a_step_up_is_seen_however_it_is_written() {
    for up in [
        "use crate::judge::Case;",
        "use crate::{model, judge};",
        "use crate::{model::{Job, lower_job}, judge::{case::Case, finding}};",
        "use crate::{\n    self,\n    cli::{\n        args,\n    },\n};",
        "fn f() -> crate::cli::Args { todo() }",
        "pub(in crate::cli) fn f() {}",
        "use super::super::judge::Case;",
        "use super::{super::judge::Case, call};",
        "use self::super::super::judge;",
        "mod tests { use super::super::super::judge::Case; }",
        "mod tests { mod inner { fn f() { super::super::super::super::cli::run() } } }",
        "use crate::*;",
        "use crate as root;",
        "use super::super::{self as root};",
        "macro_rules! m { () => { $crate::cli::run() } }",
        "const A: &str = \"//\"; use crate::judge::Case;",
        "const A: &str = r#\"a \" /* \"#; use crate::judge::Case;",
        "const A: char = '\"'; use crate::judge::Case; const B: char = '\"';",
        "/* a /* b */ c */ use crate::judge::Case;",
        "use gudgeon::judge::Case;",
    ] {
        assert!(is_wrong("src/calc/sum.rs", up), "{up}");
    }
    assert!(is_wrong("src/calc/mod.rs", "use super::judge::Case;"));
    for fine in [
        "use crate::model::{self, judge};",
        "use super::judge::Case;",
        "use super::super::model::{Job, cli};",
        "// use crate::judge::Case;",
        "/* crate::judge */ //! crate::cli",
        "const A: &str = \"crate::judge::Case\";",
        "const A: &str = r\"crate::judge\";",
        "pub(crate) fn f<'a>(x: &'a str) -> &'a str { x }",
        "use mycrate::judge::Case;",
        "fn f() { x.crate_judge(); y.time().now(); }",
    ] {
        assert!(!is_wrong("src/calc/sum.rs", fine), "{fine}");
    }
}

#[test]
fn printing_the_protocol_and_the_world_outside_are_seen_however_they_are_written() {
    for wrong in [
        "fn f() { println!(\"\"); }",
        "fn f() { std::eprintln!(); }",
        "fn f() { dbg!(1); }",
        "fn f() { print! {\"\"} }",
        "use std::io::stdout;",
        "fn f() { let out = ::std::io::stderr(); }",
        "use std::fs;",
        "use std::{collections::BTreeMap, fs::File};",
        "use std::{env, fmt};",
        "fn f() { std::process::exit(1) }",
        "use std::time::Instant;",
        "use std::net::TcpStream;",
        "use std as s;",
        "use std::{self as s};",
        "fn f() { jiff::Zoned::now(); }",
        "use tower_lsp::lsp_types::Position;",
        "use tempfile::NamedTempFile;",
    ] {
        assert!(is_wrong("src/calc/sum.rs", wrong), "{wrong}");
    }
    for fine in [
        "use std::io::Write as _;",
        "fn f() { sprintln!(); eprint(); \"println!()\" }",
        "use std::{fmt, sync::Arc};",
    ] {
        assert!(!is_wrong("src/calc/sum.rs", fine), "{fine}");
    }
    assert!(!is_wrong(
        "src/cli/console.rs",
        "fn f() { println!(); std::env::args(); }"
    ));
    assert!(is_wrong("src/cli/console.rs", "use tower_lsp::Client;"));
    assert!(!is_wrong(
        "src/server/backend.rs",
        "use tower_lsp::Client; use std::time::Instant;"
    ));
    assert!(is_wrong("src/server/backend.rs", "fn f() { eprintln!(); }"));
    assert!(!is_wrong("src/main.rs", "fn f() { println!(); }"));
    assert!(!is_wrong(
        "examples/units.rs",
        "fn f() { println!(); std::io::stdout(); }"
    ));
    assert!(is_wrong("examples/units.rs", "use tower_lsp::Client;"));
}
