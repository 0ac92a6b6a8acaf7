//! A slip traced back: a sum that comes out far off, and the one reading of it that a usual slip explains.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};

use crate::calc::Worked;
use crate::judge::case::Case;
use crate::judge::finding::Finding;
use crate::judge::slip::{Repair, Slip};
use crate::judge::words;
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::quantity::{Band, Verdict};

use crate::judge::rules::slips;

/// A reading that a sum rests on, with what was probably meant by it.
pub struct Traced<'a> {
    /// Its number.
    pub index: usize,
    reading: &'a Reading,
    instance: &'a Instance,
    point: &'a Point,
    meant: Vec<Repair>,
}

impl Traced<'_> {
    /// Whether the figure as it stands is further from the feature's nominal one than what was probably meant.
    fn is_off_nominal(&self, case: &Case<'_>) -> bool {
        let nominal = case
            .feature(self.instance)
            .and_then(|feature| feature.nominal.as_ref()?.band.middle());
        let meant = self.meant.first().and_then(|repair| match repair.unit {
            Some(unit) => unit.to_base(repair.figure),
            None => Some(repair.figure),
        });
        let off = |figure: Decimal| Some(figure.checked_sub(nominal?)?.abs());
        off(self.point.best)
            .zip(meant.and_then(off))
            .is_some_and(|(now, then)| then < now)
    }

    /// The finding, with the correction to add.
    pub fn finding(&self, case: &Case<'_>, why: &str) -> Finding {
        slips::finding(case, self.reading, self.instance, self.point, &self.meant, why)
    }
}

/// What a sum is traced by.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// A figure that was written for it: a narrow aim, which few slips meet by accident.
    Figure,
    /// Its limit: a wide one, for which only the slips of instruments, points and units are claimed.
    Limit,
}

/// The readings of a sum that a usual slip explains: mended, the sum comes within `aim` (base units). Of several, those whose nominal figure speaks
/// for the slip, if there are any. A reading that its own limit has found in is not suspected.
pub fn traced<'a>(case: &Case<'a>, worked: &Worked, aim: &Band, by: By) -> Vec<Traced<'a>> {
    let mut asked: Vec<usize> = Vec::new();
    let mut found: Vec<Traced<'a>> = Vec::new();
    let figures = worked.resolved.leaves.iter().filter(|leaf| !leaf.is_beside);
    for index in figures.filter_map(|leaf| leaf.reading) {
        if !asked.contains(&index) {
            asked.push(index);
            found.extend(suspect(case, worked, index, aim, by));
        }
    }
    if found.len() > 1 && found.iter().any(|suspect| suspect.is_off_nominal(case)) {
        found.retain(|suspect| suspect.is_off_nominal(case));
    }
    found
}

/// What to look at where a slip in any of several readings would explain a sum; empty if there is none.
pub fn either(case: &Case<'_>, suspects: &[Traced<'_>]) -> String {
    let each: Vec<String> = suspects
        .iter()
        .filter_map(|suspect| {
            let repair = suspect.meant.first()?;
            let name = words::subject(case, suspect.instance);
            let was = words::figure(suspect.point.best, suspect.reading.unit);
            let unit = repair.unit.map_or("", |u| u.label());
            Some(format!("{name} {was} for {} {unit} ({})", repair.figure, repair.what))
        })
        .collect();
    if each.is_empty() {
        return String::new();
    }
    format!("a slip would explain it: {}; ", each.join(", or "))
}

fn suspect<'a>(case: &Case<'a>, worked: &Worked, index: usize, aim: &Band, by: By) -> Option<Traced<'a>> {
    let reading = case.job.readings.get(index)?;
    let instance = case.instance(reading)?;
    let [point] = reading.points.as_slice() else {
        return None;
    };
    if reading.kind != ReadingKind::Single || case.verdict(index) == Some(Verdict::In) {
        return None;
    }
    let limit = case.limit_of(reading).map(|limit| limit.band);
    let comes_right = |figure: Decimal| {
        let is_fine = limit.is_none_or(|limit| limit.contains(figure));
        let result = mended(worked, index, figure);
        // What the sum does not follow (the smaller of two in a `largest`) explains nothing.
        let nudged = figure
            .checked_add(point.half_step)
            .and_then(|figure| mended(worked, index, figure));
        is_fine && result.is_some_and(|result| aim.contains(result)) && result != nudged
    };
    let mut meant = slips::meant(case, reading, instance, point, comes_right);
    if by == By::Limit {
        meant.retain(|repair| !matches!(repair.slip, Slip::Digit | Slip::Indicator | Slip::Swapped));
    }
    (!meant.is_empty()).then_some(Traced {
        index,
        reading,
        instance,
        point,
        meant,
    })
}

/// What the sum comes to with another figure in the place of a reading, base units.
fn mended(worked: &Worked, index: usize, figure: Decimal) -> Option<Decimal> {
    let figure = figure.to_f64()?;
    let leaves = &worked.resolved.leaves;
    let result = worked.resolved.formula.float(&|leaf| match leaves.get(leaf) {
        Some(leaf) if leaf.reading == Some(index) && !leaf.is_beside => figure,
        Some(leaf) => leaf.measured.best.to_f64().unwrap_or(f64::NAN),
        None => f64::NAN,
    });
    // To nine decimals, so that the noise of floating point keeps nothing outside.
    Some(Decimal::from_f64(result)?.round_dp(9))
}
