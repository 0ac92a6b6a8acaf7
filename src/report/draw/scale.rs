//! A reading on its scale: the limit as the way that is left between two stops, the reading as a bar as long as all it may be off by.

use maud::{Markup, html};

use super::{at, class, sign};
use crate::quantity::Verdict;

const WIDTH: f64 = 360.0;
const EDGE: f64 = 14.0;
/// Height of the middle of the bar.
const BAR: f64 = 30.0;
/// How much of the drawn way is left free beside the outermost thing that is drawn.
const FREE: f64 = 0.12;
/// A figure further from the limit than so many times its width does not stretch the scale; it stands at the edge.
const FAR: f64 = 4.0;

/// A figure on a scale.
#[derive(Clone, Copy, Debug)]
pub struct Mark {
    /// The best value.
    pub best: f64,
    /// The least it may be; `None` without bound.
    pub low: Option<f64>,
    /// The greatest it may be.
    pub high: Option<f64>,
    /// The verdict.
    pub verdict: Option<Verdict>,
    /// Whether it is of the latest look; the others are drawn small.
    pub is_latest: bool,
    /// Whether it was overtaken.
    pub is_stale: bool,
}

/// A limit and the figures held against it, in one unit.
pub struct Scale<'a> {
    /// The least that is allowed.
    pub from: Option<f64>,
    /// The greatest.
    pub to: Option<f64>,
    /// The ends as they are written.
    pub ends: (String, String),
    /// The figures, the earlier first.
    pub marks: &'a [Mark],
    /// What it shows, in words.
    pub label: String,
}

/// From figures to the picture.
struct Way {
    from: f64,
    to: f64,
}

impl Way {
    fn of(scale: &Scale<'_>) -> Option<Way> {
        let ends: Vec<f64> = [scale.from, scale.to].into_iter().flatten().collect();
        let latest = scale.marks.iter().filter(|mark| mark.is_latest);
        let own: Vec<f64> = latest.map(|mark| mark.best).filter(|best| best.is_finite()).collect();
        let all = || ends.iter().chain(&own).copied();
        let (least, most) = (all().reduce(f64::min)?, all().reduce(f64::max)?);
        let mut width = match (scale.from, scale.to) {
            (Some(from), Some(to)) if to > from => to - from,
            _ => most - least,
        };
        if width <= 0.0 {
            width = most.abs().max(1e-9) * 0.1;
        }
        let middle = match (scale.from, scale.to) {
            (Some(from), Some(to)) => f64::midpoint(from, to),
            (Some(end), None) | (None, Some(end)) => end,
            (None, None) => f64::midpoint(least, most),
        };
        let reach = (middle - FAR * width, middle + FAR * width);
        let mut way = Way { from: least, to: most };
        for mark in scale.marks {
            for value in [Some(mark.best), mark.low, mark.high].into_iter().flatten() {
                if value.is_finite() && (reach.0..=reach.1).contains(&value) {
                    way.from = way.from.min(value);
                    way.to = way.to.max(value);
                }
            }
        }
        way.from = way.from.max(reach.0);
        way.to = way.to.min(reach.1);
        // A limit with one end goes on to the edge of the picture; what cannot be less than nothing begins there.
        if scale.from.is_none() && way.from >= 0.0 && scale.to.is_some() {
            way.from = 0.0;
        }
        let free = ((way.to - way.from) * FREE).max(width * FREE / 2.0);
        let begins = if scale.from.is_none() && way.from == 0.0 {
            0.0
        } else {
            way.from - free
        };
        Some(Way {
            from: begins,
            to: way.to + free,
        })
        .filter(|way| way.to > way.from)
    }

    fn x(&self, value: f64) -> f64 {
        let share = (value - self.from) / (self.to - self.from);
        EDGE + share.clamp(0.0, 1.0) * (WIDTH - 2.0 * EDGE)
    }

    fn is_off(&self, value: f64) -> bool {
        value < self.from || value > self.to
    }
}

/// The picture; nothing where there is nothing to draw.
pub fn scale(scale: &Scale<'_>) -> Markup {
    let is_finite = [scale.from, scale.to].into_iter().flatten().all(f64::is_finite);
    let Some(way) = Way::of(scale).filter(|_| is_finite) else {
        return html! {};
    };
    let (left, right) = (
        scale.from.map_or(EDGE, |from| way.x(from)),
        scale.to.map_or(WIDTH - EDGE, |to| way.x(to)),
    );
    html! {
        svg class="scale" viewBox="0 0 360 62" role="img" aria-label=(scale.label) {
            rect class="off" x=(at(EDGE)) y="24" width=(at(WIDTH - 2.0 * EDGE)) height="12" {}
            rect class="way" x=(at(left)) y="24" width=(at((right - left).max(1.0))) height="12" {}
            @if scale.from.is_some() { (stop(left, &scale.ends.0, true, right)) }
            @if scale.to.is_some() { (stop(right, &scale.ends.1, false, left)) }
            @for mark in scale.marks.iter().filter(|mark| !mark.is_latest) {
                circle class={ "was " (class(mark.verdict)) } cx=(at(way.x(mark.best))) cy="14" r="2.6" {}
                @if way.is_off(mark.best) { (arrow(&way, mark.best, 14.0)) }
            }
            @for mark in scale.marks.iter().filter(|mark| mark.is_latest) { (bar(&way, mark)) }
        }
    }
}

/// An end of the limit with its figure below; where both are near to each other the figures lean outwards.
fn stop(x: f64, figure: &str, is_lower: bool, other: f64) -> Markup {
    let is_near = (x - other).abs() < 70.0;
    let anchor = match (is_near, is_lower) {
        (true, true) => "end",
        (true, false) => "start",
        _ if x < 40.0 => "start",
        _ if x > WIDTH - 40.0 => "end",
        _ => "middle",
    };
    html! {
        path class="stop" d={ "M" (at(x)) " 20v22" } {}
        text class="tick" x=(at(x)) y="55" text-anchor=(anchor) { (figure) }
    }
}

fn bar(way: &Way, mark: &Mark) -> Markup {
    let (low, high) = (
        way.x(mark.low.unwrap_or(f64::NEG_INFINITY)),
        way.x(mark.high.unwrap_or(f64::INFINITY)),
    );
    let stale = if mark.is_stale { " stale" } else { "" };
    html! {
        @if high - low > 1.0 {
            path class={ "reach " (class(mark.verdict)) (stale) }
                d={ "M" (at(low)) " " (at(BAR)) "H" (at(high)) "M" (at(low)) " " (at(BAR - 6.0)) "v12M" (at(high)) " " (at(BAR - 6.0)) "v12" } {}
        }
        @if way.is_off(mark.best) { (arrow(way, mark.best, BAR)) }
        @else { g class=(stale.trim_start()) { (sign(mark.verdict, way.x(mark.best), BAR, 4.5)) } }
    }
}

/// Where a figure lies off the picture.
fn arrow(way: &Way, value: f64, y: f64) -> Markup {
    let (x, step) = if value < way.from {
        (3.0, 6.0)
    } else {
        (WIDTH - 3.0, -6.0)
    };
    html! { path class="beyond" d={ "M" (at(x)) " " (at(y)) "l" (at(step)) " -5v10z" } {} }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(from: Option<f64>, to: Option<f64>, bests: &[f64]) -> String {
        let marks: Vec<Mark> = bests
            .iter()
            .enumerate()
            .map(|(place, best)| Mark {
                best: *best,
                low: Some(best - 0.01),
                high: Some(best + 0.01),
                verdict: Some(Verdict::In),
                is_latest: place + 1 == bests.len(),
                is_stale: false,
            })
            .collect();
        let ends = ("lo".to_owned(), "hi".to_owned());
        scale(&Scale {
            from,
            to,
            ends,
            marks: &marks,
            label: String::new(),
        })
        .into_string()
    }

    #[test]
    fn a_limit_and_a_reading_within_it_are_drawn_in_their_order() {
        let way = Way::of(&Scale {
            from: Some(0.35),
            to: Some(0.50),
            ends: (String::new(), String::new()),
            marks: &[],
            label: String::new(),
        })
        .expect("a way");
        let (lo, middle, hi) = (way.x(0.35), way.x(0.42), way.x(0.50));
        assert!(EDGE < lo && lo < middle && middle < hi && hi < WIDTH - EDGE);
        // Evenly: 0.07 of 0.15.
        assert!(((middle - lo) / (hi - lo) - 0.07 / 0.15).abs() < 1e-9);
    }

    #[test]
    fn an_earlier_slip_does_not_squeeze_the_scale() {
        let with = drawn(Some(24.07), Some(24.08), &[24.576, 24.075]);
        assert!(with.contains("beyond"), "{with}");
    }

    #[test]
    fn nothing_to_draw_draws_nothing() {
        assert_eq!(drawn(None, None, &[]), "");
        assert!(drawn(None, Some(0.0), &[0.0]).contains("<svg"));
        assert!(!drawn(Some(f64::NAN), None, &[1.0]).contains("NaN"));
    }
}
