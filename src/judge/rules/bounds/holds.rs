//! Holds that must last, and work in stages.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Finding, Severity};
use crate::judge::procedure::Moment;
use crate::judge::words;
use crate::model::job::{Done, SaidKind};
use crate::model::limit::Limit;
use crate::model::manual::StepBound;
use crate::model::names::says;
use crate::quantity::Dimension;

/// How many stages a step says it was done in: `10/20/28 N·m`, `3 stages`, `in three stages`.
fn stages_said(done: &Done) -> Option<usize> {
    const WORDS: &[&str] = &["one", "two", "three", "four", "five", "six"];
    let counted = |key: &str| {
        let is_it = says(key, "stages") || says(key, "stage") || says(key, "steps") || says(key, "passes");
        let mut words = key.split(' ').filter(|_| is_it);
        words.find_map(|word| {
            word.parse()
                .ok()
                .or_else(|| WORDS.iter().position(|w| *w == word).map(|at| at + 1))
        })
    };
    let said = done.said.iter().filter_map(|said| match &said.kind {
        SaidKind::Amount(amount) if amount.is_staged => Some(amount.stages),
        SaidKind::Tick | SaidKind::Amount(_) => counted(&said.key),
        _ => None,
    });
    said.max()
}

/// Checks in how many stages a step was done.
pub fn stages(case: &Case<'_>, done: &Done, bound: &StepBound, limit: &Limit, out: &mut Vec<Finding>) {
    let name = words::fold(done.name.span.text(case.text()));
    let source = case.rules.book.source(bound.manual);
    let finding = match stages_said(done) {
        None if limit.band.lo.is_some() => Finding::new(
            "step.amount-missing",
            Severity::Fault,
            done.name.span,
            format!(
                "`{name}` does not say in how many stages it was done, which are to be {}",
                limit.words()
            ),
        )
        .label("no stages are written")
        .help(format!(
            "write them with the torque: `did {name}, torque 10/20/28 N·m`, or add `fix {name}, 3 stages`"
        )),
        Some(count) if !limit.band.contains(Decimal::from(count)) => Finding::new(
            "step.bound",
            Severity::Fault,
            done.name.span,
            format!(
                "`{name}` was done in {count}, and the stages are to be {}",
                limit.words()
            ),
        )
        .label(if count == 1 {
            "in one go"
        } else {
            "not as many as asked"
        })
        .help("loosen it and tighten in stages, crosswise: what is drawn down in one go stays warped"),
        _ => return,
    };
    out.push(finding.see_in(source, bound.span, "the manual asks for it here"));
}

/// Whether the clock says of a hold what is to be said: it was shorter than asked for, or than was written.
pub fn by_the_clock(case: &Case<'_>, event: usize, bound: &StepBound, limit: &Limit, out: &mut Vec<Finding>) -> bool {
    let (Some(done), Some(least)) = (case.done_at(event), limit.band.lo) else {
        return false;
    };
    let written = done.said.iter().find_map(|said| match &said.kind {
        SaidKind::Amount(amount) => amount
            .unit
            .filter(|unit| unit.dimension == Dimension::TIME)
            .map(|unit| (amount.last, unit)),
        _ => None,
    });
    let next = (event + 1..case.job.events.len()).find(|at| case.job.events.get(*at).is_some_and(|e| e.time.is_some()));
    let is_timed = case.job.events.get(event).is_some_and(|e| e.time.is_some());
    let between = next.filter(|_| is_timed).and_then(|next| {
        let (from, to) = (Moment::of(case, event)?, Moment::of(case, next)?);
        let seconds = (to.to - from.from).checked_mul(60)?;
        (seconds >= 0).then(|| (next, Decimal::from(seconds)))
    });
    // To the minute, so that a minute may be lost at either end.
    let slack = Decimal::from(60);
    let Some((next, passed)) = between.filter(|(_, passed)| *passed + slack < written.map_or(least, |(time, _)| time))
    else {
        return false;
    };
    let name = words::fold(done.name.span.text(case.text()));
    let unit = written.map_or(limit.unit, |(_, unit)| unit);
    let shown = words::figure(passed, Some(unit));
    let line = case.line_of(next);
    let message = match written {
        Some((time, unit)) => format!(
            "`{name}` says {}, but what comes next was done {shown} later, by the time on line {line}",
            words::figure(time, Some(unit))
        ),
        None => format!(
            "`{name}` is to last {}, and what comes next was done {shown} later, by the time on line {line}",
            limit.words()
        ),
    };
    out.push(
        Finding::new("step.bound", Severity::Fault, done.name.span, message)
            .label("too short")
            .help("hold it again for the whole time; if a time was written wrongly, mend it")
            .see(case.event_span(next), "this came next")
            .see_in(
                case.rules.book.source(bound.manual),
                bound.span,
                "the manual asks for it here",
            ),
    );
    true
}
