//! `gudgeon inspect`: judges files and writes down what was found.

mod gates;
mod jobs;
mod judging;

use super::Exit;
use super::args::{Form, InspectArgs};
use super::console::{Console, colours, width};
use super::threads::pool;
use crate::report::json::{Json, schema};
use crate::report::junit::Junit;
use crate::report::line::Line;
use crate::report::sarif::Sarif;
use crate::report::text::Text;
use crate::report::{Report, Summary};
use crate::workspace::{Library, Roots};

use gates::Gates;
pub use jobs::{input, searched};
use judging::{Bench, judge};

/// Runs the command.
pub fn run(args: &InspectArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&schema());
        return Exit::Clean;
    }
    let mut summary = Summary::default();
    let Some(mut jobs) = jobs::jobs(args, console, &mut summary) else {
        return Exit::Failed;
    };
    let report = report(args);
    if jobs.is_empty() && summary.unread.is_empty() {
        return nothing(
            "no log (.rebuild) and no manual (.manual) found there; nothing was judged",
            args,
            report.as_ref(),
            console,
            &mut summary,
        );
    }
    let threads = args.jobs.map_or(0, usize::from);
    let pool = match pool(threads) {
        Ok(pool) => pool,
        Err(why) => {
            console.tell(&why);
            return Exit::Failed;
        }
    };
    let library = Library::new();
    if let Some(revision) = &args.since {
        let all = jobs.len();
        jobs = match jobs::touched(jobs, revision, &library, &pool) {
            Ok(jobs) => jobs,
            Err(why) => return nothing(&why, args, report.as_ref(), console, &mut summary),
        };
        console.tell(&format!(
            "{} of {all} logs and manuals are touched since {revision}",
            jobs.len()
        ));
    }
    let gates = match Gates::new(args, &jobs, &library, args.form == Form::Sarif) {
        Ok(gates) => gates,
        Err(why) => return nothing(&why, args, report.as_ref(), console, &mut summary),
    };
    summary.compared = gates.compare();
    console.print(&report.opening());
    let bench = Bench {
        report: report.as_ref(),
        library: &library,
        gates: &gates,
    };
    let judged = judge(jobs, bench, &pool, console, &mut summary);
    summary.unread.sort_by(|a, b| a.path.cmp(&b.path));
    for unread in &summary.unread {
        console.tell(&format!("{}: {}", unread.path, unread.reason));
    }
    for note in gates.gone(&judged) {
        console.tell(&note);
        summary.notes.push(note);
    }
    let written = gates.write(judged);
    console.print(&report.closing(&summary));
    match written {
        Ok(Some(said)) => console.tell(&said),
        Ok(None) => {}
        Err(why) => {
            console.tell(&why);
            return Exit::Failed;
        }
    }
    if !summary.unread.is_empty() {
        Exit::Failed
    } else if summary.failing > 0 {
        Exit::Found
    } else {
        Exit::Clean
    }
}

/// The way findings are to be written.
fn report(args: &InspectArgs) -> Box<dyn Report> {
    match args.form {
        Form::Text => Box::new(Text {
            colour: colours(args.colour),
            width: width(),
        }),
        Form::Line => Box::new(Line),
        Form::Json => Box::new(Json),
        Form::Sarif => Box::new(Sarif::new(Roots::here())),
        Form::Junit => Box::new(Junit),
    }
}

/// Nothing can be judged: says why, and where a program reads along, in the form it reads.
fn nothing(why: &str, args: &InspectArgs, report: &dyn Report, console: &mut Console, summary: &mut Summary) -> Exit {
    console.tell(why);
    if !matches!(args.form, Form::Text | Form::Line) {
        summary.nothing = Some(why.to_owned());
        console.print(&report.opening());
        console.print(&report.closing(summary));
    }
    Exit::Failed
}
