//! A log that is written by taking proposals and typing figures, as at a bench.
#![allow(dead_code)]

use gudgeon::editor::completion::{Around, Completion, completions};

use super::editor::log_page;

/// What lies around a log of the tests.
pub fn around() -> Around {
    Around {
        manuals: vec!["tarn-250".to_owned(), "pressed crank".to_owned()],
        machines: vec!["Tarn 250 trials single, frame TN-0417".to_owned()],
        photos: vec!["pictures/pin-flush.jpg".to_owned()],
        today: "2026-11-26".to_owned(),
    }
}

/// A log being written.
#[derive(Default)]
pub struct Writing {
    /// The text so far.
    pub text: String,
    /// What was typed by hand, in order.
    pub typed: Vec<String>,
    /// How many proposals were taken.
    pub taken: usize,
}

impl Writing {
    /// What is proposed at the end.
    pub fn offered(&self) -> Vec<Completion> {
        let page = log_page("", &self.text);
        completions(&page, u32::try_from(self.text.len()).expect("a short text"), &around())
    }

    /// Takes the proposal of this label and fills in its places, in order; a `_` leaves what stands there.
    #[track_caller]
    pub fn take(&mut self, label: &str, figures: &[&str]) -> &mut Self {
        let offered = self.offered();
        let labels: Vec<&str> = offered.iter().map(|one| one.label.as_str()).collect();
        let one = offered
            .iter()
            .find(|one| one.label == label)
            .unwrap_or_else(|| panic!("`{label}` is not proposed, but {labels:#?}\nbehind\n{}", self.text));
        let range = one.replaces.range();
        let filled = fill(one.snippet.as_deref().unwrap_or(&one.text), figures);
        self.text.replace_range(range, &filled);
        self.typed
            .extend(figures.iter().filter(|f| **f != "_").map(|f| (*f).to_owned()));
        self.taken += 1;
        self
    }

    /// The same, but it must be among the first few that are proposed.
    #[track_caller]
    pub fn take_early(&mut self, label: &str, figures: &[&str]) -> &mut Self {
        let offered = self.offered();
        let place = offered.iter().position(|one| one.label == label);
        let labels: Vec<&str> = offered.iter().take(12).map(|one| one.label.as_str()).collect();
        assert!(
            place.is_some_and(|at| at < 8),
            "`{label}` does not come early: {labels:#?}\nbehind\n{}",
            self.text
        );
        self.take(label, figures)
    }

    /// The same, but it must be the first that is proposed.
    #[track_caller]
    pub fn take_first(&mut self, label: &str, figures: &[&str]) -> &mut Self {
        let offered = self.offered();
        let labels: Vec<&str> = offered.iter().take(6).map(|one| one.label.as_str()).collect();
        assert_eq!(labels.first(), Some(&label), "{labels:#?}\nbehind\n{}", self.text);
        self.take(label, figures)
    }

    /// Ends the line.
    pub fn enter(&mut self) -> &mut Self {
        self.text.push('\n');
        self
    }
}

/// A snippet with its places filled in, in order; what is `_`, or not given, stays as it stands there.
#[track_caller]
pub fn fill(snippet: &str, figures: &[&str]) -> String {
    let mut out = String::new();
    let mut rest = snippet.chars().peekable();
    let mut next = 1;
    while let Some(c) = rest.next() {
        match c {
            '\\' => out.extend(rest.next()),
            '$' => {
                let mut usual = String::new();
                let braced = rest.next_if_eq(&'{').is_some();
                let mut number = String::new();
                while let Some(digit) = rest.next_if(char::is_ascii_digit) {
                    number.push(digit);
                }
                assert_eq!(number, next.to_string(), "places are numbered in order: {snippet}");
                if braced {
                    assert_eq!(rest.next(), Some(':'), "{snippet}");
                    loop {
                        match rest.next() {
                            Some('\\') => usual.extend(rest.next()),
                            Some('}') => break,
                            Some(c) => usual.push(c),
                            None => panic!("not closed: {snippet}"),
                        }
                    }
                }
                match figures.get(next - 1) {
                    Some(figure) if *figure != "_" => out.push_str(figure),
                    _ => out.push_str(&usual),
                }
                next += 1;
            }
            '}' => panic!("a bare `}}` in {snippet}"),
            c => out.push(c),
        }
    }
    assert!(figures.len() < next, "too many figures for {snippet}");
    out
}
