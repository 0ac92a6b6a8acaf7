//! Slips among siblings: of figures that should be alike, one that stands apart, by just as much as a usual slip makes.

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{Flags, Repair, Slip, digits_too_fine, repairs};
use crate::judge::words;
use crate::metrology::sources::step_of;
use crate::model::instruments::instrument;
use crate::model::job::{EventKind, Instance, Point, Reading, ReadingKind};
use crate::quantity::{Dimension, Unit, Verdict, number};

/// A figure with a slip in it, seen by its siblings.
#[derive(Clone, Debug)]
pub struct Slipped {
    /// The figure.
    pub point: Point,
    /// What was probably meant, the likeliest first; none where no usual slip explains it.
    pub meant: Vec<Repair>,
    /// What its siblings say, in base units.
    pub others: Decimal,
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
        out.push(apart_finding(case, latest, instance, slipped));
    }
}

/// What is said of a figure that stands apart: the slip that explains it, or that it does.
pub(super) fn apart_finding(case: &Case<'_>, reading: &Reading, instance: &Instance, slipped: &Slipped) -> Finding {
    let name = words::subject(case, instance);
    if !slipped.meant.is_empty() {
        let why = format!("{name} has one figure far from the others");
        return finding(case, reading, instance, &slipped.point, &slipped.meant, &why);
    }
    let message = format!(
        "{name} has one figure far from the others: {} beside {}",
        words::figure(slipped.point.best, reading.unit),
        words::figure(slipped.others, reading.unit)
    );
    Finding::new("reading.apart", Severity::Doubt, slipped.point.span, message)
        .label("one of them is wrong, or something is the matter here")
        .help("read it again; if it was misread, mend it with `fix … OLD -> NEW`; if it stands, say why: `fix …, because …`")
}

/// Every reading with a figure that stands apart from its siblings: the other repeats, the other points of its ring, the other cells of its table,
/// the latest readings of its feature at other places and parts.
pub fn among_siblings(case: &Case<'_>) -> FxHashMap<usize, Slipped> {
    let mut found = FxHashMap::default();
    for (index, reading) in case.job.readings.iter().enumerate() {
        if reading.points.len() > 1 && matches!(reading.kind, ReadingKind::Repeats | ReadingKind::Ring) {
            let all: Vec<(usize, &Point)> = reading.points.iter().map(|point| (index, point)).collect();
            note(case, &all, Kind::Line, &mut found);
        }
    }
    for event in &case.job.events {
        if let EventKind::Readings(range) = &event.kind
            && range.len() > 2
        {
            let cells: Vec<(usize, &Point)> = range.clone().filter_map(|index| single(case, index)).collect();
            for cells in by_part(case, cells) {
                note(case, &cells, Kind::Table, &mut found);
            }
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
        for latest in by_part(case, latest) {
            note(case, &latest, Kind::Places, &mut found);
        }
    }
    found
}

/// How figures are siblings.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Repeats, or the points of a ring.
    Line,
    /// Cells of one table.
    Table,
    /// Readings of one feature at other places, on lines of their own.
    Places,
}

impl Kind {
    /// How many others must agree before one is called apart. On lines of their own they may well differ, so more of them must.
    fn agreeing(self) -> usize {
        match self {
            Kind::Line => 1,
            Kind::Table => 2,
            Kind::Places => 3,
        }
    }
}

/// The same, parted by what they are of: two cylinders may well have pistons of two sizes.
fn by_part<'p>(case: &Case<'_>, all: Vec<(usize, &'p Point)>) -> Vec<Vec<(usize, &'p Point)>> {
    let part = |index: usize| {
        let instance = case.job.readings.get(index).and_then(|r| case.instance(r));
        instance.and_then(|i| i.part.as_ref().map(|p| p.key.as_str()))
    };
    let mut places: FxHashMap<Option<&str>, usize> = FxHashMap::default();
    let mut groups: Vec<Vec<(usize, &Point)>> = Vec::new();
    for (index, point) in all {
        let place = *places.entry(part(index)).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(list) => list.push((index, point)),
            None => groups.push(vec![(index, point)]),
        }
    }
    groups
}

/// The figure of a reading that has just one.
fn single<'c>(case: &'c Case<'_>, index: usize) -> Option<(usize, &'c Point)> {
    let reading = case.job.readings.get(index)?;
    let point = reading.points.first()?;
    (reading.kind == ReadingKind::Single).then_some((index, point))
}

/// Notes the one figure that stands apart from the others, of which enough agree.
fn note(case: &Case<'_>, all: &[(usize, &Point)], kind: Kind, found: &mut FxHashMap<usize, Slipped>) {
    if all.len() <= kind.agreeing() {
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
    for (end, others) in ends {
        let (Some(end), Some(others)) = (end, others) else {
            continue;
        };
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
        let mut meant = meant(case, own, instance, point, |figure| apart(figure, middle) <= near);
        // Of two figures nobody can tell which is wrong, unless the limit can.
        if others.len() == 1 {
            let limit = case.limit_of(own).map(|limit| limit.band);
            match limit {
                Some(limit) if limit.contains(middle) && !limit.contains(end) => {}
                Some(limit) if limit.contains(end) && !limit.contains(middle) => continue,
                _ => meant.clear(),
            }
        }
        if meant.is_empty() && (kind == Kind::Places || own.reason().is_some()) {
            continue;
        }
        found.entry(*index).or_insert(Slipped {
            point: **point,
            meant,
            others: middle,
        });
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
    let declared = reading.tool_index.and_then(|tool| case.job.tools.get(tool));
    let named = || reading.tool.as_ref().and_then(|tool| instrument(&tool.key));
    let kind = declared.map_or_else(named, |tool| tool.instrument());
    let flags = Flags {
        run_out: case.is_run_out(reading),
        no_thimble: kind.is_some_and(|kind| !kind.has_thimble()),
        meant_in: case.feature(instance).and_then(|feature| feature.shown_in()),
    };
    let mut list = repairs(point.written, reading.unit, flags, plausible);
    // What the tool could not have shown was not meant.
    if let Some(step) = step_of(case.job, reading) {
        list.retain(|repair| {
            let own = repair.unit.map(|u| u.symbol) == reading.unit.map(|u| u.symbol);
            !own || !digits_too_fine(repair.figure, repair.unit, step)
        });
    }
    list
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
    // As many decimals as were written, so that 59.90 is not mended to 59.9.
    let padded = |figure: Decimal, unit: Option<&'static Unit>| {
        let figure = number::padded(figure, point.written.scale());
        format!("{figure} {}", unit.map_or("", |u| u.label())).trim().to_owned()
    };
    let was = padded(point.written, reading.unit);
    let shown = |repair: &Repair| padded(repair.figure, repair.unit);
    let Some(first) = meant.first() else {
        return Finding::new("reading.slip", Severity::Fault, point.span, format!("{why}: {was}"));
    };
    let mut message = format!("{why}: {was} is probably {} ({})", shown(first), first.what);
    if let Some(second) = meant.get(1) {
        message.push_str(&format!(", or {} ({})", shown(second), second.what));
    }
    let line = format!(
        "fix {} {} -> {}, {}",
        words::target(case, instance),
        point.span.text(case.text()).trim(),
        shown(first),
        first.what
    );
    // `1:50` for `50:1` is understood by everyone; it only reads better the other way.
    let severity = if first.slip == Slip::Turned {
        Severity::Doubt
    } else {
        Severity::Fault
    };
    Finding::new("reading.slip", severity, point.span, message)
        .label(first.what.clone())
        .help(format!(
            "look at the part and the tool again; if it was misread, add `{line}`"
        ))
        .fix(case.add_line_below_reading(reading, &line))
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "reading.apart",
        severity: "doubt",
        says: "Of repeats, of a ring or of a table one figure stands far from all the others, and no usual slip explains it.",
        why: "The others agree within a few hundredths of a millimetre (or a fiftieth of the figure), and this one is off by three tenths (or a fifth) and more. It was misread, \
              or something is the matter at that spot; a mean over all of them says nothing.",
        source: "common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature spring length\n  build 30.0 to 33.0 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nspring length = 31.22 31.21 31.87 31.22 31.21 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature spring length\n  build 30.0 to 33.0 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nspring length = 31.22 31.21 31.23 31.22 31.21 mm\n",
        },
    },
    Rule {
        code: "reading.slip",
        severity: "fault; doubt for a ratio turned round",
        says: "A figure is implausible, and a usual slip explains it: a turn of the thimble, a frame, the decimal point, two digits, one digit, the unit, a needle \
               read for an eccentricity.",
        why: "It is only claimed where the figure as written is implausible, by its limit, its nominal figure, its siblings, an earlier reading of the same thing or the sum \
              that rests on it, and what was probably meant is plausible. A missed turn of the thimble is exactly 0.50 mm, the wrong frame 25 mm or an inch. The likeliest \
              figure is offered; only a second look at the part can say.",
        source: "arithmetic; common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.065 to 24.085 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.576 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.065 to 24.085 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.576 mm\nfix pin diameter 24.576 -> 24.076 mm, thimble misread\n",
        },
    },
];
