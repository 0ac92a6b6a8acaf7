//! Each way to mend a finding that Gudgeon itself offers, carried out alone, takes that finding away and brings none.

use std::collections::BTreeSet;
use std::sync::Arc;

use gudgeon::judge::{Edit, Finding};
use gudgeon::syntax::{FileKind, Source};
use gudgeon::workspace::marks::line_words;
use proptest::prelude::*;

use super::generate::Dice;
use super::shop::{Shop, cases, edited};

/// What mending one thing may bring to light: a sum by hand is compared with the manual's sum, and a reading behind it is suspected, only once it is right in
/// itself.
const UNCOVERS: &[(&str, &str)] = &[("calc.sum", "calc.disagrees"), ("calc.sum", "reading.slip")];

/// What was not read and is now: the line then counts, and what it says is judged as if it had been written so at once. Of these it is only asked that every
/// line is read that was read before.
const READ_AT_LAST: &[&str] = &["line.unread", "step.no-did", "unknown.unit", "reading.blades-swapped"];

/// One finding: its code, the words of its line, and that line.
#[derive(Clone, Debug)]
struct Told {
    code: &'static str,
    words: String,
    line: usize,
}

fn told(source: &Arc<Source>, finding: &Finding) -> Told {
    Told {
        code: finding.code,
        words: line_words(source, finding),
        line: source.lines.line_of(finding.span.start),
    }
}

/// The lines that edits touch, before and after.
fn touched(source: &Source, edits: &[Edit]) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (mut before, mut after) = (BTreeSet::new(), BTreeSet::new());
    let mut grown = 0;
    for edit in edits {
        let (first, last) = (
            source.lines.line_of(edit.span.start),
            source.lines.line_of(edit.span.end),
        );
        let added = edit.text.matches('\n').count();
        before.extend(first..=last);
        after.extend(first + grown..=first + grown + added.max(last - first));
        grown += added;
    }
    (before, after)
}

/// What is wrong with a fix; nothing if it does what it should.
fn wrong(source: &Arc<Source>, all: &[Finding], at: usize, now: &(Arc<Source>, Vec<Finding>)) -> Option<String> {
    let finding = all.get(at)?;
    let fix = finding.fix.as_ref()?;
    let (lines, new_lines) = touched(source, &fix.edits);
    let mut gone: Vec<Told> = all.iter().map(|finding| told(source, finding)).collect();
    let mut come: Vec<Told> = now.1.iter().map(|finding| told(&now.0, finding)).collect();
    // What stands on lines that were not touched is the same as before.
    come.retain(|new| {
        let same = gone
            .iter()
            .position(|old| old.code == new.code && old.words == new.words);
        same.map(|at| gone.swap_remove(at)).is_none()
    });
    // On those that were, the words differ.
    let own = told(source, finding);
    let is_own = |old: &Told| old.code == own.code && old.words == own.words;
    come.retain(|new| {
        let mut others = gone.iter();
        let same = others.position(|old| {
            old.code == new.code && lines.contains(&old.line) && new_lines.contains(&new.line) && !is_own(old)
        });
        same.map(|at| gone.swap_remove(at)).is_none()
    });
    if !gone.iter().any(is_own) {
        return Some("leaves its finding".to_owned());
    }
    come.retain(|new| !UNCOVERS.contains(&(finding.code, new.code)));
    if READ_AT_LAST.contains(&finding.code) {
        come.retain(|new| READ_AT_LAST.contains(&new.code));
    }
    (!come.is_empty()).then(|| format!("brings {come:?}"))
}

/// Holds every fix of a text against it.
fn check(shop: &Shop, kind: FileKind, name: &str, text: &str) -> Result<(), TestCaseError> {
    let before = shop.inspect(kind, name, text);
    for (at, finding) in before.findings.iter().enumerate() {
        let Some(fix) = &finding.fix else { continue };
        let mended = edited(text, &fix.edits);
        let after = shop.inspect(kind, name, &mended);
        let now = (after.source, after.findings);
        if let Some(wrong) = wrong(&before.source, &before.findings, at, &now) {
            let line = line_words(&before.source, finding);
            return Err(TestCaseError::fail(format!(
                "`{}` of {} [{}] {}\n{line}\n{wrong}\n{:?}",
                fix.title,
                finding.code,
                finding.severity.word(),
                finding.message,
                fix.edits
            )));
        }
    }
    Ok(())
}

/// A text with slips of the pen: two letters of a first word turned round, one left out, one twice.
fn slipped(text: &str, seed: u64, every: u32) -> String {
    let mut dice = Dice::new(seed, 8, 0);
    let mut out = String::new();
    for line in text.split_inclusive('\n') {
        let indent = line.len() - line.trim_start().len();
        let first = line.trim_start().split([' ', '\n']).next().unwrap_or("");
        let is_word = first.len() > 2 && first.bytes().all(|byte| byte.is_ascii_lowercase());
        if !is_word || !dice.chance(every) {
            out.push_str(line);
            continue;
        }
        let at = dice.between(0, first.len() as i64 - 2) as usize;
        let mut letters: Vec<char> = first.chars().collect();
        match dice.between(0, 2) {
            0 => letters.swap(at, at + 1),
            1 => drop(letters.remove(at)),
            _ => letters.insert(at, letters[at]),
        }
        out.push_str(&line[..indent]);
        out.extend(letters);
        out.push_str(&line[indent + first.len()..]);
    }
    out
}

proptest! {
    #![proptest_config(cases(8))]

    #[test]
    fn a_fix_of_a_log_removes_its_finding_and_adds_none(seed in any::<u64>(), lines in 40u64..160) {
        let shop = Shop::new(seed, lines, 10);
        check(&shop, FileKind::Log, "x.rebuild", &shop.log)?;
    }

    #[test]
    fn a_fix_of_a_misspelt_log_removes_its_finding_and_adds_none(seed in any::<u64>(), lines in 40u64..160) {
        let shop = Shop::new(seed, lines, 60);
        check(&shop, FileKind::Log, "x.rebuild", &slipped(&shop.log, seed, 5))?;
    }

    #[test]
    fn a_fix_of_a_manual_removes_its_finding_and_adds_none(seed in any::<u64>()) {
        let shop = Shop::new(seed, 10, 60);
        for (name, text) in shop.manuals.iter().take(2) {
            check(&shop, FileKind::Manual, &format!("{name}.manual"), &slipped(text, seed, 8))?;
        }
    }
}
