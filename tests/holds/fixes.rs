//! A fix that is offered, carried out alone, removes its finding and adds none.
//!
//! What could not be read was not judged, and a figure that was wrong was not compared. So a fix may bring to light what stood behind its finding: a line that
//! is read now may name what nobody knows, and a name that is known now may have a figure out of its limit. It never goes the other way.

use gudgeon::judge::{Finding, Fix};

use super::{input, judged};

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let (manual, log) = input::manual_and_log(&text);
    let library = judged::library_of(manual);
    let before = judged::log(log, &library);
    let text = &before.source.text;
    let known = judged::all_words(&before.findings);
    for finding in &before.findings {
        let Some(fix) = &finding.fix else { continue };
        let mended = carried_out(fix, text);
        let after = judged::log(&mended, &library);
        let now = judged::all_words(&after.findings);
        let own = judged::words(finding);
        let count = |list: &[String], words: &str| list.iter().filter(|known| *known == words).count();
        assert!(
            count(&now, &own) < count(&known, &own),
            "`{}` leaves `{own}`\n{mended}",
            fix.title
        );
        let depth = depth(finding.code);
        let codes = |findings: &[Finding], code: &str| findings.iter().filter(|f| f.code == code).count();
        let added = after.findings.iter().find(|new| {
            let may_not_grow = self::depth(new.code) < depth || new.code == finding.code;
            may_not_grow && codes(&after.findings, new.code) > codes(&before.findings, new.code)
        });
        assert!(
            added.is_none(),
            "`{}` of `{own}` adds {:?}\n{mended}",
            fix.title,
            added.map(judged::words)
        );
    }
}

/// The text after a fix. Its edits stand in order and do not overlap.
fn carried_out(fix: &Fix, text: &str) -> String {
    assert!(
        fix.edits.is_sorted_by(|a, b| a.span.end <= b.span.start),
        "edits overlap: {fix:?}"
    );
    let mut mended = text.to_owned();
    for edit in fix.edits.iter().rev() {
        mended.replace_range(edit.span.range(), &edit.text);
    }
    mended
}

/// How far a line had to be understood before this could be said of it.
fn depth(code: &str) -> u8 {
    match code.split('.').next() {
        Some("text") => 0,
        Some("line" | "table") => 1,
        Some("unknown" | "day" | "fix") => 2,
        _ => 3,
    }
}
