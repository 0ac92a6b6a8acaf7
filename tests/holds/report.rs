//! Whatever a log says, every report of it can be written, is whole, and holds nothing of the log as markup.

use gudgeon::history::{History, Wanted};
use gudgeon::judge::account::account;
use gudgeon::judge::costs::costs;
use gudgeon::judge::next::next;
use gudgeon::judge::{Severity, logged};
use gudgeon::report::junit::Junit;
use gudgeon::report::line::Line;
use gudgeon::report::owner::{Wishes, html};
use gudgeon::report::readings::{self, Form, rows};
use gudgeon::report::sarif::Sarif;
use gudgeon::report::style::{DecimalMark, Style, Units};
use gudgeon::report::text::Text;
use gudgeon::report::{self, FileSummary, Report, Summary, json::Json, markdown::markdown};
use gudgeon::workspace::baseline::{Known, mark};
use gudgeon::workspace::{Inspected, Roots};
use serde_json::Value;

use super::{input, judged, page, plain};

/// Stands behind every `<` of the log, so that it is known again.
const MARKED: &str = "<zq";

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let (manual, log) = input::manual_and_log(&text);
    let log = log.replace('<', MARKED);
    let library = judged::library_of(manual);
    let analysis = judged::analysis(&log, &library);

    let account = account(&analysis);
    plain::assert_no_nan("the account", &account);
    let history = History::of(vec![logged(&analysis)], &Wanted::default());
    for (units, mark) in [
        (Units::Written, DecimalMark::Point),
        (Units::Inch, DecimalMark::Comma),
        (Units::Metric, DecimalMark::Point),
    ] {
        let wishes = Wishes {
            style: Style { units, mark },
            shop: String::new(),
            history: history.machines.first().cloned(),
        };
        let html = html(&analysis, &account, &[], &wishes);
        page::assert_whole(&html);
        assert!(!html.contains(MARKED), "a `<` of the log is markup");
        plain::assert_figures("the page", &html, &text);
        plain::assert_figures("the plain report", &markdown(&analysis, &account, &[], &wishes), &text);
    }
    let trend = report::trend::html(&history);
    page::assert_whole(&trend);
    assert!(!trend.contains(MARKED), "a `<` of the log is markup");
    plain::assert_figures("the trend", &trend, &text);
    plain::assert_figures("the trend", &report::trend::text(&history, 80), &text);
    plain::assert_promised(
        "the trend",
        &report::trend::json(&history, &[]),
        &report::trend::schema(),
    );
    assert_table(&report::trend::csv(&history).expect("it is a table"));

    let rows = rows(&analysis);
    assert_table(&Form::Csv.document(&rows, &[]));
    plain::assert_promised("the readings", &Form::Json.document(&rows, &[]), &readings::schema());

    let bills = [(judged::analysis(&log, &library), costs(&analysis))];
    assert_table(&report::costs::csv(&bills));
    plain::assert_promised("the costs", &report::costs::json(&bills), &report::costs::schema());
    plain::assert_figures("the costs", &report::costs::text(&analysis, &bills[0].1, 40), &text);
    let list = [(judged::analysis(&log, &library), next(&analysis))];
    plain::assert_promised("next", &report::next::json(&list), &report::next::schema());

    assert_findings(judged::log(&log, &library), &text);
}

/// The findings in every form.
fn assert_findings(mut inspected: Inspected, input: &str) {
    mark(&mut inspected, "x.rebuild", Known::Nothing, Severity::Fault);
    let mut summary = Summary::default();
    summary.add(FileSummary::of(&inspected));
    let written = |report: &dyn Report| {
        let parts = [report.opening(), report.file(&inspected), report.closing(&summary)];
        parts.concat()
    };
    let narrow = Text {
        colour: true,
        width: 30,
    };
    plain::assert_figures("the text", &written(&narrow), input);
    let lines = written(&Line);
    assert!(
        lines.lines().count() >= inspected.findings.len(),
        "a finding has no line"
    );
    plain::assert_promised("the findings", &written(&Json), &report::json::schema());
    let sarif: Value = serde_json::from_str(&written(&Sarif::new(Roots::here()))).expect("SARIF is JSON");
    let results = sarif["runs"][0]["results"].as_array().map_or(0, Vec::len);
    assert_eq!(results, inspected.findings.len(), "a finding is missing in SARIF");
    let junit = written(&Junit);
    let outlaw = junit.chars().find(|c| !is_of_xml(*c));
    assert_eq!(outlaw, None, "no character of XML");
}

/// Whether a character may stand in XML 1.0 (production 2).
fn is_of_xml(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'..)
}

/// A table has as many columns in each row as in its head.
#[track_caller]
fn assert_table(table: &str) {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    for row in reader.records() {
        row.unwrap_or_else(|error| panic!("no table: {error}\n{table}"));
    }
}
