//! What there is to look at: the readings that count, and each time a step was done.

use crate::judge::case::Case;
use crate::judge::finding::{Finding, Severity};
use crate::judge::words;
use crate::model::job::{Done, Instance, Reading};

/// The latest reading of each feature at each part and place, with its number, where it still counts: no later step disturbed it, and no other part was
/// taken instead.
pub fn latest_readings<'c>(case: &'c Case<'_>) -> impl Iterator<Item = (usize, &'c Reading, &'c Instance)> {
    let all = case.job.instances.iter().enumerate();
    all.filter_map(|(number, instance)| {
        let (index, latest) = case.latest(instance)?;
        let counts = !case.is_left(instance) && !case.is_overtaken(number);
        counts.then_some((index, latest, instance))
    })
}

/// Runs `say` over each time a step was done, and keeps what it adds. A danger is a danger each time; what else was wrong with a step is history once it
/// was undone, or done again on the same part. A danger takes along the reason that stands on the step's line.
pub fn each_done<'c>(
    case: &'c Case<'_>,
    out: &mut Vec<Finding>,
    mut say: impl FnMut(usize, &'c Done, &mut Vec<Finding>),
) {
    let mut found = Vec::new();
    for (event, done) in &case.done {
        say(*event, done, &mut found);
        if found.is_empty() {
            continue;
        }
        // Of steps that no manual knows it is not known which take each other's place.
        let is_last = match done.step {
            Some(_) => case.course.is_last(*event),
            None => !done.is_undone(),
        };
        let reason = done.reason().map(|reason| {
            let said = reason.span.text(case.text()).trim();
            words::fold(said.strip_prefix("because").unwrap_or(said))
        });
        out.extend(found.drain(..).filter_map(|mut finding| {
            if finding.severity != Severity::Danger {
                return is_last.then_some(finding);
            }
            finding.reason.clone_from(&reason);
            Some(match done.undone {
                Some(undone) if undone.because => undone_since(finding),
                _ => finding,
            })
        }));
    }
}

/// A danger of a step that was undone since, with the reason written: it stays in the record, and does not stop the job.
fn undone_since(mut finding: Finding) -> Finding {
    finding.severity = Severity::Doubt;
    finding
        .message
        .push_str("; it was undone since, with the reason written");
    finding
}
