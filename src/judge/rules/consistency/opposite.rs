//! Opposite points of a ring.

use rust_decimal::Decimal;

use super::room;
use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::rules::slips;
use crate::judge::slip::Repair;
use crate::judge::words;
use crate::metrology::{Measured, Which};
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::quantity::Dimension;

/// Run-out and width over webs at four points: the two opposite pairs must come to the same sum, since one axis tilts or stands off as a whole.
pub(super) fn check(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance, out: &mut Vec<Finding>) {
    let is_length = reading.unit.is_some_and(|unit| unit.dimension == Dimension::LENGTH);
    let name = case
        .feature(instance)
        .map_or(instance.name.key.as_str(), |f| f.name.key.as_str());
    let is_plane = ["run-out", "runout", "r/o", "width"]
        .iter()
        .any(|word| name.split(' ').any(|own| own == *word));
    if reading.kind != ReadingKind::Ring || !is_length || !is_plane || reading.angles.len() != reading.points.len() {
        return;
    }
    let pairs = pairs(reading);
    let [(a, b), (c, d)] = pairs.as_slice() else { return };
    let known: Option<Vec<Measured>> = [*a, *b, *c, *d]
        .into_iter()
        .map(|point| case.measured(index, Which::Point(point)))
        .collect();
    let Some([first, second, third, fourth]) = known.as_deref() else {
        return;
    };
    let sum = |x: &Measured, y: &Measured| x.best.checked_add(y.best);
    let (Some(one), Some(other)) = (sum(first, second), sum(third, fourth)) else {
        return;
    };
    let total = |x: &Measured, y: &Measured| Measured {
        budget: x.budget.clone().add(y.budget.clone()),
        ..x.clone()
    };
    let step = reading.points.iter().map(|p| p.half_step).max().unwrap_or_default();
    let Some(room) = room(&total(first, second), &total(third, fourth), [step, step]) else {
        return;
    };
    let Some(off) = one.checked_sub(other).map(|d| d.abs()).filter(|off| *off > room) else {
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
        angle(*a),
        angle(*b),
        words::figure(one, reading.unit),
        angle(*c),
        angle(*d),
        words::figure(other, reading.unit)
    );
    // The one point that a usual slip brings into line with the other three.
    let mended: Vec<(&Point, Vec<Repair>)> = [
        (*a, second, other),
        (*b, first, other),
        (*c, fourth, one),
        (*d, third, one),
    ]
    .into_iter()
    .filter_map(|(point, partner, wanted)| {
        let point = reading.points.get(point)?;
        let target = wanted.checked_sub(partner.best)?;
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
    let message = format!("{why}: {} apart", words::difference(off, reading.unit));
    out.push(
        Finding::new("reading.opposite", Severity::Doubt, reading.figure_span, message)
            .label("opposite points must come to the same sum")
            .help("the dial has moved, one point was misread, or the journal is not round: go round again without touching the dial"),
    );
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
