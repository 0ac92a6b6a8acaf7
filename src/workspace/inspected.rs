//! One file inspected: bytes in, findings out.

use std::path::Path;
use std::sync::Arc;

use super::library::load;
use super::{Library, Marks};
use crate::judge::procedure::Verdict;
use crate::judge::{Analysis, Finding, ManualAnalysis, Tally, judge_log, judge_manual};
use crate::syntax::ast::SyntaxError;
use crate::syntax::{FileKind, Source, decode};

/// A file and what is to be said of it.
#[derive(Debug)]
pub struct Inspected {
    /// Its text.
    pub source: Arc<Source>,
    /// What it is.
    pub kind: FileKind,
    /// What is to be said: what is wrong by place, then what is still to do.
    pub findings: Vec<Finding>,
    /// What was judged; all zero for a manual.
    pub tally: Tally,
    /// What the procedures in play ask of the order of steps; empty for a manual.
    pub order: Vec<Verdict>,
    /// What the findings are known by; empty until somebody asks ([`super::baseline::mark`]).
    pub marks: Marks,
}

/// Inspects one file. `name` is shown in messages; manuals are looked for from `folder` upwards. Never fails: what is wrong with the bytes is a
/// finding too.
pub fn inspect(name: &str, folder: &Path, kind: FileKind, bytes: Vec<u8>, library: &Library) -> Inspected {
    match kind {
        FileKind::Log => {
            let analysis = analyse(name, folder, bytes, library);
            Inspected {
                source: analysis.source,
                kind,
                findings: analysis.findings,
                tally: analysis.tally,
                order: analysis.order,
                marks: Marks::default(),
            }
        }
        FileKind::Manual => {
            let analysis = analyse_manual(name, folder, bytes, library);
            Inspected {
                source: analysis.source,
                kind,
                findings: analysis.findings,
                tally: Tally::default(),
                order: Vec::new(),
                marks: Marks::default(),
            }
        }
    }
}

/// Reads and judges a log, and gives all that is known of it. As [`inspect`].
pub fn analyse(name: &str, folder: &Path, bytes: Vec<u8>, library: &Library) -> Analysis {
    let decoded = decode(bytes);
    let source = Arc::new(Source::new(name, decoded.text));
    judge_log(source, decoded.errors, |names, said| {
        library.resolve_for(folder, names, said)
    })
}

/// Reads and judges a manual, and gives all that is known of it. As [`inspect`].
pub fn analyse_manual(name: &str, folder: &Path, bytes: Vec<u8>, library: &Library) -> ManualAnalysis {
    let decoded = decode(bytes);
    let source = Arc::new(Source::new(name, decoded.text));
    analyse_manual_text(source, folder, decoded.errors, library)
}

/// The same from a text that is decoded already; `errors` are those of decoding it.
pub fn analyse_manual_text(
    source: Arc<Source>,
    folder: &Path,
    errors: Vec<SyntaxError>,
    library: &Library,
) -> ManualAnalysis {
    let (loaded, tree) = load(Arc::clone(&source), false, Some(folder.to_owned()), errors);
    let loaded = Arc::new(loaded);
    let (rules, mut problems) = library.rules_of(&loaded, folder);
    problems.extend(loaded.problems.iter().cloned());
    let findings = judge_manual(&loaded.manual, &tree, problems, &rules, Vec::new());
    ManualAnalysis {
        source,
        tree,
        rules: Arc::new(rules),
        findings,
    }
}
