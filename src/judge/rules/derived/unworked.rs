//! Sums that cannot be worked: a figure that no machine can have, and a sum at fault although everything was read.

use rustc_hash::FxHashSet;

use crate::calc::{Impossible, Reason};
use crate::judge::case::Case;
use crate::judge::finals::Final;
use crate::judge::finding::{Finding, Severity};
use crate::judge::words;
use crate::model::book::FeatureId;
use crate::model::job::Reading;
use crate::model::names::named;

/// Whether a feature that a sum takes was never read in this job, nor can be worked out.
fn lacks_a_reading(case: &Case<'_>, id: FeatureId) -> bool {
    case.rules.rests_on(id).into_iter().any(|input| {
        let mut instances = case.by_feature.get(input).into_iter().flatten();
        let was_read = instances.any(|index| case.job.instances.get(*index).is_some_and(|i| case.latest(i).is_some()));
        !was_read && !case.is_derived(input)
    })
}

/// A figure that no machine can have, by a function of the trade: placed at the figure. What is stale, or known to be misread, is told as that.
pub fn refused(
    case: &Case<'_>,
    figure: &Final<'_>,
    impossible: &Impossible,
    suspects: &FxHashSet<usize>,
) -> Option<Finding> {
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let message = format!("{name} cannot be worked out: {}", impossible.why);
    let readings = || {
        impossible
            .readings
            .iter()
            .filter_map(|index| Some((*index, case.job.readings.get(*index)?)))
    };
    let is_known = |index: usize, reading: &Reading| {
        case.slipped.contains_key(&index) || suspects.contains(&index) || case.is_overtaken(reading.instance)
    };
    if readings().any(|(index, reading)| is_known(index, reading)) {
        return None;
    }
    let latest = readings()
        .map(|(_, reading)| reading)
        .max_by_key(|reading| reading.event);
    let span = latest.map_or(case.job.head, |reading| reading.figure_span);
    let mut finding = Finding::new("calc.impossible", Severity::Fault, span, message)
        .help("look whether the figure was misread, or another was meant; a later line `fix …` mends it".to_owned());
    if let Some(reading) = latest
        && let Some(instance) = case.instance(reading)
    {
        finding = finding.label(format!(
            "{}: {}",
            words::subject(case, instance),
            words::reading(case, reading)
        ));
    }
    Some(finding.see_in(
        case.rules.book.source(figure.feature.manual),
        figure.feature.name.span,
        format!("worked out here by `{}`", impossible.function),
    ))
}

/// A sum that cannot be worked although everything was read.
pub fn unworkable(case: &Case<'_>, figure: &Final<'_>, reason: &Reason) -> Option<Finding> {
    let name = &figure.feature.name.name;
    let (message, help) = match reason {
        Reason::Missing(_) | Reason::Alone | Reason::Refused(_) => return None,
        // Nobody misses a sum of which another part was never read.
        Reason::Several(..) if lacks_a_reading(case, figure.id) => return None,
        Reason::Several(what, count) => (
            format!("{name} cannot be worked out: {what} has {count} readings, and the sum wants one"),
            "write `smallest(…)`, `largest(…)` or `mean(…)` in the manual's sum, or name the part and place".to_owned(),
        ),
        Reason::Arithmetic(error) => (
            format!("{name} cannot be worked out: {error}"),
            "look at the readings the sum rests on".to_owned(),
        ),
        Reason::TooDeep => (
            format!("{name} rests on too many other sums"),
            "shorten the chain of `calc` lines in the manual".to_owned(),
        ),
    };
    Some(
        Finding::new("calc.unworkable", Severity::Doubt, case.job.head, message)
            .help(help)
            .see_in(
                case.rules.book.source(figure.feature.manual),
                figure.feature.name.span,
                "the sum stands here",
            ),
    )
}
