//! Marked-up text without its marks.

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

/// The words of a text in markdown, with a line for each of its lines and list items, and an empty line between its blocks.
pub fn plain(markdown: &str) -> String {
    let mut text = String::new();
    let end_line = |text: &mut String| {
        if !text.is_empty() && !text.ends_with('\n') {
            text.push('\n');
        }
    };
    for event in Parser::new(markdown) {
        match event {
            Event::Text(words) | Event::Code(words) | Event::Html(words) | Event::InlineHtml(words) => {
                text.push_str(&words);
            }
            Event::SoftBreak | Event::HardBreak => text.push('\n'),
            Event::Start(Tag::Item) => {
                end_line(&mut text);
                text.push_str("- ");
            }
            Event::Rule => {
                end_line(&mut text);
                text.push('\n');
            }
            Event::End(TagEnd::Item) => end_line(&mut text),
            Event::End(TagEnd::Paragraph | TagEnd::Heading(_) | TagEnd::List(_) | TagEnd::CodeBlock) => {
                end_line(&mut text);
                text.push('\n');
            }
            _ => {}
        }
    }
    text.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_stay_and_the_marks_go() {
        let markdown =
            "**side play** `0.41 mm`: *in*\\\nbuild 0.35\\_0.50\n\n- line 3: 0.40\n- line 9: ~~0.5~~\n\n---\n\nlast";
        assert_eq!(
            plain(markdown),
            "side play 0.41 mm: in\nbuild 0.35_0.50\n\n- line 3: 0.40\n- line 9: ~~0.5~~\n\n\nlast"
        );
    }
}
