//! What is shown, put together: a title, short facts below it, and lists with a heading. Markdown that reads well as plain text too.

/// So many lines of a list are shown; the rest is counted.
const MOST: usize = 8;

/// The text of a hover while it is put together.
#[derive(Debug, Default)]
pub(super) struct Card {
    title: String,
    blocks: Vec<(String, Vec<String>)>,
}

impl Card {
    /// With its first line; markdown, so user text in it is [`code`] or [`plain`] already.
    pub(super) fn new(title: impl Into<String>) -> Card {
        Card {
            title: title.into(),
            blocks: vec![(String::new(), Vec::new())],
        }
    }

    /// Adds a short fact, as markdown; an empty one is left out.
    pub(super) fn fact(&mut self, fact: impl Into<String>) {
        let fact = fact.into();
        if let Some((_, facts)) = self.blocks.first_mut().filter(|_| !fact.is_empty()) {
            facts.push(fact);
        }
    }

    /// Adds a list with its heading, of which so many are shown as a glance takes in; an empty one is left out.
    pub(super) fn list(&mut self, heading: &str, mut lines: Vec<String>) {
        if lines.is_empty() {
            return;
        }
        let more = lines.len().saturating_sub(MOST);
        lines.truncate(MOST);
        if more > 0 {
            lines.push(format!("and {more} more"));
        }
        self.blocks.push((heading.to_owned(), lines));
    }

    /// As markdown.
    pub(super) fn markdown(&self) -> String {
        let mut out = self.title.clone();
        for (heading, lines) in self.blocks.iter().filter(|(_, lines)| !lines.is_empty()) {
            out.push_str("\n\n");
            if !heading.is_empty() {
                out.push_str(heading);
                out.push_str("\n\n");
            }
            let lines: Vec<String> = lines.iter().map(|line| format!("- {line}")).collect();
            out.push_str(&lines.join("\n"));
        }
        out
    }
}

/// User text as it was written, in a code span: nothing in it is markdown any more. Its blanks are folded to one.
pub(super) fn code(text: &str) -> String {
    let text = fold(text);
    if text.is_empty() {
        return String::new();
    }
    // A fence longer than any run of backticks in it, as CommonMark has it.
    let longest = text.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(longest + 1);
    if longest > 0 {
        format!("{fence} {text} {fence}")
    } else {
        format!("{fence}{text}{fence}")
    }
}

/// User text amid a sentence, with every sign that markdown would take for its own escaped. Its blanks are folded to one.
pub(super) fn plain(text: &str) -> String {
    let text = fold(text);
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '#' | '!'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// The blanks of a text folded to one; what no screen shows is left out.
fn fold(text: &str) -> String {
    let shown: String = text.chars().filter(|c| c.is_whitespace() || !c.is_control()).collect();
    shown.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn user_text_is_never_markdown() {
        assert_eq!(plain("a *b* [c](d) <e> ~f_g"), "a \\*b\\* \\[c\\](d) \\<e\\> \\~f\\_g");
        assert_eq!(code("press  in\tpin"), "`press in pin`");
        assert_eq!(code("a `b` c"), "`` a `b` c ``");
        assert_eq!(code(" "), "");
    }

    #[test]
    fn a_long_list_is_counted() {
        let mut card = Card::new("**x**");
        card.fact("one");
        card.fact("");
        card.list("more:", (0..10).map(|n| n.to_string()).collect());
        assert!(card.markdown().ends_with("- 7\n- and 2 more"));
        assert!(card.markdown().starts_with("**x**\n\n- one\n\nmore:\n\n- 0\n"));
    }
}
