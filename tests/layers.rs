//! The floors of the house: a lower one never imports a higher one, only `cli` prints, and nothing below the faces touches the disk, the
//! clock or the environment. Read from the sources themselves.

use std::path::{Path, PathBuf};

/// Each floor, lowest first, with the floors it may use besides itself.
const FLOORS: &[(&str, &[&str])] = &[
    ("syntax", &[]),
    ("order", &[]),
    ("quantity", &["syntax"]),
    ("uncertainty", &["syntax", "quantity"]),
    ("trade", &["quantity"]),
    ("model", &["syntax", "quantity", "uncertainty", "trade"]),
    ("metrology", &["syntax", "quantity", "uncertainty", "trade", "model"]),
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
    (
        "history",
        &[
            "syntax",
            "quantity",
            "uncertainty",
            "trade",
            "model",
            "metrology",
            "calc",
            "judge",
        ],
    ),
    ("shelf", &[]),
    (
        "workspace",
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
            "quantity",
            "uncertainty",
            "trade",
            "model",
            "metrology",
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

/// Floors that work on texts alone.
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
    "editor",
];

/// What those never use of the standard library.
const OUTSIDE: &[&str] = &["fs", "env", "time", "process"];

/// Macros that write on the terminal.
const PRINTS: &[&str] = &["println!", "eprintln!", "print!", "eprint!", "dbg!"];

/// A source file: its path below `src`, with `/`, and its text without comments.
struct File {
    path: String,
    code: String,
}

impl File {
    /// The floor it stands on; `lib.rs` and `main.rs` stand on none.
    fn floor(&self) -> Option<&str> {
        self.path.split_once('/').map(|(floor, _)| floor)
    }

    /// How many `super` lead from it to the crate's root.
    fn depth(&self) -> usize {
        let parts = self.path.split('/').count();
        if self.path.ends_with("/mod.rs") {
            parts - 1
        } else {
            parts
        }
    }

    /// Every floor it names.
    fn floors_named(&self) -> Vec<String> {
        let mut named = below("crate::", &self.code);
        // From a module written inside the file it is one `super` more.
        for climb in [self.depth(), self.depth() + 1] {
            named.extend(below(&"super::".repeat(climb), &self.code));
        }
        named.retain(|name| FLOORS.iter().any(|(floor, _)| floor == name));
        named
    }
}

/// Every `.rs` file below `src`.
fn sources() -> Vec<File> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        let entries = std::fs::read_dir(&folder).expect("src is there");
        for path in entries.map(|entry| entry.expect("an entry can be read").path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.file_name().is_some_and(|name| name == "build.rs") {
                // It runs before the program is built, and belongs to no floor.
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                files.push(File {
                    path: below_root(&path, &root),
                    code: without_comments(&std::fs::read_to_string(&path).expect("a source is text")),
                });
            }
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

fn below_root(path: &Path, root: &PathBuf) -> String {
    let parts = path.strip_prefix(root).expect("it lies below src").components();
    let parts: Vec<String> = parts.map(|p| p.as_os_str().to_string_lossy().into_owned()).collect();
    parts.join("/")
}

/// A text without what stands behind `//`: a comment may speak of any floor.
fn without_comments(text: &str) -> String {
    text.lines()
        .map(|line| line.split("//").next().unwrap_or(line))
        .collect::<Vec<_>>()
        .join("\n")
}

/// The first names behind each `prefix` of a path, in the order they stand: `a` and `b` of `crate::{a::X, b}`.
fn below(prefix: &str, code: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (at, _) in code.match_indices(prefix) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = code[at + prefix.len()..].trim_start();
        match rest.strip_prefix('{') {
            Some(group) => names.extend(first_names(group)),
            None => names.extend(first_name(rest)),
        }
    }
    names
}

/// The first name of each path in a group, up to the brace that ends it.
fn first_names(group: &str) -> Vec<String> {
    let mut depth = 0;
    let mut names = Vec::new();
    let mut path = String::new();
    for c in group.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => names.extend(first_name(&std::mem::take(&mut path))),
            _ if depth == 0 => path.push(c),
            _ => {}
        }
    }
    names.extend(first_name(&path));
    names
}

fn first_name(path: &str) -> Option<String> {
    let name: String = path
        .trim_start()
        .chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect();
    (!name.is_empty()).then_some(name)
}

/// Whether a macro is called: `print!` is not `eprint!`.
fn calls(code: &str, name: &str) -> bool {
    code.match_indices(name).any(|(at, _)| {
        let before = code[..at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
    })
}

fn assert_none(wrong: &[String]) {
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn every_module_has_its_floor() {
    let files = sources();
    let library = files.iter().find(|f| f.path == "lib.rs").expect("lib.rs is there");
    let modules: Vec<&str> = library
        .code
        .split("mod ")
        .skip(1)
        .filter_map(|rest| rest.split(';').next())
        .collect();
    let mut floors: Vec<&str> = FLOORS.iter().map(|(floor, _)| *floor).collect();
    floors.sort_unstable();
    assert_eq!(modules, floors);
    for floor in floors {
        assert!(files.iter().any(|f| f.floor() == Some(floor)), "{floor} has no file");
    }
}

#[test]
fn a_floor_uses_only_those_it_stands_on() {
    let mut wrong = Vec::new();
    for file in sources() {
        let Some(own) = file.floor() else { continue };
        let allowed = FLOORS.iter().find(|(floor, _)| *floor == own).map(|(_, below)| *below);
        let allowed = allowed.unwrap_or_else(|| panic!("src/{} stands on no floor", file.path));
        for name in file.floors_named() {
            if name != own && !allowed.contains(&name.as_str()) {
                wrong.push(format!("src/{} uses {name}, and {own} may not", file.path));
            }
        }
    }
    assert_none(&wrong);
}

#[test]
fn only_the_commands_print() {
    let mut wrong = Vec::new();
    for file in sources() {
        if file.floor() == Some("cli") || file.path == "main.rs" {
            continue;
        }
        for name in PRINTS.iter().filter(|name| calls(&file.code, name)) {
            wrong.push(format!("src/{} uses {name}", file.path));
        }
    }
    assert_none(&wrong);
}

#[test]
fn below_the_workspace_all_is_text() {
    let mut wrong = Vec::new();
    for file in sources() {
        if !file.floor().is_some_and(|floor| PURE.contains(&floor)) {
            continue;
        }
        for name in below("std::", &file.code) {
            if OUTSIDE.contains(&name.as_str()) {
                wrong.push(format!("src/{} uses std::{name}", file.path));
            }
        }
    }
    assert_none(&wrong);
}

#[test]
fn paths_are_found_however_they_are_written() {
    let named = |path: &str, code: &str| {
        File {
            path: path.to_owned(),
            code: without_comments(code),
        }
        .floors_named()
    };
    assert_eq!(named("calc/sum.rs", "use crate::judge::Case;"), ["judge"]);
    assert_eq!(
        named("calc/sum.rs", "fn f() -> crate::cli::Args {}\n// crate::report::X\n"),
        ["cli"]
    );
    assert_eq!(
        named(
            "calc/sum.rs",
            "use crate::{\n    judge::{Case, cli},\n    model,\n    other,\n};\n"
        ),
        ["judge", "model"]
    );
    assert_eq!(named("calc/sum.rs", "use super::super::judge::Case;"), ["judge"]);
    assert_eq!(named("calc/mod.rs", "use super::judge::Case;"), ["judge"]);
    assert_eq!(named("calc/sum.rs", "use super::model::X;"), Vec::<String>::new());
    assert_eq!(named("calc/sum.rs", "use mycrate::judge::Case;"), Vec::<String>::new());
    assert_eq!(below("std::", "use std::{fs::File, sync::Arc};"), ["fs", "sync"]);
    assert!(calls("    print!(\"x\")", "print!") && !calls("eprint!(\"x\")", "print!"));
}
