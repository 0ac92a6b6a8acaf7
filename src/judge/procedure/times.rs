//! When something was done: by the date of its day, and by the clock times that are written.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::model::manual::Wait;
use crate::order::State;

/// Minutes of a day.
const DAY: i64 = 24 * 60;

/// The hours in which a workshop works, minutes since midnight: a line without a time was done between them. Common practice, no source.
const WORK: (i64, i64) = (6 * 60, 22 * 60);

/// From when to when something may have been done, in minutes since a day far back. A line with a time is done at that minute; one without lies between
/// the times above and below it on the same date, and within working hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// At the earliest.
    pub from: i64,
    /// At the latest.
    pub to: i64,
}

impl Moment {
    /// When an event happened; `None` where it stands under no date.
    pub fn of(case: &Case<'_>, event: usize) -> Option<Moment> {
        let date = case.job.date(event)?;
        let midnight = days(date)?.checked_mul(DAY)?;
        let clock = |event: usize| Some(i64::from(case.job.events.get(event)?.time?));
        if let Some(time) = clock(event) {
            return Some(Moment {
                from: midnight + time,
                to: midnight + time,
            });
        }
        let on_date = |event: &usize| case.job.date(*event) == Some(date);
        let above = (0..event).rev().take_while(on_date).find_map(clock);
        let below = (event + 1..case.job.events.len()).take_while(on_date).find_map(clock);
        let from = midnight + above.unwrap_or_else(|| WORK.0.min(below.unwrap_or(DAY)));
        let latest = below.unwrap_or_else(|| WORK.1.max(above.unwrap_or(0)));
        Some(Moment {
            from,
            to: (midnight + latest).max(from),
        })
    }
}

fn days(date: Date) -> Option<i64> {
    let span = Date::constant(1900, 1, 1).until(date).ok()?;
    Some(i64::from(span.get_days()))
}

/// What the times of two events make of a wait: `None` where it is kept, or where nothing is dated; `Open` where what is written does not tell.
pub fn state(case: &Case<'_>, wait: &Wait, from: usize, to: usize) -> Option<State> {
    let (first, second) = (Moment::of(case, from)?, Moment::of(case, to)?);
    let least = Decimal::from((second.from - first.to).max(0).checked_mul(60)?);
    let most = Decimal::from((second.to - first.from).max(0).checked_mul(60)?);
    let (kept, broken) = if wait.is_least {
        (least >= wait.time, most < wait.time)
    } else {
        (most <= wait.time, least > wait.time)
    };
    match (kept, broken) {
        (true, _) => None,
        (_, true) => Some(State::Broken),
        _ => Some(State::Open),
    }
}
