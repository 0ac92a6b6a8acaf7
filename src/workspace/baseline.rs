//! The findings that were known on a day, in a file: what is old does not stand in the way of new work.
//!
//! The first line says what the file is; every other line is one finding, as JSON, sorted. So what came and went between two baselines is read off their
//! difference.

use std::fs;
use std::path::Path;

use rustc_hash::FxHashMap;
use serde::{Deserialize, Serialize};

use super::discover::{read, shown};
use super::marks::{Mark, Marks, State, fingerprints, line_words};
use super::{Inspected, write};
use crate::judge::Severity;

/// Number of the file's shape. It goes up when an old program could not read a new file rightly.
pub const SCHEMA: u32 = 1;

/// How the file begins.
const BEGINNING: &[u8] = b"{\"gudgeon\":\"baseline\"";

/// The longest line text that is written down, in characters; it is there for people.
const MOST_WORDS: usize = 160;

/// The first line of the file.
#[derive(Serialize, Deserialize)]
struct Head {
    gudgeon: String,
    schema: u32,
}

/// One finding that is known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Entry {
    /// The file, from the root of its repository.
    pub path: String,
    /// The finding's code.
    pub code: String,
    /// How much it weighed.
    pub severity: Severity,
    /// The words of its line, for whoever reads the file.
    pub line: String,
    /// What it is known by.
    pub fingerprint: String,
}

/// All findings that are known.
#[derive(Clone, Debug, Default)]
pub struct Baseline {
    entries: Vec<Entry>,
    /// By fingerprint: how much it weighed.
    weights: FxHashMap<String, Severity>,
}

impl Baseline {
    /// Reads the file. The error says, in words and with the file's name, what is wrong and what to do.
    pub fn read(path: &Path) -> Result<Baseline, String> {
        let name = shown(path);
        let bytes = read(path).map_err(|why| {
            format!("the baseline {name} cannot be read: {why}; `--write-baseline {name}` writes one, `--no-baseline` goes without")
        })?;
        let text = String::from_utf8(bytes).map_err(|_| format!("the baseline {name} is not UTF-8 text"))?;
        Baseline::parse(&name, &text)
    }

    /// The same from a text; `name` is that of its file.
    pub fn parse(name: &str, text: &str) -> Result<Baseline, String> {
        let mut lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
        let head = lines
            .next()
            .and_then(|(_, line)| serde_json::from_str::<Head>(line).ok());
        match head {
            Some(head) if head.gudgeon == "baseline" && head.schema == SCHEMA => {}
            Some(head) if head.gudgeon == "baseline" => {
                return Err(format!(
                    "{name} is a baseline of shape {}, and this gudgeon knows shape {SCHEMA}: another version wrote it",
                    head.schema
                ));
            }
            _ => return Err(format!("{name} is no baseline: its first line does not say so")),
        }
        let mut baseline = Baseline::default();
        for (at, line) in lines {
            let entry: Entry = serde_json::from_str(line).map_err(|error| {
                let number = at + 1;
                format!("{name}, line {number}: not a finding of a baseline ({error}); take the line out, or write the file anew")
            })?;
            baseline.add(entry);
        }
        Ok(baseline)
    }

    fn add(&mut self, entry: Entry) {
        let weight = self.weights.entry(entry.fingerprint.clone()).or_insert(entry.severity);
        *weight = entry.severity.max(*weight);
        self.entries.push(entry);
    }

    /// Whether it has a finding, as no less grave than it is now.
    pub fn knows(&self, fingerprint: &str, severity: Severity) -> bool {
        self.weights.get(fingerprint).is_some_and(|known| severity <= *known)
    }

    /// Its entries, in the order of the file.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }
}

/// What a file's findings are held against.
#[derive(Clone, Copy, Debug)]
pub enum Known<'a> {
    /// Nothing.
    Nothing,
    /// A baseline.
    From(&'a Baseline),
    /// Whatever is found: it is being written down.
    All,
}

/// Marks the findings of a file: what each is known by, and whether it was known. Gives the entry of each.
pub fn mark(inspected: &mut Inspected, own_path: &str, known: Known<'_>, fails_from: Severity) -> Vec<Entry> {
    let prints = fingerprints(own_path, &inspected.source, &inspected.findings);
    let mut entries = Vec::with_capacity(prints.len());
    let mut of = Vec::with_capacity(prints.len());
    for (finding, fingerprint) in inspected.findings.iter().zip(prints) {
        let state = match known {
            Known::Nothing => State::Uncompared,
            Known::From(baseline) if !baseline.knows(&fingerprint, finding.severity) => State::New,
            Known::From(_) | Known::All => State::Known,
        };
        if !matches!(known, Known::Nothing) {
            entries.push(Entry {
                path: own_path.to_owned(),
                code: finding.code.to_owned(),
                severity: finding.severity,
                line: line_words(&inspected.source, finding)
                    .chars()
                    .take(MOST_WORDS)
                    .collect(),
                fingerprint: fingerprint.clone(),
            });
        }
        of.push(Mark { fingerprint, state });
    }
    inspected.marks = Marks { fails_from, of };
    entries
}

/// A baseline as text: the same findings always give the same bytes.
pub fn text(mut entries: Vec<Entry>) -> Result<String, String> {
    entries.sort();
    entries.dedup();
    let head = Head {
        gudgeon: "baseline".to_owned(),
        schema: SCHEMA,
    };
    let fault = |error: serde_json::Error| error.to_string();
    let mut text = serde_json::to_string(&head).map_err(fault)?;
    text.push('\n');
    for entry in &entries {
        text.push_str(&serde_json::to_string(entry).map_err(fault)?);
        text.push('\n');
    }
    Ok(text)
}

/// What stands at the path a baseline is to be written to: the baseline that is there, or `None`. An error where something else is there, which is left as
/// it is.
pub fn there(path: &Path) -> Result<Option<Baseline>, String> {
    if fs::symlink_metadata(path).is_err() {
        return Ok(None);
    }
    let name = shown(path);
    let refused = |why: String| format!("{why}; {name} is left as it is, and no baseline was written");
    let bytes = read(path).map_err(|why| refused(format!("{name}: {why}")))?;
    let text = String::from_utf8(bytes).map_err(|_| refused(format!("{name} is not UTF-8 text")))?;
    Baseline::parse(&name, &text).map(Some).map_err(refused)
}

/// Writes a baseline in one go. Of what stood in the file before (`old`), the entries of those files are kept that pass the test: the ones that were not judged
/// now and are still there. Gives the number of entries written.
pub fn put(
    path: &Path,
    old: Option<&Baseline>,
    mut entries: Vec<Entry>,
    keep: impl Fn(&str) -> bool,
) -> Result<usize, String> {
    let kept = old.map(Baseline::entries).unwrap_or_default().iter();
    entries.extend(kept.filter(|entry| keep(&entry.path)).cloned());
    let text = text(entries)?;
    let is_own = |head: &[u8]| head.starts_with(BEGINNING);
    write::whole(path, text.as_bytes(), is_own).map_err(|why| format!("{}: {why}", shown(path)))?;
    Ok(text.lines().count() - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(path: &str, fingerprint: &str, severity: Severity) -> Entry {
        Entry {
            path: path.to_owned(),
            code: "limit.out".to_owned(),
            severity,
            line: "web = 53.00 mm".to_owned(),
            fingerprint: fingerprint.to_owned(),
        }
    }

    #[test]
    fn the_same_findings_give_the_same_bytes_one_a_line() -> Result<(), String> {
        let (a, b) = (entry("a", "1", Severity::Fault), entry("b", "2", Severity::Danger));
        let one = text(vec![b.clone(), a.clone()])?;
        assert_eq!(one, text(vec![a.clone(), b.clone(), a.clone()])?);
        assert_eq!(
            one,
            "{\"gudgeon\":\"baseline\",\"schema\":1}\n\
             {\"path\":\"a\",\"code\":\"limit.out\",\"severity\":\"fault\",\"line\":\"web = 53.00 mm\",\"fingerprint\":\"1\"}\n\
             {\"path\":\"b\",\"code\":\"limit.out\",\"severity\":\"danger\",\"line\":\"web = 53.00 mm\",\"fingerprint\":\"2\"}\n"
        );
        let read = Baseline::parse("x", &one)?;
        assert_eq!(read.entries(), [a, b]);
        Ok(())
    }

    #[test]
    fn what_became_graver_is_not_known() -> Result<(), String> {
        let baseline = Baseline::parse("x", &text(vec![entry("a", "1", Severity::Doubt)])?)?;
        assert!(baseline.knows("1", Severity::Open) && baseline.knows("1", Severity::Doubt));
        assert!(!baseline.knows("1", Severity::Fault) && !baseline.knows("2", Severity::Open));
        Ok(())
    }

    #[test]
    fn what_is_no_baseline_is_said_with_its_line() {
        let said = |text: &str| Baseline::parse("known.jsonl", text).err().unwrap_or_default();
        assert_eq!(said(""), "known.jsonl is no baseline: its first line does not say so");
        assert_eq!(
            said("job x\n"),
            "known.jsonl is no baseline: its first line does not say so"
        );
        assert!(said("{\"gudgeon\":\"baseline\",\"schema\":2}\n").contains("another version wrote it"));
        let marked = said("{\"gudgeon\":\"baseline\",\"schema\":1}\n\n<<<<<<< HEAD\n");
        assert!(
            marked.starts_with("known.jsonl, line 3: not a finding of a baseline"),
            "{marked}"
        );
    }
}
