//! Whether a log with other words still says the same: each reading is decided as it was.

use std::sync::Arc;

use crate::judge::case::Case;
use crate::judge::{Analysis, Edit};
use crate::model::lower_job;
use crate::syntax::{Source, parse_log};

/// A text with edits carried out; they stand in order and do not overlap.
pub(super) fn edited(text: &str, edits: &[Edit]) -> Option<String> {
    let mut out = String::with_capacity(text.len() + 64);
    let mut from = 0;
    for edit in edits {
        out.push_str(text.get(from..edit.span.start as usize)?);
        out.push_str(&edit.text);
        from = edit.span.end as usize;
    }
    out.push_str(text.get(from..)?);
    Some(out)
}

/// Whether every reading of a log is understood and decided as before once the edits are made: a figure in another unit must not move over a limit by
/// its rounding.
pub(super) fn is_decided_alike(log: &Analysis, edits: &[Edit]) -> bool {
    let Some(text) = edited(&log.source.text, edits) else {
        return false;
    };
    let source = Arc::new(Source::new(log.source.name.clone(), text));
    let tree = parse_log(&source.text);
    if tree.errors.len() > log.tree.errors.len() + unread(log) {
        return false;
    }
    let (job, _) = lower_job(&tree, &source.text, &log.rules.book);
    let now = Case::new(&source, &tree, &job, &log.rules, log.settings.clone());
    let before = crate::editor::hover::case_of(log);
    let verdicts = |case: &Case<'_>| -> Vec<_> {
        let readings = 0..case.job.readings.len();
        let own = readings.map(|index| {
            (
                case.verdict(index),
                case.job.readings.get(index).map(|r| r.points.len()),
            )
        });
        let sums = case
            .finals
            .iter()
            .map(|figure| (figure.decision.map(|decision| decision.verdict), None));
        own.chain(sums).collect()
    };
    verdicts(&now) == verdicts(&before)
}

/// Lines of a log that could not be read: a judged log has its errors among its findings.
fn unread(log: &Analysis) -> usize {
    log.findings
        .iter()
        .filter(|finding| finding.code.starts_with("line."))
        .count()
}
