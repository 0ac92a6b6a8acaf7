//! Findings for people: what is wrong, the line of the log with the place marked, the limit in its manual, what to do.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode};

use super::snippet::{Mark, Snippet};
use super::visible::{one_line, wrap};
use super::{KNOWN, Report, Summary, closing_line};
use crate::judge::{Finding, Severity};
use crate::syntax::Source;
use crate::workspace::Inspected;

/// How many findings of one file are shown in full.
pub const MOST_FINDINGS: usize = 50;

/// Longest message or help, in characters.
const MOST_PROSE: usize = 1_000;

/// Columns that line numbers and frame need.
const FRAME: usize = 12;

/// The report for people.
pub struct Text {
    /// Whether to colour.
    pub colour: bool,
    /// Columns of the terminal.
    pub width: usize,
}

impl Report for Text {
    fn file(&self, inspected: &Inspected) -> String {
        let mut out = String::new();
        // What is known is not told again, but for what can hurt someone.
        let told = |(at, finding): (usize, _)| {
            let known = inspected.marks.is_known(at);
            let finding: &Finding = finding;
            (!known || finding.severity == Severity::Danger).then_some((finding, known))
        };
        let mut shown: Vec<(&Finding, bool)> = inspected.findings.iter().enumerate().filter_map(told).collect();
        let all = shown.len();
        if all > MOST_FINDINGS {
            // The gravest are shown, in the order of the file. Sorting is stable, so the earlier of two alike stays.
            let mut order: Vec<usize> = (0..shown.len()).collect();
            order.sort_by_key(|at| std::cmp::Reverse(shown.get(*at).map(|(f, _)| f.severity)));
            order.truncate(MOST_FINDINGS);
            order.sort_unstable();
            shown = order.iter().filter_map(|at| shown.get(*at).copied()).collect();
        }
        for (finding, known) in &shown {
            self.finding(finding, *known, &inspected.source, &mut out);
            out.push('\n');
        }
        let more = all - shown.len();
        if more > 0 {
            let name = one_line(&inspected.source.name, 400);
            out.push_str(&format!(
                "{name}: … and {more} more in this file; --as line shows all\n\n"
            ));
        }
        out
    }

    fn closing(&self, summary: &Summary) -> String {
        let mut line = closing_line(summary);
        line.push('\n');
        line
    }
}

impl Text {
    /// Draws one finding.
    fn finding(&self, finding: &Finding, known: bool, source: &Source, out: &mut String) {
        let mut marks = vec![Mark {
            source,
            span: finding.span,
            label: &finding.label,
        }];
        for related in &finding.related {
            marks.push(Mark {
                source: related.source.as_deref().unwrap_or(source),
                span: related.span,
                label: &related.message,
            });
        }
        let shown = Shown(Snippet::new(&marks, self.width.saturating_sub(FRAME).clamp(40, 160)));
        let theme = self.theme(finding.severity, shown.0.labels());
        let (head, advice) = (theme.styles.error, theme.styles.help);
        let width = self.width.max(40);

        let code = format!("{}[{}]", finding.severity.word(), finding.code);
        let message = one_line(&finding.message, MOST_PROSE);
        let mark = if known { KNOWN } else { "" };
        let prose = wrap(&format!("{code} {message}{mark}"), width, "  ");
        let prose = prose.trim_start();
        out.push_str(&head.style(&code).to_string());
        out.push_str(prose.strip_prefix(&code).unwrap_or(prose));
        out.push('\n');

        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(width)
            .with_context_lines(0)
            .with_links(false)
            .without_syntax_highlighting()
            .without_cause_chain();
        let mut drawn = String::new();
        if handler.render_report(&mut drawn, &shown).is_ok() {
            // The first line is the message, which is written above, in our own words for the severity.
            out.push_str(drawn.split_once('\n').map_or("", |(_, rest)| rest));
        }
        let fix = finding.fix.as_ref().map_or("", |fix| fix.title.as_str());
        for (title, text) in [("help:", finding.help.as_str()), ("fix:", fix)] {
            if !text.is_empty() {
                let prose = wrap(&one_line(text, MOST_PROSE), width - 2, "        ");
                let title = advice.style(format!("{title:>7}")).to_string();
                out.push_str(&format!("{title} {}\n", prose.trim_start()));
            }
        }
    }

    /// The frame and its colours: the main place in the colour of the severity, the others in that of the help.
    fn theme(&self, severity: Severity, labels: &[LabeledSpan]) -> GraphicalTheme {
        let mut theme = if self.colour {
            GraphicalTheme::unicode()
        } else {
            GraphicalTheme::unicode_nocolor()
        };
        if self.colour {
            let styles = &mut theme.styles;
            styles.error = match severity {
                Severity::Danger => styles.error.bold(),
                Severity::Fault => styles.error,
                Severity::Doubt => styles.warning,
                Severity::Open => styles.advice,
            };
            styles.link = styles.linum;
            let (main, other) = (styles.error, styles.help);
            styles.highlights = labels
                .iter()
                .map(|label| if label.primary() { main } else { other })
                .collect();
        }
        theme
    }
}

/// The part of a finding that is drawn. The message before it and the help behind it are written apart, in words of
/// our own.
struct Shown(Snippet);

impl fmt::Display for Shown {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl fmt::Debug for Shown {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.0)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.0.labels().iter().cloned()))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::judge::{Fix, Related, Tally};
    use crate::syntax::Span;
    use crate::workspace::{Kind, Marks};

    fn finding(severity: Severity, span: Span) -> Finding {
        Finding {
            code: "limit.out",
            severity,
            message: "web width is 52.53 mm, 0.48 mm above the limit".to_owned(),
            span,
            label: "0.48 mm above".to_owned(),
            help: "Measure again.".to_owned(),
            related: Vec::new(),
            fix: None,
            reason: None,
            was: None,
        }
    }

    fn drawn(name: &str, text: &str, findings: Vec<Finding>, colour: bool) -> String {
        let inspected = Inspected {
            source: Arc::new(Source::new(name, text)),
            kind: Kind::Log,
            findings,
            tally: Tally::default(),
            order: Vec::new(),
            marks: Marks::default(),
        };
        Text { colour, width: 80 }.file(&inspected)
    }

    #[test]
    fn the_place_the_first_reading_and_the_limit_are_drawn() {
        let manual = Arc::new(Source::new(
            "m.manual",
            "feature web width\n\tbuild 51.90 to 52.05 mm\n",
        ));
        let text = "web\t汉 = 52.40 mm\r\nnote\r\nweb\t汉 = 52.53 mm\r\n";
        let mut out = finding(Severity::Fault, Span::new(36, 44));
        out.related = vec![
            Related {
                source: Some(manual),
                span: Span::new(25, 42),
                message: "the limit".to_owned(),
            },
            Related {
                source: None,
                span: Span::new(10, 18),
                message: "first read here".to_owned(),
            },
        ];
        out.fix = Some(Fix {
            title: "write 52.03".to_owned(),
            edits: Vec::new(),
        });
        insta::assert_snapshot!(drawn("a.rebuild", text, vec![out], false), @r"
        fault[limit.out] web width is 52.53 mm, 0.48 mm above the limit
           ╭─[a.rebuild:3:9]
         1 │ web 汉 = 52.40 mm
           ·          ────┬───
           ·              ╰── first read here
         2 │ note
         3 │ web 汉 = 52.53 mm
           ·          ────┬───
           ·              ╰── 0.48 mm above
           ╰────
           ╭─[m.manual:2:8]
         2 │     build 51.90 to 52.05 mm
           ·           ────────┬────────
           ·                   ╰── the limit
           ╰────
          help: Measure again.
           fix: write 52.03
        ");
    }

    #[test]
    fn a_place_at_the_very_end_of_a_file_without_a_line_end_is_drawn() {
        let text = "job x\nweb";
        let out = drawn("a.rebuild", text, vec![finding(Severity::Open, Span::new(9, 9))], false);
        assert!(out.contains("a.rebuild:2:4"), "{out}");
        assert!(out.contains('▲'), "{out}");
        let empty = drawn("a.rebuild", "", vec![finding(Severity::Open, Span::new(0, 0))], false);
        assert!(empty.contains("a.rebuild:1:1"), "{empty}");
        let beyond = drawn("a.rebuild", "é", vec![finding(Severity::Open, Span::new(1, 99))], false);
        assert!(beyond.contains("a.rebuild:1:1"), "{beyond}");
    }

    #[test]
    fn a_place_over_many_lines_is_shown_by_its_first_line() {
        let text = "row\n".repeat(1_000);
        let out = drawn(
            "a.rebuild",
            &text,
            vec![finding(Severity::Fault, Span::new(4, 3_000))],
            false,
        );
        assert!(out.lines().count() < 10, "{out}");
        let few = drawn(
            "a.rebuild",
            &text,
            vec![finding(Severity::Fault, Span::new(4, 14))],
            false,
        );
        assert_eq!(few.matches("row").count(), 3, "{few}");
    }

    #[test]
    fn nothing_raw_from_a_file_reaches_the_terminal() {
        let mut bad = finding(Severity::Fault, Span::new(0, 4));
        bad.message = "a\u{1b}[31m\nb".to_owned();
        bad.label = "\u{7}".to_owned();
        bad.help = "\u{202e}".to_owned();
        let out = drawn("a\u{1b}[2J.rebuild", "\u{1b}[31m\0\u{202e}\n", vec![bad], false);
        assert!(
            !out.chars().any(|c| c != '\n' && (c.is_control() || c == '\u{202e}')),
            "{out:?}"
        );
        assert!(out.contains('␛') && out.contains('␀'), "{out}");
    }

    #[test]
    fn each_severity_has_its_word_and_colour_only_if_asked() {
        for severity in [Severity::Danger, Severity::Fault, Severity::Doubt, Severity::Open] {
            let plain = drawn("a.rebuild", "web\n", vec![finding(severity, Span::new(0, 3))], false);
            assert!(
                plain.starts_with(&format!("{}[limit.out] ", severity.word())),
                "{plain}"
            );
            assert!(!plain.contains('\u{1b}'));
            let bright = drawn("a.rebuild", "web\n", vec![finding(severity, Span::new(0, 3))], true);
            assert!(bright.starts_with('\u{1b}'), "{bright}");
        }
    }

    #[test]
    fn the_main_place_has_the_colour_of_the_severity_wherever_it_stands() {
        let mut later = finding(Severity::Fault, Span::new(8, 11));
        later.related.push(Related {
            source: None,
            span: Span::new(0, 3),
            message: "first read here".to_owned(),
        });
        let out = drawn("a.rebuild", "one\ntwo\nthree\n", vec![later], true);
        let (red, cyan) = ("\u{1b}[31m", "\u{1b}[36m");
        assert!(out.contains(&format!("{red}0.48 mm above")), "{out}");
        assert!(out.contains(&format!("{cyan}first read here")), "{out}");
    }

    #[test]
    fn of_too_many_the_gravest_are_shown() {
        let text = "web\n".repeat(200);
        let mut findings: Vec<Finding> = (0..199)
            .map(|at| finding(Severity::Open, Span::new(at * 4, at * 4 + 3)))
            .collect();
        findings.push(finding(Severity::Danger, Span::new(199 * 4, 199 * 4 + 3)));
        let out = drawn("a.rebuild", &text, findings, false);
        assert_eq!(out.matches("[limit.out]").count(), MOST_FINDINGS);
        assert_eq!(out.matches("danger[limit.out]").count(), 1);
        assert!(out.contains("… and 150 more in this file; --as line shows all"));
    }

    #[test]
    fn a_line_of_fifty_megabytes_is_clipped() {
        let mut text = "x".repeat(25_000_000);
        text.push_str("HERE");
        text.push_str(&"y".repeat(25_000_000));
        let out = drawn(
            "a.rebuild",
            &text,
            vec![finding(Severity::Fault, Span::new(25_000_000, 25_000_004))],
            false,
        );
        assert!(out.len() < 2_000, "{}", out.len());
        assert!(out.contains("HERE") && out.contains("a.rebuild:1:25000001"), "{out}");
    }

    proptest::proptest! {
        /// Whatever the text and wherever the places, drawing neither fails nor lets anything raw through.
        #[test]
        fn any_text_and_any_place_can_be_drawn(
            text in "(\\PC|[\\t\\r\\n\\x00\\x1b\u{301}\u{202e}汉é]|web = 52.03 mm\n){0,60}",
            places in proptest::collection::vec((0u32..200, 0u32..60), 1..6),
        ) {
            let mut spans = places.into_iter().map(|(start, length)| Span { start, end: start + length });
            let mut first = finding(Severity::Fault, spans.next().unwrap_or_default());
            let other = Arc::new(Source::new("m.manual", text.clone()));
            first.related = spans
                .enumerate()
                .map(|(number, span)| Related {
                    source: (number % 2 == 1).then(|| Arc::clone(&other)),
                    span,
                    message: "also here".to_owned(),
                })
                .collect();
            let marks = first.related.len();
            let out = drawn("a.rebuild", &text, vec![first], false);
            proptest::prop_assert!(
                !out.chars().any(|c| c != '\n' && (c.is_control() || c == '\u{202e}')),
                "{:?}", out
            );
            proptest::prop_assert!(!out.contains("Failed to read"), "{}", out);
            proptest::prop_assert_eq!(out.matches("0.48 mm above\n").count(), 1, "{}", out);
            proptest::prop_assert_eq!(out.matches("also here").count(), marks, "{}", out);
        }
    }
}
