//! Machines over several jobs for people.

use rust_decimal::Decimal;

use super::{CAUTION, difference, digits, figure, meter_label, stretch};
use crate::history::{Among, History, How, Left, Life, Machine, Rate, Spot, Spread, Track};
use crate::quantity::{Unit, number};
use crate::report::visible::{one_line, wrap};
use crate::uncertainty::estimate::decimal;

/// The longest name that is printed.
const NAME: usize = 100;

/// Features without a rate that are named.
const FEATURES: usize = 12;

/// Rates from which on a test for outliers says much: Grubbs' is not for six or fewer (e-Handbook 1.3.5.17.1).
const MANY: usize = 7;

/// Readings of a life that are printed, the latest.
const READINGS: usize = 8;

/// A history for people.
pub fn text(history: &History, width: usize) -> String {
    let mut out = String::new();
    for machine in history.wanted() {
        of_machine(machine, width, &mut out);
        out.push('\n');
    }
    if !history.shop.is_empty() {
        out.push_str("over all lives of a model\n");
        for spread in &history.shop {
            of_spread(spread, &history.machines, width, &mut out);
        }
        out.push('\n');
    }
    for note in &history.notes {
        line(&one_line(note, 400), width, "", &mut out);
    }
    line(CAUTION, width, "", &mut out);
    out
}

fn line(prose: &str, width: usize, indent: &str, out: &mut String) {
    out.push_str(&wrap(prose, width, indent));
    out.push('\n');
}

/// A name out of a log, fit to be shown.
fn shown(name: &str) -> String {
    one_line(name, NAME)
}

fn of_machine(machine: &Machine, width: usize, out: &mut String) {
    line(&shown(&machine.name), width, "", out);
    let count = machine.jobs.len();
    let first = machine.jobs.iter().filter_map(|job| job.days).map(|days| days.0).min();
    let last = machine.jobs.iter().filter_map(|job| job.days).map(|days| days.1).max();
    let days = first
        .zip(last)
        .map_or(String::new(), |(first, last)| format!(", {first} to {last}"));
    let meter = machine.meter.map_or(String::new(), |(figure, unit)| {
        format!("; its meter last showed {} {}", number_of(figure), unit.label())
    });
    let jobs = if count == 1 { "job" } else { "jobs" };
    line(&format!("{count} {jobs}{days}{meter}"), width, "  ", out);
    for note in &machine.notes {
        line(&format!("note: {}", one_line(note, 400)), width, "  ", out);
    }
    let (told, bare): (Vec<&Track>, Vec<&Track>) = machine.tracks.iter().partition(|track| has_news(track));
    for track in told {
        out.push('\n');
        of_track(track, machine, width, out);
    }
    if !bare.is_empty() {
        let mut names: Vec<String> = bare.iter().map(|track| shown(&track.feature)).collect();
        names.dedup();
        let more = names.len().saturating_sub(FEATURES);
        names.truncate(FEATURES);
        if more > 0 {
            names.push(format!("and {more} more"));
        }
        out.push('\n');
        line(
            &format!(
                "no rate yet, since nothing of it was read at two meter readings of one life: {}",
                names.join(", ")
            ),
            width,
            "  ",
            out,
        );
    }
}

/// Whether anything is to be said of a track but that it was read.
pub(super) fn has_news(track: &Track) -> bool {
    track.lives.iter().any(|life| life.rate.is_ok() || life.left.is_some())
}

fn of_track(track: &Track, machine: &Machine, width: usize, out: &mut String) {
    let worked = if track.is_derived { ", worked out" } else { "" };
    let limit = track
        .limit
        .as_ref()
        .map_or(String::new(), |limit| format!("; {} {}", limit.name(), limit.words()));
    line(&format!("{}{worked}{limit}", shown(&track.name())), width, "  ", out);
    for life in &track.lives {
        of_life(life, track, machine, width, out);
    }
}

fn of_life(life: &Life, track: &Track, machine: &Machine, width: usize, out: &mut String) {
    let begins = life.begins.as_ref().map_or(String::new(), |begins| {
        let path = machine.jobs.get(begins.job).map_or("", |job| &job.path);
        format!(", begun anew: {} ({})", shown(&begins.why), shown(path))
    });
    line(&format!("life {}{begins}", life.number), width, "    ", out);
    let left_out = life.spots.len().saturating_sub(READINGS);
    let mut told: Vec<String> = Vec::new();
    if left_out > 0 {
        told.push(format!("{left_out} earlier readings"));
    }
    told.extend(
        life.spots
            .iter()
            .skip(left_out)
            .map(|spot| reading(spot, life, track.unit)),
    );
    line(&told.join("; "), width, "      ", out);
    match &life.rate {
        Ok(rate) => line(&of_rate(rate, track.unit, life), width, "      ", out),
        Err(why) => line(&format!("no rate: {why}"), width, "      ", out),
    }
    for spot in life.spots.iter().filter(|spot| spot.is_stray) {
        let off = format!(
            "{} lies off the line of this life by more than chance and its own doubt: read it again, or look for what was done there ({}, line {})",
            reading(spot, life, track.unit),
            machine.jobs.get(spot.job).map_or("", |job| &job.path),
            spot.point.line
        );
        line(&off, width, "      ", out);
    }
    if let Some(left) = &life.left {
        line(&of_left(left, life, machine), width, "      ", out);
    }
}

/// `0.45 to 0.50 mm at 312 h`.
pub(super) fn reading(spot: &Spot, life: &Life, unit: Option<&'static Unit>) -> String {
    let meter = match spot.meter {
        Some(meter) => format!(" at {} {}", number_of(meter), meter_label(life)),
        None => " at no meter reading of this kind".to_owned(),
    };
    let history = if spot.counts || spot.meter.is_none() {
        ""
    } else {
        ", not in the line"
    };
    format!("{}{meter}{history}", figure(spot, unit))
}

/// `0.042 mm in 100 h (0.031 to 0.053)`, as far as its interval is known.
pub(super) fn amount(rate: &Rate, unit: Option<&'static Unit>, meter: &'static Unit) -> String {
    let by = stretch(meter);
    let half = difference((rate.high - rate.low) / 2.0 * by, unit);
    let half = decimal(half).map_or(Decimal::ZERO, |half| number::significant(half, 2));
    let told = |base: f64| {
        let value = decimal(difference(base * by, unit)).unwrap_or_default();
        let scale = if half.is_zero() {
            6
        } else {
            half.normalize().scale().min(9)
        };
        number::padded(number::rounded(value, scale), scale)
    };
    let symbol = unit.map_or("", |unit| unit.label());
    format!(
        "{} {symbol} in {by} {} ({} to {})",
        told(rate.best),
        meter.label(),
        told(rate.low),
        told(rate.high)
    )
}

pub(super) fn of_rate(rate: &Rate, unit: Option<&'static Unit>, life: &Life) -> String {
    let Some(meter) = life.meter else { return String::new() };
    let how = match rate.how {
        How::Two => "from two readings".to_owned(),
        How::Line(fit) => format!("by the line through {} readings", fit.count),
    };
    let proven = if rate.is_proven() { "" } else { "; no wear is proven" };
    format!("changes by {}, {how}{proven}", amount(rate, unit, meter))
}

pub(super) fn of_left(left: &Left, life: &Life, machine: &Machine) -> String {
    if left.is_past {
        return "past its limit: nothing is left".to_owned();
    }
    let unit = meter_label(life);
    let least = number_of(left.least.floor());
    let left_now = match left.most {
        Some(most) if left.least <= 0.0 => format!(
            "may be at its limit already; {} {unit} left at most",
            number_of(most.ceil())
        ),
        Some(most) => format!("{least} to {} {unit} left at this rate", number_of(most.ceil())),
        None if left.least <= 0.0 => "may be at its limit already".to_owned(),
        None if left.least.is_finite() => {
            format!("{least} {unit} left at least; no upper end, since no wear towards the limit is proven")
        }
        None => "it does not wear towards its limit".to_owned(),
    };
    let Some(look) = left.look else { return left_now };
    let at = number_of(look.floor());
    match machine.meter.filter(|(_, of)| Some(*of) == life.meter) {
        Some((now, _)) if now >= look => format!(
            "{left_now}; look again now: it was due by {at} {unit}, and the meter shows {}",
            number_of(now)
        ),
        _ => format!("{left_now}; look again by {at} {unit}"),
    }
}

/// A meter reading or a time: to three digits behind a thousand, else to a tenth.
pub(super) fn number_of(figure: f64) -> String {
    if figure.abs() >= 1e6 {
        return "over a million".to_owned();
    }
    format!("{}", (figure * 10.0).round() / 10.0)
}

fn of_spread(spread: &Spread, machines: &[Machine], width: usize, out: &mut String) {
    let by = stretch(spread.meter);
    let told = |base: f64| digits(difference(base * by, spread.unit), 2);
    let symbol = spread.unit.map_or("", |unit| unit.label());
    let rates = || spread.lives.iter().map(|among| among.rate.best);
    let (least, most) = (
        rates().fold(f64::INFINITY, f64::min),
        rates().fold(f64::NEG_INFINITY, f64::max),
    );
    let head = format!(
        "{}, {}: {} lives change by {} to {} {symbol} in {by} {}, median {}, median deviation {}",
        shown(&spread.model),
        shown(&spread.name()),
        spread.lives.len(),
        told(least),
        told(most),
        spread.meter.label(),
        told(spread.median),
        told(spread.deviation)
    );
    line(&head, width, "  ", out);
    let outliers = match &spread.outliers {
        Ok(outliers) => outliers,
        Err(why) => return line(why, width, "      ", out),
    };
    for outlier in outliers {
        let Some(among) = spread.lives.get(outlier.at) else {
            continue;
        };
        let by_grubbs = if outlier.by_grubbs {
            "Grubbs' test says so too"
        } else {
            "Grubbs' test does not say so"
        };
        let few = if spread.lives.len() < MANY {
            "; of so few rates take it as a hint"
        } else {
            ""
        };
        let what = format!(
            "stands out: {}: {}; modified z-score {}, beyond 3.5; {by_grubbs}{few}",
            who(among, machines),
            amount(&among.rate, spread.unit, spread.meter),
            digits(outlier.score, 2)
        );
        line(&what, width, "      ", out);
    }
}

/// `Tarn 250, frame TN-0417, life 2`.
pub(super) fn who(among: &Among, machines: &[Machine]) -> String {
    let name = machines.get(among.machine).map_or("", |machine| machine.name.as_str());
    format!("{}, life {}", shown(name), among.life)
}
