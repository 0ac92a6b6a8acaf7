//! What could not be read, or not be understood, as findings of the file itself.

use crate::judge::finding::{Edit, Example, Finding, Fix, Rule, Severity};
use crate::syntax::ast::SyntaxError;

/// A problem of reading as a finding.
pub fn finding(error: SyntaxError) -> Finding {
    let fix = error.suggestion.map(|(span, text)| Fix {
        title: format!("write `{text}`"),
        edits: vec![Edit { span, text }],
    });
    let severity = match error.code {
        "manual.duplicate" | "manual.no-reason" | "tool.fact" | "day.backwards" | "day.time" | "job.after-closed" => {
            Severity::Doubt
        }
        _ => Severity::Fault,
    };
    Finding::new(error.code, severity, error.span, error.message)
        .help(error.help)
        .fix(fix)
}

const CLEAN: Example = Example {
    manual: "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\n",
    log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n",
};

const fn log(log: &'static str) -> Example {
    Example {
        manual: CLEAN.manual,
        log,
    }
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "line.unread",
        severity: "fault",
        says: "A line could not be read.",
        why: "The line is kept as it is and everything else is read, but what it says is not judged. A line that carries a figure is never silently taken for prose.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width 52.03 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "text.not-utf8",
        severity: "fault",
        says: "A line holds bytes that are not UTF-8 text.",
        why: "The file was saved in another encoding. The rest is read; `tidy` leaves such a file alone, so that nothing is lost.",
        source: "The Unicode Standard, UTF-8",
        // A Rust string cannot hold such bytes, so the example shows what they become.
        fires: log("job caf\u{FFFD}\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "text.control",
        severity: "fault",
        says: "A line holds a NUL byte or another control character.",
        why: "It cannot be seen, and it cannot have been meant. The line is not read.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\nnote \u{0}\n"),
        clean: CLEAN,
    },
    Rule {
        code: "text.long-line",
        severity: "fault",
        says: "A line is longer than 16 KiB.",
        why: "No bench note is that long; the bound keeps a broken file from taking all the time and memory there is.",
        source: "the language reference",
        fires: log(""),
        clean: CLEAN,
    },
    Rule {
        code: "text.too-much",
        severity: "as the gravest that is left out",
        says: "More is found in a file than is told of one.",
        why: "Who finds fifty thousand things puts the first of them right, or sees that the file is no log; what weighs most is told.",
        source: "the language reference",
        fires: log(""),
        clean: CLEAN,
    },
    Rule {
        code: "table.columns",
        severity: "fault",
        says: "A row of a table has more figures than the heading has names.",
        why: "Nobody can tell which column a figure belongs to.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = mm\n      along\n  top 52.01 52.02\n"),
        clean: CLEAN,
    },
    Rule {
        code: "reading.ring",
        severity: "fault",
        says: "A ring has more figures than places, or fewer.",
        why: "Nobody can tell which figure was read where.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.01 52.02 52.03 at 0 90 180 270 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "reading.stray-figure",
        severity: "fault",
        says: "A figure stands behind a comma of a reading, where only details stand.",
        why: "It would be lost: several readings of one thing are parted by blanks, and another thing has a line of its own.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.01, 52.90 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "tool.fact",
        severity: "doubt",
        says: "A fact about a tool has a figure and is not understood.",
        why: "What is not understood is not used, and the reading is trusted more than it should be.",
        source: "the language reference",
        fires: log(
            "job x\nmanual m\ntool mic: micrometer, accurate to 0.01 mm\n2026-03-14 build\nweb width = 52.03 mm by mic\n",
        ),
        clean: CLEAN,
    },
    Rule {
        code: "unknown.unit",
        severity: "fault",
        says: "A figure has a unit that is not known, or that can mean several.",
        why: "A ton is three different forces and a tenth two different lengths: it is asked, never guessed.",
        source: "the table of units",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mn\n"),
        clean: CLEAN,
    },
    Rule {
        code: "reading.wrong-dimension",
        severity: "fault",
        says: "A figure is of another kind than the feature: a torque where a length is wanted.",
        why: "It is the wrong unit or the wrong name.",
        source: "arithmetic of dimensions",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.03 N·m\n"),
        clean: CLEAN,
    },
    Rule {
        code: "reading.too-large",
        severity: "fault",
        says: "A figure has more digits than can be worked with.",
        why: "Figures are exact decimals of 28 digits.",
        source: "arithmetic",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 520300000000000000000000000000000000 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "job.twice",
        severity: "fault",
        says: "A file holds two `job` lines.",
        why: "Readings of one job would overtake those of the other.",
        source: "the language reference",
        fires: log("job x\njob y\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "job.after-closed",
        severity: "doubt",
        says: "Something is done, read or ordered below the line that closes the job.",
        why: "Once a job is closed, what is missing is a fault. Either it is not closed yet, or this belongs to the next one.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nclosed 2026-03-14\nweb width = 52.03 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "tool.twice",
        severity: "fault",
        says: "Two tools have the same name.",
        why: "Nobody can tell which of them took a reading.",
        source: "the language reference",
        fires: log(
            "job x\nmanual m\ntool mic: micrometer\ntool mic: micrometer\n2026-03-14 build\nweb width = 52.03 mm\n",
        ),
        clean: CLEAN,
    },
    Rule {
        code: "day.invalid",
        severity: "fault",
        says: "A date is no day of the calendar.",
        why: "Days are counted for calibration, waiting and wear.",
        source: "ISO 8601, the Gregorian calendar",
        fires: log("job x\nmanual m\n2026-02-30 build\nweb width = 52.03 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "day.backwards",
        severity: "doubt",
        says: "A date is earlier than one above it.",
        why: "What came first decides which reading counts, so the order of the lines and of the dates must be one.",
        source: "common practice, no source",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n2026-02-15 build\nweb width = 52.02 mm\n"),
        clean: CLEAN,
    },
    Rule {
        code: "day.time",
        severity: "doubt",
        says: "A time of day is earlier than one above it on the same day, or is none.",
        why: "What came first decides which reading counts, so the order of the lines and of the times must be one.",
        source: "common practice, no source",
        fires: log("job x\nmanual m\n2026-03-14 build\n09:40 web width = 52.03 mm\n09:20 web width = 52.02 mm\n"),
        clean: log("job x\nmanual m\n2026-03-14 build\n09:20 web width = 52.03 mm\n09:40 web width = 52.02 mm\n"),
    },
    Rule {
        code: "hours.backwards",
        severity: "fault",
        says: "The meter shows less than it did further up in the log.",
        why: "Wear and service are counted by it, and a meter does not run backwards: a figure is wrong, or the meter was changed.",
        source: "common practice, no source",
        fires: log("job x\nhours 312\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\nhours 132\n"),
        clean: log("job x\nhours 312\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\nhours 313\n"),
    },
    Rule {
        code: "fix.no-target",
        severity: "fault",
        says: "A correction names a figure that was not written.",
        why: "The old figure must be found, so that it can be shown struck through beside the new one.",
        source: "the language reference",
        fires: log("job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\nfix web width 52.63 -> 52.03 mm\n"),
        clean: CLEAN,
    },
];
