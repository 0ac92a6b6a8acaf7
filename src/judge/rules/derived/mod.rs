//! Derived features: worked out again (`by_hand`, `compared`), judged (`judged`), and what is said where that cannot be done (`unworked`) or a slip in one
//! reading explains it (`traced`).

mod by_hand;
mod compared;
mod judged;
mod traced;
mod unworked;

use rustc_hash::FxHashSet;

use crate::calc::{Reason, Scope, Worked, is_claim, work};
use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Reading, ReadingKind};

use by_hand::wrong_sum;
use compared::compare;
use judged::judge;

/// Works every sum by hand and every derived feature again.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    // Readings that a sum has shown to hold a slip; what else rests on them only repeats it.
    let mut suspects: FxHashSet<usize> = FxHashSet::default();
    for reading in &case.job.readings {
        let Some(instance) = case.instance(reading) else {
            continue;
        };
        if reading.kind == ReadingKind::Sum(None) && !reading.points.is_empty() {
            let message = format!("{}: this sum cannot be worked again", words::subject(case, instance));
            out.push(
                Finding::new("calc.sum", Severity::Fault, reading.figure_span, message)
                    .label("what is divided by what, and in which unit?")
                    .help("look at the figures, and give all of them in units of one kind"),
            );
            continue;
        }
        if let ReadingKind::Sum(Some(worked)) = &reading.kind
            && let Some(finding) = wrong_sum(case, reading, instance, worked)
        {
            out.push(finding);
            // A figure that does not follow from its own sum disagrees with everything.
            continue;
        }
        if let Some(feature) = instance.feature.filter(|f| case.is_derived(*f))
            && !reading.points.is_empty()
        {
            compare(case, reading, instance, feature, &mut suspects, out);
        }
    }
    for figure in &case.finals {
        judge(case, figure, &mut suspects, out);
    }
}

/// Whether a written figure is left to the recalculation: it is a claim, and the sum can be worked.
pub fn judges_instead(case: &Case<'_>, instance: &Instance, reading: &Reading) -> bool {
    let Some(feature) = instance.feature.filter(|f| case.is_derived(*f)) else {
        return false;
    };
    is_claim(reading) && recalculated(case, instance, feature, None).is_some_and(|r| r.is_ok())
}

fn recalculated(
    case: &Case<'_>,
    instance: &Instance,
    feature: FeatureId,
    before: Option<usize>,
) -> Option<Result<Worked, Reason>> {
    let scope = Scope {
        before,
        part: instance.part.as_ref().map(|p| p.key.as_str()),
        place: instance.place.as_ref().map(|p| p.key.as_str()),
        left: &case.left,
        supposed: None,
    };
    work(case.rules, case.job, &case.by_feature, feature, scope)
}

/// A derived feature worked out from what was read when a figure of it was written.
pub fn worked_then(
    case: &Case<'_>,
    reading: &Reading,
    instance: &Instance,
    feature: FeatureId,
) -> Option<Result<Worked, Reason>> {
    let before = recalculated(case, instance, feature, Some(reading.event));
    // What it rests on may stand further down on the same day.
    match before {
        Some(Err(Reason::Missing(_) | Reason::Alone)) => {
            let day = case.job.events.get(reading.event).map(|e| e.day);
            let end = case
                .job
                .events
                .iter()
                .rposition(|e| Some(e.day) == day)
                .map(|last| last + 1);
            recalculated(case, instance, feature, end)
        }
        other => other,
    }
}

/// Adds the readings that decided a result.
fn rests_on(case: &Case<'_>, mut finding: Finding, worked: &Worked) -> Finding {
    let mut seen = Vec::new();
    for index in &worked.deciding {
        if seen.contains(index) || seen.len() >= 6 {
            continue;
        }
        seen.push(*index);
        if let Some(reading) = case.job.readings.get(*index)
            && let Some(instance) = case.instance(reading)
        {
            let best = reading
                .best()
                .map_or_else(String::new, |b| words::figure(b, reading.unit));
            finding = finding.see(
                reading.figure_span,
                format!("{} {best}", words::subject(case, instance)),
            );
        }
    }
    finding
}

/// The first reading a result rests on that is probably wrong itself: it stands apart from its siblings, or a sum has shown a slip in it.
fn suspect_input<'a>(case: &Case<'a>, worked: &Worked, suspects: &FxHashSet<usize>) -> Option<&'a Reading> {
    let is_suspect = |index: &&usize| case.slipped.contains_key(*index) || suspects.contains(*index);
    let index = worked.inputs.iter().find(is_suspect)?;
    case.job.readings.get(*index)
}

const MANUAL: &str = "manual m\nsource page 1\nunits mm\nfeature bore at top, bottom\n  unit mm\nfeature piston size\n  unit mm\n\
                      calc piston clearance = smallest(bore) - largest(piston size)\n  build 0.045 to 0.060 mm\n";

const SLIDER: &str = "manual m\nsource page 1\nunits mm\nfeature stroke\n  unit mm\nfeature rod length\n  unit mm\nfeature exhaust port height\n  unit mm\n\
    calc exhaust duration = port duration(exhaust port height, stroke, rod = rod length)\n  build 185 to 195 deg\n";

const PARTS: &str = "manual m\nsource page 1\nunits mm\nfeature side play\n  build 0.35 to 0.55 mm\nfeature pin length\n  unit mm\nfeature rod width\n  unit mm\n\
    feature web thickness at left, right\n  unit mm\n\
    calc side play expected = pin length - total(web thickness) - rod width\n  limits of side play\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "ahead.out",
        severity: "doubt",
        says: "By the parts at hand a figure will come out of its limit once they are together.",
        why: "What can be worked out before anything is pressed need not be found out behind it. It is silent once the thing itself was measured.",
        source: "arithmetic",
        fires: Example {
            manual: PARTS,
            log: "job x\nmanual m\n2026-03-14 goods in\npin length = 54.00 mm\nweb thickness = 19.02 19.00 mm at left right\nrod width = 15.20 mm\n",
        },
        clean: Example {
            manual: PARTS,
            log: "job x\nmanual m\n2026-03-14 goods in\npin length = 54.00 mm\nweb thickness = 19.02 19.00 mm at left right\nrod width = 15.53 mm\n",
        },
    },
    Rule {
        code: "calc.impossible",
        severity: "fault",
        says: "A figure that no machine can have, by a function of the trade.",
        why: "A rod shorter than half the stroke, the throw written for the stroke, a hub smaller than its bore: the function refuses it, and what would follow from \
              it is not worked out.",
        source: "the page of functions says where each holds",
        fires: Example {
            manual: SLIDER,
            log: "job x\nmanual m\n2026-03-14 build\nstroke = 27 mm\nrod length = 105 mm\nexhaust port height = 27.0 mm\n",
        },
        clean: Example {
            manual: SLIDER,
            log: "job x\nmanual m\n2026-03-14 build\nstroke = 54.0 mm\nrod length = 105 mm\nexhaust port height = 27.5 mm\n",
        },
    },
    Rule {
        code: "calc.disagrees",
        severity: "fault",
        says: "A figure written or measured for a derived feature does not agree with the readings it follows from.",
        why: "A sum done in the head is a claim. It is worked again from the readings that were there at the time; half a unit of the last written digit is allowed, \
              and the bands of the readings. Where it was measured too, one of the readings must be wrong, or a part is not home.",
        source: "arithmetic",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nbore at top = 72.010 mm\nbore at bottom = 72.012 mm\npiston size = 71.960 mm\npiston clearance = 0.055 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nbore at top = 72.010 mm\nbore at bottom = 72.012 mm\npiston size = 71.960 mm\npiston clearance = 0.050 mm\n",
        },
    },
    Rule {
        code: "calc.sum",
        severity: "fault",
        says: "A sum by hand does not come to what is written behind it.",
        why: "The terms are added again exactly. Which is wrong, the sum or the part that was fitted by it, only the bench can tell.",
        source: "arithmetic",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature side shim\n  build 1.50 to 2.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside shim = 2.05 - 0.19 = 1.76 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature side shim\n  build 1.50 to 2.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside shim = 2.05 - 0.19 = 1.86 mm\n",
        },
    },
    Rule {
        code: "calc.unworkable",
        severity: "doubt",
        says: "A derived feature cannot be worked out although its readings are there.",
        why: "A name in the sum means several readings where one is wanted, or the figures cannot be divided.",
        source: "arithmetic",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature bore at top, bottom\n  unit mm\nfeature piston size\n  unit mm\ncalc piston clearance = bore - piston size\n  build 0.045 to 0.060 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nbore at top = 72.010 mm\nbore at bottom = 72.012 mm\npiston size = 71.960 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nbore at top = 72.010 mm\nbore at bottom = 72.012 mm\npiston size = 71.960 mm\n",
        },
    },
];
