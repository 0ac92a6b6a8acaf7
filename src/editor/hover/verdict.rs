//! A figure held against its limit, in words: in with how much to spare, out by how much, or what is missing to be sure.

use rust_decimal::Decimal;

use super::card::plain;
use super::manual_name;
use crate::judge::words;
use crate::metrology::{Correction, Measured};
use crate::model::Book;
use crate::model::limit::Limit;
use crate::quantity::{Band, Unit, Verdict};
use crate::uncertainty::{Decision, Estimate};

/// What adds less to the doubt than this share is not told.
const SMALL: f64 = 0.05;
/// So many causes of doubt are told.
const MOST_CAUSES: usize = 3;

/// A limit with where it comes from: `build 0.35 to 0.50 mm; source: page 41 (tarn-250)`.
pub(super) fn limit_line(limit: &Limit, book: &Book) -> String {
    let stage = if limit.stage.is_empty() {
        "tolerance"
    } else {
        &limit.stage
    };
    let source = match &limit.source {
        Some(source) => format!("source: {}", plain(source)),
        None => "no source is given".to_owned(),
    };
    let thumb = if limit.is_advisory() { ", a rule of thumb" } else { "" };
    format!(
        "{} {}; {source}{thumb} ({})",
        plain(stage),
        limit.words(),
        manual_name(book, limit.manual)
    )
}

/// The verdict with the room to spare, or with what is missing. `bare` is the figure without its uncertainty, `allowed` what the limit lets pass.
pub(super) fn verdict_line(decision: &Decision, bare: &Band, allowed: &Band, unit: Option<&'static Unit>) -> String {
    let over = beyond(bare.hi, allowed.hi);
    let under = beyond(allowed.lo, bare.lo);
    let far = |distance: Decimal| words::difference(distance, unit);
    let mut line = match decision.verdict {
        Verdict::In => {
            // How far the nearer end of the limit is: less than nothing beyond.
            let room = [(over, "above"), (under, "below")]
                .into_iter()
                .filter_map(|(distance, side)| Some((-distance?, side)))
                .min_by_key(|(room, _)| *room);
            match room {
                Some((room, _)) if room.is_zero() => "**in**, with nothing to spare".to_owned(),
                Some((room, side)) if room.is_sign_positive() => format!("**in**, {} to spare {side}", far(room)),
                _ => "**in**".to_owned(),
            }
        }
        Verdict::Out => {
            let least_over = beyond(bare.lo, allowed.hi).filter(|d| d.is_sign_positive());
            let least_under = beyond(allowed.lo, bare.hi).filter(|d| d.is_sign_positive());
            let at_least = if bare.is_exact() { "" } else { "at least " };
            match (least_over, least_under) {
                (Some(distance), _) if !distance.is_zero() => format!("**out**, {at_least}{} over", far(distance)),
                (_, Some(distance)) if !distance.is_zero() => format!("**out**, {at_least}{} under", far(distance)),
                // What does not go at the limit itself is less than that.
                (Some(_), _) => "**out**, over".to_owned(),
                (_, Some(_)) => "**out**, under".to_owned(),
                _ => "**out**".to_owned(),
            }
        }
        Verdict::NotProven => {
            let missing = [(over, "over"), (under, "under")]
                .into_iter()
                .filter_map(|(distance, side)| Some((distance?, side)))
                .filter(|(distance, _)| distance.is_sign_positive() && !distance.is_zero())
                .max_by_key(|(distance, _)| *distance);
            match missing {
                Some((distance, side)) => format!("**not proven**: it may be {} {side}", far(distance)),
                None if bare.hi.is_none() => "**not proven**: nothing says how large it may be".to_owned(),
                None if bare.lo.is_none() => "**not proven**: nothing says how small it may be".to_owned(),
                None => "**not proven**: the limit lies inside its uncertainty".to_owned(),
            }
        }
    };
    if decision.is_close {
        line.push_str(", but too close to call");
    }
    line.push_str(&words::likely("; ", decision));
    line
}

/// How far the first lies above the second; `None` if one is missing or they are too large.
fn beyond(first: Option<Decimal>, second: Option<Decimal>) -> Option<Decimal> {
    first?.checked_sub(second?)
}

/// How sure a figure is, and what makes it unsure.
pub(super) fn doubt_lines(estimate: &Estimate, measured: &Measured, unit: Option<&'static Unit>) -> Vec<String> {
    if estimate.below.is_zero() && estimate.above.is_zero() {
        return Vec::new();
    }
    let mut lines = vec![format!("known to be {}", words::known(estimate, unit))];
    let shares = measured.budget.merged();
    let total: f64 = shares.iter().map(|share| share.effect().powi(2)).sum();
    // One cause of several errors (a zero and both ends of a swing) is told once.
    let mut parts: Vec<(&str, f64)> = Vec::new();
    for share in &shares {
        let cause = share.source.origin.cause.words();
        let part = share.effect().powi(2) / total;
        match parts.iter_mut().find(|(known, _)| *known == cause) {
            Some((_, sum)) => *sum += part,
            None => parts.push((cause, part)),
        }
    }
    parts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let causes: Vec<String> = parts
        .iter()
        .filter(|(_, part)| *part >= SMALL)
        .take(MOST_CAUSES)
        .map(|(cause, part)| format!("{cause} {:.0} %", part * 100.0))
        .collect();
    if !causes.is_empty() {
        lines.push(format!("doubt from: {}", causes.join(", ")));
    }
    lines
}

/// What was taken off a figure or added to it.
pub(super) fn correction_line(correction: &Correction, unit: Option<&'static Unit>) -> String {
    let amount = match correction {
        Correction::Zero(zero) => -*zero,
        Correction::PartTemperature(_, by) | Correction::ToolTemperature(_, by) => *by,
    };
    let size = words::difference(amount.abs(), unit);
    let way = if amount.is_sign_negative() {
        "taken off"
    } else {
        "added"
    };
    match correction {
        Correction::Zero(_) => format!("corrected: {size} {way}, what the tool shows at zero"),
        Correction::PartTemperature(at, _) => format!(
            "corrected: {size} {way}, the part was at {} and is brought to 20 °C",
            words::celsius(*at)
        ),
        Correction::ToolTemperature(at, _) => {
            format!("corrected: {size} {way}, the tool was at {}", words::celsius(*at))
        }
    }
}
