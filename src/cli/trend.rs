//! `gudgeon trend`: how fast things wear over several jobs, and what is left of them.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use rayon::prelude::*;

use super::Exit;
use super::console::{Console, width};
use super::inspect::searched;
use super::progress::Progress;
use super::threads::{guarded, pool};
use crate::history::{History, Wanted};
use crate::judge::logged;
use crate::judge::traces::Logged;
use crate::model::names::key;
use crate::report::Unread;
use crate::report::trend as report;
use crate::workspace::discover::{Found, discover, read};
use crate::workspace::{Kind, Library, analyse};

/// How fast things wear over several jobs of a machine, and what is left of them; over a shop, what stands out
#[derive(Args)]
#[command(
    after_help = "Logs are put together by what stands behind `machine`; a frame, engine or serial number in it makes them one machine. Readings count by \
                  the last `hours` line above them. What a step disturbs, and what is read behind the work, begins a new life.\n\
                  Exit codes: 0 done, 2 something could not be read, or no such reading was there.\n\
                  Example: gudgeon trend logs --machine TN-0417 --feature 'side play'"
)]
pub struct TrendArgs {
    /// Logs and folders; without any, the folder you are in
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,

    /// How to write it
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = TrendForm::Text)]
    pub form: TrendForm,

    /// Only machines whose name or model has this in it; others of the model are still compared with them
    #[arg(long, value_name = "TEXT")]
    pub machine: Option<String>,

    /// Only features whose name has this in it
    #[arg(long, value_name = "NAME")]
    pub feature: Option<String>,

    /// Print the JSON Schema of --as json, and read nothing
    #[arg(long)]
    pub schema: bool,
}

/// How a history is written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TrendForm {
    /// For people
    Text,
    /// For programs; --schema prints its shape
    Json,
    /// One row a reading, for spreadsheets
    Csv,
    /// A page with a chart for each feature, in one file
    Html,
}

/// Runs the command.
pub fn run(args: &TrendArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&report::schema());
        return Exit::Clean;
    }
    let found = discover(&searched(&args.paths));
    for note in &found.notes {
        console.tell(note);
    }
    let mut unread: Vec<Unread> = found
        .unreadable
        .into_iter()
        .map(|unreadable| Unread {
            path: unreadable.path,
            reason: unreadable.reason,
        })
        .collect();
    let files: Vec<Found> = found.files.into_iter().filter(|file| file.kind == Kind::Log).collect();
    if files.is_empty() && unread.is_empty() {
        console.tell("no log (.rebuild) found there; there is no history to tell");
        return Exit::Failed;
    }
    let logs = match all(&files) {
        Ok(outcomes) => outcomes,
        Err(reason) => {
            console.tell(&reason);
            return Exit::Failed;
        }
    };
    let (logs, failed): (Vec<_>, Vec<_>) = logs.into_iter().partition(Result::is_ok);
    unread.extend(failed.into_iter().filter_map(Result::err));
    unread.sort_by(|a, b| a.path.cmp(&b.path));
    for unread in &unread {
        console.tell(&format!("{}: {}", unread.path, unread.reason));
    }
    let wanted = Wanted {
        machine: args.machine.as_deref().map(|text| key(text).into_owned()),
        feature: args.feature.as_deref().map(|text| key(text).into_owned()),
    };
    let history = History::of(logs.into_iter().filter_map(Result::ok).collect(), &wanted);
    let mut exit = if unread.is_empty() { Exit::Clean } else { Exit::Failed };
    if history.wanted().all(|machine| machine.tracks.is_empty()) {
        console
            .tell("no reading of such a machine or feature was found; a log names its machine in a line `machine …`");
        exit = Exit::Failed;
    }
    match args.form {
        TrendForm::Text => console.print(&report::text(&history, width())),
        TrendForm::Html => console.print(&report::html(&history)),
        TrendForm::Json => console.print(&report::json(&history, &unread)),
        TrendForm::Csv => match report::csv(&history) {
            Ok(text) => console.print(&text),
            Err(reason) => {
                console.tell(&format!("the table could not be written: {reason}"));
                exit = Exit::Failed;
            }
        },
    }
    exit
}

/// What each log adds, several read at a time. Of each only the small series is kept.
pub(super) fn all(files: &[Found]) -> Result<Vec<Result<Logged, Unread>>, String> {
    let pool = pool(0)?;
    let library = Library::new();
    let progress = Progress::new(files.len());
    let outcomes = pool.install(|| {
        files
            .par_iter()
            .map(|file| {
                let outcome = guarded(|| Ok(one(file, &library)));
                progress.step();
                outcome.unwrap_or_else(|reason| {
                    Err(Unread {
                        path: file.name.clone(),
                        reason,
                    })
                })
            })
            .collect()
    });
    progress.done();
    Ok(outcomes)
}

fn one(file: &Found, library: &Library) -> Result<Logged, Unread> {
    let bytes = read(&file.path).map_err(|reason| Unread {
        path: file.name.clone(),
        reason,
    })?;
    Ok(logged(&analyse(&file.name, file.folder(), bytes, library)))
}
