//! The command line. This is the only place that prints, and that decides on exit codes. What is printed is worked out below: by `report` where it is more than a line.

mod args;
mod completions;
mod console;
mod costs;
mod inspect;
mod manpages;
mod nearest;
mod next;
mod progress;
mod readings;
mod reckon;
mod report;
mod serve;
mod shelf;
mod start;
mod threads;
mod tidy;
mod trend;
mod why;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Arguments, Command};
use console::Console;

/// How a run ended. The order is the order of weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Exit {
    /// All in order.
    Clean = 0,
    /// Something was found, or would be changed.
    Found = 1,
    /// Something could not be done.
    Failed = 2,
}

/// The command line as it is defined: what completions, manual pages and the tests of every `--help` are made from.
pub fn command() -> clap::Command {
    Arguments::command()
}

/// Runs the program with the arguments of the process: 0 all in order, 1 something found, 2 could not run.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut console = Console::new();
    let exit = match &arguments.command {
        Command::Inspect(args) => inspect::run(args, &mut console),
        Command::Tidy(args) => tidy::run(args, &mut console),
        Command::Next(args) => next::run(args, &mut console),
        Command::Report(args) => report::run(args, &mut console),
        Command::Trend(args) => trend::run(args, &mut console),
        Command::Costs(args) => costs::run(args, &mut console),
        Command::Start(args) => start::run(args, &mut console),
        Command::Why(args) => why::run(args, &mut console),
        Command::Reckon(args) => reckon::run(args, &mut console),
        Command::Shelf(args) => shelf::run(args, &mut console),
        Command::Serve(_) => serve::run(&mut console),
        Command::Completions(args) => completions::run(args, &mut console),
        Command::Manpages(args) => manpages::run(args, &mut console),
    };
    ExitCode::from(exit.max(console.finish()) as u8)
}
