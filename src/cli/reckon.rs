//! `gudgeon reckon`: a sum at the bench, and what functions there are.

use std::io::Read as _;

use super::Exit;
use super::args::{ReckonArgs, WhyForm};
use super::console::{Console, width};
use crate::calc::reckon::{Reckoned, reckon};
use crate::report::reckon as report;
use crate::trade;

/// The most sums, and bytes of them, that are read from standard input.
const MOST: u64 = 16 * 1024 * 1024;

/// Runs the command.
pub fn run(args: &ReckonArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&report::schema());
        return Exit::Clean;
    }
    if args.page {
        console.print(&report::page());
        return Exit::Clean;
    }
    let sums = match (args.sums.as_slice(), args.form) {
        ([], WhyForm::Text) => {
            console.print(&report::list());
            return Exit::Clean;
        }
        ([], WhyForm::Json) => match read() {
            Ok(sums) => sums,
            Err(reason) => {
                console.tell(&reason);
                return Exit::Failed;
            }
        },
        (sums, _) => sums.to_vec(),
    };
    if let ([name], WhyForm::Text) = (sums.as_slice(), args.form)
        && let Some(function) = trade::named(name)
    {
        console.print(&report::explain(function, width()));
        return Exit::Clean;
    }
    let worked: Vec<(String, Result<Reckoned, String>)> =
        sums.into_iter().map(|sum| (sum.clone(), reckon(&sum))).collect();
    let mut exit = Exit::Clean;
    if args.form == WhyForm::Json {
        console.print(&report::json(&worked));
    }
    for (sum, result) in &worked {
        match result {
            Ok(_) if args.form == WhyForm::Json => {}
            Ok(reckoned) => console.print(&format!("{}\n", report::result(reckoned))),
            Err(problem) => {
                exit = Exit::Failed;
                if args.form == WhyForm::Text {
                    console.tell(&format!("{sum}: {problem}"));
                }
            }
        }
    }
    exit
}

/// Sums from standard input, one a line; empty lines are passed over.
fn read() -> Result<Vec<String>, String> {
    let mut bytes = Vec::new();
    let stdin = std::io::stdin().lock();
    stdin
        .take(MOST)
        .read_to_end(&mut bytes)
        .map_err(|error| format!("standard input: {error}"))?;
    let text = String::from_utf8(bytes).map_err(|_| "standard input is no UTF-8 text".to_owned())?;
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    Ok(lines.map(str::to_owned).collect())
}
