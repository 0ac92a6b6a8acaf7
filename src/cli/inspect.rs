//! `gudgeon inspect`: judges files and writes down what was found.

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::Exit;
use super::args::{Form, InspectArgs};
use super::console::{Console, colours, width};
use super::progress::Progress;
use crate::judge::Tally;
use crate::report::json::{Json, schema};
use crate::report::line::Line;
use crate::report::text::Text;
use crate::report::{Counts, Report, Summary, Unread};
use crate::workspace::discover::{self, discover, folder_of, read_stream, shown};
use crate::workspace::{Inspected, Kind, Library, inspect};

/// Files judged before what was found in them is printed, for each thread.
const CHUNK: usize = 64;

/// Bytes of stack for each thread: as much as the main thread of a program usually has.
pub const STACK: usize = 8 * 1024 * 1024;

/// One text to judge.
struct Job {
    name: String,
    folder: PathBuf,
    kind: Kind,
    text: Origin,
}

/// Where the text of a job comes from.
enum Origin {
    Disk(PathBuf),
    Given(Vec<u8>),
}

/// What came of a job.
enum Outcome {
    Judged {
        written: String,
        kind: Kind,
        tally: Tally,
        counts: Counts,
    },
    Unread(Unread),
}

/// Runs the command.
pub fn run(args: &InspectArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&schema());
        return Exit::Clean;
    }
    let mut summary = Summary::default();
    let Some(jobs) = jobs(args, console, &mut summary) else {
        return Exit::Failed;
    };
    let report: Box<dyn Report> = match args.form {
        Form::Text => Box::new(Text {
            colour: colours(args.colour),
            width: width(),
        }),
        Form::Line => Box::new(Line),
        Form::Json => Box::new(Json),
    };
    if jobs.is_empty() && summary.unread.is_empty() {
        console.tell("no log (.rebuild) and no manual (.manual) found there; nothing was judged");
        if args.form == Form::Json {
            console.print(&report.opening());
            console.print(&report.closing(&summary));
        }
        return Exit::Failed;
    }
    let threads = args.jobs.map_or(0, usize::from);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .stack_size(STACK)
        .build();
    let pool = match pool {
        Ok(pool) => pool,
        Err(error) => {
            console.tell(&format!("could not start its threads: {error}"));
            return Exit::Failed;
        }
    };
    console.print(&report.opening());
    judge(jobs, report.as_ref(), &pool, console, &mut summary);
    summary.unread.sort_by(|a, b| a.path.cmp(&b.path));
    for unread in &summary.unread {
        console.tell(&format!("{}: {}", unread.path, unread.reason));
    }
    console.print(&report.closing(&summary));
    if !summary.unread.is_empty() {
        Exit::Failed
    } else if summary.counts.worst() >= Some(args.fail_on.severity()) {
        Exit::Found
    } else {
        Exit::Clean
    }
}

/// The texts to judge, standard input first, then files by path. `None` if the arguments do not go together.
fn jobs(args: &InspectArgs, console: &mut Console, summary: &mut Summary) -> Option<Vec<Job>> {
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

/// Judges everything, several at a time, and prints in order.
fn judge(jobs: Vec<Job>, report: &dyn Report, pool: &rayon::ThreadPool, console: &mut Console, summary: &mut Summary) {
    let library = Library::new();
    let progress = Progress::new(jobs.len());
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
                    let outcome = guarded(job, report, wanted, &library);
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
                        kind,
                        tally,
                        counts,
                    } => {
                        if !first {
                            console.print(report.between());
                        }
                        first = false;
                        console.print(&written);
                        summary.add(kind, tally, counts);
                    }
                    Outcome::Unread(unread) => summary.unread.push(unread),
                }
            }
            console.flush();
        });
    }
    progress.done();
}

/// Judges one text. A fault in the program itself costs that text only.
fn guarded(job: Job, report: &dyn Report, wanted: bool, library: &Library) -> Outcome {
    let path = job.name.clone();
    let judged = catch_unwind(AssertUnwindSafe(|| one(job, report, wanted, library)));
    judged.unwrap_or_else(|_| {
        Outcome::Unread(Unread {
            path,
            reason: "not judged: a fault in gudgeon itself; please report it".to_owned(),
        })
    })
}

fn one(job: Job, report: &dyn Report, wanted: bool, library: &Library) -> Outcome {
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
    let inspected: Inspected = inspect(&job.name, &job.folder, job.kind, bytes, library);
    let mut counts = Counts::default();
    counts.add(&inspected.findings);
    Outcome::Judged {
        written: if wanted { report.file(&inspected) } else { String::new() },
        kind: inspected.kind,
        tally: inspected.tally,
        counts,
    }
}
