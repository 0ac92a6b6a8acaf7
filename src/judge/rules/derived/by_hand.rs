//! A sum that was worked by hand on the line, worked again.

use crate::judge::case::Case;
use crate::judge::finding::{Finding, Severity};
use crate::judge::words;
use crate::model::job::{Instance, Reading, Worked};
use crate::quantity::number;

/// A sum by hand that does not come to what is written.
pub fn wrong_sum(case: &Case<'_>, reading: &Reading, instance: &Instance, worked: &Worked) -> Option<Finding> {
    let point = reading.points.first()?;
    let off = (worked.result.checked_sub(point.written)?).abs();
    if off <= number::half_step(point.written) {
        return None;
    }
    let unit = reading.unit.map_or("", |u| u.label());
    // With as many decimals as were written: 0.40 is not 0.4.
    let right = number::padded(worked.result.round_dp(6), point.written.scale());
    let message = format!(
        "{}: {} is {right}, not {}",
        words::subject(case, instance),
        worked.terms,
        number::show(point.written, 4)
    );
    let line = format!(
        "fix {} {} -> {right} {unit}, sum worked again",
        words::fold(reading.name_span.text(case.text())),
        point.span.text(case.text()).trim()
    );
    Some(
        Finding::new("calc.sum", Severity::Fault, point.span, message)
            .label(format!("{right} {unit}").trim().to_owned())
            .help(format!(
                "look which is wrong, the sum or what was fitted; if it is the sum, add `{line}`"
            ))
            .fix(case.add_line_below(reading.name_span, &line)),
    )
}
