//! Readings against their limits.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{is_implausible, repair};
use crate::judge::words;
use crate::model::job::{Instance, Point, Reading, ReadingKind, SaidKind};
use crate::model::limit::Limit;
use crate::quantity::{Band, Unit, Verdict, verdict};

use super::readings::{slip_among, slip_finding};

/// Judges the latest reading of every feature at every part and place. A reading that was overtaken proves nothing either way, so it is left to
/// the evidence rules.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut coarse_said: Vec<usize> = Vec::new();
    for (number, instance) in case.job.instances.iter().enumerate() {
        let Some((index, latest)) = case.latest(instance) else {
            continue;
        };
        let Some(limit) = case.limit_of(latest) else { continue };
        if case.is_left(instance) || super::derived::judges_instead(case, instance, latest) {
            continue;
        }
        if let Some(feature) = instance.feature
            && !coarse_said.contains(&feature)
            && let Some(finding) = too_coarse(case, latest, instance, limit)
        {
            coarse_said.push(feature);
            out.push(finding);
        }
        if case.overtaken.get(number).copied().flatten().is_some() {
            continue;
        }
        match case.verdicts.get(index).copied().flatten() {
            Some(Verdict::Out) => out.push(outside(case, latest, instance, limit)),
            Some(Verdict::NotProven) => out.push(not_proven(case, latest, instance, limit)),
            _ => {}
        }
    }
}

/// The point of a reading that is out, if it has several.
fn worst<'a>(reading: &'a Reading, limit: &Limit) -> Option<&'a Point> {
    reading
        .points
        .iter()
        .find(|p| verdict(&p.band, &limit.band) == Verdict::Out)
        .or_else(|| reading.points.first())
}

fn outside(case: &Case<'_>, reading: &Reading, instance: &Instance, limit: &Limit) -> Finding {
    let name = words::subject(case, instance);
    if let Some(point) = worst(reading, limit)
        && matches!(
            reading.kind,
            ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring
        )
        && is_implausible(point.best, &limit.band)
        && let Some(slip) = repair(point.written, reading.unit, |figure| limit.band.contains(figure))
    {
        let why = format!("{name} is far out of its limit of {}", limit.words());
        return case.with_limit(slip_finding(case, reading, instance, point, &slip, &why), limit);
    }
    let figure = words::reading(case, reading);
    let (severity, what) = weigh(case, reading, limit);
    let reason = reading.said.iter().find(|said| matches!(said.kind, SaidKind::Because));
    let message = format!(
        "{name} is {figure}, {} ({what} {})",
        how_far(&reading_band(reading), limit, reading.unit),
        limit.words()
    );
    let message = match reason {
        Some(reason) => format!("{message}; accepted {}", words::fold(reason.span.text(case.text()))),
        None => message,
    };
    let help = if reason.is_some() {
        "it stays in the record as out of limit, with the reason; whoever signs for the machine must know of it"
    } else if severity == Severity::Open {
        "decide what to do about it, and read it again when it is done; this reading cannot close the job"
    } else if limit.is_advisory() {
        "this limit is a rule of thumb: look for the machine's own figure, and put it in the workshop's manual"
    } else {
        "read it again to be sure; if it stands, put it right and write the new reading on a new line; if it is accepted as it is, add `fix …, because …`"
    };
    let label = if reading.points.len() > 1 {
        worst(reading, limit).map(|p| p.span)
    } else {
        None
    };
    let finding = Finding::new("limit.out", severity, label.unwrap_or(reading.figure_span), message)
        .label("out of limit")
        .help(help);
    case.with_limit(finding, limit)
}

fn reading_band(reading: &Reading) -> Band {
    reading.band().unwrap_or(Band::at_least(rust_decimal::Decimal::ZERO))
}

/// How much an out-of-limit reading weighs, and what to call the limit.
fn weigh(case: &Case<'_>, reading: &Reading, limit: &Limit) -> (Severity, String) {
    let name = limit.name();
    // Out, but accepted with a written reason: it is said, and does not stop the job.
    if reading.said.iter().any(|said| matches!(said.kind, SaidKind::Because)) {
        return (Severity::Doubt, name);
    }
    if limit.is_advisory() {
        return (Severity::Doubt, format!("rule of thumb, {name}:"));
    }
    // A machine comes in worn: that is what the job is for.
    let came_in_worn = case.stage(reading.event).is_service() && !case.is_closed();
    (if came_in_worn { Severity::Open } else { Severity::Fault }, name)
}

/// `0.15 mm over`, `at least 0.02 mm under`.
pub(super) fn how_far(band: &Band, limit: &Limit, unit: Option<&'static Unit>) -> String {
    let unit = unit.or(Some(limit.unit));
    let exact = band.is_exact();
    let over = limit
        .band
        .hi
        .zip(band.lo)
        .and_then(|(limit, lo)| lo.checked_sub(limit))
        .filter(|d| d.is_sign_positive() && !d.is_zero());
    let under = limit
        .band
        .lo
        .zip(band.hi)
        .and_then(|(limit, hi)| limit.checked_sub(hi))
        .filter(|d| !d.is_sign_negative());
    match (over, under) {
        (Some(far), _) if exact => format!("{} over", words::difference(far, unit)),
        (Some(far), _) => format!("at least {} over", words::difference(far, unit)),
        (None, Some(far)) if far.is_zero() => "under".to_owned(),
        (None, Some(far)) if exact => format!("{} under", words::difference(far, unit)),
        (None, Some(far)) => format!("at least {} under", words::difference(far, unit)),
        _ => "partly out".to_owned(),
    }
}

fn not_proven(case: &Case<'_>, reading: &Reading, instance: &Instance, limit: &Limit) -> Finding {
    let name = words::subject(case, instance);
    if let Some((point, slip)) = slip_among(reading) {
        let why = format!("{name} has one figure far from the others");
        return case.with_limit(slip_finding(case, reading, instance, &point, &slip, &why), limit);
    }
    let figure = words::reading(case, reading);
    let band = reading_band(reading);
    let covers = match reading.kind {
        ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring if !band.is_exact() => {
            format!("{figure} (somewhere from {})", words::band(&band, reading.unit))
        }
        _ => figure,
    };
    let help = match reading.kind {
        ReadingKind::Blades => "use blades with a finer step, so that both lie on one side of the limit",
        ReadingKind::OneBlade => "try the next blade too, and write both",
        ReadingKind::Range => "measure it closer, and write what was read",
        ReadingKind::Repeats => {
            "the repeats lie on both sides of the limit: clean, set the tool again, and read once more"
        }
        _ => "measure again with a finer tool; this one cannot tell on which side of the limit it lies",
    };
    let message = format!(
        "{name} is not proven: {covers} does not lie wholly within the {}, {}",
        limit.name(),
        limit.words()
    );
    let finding = Finding::new("limit.not-proven", Severity::Doubt, reading.figure_span, message)
        .label("the limit lies inside this")
        .help(help);
    case.with_limit(finding, limit)
}

/// Blades whose step is as wide as the limit: such a pair can never prove anything.
fn too_coarse(case: &Case<'_>, reading: &Reading, instance: &Instance, limit: &Limit) -> Option<Finding> {
    if reading.kind != ReadingKind::Blades {
        return None;
    }
    let step = reading.points.first()?.band.width()?;
    let room = limit.band.width()?;
    if step < room {
        return None;
    }
    let message = format!(
        "{}: the step between the blades, {}, is as wide as the whole limit, {}",
        words::subject(case, instance),
        words::difference(step, reading.unit),
        limit.words()
    );
    let finding = Finding::new("tool.coarse", Severity::Doubt, reading.figure_span, message)
        .label("such a step can hardly prove it")
        .help("use blades with steps of a quarter of the limit or less, or another tool");
    Some(case.with_limit(finding, limit))
}

const MANUAL: &str = "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n  service up to 0.60 mm\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "limit.out",
        severity: "fault; open for a machine that came in worn; doubt for a rule of thumb, or accepted with a reason",
        says: "The latest reading of a feature lies wholly outside its limit.",
        why: "The limit of the stage is used: build limits for new work, service limits for what came in. An earlier reading that was out and has been \
              read again is history and is not reported.",
        source: "the manual's own limit; it is named with the finding",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.55, no-go 0.60 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.55, no-go 0.60 mm\nside play = go 0.40, no-go 0.45 mm\n",
        },
    },
    Rule {
        code: "limit.not-proven",
        severity: "doubt",
        says: "The limit lies inside the band of the reading, so the reading proves neither in nor out.",
        why: "A blade that goes at 0.70 and one that does not at 0.80 leave everything between them open. With a limit of 0.70 the gap is at best exactly at it. \
              Measure again with something finer.",
        source: "ISO 14253-1: a measurement whose uncertainty holds the limit proves neither conformity nor nonconformity",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.48, no-go 0.53 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.45, no-go 0.48 mm\n",
        },
    },
    Rule {
        code: "tool.coarse",
        severity: "doubt",
        says: "The step between two blades is as wide as the limit they are to prove.",
        why: "Such a pair can only be in if both blades happen to be the two ends of the limit. A quarter of the limit is the usual least fineness.",
        source: "common practice, no source (4:1)",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature valve clearance\n  build 0.10 to 0.15 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nvalve clearance = go 0.10, no-go 0.15 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature valve clearance\n  build 0.10 to 0.15 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nvalve clearance = go 0.12, no-go 0.13 mm\n",
        },
    },
];
