//! Goes one of the hot paths once, for `instructions.sh` to count: `hot_paths NAME`. Without a name, the names with the lines each goes over.

#[path = "../generate/mod.rs"]
mod generate;
mod inputs;

use std::hint::black_box;
use std::process::ExitCode;

use inputs::{Logs, Typing, pages, tables};

/// What is counted: callgrind switches on here and off again.
#[inline(never)]
fn counted<T>(work: impl FnOnce() -> T) -> T {
    black_box(work())
}

const FILES: u64 = 12;

/// Lines of a log that is typed in.
const LONG: u64 = 10_000;

fn main() -> ExitCode {
    let logs = Logs::new(FILES, 500);
    let lines = logs.lines();
    let Some(name) = std::env::args().nth(1) else {
        for name in ["parse_log", "judge", "tidy", "report_html", "report_csv"] {
            println!("{name} {lines}");
        }
        println!("parse_manual {}", logs.lines_of_manuals());
        // An edit reaches a line, whatever the log is; all of it is judged in the end.
        println!("keystroke_read 1\nkeystroke_glance 1\nkeystroke_whole {LONG}");
        println!("judge_long {LONG}");
        return ExitCode::SUCCESS;
    };
    match name.as_str() {
        "parse_log" => {
            counted(|| logs.read());
        }
        "parse_manual" => {
            counted(|| logs.read_manuals());
        }
        "judge" => {
            // The manuals are read by then.
            logs.judge();
            counted(|| logs.judge());
        }
        "judge_long" => {
            let logs = Logs::new(1, LONG);
            logs.judge();
            counted(|| logs.judge());
        }
        "tidy" => {
            counted(|| logs.tidy());
        }
        "report_html" => {
            let judged = logs.judged();
            counted(|| pages(&judged));
        }
        "report_csv" => {
            let judged = logs.judged();
            counted(|| tables(&judged));
        }
        "keystroke_read" => {
            let typing = Typing::new(LONG);
            let tree = typing.tree();
            counted(|| typing.read(tree));
        }
        "keystroke_glance" => {
            let typing = Typing::new(LONG);
            counted(|| typing.glance());
        }
        "keystroke_whole" => {
            let typing = Typing::new(LONG);
            let tree = typing.tree();
            counted(|| typing.whole(tree));
        }
        _ => {
            eprintln!("no path is called {name}");
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}
