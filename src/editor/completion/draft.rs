//! A text with places to fill in, written at once as plain text and as a snippet.

/// A text being put together.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    text: String,
    snippet: String,
    stops: usize,
}

impl Draft {
    /// Begins with a text that stands as it is.
    pub fn of(text: &str) -> Draft {
        Draft::default().say(text)
    }

    /// A text that stands as it is.
    pub fn say(mut self, text: &str) -> Draft {
        self.text.push_str(text);
        escaped(text, &mut self.snippet);
        self
    }

    /// A place to fill in, with what stands there until then; it may be empty.
    pub fn stop(mut self, usual: &str) -> Draft {
        self.stops += 1;
        self.text.push_str(usual);
        if usual.is_empty() {
            self.snippet.push_str(&format!("${}", self.stops));
            return self;
        }
        self.snippet.push_str(&format!("${{{}:", self.stops));
        escaped(usual, &mut self.snippet);
        self.snippet.push('}');
        self
    }

    /// Another draft behind this one.
    pub fn join(mut self, other: &Draft) -> Draft {
        let mut rest = other.snippet.as_str();
        while let Some(at) = stop_at(rest) {
            let (before, behind) = rest.split_at(at);
            self.snippet.push_str(before);
            let opened = behind.starts_with("${");
            let digits = behind.trim_start_matches(['$', '{']);
            let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
            let number: usize = digits.get(..end).and_then(|n| n.parse().ok()).unwrap_or(0);
            let number = number + self.stops;
            self.snippet.push_str(&if opened {
                format!("${{{number}")
            } else {
                format!("${number}")
            });
            rest = digits.get(end..).unwrap_or("");
        }
        self.snippet.push_str(rest);
        self.text.push_str(&other.text);
        self.stops += other.stops;
        self
    }

    /// The plain text, and the snippet where there is anything to fill in.
    pub fn done(self) -> (String, Option<String>) {
        (self.text, (self.stops > 0).then_some(self.snippet))
    }
}

/// Where the first place to fill in begins; an escaped `$` is none.
fn stop_at(snippet: &str) -> Option<usize> {
    let mut is_escaped = false;
    for (at, c) in snippet.char_indices() {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '$' => return Some(at),
            _ => {}
        }
    }
    None
}

/// Writes a text so that a snippet shows it as it is.
fn escaped(text: &str, into: &mut String) {
    for c in text.chars() {
        if matches!(c, '$' | '}' | '\\') {
            into.push('\\');
        }
        into.push(c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_snippet_would_read_is_escaped() {
        let (text, snippet) = Draft::of("price 3 $ \\ {a}").stop("b}").stop("").done();
        assert_eq!(text, "price 3 $ \\ {a}b}");
        assert_eq!(snippet.as_deref(), Some("price 3 \\$ \\\\ {a\\}${1:b\\}}$2"));
    }

    #[test]
    fn places_are_numbered_through() {
        let first = Draft::of("force ").stop("7").say(" t");
        let both = first.clone().say(", ").join(&first).join(&Draft::of("$ ").stop(""));
        assert_eq!(both.done().1.as_deref(), Some("force ${1:7} t, force ${2:7} t\\$ $3"));
        assert_eq!(Draft::of("oiled").done().1, None);
    }
}
