//! The last line of a report: what was judged, in figures.

use super::{Counts, Summary};

/// Sums everything up in one line: files, verdicts, findings.
pub fn closing_line(summary: &Summary) -> String {
    let mut files = Vec::new();
    if summary.logs == 0 && summary.manuals == 0 {
        return format!("Nothing was judged.{}", unread(summary));
    }
    if summary.logs > 0 {
        files.push(count(summary.logs, "log", "logs"));
    }
    if summary.manuals > 0 {
        files.push(count(summary.manuals, "manual", "manuals"));
    }
    let mut line = files.join(", ");

    let tally = &summary.tally;
    let mut parts = Vec::new();
    if tally.judged > 0 {
        let history = match tally.history {
            0 => String::new(),
            1 => " (1 of these is history)".to_owned(),
            number => format!(" ({number} of these are history)"),
        };
        let close = match tally.close {
            0 => String::new(),
            number => format!(", {number} too close to call"),
        };
        parts.push(format!(
            "{} judged: {} in, {} out, {} not proven{close}{history}",
            count(tally.judged, "reading", "readings"),
            tally.inside,
            tally.out,
            tally.not_proven
        ));
    } else if summary.logs > 0 {
        parts.push("no reading was judged".to_owned());
    }
    if tally.corrected > 0 {
        parts.push(format!("{} corrected for zero or temperature", tally.corrected));
    }
    if tally.stale > 0 {
        parts.push(format!("{} stale", tally.stale));
    }
    if tally.unjudged > 0 {
        parts.push(format!("{} without a limit", tally.unjudged));
    }
    if tally.steps_open > 0 {
        parts.push(format!("{} open", count(tally.steps_open, "step", "steps")));
    }
    if !parts.is_empty() {
        line.push_str(": ");
        line.push_str(&parts.join("; "));
    }
    line.push_str(". ");

    match found(summary.counts) {
        Some(found) => line.push_str(&format!("{found}.")),
        None if summary.compared => line.push_str("Nothing new found."),
        None => line.push_str("Nothing found."),
    }
    if let Some(known) = found(summary.known) {
        line.push_str(&format!(" Known from the baseline: {known}."));
    }
    line.push_str(&unread(summary));
    line
}

/// How many of each severity; `None` if there are none.
fn found(counts: Counts) -> Option<String> {
    let found: Vec<String> = [
        (counts.danger, "danger", "dangers"),
        (counts.fault, "fault", "faults"),
        (counts.doubt, "doubt", "doubts"),
        (counts.open, "open", "open"),
    ]
    .into_iter()
    .filter(|(number, _, _)| *number > 0)
    .map(|(number, one, many)| count(number, one, many))
    .collect();
    (!found.is_empty()).then(|| found.join(", "))
}

/// A sentence on what could not be read, with a blank before it; empty if all could be.
fn unread(summary: &Summary) -> String {
    match summary.unread.len() {
        0 => String::new(),
        number => format!(" {} could not be read.", count(number, "path", "paths")),
    }
}

/// A number with its noun: `1 log`, `2 logs`.
fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::super::Unread;
    use super::*;
    use crate::judge::Tally;

    #[test]
    fn everything_at_once() {
        let summary = Summary {
            logs: 5,
            manuals: 3,
            tally: Tally {
                judged: 214,
                inside: 205,
                out: 6,
                not_proven: 3,
                close: 2,
                corrected: 7,
                history: 4,
                stale: 6,
                unjudged: 12,
                steps_open: 2,
            },
            counts: Counts {
                danger: 1,
                fault: 9,
                doubt: 3,
                open: 2,
            },
            ..Summary::default()
        };
        assert_eq!(
            closing_line(&summary),
            "5 logs, 3 manuals: 214 readings judged: 205 in, 6 out, 3 not proven, 2 too close to call (4 of these are history); 7 corrected \
             for zero or temperature; 6 stale; 12 without a limit; 2 steps open. 1 danger, 9 faults, 3 doubts, 2 open."
        );
    }

    #[test]
    fn one_of_each_and_nothing_found() {
        let mut summary = Summary {
            logs: 1,
            tally: Tally {
                judged: 1,
                inside: 1,
                ..Tally::default()
            },
            ..Summary::default()
        };
        assert_eq!(
            closing_line(&summary),
            "1 log: 1 reading judged: 1 in, 0 out, 0 not proven. Nothing found."
        );
        summary.unread.push(Unread {
            path: "a.rebuild".to_owned(),
            reason: "gone".to_owned(),
        });
        assert!(closing_line(&summary).ends_with("Nothing found. 1 path could not be read."));
    }

    #[test]
    fn what_the_baseline_has_is_counted_apart() {
        let mut summary = Summary {
            manuals: 2,
            compared: true,
            ..Summary::default()
        };
        assert_eq!(closing_line(&summary), "2 manuals. Nothing new found.");
        summary.known.danger = 1;
        summary.known.fault = 12;
        assert_eq!(
            closing_line(&summary),
            "2 manuals. Nothing new found. Known from the baseline: 1 danger, 12 faults."
        );
        summary.counts.doubt = 1;
        assert_eq!(
            closing_line(&summary),
            "2 manuals. 1 doubt. Known from the baseline: 1 danger, 12 faults."
        );
    }

    #[test]
    fn manuals_alone() {
        let summary = Summary {
            manuals: 1,
            ..Summary::default()
        };
        assert_eq!(closing_line(&summary), "1 manual. Nothing found.");
    }
}
