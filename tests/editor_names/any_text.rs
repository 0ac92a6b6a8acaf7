use std::path::Path;
use std::sync::LazyLock;

use gudgeon::editor::definition::definition;
use gudgeon::editor::index::Summary;
use gudgeon::editor::mentions::{mention_at, mentions_of_log, mentions_of_manual};
use gudgeon::editor::references::{highlights, references};
use gudgeon::editor::rename::{prepare, rename};
use gudgeon::editor::search::search;
use gudgeon::editor::{Mention, Page, mentions};
use gudgeon::syntax::{FileKind, parse_log, parse_manual};
use gudgeon::workspace::{Library, analyse, analyse_manual};
use proptest::prelude::*;

use crate::common::{LOG, MANUAL, bench, index};
use crate::support::NOWHERE;

/// The shelf is read once for all cases.
static LIBRARY: LazyLock<Library> = LazyLock::new(|| {
    let library = Library::new();
    library.give("bench.manual", MANUAL);
    library
});

/// Both kinds of page of a text.
fn pages(text: &str) -> [Page; 2] {
    let (bytes, folder) = (|| text.as_bytes().to_vec(), Path::new(NOWHERE));
    [
        Page::Log(Box::new(analyse("x.rebuild", folder, bytes(), &LIBRARY))),
        Page::Manual(Box::new(analyse_manual("bench.manual", folder, bytes(), &LIBRARY))),
    ]
}

/// Lines of both kinds of file, whole or cut, in any order, with odd letters among them.
fn any_text() -> impl Strategy<Value = String> {
    let lines: Vec<&'static str> = LOG.lines().chain(MANUAL.lines()).collect();
    let line = prop_oneof![
        8 => proptest::sample::select(lines).prop_flat_map(|line| {
            (Just(line), 0..=line.len(), "[ -~éÖ\u{130}\u{212A}\u{A0}\t\u{FEFF}]{0,6}", any::<bool>()).prop_map(
                |(line, cut, odd, whole)| {
                    if whole {
                        return line.to_owned();
                    }
                    let (front, back) = line.split_at_checked(cut).unwrap_or((line, ""));
                    format!("{front}{odd}{back}")
                },
            )
        }),
        1 => "\\PC{0,40}",
    ];
    let end = proptest::sample::select(vec!["\n", "\r\n", "\r", " # why\n"]);
    (any::<bool>(), proptest::collection::vec((line, end), 0..14)).prop_map(|(mark, lines)| {
        let mut text = if mark { "\u{FEFF}".to_owned() } else { String::new() };
        for (line, end) in lines {
            text.push_str(&line);
            text.push_str(end);
        }
        text
    })
}

#[track_caller]
fn in_order_and_exact(list: &[Mention], text: &str) {
    let mut end = 0;
    for mention in list {
        let range = mention.span.range();
        let written = text
            .get(range)
            .unwrap_or_else(|| panic!("{mention:?} does not fit {text:?}"));
        assert!(
            !written.is_empty() && written.trim() == written,
            "{mention:?} {written:?}"
        );
        assert_eq!(mention.entity.key(written), mention.key);
        assert!(mention.span.start >= end, "{mention:?} lies over the one before");
        end = mention.span.end;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn names_stand_where_they_are_said_to(text in any_text()) {
        let log = parse_log(&text);
        let of_log = mentions_of_log(&log, &text);
        in_order_and_exact(&of_log, &text);
        prop_assert_eq!(summed_up(FileKind::Log, &text), of_log);
        let manual = parse_manual(&text);
        let of_manual = mentions_of_manual(&manual, &text);
        in_order_and_exact(&of_manual, &text);
        prop_assert_eq!(summed_up(FileKind::Manual, &text), of_manual);
        for page in pages(&text) {
            in_order_and_exact(&mentions(&page), page.text());
        }
    }

    #[test]
    fn nothing_that_is_asked_anywhere_panics(text in any_text(), places in proptest::collection::vec(0_u32..900, 3), to in "\\PC{0,8}") {
        let index = bench();
        for (page, path) in pages(&text).into_iter().zip(["x.rebuild", "bench.manual"]) {
            let path = Path::new(path);
            for offset in places.iter().copied().chain([u32::MAX]) {
                asked(&page, path, offset, &to, &index);
            }
        }
        search(&index, &to, 5);
        search(&index, &text, 5);
    }
}

/// The names that the summary of a file has kept.
fn summed_up(kind: FileKind, text: &str) -> Vec<Mention> {
    let summary = Summary::read(kind, text);
    let names = summary.all().map(|place| Mention {
        entity: place.entity,
        key: place.key.to_owned(),
        span: place.span,
        is_declaration: place.is_declaration,
    });
    names.collect()
}

fn asked(page: &Page, path: &Path, offset: u32, to: &str, index: &gudgeon::editor::Index) {
    let mention = mention_at(page, offset);
    definition(page, offset, index);
    highlights(page, offset);
    for (_, span) in references(page, path, offset, index, true) {
        assert!(span.start < span.end);
    }
    assert!(mention.is_some() || prepare(page, offset).is_err());
    if let Ok(files) = rename(page, path, offset, to, index) {
        let own = files.iter().find(|(file, _)| file == path);
        let mention = mention.expect("what is renamed has a name");
        assert!(own.is_some_and(|(_, edits)| edits.iter().any(|edit| edit.span == mention.span)));
    }
}

#[test]
fn a_summary_of_a_long_log_is_small() {
    let mut log = LOG.to_owned();
    while log.lines().count() < 500 {
        log.push_str(LOG);
    }
    let summary = Summary::read(FileKind::Log, &log);
    // What thousands of files rest on: less than the text itself.
    let places = summary.all().count();
    assert!(
        places > 500 && summary.bytes() < log.len(),
        "{places}: {} of {}",
        summary.bytes(),
        log.len()
    );
    assert_eq!(index(&[("x.rebuild", &log)]).files.len(), 1);
}
