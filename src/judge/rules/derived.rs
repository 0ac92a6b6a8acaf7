//! Derived features: worked out again, judged, and compared with what was written.

use std::collections::BTreeSet;

use rustc_hash::FxHashSet;

use crate::calc::{Reason, Scope, Worked, is_claim, work};
use crate::judge::case::Case;
use crate::judge::choices::{chosen, parts_to_choose};
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::metrology::Which;
use crate::model::book::FeatureId;
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::model::limit::Limit;
use crate::model::names::named;
use crate::quantity::{Band, Verdict, number};
use crate::uncertainty::estimate::decimal;

use super::limits::how_far;
use super::slips;
use super::traced::{By, either, traced};
use super::unworked;
use super::weight;
use crate::judge::finals::Final;
use crate::judge::slip::is_implausible;

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
pub(in crate::judge) fn worked_then(
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

/// A sum by hand that does not come to what is written.
fn wrong_sum(
    case: &Case<'_>,
    reading: &Reading,
    instance: &Instance,
    worked: &crate::model::job::Worked,
) -> Option<Finding> {
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

/// Compares a written or measured figure with the recalculation from the readings of that time.
fn compare(
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
            are_apart(&wide, &point.band) && are_apart(&corrected, &point.band),
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

/// Whether two bands have nothing in common.
fn are_apart(a: &Band, b: &Band) -> bool {
    a.hi.zip(b.lo).is_some_and(|(hi, lo)| lo > hi) || a.lo.zip(b.hi).is_some_and(|(lo, hi)| lo > hi)
}

/// Whether what was measured and what comes from the parts are further apart than the uncertainty of their difference (95 %).
fn disagree(case: &Case<'_>, reading: &Reading, worked: &Worked) -> Option<bool> {
    let measured = case.measured(case.index_of(reading)?, Which::Whole)?;
    let bare = measured.bare();
    let between = measured.budget.less(worked.budget.clone());
    let room = decimal(between.combined().expanded())?;
    let wide = bare.widen(room)?;
    Some(are_apart(&wide, &worked.bare()))
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

/// Judges a derived feature as it stands at the end.
fn judge(case: &Case<'_>, figure: &Final<'_>, suspects: &mut FxHashSet<usize>, out: &mut Vec<Finding>) {
    let worked = match &figure.result {
        Ok(worked) => worked,
        Err(Reason::Refused(impossible)) => {
            let finding = unworked::refused(case, figure, impossible, suspects);
            // Several sums may rest on the one bad figure: it is told once.
            let is_told = |finding: &Finding| {
                let mut told = out.iter().filter(|other| other.code == finding.code);
                told.any(|other| other.span == finding.span && other.message.ends_with(&impossible.why))
            };
            out.extend(finding.filter(|finding| !is_told(finding)));
            return;
        }
        Err(reason) => {
            if let Some(finding) = unworked::unworkable(case, figure, reason) {
                out.push(finding);
            }
            return;
        }
    };
    let Some(limit) = figure.limit else { return };
    // What is only one of several to choose from is no fault yet.
    if is_on_offer(case, figure) || figure.feature.is_ahead {
        return;
    }
    // What rests on a stale reading proves nothing, and what rests on a slip only repeats it.
    // A ring has one input a point; each reading is asked once.
    let readings: BTreeSet<usize> = worked.inputs.iter().copied().collect();
    let is_stale = |index: &usize| {
        let reading = case.job.readings.get(*index);
        reading.is_some_and(|r| case.is_overtaken(r.instance))
    };
    if readings.iter().any(is_stale) || suspect_input(case, worked, suspects).is_some() {
        return;
    }
    let (Some(latest), Some(decision)) = (case.latest_input(worked), figure.decision) else {
        return;
    };
    if let Some(event) = case.disturbed_sum(figure.id, figure.part, figure.place, latest.event) {
        out.push(super::evidence::stale_sum(case, figure, worked, event));
        return;
    }
    if weight::needs_no_word(&decision, limit) {
        return;
    }
    if figure.feature.is_lent {
        out.extend(foreseen(case, figure, worked, limit, latest));
        return;
    }
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let span = latest.figure_span;
    let unit = figure.feature.shown_in();
    let traced = if decision.verdict == Verdict::Out
        && is_implausible(worked.best, &limit.band)
        && !case.came_in_worn(latest.event)
    {
        traced(case, worked, &limit.band, By::Limit)
    } else {
        Vec::new()
    };
    if let [traced] = traced.as_slice() {
        suspects.insert(traced.index);
        let why = format!(
            "{name} comes to {}, far out of its limit of {}",
            words::band(&worked.bare(), unit),
            limit.words()
        );
        out.push(case.with_limit(traced.finding(case, &why), limit));
        return;
    }
    let Some(known) = figure.known() else { return };
    let shown = words::known(&known.estimate, unit);
    let likely = words::likely("; ", &decision);
    let limits = format!("{}, {}", limit.name(), limit.words());
    let label = format!("{name}: {shown}");
    let finding = match decision.verdict {
        Verdict::Out => {
            let severity = weight::of_out(case, latest.event, limit, false);
            let mut message = format!(
                "{name} comes to {}, {} ({} {})",
                words::band(&worked.bare(), unit),
                how_far(&worked.bare(), &limit.band, unit.unwrap_or(limit.unit)),
                limit.name(),
                limit.words()
            );
            if decision.is_close {
                message.push_str(&format!("; but the limit lies inside its uncertainty, {shown}{likely}"));
            }
            Finding::new("limit.out", severity, span, message).help(format!(
                "{}it is worked out from the readings shown with it: check them, then change a part or machine one",
                either(case, &traced)
            ))
        }
        Verdict::NotProven => {
            let severity = weight::of_unproven(case, latest.event, limit, figure.acceptance(case), false);
            let message = format!(
                "{name} is not proven: it comes to {shown}, which does not lie wholly within the {limits}{likely}"
            );
            Finding::new("limit.not-proven", severity, span, message)
                .help("measure the parts it rests on again with a finer tool")
        }
        Verdict::In => {
            let message = format!(
                "{name} is in, but too close to call: it comes to {shown}, which reaches over the {limits}{likely}"
            );
            Finding::new("limit.close", Severity::Doubt, span, message)
                .help("measure the parts it rests on again with a finer tool")
        }
    }
    .label(label);
    out.push(case.with_limit(rests_on(case, finding, worked), limit));
}

/// What will come out of its limit by the parts at hand, before it can be measured: a doubt, and no more said once it was measured.
fn foreseen(case: &Case<'_>, figure: &Final<'_>, worked: &Worked, limit: &Limit, latest: &Reading) -> Option<Finding> {
    let tie = figure.feature.limits_of.as_ref()?;
    let tied = case.rules.book.feature(&tie.to.key)?;
    let mut measured = case
        .instances_at(tied, None, None)
        .filter_map(|instance| case.latest(instance));
    let is_measured = measured.any(|(_, reading)| reading.event > latest.event && !case.is_overtaken(reading.instance));
    if is_measured || figure.decision?.verdict != Verdict::Out {
        return None;
    }
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let shown = words::known(&figure.known()?.estimate, figure.feature.shown_in());
    let message = format!(
        "{name} will come to {shown}, outside the {} of {} for {}",
        limit.name(),
        limit.words(),
        tie.to.name
    );
    let finding = Finding::new("ahead.out", Severity::Doubt, latest.figure_span, message)
        .label(format!("{name}: {shown}"))
        .help("look at the parts before they go together: another kit, another shim, or one of the readings is wrong; `gudgeon next` shows what there is to choose");
    Some(case.with_limit(rests_on(case, finding, worked), limit))
}

/// Whether a figure is that of one part among several, none of which was taken yet, or of one that another was taken for.
fn is_on_offer(case: &Case<'_>, figure: &Final<'_>) -> bool {
    let choice = figure.feature.choice.as_ref().filter(|choice| choice.stock.is_none());
    let Some((choice, part)) = choice.zip(figure.part) else {
        return false;
    };
    match chosen(case, choice) {
        Some(taken) => taken != part,
        None => parts_to_choose(case, choice).len() > 1,
    }
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
