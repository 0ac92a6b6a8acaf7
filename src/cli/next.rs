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
        match analysed(path, &library) {
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

fn analysed(path: &Path, library: &Library) -> Result<Analysis, String> {
    let name = shown(path);
    if path.is_dir() {
        return Err(format!("{name}: this is a folder; give a log, FILE.rebuild"));
    }
    if Kind::of_path(path) != Some(Kind::Log) {
        return Err(format!("{name}: a log ends in .rebuild"));
    }
    let bytes = read(path).map_err(|reason| format!("{name}: {reason}"))?;
    Ok(analyse(&name, folder_of(path), bytes, library))
}
