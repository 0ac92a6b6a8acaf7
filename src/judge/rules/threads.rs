//! A torque against the size of the thread that the step's line names.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::job::{Done, Said, SaidKind};
use crate::quantity::Dimension;

use super::shared::walk::each_done;

/// Checks the torque of each step that names its thread.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    each_done(case, out, |_, done, found| torque(case, done, found));
}

/// A metric thread that a tick names: `M8`, `8 bolts M8`, `M8x1`.
fn thread(said: &Said) -> Option<&str> {
    let is_thread = |word: &&str| {
        word.strip_prefix('m').is_some_and(|rest| {
            let mut sides = rest.split('x');
            let is_figure = |side: &str| side.parse::<f32>().is_ok();
            sides.next().is_some_and(is_figure) && sides.next().is_none_or(is_figure) && sides.next().is_none()
        })
    };
    matches!(said.kind, SaidKind::Tick)
        .then(|| said.key.split(' ').find(is_thread))
        .flatten()
}

/// A torque that is not what its thread takes, where the step's own manual does not bound it and some manual knows such a thread.
fn torque(case: &Case<'_>, done: &Done, out: &mut Vec<Finding>) {
    let Some((said, size)) = done.said.iter().find_map(|said| Some((said, thread(said)?))) else {
        return;
    };
    let is_bounded = case
        .step(done)
        .is_some_and(|step| step.bounds.iter().any(|bound| bound.name == "torque"));
    let book = &case.rules.book;
    let feature = book
        .feature(&format!("{size} torque"))
        .and_then(|id| book.features.get(id));
    let Some(limit) = feature
        .and_then(|feature| feature.limits.first())
        .filter(|_| !is_bounded)
    else {
        return;
    };
    for detail in &done.said {
        let SaidKind::Amount(amount) = &detail.kind else {
            continue;
        };
        let is_torque = amount.unit.is_some_and(|unit| unit.dimension == Dimension::TORQUE);
        if !is_torque || limit.band.contains(amount.last) {
            continue;
        }
        let name = words::fold(done.name.span.text(case.text()));
        let over = limit.band.hi.is_some_and(|hi| amount.last > hi);
        let message = format!(
            "`{name}`: {}{} is {} than {} takes, {}",
            words::figure(amount.last, amount.unit),
            words::also_in(amount.last, amount.unit, limit.unit),
            if over { "more" } else { "less" },
            size.to_uppercase(),
            limit.words()
        );
        let finding = Finding::new("step.thread", Severity::Doubt, amount.span, message)
            .see(said.span, "the thread")
            .label(if over { "too much for this thread?" } else { "little for this thread?" })
            .help("look at the figure, its unit and the size of the thread; what the workshop manual gives for this joint counts, and is written in the manual's step");
        out.push(case.with_limit(finding, limit));
    }
}

const MANUAL: &str =
    "manual m\nsource page 1\nfeature M8 torque\n  build 20 to 28 N·m\nprocedure cover\n  step tighten cover\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "step.thread",
    severity: "doubt",
    says: "A torque is more, or less, than the thread that the step names usually takes.",
    why: "Foot-pounds for newton metres, or the figure of another bolt: a thread that is overtightened gives way later.",
    source: "the manual's `M8 torque`; common practice, no source",
    fires: Example {
        manual: MANUAL,
        log: "job x\nmanual m\n2026-03-14 build\ndid tighten cover, 8 bolts M8, torque 38 N·m\n",
    },
    clean: Example {
        manual: MANUAL,
        log: "job x\nmanual m\n2026-03-14 build\ndid tighten cover, 8 bolts M8, torque 24 N·m\n",
    },
}];
