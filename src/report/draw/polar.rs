//! Run-out as a vector: where it reads highest and by how much, turn after turn. The pin stands at the top; angles run clockwise.

use maud::{Markup, html};

use super::at;

const SIZE: f64 = 240.0;
const MIDDLE: f64 = 120.0;
const RADIUS: f64 = 84.0;

/// One turn.
#[derive(Clone, Copy, Debug)]
pub struct Spot {
    /// Its number, from 1.
    pub number: usize,
    /// The swing of the needle.
    pub swing: f64,
    /// Where it reads highest, degrees.
    pub angle: f64,
}

/// The turns of one place, with the greatest run-out that is allowed. `widest` is the swing at the rim, the same for all places that are to be compared;
/// `label` says what it shows, `limit` is the limit as it is written.
pub fn polar(name: &str, spots: &[Spot], widest: f64, most: Option<f64>, limit: &str, label: &str) -> Markup {
    if !widest.is_finite() || widest <= 0.0 {
        return html! {};
    }
    let place = |spot: &Spot| {
        let (sin, cos) = spot.angle.to_radians().sin_cos();
        let r = spot.swing / widest * RADIUS;
        (MIDDLE + r * sin, MIDDLE - r * cos)
    };
    let mut path = String::new();
    for (number, spot) in spots.iter().enumerate() {
        let (x, y) = place(spot);
        path.push_str(&format!("{}{} {}", if number == 0 { "M" } else { "L" }, at(x), at(y)));
    }
    html! {
        svg class="polar" viewBox={ "0 0 " (at(SIZE)) " 258" } role="img" aria-label=(label) {
            @for part in [1.0, 0.5] {
                circle class="ring" cx=(at(MIDDLE)) cy=(at(MIDDLE)) r=(at(RADIUS * part)) {}
            }
            path class="ring" d={ "M" (at(MIDDLE)) " " (at(MIDDLE - RADIUS)) "v" (at(2.0 * RADIUS)) "M" (at(MIDDLE - RADIUS)) " " (at(MIDDLE)) "h" (at(2.0 * RADIUS)) } {}
            @if let Some(most) = most {
                circle class="allowed" cx=(at(MIDDLE)) cy=(at(MIDDLE)) r=(at(most / widest * RADIUS)) {}
            }
            @for (text, x, y, anchor) in [("0° pin", MIDDLE, 30.0, "middle"), ("90°", MIDDLE + RADIUS + 4.0, MIDDLE + 4.0, "start"), ("180°", MIDDLE, MIDDLE + RADIUS + 13.0, "middle"), ("270°", MIDDLE - RADIUS - 4.0, MIDDLE + 4.0, "end")] {
                text class="tick" x=(at(x)) y=(at(y)) text-anchor=(anchor) { (text) }
            }
            path class="moved" d=(path) {}
            @for spot in spots {
                @let (x, y) = place(spot);
                circle class={ "spot" @if spot.number == spots.len() { " last" } } cx=(at(x)) cy=(at(y)) r="7.5" {}
                text class={ "number" @if spot.number == spots.len() { " last" } } x=(at(x)) y=(at(y + 3.6)) text-anchor="middle" { (spot.number) }
            }
            text class="name" x=(at(MIDDLE)) y="13" text-anchor="middle" { (name) }
            @if !limit.is_empty() {
                text class="tick" x=(at(MIDDLE)) y="250" text-anchor="middle" { "shaded: " (limit) }
            }
        }
    }
}
