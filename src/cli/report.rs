//! `gudgeon report`: the readings of logs.

use super::Exit;
use super::args::{ReportArgs, ReportForm};
use super::console::Console;
use super::readings;
use crate::report::readings::{Form, page, schema};

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
    let form = match args.form {
        ReportForm::Csv => Form::Csv,
        ReportForm::Json => Form::Json,
    };
    readings::run(&args.paths, form, console)
}
