//! What may be done about what stands at a place, and that doing it leaves the log no worse.

mod support;

use std::path::{Path, PathBuf};

use gudgeon::editor::Page;
use gudgeon::editor::actions::{Action, ActionKind, actions, resolve};
use gudgeon::judge::{Edit, Severity, rules};
use gudgeon::syntax::Span;
use gudgeon::workspace::{Kind, Library, analyse, analyse_manual};
use support::NOWHERE;
use support::editor::{log_at, log_page, manual_page, marked};

/// A text with an action's edits carried out; they must be in order, apart from each other, and inside the text.
#[track_caller]
fn edited(text: &str, edits: &[Edit]) -> String {
    let mut out = String::new();
    let mut from = 0;
    for edit in edits {
        let (start, end) = (edit.span.start as usize, edit.span.end as usize);
        assert!(from <= start && start <= end && end <= text.len(), "{edit:?} in\n{text}");
        out.push_str(&text[from..start]);
        out.push_str(&edit.text);
        from = end;
    }
    out.push_str(&text[from..]);
    out
}

fn cursor(at: u32) -> Span {
    Span { start: at, end: at }
}

/// The actions at the cursor of a log, as lines: `[kind] title`, with `!` for the one to take.
fn offered(manual: &str, log: &str) -> String {
    let (page, at) = log_at(manual, log);
    titles(&actions(&page, cursor(at)))
}

fn titles(list: &[Action]) -> String {
    let mut out = String::new();
    for action in list {
        let kind = match action.kind {
            ActionKind::Quickfix => "quickfix",
            ActionKind::Rewrite => "rewrite",
            ActionKind::FixAll => "fix all",
        };
        let mark = if action.is_preferred { "!" } else { "" };
        out.push_str(&format!("[{kind}]{mark} {}\n", action.title));
    }
    out
}

/// What a log becomes by the action at the cursor whose title holds these words: the lines that changed, with `-` and `+`.
#[track_caller]
fn done(manual: &str, log: &str, words: &str) -> String {
    let (page, at) = log_at(manual, log);
    changed(&page, at, words)
}

#[track_caller]
fn changed(page: &Page, at: u32, words: &str) -> String {
    let list = actions(page, cursor(at));
    let action = list.iter().find(|action| action.title.contains(words));
    let action = action.unwrap_or_else(|| panic!("no action says {words}:\n{}", titles(&list)));
    let edits = resolve(page, &action.data).expect("it resolves");
    let after = edited(page.text(), &edits);
    let before: Vec<&str> = page.text().lines().collect();
    let after: Vec<&str> = after.lines().collect();
    let same = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let rest = before[same..].iter().rev().zip(after[same..].iter().rev());
    let tail = rest.take_while(|(a, b)| a == b).count();
    let mut out = String::new();
    for line in &before[same..before.len() - tail] {
        out.push_str(&format!("- {line}\n"));
    }
    for line in &after[same..after.len() - tail] {
        out.push_str(&format!("+ {line}|\n"));
    }
    out
}

const BENCH: &str = "manual bench\nsource workshop manual\n\
feature side play\n  build 0.35 to 0.50 mm\n  service up to 0.60 mm\n  required\n\
feature web width\n  build 51.90 to 52.05 mm\n  required\n\
feature run-out at left, right\n  build up to 0.03 mm\n\
feature head torque\n  build 26 to 30 N·m\n\
feature case heat\n  build 80 to 120 °C\n\
precaution web supported\n  because the pin can fly\n\
procedure crank\n  step press together  needs web supported; disturbs side play, web width, run-out; until run-out\n  \
step true crank  after press together; disturbs run-out, side play; optional\n  \
step torque head; torque 26 to 30 N·m; optional\n";

/// Every log and manual that lies in the repository or stands in its pages: the page, and how to judge another text in its place.
fn every_page() -> Vec<(String, Page, Box<dyn Fn(&str) -> Page>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut list: Vec<(String, Page, Box<dyn Fn(&str) -> Page>)> = Vec::new();
    for folder in [
        "samples/as-written",
        "samples/corrected",
        "samples/ahead",
        "samples/manuals",
        "tests/clean",
    ] {
        let folder = root.join(folder);
        let mut paths: Vec<PathBuf> = std::fs::read_dir(&folder)
            .expect("a folder")
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.is_file() && Kind::of_path(path).is_some())
            .collect();
        paths.sort();
        for path in paths {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(&path).expect("a text");
            let kind = Kind::of_path(&path).expect("a kind");
            let folder = folder.clone();
            let judge = move |text: &str| judged(kind, &name, &folder, &Library::new(), text);
            list.push((path.display().to_string(), judge(&text), Box::new(judge)));
        }
    }
    for (place, manual, log) in examples() {
        let judge = move |text: &str| {
            let library = Library::new();
            let name = manual.lines().find_map(|line| line.strip_prefix("manual"));
            if let Some(name) = name {
                let name = name.split(',').next().unwrap_or("").trim();
                library.give(&format!("{name}.manual"), &manual);
            }
            judged(Kind::Log, "x.rebuild", Path::new(NOWHERE), &library, text)
        };
        list.push((place, judge(&log), Box::new(judge)));
    }
    list
}

fn judged(kind: Kind, name: &str, folder: &Path, library: &Library, text: &str) -> Page {
    let bytes = text.as_bytes().to_vec();
    match kind {
        Kind::Log => Page::Log(Box::new(analyse(name, folder, bytes, library))),
        Kind::Manual => Page::Manual(Box::new(analyse_manual(name, folder, bytes, library))),
    }
}

/// The logs of the pages of the trade's rules, and those that explain each finding: where, manual, log.
fn examples() -> Vec<(String, String, String)> {
    let mut list = Vec::new();
    for page in ["a-limits", "b-consistency", "c-evidence", "d-danger"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/trade-rules/{page}.md"));
        let text = std::fs::read_to_string(&path).expect("a page");
        let mut manual = String::new();
        for (number, part) in text.split("```").enumerate() {
            if number % 2 == 0 {
                // A new heading has a new manual.
                if part.contains("\n## ") {
                    manual.clear();
                }
                continue;
            }
            let (info, body) = part.split_once('\n').expect("a block has lines");
            match info.split_whitespace().collect::<Vec<_>>().as_slice() {
                ["manual"] => manual = body.to_owned(),
                ["rebuild", ..] => list.push((format!("{page}, block {number}"), manual.clone(), body.to_owned())),
                _ => {}
            }
        }
    }
    for rule in rules() {
        for example in [rule.fires, rule.clean] {
            if example.log.starts_with("# gudgeon.toml") {
                continue;
            }
            list.push((rule.code.to_owned(), example.manual.to_owned(), example.log.to_owned()));
        }
    }
    list
}

/// What a fix may bring to light, as long as there is no more wrong than before: a sum by hand is compared with the manual's sum only once it is right in
/// itself.
const UNCOVERS: &[(&str, &str)] = &[("calc.sum", "calc.disagrees")];

fn action_code(page: &Page, action: &Action) -> &'static str {
    let finding = action.finding.and_then(|index| page.findings().get(index));
    finding.map_or("", |finding| finding.code)
}

/// How many findings of a code there are, and how many weigh as much as a fault.
fn weighed(page: &Page) -> (usize, Vec<&'static str>) {
    let heavy = page.findings().iter().filter(|f| f.severity >= Severity::Fault);
    let heavy: Vec<&str> = heavy.map(|f| f.code).collect();
    (heavy.len(), heavy)
}

#[test]
fn every_action_on_every_page_resolves_and_a_quick_fix_removes_its_finding_and_adds_no_fault() {
    let mut counts = [0; 3];
    let mut wrong = Vec::new();
    for (place, page, judge) in every_page() {
        let mut seen = std::collections::BTreeSet::new();
        let spans: Vec<Span> = page.findings().iter().map(|finding| finding.span).collect();
        // Every line of a short page, every few of a long one.
        let every = 1 + page.lines().len() / 12;
        let lines = page.lines().iter().step_by(every).map(|line| line.content);
        let lines = lines.filter(|content| !content.is_empty());
        let figures = lines.clone().map(|content| {
            let behind = content.text(page.text()).find('=').map_or(0, |at| at + 2);
            cursor((content.start + u32::try_from(behind).unwrap_or(0)).min(content.end))
        });
        for span in spans.iter().copied().chain(lines.clone()).chain(figures) {
            for action in actions(&page, span) {
                if !seen.insert(action.data.clone()) {
                    continue;
                }
                let Some(edits) = resolve(&page, &action.data) else {
                    wrong.push(format!("{place}: does not resolve: {} ({})", action.title, action.data));
                    continue;
                };
                assert!(!edits.is_empty(), "{place}: {}", action.title);
                let after = edited(page.text(), &edits);
                assert_ne!(after, page.text(), "{place}: {}", action.title);
                counts[action.kind as usize] += 1;
                if action.kind == ActionKind::Rewrite {
                    continue;
                }
                let now = judge(&after);
                let (count, codes) = weighed(&now);
                let (before, known) = weighed(&page);
                let added = codes.iter().find(|code| {
                    let of = |list: &[&str]| list.iter().filter(|c| c == code).count();
                    of(&codes) > of(&known)
                });
                let is_uncovered = added.is_some_and(|code| count <= before && UNCOVERS.contains(&(action_code(&page, &action), code)));
                if count > before || (added.is_some() && !is_uncovered) {
                    wrong.push(format!(
                        "{place}: `{}` adds a fault: {known:?} became {codes:?}",
                        action.title
                    ));
                }
                if let Some(finding) = action.finding.and_then(|index| page.findings().get(index)) {
                    let is_there = now
                        .findings()
                        .iter()
                        .any(|f| f.code == finding.code && f.message == finding.message && f.severity >= finding.severity);
                    if is_there {
                        wrong.push(format!("{place}: `{}` leaves its finding: {}", action.title, finding.message));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // Something was done at all.
    assert!(counts[0] > 20, "{counts:?}");
    assert!(counts[1] > 300, "{counts:?}");
    assert!(counts[2] > 3, "{counts:?}");
}

#[test]
fn look() {
    for log in [
        "job x\nmanual bench\n2026-03-14 build\nweb width = 2.¦047 in\nhead torque = 20 lbf·ft\n",
        "job x\nmanual bench\n2026-03-14 build\nhead torque = 2¦0 lbf·ft\n",
        "job x\nmanual bench\nunits mm\n2026-03-14 build\nside play = go 0.¦40 by feelers\n",
        "job x\nmanual bench\n2026-03-14 build\nside play = 0.40 goes 0.45 n¦o by feelers\n",
        "job x\nmanual bench\n2026-03-14 b¦uild\nrun-out at left = 0.02 mm by dial\ndid press together, web supported\n",
        "job x\nmanual bench\n2026-03-14 build\nweb width = 52.00 mm by mic\nrun-out at left = 0.0¦2 mm by dial\ndid press together\n2026-03-15\nnote next day\nclosed\n",
        "job x\nmanual bench\n2026-03-14 build\nside play = 0.5¦5 mm\n",
        "job x\nmanual bench\n2026-03-14 build\ndid torque hea¦d, torque 28 ft-lb\n",
        "job x\nmanual bench\n2026-03-14 biuld¦\nsyde play = 0.45 mm\n",
        "job x\nmanual bench\n2026-03-14 build\ncase heat = 21¦2 °F\n",
    ] {
        let (page, at) = log_at(BENCH, log);
        println!("---\n{log}");
        for f in page.findings() { println!("F {} {:?} fix={:?}", f.code, f.severity, f.fix.as_ref().map(|f| &f.title)); }
        for a in actions(&page, cursor(at)) {
            println!("* {:?}{} {} [{}]\n{}", a.kind, if a.is_preferred {"!"} else {""}, a.title, a.data, changed(&page, at, &a.title));
        }
    }
    let _ = (offered, done, marked, manual_page, log_page);
}
