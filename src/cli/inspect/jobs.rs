//! What there is to judge: standard input, files that were named, files that were found.

use std::io;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::super::args::InspectArgs;
use super::super::console::Console;
use crate::report::{Summary, Unread};
use crate::workspace::discover::{discover, folder_of, read_stream, shown};
use crate::workspace::{Kind, Library, Touched};

/// One text to judge.
pub struct Job {
    /// Its name, as shown.
    pub name: String,
    /// The folder manuals are looked for from.
    pub folder: PathBuf,
    /// What it is.
    pub kind: Kind,
    /// Where its text comes from.
    pub text: Origin,
}

/// Where the text of a job comes from.
pub enum Origin {
    /// A file.
    Disk(PathBuf),
    /// Standard input.
    Given(Vec<u8>),
}

/// The texts to judge, standard input first, then files by path. `None` if the arguments do not go together.
pub fn jobs(args: &InspectArgs, console: &mut Console, summary: &mut Summary) -> Option<Vec<Job>> {
    let stdin = args.paths.iter().any(|path| path == Path::new("-"));
    let mut jobs = Vec::new();
    if let Some(input) = input(stdin, args.name.as_deref(), console)? {
        match read_stream(io::stdin().lock()) {
            Ok(bytes) => jobs.push(Job {
                name: input.name,
                folder: input.folder,
                kind: input.kind,
                text: Origin::Given(bytes),
            }),
            Err(reason) => summary.unread.push(Unread {
                path: input.name,
                reason,
            }),
        }
    }
    let found = discover(&searched(&args.paths));
    for note in &found.notes {
        console.tell(note);
    }
    summary.notes.extend(found.notes);
    summary
        .unread
        .extend(found.unreadable.into_iter().map(|unreadable| Unread {
            path: unreadable.path,
            reason: unreadable.reason,
        }));
    jobs.extend(found.files.into_iter().map(|file| Job {
        folder: file.folder().to_owned(),
        name: file.name,
        kind: file.kind,
        text: Origin::Disk(file.path),
    }));
    Some(jobs)
}

/// Of these jobs, those that a change since a revision touches; standard input always is. The error says why that cannot be told.
pub fn touched(
    jobs: Vec<Job>,
    revision: &str,
    library: &Library,
    pool: &rayon::ThreadPool,
) -> Result<Vec<Job>, String> {
    let files = jobs.iter().filter_map(|job| match &job.text {
        Origin::Disk(path) => Some(path.as_path()),
        Origin::Given(_) => None,
    });
    let touched = Touched::since(files, revision)?;
    let is_touched = |job: &Job| match &job.text {
        Origin::Disk(path) => touched.has(path, job.kind, library),
        Origin::Given(_) => true,
    };
    Ok(pool.install(|| jobs.into_par_iter().filter(is_touched).collect()))
}

/// What standard input is to be taken for.
pub struct Input {
    /// Its name, as shown.
    pub name: String,
    /// The folder manuals are looked for from.
    pub folder: PathBuf,
    /// A log, unless the name says otherwise.
    pub kind: Kind,
}

/// What standard input is to be taken for, if it is asked for at all. The outer `None` means that the arguments do not go
/// together, which has been said.
pub fn input(stdin: bool, name: Option<&Path>, console: &mut Console) -> Option<Option<Input>> {
    match name {
        Some(_) if !stdin => {
            console.tell("--name is for standard input: give - as a path, too");
            None
        }
        Some(name) => match Kind::of_path(name) {
            Some(kind) => Some(Some(Input {
                name: shown(name),
                folder: folder_of(name).to_owned(),
                kind,
            })),
            None => {
                console.tell(&format!(
                    "--name {}: the name must end in .rebuild or .manual",
                    shown(name)
                ));
                None
            }
        },
        None => Some(stdin.then(|| Input {
            name: "-".to_owned(),
            folder: PathBuf::from("."),
            kind: Kind::Log,
        })),
    }
}

/// The paths to look at on disk: those named, or the folder we are in if none was.
pub fn searched(paths: &[PathBuf]) -> Vec<PathBuf> {
    if paths.is_empty() {
        return vec![PathBuf::from(".")];
    }
    paths.iter().filter(|path| *path != Path::new("-")).cloned().collect()
}
