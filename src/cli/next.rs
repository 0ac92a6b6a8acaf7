//! `gudgeon next`: what is to be done, read again, waited for and ordered.

use std::path::Path;

use super::Exit;
use super::args::{NextArgs, WhyForm};
use super::console::{Console, width};
use crate::judge::Analysis;
use crate::judge::next::{Todo, is_done, next};
use crate::report::next as report;
use crate::workspace::discover::{folder_of, read, shown};
use crate::workspace::{Kind, Library, analyse};

/// Runs the command.
pub fn run(args: &NextArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&report::schema());
        return Exit::Clean;
    }
    let library = Library::new();
    let mut exit = Exit::Clean;
    let mut logs: Vec<(Analysis, Vec<Todo>)> = Vec::new();
    for path in &args.paths {
        match analysed(path, args.at.as_deref(), &library) {
            Ok(analysis) => {
                let list = next(&analysis);
                if !is_done(&list) {
                    exit = exit.max(Exit::Found);
                }
                logs.push((analysis, list));
            }
            Err(message) => {
                console.tell(&message);
                exit = Exit::Failed;
            }
        }
    }
    match args.form {
        WhyForm::Json => console.print(&report::json(&logs)),
        WhyForm::Text => {
            let texts = logs
                .iter()
                .map(|(analysis, list)| report::text(analysis, list, width()));
            console.print(&texts.collect::<Vec<_>>().join("\n"));
        }
    }
    exit
}

/// A log read and judged, up to a line or a day where one is given; else why not.
pub(super) fn analysed(path: &Path, at: Option<&str>, library: &Library) -> Result<Analysis, String> {
    let name = shown(path);
    if path.is_dir() {
        return Err(format!("{name}: this is a folder; give a log, FILE.rebuild"));
    }
    if Kind::of_path(path) != Some(Kind::Log) {
        return Err(format!("{name}: a log ends in .rebuild"));
    }
    let bytes = read(path).map_err(|reason| format!("{name}: {reason}"))?;
    let bytes = match at {
        Some(at) => until(&bytes, at)
            .ok_or_else(|| format!("--at wants the number of a line, or a date as 2026-03-14, not `{at}`"))?,
        None => bytes,
    };
    Ok(analyse(&name, folder_of(path), bytes, library))
}

/// The lines of a log up to one, or up to the last of a day: what stood there then. `None` where that is neither a line nor a date.
fn until(bytes: &[u8], at: &str) -> Option<Vec<u8>> {
    let lines = || bytes.split_inclusive(|byte| *byte == b'\n');
    if let Ok(count) = at.parse::<usize>() {
        return (count > 0).then(|| lines().take(count).flatten().copied().collect());
    }
    let last: jiff::civil::Date = at.parse().ok()?;
    let is_later = |line: &&[u8]| {
        let text = std::str::from_utf8(line).unwrap_or("").trim_start();
        let date = text.get(..10).and_then(|date| date.parse::<jiff::civil::Date>().ok());
        date.is_some_and(|date| date > last)
    };
    Some(lines().take_while(|line| !is_later(line)).flatten().copied().collect())
}
