//! A fix that is offered, carried out alone, removes its finding and adds none.

use gudgeon::judge::Fix;

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
        let added = now.iter().find(|words| count(&now, words) > count(&known, words));
        assert_eq!(added, None, "`{}` of `{own}` adds a finding\n{mended}", fix.title);
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
