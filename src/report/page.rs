//! The page that every report for people stands in: one file with all it needs, nothing fetched, nothing run.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest as _, Sha256};

/// The style sheet, the same for all reports.
const CSS: &str = include_str!("page.css");

/// What a browser may do with the page: show its own style sheet, known by its digest, and pictures that stand in it. Nothing else.
fn policy() -> String {
    let digest = STANDARD.encode(Sha256::digest(CSS.as_bytes()));
    format!("default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'")
}

/// A whole page. `title` stands in the browser's bar, `tag` at its head, `body` in its middle, `foot` at its end.
pub fn page(title: &str, tag: &Markup, nav: &[(&str, &str)], body: &Markup, foot: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy());
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                meta name="generator" content={ "gudgeon " (env!("CARGO_PKG_VERSION")) };
                title { (plain(title)) }
                style { (PreEscaped(CSS)) }
            }
            body {
                a class="skip" href="#main" { "To the report" }
                header class="tag" { div { (tag) } }
                @if !nav.is_empty() {
                    nav aria-label="Parts of this report" {
                        ul { @for (id, name) in nav { li { a href={ "#" (id) } { (name) } } } }
                    }
                }
                main id="main" { (body) }
                footer { (foot) }
            }
        }
    };
    let mut text = page.into_string();
    text.push('\n');
    text
}

/// Text from a file as it may be shown: control characters as symbols, marks that turn the reading direction of what follows taken out of force.
pub fn plain(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' => ' ',
            // Letters of every script are shown as they are, and so are the marks that only say which way they run.
            '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{61c}' => c,
            c => super::visible::symbol(c).unwrap_or(c),
        })
        .collect()
}

/// Text from a file, set apart so that its reading direction stays its own.
pub fn own(text: &str) -> Markup {
    html! { bdi { (plain(text)) } }
}

/// A sentence of the judge: what it quotes from the log, between backticks, is set apart.
pub fn remark(text: &str) -> Markup {
    let parts: Vec<&str> = text.split('`').collect();
    // A backtick without its fellow is one that the log says.
    if parts.len().is_multiple_of(2) {
        return own(text);
    }
    html! {
        bdi {
            @for (place, part) in parts.iter().enumerate() {
                @if place.is_multiple_of(2) { (plain(part)) } @else { code { (plain(part)) } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_policy_knows_the_style_sheet_and_nothing_else() {
        let text = page("t", &html! {}, &[], &html! {}, &html! {});
        let inside = text
            .split_once("<style>")
            .and_then(|(_, rest)| rest.split_once("</style>"));
        let (css, _) = inside.expect("a style sheet");
        let digest = STANDARD.encode(Sha256::digest(css.as_bytes()));
        assert!(
            text.contains(&format!("style-src &#39;sha256-{digest}&#39;"))
                || text.contains(&format!("style-src 'sha256-{digest}'"))
        );
        assert!(!text.contains("<script") && !text.contains("http://") && !text.contains("https://"));
    }

    #[test]
    fn what_a_remark_quotes_is_set_apart() {
        let shown = remark("`true crank` on line 87").into_string();
        assert_eq!(shown, "<bdi><code>true crank</code> on line 87</bdi>");
        assert_eq!(remark("a ` b").into_string(), "<bdi>a ` b</bdi>");
    }

    #[test]
    fn text_of_a_file_is_escaped_and_cannot_turn_the_line() {
        let shown = own("<b onmouseover=x>\u{202e}\u{1b}[2J").into_string();
        assert_eq!(shown, "<bdi>&lt;b onmouseover=x&gt;\u{fffd}␛[2J</bdi>");
        // Hebrew stays Hebrew.
        assert_eq!(own("שלום").into_string(), "<bdi>שלום</bdi>");
    }
}
