//! Run-out before and after each correction.

use maud::{Markup, html};

use super::Given;
use super::fits::float;
use crate::judge::account::{RunOuts, Turn};
use crate::report::draw::polar::{Spot, polar};
use crate::report::page::{own, plain};

/// Turns that are drawn and told, the last ones.
const MOST: usize = 24;

pub(super) fn run_outs(given: &Given<'_>) -> Markup {
    html! { @for outs in &given.account.run_outs { (one(given, outs)) } }
}

fn one(given: &Given<'_>, outs: &RunOuts) -> Markup {
    let turns = outs
        .turns
        .get(outs.turns.len().saturating_sub(MOST)..)
        .unwrap_or_default();
    let mut places: Vec<&str> = Vec::new();
    for high in turns.iter().flat_map(|turn| &turn.highs) {
        if !places.contains(&high.place.as_str()) {
            places.push(&high.place);
        }
    }
    html! {
        h3 { (own(&outs.name)) ", turn by turn" }
        div class="pictures" { @for place in &places { (picture(given, outs, turns, place)) } }
        table class="stack" {
            caption { "Whole swing of the needle, and the angle from the pin where it reads highest" }
            thead {
                tr {
                    th scope="col" { "Turn" }
                    @for place in &places { th scope="col" { @if place.is_empty() { "Reading" } @else { (own(place)) } } }
                    th scope="col" { "What was done before it" }
                }
            }
            tbody { @for (number, turn) in turns.iter().enumerate() { (row(given, outs, number + 1, turn, &places)) } }
        }
    }
}

fn picture(given: &Given<'_>, outs: &RunOuts, turns: &[Turn], place: &str) -> Markup {
    let unit = given.style.unit(outs.unit);
    let spots: Vec<Spot> = turns
        .iter()
        .enumerate()
        .filter_map(|(number, turn)| {
            let high = turn.highs.iter().find(|high| high.place == place)?;
            Some(Spot {
                number: number + 1,
                swing: float(unit, high.swing)?,
                angle: float(None, high.angle)?,
            })
        })
        .collect();
    let limit = outs.most.map_or_else(String::new, |most| {
        format!("up to {}", given.style.figure(most, outs.unit))
    });
    let last = spots.last();
    let label = format!(
        "{} {}: {} turns, the last {}",
        outs.name,
        place,
        spots.len(),
        last.map_or_else(String::new, |spot| format!("{} at {}°", spot.swing, spot.angle))
    );
    polar(
        &plain(place),
        &spots,
        widest(given, outs, turns),
        outs.most.and_then(|most| float(unit, most)),
        &limit,
        &plain(&label),
    )
}

/// The greatest swing of all places, or the limit where that is more.
fn widest(given: &Given<'_>, outs: &RunOuts, turns: &[Turn]) -> f64 {
    let unit = given.style.unit(outs.unit);
    let swings = turns.iter().flat_map(|turn| &turn.highs).map(|high| high.swing);
    let all = swings.chain(outs.most).filter_map(|swing| float(unit, swing));
    all.fold(0.0, f64::max)
}

fn row(given: &Given<'_>, outs: &RunOuts, number: usize, turn: &Turn, places: &[&str]) -> Markup {
    html! {
        tr {
            th scope="row" { (number) br; span class="small" { @if !turn.stage.is_empty() { (own(&turn.stage)) ", " } "line " (turn.line) } }
            @for place in places {
                td data-of=(plain(place)) {
                    @if let Some(high) = turn.highs.iter().find(|high| high.place == *place) {
                        (given.style.figure(high.swing, outs.unit)) " at " (high.angle.normalize()) "° "
                        @if high.verdict.is_some() { (super::verdict(high.verdict, false, false)) }
                    } @else { span class="small" { "not read" } }
                }
            }
            td data-of=[(!turn.after.is_empty()).then_some("Before it")] {
                @for (place, step) in turn.after.iter().enumerate() { @if place > 0 { br; } (own(step)) }
            }
        }
    }
}
