//! Pages and schemas that are made from the code, and lie beside it so that they can be read without it: each is what the code makes.
//! `sh tests/pages.sh` writes anew those that are not.

use std::path::Path;

use gudgeon::judge::rules;
use gudgeon::report;

/// Each by its place, with what the code makes.
fn pages() -> Vec<(&'static str, String)> {
    vec![
        ("grammar/RULES.md", report::rules::page(&rules())),
        ("grammar/FUNCTIONS.md", report::reckon::page()),
        ("grammar/READINGS.md", report::readings::page()),
        ("src/report/inspect.schema.json", report::json::schema()),
        ("src/report/next.schema.json", report::next::schema()),
        ("src/report/costs.schema.json", report::costs::schema()),
        ("src/report/figures.schema.json", report::figures::schema()),
        ("src/report/readings.schema.json", report::readings::schema()),
        ("src/report/reckon.schema.json", report::reckon::schema()),
        ("src/report/trend.schema.json", report::trend::schema()),
    ]
}

#[test]
fn every_page_is_the_one_that_the_code_makes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut old = Vec::new();
    for (place, text) in pages() {
        let path = root.join(place);
        if std::fs::read_to_string(&path).is_ok_and(|on_disk| on_disk == text) {
            continue;
        }
        match std::env::var_os("UPDATE_PAGES") {
            Some(_) => std::fs::write(&path, text).unwrap_or_else(|error| panic!("{place}: {error}")),
            None => old.push(place),
        }
    }
    assert!(
        old.is_empty(),
        "run `sh tests/pages.sh` and read what it changed: {old:?}"
    );
}
