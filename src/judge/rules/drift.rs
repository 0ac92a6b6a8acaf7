//! Repeats that run one way.

use rust_decimal::prelude::ToPrimitive as _;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::uncertainty::estimate::decimal;
use crate::uncertainty::line::Line;

use super::shared::walk::latest_readings;

/// Repeats this many at least show whether they run.
const ENOUGH: usize = 6;

/// Looks for repeats that climb or fall steadily: the part warms or cools, or the dial creeps.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (_, reading, instance) in latest_readings(case) {
        drifting(case, reading, instance, out);
    }
}

fn drifting(case: &Case<'_>, reading: &Reading, instance: &Instance, out: &mut Vec<Finding>) {
    if reading.kind != ReadingKind::Repeats || reading.points.len() < ENOUGH {
        return;
    }
    let points: Vec<(f64, f64)> = reading
        .points
        .iter()
        .enumerate()
        .filter_map(|(number, point)| Some((number as f64, point.best.to_f64()?)))
        .collect();
    let Some(line) = Line::through(&points) else { return };
    let run = line.slope * (points.len() - 1) as f64;
    let digit = reading
        .points
        .iter()
        .filter_map(|p| p.half_step.to_f64())
        .fold(0.0, f64::max)
        * 2.0;
    // Five times its own uncertainty is no accident, and less than three units of the last digit is no matter.
    if line.slope.abs() < 5.0 * line.u_slope || run.abs() < 3.0 * digit {
        return;
    }
    let Some(by) = decimal(run) else { return };
    let way = if by.is_sign_negative() { "fall" } else { "climb" };
    let message = format!(
        "{}: the repeats {way} steadily, by {} from the first to the last",
        words::subject(case, instance),
        words::difference(by.abs(), reading.unit)
    );
    out.push(
        Finding::new("reading.drifts", Severity::Doubt, reading.figure_span, message)
            .label("not the same thing each time")
            .help("wait until nothing changes any more (part and tool at one temperature, dial and stand firm), and read again"),
    );
}

const BENCH: &str = "manual m\nsource page 1\nfeature pin length\n  unit mm\nfeature web width\n  unit mm\nprocedure p\n  step press  disturbs web width; optional\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "reading.drifts",
    severity: "doubt",
    says: "Six or more repeats climb or fall steadily.",
    why: "Repeats scatter; they do not walk. A part that cools, a dial whose stand creeps or a tool that warms in the hand makes each reading another thing, and \
              their mean means nothing. A straight line is laid through them: its slope must be five times its own uncertainty, and three units of the last digit \
              over the whole.",
    source: "JCGM 100:2008, 4.2.1 (repeats are independent); least squares",
    fires: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.00 52.01 52.02 52.03 52.04 52.05 mm\n",
    },
    clean: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.02 52.01 52.02 52.03 52.02 52.01 mm\n",
    },
}];
