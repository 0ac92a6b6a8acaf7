//! A bore as it was measured: its wall cut open along each direction, the deviations drawn many times too large.

use maud::{Markup, html};

use super::{at, class};
use crate::quantity::Verdict;

const WIDTH: f64 = 200.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 166.0;
/// Half the width of the bore where it is smallest.
const HALF: f64 = 34.0;
/// How far the wall stands out where the bore is widest.
const BULGE: f64 = 20.0;

/// One figure of a bore.
#[derive(Clone, Debug)]
pub struct Point {
    /// How much it is wider than the smallest of the whole bore; not below nothing.
    pub wider: f64,
    /// The same in words.
    pub words: String,
    /// Its verdict.
    pub verdict: Option<Verdict>,
}

/// The wall along one direction.
#[derive(Clone, Debug)]
pub struct Direction {
    /// The name of the direction.
    pub name: String,
    /// Its figures from the top down; `None` where it was not measured.
    pub points: Vec<Option<Point>>,
}

/// A bore, one picture a direction. `label` says what it shows.
pub fn cylinder(directions: &[Direction], label: &str) -> Markup {
    let most = directions
        .iter()
        .flat_map(|direction| direction.points.iter().flatten())
        .map(|point| point.wider)
        .fold(0.0, f64::max);
    html! {
        div class="bore" {
            @for direction in directions {
                (wall(direction, most, label))
            }
        }
    }
}

fn wall(direction: &Direction, most: f64, label: &str) -> Markup {
    let middle = 68.0;
    let rows = direction.points.len().max(1);
    let y = |row: usize| {
        if rows == 1 {
            f64::midpoint(TOP, BOTTOM)
        } else {
            // Heights stand a little inside the ends of the wall.
            let share = f64::from(u32::try_from(row).unwrap_or(0)) / f64::from(u32::try_from(rows - 1).unwrap_or(1));
            TOP + 16.0 + share * (BOTTOM - TOP - 32.0)
        }
    };
    let out = |wider: f64| if most > 0.0 { wider / most * BULGE } else { 0.0 };
    let known: Vec<(f64, &Point)> = direction
        .points
        .iter()
        .enumerate()
        .filter_map(|(row, point)| Some((y(row), point.as_ref()?)))
        .collect();
    // The wall goes on straight above the first height and below the last.
    let side = |sign: f64| {
        let x = |wider: f64| middle + sign * (HALF + out(wider));
        let mut path = String::new();
        for (number, (height, point)) in known.iter().enumerate() {
            let step = if number == 0 {
                format!(
                    "M{} {}L{} {}",
                    at(x(point.wider)),
                    at(TOP),
                    at(x(point.wider)),
                    at(*height)
                )
            } else {
                format!("L{} {}", at(x(point.wider)), at(*height))
            };
            path.push_str(&step);
        }
        if let Some((_, last)) = known.last() {
            path.push_str(&format!("L{} {}", at(x(last.wider)), at(BOTTOM)));
        }
        path
    };
    // The metal between the hole and a straight outside, so that it reads as a section.
    let metal = |sign: f64| {
        let outside = at(middle + sign * (HALF + BULGE + 9.0));
        format!("{}L{outside} {}L{outside} {}z", side(sign), at(BOTTOM), at(TOP))
    };
    html! {
        svg class="wall" viewBox={ "0 0 " (at(WIDTH)) " 186" } role="img" aria-label={ (label) ", " (direction.name) } {
            text class="tick" x=(at(middle)) y="12" text-anchor="middle" { (direction.name) }
            @if !known.is_empty() {
                path class="metal" d=(metal(-1.0)) {}
                path class="metal" d=(metal(1.0)) {}
            }
            path class="axis" d={ "M" (at(middle)) " " (at(TOP - 6.0)) "V" (at(BOTTOM + 6.0)) } {}
            path class="true" d={ "M" (at(middle - HALF)) " " (at(TOP)) "V" (at(BOTTOM)) "M" (at(middle + HALF)) " " (at(TOP)) "V" (at(BOTTOM)) } {}
            path class="cut" d=(side(-1.0)) {}
            path class="cut" d=(side(1.0)) {}
            @for (height, point) in &known {
                circle class={ "dot " (class(point.verdict)) } cx=(at(middle + HALF + out(point.wider))) cy=(at(*height)) r="3" {}
                text class="tick" x=(at(middle + HALF + BULGE + 14.0)) y=(at(height + 4.0)) { (point.words) }
            }
            @for (row, _) in direction.points.iter().enumerate().filter(|(_, point)| point.is_none()) {
                text class="tick" x=(at(middle + HALF + BULGE + 14.0)) y=(at(y(row) + 4.0)) { "not read" }
            }
        }
    }
}
