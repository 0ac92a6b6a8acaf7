//! `gudgeon report`: a job written down for people, or the readings of logs as data.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::Exit;
use super::args::{MarkWanted, PhotosWanted, ReportArgs, ReportForm, UnitsWanted};
use super::console::Console;
use super::readings;
use super::threads::{guarded, pool};
use super::trend;
use crate::history::{History, Machine, Wanted};
use crate::judge::account::{Account, ToldKind, account};
use crate::report::Counts;
use crate::report::markdown::{MARK, markdown};
use crate::report::owner::index::{Entry, index};
use crate::report::owner::{Wishes, html};
use crate::report::readings::{Form, page, schema};
use crate::report::style::{DecimalMark, Style, Units};
use crate::workspace::discover::{Found, discover, folder_of, read, shown};
use crate::workspace::photos::{How, Photo, Places, photo};
use crate::workspace::write::whole;
use crate::workspace::{Kind, Library, ReportSettings, analyse};

/// Photos that are put into a page come to so many bytes at most; what is beyond is linked.
const MOST_EMBEDDED: usize = 40_000_000;

/// Runs the command.
pub fn run(args: &ReportArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&schema());
        return Exit::Clean;
    }
    if args.page {
        console.print(&page());
        return Exit::Clean;
    }
    match args.form {
        ReportForm::Csv => readings::run(&args.paths, Form::Csv, args.out.as_deref(), console),
        ReportForm::Json => readings::run(&args.paths, Form::Json, args.out.as_deref(), console),
        ReportForm::Html | ReportForm::Markdown => people(args, console),
    }
}

/// One report a log.
fn people(args: &ReportArgs, console: &mut Console) -> Exit {
    let found = discover(&args.paths);
    for note in &found.notes {
        console.tell(note);
    }
    let mut exit = Exit::Clean;
    for file in &found.unreadable {
        console.tell(&format!("{}: {}", file.path, file.reason));
        exit = Exit::Failed;
    }
    let logs: Vec<&Found> = found.files.iter().filter(|file| file.kind == Kind::Log).collect();
    if logs.is_empty() {
        console.tell("no log (.rebuild) found there");
        return Exit::Failed;
    }
    let places = match places(args, &logs) {
        Ok(places) => places,
        Err(message) => {
            console.tell(&message);
            return Exit::Failed;
        }
    };
    let pool = match pool(0) {
        Ok(pool) => pool,
        Err(why) => {
            console.tell(&why);
            return Exit::Failed;
        }
    };
    let history = match history(args, &found.files, console) {
        Ok(history) => history,
        Err(why) => {
            console.tell(&why);
            return Exit::Failed;
        }
    };
    let library = Library::new();
    let make = |file: &Found, place: Option<&Path>| {
        let made = guarded(|| written(args, file, place, &library, &history));
        let (text, entry) = made.map_err(|why| format!("{}: {why}", file.name))?;
        match place {
            Some(place) => whole(place, text.as_bytes(), is_report)
                .map(|()| (String::new(), entry))
                .map_err(|why| format!("{}: {why}", shown(place))),
            None => Ok((text, entry)),
        }
    };
    let made: Vec<Result<(String, Entry), String>> = pool.install(|| {
        let logs = logs.par_iter().zip(&places);
        logs.map(|(file, place)| make(file, place.as_deref())).collect()
    });
    let mut entries = Vec::new();
    for made in made {
        match made {
            Ok((text, entry)) => {
                console.print(&text);
                entries.push(entry);
            }
            Err(message) => {
                console.tell(&message);
                exit = Exit::Failed;
            }
        }
    }
    if args.form == ReportForm::Html
        && let (Some(out), [first, _, ..]) = (&args.out, logs.as_slice())
        && let Err(why) = shelf(out, &entries, &library.report_settings(first.folder()).shop)
    {
        console.tell(&why);
        exit = Exit::Failed;
    }
    exit
}

/// The page that leads to all the others, beside them.
fn shelf(folder: &Path, entries: &[Entry], shop: &str) -> Result<(), String> {
    let place = folder.join("index.html");
    if entries.iter().any(|entry| entry.file == "index.html") {
        return Err(format!(
            "{}: the report of a log is called so; no page that leads to all was written",
            shown(&place)
        ));
    }
    let text = index(entries, shop);
    whole(&place, text.as_bytes(), is_report).map_err(|why| format!("{}: {why}", shown(&place)))
}

/// The machines of the logs that are to be told over their jobs; empty where that is not asked for. A log that cannot be read is told, and left out.
fn history(args: &ReportArgs, reported: &[Found], console: &mut Console) -> Result<History, String> {
    if args.history.is_empty() {
        return Ok(History::default());
    }
    let found = discover(&args.history);
    for file in &found.unreadable {
        console.tell(&format!("{}: {}", file.path, file.reason));
    }
    let mut files: Vec<Found> = found.files.into_iter().filter(|file| file.kind == Kind::Log).collect();
    let whole = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    // The log itself belongs to its history, under the name it is reported by, and only once.
    for own in reported.iter().filter(|file| file.kind == Kind::Log) {
        files.retain(|file| whole(&file.path) != whole(&own.path));
        files.push(own.clone());
    }
    let mut logs = Vec::new();
    for outcome in trend::all(&files)? {
        match outcome {
            Ok(log) => logs.push(log),
            Err(unread) => console.tell(&format!("{}: {}", unread.path, unread.reason)),
        }
    }
    Ok(History::of(logs, &Wanted::default()))
}

/// The machine that a log is of, where the history has more of it than this log.
fn machine_of(history: &History, log: &str) -> Option<Machine> {
    let has = |machine: &&Machine| machine.jobs.iter().any(|job| &*job.path == log);
    let machine = history.machines.iter().find(has)?;
    (machine.jobs.len() > 1).then(|| machine.clone())
}

/// Whether a file begins as a report does that was written before.
fn is_report(head: &[u8]) -> bool {
    let head = String::from_utf8_lossy(head);
    head.contains("<meta name=\"generator\" content=\"gudgeon ") || head.starts_with(MARK)
}

/// Where each report goes; `None` is standard output.
fn places(args: &ReportArgs, logs: &[&Found]) -> Result<Vec<Option<PathBuf>>, String> {
    let ending = match args.form {
        ReportForm::Markdown => "md",
        _ => "html",
    };
    let Some(out) = &args.out else {
        return if logs.len() == 1 {
            Ok(vec![None])
        } else {
            Err(format!(
                "{} logs make {} reports: name a folder for them with --out",
                logs.len(),
                logs.len()
            ))
        };
    };
    let is_input = |path: &Path| Kind::of_path(path).is_some();
    if is_input(out) {
        return Err(format!(
            "--out {}: that is the name of a log or a manual; nothing was written",
            shown(out)
        ));
    }
    let is_folder = out.is_dir();
    if !is_folder && logs.len() == 1 {
        return Ok(vec![Some(out.clone())]);
    }
    if !is_folder {
        std::fs::create_dir_all(out)
            .map_err(|error| format!("{}: {}", shown(out), crate::workspace::discover::why(&error)))?;
    }
    let mut taken: BTreeMap<PathBuf, &str> = BTreeMap::new();
    let mut list = Vec::new();
    for log in logs {
        let stem = log.path.file_stem().unwrap_or_default();
        let mut name = stem.to_owned();
        name.push(format!(".{ending}"));
        let place = out.join(name);
        if let Some(other) = taken.insert(place.clone(), &log.name) {
            return Err(format!(
                "{} and {} would both be written to {}: report them into folders of their own",
                other,
                log.name,
                shown(&place)
            ));
        }
        list.push(Some(place));
    }
    Ok(list)
}

fn written(
    args: &ReportArgs,
    file: &Found,
    place: Option<&Path>,
    library: &Library,
    history: &History,
) -> Result<(String, Entry), String> {
    let bytes = read(&file.path)?;
    let analysis = analyse(&file.name, file.folder(), bytes, library);
    let account = account(&analysis);
    let settings = library.report_settings(file.folder());
    let wishes = Wishes {
        style: style(args, &settings),
        shop: settings.shop.clone(),
        history: machine_of(history, &file.name),
    };
    let places = Places {
        log: file.folder().to_owned(),
        page: place.map(|place| folder_of(place).to_owned()),
    };
    let how = match args.form {
        // Text cannot hold a picture.
        ReportForm::Markdown => how(args, &settings).min_linked(),
        _ => how(args, &settings),
    };
    let photos = photos(&account, &places, how);
    let text = match args.form {
        ReportForm::Markdown => markdown(&analysis, &account, &photos, &wishes),
        _ => html(&analysis, &account, &photos, &wishes),
    };
    let file = place.and_then(Path::file_name).unwrap_or_default();
    let entry = Entry {
        file: file.to_string_lossy().into_owned(),
        head: account.head,
        tally: analysis.tally,
        counts: Counts::of(&analysis.findings),
    };
    Ok((text, entry))
}

/// The photos of a log with their lines, as long as there is room in the page.
fn photos(account: &Account, places: &Places, how: How) -> Vec<(usize, Photo)> {
    let told = account.days.iter().flat_map(|day| &day.told);
    let mut embedded = 0;
    told.filter(|told| told.kind == ToldKind::Photo)
        .map(|told| {
            let how = if embedded < MOST_EMBEDDED {
                how
            } else {
                how.min_linked()
            };
            let photo = photo(&told.text, places, how);
            if let Photo::Picture { data, .. } = &photo {
                embedded += data.len();
            }
            (told.line, photo)
        })
        .collect()
}

fn style(args: &ReportArgs, settings: &ReportSettings) -> Style {
    let units = match (args.units, settings.units.as_deref()) {
        (Some(UnitsWanted::Metric), _) | (None, Some("metric")) => Units::Metric,
        (Some(UnitsWanted::Inch), _) | (None, Some("inch")) => Units::Inch,
        _ => Units::Written,
    };
    let mark = match (args.decimal, settings.decimal.as_deref()) {
        (Some(MarkWanted::Comma), _) | (None, Some("comma")) => DecimalMark::Comma,
        _ => DecimalMark::Point,
    };
    Style { units, mark }
}

fn how(args: &ReportArgs, settings: &ReportSettings) -> How {
    match (args.photos, settings.photos.as_deref()) {
        (Some(PhotosWanted::Link), _) | (None, Some("link")) => How::Linked,
        (Some(PhotosWanted::None), _) | (None, Some("none")) => How::Named,
        _ => How::Embedded,
    }
}
