//! A slip traced back: a sum that comes out far off, and the one reading of it that a usual slip explains.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};

use super::slips;
use crate::calc::Worked;
use crate::judge::case::Case;
use crate::judge::finding::Finding;
use crate::judge::slip::{Repair, Slip};
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::quantity::{Band, Verdict};

/// A reading that a sum rests on, with what was probably meant by it.
pub(super) struct Traced<'a> {
    /// Its number.
    pub index: usize,
    reading: &'a Reading,
    instance: &'a Instance,
    point: &'a Point,
    meant: Vec<Repair>,
}

impl Traced<'_> {
    /// The finding, with the correction to add.
    pub(super) fn finding(&self, case: &Case<'_>, why: &str) -> Finding {
        slips::finding(case, self.reading, self.instance, self.point, &self.meant, why)
    }
}

/// What a sum is traced by.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// A figure that was written for it: a narrow aim, which few slips meet by accident.
    Figure,
    /// Its limit: a wide one, for which only the slips of instruments, points and units are claimed.
    Limit,
}

/// The one reading of a sum that a usual slip explains: mended, the sum comes within `aim` (base units). `None` if there is none, or several. A
/// reading that its own limit has found in is not suspected.
pub(super) fn traced<'a>(case: &Case<'a>, worked: &Worked, aim: &Band, by: By) -> Option<Traced<'a>> {
    let mut found: Option<Traced<'a>> = None;
    let mut asked: Vec<usize> = Vec::new();
    for leaf in &worked.resolved.leaves {
        if asked.contains(&leaf.reading) {
            continue;
        }
        asked.push(leaf.reading);
        let Some(suspect) = suspect(case, worked, leaf.reading, aim, by) else {
            continue;
        };
        if found.is_some() {
            return None;
        }
        found = Some(suspect);
    }
    found
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
        is_fine && mended(worked, index, figure).is_some_and(|result| aim.contains(result))
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
        Some(leaf) if leaf.reading == index => figure,
        Some(leaf) => leaf.measured.best.to_f64().unwrap_or(f64::NAN),
        None => f64::NAN,
    });
    // To nine decimals, so that the noise of floating point keeps nothing outside.
    Some(Decimal::from_f64(result)?.round_dp(9))
}
