//! A new part against its nominal figure, where nothing gives a tolerance.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::quantity::Dimension;

use super::shared::walk::latest_readings;
use super::slips;

/// General tolerances of ISO 2768-1, class f (fine): up to this length, this much either way; mm. Values from memory.
const GENERAL: &[(i64, (i64, u32))] = &[
    (6, (5, 2)),
    (30, (10, 2)),
    (120, (15, 2)),
    (400, (20, 2)),
    (1000, (30, 2)),
    (2000, (50, 2)),
];

/// Holds what came in against its nominal figure.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (index, reading, instance) in latest_readings(case) {
        off_nominal(case, index, reading, instance, out);
    }
}

fn off_nominal(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance, out: &mut Vec<Finding>) {
    let Some(feature) = case.feature(instance) else { return };
    let Some(nominal) = feature.nominal.as_ref().filter(|n| n.band.is_exact()) else {
        return;
    };
    let at_goods_in = case.stage(reading.event).key == "goods in";
    if !at_goods_in || case.limit_of(reading).is_some() || nominal.unit.dimension != Dimension::LENGTH {
        return;
    }
    let (Some(size), Some(measured)) = (nominal.band.lo, case.measured(index, Which::Whole)) else {
        return;
    };
    let general = GENERAL
        .iter()
        .find(|(up_to, _)| size.abs() <= Decimal::from(*up_to))
        .map(|(_, (digits, scale))| Decimal::new(*digits, *scale));
    let Some(tolerance) = general else { return };
    let Some(off) = measured.best.checked_sub(size) else {
        return;
    };
    if off.abs() <= tolerance {
        return;
    }
    let name = words::subject(case, instance);
    let way = if off.is_sign_negative() { "short of" } else { "over" };
    let is_figure = reading.kind == ReadingKind::Single;
    // Three times the tolerance off is no slack of the maker's.
    if let Some(point) = reading.points.first().filter(|_| is_figure)
        && off.abs() > tolerance.saturating_mul(Decimal::from(3))
    {
        let meant = slips::meant(case, reading, instance, point, |figure| {
            figure.checked_sub(size).is_some_and(|d| d.abs() <= tolerance)
        });
        if !meant.is_empty() {
            let why = format!("{name} is far from its nominal {}", nominal.words());
            let finding = slips::finding(case, reading, instance, point, &meant, &why);
            out.push(case.with_limit(finding, nominal));
            return;
        }
    }
    let message = format!(
        "{name} measures {}: {} {way} its nominal {}; no tolerance is given",
        words::reading(case, reading),
        words::difference(off.abs(), reading.unit),
        nominal.words()
    );
    let finding = Finding::new("part.nominal", Severity::Doubt, reading.figure_span, message)
        .label("not what it is made to")
        .help(format!(
            "look whether it is the right part; if it is, write what is allowed in the manual: `nominal {} ± …`; ± {} is what ISO 2768-1 f allows where nothing is said",
            nominal.words(),
            words::difference(tolerance, Some(nominal.unit))
        ));
    out.push(case.with_limit(finding, nominal));
}

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "part.nominal",
    severity: "doubt",
    says: "A part was measured at goods in and is off its nominal figure, and no tolerance is given for it.",
    why: "A superseded number, or the part of another model, is often a few tenths off. Where the manual gives a tolerance or a limit, that is used; where it \
              gives only the nominal figure, the general tolerance of ISO 2768-1, class f, stands in.",
    source: "ISO 2768-1:1989, table 1, class f; values from memory",
    fires: Example {
        manual: "manual m\nsource page 1\nfeature pin length\n  nominal 60.00 mm\n",
        log: "job x\nmanual m\n2026-03-14 goods in\npin length = 59.75 mm\n",
    },
    clean: Example {
        manual: "manual m\nsource page 1\nfeature pin length\n  nominal 60.00 mm\n",
        log: "job x\nmanual m\n2026-03-14 goods in\npin length = 59.90 mm\n",
    },
}];
