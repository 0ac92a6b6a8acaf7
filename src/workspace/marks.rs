//! By what a finding is known again in another run, and whether it was known before.

use std::fmt::Write;

use rustc_hash::FxHashMap;
use sha2::{Digest, Sha256};

use crate::judge::{Finding, Severity};
use crate::syntax::Source;

/// Bytes of the hash that are kept: enough that two findings of one repository never meet by chance.
const KEPT: usize = 16;

/// How a finding stands to the baseline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum State {
    /// There is no baseline.
    #[default]
    Uncompared,
    /// The baseline does not have it, or has it as less grave.
    New,
    /// The baseline has it.
    Known,
}

/// What one finding is known by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// 32 hexadecimal digits; see [`fingerprints`].
    pub fingerprint: String,
    /// How it stands to the baseline.
    pub state: State,
}

/// What the findings of one file are known by, and from which severity on they make a run fail.
#[derive(Clone, Debug)]
pub struct Marks {
    /// The least severity that makes a run fail.
    pub fails_from: Severity,
    /// One for each finding, in their order; empty where nobody asked.
    pub of: Vec<Mark>,
}

impl Default for Marks {
    fn default() -> Marks {
        Marks {
            fails_from: Severity::Fault,
            of: Vec::new(),
        }
    }
}

impl Marks {
    /// The mark of a finding by its number.
    pub fn get(&self, at: usize) -> Option<&Mark> {
        self.of.get(at)
    }

    /// Whether the baseline has the finding of this number.
    pub fn is_known(&self, at: usize) -> bool {
        self.get(at).is_some_and(|mark| mark.state == State::Known)
    }
}

/// The fingerprints of the findings of one file, in their order. `path` is that from the root of the repository.
///
/// A fingerprint is SHA-256 over the code, the path, the line's own words (whatever the blanks between them), the names that the message quotes of that
/// line, and which finding of the same it is. So it stays when lines are put in or taken out elsewhere, when the file is laid out anew, when another line's
/// number or a figure stands in the message, and on another machine.
pub fn fingerprints(path: &str, source: &Source, findings: &[Finding]) -> Vec<String> {
    let keys: Vec<String> = findings.iter().map(|finding| key(path, source, finding)).collect();
    let mut order: Vec<usize> = (0..findings.len()).collect();
    let place = |at: &usize| {
        findings
            .get(*at)
            .map(|f| (f.span.start, f.span.end, f.message.as_str()))
    };
    order.sort_by(|a, b| place(a).cmp(&place(b)));
    let mut counted: FxHashMap<&str, usize> = FxHashMap::default();
    let mut out = vec![String::new(); findings.len()];
    for at in order {
        let (Some(key), Some(slot)) = (keys.get(at), out.get_mut(at)) else {
            continue;
        };
        let nth = counted.entry(key).or_default();
        *slot = hashed(&format!("{key}\0{nth}"));
        *nth += 1;
    }
    out
}

/// The words of the line a finding stands on, one blank between them.
pub fn line_words(source: &Source, finding: &Finding) -> String {
    let line = source.lines.line_of(finding.span.start);
    let text = source.lines.line_span(line, &source.text).text(&source.text);
    let text = text.trim_start_matches('\u{FEFF}');
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn key(path: &str, source: &Source, finding: &Finding) -> String {
    let line = line_words(source, finding);
    let names = quoted(&finding.message).join("\u{1}");
    format!("{}\0{path}\0{line}\0{names}", finding.code)
}

/// The names in backquotes, but for those of other lines (`cut seats` on line 75): which step overtook a reading may change with every line behind it.
fn quoted(message: &str) -> Vec<&str> {
    let parts: Vec<&str> = message.split('`').collect();
    let mut names = Vec::new();
    for pair in parts.windows(3).step_by(2) {
        if let [_, name, behind] = pair
            && !behind.starts_with(" on line ")
        {
            names.push(*name);
        }
    }
    names
}

fn hashed(text: &str) -> String {
    let mut out = String::with_capacity(2 * KEPT);
    for byte in Sha256::digest(text.as_bytes()).iter().take(KEPT) {
        // Writing into a string does not fail.
        let _ = write!(out, "{byte:02x}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::Span;

    /// Each place of a word in a text as a finding.
    fn marked(text: &str, word: &str, message: &str) -> Vec<String> {
        let source = Source::new("anywhere/a.rebuild", text);
        let findings: Vec<Finding> = text
            .match_indices(word)
            .map(|(at, _)| Finding::new("limit.out", Severity::Fault, Span::new(at, at + word.len()), message))
            .collect();
        fingerprints("logs/a.rebuild", &source, &findings)
    }

    #[test]
    fn it_stays_when_lines_move_or_are_laid_out_anew() {
        let before = marked("job x\nweb = 53.00 mm\n", "53.00", "overtaken by `press` on line 9");
        let after = marked(
            "job x\nnote new\n\n  web  =   53.00 mm\r\n",
            "53.00",
            "overtaken by `true` on line 12",
        );
        assert_eq!(before, after);
        assert_eq!(before[0].len(), 32);
        // SHA-256 of limit.out, logs/a.rebuild, the line, no names and 0, NUL between them, by Python's hashlib. Whoever changes it makes every baseline
        // worthless, and has to give the fingerprints of SARIF another name.
        assert_eq!(before[0], "b2a3e6599bd2273a8d403f7ac4fc3009");
    }

    #[test]
    fn it_changes_with_the_line_the_code_and_the_name() {
        let one = marked("web = 53.00 mm\n", "53.00", "`press` needs `oil`");
        assert_ne!(one, marked("web = 53.01 mm\n", "53.01", "`press` needs `oil`"));
        assert_ne!(one, marked("web = 53.00 mm\n", "53.00", "`press` needs `support`"));
        let source = Source::new("a", "web = 53.00 mm\n");
        let other = Finding::new("limit.close", Severity::Fault, Span::new(6, 11), "`press` needs `oil`");
        assert_ne!(
            one,
            fingerprints("logs/a.rebuild", &source, std::slice::from_ref(&other))
        );
        let elsewhere = Finding {
            code: "limit.out",
            ..other
        };
        assert_ne!(one, fingerprints("logs/b.rebuild", &source, &[elsewhere]));
    }

    #[test]
    fn of_two_alike_each_has_its_own_whatever_order_they_come_in() {
        let text = "web = 53.00\nweb = 53.00\n";
        let source = Source::new("a", text);
        let at = |start: usize| Finding::new("limit.out", Severity::Fault, Span::new(start, start + 3), "out");
        let forward = fingerprints("a", &source, &[at(0), at(12)]);
        let mut backward = fingerprints("a", &source, &[at(12), at(0)]);
        backward.reverse();
        assert_ne!(forward[0], forward[1]);
        assert_eq!(forward, backward);
    }

    #[test]
    fn quoted_names_are_those_of_the_line_itself() {
        assert_eq!(
            quoted("`press together` does not say `web supported`"),
            ["press together", "web supported"]
        );
        assert_eq!(
            quoted("read before `cut seats` on line 75, 2 more and `fit shims` on line 99"),
            Vec::<&str>::new()
        );
        assert_eq!(quoted("a lone ` is nothing"), Vec::<&str>::new());
    }
}
