//! Presses: the force that was said, against what was expected and what the tool is rated for.

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::Given;
use super::fits::float;
use crate::judge::account::Pressing;
use crate::report::draw::force::{Force, force};
use crate::report::page::{own, plain};

/// Pressings that are drawn, the last ones.
const MOST: usize = 30;

pub(super) fn pressings(given: &Given<'_>) -> Markup {
    let all = &given.account.pressings;
    let shown = all.get(all.len().saturating_sub(MOST)..).unwrap_or_default();
    html! {
        @if !shown.is_empty() {
            h3 { "Press forces" }
            p class="small" { "From where the part began to move to where it came home, as it was read; shaded is what the parts let expect. Between the two ends the line is drawn straight." }
            div class="pictures" { @for pressing in shown { (one(given, pressing)) } }
        }
    }
}

fn one(given: &Given<'_>, pressing: &Pressing) -> Markup {
    let style = &given.style;
    let unit = style.unit(Some(pressing.unit));
    let figure = |base: Decimal| float(unit, base);
    let words = |base: Decimal| style.figure(base, Some(pressing.unit));
    let expected = pressing.expected.as_ref();
    let drawn = Force {
        from: figure(pressing.from).unwrap_or(0.0),
        to: figure(pressing.to).unwrap_or(0.0),
        ends: (words(pressing.from), words(pressing.to)),
        expected: expected.and_then(|band| Some((figure(band.lo?)?, figure(band.hi?)?))),
        rating: pressing
            .rating
            .as_ref()
            .and_then(|(rating, _)| Some((figure(*rating)?, format!("{} rated", words(*rating))))),
    };
    let label = format!(
        "{}: force {} to {}",
        pressing.step,
        words(pressing.from),
        words(pressing.to)
    );
    html! {
        figure {
            (force(&drawn, &plain(&label)))
            figcaption {
                (own(&pressing.step)) ", line " (pressing.line)
                @if let Some(band) = expected { "; expected " (style.band(band, Some(pressing.unit))) }
                @if let Some((rating, tool)) = &pressing.rating { "; " (own(tool)) " rated " (words(*rating)) }
                @if pressing.to < pressing.from { "; the force fell on the way" }
            }
        }
    }
}
