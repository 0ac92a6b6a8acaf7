//! An account of a job for whoever owns the machine and for the shop's shelf: what was done, day by day, what was found, every fit as it was read and as it
//! stands, what was pressed and trued, and what was *not* measured. Values without markup, all taken from one case; the faces write them down.

mod cautions;
mod fits;
mod found;
mod gaps;
mod head;
mod pressing;
mod run_out;
mod story;
mod tables;

pub use cautions::Caution;
pub use fits::{Fit, Look};
pub use found::{Correction, Inspection};
pub use gaps::{Gaps, Unsourced};
pub use head::{Head, ManualUsed, Meter};
pub use pressing::Pressing;
pub use run_out::{High, RunOuts, Turn};
pub use story::{Day, Told, ToldKind};
pub use tables::{Cell, Row, Table};

use super::Analysis;
use super::costs::{self, Costs};
use super::figures;

/// Everything that is told of a job. Figures are in base units with the unit they were written in; texts are the log's own words, blanks folded.
#[derive(Debug)]
pub struct Account {
    /// What, whose, of which machine, by which manuals, from when to when.
    pub head: Head,
    /// What happened, day by day.
    pub days: Vec<Day>,
    /// Everything that was read or worked out, each with all its figures, in the order of the log.
    pub fits: Vec<Fit>,
    /// Figures that were written as a table, as bores are.
    pub tables: Vec<Table>,
    /// Run-out with the angle of the high point, over the corrections.
    pub run_outs: Vec<RunOuts>,
    /// Steps that say a force.
    pub pressings: Vec<Pressing>,
    /// What was looked at and decided.
    pub inspections: Vec<Inspection>,
    /// What it costs, what is on order, and the ways to go.
    pub costs: Costs,
    /// Figures that were mended.
    pub corrections: Vec<Correction>,
    /// What was not measured, not sourced, or read too coarsely.
    pub gaps: Gaps,
    /// What keeps people from harm in the steps of this job.
    pub cautions: Vec<Caution>,
}

/// The account of a job.
pub fn account(analysis: &Analysis) -> Account {
    let case = analysis.case();
    let figures = figures::of_case(&case);
    let fits = fits::fits(&case, figures);
    Account {
        head: head::head(&case),
        days: story::days(&case, &analysis.findings, &fits),
        tables: tables::tables(&case, &fits),
        run_outs: run_out::run_outs(&case),
        pressings: pressing::pressings(&case),
        inspections: found::inspections(&case),
        costs: costs::of_case(&case),
        corrections: found::corrections(&case),
        gaps: gaps::gaps(&case, &fits, &analysis.findings),
        cautions: cautions::cautions(&case),
        fits,
    }
}
