//! A figure that was written or measured, against what it comes to from the readings of that time.

use rustc_hash::FxHashSet;

use crate::calc::{Worked, is_claim};
use crate::judge::case::Case;
use crate::judge::finding::{Finding, Severity};
use crate::judge::rules::slips;
use crate::judge::words;
use crate::metrology::Which;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::uncertainty::estimate::decimal;

use super::traced::{By, either, traced};
use super::{rests_on, suspect_input, worked_then};

/// Compares a written or measured figure with the recalculation from the readings of that time.
pub fn compare(
    case: &Case<'_>,
    reading: &Reading,
    instance: &Instance,
    feature: FeatureId,
    suspects: &mut FxHashSet<usize>,
    out: &mut Vec<Finding>,
) {
    let result = worked_then(case, reading, instance, feature);
    let (Some(Ok(worked)), Some(point)) = (result, reading.points.first()) else {
        return;
    };
    let claim = is_claim(reading);
    // A sum in the head is worked from the figures as written; a measurement has the uncertainty of both sides.
    let (from, apart) = if claim {
        let wide = worked.written.widen(point.half_step).unwrap_or(worked.written);
        // Whoever took the tool's zero off in the head is right too.
        let corrected = worked.bare().widen(point.half_step).unwrap_or(wide);
        (
            worked.written,
            wide.is_apart_from(point.band) && corrected.is_apart_from(point.band),
        )
    } else {
        let Some(apart) = disagree(case, reading, &worked) else {
            return;
        };
        (worked.bare(), apart)
    };
    if !apart {
        return;
    }
    let name = words::subject(case, instance);
    // Of repeats the mean is shown; blades leave a band.
    let shown = if claim { worked.bare() } else { from };
    let right = words::band(&shown, reading.unit);
    let wide = from.widen(point.half_step).unwrap_or(from);
    let meant = slips::meant(case, reading, instance, point, |figure| wide.contains(figure));
    // A measured figure that a usual slip brings into line with its parts is probably that slip.
    if reading.kind == ReadingKind::Single && !claim && !meant.is_empty() {
        let why = format!("{name} comes to {right} from its parts");
        let finding = slips::finding(case, reading, instance, point, &meant, &why);
        out.push(rests_on(case, finding, &worked));
        return;
    }
    // Where the figure itself is no slip, one of the readings it rests on may be.
    let aim = point.band.widen(point.half_step).unwrap_or(point.band);
    let traced = if claim && meant.is_empty() && is_plausible(case, reading, point) {
        traced(case, &worked, &aim, By::Figure)
    } else {
        Vec::new()
    };
    if let [traced] = traced.as_slice() {
        suspects.insert(traced.index);
        let why = format!(
            "{name} is written as {}, but comes to {right}",
            words::figure(point.best, reading.unit)
        );
        out.push(
            traced
                .finding(case, &why)
                .see(point.span, "the figure that was worked out"),
        );
        return;
    }
    let message = if claim {
        format!(
            "{name} is written as {}, but comes to {right}",
            words::figure(point.best, reading.unit)
        )
    } else {
        format!(
            "{name} was measured as {}, but comes to {right} from its parts",
            words::reading(case, reading)
        )
    };
    // While a reading it rests on is probably wrong, nobody can say what it comes to.
    let suspect = suspect_input(case, &worked, suspects);
    let first = suspect.map_or_else(String::new, |reading| {
        let instance = case.instance(reading);
        let name = instance.map_or_else(String::new, |instance| words::subject(case, instance));
        format!("first clear up {name}, which is probably misread; then ")
    });
    let help = if claim {
        "work it again from the readings it rests on; if a reading is wrong, mend that one"
    } else {
        "one of the readings is wrong, or something is not home: measure again"
    };
    let message = match meant.first() {
        Some(slip) if claim => format!("{message} ({})", slip.what),
        _ => message,
    };
    let mut finding = Finding::new("calc.disagrees", Severity::Fault, point.span, message)
        .label(format!("worked again: {right}"))
        .help(format!("{}{first}{help}", either(case, &traced)));
    suspects.extend(traced.iter().map(|suspect| suspect.index));
    if claim && suspect.is_none() && traced.is_empty() && shown.is_exact() && reading.kind == ReadingKind::Single {
        let line = format!(
            "fix {} {} -> {right}, worked again",
            words::fold(reading.name_span.text(case.text())),
            point.span.text(case.text()).trim()
        );
        finding = finding.fix(case.add_line_below(reading.name_span, &line));
    }
    out.push(rests_on(case, finding, &worked));
}

/// Whether a written figure is one that its limit allows, where it has one.
fn is_plausible(case: &Case<'_>, reading: &Reading, point: &Point) -> bool {
    case.limit_of(reading)
        .is_none_or(|limit| limit.band.contains(point.best))
}

/// Whether what was measured and what comes from the parts are further apart than the uncertainty of their difference (95 %).
fn disagree(case: &Case<'_>, reading: &Reading, worked: &Worked) -> Option<bool> {
    let measured = case.measured(case.index_of(reading)?, Which::Whole)?;
    let bare = measured.bare();
    let between = measured.budget.less(worked.budget.clone());
    let room = decimal(between.combined().expanded())?;
    let wide = bare.widen(room)?;
    Some(wide.is_apart_from(worked.bare()))
}
