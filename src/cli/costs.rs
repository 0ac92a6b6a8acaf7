//! `gudgeon costs`: what a job costs, and what it waits for.

use super::Exit;
use super::args::{CostsArgs, CostsForm};
use super::console::{Console, width};
use super::next::analysed;
use crate::judge::Analysis;
use crate::judge::costs::{Costs, costs};
use crate::report::costs as report;
use crate::workspace::Library;

/// Runs the command.
pub fn run(args: &CostsArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&report::schema());
        return Exit::Clean;
    }
    let library = Library::new();
    let mut exit = Exit::Clean;
    let mut logs: Vec<(Analysis, Costs)> = Vec::new();
    for path in &args.paths {
        match analysed(path, args.at.as_deref(), &library) {
            Ok(analysis) => {
                let costs = costs(&analysis);
                logs.push((analysis, costs));
            }
            Err(message) => {
                console.tell(&message);
                exit = Exit::Failed;
            }
        }
    }
    match args.form {
        CostsForm::Json => console.print(&report::json(&logs)),
        CostsForm::Csv => console.print(&report::csv(&logs)),
        CostsForm::Text => {
            let texts = logs
                .iter()
                .map(|(analysis, costs)| report::text(analysis, costs, width()));
            console.print(&texts.collect::<Vec<_>>().join("\n"));
        }
    }
    exit
}
