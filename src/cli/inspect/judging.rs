//! Judging many texts, several at a time, and printing what was found in order.

use std::path::PathBuf;

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use super::super::console::Console;
use super::super::progress::Progress;
use super::super::threads;
use super::gates::Gates;
use super::jobs::{Job, Origin};
use crate::report::{FileSummary, Report, Summary, Unread};
use crate::workspace::baseline::{self, Entry};
use crate::workspace::{Inspected, Library, discover, inspect};

/// Files judged before what was found in them is printed, for each thread.
const CHUNK: usize = 64;

/// What came of a job.
enum Outcome {
    Judged {
        written: String,
        summary: FileSummary,
        /// Of a file whose findings were marked.
        compared: Option<Box<Compared>>,
    },
    Unread(Unread),
}

/// A file whose findings were marked.
struct Compared {
    /// The root it lies below.
    root: PathBuf,
    /// Its path from there.
    path: String,
    /// Its findings, where they are held against a baseline.
    entries: Vec<Entry>,
}

/// What is known of the findings of all files, where they are held against a baseline.
#[derive(Default)]
pub struct Judged {
    /// All that was found.
    pub entries: Vec<Entry>,
    /// The files that were judged, from their roots.
    paths: FxHashSet<String>,
    /// Those roots.
    roots: FxHashSet<PathBuf>,
}

impl Judged {
    /// Whether there still is such a file, as far as is known: where nothing was judged no root is.
    pub fn is_there(&self, path: &str) -> bool {
        self.roots.is_empty() || self.roots.iter().any(|root| root.join(path).exists())
    }

    /// Whether that file was judged.
    pub fn has(&self, path: &str) -> bool {
        self.paths.contains(path)
    }
}

/// What jobs are judged with.
#[derive(Clone, Copy)]
pub struct Bench<'a> {
    /// How findings are written.
    pub report: &'a dyn Report,
    /// The manuals.
    pub library: &'a Library,
    /// What findings are held against.
    pub gates: &'a Gates,
}

/// Judges everything, several at a time, and prints in order.
pub fn judge(
    jobs: Vec<Job>,
    bench: Bench<'_>,
    pool: &rayon::ThreadPool,
    console: &mut Console,
    summary: &mut Summary,
) -> Judged {
    let progress = Progress::new(jobs.len());
    let mut judged = Judged::default();
    let mut first = true;
    let mut jobs = jobs.into_iter();
    loop {
        let room = CHUNK * pool.current_num_threads().max(1);
        let chunk: Vec<Job> = jobs.by_ref().take(room).collect();
        if chunk.is_empty() {
            break;
        }
        // Where nobody reads any more the files are still judged, for the exit code.
        let wanted = console.is_open();
        let outcomes: Vec<Outcome> = pool.install(|| {
            chunk
                .into_par_iter()
                .map(|job| {
                    let outcome = guarded(job, bench, wanted);
                    progress.step();
                    outcome
                })
                .collect()
        });
        progress.around(|| {
            for outcome in outcomes {
                match outcome {
                    Outcome::Judged {
                        written,
                        summary: file,
                        compared,
                    } => {
                        if !written.is_empty() {
                            if !first {
                                console.print(bench.report.between());
                            }
                            first = false;
                            console.print(&written);
                        }
                        summary.add(file);
                        if let Some(file) = compared {
                            judged.roots.insert(file.root);
                            judged.paths.insert(file.path);
                            judged.entries.extend(file.entries);
                        }
                    }
                    Outcome::Unread(unread) => summary.unread.push(unread),
                }
            }
            console.flush();
        });
    }
    progress.done();
    judged
}

/// Judges one text. A fault in the program itself costs that text only.
fn guarded(job: Job, bench: Bench<'_>, wanted: bool) -> Outcome {
    let path = job.name.clone();
    let judged = threads::guarded(|| Ok(one(job, bench, wanted)));
    judged.unwrap_or_else(|reason| Outcome::Unread(Unread { path, reason }))
}

fn one(job: Job, bench: Bench<'_>, wanted: bool) -> Outcome {
    let bytes = match job.text {
        Origin::Given(bytes) => Ok(bytes),
        Origin::Disk(path) => discover::read(&path),
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(reason) => {
            return Outcome::Unread(Unread { path: job.name, reason });
        }
    };
    let mut inspected: Inspected = inspect(&job.name, &job.folder, job.kind, bytes, bench.library);
    let held = bench.gates.of(&job.folder);
    inspected.marks.fails_from = held.fails_from;
    let compared = held.marked.then(|| {
        let (root, path) = bench.gates.roots.own(job.name.as_ref());
        let entries = baseline::mark(&mut inspected, &path, held.known, held.fails_from);
        Box::new(Compared { root, path, entries })
    });
    Outcome::Judged {
        written: if wanted {
            bench.report.file(&inspected)
        } else {
            String::new()
        },
        summary: FileSummary::of(&inspected),
        compared,
    }
}
