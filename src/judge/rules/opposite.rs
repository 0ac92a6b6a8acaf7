//! Opposite points of a ring.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::Repair;
use crate::judge::words;
use crate::metrology::{Measured, Which};
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::quantity::Dimension;

use super::shared::room::room;
use super::shared::walk::latest_readings;
use super::slips;

/// Run-out and width over webs at four points: the two opposite pairs must come to the same sum, since one axis tilts or stands off as a whole.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (index, reading, instance) in latest_readings(case) {
        sums(case, index, reading, instance, out);
    }
}

fn sums(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance, out: &mut Vec<Finding>) {
    let is_length = reading.unit.is_some_and(|unit| unit.dimension == Dimension::LENGTH);
    let is_plane = case.is_run_out(reading) || case.key_of(instance).split(' ').any(|word| word == "width");
    if reading.kind != ReadingKind::Ring || !is_length || !is_plane || reading.angles.len() != reading.points.len() {
        return;
    }
    let Some((one, other)) = unlike(case, index, reading) else {
        return;
    };
    let subject = words::subject(case, instance);
    let angle = |point: usize| {
        reading
            .angles
            .get(point)
            .map_or_else(String::new, |a| a.normalize().to_string())
    };
    let why = format!(
        "{subject}: {}° + {}° come to {}, but {}° + {}° to {}",
        angle(one.first),
        angle(one.second),
        words::figure(one.sum, reading.unit),
        angle(other.first),
        angle(other.second),
        words::figure(other.sum, reading.unit)
    );
    let apart = one.sum.checked_sub(other.sum).map_or(Decimal::MAX, |d| d.abs());
    // The one point that a usual slip brings into line with the other three. Beside a figure as small as a run-out nearly any slip would.
    let room = one.room;
    let mended: Vec<(&Point, Vec<Repair>)> = [
        (one.first, one.second, other.sum),
        (one.second, one.first, other.sum),
        (other.first, other.second, one.sum),
        (other.second, other.first, one.sum),
    ]
    .into_iter()
    .filter_map(|(point, partner, wanted)| {
        let point = reading.points.get(point)?;
        let partner = case.measured(index, Which::Point(partner))?;
        let target = wanted.checked_sub(partner.best)?;
        let is_large = room
            .checked_mul(Decimal::from(20))
            .is_some_and(|least| point.best.abs() > least);
        if !is_large {
            return None;
        }
        let meant = slips::meant(case, reading, instance, point, |figure| {
            figure.checked_sub(target).is_some_and(|d| d.abs() <= room)
        });
        (!meant.is_empty()).then_some((point, meant))
    })
    .collect();
    if let [(point, meant)] = mended.as_slice() {
        out.push(slips::finding(case, reading, instance, point, meant, &why));
        return;
    }
    let message = format!("{why}: {} apart", words::difference(apart, reading.unit));
    out.push(
        Finding::new("reading.opposite", Severity::Doubt, reading.figure_span, message)
            .label("opposite points must come to the same sum")
            .help("the dial has moved, one point was misread, or the journal is not round: go round again without touching the dial"),
    );
}

/// Two opposite points and their sum.
struct Pair {
    first: usize,
    second: usize,
    sum: Decimal,
    /// How far two such sums may lie apart.
    room: Decimal,
}

/// The two pairs whose sums lie furthest apart, if that is more than their uncertainty.
fn unlike(case: &Case<'_>, index: usize, reading: &Reading) -> Option<(Pair, Pair)> {
    let mut sums: Vec<(usize, usize, Measured)> = Vec::new();
    for (first, second) in pairs(reading) {
        let (a, b) = (
            case.measured(index, Which::Point(first))?,
            case.measured(index, Which::Point(second))?,
        );
        let best = a.best.checked_add(b.best)?;
        let budget = a.budget.add(b.budget);
        sums.push((
            first,
            second,
            Measured {
                best,
                budget,
                between: None,
                corrections: Vec::new(),
            },
        ));
    }
    let least = sums.iter().min_by_key(|(.., sum)| sum.best)?;
    let most = sums.iter().max_by_key(|(.., sum)| sum.best)?;
    let step = reading.points.iter().map(|p| p.half_step).max()?;
    let room = room(&least.2, &most.2, [step, step])?;
    if most.2.best.checked_sub(least.2.best)? <= room {
        return None;
    }
    let pair = |(first, second, sum): &(usize, usize, Measured)| Pair {
        first: *first,
        second: *second,
        sum: sum.best,
        room,
    };
    // In the order of their angles.
    if least.0 < most.0 {
        Some((pair(least), pair(most)))
    } else {
        Some((pair(most), pair(least)))
    }
}

/// The pairs of points that lie half a turn apart.
fn pairs(reading: &Reading) -> Vec<(usize, usize)> {
    let half = Decimal::from(180);
    let mut list = Vec::new();
    for (first, angle) in reading.angles.iter().enumerate() {
        let wanted = angle.checked_add(half);
        if let Some(second) = reading.angles.iter().position(|other| Some(*other) == wanted) {
            list.push((first, second));
        }
    }
    list
}

const BENCH: &str = "manual m\nsource page 1\nfeature pin length\n  unit mm\nfeature web width\n  unit mm\nprocedure p\n  step press  disturbs web width; optional\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "reading.opposite",
    severity: "doubt",
    says: "Run-out or a width read at four points: the two opposite pairs do not come to the same sum.",
    why: "What stands off its axis or at an angle to it gains on one side what it loses on the other, so 0° and 180° together are as much as 90° and 270° \
              together. If they are not, the dial has moved, a point was misread, or the journal is not round.",
    source: "geometry; common practice, no source",
    fires: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 54.06 54.02 53.98 54.09 at 0 90 180 270 mm\n",
    },
    clean: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 54.06 54.02 53.98 54.03 at 0 90 180 270 mm\n",
    },
}];
