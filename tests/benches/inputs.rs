//! What is measured, and on what: generated logs with their manuals, in memory.

use std::path::Path;
use std::sync::Arc;

use gudgeon::editor::glance::{Judged, glance};
use gudgeon::judge::account::account;
use gudgeon::judge::{Analysis, Finding, judge_tree};
use gudgeon::report::owner::{Wishes, html};
use gudgeon::report::readings::{Form, rows};
use gudgeon::syntax::ast::LogTree;
use gudgeon::syntax::layout::tidy;
use gudgeon::syntax::{FileKind, Source, parse_log, parse_manual, reparse_log};
use gudgeon::workspace::{Library, analyse};

use super::generate::Repository;

/// The seed of all that is measured.
pub const SEED: u64 = 1;

/// Nothing lies here: manuals are given.
const NOWHERE: &str = "no such folder";

/// Logs and the manuals they name.
pub struct Logs {
    library: Library,
    manuals: Vec<String>,
    texts: Vec<String>,
}

impl Logs {
    /// So many logs of so many lines, of as many machines.
    pub fn new(files: u64, lines: u64) -> Logs {
        // Four logs each are of one machine: one of them is taken.
        let repository = Repository {
            files: files * 4,
            lines,
            seed: SEED,
        };
        let library = Library::new();
        let mut manuals = Vec::new();
        for (name, text) in repository.manuals() {
            library.give(&format!("{name}.manual"), &text);
            manuals.push(text);
        }
        let texts = (0..files).map(|number| repository.log(number * 4).text()).collect();
        Logs {
            library,
            manuals,
            texts,
        }
    }

    /// How many lines the logs have.
    pub fn lines(&self) -> usize {
        count(&self.texts)
    }

    /// How many lines the manuals have.
    pub fn lines_of_manuals(&self) -> usize {
        count(&self.manuals)
    }

    /// Reads each log.
    pub fn read(&self) -> usize {
        self.texts.iter().map(|text| parse_log(text).entries.len()).sum()
    }

    /// Reads each manual.
    pub fn read_manuals(&self) -> usize {
        self.manuals.iter().map(|text| parse_manual(text).entries.len()).sum()
    }

    /// Reads and judges each log. The manuals are read when the first asks for them.
    pub fn judge(&self) -> usize {
        self.texts.iter().map(|text| self.analysed(text).findings.len()).sum()
    }

    /// Lays each log out.
    pub fn tidy(&self) -> usize {
        self.texts.iter().map(|text| tidy(text, FileKind::Log).len()).sum()
    }

    /// Each log judged, for what is written of it.
    pub fn judged(&self) -> Vec<Analysis> {
        self.texts.iter().map(|text| self.analysed(text)).collect()
    }

    fn analysed(&self, text: &str) -> Analysis {
        analyse("x.rebuild", Path::new(NOWHERE), text.as_bytes().to_vec(), &self.library)
    }
}

fn count(texts: &[String]) -> usize {
    texts.iter().map(|text| text.lines().count()).sum()
}

/// Writes down each job for its owner.
pub fn pages(judged: &[Analysis]) -> usize {
    let page = |log| html(log, &account(log), &[], &Wishes::default()).len();
    judged.iter().map(page).sum()
}

/// Writes down the readings of each job.
pub fn tables(judged: &[Analysis]) -> usize {
    judged.iter().map(|log| Form::Csv.rows(&rows(log), true).len()).sum()
}

/// A log into which a digit is typed, in the middle.
pub struct Typing {
    library: Library,
    tree: LogTree,
    before: Judged,
    now: Source,
}

impl Typing {
    /// Of a log of so many lines.
    pub fn new(lines: u64) -> Typing {
        let logs = Logs::new(1, lines);
        let old = logs.texts.first().expect("there is one").clone();
        let analysis = logs.analysed(&old);
        let mut new = old.clone();
        new.insert(place(&old), '3');
        Typing {
            before: Judged::of(&analysis),
            tree: analysis.tree,
            now: Source::new("x.rebuild", new),
            library: logs.library,
        }
    }

    /// The tree of the text before the edit, which the reading of the new one takes over.
    pub fn tree(&self) -> LogTree {
        self.tree.clone()
    }

    /// Reads what the edit reaches.
    pub fn read(&self, tree: LogTree) -> LogTree {
        reparse_log(tree, &self.before.source.text, &self.now.text)
    }

    /// What is told of the typed line before all is judged.
    pub fn glance(&self) -> Option<Vec<Finding>> {
        glance(&self.before, &self.now)
    }

    /// All that the server works out after an edit: the line read, the whole judged.
    pub fn whole(&self, tree: LogTree) -> Analysis {
        let tree = self.read(tree);
        let source = Arc::new(Source::new("x.rebuild", self.now.text.clone()));
        judge_tree(source, tree, Vec::new(), |names, said| {
            self.library.resolve_for(Path::new(NOWHERE), names, said)
        })
    }
}

/// Behind the figure of the first plain reading below the middle.
fn place(text: &str) -> usize {
    let middle = text.lines().count() / 2;
    let mut at = 0;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let figure = line.find("= 0.").or_else(|| line.find("= 5"));
        if let (true, Some(figure)) = (number >= middle, figure) {
            return at + figure + "= 0".len();
        }
        at += line.len();
    }
    0
}
