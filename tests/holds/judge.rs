//! Whatever is written, it is judged without harm: the same twice, every place in its text, every figure a figure, and the counts add up.

use gudgeon::judge::figures::figures;
use gudgeon::judge::next::next;
use gudgeon::judge::{Severity, rules};
use gudgeon::report;
use gudgeon::workspace::{Inspected, Library};

use super::{input, judged, plain};

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let (manual, log) = input::manual_and_log(&text);
    let library = judged::library_of(manual);
    assert_judged(&judged::manual(manual, &library), &text);
    assert_log(log, &library, &text);
    // A log that names no manual is judged by the whole shelf.
    if manual.is_empty() && !log.is_empty() {
        assert_log(log, &judged::library(&[]), &text);
    }
}

/// A log is judged without harm, by these manuals. `input` is all that was written.
pub fn assert_log(log: &str, library: &Library, input: &str) {
    let once = judged::log(log, library);
    assert_judged(&once, input);
    let tally = &once.tally;
    assert_eq!(tally.judged, tally.inside + tally.out + tally.not_proven);
    assert!(tally.history <= tally.out + tally.not_proven);

    let again = judged::analysis(log, library);
    assert_eq!(
        judged::all(&once.findings),
        judged::all(&again.findings),
        "judged twice"
    );
    assert_eq!(once.tally, again.tally);

    let figures = figures(&again);
    plain::assert_no_nan("a figure", &figures);
    let figures: Vec<_> = figures.iter().collect();
    let document = report::figures::json(&figures, &again.source);
    plain::assert_promised("the figures", &document, &report::figures::schema());
    plain::assert_figures("why", &report::figures::text(&figures, &again.source), input);
    let list = next(&again);
    plain::assert_figures("next", &report::next::text(&again, &list, 80), input);
}

/// Findings are in order, in words, explained, and lie in the text.
pub fn assert_judged(inspected: &Inspected, input: &str) {
    let text = &inspected.source.text;
    for finding in &inspected.findings {
        let shown = judged::whole(finding);
        assert!(text.get(finding.span.range()).is_some(), "{shown}");
        for related in &finding.related {
            let text = related.source.as_ref().map_or(text, |source| &source.text);
            assert!(text.get(related.span.range()).is_some(), "{shown}");
        }
        for edit in finding.fix.iter().flat_map(|fix| &fix.edits) {
            assert!(text.get(edit.span.range()).is_some(), "{shown}");
        }
        assert!(
            !finding.message.is_empty() && !finding.message.contains('\n'),
            "{shown}"
        );
        assert!(
            rules().iter().any(|rule| rule.code == finding.code),
            "not explained: {shown}"
        );
        plain::assert_figures("a finding", &shown, input);
    }
    let in_order = inspected
        .findings
        .is_sorted_by_key(|f| (f.severity == Severity::Open, f.span.start));
    assert!(in_order, "findings are out of order");
}
