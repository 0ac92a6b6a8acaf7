//! Pictures of figures, as SVG that stands in a page: pure functions from plain numbers to markup. Colours and strokes are classes of the page's style sheet;
//! what a picture says is also said in words beside it, and in its label for those who cannot see it. Every element is closed by `{}`: one that is left open
//! swallows its siblings.

pub mod cylinder;
pub mod force;
pub mod polar;
pub mod scale;
pub mod trend;

use crate::quantity::Verdict;

/// A coordinate, as short as it may be.
pub fn at(value: f64) -> String {
    let text = format!("{value:.1}");
    match text.strip_suffix(".0") {
        Some(whole) => whole.to_owned(),
        None => text,
    }
}

/// The class of a verdict: its colour.
pub fn class(verdict: Option<Verdict>) -> &'static str {
    match verdict {
        Some(Verdict::In) => "v-in",
        Some(Verdict::Out) => "v-out",
        Some(Verdict::NotProven) => "v-np",
        None => "v-none",
    }
}

/// The sign of a verdict as a path about a point, so that it is told by its shape too: a diamond is in, a cross out, a ring not proven.
pub fn sign(verdict: Option<Verdict>, x: f64, y: f64, size: f64) -> maud::Markup {
    let path = match verdict {
        Some(Verdict::Out) => format!(
            "M{} {}l{} {}m0 {}l{} {}",
            at(x - size),
            at(y - size),
            at(2.0 * size),
            at(2.0 * size),
            at(-2.0 * size),
            at(-2.0 * size),
            at(2.0 * size)
        ),
        Some(Verdict::NotProven) | None => format!(
            "M{} {}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0z",
            at(x - size),
            at(y),
            r = at(size),
            d = at(2.0 * size)
        ),
        Some(Verdict::In) => format!(
            "M{} {}l{s} {s}l-{s} {s}l-{s} -{s}z",
            at(x),
            at(y - size - 1.0),
            s = at(size + 1.0)
        ),
    };
    let shape = match verdict {
        Some(Verdict::In) => "full",
        Some(Verdict::Out) => "cross",
        _ => "ring",
    };
    maud::html! { path class={ (class(verdict)) " " (shape) } d=(path) {} }
}
