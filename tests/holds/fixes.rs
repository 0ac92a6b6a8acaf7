//! A fix that is offered, carried out alone, removes its finding and adds none.
//!
//! What could not be read was not judged, and a figure that was wrong was not compared. So a fix may bring to light what stood behind its finding: a line that
//! is read now may name what nobody knows, and a name that is known now may have a figure out of its limit. It never goes the other way. And what stands indented
//! below a line is read with it: below prose it is prose, below a line that says something now it is read for the first time.

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
        let depth = depth(finding);
        let read_first = if depth == LINE { below(fix, &mended) } else { 0..0 };
        let mut after = judged::log(&mended, &library).findings;
        after.retain(|f| !read_first.contains(&(f.span.start as usize)));
        let now = judged::all_words(&after);
        let own = judged::words(finding);
        let count = |list: &[String], words: &str| list.iter().filter(|known| *known == words).count();
        assert!(
            count(&now, &own) < count(&known, &own),
            "`{}` leaves `{own}`\n{mended}",
            fix.title
        );
        let kinds = |findings: &[Finding], kind: (u8, &str)| findings.iter().filter(|f| self::kind(f) == kind).count();
        let added = after.iter().find(|new| {
            let kind = self::kind(new);
            let may_not_grow = kind.0 < depth || kind == self::kind(finding);
            may_not_grow && kinds(&after, kind) > kinds(&before.findings, kind)
        });
        assert!(
            added.is_none(),
            "`{}` of `{own}` adds {:?}\n{mended}",
            fix.title,
            added.map(judged::words)
        );
    }
}

/// Where the indented lines stand below the line of a fix that has been carried out.
fn below(fix: &Fix, mended: &str) -> std::ops::Range<usize> {
    let Some(first) = fix.edits.first() else { return 0..0 };
    let from = first.span.start as usize + first.text.len();
    let is_end = |c: char| matches!(c, '\n' | '\r');
    let start = mended[from..].find(is_end).map_or(mended.len(), |end| from + end);
    let mut end = start;
    for line in mended[start..].split_inclusive(is_end) {
        // An empty line or a comment parts nothing.
        let goes_on = line.trim().is_empty() || line.starts_with([' ', '\t', '\u{A0}', '#']);
        if !goes_on {
            break;
        }
        end += line.len();
    }
    start..end
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

/// A code, with how far a line had to be understood before it could be said.
fn kind(finding: &Finding) -> (u8, &str) {
    (depth(finding), finding.code)
}

/// The depth of a line that could not be read.
const LINE: u8 = 1;

fn depth(finding: &Finding) -> u8 {
    match finding.code.split('.').next() {
        Some("text") => 0,
        // That a range runs backwards is seen only once both its units are known.
        Some("line") if finding.message.starts_with("a range runs") => 3,
        Some("line" | "table") => LINE,
        Some("unknown" | "day" | "fix") => 2,
        _ => 3,
    }
}
