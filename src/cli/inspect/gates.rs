//! What decides whether an inspection fails: the command line, else the settings of the repository that a file lies in; and the baseline, read once.

use std::path::{Path, PathBuf};

use rustc_hash::{FxHashMap, FxHashSet};

use super::super::args::InspectArgs;
use super::jobs::Job;
use super::judging::Judged;
use crate::judge::Severity;
use crate::workspace::baseline::{self, Baseline, Known};
use crate::workspace::discover::shown;
use crate::workspace::{Library, Roots};

/// What the files of one folder are held against.
#[derive(Clone, Copy, Debug)]
struct Gate {
    fails_from: Severity,
    /// The number of its baseline.
    baseline: Option<usize>,
}

/// What every file is held against.
pub struct Gates {
    folders: FxHashMap<PathBuf, Gate>,
    baselines: Vec<(PathBuf, Baseline)>,
    /// Whether everything found is to be written down as known, and what stood in the file before.
    writes: Option<(PathBuf, Option<Baseline>)>,
    /// Whether findings are to be marked, whatever they are held against.
    marked: bool,
    /// Where files lie for others.
    pub roots: Roots,
}

/// The gate of one file.
#[derive(Clone, Copy)]
pub struct Held<'a> {
    /// The least severity that makes the run fail.
    pub fails_from: Severity,
    /// What its findings are held against.
    pub known: Known<'a>,
    /// Whether they are to be marked.
    pub marked: bool,
}

impl Gates {
    /// What the jobs are held against. The error says which baseline cannot be used, and why.
    pub fn new(args: &InspectArgs, jobs: &[Job], library: &Library, marked: bool) -> Result<Gates, String> {
        let writes = match &args.write_baseline {
            Some(path) => Some((path.clone(), baseline::there(path)?)),
            None => None,
        };
        let mut gates = Gates {
            folders: FxHashMap::default(),
            baselines: Vec::new(),
            marked,
            roots: Roots::here(),
            writes,
        };
        for job in jobs {
            if gates.folders.contains_key(&job.folder) {
                continue;
            }
            let settings = library.gate(&job.folder);
            let path = match &args.baseline {
                Some(path) => Some(path.clone()),
                None if args.no_baseline || gates.writes.is_some() => None,
                None => settings.baseline,
            };
            let baseline = match path {
                Some(path) => Some(gates.baseline(&path)?),
                None => None,
            };
            let said = args.fail_on.map(|least| least.severity()).or(settings.fail_on);
            gates.folders.insert(
                job.folder.clone(),
                Gate {
                    fails_from: said.unwrap_or(Severity::Fault),
                    baseline,
                },
            );
        }
        Ok(gates)
    }

    /// The number of a baseline, which is read if it was not yet.
    fn baseline(&mut self, path: &Path) -> Result<usize, String> {
        if let Some(at) = self.baselines.iter().position(|(known, _)| known == path) {
            return Ok(at);
        }
        self.baselines.push((path.to_owned(), Baseline::read(path)?));
        Ok(self.baselines.len() - 1)
    }

    /// Whether anything is held against a baseline, or becomes one.
    pub fn compare(&self) -> bool {
        self.writes.is_some() || !self.baselines.is_empty()
    }

    /// What the files of a folder are held against.
    pub fn of(&self, folder: &Path) -> Held<'_> {
        let gate = self.folders.get(folder);
        let baseline = gate.and_then(|gate| self.baselines.get(gate.baseline?));
        let known = match (&self.writes, baseline) {
            (Some(_), _) => Known::All,
            (None, Some((_, baseline))) => Known::From(baseline),
            (None, None) => Known::Nothing,
        };
        Held {
            fails_from: gate.map_or(Severity::Fault, |gate| gate.fails_from),
            marked: self.marked || !matches!(known, Known::Nothing),
            known,
        }
    }

    /// How many entries of each baseline no longer occur, in words: those of files that were judged now, and of files that are gone.
    pub fn gone(&self, judged: &Judged) -> Vec<String> {
        let prints: FxHashSet<&str> = judged.entries.iter().map(|entry| entry.fingerprint.as_str()).collect();
        let mut told = Vec::new();
        for (path, baseline) in &self.baselines {
            let is_gone = |entry: &&baseline::Entry| {
                !prints.contains(entry.fingerprint.as_str())
                    && (judged.has(&entry.path) || !judged.is_there(&entry.path))
            };
            let gone: Vec<&baseline::Entry> = baseline.entries().iter().filter(is_gone).collect();
            let Some(first) = gone.first() else { continue };
            let name = shown(path);
            let number = gone.len();
            let (findings, occur) = if number == 1 {
                ("finding", "occurs")
            } else {
                ("findings", "occur")
            };
            told.push(format!(
                "{name}: {number} {findings} of the baseline no longer {occur} (first {} in {}); `--write-baseline {name}` takes them out",
                first.code, first.path
            ));
        }
        told
    }

    /// Writes the baseline, if one is wanted, and says so; the error says why it could not be.
    pub fn write(&self, mut judged: Judged) -> Result<Option<String>, String> {
        let Some((path, old)) = &self.writes else {
            return Ok(None);
        };
        let entries = std::mem::take(&mut judged.entries);
        let keep = |path: &str| !judged.has(path) && judged.is_there(path);
        let number = baseline::put(path, old.as_ref(), entries, keep)?;
        let findings = if number == 1 { "finding" } else { "findings" };
        Ok(Some(format!("{}: {number} known {findings} written", shown(path))))
    }
}
