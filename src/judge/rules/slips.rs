//! Slips among siblings: of figures that should be alike, one that stands apart, by just as much as a usual slip makes.

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{Flags, Repair, repairs};
use crate::judge::words;
use crate::model::job::{EventKind, Instance, Point, Reading, ReadingKind};
use crate::quantity::{Dimension, Verdict};

/// A figure with a slip in it, seen by its siblings.
#[derive(Clone, Debug)]
pub struct Slipped {
    /// The figure.
    pub point: Point,
    /// What was probably meant, the likeliest first; at least one.
    pub meant: Vec<Repair>,
}

/// Says every slip that only the siblings show; where a limit shows it too, it is said there.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for instance in &case.job.instances {
        let Some((index, latest)) = case.latest(instance) else {
            continue;
        };
        let Some(slipped) = case.slipped.get(&index) else {
            continue;
        };
        let told_by_limit = match case.decision(index) {
            Some(decision) => decision.verdict != Verdict::In || decision.is_close,
            None => false,
        };
        if case.is_left(instance) || told_by_limit {
            continue;
        }
        let why = format!("{} stands apart from its siblings", words::subject(case, instance));
        out.push(finding(case, latest, instance, &slipped.point, &slipped.meant, &why));
    }
}

/// Every reading with a figure that stands apart from its siblings: the other repeats, the other points of its ring, the other cells of its table,
/// the latest readings of its feature at other places and parts.
pub fn among_siblings(case: &Case<'_>) -> FxHashMap<usize, Slipped> {
    let mut found = FxHashMap::default();
    for (index, reading) in case.job.readings.iter().enumerate() {
        if reading.points.len() > 1 && matches!(reading.kind, ReadingKind::Repeats | ReadingKind::Ring) {
            let all: Vec<(usize, &Point)> = reading.points.iter().map(|point| (index, point)).collect();
            note(case, &all, 1, &mut found);
        }
    }
    for event in &case.job.events {
        if let EventKind::Readings(range) = &event.kind
            && range.len() > 2
        {
            let cells: Vec<(usize, &Point)> = range.clone().filter_map(|index| single(case, index)).collect();
            note(case, &cells, 2, &mut found);
        }
    }
    for instances in &case.by_feature {
        if instances.len() < 4 {
            continue;
        }
        let latest: Vec<(usize, &Point)> = instances
            .iter()
            .filter_map(|number| case.latest(case.job.instances.get(*number)?))
            .filter_map(|(index, _)| single(case, index))
            .collect();
        // On lines of their own they may well differ, so more of them must agree.
        note(case, &latest, 3, &mut found);
    }
    found
}

/// The figure of a reading that has just one.
fn single<'c>(case: &'c Case<'_>, index: usize) -> Option<(usize, &'c Point)> {
    let reading = case.job.readings.get(index)?;
    let point = reading.points.first()?;
    (reading.kind == ReadingKind::Single).then_some((index, point))
}

/// Notes the one figure that stands apart from the others, of which at least so many agree, if a slip explains it.
fn note(case: &Case<'_>, all: &[(usize, &Point)], agreeing: usize, found: &mut FxHashMap<usize, Slipped>) {
    if all.len() <= agreeing {
        return;
    }
    let Some(reading) = all.first().and_then(|(index, _)| case.job.readings.get(*index)) else {
        return;
    };
    let Some(unit) = reading.unit.filter(|unit| !unit.dimension.is_none()) else {
        return;
    };
    // The one far from the others is the least or the greatest; so no other is asked.
    let mut sorted: Vec<Decimal> = all.iter().map(|(_, point)| point.best).collect();
    sorted.sort();
    let ends = [
        (sorted.first().copied(), sorted.get(1..)),
        (sorted.last().copied(), sorted.get(..sorted.len().saturating_sub(1))),
    ];
    for (number, (end, others)) in ends.into_iter().enumerate() {
        let (Some(end), Some(others)) = (end, others) else {
            continue;
        };
        // Of two figures nobody can tell which is wrong; the larger one is, since a missed half turn or a moved point adds.
        if others.len() == 1 && number == 0 {
            continue;
        }
        let Some(middle) = others.get(others.len() / 2).copied() else {
            continue;
        };
        let Some((near, far)) = bounds(unit.dimension, middle) else {
            continue;
        };
        let agree = others.iter().all(|other| apart(*other, middle) <= near);
        if !agree || apart(end, middle) < far {
            continue;
        }
        let Some((index, point)) = all.iter().find(|(_, point)| point.best == end) else {
            continue;
        };
        let Some((own, instance)) = case
            .job
            .readings
            .get(*index)
            .and_then(|own| Some((own, case.instance(own)?)))
        else {
            continue;
        };
        let meant = meant(case, own, instance, point, |figure| apart(figure, middle) <= near);
        if !meant.is_empty() {
            found.entry(*index).or_insert(Slipped { point: **point, meant });
        }
    }
}

/// How near siblings lie to each other, and how far one must be away to stand apart. Lengths: 0.03 and 0.3 mm, which is less than half a millimetre
/// and more than wear; all else: a fiftieth and a fifth of the figure. Common practice, no source.
fn bounds(dimension: Dimension, middle: Decimal) -> Option<(Decimal, Decimal)> {
    if dimension == Dimension::LENGTH {
        return Some((Decimal::new(3, 2), Decimal::new(3, 1)));
    }
    let size = middle.abs();
    let near = size.checked_mul(Decimal::new(2, 2))?;
    let far = size.checked_mul(Decimal::new(2, 1))?;
    (!near.is_zero()).then_some((near, far))
}

/// How far two figures are apart; as far as can be if that does not fit.
fn apart(a: Decimal, b: Decimal) -> Decimal {
    a.checked_sub(b).map_or(Decimal::MAX, |d| d.abs())
}

/// What a figure was probably meant to be, the likeliest first. `plausible` takes base units.
pub(super) fn meant(
    case: &Case<'_>,
    reading: &Reading,
    instance: &Instance,
    point: &Point,
    plausible: impl Fn(Decimal) -> bool,
) -> Vec<Repair> {
    let name = case
        .feature(instance)
        .map_or(instance.name.key.as_str(), |f| f.name.key.as_str());
    let run_out = ["run-out", "runout", "r/o", "eccentricity"]
        .iter()
        .any(|word| name.contains(word));
    repairs(point.written, reading.unit, Flags { run_out }, plausible)
}

/// The finding for a slip, with the correction to add for the likeliest.
pub(super) fn finding(
    case: &Case<'_>,
    reading: &Reading,
    instance: &Instance,
    point: &Point,
    meant: &[Repair],
    why: &str,
) -> Finding {
    let was = words::figure(point.best, reading.unit);
    let shown = |repair: &Repair| {
        // As many decimals as were written, so that 59.90 is not mended to 59.9.
        let decimals = repair.figure.scale().max(point.written.scale()).min(9) as usize;
        let unit = repair.unit.map_or("", |u| u.label());
        format!("{:.decimals$} {unit}", repair.figure).trim().to_owned()
    };
    let Some(first) = meant.first() else {
        return Finding::new("reading.slip", Severity::Fault, point.span, format!("{why}: {was}"));
    };
    let mut message = format!("{why}: {was} is probably {} ({})", shown(first), first.what);
    if let Some(second) = meant.get(1) {
        message.push_str(&format!(", or {} ({})", shown(second), second.what));
    }
    let mut target = instance.name.span.text(case.text()).to_owned();
    for (word, name) in [(" of ", &instance.part), (" at ", &instance.place)] {
        if let Some(name) = name {
            target.push_str(word);
            target.push_str(&name.key);
        }
    }
    let line = format!(
        "fix {} {} -> {}, {}",
        words::fold(&target),
        point.span.text(case.text()).trim(),
        shown(first),
        first.what
    );
    Finding::new("reading.slip", Severity::Fault, point.span, message)
        .label(first.what.clone())
        .help(format!(
            "look at the part and the tool again; if it was misread, add `{line}`"
        ))
        .fix(case.add_line_below(reading.name_span, &line))
}

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "reading.slip",
    severity: "fault",
    says: "A figure is far out, and a usual slip explains it: half a millimetre, a frame, the decimal point, two digits, the unit.",
    why: "A missed turn of the thimble is exactly 0.50 mm, the wrong frame 25 mm or an inch, a foot-pound 1.36 N·m. The figure that was probably \
              meant is offered; only a second look at the part can say.",
    source: "arithmetic; common practice, no source",
    fires: Example {
        manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.065 to 24.085 mm\n",
        log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.576 mm\n",
    },
    clean: Example {
        manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.065 to 24.085 mm\n",
        log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.576 mm\nfix pin diameter 24.576 -> 24.076 mm, thimble misread\n",
    },
}];
