//! The force of a press, from where it began to where the part came home, against what was expected and what the press is rated for.

use maud::{Markup, html};

use super::at;

const LEFT: f64 = 12.0;
const RIGHT: f64 = 228.0;
const BASE: f64 = 112.0;
const TOP: f64 = 14.0;

/// A pressing, in one unit.
#[derive(Clone, Debug)]
pub struct Force {
    /// At the beginning.
    pub from: f64,
    /// At the end.
    pub to: f64,
    /// The same two in words.
    pub ends: (String, String),
    /// What was to be expected.
    pub expected: Option<(f64, f64)>,
    /// What the press is rated for, with its words.
    pub rating: Option<(f64, String)>,
}

/// The picture; `label` says what it shows.
pub fn force(force: &Force, label: &str) -> Markup {
    let mut all = vec![force.from, force.to];
    all.extend(force.expected.iter().flat_map(|(low, high)| [*low, *high]));
    all.extend(force.rating.iter().map(|(rating, _)| *rating));
    let most = all.into_iter().filter(|value| value.is_finite()).fold(0.0, f64::max);
    if most <= 0.0 {
        return html! {};
    }
    let y = |value: f64| BASE - (value / most).clamp(0.0, 1.0) * (BASE - TOP);
    let is_level = (force.from - force.to).abs() < 1e-12;
    html! {
        svg class="force" viewBox="0 0 300 132" role="img" aria-label=(label) {
            @if let Some((low, high)) = force.expected {
                rect class="way" x=(at(LEFT)) y=(at(y(high))) width=(at(RIGHT - LEFT)) height=(at((y(low) - y(high)).max(1.0))) {}
            }
            path class="stop" d={ "M" (at(LEFT)) " " (at(TOP - 6.0)) "V" (at(BASE)) "H" (at(RIGHT)) } {}
            @if let Some((rating, words)) = &force.rating {
                path class="most" d={ "M" (at(LEFT)) " " (at(y(*rating))) "H" (at(RIGHT)) } {}
                text class="tick" x=(at(RIGHT + 5.0)) y=(at(y(*rating) + 4.0)) { (words) }
            }
            @if !is_level {
                path class="moved" d={ "M" (at(LEFT)) " " (at(y(force.from))) "L" (at(RIGHT)) " " (at(y(force.to))) } {}
                circle class="spot" cx=(at(LEFT)) cy=(at(y(force.from))) r="3.5" {}
                text class="tick" x=(at(LEFT + 8.0)) y=(at(y(force.from) - 7.0)) { (force.ends.0) }
            }
            circle class="spot last" cx=(at(RIGHT)) cy=(at(y(force.to))) r="3.5" {}
            text class="tick" x=(at(RIGHT - 6.0)) y=(at(y(force.to) - 8.0)) text-anchor="end" { (force.ends.1) }
            text class="tick" x=(at(LEFT)) y="127" { "begins" }
            text class="tick" x=(at(RIGHT)) y="127" text-anchor="end" { "home" }
        }
    }
}
