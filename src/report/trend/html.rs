//! Machines over several jobs as a page: a chart for each feature, a table beside it, and what stands out over a shop.

use maud::{Markup, html};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::text::{amount, has_news, number_of, of_left, of_rate, reading, who};
use super::{CAUTION, difference, digits, figure, in_unit, meter_label, stretch};
use crate::history::{History, How, Life, Machine, Spot, Spread, Track};
use crate::quantity::{Verdict, verdict};
use crate::report::draw::trend::{Chart, Course, Dot, trend};
use crate::report::page::{own, page, plain};

/// Machines that the head of the page leads to.
const LINKS: usize = 24;

/// Steps along a line, over which its band is drawn.
const STEPS: u32 = 16;

/// A history as a page of its own.
pub fn html(history: &History) -> String {
    let machines: Vec<&Machine> = history.wanted().collect();
    let ids: Vec<String> = (1..=machines.len()).map(|number| format!("m{number}")).collect();
    let links = ids.iter().zip(&machines).take(LINKS);
    let shop = (!history.shop.is_empty()).then_some(("shop", "Over a model"));
    let names: Vec<(&str, String)> = links.map(|(id, machine)| (id.as_str(), plain(&machine.name))).collect();
    let nav: Vec<(&str, &str)> = names
        .iter()
        .map(|(id, name)| (*id, name.as_str()))
        .chain(shop)
        .collect();
    let title = match machines.as_slice() {
        [one] => format!("Wear: {}", plain(&one.name)),
        all => format!("Wear of {} machines", all.len()),
    };
    let tag = html! {
        p class="small" { "Wear and what is left" }
        h1 { (title) }
    };
    let body = html! {
        @for (id, machine) in ids.iter().zip(&machines) { (of_machine(id, machine)) }
        @if !history.shop.is_empty() { (of_shop(history)) }
        @if !history.notes.is_empty() {
            section {
                h2 { "Left out" }
                ul { @for note in &history.notes { li { (own(note)) } } }
            }
        }
        div class="defer" {
            p { (CAUTION) }
            p { "Nothing on this page says that a machine may be used. Read again what is due, and hold it against the manual." }
        }
    };
    let foot = html! {
        p {
            "Made by gudgeon " (env!("CARGO_PKG_VERSION")) ". A life is what nothing renewed, reworked or moved in between. Bars are all that a reading may be off by, about 95 %; \
             bands are those of the line, 95 % by Student's t. Two readings are joined by a line without a band."
        }
    };
    page(&title, &tag, &nav, &body, &foot)
}

fn of_machine(id: &str, machine: &Machine) -> Markup {
    let days = machine.jobs.iter().filter_map(|job| job.days);
    let (first, last) = (days.clone().map(|days| days.0).min(), days.map(|days| days.1).max());
    html! {
        section id=(id) aria-labelledby={ (id) "-name" } {
            h2 id={ (id) "-name" } { (own(&machine.name)) }
            dl class="facts" {
                dt { "Model" } dd { (own(&machine.model)) }
                dt { "Jobs" } dd {
                    (machine.jobs.len())
                    @if let (Some(first), Some(last)) = (first, last) { ", " (first) " to " (last) }
                }
                @if let Some((figure, unit)) = machine.meter { dt { "Meter" } dd { (number_of(figure)) " " (unit.label()) } }
            }
            (wear(machine))
        }
    }
}

/// What a machine wears by: what is to be known of its meter, each feature with its chart and its table, and what has no rate yet.
pub fn wear(machine: &Machine) -> Markup {
    let (told, bare): (Vec<&Track>, Vec<&Track>) = machine.tracks.iter().partition(|track| has_news(track));
    html! {
        @if !machine.notes.is_empty() {
            ul class="said" { @for note in &machine.notes { li class="doubt" { (own(note)) } } }
        }
        @for track in told { (of_track(track, machine)) }
        @if !bare.is_empty() {
            p class="small" {
                "No rate yet, since nothing of it was read at two meter readings of one life: "
                (own(&names(&bare))) "."
            }
        }
    }
}

fn names(tracks: &[&Track]) -> String {
    let mut names: Vec<&str> = tracks.iter().map(|track| track.feature.as_str()).collect();
    names.dedup();
    names.join(", ")
}

fn of_track(track: &Track, machine: &Machine) -> Markup {
    html! {
        h3 { (own(&track.name())) @if track.is_derived { ", worked out" } }
        @if let Some(limit) = &track.limit { p class="small" { (own(&limit.name())) " " (limit.words()) } }
        section class="wide" tabindex="0" aria-label={ (plain(&track.name())) ", over the meter" } { (trend(&chart(track))) }
        ul class="said" {
            @for life in &track.lives { (of_life(life, track, machine)) }
        }
        (table(track, machine))
    }
}

fn of_life(life: &Life, track: &Track, machine: &Machine) -> Markup {
    let is_past = life.left.is_some_and(|left| left.is_past);
    let strays: Vec<&Spot> = life.spots.iter().filter(|spot| spot.is_stray).collect();
    let class = match (is_past, strays.is_empty()) {
        (true, _) => "fault",
        (false, false) => "doubt",
        (false, true) => "",
    };
    html! {
        li class=(class) {
            span class="word" { "life " (life.number) }
            @match &life.rate {
                Ok(rate) => (of_rate(rate, track.unit, life)),
                Err(why) => { "no rate: " (own(why)) }
            }
            @if let Some(left) = &life.left { "; " b { (of_left(left, life, machine)) } }
            @for spot in strays {
                "; " (reading(spot, life, track.unit)) " lies off the line by more than chance and its own doubt"
            }
            @if let Some(begins) = &life.begins {
                small { " (begun anew: " (own(&begins.why)) ", " (own(file_of(machine.jobs.get(begins.job).map_or("", |job| &job.path)))) ")" }
            }
        }
    }
}

/// Every reading of the chart, in figures.
fn table(track: &Track, machine: &Machine) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label={ (plain(&track.name())) ", the figures" } {
            table class="stack" {
                caption { "Readings of " (own(&track.name())) }
                thead { tr {
                    th scope="col" class="n" { "life" } th scope="col" class="n" { "date" } th scope="col" { "stage" } th scope="col" class="n" { "meter" }
                    th scope="col" class="n" { "figure" } th scope="col" class="n" { "may be" } th scope="col" { "log" }
                } }
                tbody {
                    @for life in &track.lives {
                        @for spot in &life.spots { (row(spot, life, track, machine)) }
                    }
                }
            }
        }
    }
}

fn row(spot: &Spot, life: &Life, track: &Track, machine: &Machine) -> Markup {
    let end = |base: f64| {
        let shown = crate::uncertainty::estimate::decimal(in_unit(base, track.unit));
        shown.map_or_else(|| "open".to_owned(), |end| crate::quantity::number::show(end, 4))
    };
    let remark = match (spot.is_stray, spot.counts) {
        (true, _) => ", off the line",
        (false, false) => ", not in the line",
        (false, true) => "",
    };
    html! {
        tr {
            td class="n" { (life.number) }
            td class="n" { @if let Some(date) = spot.point.date { (date) } }
            td { (own(&spot.point.stage)) }
            td class="n" { @if let Some(meter) = spot.meter { (number_of(meter)) " " (meter_label(life)) } }
            td class={ "n " (crate::report::draw::class(judged(spot, track))) } { (figure(spot, track.unit)) (remark) }
            td class="n" { (end(spot.point.low())) " to " (end(spot.point.high())) }
            td { (own(file_of(machine.jobs.get(spot.job).map_or("", |job| &job.path)))) ":" (spot.point.line) }
        }
    }
}

/// The last part of a path.
fn file_of(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// How a reading stands to the limit that wear goes by, without its doubt.
fn judged(spot: &Spot, track: &Track) -> Option<Verdict> {
    let end = |base: f64| crate::uncertainty::estimate::decimal(base);
    let (low, high) = spot.point.between;
    let band = crate::quantity::Band {
        lo: end(low),
        hi: end(high),
        ..crate::quantity::Band::exact(Decimal::ZERO)
    };
    track.limit.as_ref().map(|limit| verdict(&band, &limit.band))
}

/// What is drawn of a feature.
fn chart(track: &Track) -> Chart {
    let mut lives: Vec<Course> = Vec::new();
    let mut last = f64::NEG_INFINITY;
    for life in track.lives.iter().filter(|life| life.spots.iter().any(is_drawn)) {
        let dots: Vec<Dot> = life
            .spots
            .iter()
            .filter(|spot| is_drawn(spot))
            .map(|spot| dot(spot, track))
            .collect();
        let first = dots.first().map_or(f64::NAN, |dot| dot.meter);
        lives.push(Course {
            name: format!("life {}", life.number),
            is_new_meter: first < last,
            line: line(life, track),
            dots,
        });
        last = life
            .spots
            .iter()
            .filter_map(|spot| spot.meter)
            .fold(f64::NEG_INFINITY, f64::max);
    }
    let limit = |end: Option<Decimal>, word: &str| {
        let shown = track.unit.and_then(|unit| unit.from_base(end?)).or(end)?;
        let words = format!("{word} {} {}", shown.normalize(), super::label(track));
        Some((shown.to_f64()?, words.trim_end().to_owned()))
    };
    let band = track.limit.as_ref().map(|limit| limit.band);
    let meter = track
        .lives
        .iter()
        .rev()
        .find_map(|life| life.meter)
        .map_or("", |unit| unit.label());
    let name = plain(&track.name());
    let told = track
        .lives
        .iter()
        .flat_map(|life| life.spots.iter().map(move |spot| reading(spot, life, track.unit)));
    Chart {
        lives,
        limit: [
            limit(band.and_then(|b| b.lo), "at least"),
            limit(band.and_then(|b| b.hi), "up to"),
        ],
        title: format!("{name} over the meter, in {meter}"),
        says: told.collect::<Vec<_>>().join("; "),
        meter: meter.to_owned(),
    }
}

fn is_drawn(spot: &Spot) -> bool {
    spot.meter.is_some() && spot.point.value().is_finite()
}

fn dot(spot: &Spot, track: &Track) -> Dot {
    let meter = spot.meter.unwrap_or(f64::NAN);
    Dot {
        meter,
        at: number_of(meter),
        value: in_unit(spot.point.value(), track.unit),
        low: in_unit(spot.point.low(), track.unit),
        high: in_unit(spot.point.high(), track.unit),
        words: figure(spot, track.unit),
        counts: spot.counts,
        is_stray: spot.is_stray,
        verdict: judged(spot, track),
    }
}

/// The line of a life with its band; of two readings the stretch between them.
fn line(life: &Life, track: &Track) -> Vec<(f64, f64, f64)> {
    let Ok(rate) = &life.rate else { return Vec::new() };
    let counted = || life.spots.iter().filter(|spot| spot.counts);
    let meters = || counted().filter_map(|spot| spot.meter);
    let (first, last) = (
        meters().fold(f64::INFINITY, f64::min),
        meters().fold(f64::NEG_INFINITY, f64::max),
    );
    match rate.how {
        How::Two => counted()
            .filter_map(|spot| Some((spot.meter?, in_unit(spot.point.value(), track.unit), 0.0)))
            .collect(),
        How::Line(fit) => (0..=STEPS)
            .map(|step| first + (last - first) * f64::from(step) / f64::from(STEPS))
            .map(|meter| {
                let half = difference(fit.half_at(meter), track.unit);
                (meter, in_unit(fit.at(meter), track.unit), half)
            })
            .collect(),
    }
}

fn of_shop(history: &History) -> Markup {
    html! {
        section id="shop" aria-labelledby="shop-name" {
            h2 id="shop-name" { "Over all lives of a model" }
            @for spread in &history.shop { (of_spread(spread, &history.machines)) }
        }
    }
}

fn of_spread(spread: &Spread, machines: &[Machine]) -> Markup {
    let by = stretch(spread.meter);
    let symbol = spread.unit.map_or("", |unit| unit.label());
    let told = |base: f64| digits(difference(base * by, spread.unit), 2);
    let outliers = spread.outliers.as_deref().unwrap_or_default();
    html! {
        h3 { (own(&spread.model)) ": " (own(&spread.name())) }
        div class="wide" tabindex="0" role="region" aria-label={ (plain(&spread.name())) ", all lives" } {
            table class="stack" {
                caption {
                    "Median " (told(spread.median)) " " (symbol) " in " (by) " " (spread.meter.label()) ", median deviation " (told(spread.deviation))
                    @if let Err(why) = &spread.outliers { "; " (why) }
                }
                thead { tr { th scope="col" { "machine" } th scope="col" class="n" { "changes by" } th scope="col" { "stands out" } } }
                tbody {
                    @for (number, among) in spread.lives.iter().enumerate() {
                        @let outlier = outliers.iter().find(|outlier| outlier.at == number);
                        tr {
                            td { (own(&who(among, machines))) }
                            td class="n" { (amount(&among.rate, spread.unit, spread.meter)) }
                            td class=(if outlier.is_some() { "v-out" } else { "" }) {
                                @if let Some(outlier) = outlier {
                                    "modified z-score " (digits(outlier.score, 2))
                                    @if outlier.by_grubbs { "; Grubbs' test too" }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
