//! What is found after edits is what is found from scratch: the texts go through the session as the client's messages do, and the same texts, written to
//! the disk, are inspected afresh. Longer with `PROPTEST_CASES=2000 cargo test --release --lib server::tests`.

#[path = "../../tests/generate/mod.rs"]
mod generate;

use std::path::PathBuf;
use std::sync::Arc;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use tempfile::TempDir;
use tokio::runtime::Runtime;
use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use super::positions::{Encoding, range};
use super::session::Session;
use crate::editor::Page;
use crate::editor::glance::{Judged, glance};
use crate::judge::Finding;
use crate::syntax::{FileKind, LineIndex, Span, changed};
use crate::workspace::{Library, inspect};
use generate::{Dice, Log, Repository};

/// A file that is open.
struct Open {
    uri: Uri,
    path: PathBuf,
    kind: FileKind,
    version: i32,
}

/// A folder with manuals, and a log of it and the manuals it rests on open in an editor.
struct Desk {
    _folder: TempDir,
    _runtime: Runtime,
    session: Session,
    /// The log first.
    open: Vec<Open>,
    dice: Dice,
}

impl Desk {
    fn new(seed: u64, lines: u64) -> Desk {
        let folder = tempfile::tempdir().expect("a folder");
        let repository = Repository { files: 48, lines, seed };
        let log = Log {
            mistakes: 20,
            ..repository.log(seed % 48)
        };
        let (model, text) = (log.model(), log.text());
        std::fs::create_dir(folder.path().join("manuals")).expect("it is made");
        std::fs::write(folder.path().join("gudgeon.toml"), "").expect("it is written");
        let mut open = vec![(folder.path().join("x.rebuild"), FileKind::Log)];
        std::fs::write(&open[0].0, &text).expect("it is written");
        for (name, text) in repository.manuals() {
            let path = folder.path().join("manuals").join(format!("{name}.manual"));
            std::fs::write(&path, text).expect("it is written");
            let rests_on = name == model.file || Some(&name) == model.later_of.as_ref() || name == "house-rules";
            if rests_on {
                open.push((path, FileKind::Manual));
            }
        }
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .expect("a runtime");
        let session = Session::new(runtime.handle().clone());
        let open = open.into_iter().map(|(path, kind)| {
            let uri = Uri::from_file_path(&path).expect("an absolute path");
            let text = std::fs::read_to_string(&path).expect("it was written");
            session.open(uri.clone(), kind, 1, text).expect("not too much");
            Open {
                uri,
                path,
                kind,
                version: 1,
            }
        });
        let open = open.collect();
        Desk {
            _folder: folder,
            _runtime: runtime,
            session,
            open,
            dice: Dice::new(seed, 11, 0),
        }
    }

    fn text(&self, at: usize) -> String {
        let snapshot = self.session.snapshot(&self.open[at].uri).expect("it is open");
        snapshot.source.text.clone()
    }

    fn page(&self, at: usize) -> Arc<Page> {
        self.session.snapshot(&self.open[at].uri).expect("it is open").page()
    }

    /// One edit as a client tells it.
    fn edit(&mut self, at: usize, span: Span, text: &str) {
        let snapshot = self.session.snapshot(&self.open[at].uri).expect("it is open");
        let change = TextDocumentContentChangeEvent {
            range: Some(range(&snapshot.source, span, Encoding::default())),
            range_length: None,
            text: text.to_owned(),
        };
        let open = &mut self.open[at];
        open.version += 1;
        self.session
            .change(&open.uri, open.version, vec![change])
            .expect("it is open");
    }

    /// Something is done to a file, as somebody does who writes.
    fn something(&mut self, at: usize) {
        let text = self.text(at);
        let lines = LineIndex::new(&text);
        let count = lines.count() as i64;
        let line = self.dice.between(0, count - 1) as usize;
        let whole = lines.line_span(line, &text);
        match self.dice.between(0, 9) {
            // Characters typed, one after another.
            0..=4 => {
                let typed = self.dice.pick(TYPED);
                let mut place = boundary(
                    &text,
                    self.dice.between(i64::from(whole.start), i64::from(whole.end)) as usize,
                );
                for c in typed.chars() {
                    self.edit(at, Span::new(place, place), c.encode_utf8(&mut [0; 4]));
                    place += c.len_utf8();
                }
            }
            // Another digit for one of the line's.
            5 | 6 => {
                let digit = whole.text(&text).find(|c: char| c.is_ascii_digit());
                if let Some(digit) = digit {
                    let place = whole.start as usize + digit;
                    let with = self.dice.between(0, 9).to_string();
                    self.edit(at, Span::new(place, place + 1), &with);
                }
            }
            // A line gone.
            7 => self.edit(at, whole, ""),
            // A block pasted from elsewhere.
            8 => {
                let last = (line + self.dice.between(1, 8) as usize).min(lines.count() - 1);
                let block = whole.to(lines.line_span(last, &text)).text(&text).to_owned();
                let to = lines.line_span(self.dice.between(0, count - 1) as usize, &text).start;
                self.edit(at, Span { start: to, end: to }, &block);
            }
            // A few characters gone, be it over the end of a line.
            _ => {
                let start = boundary(&text, whole.start as usize);
                let end = boundary(&text, (start + self.dice.between(1, 60) as usize).min(text.len()));
                self.edit(at, Span::new(start, end.max(start)), "");
            }
        }
    }

    /// What is found of every open file, in order; and the same from scratch.
    fn both(&self) -> Vec<(Vec<String>, Vec<String>)> {
        for at in 0..self.open.len() {
            std::fs::write(&self.open[at].path, self.text(at)).expect("it is written");
        }
        let library = Library::new();
        let each = self.open.iter().enumerate().map(|(at, file)| {
            let name = file.path.to_string_lossy();
            let folder = file.path.parent().expect("it lies in a folder");
            let fresh = inspect(&name, folder, file.kind, self.text(at).into_bytes(), &library);
            (all(self.page(at).findings()), all(&fresh.findings))
        });
        each.collect()
    }
}

/// What is typed.
const TYPED: &[&str] = &[
    "3",
    ".",
    " ",
    "\n",
    "x",
    "é",
    "# ",
    "note ",
    "did ",
    "= 0.40 mm",
    ", oiled",
    "go 0.40, no-go 0.45",
    " by mic",
    "fix ",
    "\n  ",
    "web supported",
    "2026-03-14 build\n",
    "closed\n",
    " -> ",
    "manual house rules\n",
    "undid true crank\n",
    "feature x\n  build up to 3 mm\n",
    "held on centres\n",
    "\r\n",
    "tool x: press, rated 1 t\n",
    "hours 12\n",
];

/// The nearest place before this one that is no middle of a character.
fn boundary(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Everything that is told of findings, but for the names of files.
fn all(findings: &[Finding]) -> Vec<String> {
    let one = |finding: &Finding| {
        let related: Vec<(Span, &str)> = finding
            .related
            .iter()
            .map(|other| (other.span, other.message.as_str()))
            .collect();
        format!(
            "{:?} {} {:?} {} | {} | {} | {related:?} | {:?} | {:?} {:?}",
            finding.span,
            finding.code,
            finding.severity,
            finding.message,
            finding.label,
            finding.help,
            finding.fix,
            finding.reason,
            finding.was
        )
    };
    findings.iter().map(one).collect()
}

/// The first place where two lists differ.
fn difference(now: &[String], fresh: &[String]) -> Option<String> {
    let at = (0..now.len().max(fresh.len())).find(|at| now.get(*at) != fresh.get(*at))?;
    Some(format!("at {at}: {:?}\ninstead of {:?}", now.get(at), fresh.get(at)))
}

fn cases(usual: u32) -> ProptestConfig {
    let wanted = std::env::var("PROPTEST_CASES").ok().and_then(|text| text.parse().ok());
    ProptestConfig {
        cases: wanted.unwrap_or(usual),
        failure_persistence: None,
        // The bounded run is the same each time; the longer one throws anew.
        rng_seed: if wanted.is_some() {
            RngSeed::Random
        } else {
            RngSeed::Fixed(1)
        },
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(cases(16))]

    #[test]
    fn what_is_found_after_edits_is_what_is_found_from_scratch(seed in any::<u64>(), lines in 30u64..220, edits in 1usize..12) {
        let mut desk = Desk::new(seed, lines);
        for _ in 0..edits {
            // Most is typed in the log, some in what it rests on.
            let others = desk.open.len() as i64 - 1;
            let at = if others > 0 && desk.dice.chance(25) { desk.dice.between(1, others) as usize } else { 0 };
            desk.something(at);
            // Not every text is looked at before the next edit comes.
            if desk.dice.chance(60) {
                desk.page(0);
            }
        }
        for (now, fresh) in desk.both() {
            prop_assert_eq!(difference(&now, &fresh), None, "\n{}", desk.text(0));
        }
    }

    /// A glance tells of the typed lines what the whole tells too, unless a line further down mends it.
    #[test]
    fn a_glance_is_not_contradicted(seed in any::<u64>(), lines in 60u64..400) {
        let mut desk = Desk::new(seed, lines);
        for _ in 0..6 {
            let page = desk.page(0);
            let Page::Log(log) = &*page else { unreachable!("it is a log") };
            let judged = Judged::of(log);
            desk.something(0);
            let source = Arc::clone(&desk.session.snapshot(&desk.open[0].uri).expect("it is open").source);
            let Some(seen) = glance(&judged, &source) else { continue };
            let whole = desk.page(0);
            let (_, typed) = changed(&judged.source.text, &source.text);
            let lines = source.lines.line_of(typed.start)..=source.lines.line_of(typed.end);
            for finding in seen {
                let line = source.lines.line_of(finding.span.start);
                prop_assert!(source.text.get(finding.span.range()).is_some(), "{:?}", finding);
                if !lines.contains(&line) {
                    continue;
                }
                let is_known = whole.findings().iter().any(|other| other.code == finding.code && other.span == finding.span);
                let below = source.text.get(finding.span.end as usize..).unwrap_or("");
                let is_mended = below.lines().any(|line| ["fix ", "undid "].iter().any(|word| line.trim_start().starts_with(word)));
                let told: Vec<String> = whole.findings().iter().filter(|f| source.lines.line_of(f.span.start) == line).map(|f| format!("{} {}", f.code, f.message)).collect();
                prop_assert!(
                    is_known || (is_mended && !finding.code.starts_with("line.")),
                    "at a glance {} {}\nat last {:?}\n{}", finding.code, finding.message, told, source.text
                );
            }
        }
    }
}
