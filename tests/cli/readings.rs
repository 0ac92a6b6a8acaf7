//! The readings of logs as a table: `gudgeon report --as csv` and `--as json`.

use std::path::Path;

use serde_json::Value;

use super::*;

const MANUAL: &str = "manual m\nsource page 1\nextends pressed crank\nunits mm\nfeature width\n  build 51.90 to 52.05 mm\nfeature bore at top, bottom\n  unit mm\n\
                      feature piston\n  unit mm\nfeature gap\n  build 0.20 to 0.40 mm\nfeature reach\n  build 0.40 to 0.50 in\ncalc clearance = smallest(bore) - piston\n  build 0.00 to 0.06 mm\n\
                      procedure rebuild\n  step press  disturbs width\n";
/// What may happen to a figure: mended, overtaken, read again, in a ring, in a table, between blades, doubted, in inches.
const LOG: &str = "job      bottom end, \"knocks\"\nmachine  Tarn 250, frame TN-0417\nmanual   m\nhours    312\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm\n\n\
                   2026-03-14  as found\n09:40 width = 52.53 mm by mic at 24 C\nfix width 52.53 -> 52.03, half a millimetre misread\n\
                   gap = go 0.30, no-go 0.35 mm by feelers\nreach = ~0.45 in\n2026-03-20  build\nhours    313\n\
                   width = 52.03 52.02 52.53 52.03 at 0 90 180 270 mm by mic\nfix width 52.53 -> 52.01, misread\n\
                   bore = mm by bore gauge\n            across\n   top      72.012\n   bottom   72.010\n\
                   piston = 71.95 mm ?\ndid press\n";

fn report(args: &[&str]) -> Ran {
    let folder = folder(&[
        ("x.rebuild", LOG),
        ("m.manual", MANUAL),
        ("y.rebuild", "job y\n2026-03-14 build\n"),
    ]);
    run(folder.path(), &[&["report"], args].concat())
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

fn table(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let cells = |record: &csv::StringRecord| record.iter().map(str::to_owned).collect::<Vec<_>>();
    let header = cells(reader.headers().expect("a header"));
    let records = reader.records().map(|record| cells(&record.expect("a record")));
    (header, records.collect())
}

/// What a cell of the table says of a field of the JSON, by what the page of columns promises; no text here begins a formula.
fn as_cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Number(number) => number.as_f64().expect("a figure").to_string(),
        other => other.to_string(),
    }
}

#[test]
fn a_log_as_a_table() {
    let ran = report(&["x.rebuild", "--as", "csv"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    insta::assert_snapshot!("readings-csv", ran.out.replace("\r\n", "\n"));
}

#[test]
fn both_forms_say_the_same_and_json_fits_its_schema() {
    let schema = json(&report(&["--schema"]).out);
    let validator = jsonschema::validator_for(&schema).expect("a sound schema");
    let written = json(&report(&[".", "--as", "json"]).out);
    assert!(validator.is_valid(&written), "{written}");
    let (header, records) = table(&report(&[".", "--as", "csv"]).out);
    let rows = written["readings"].as_array().expect("rows");
    assert_eq!((rows.len(), records.len()), (11, 11));
    for (row, record) in rows.iter().zip(&records) {
        for (name, cell) in header.iter().zip(record) {
            assert_eq!(*cell, as_cell(&row[name.as_str()]), "{name} of {row}");
        }
    }
}

#[test]
fn a_figure_keeps_what_it_was_and_what_became_of_it() {
    let written = json(&report(&["x.rebuild", "--as", "json"]).out);
    let rows = written["readings"].as_array().expect("rows");
    let of = |line: u64| {
        rows.iter()
            .filter(move |row| row["line"] == line && row["kind"] == "reading")
    };
    let first = of(8).next().expect("the first width");
    assert_eq!(
        (&first["written"], &first["mended_from"]),
        (&"52.53 mm".into(), &52.53.into())
    );
    assert_eq!(
        (&first["time"], &first["temperature"], &first["meter"]),
        (&"09:40".into(), &24.0.into(), &312.0.into())
    );
    assert_eq!((&first["counts"], &first["stale_since"]), (&false.into(), &Value::Null));
    // Of the ring only one figure was misread, and all of it was overtaken by the press.
    let mended: Vec<&Value> = of(14).map(|row| &row["mended_from"]).collect();
    assert_eq!(mended, [&Value::Null, &Value::Null, &52.53.into(), &Value::Null]);
    assert!(of(14).all(|row| row["stale_since"] == 21 && row["counts"] == false && row["meter"] == 313.0));
    let inches = of(11).next().expect("the reach");
    assert_eq!(
        (&inches["unsure"], &inches["unit"], &inches["base_unit"]),
        (&true.into(), &"in".into(), &"mm".into())
    );
    assert_eq!(inches["base_value"], 0.45 * 25.4);
    let sum = rows
        .iter()
        .find(|row| row["feature"] == "clearance")
        .expect("the clearance");
    assert_eq!(
        (&sum["kind"], &sum["unsure"], &sum["tool"]),
        (&"derived".into(), &true.into(), &Value::Null)
    );
}

/// The rows are the figures that `why` tells, of all samples.
#[test]
fn every_figure_that_why_tells_is_a_row() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut told = 0;
    for folder in ["samples/as-written", "samples/corrected", "samples/ahead"] {
        let mut logs: Vec<_> = fs::read_dir(root.join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        logs.sort();
        for log in logs {
            let log = log.strip_prefix(root).unwrap().to_str().unwrap().to_owned();
            let rows = json(&run(root, &["report", &log, "--as", "json"]).out);
            let figures = json(&run(root, &["why", &log, "--as", "json"]).out);
            let (rows, figures) = (
                rows["readings"].as_array().unwrap(),
                figures["figures"].as_array().unwrap(),
            );
            assert_eq!(rows.len(), figures.len(), "{log}");
            for (row, figure) in rows.iter().zip(figures) {
                for (ours, theirs) in [
                    ("feature", "name"),
                    ("base_value", "base"),
                    ("low", "lo"),
                    ("high", "hi"),
                ] {
                    assert_eq!(row[ours], figure[theirs], "{ours} of {row}");
                }
                for field in [
                    "line", "part", "place", "angle", "kind", "value", "verdict", "close", "counts", "forecast",
                ] {
                    assert_eq!(row[field], figure[field], "{field} of {row}");
                }
                let (from, to) = (&figure["limit"]["from"], &figure["limit"]["to"]);
                assert_eq!((&row["limit_low"], &row["limit_high"]), (from, to), "{row}");
                // Rows have twelve digits of it.
                let (u, known) = (row["u"].as_f64().unwrap(), figure["u"].as_f64().unwrap());
                assert!((u - known).abs() <= known * 1e-11, "{u} for {known}");
                told += 1;
            }
        }
    }
    assert!(told > 400, "{told}");
}

#[test]
fn a_name_that_would_be_a_formula_is_text_in_the_table_and_itself_in_json() {
    let log = "job =HYPERLINK(1)\nmachine <b>\"מסב\", 1</b>\n2026-03-14 build\nwidth of +1 = 52.03 mm\n";
    let folder = folder(&[("x.rebuild", log)]);
    let (header, records) = table(&run(folder.path(), &["report", "x.rebuild", "--as", "csv"]).out);
    let cell = |name: &str| &records[0][header.iter().position(|known| known == name).unwrap()];
    assert_eq!((cell("job").as_str(), cell("part").as_str()), ("'=HYPERLINK(1)", "'+1"));
    assert_eq!(
        (cell("machine").as_str(), cell("value").as_str()),
        ("<b>\"מסב\", 1</b>", "52.03")
    );
    let row = &json(&run(folder.path(), &["report", "x.rebuild", "--as", "json"]).out)["readings"][0];
    assert_eq!((&row["job"], &row["part"]), (&"=HYPERLINK(1)".into(), &"+1".into()));
}

#[test]
fn what_cannot_be_read_is_said_and_the_rest_is_written() {
    let ran = report(&["x.rebuild", "m.manual", "z.rebuild", "--as", "json"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("m.manual: this is a manual"), "{}", ran.err);
    assert!(ran.err.contains("z.rebuild: there is no such file"), "{}", ran.err);
    let written = json(&ran.out);
    assert_eq!(written["readings"].as_array().map(Vec::len), Some(11));
    assert_eq!(written["unread"].as_array().map(Vec::len), Some(2));
    // A log without a reading is a table without rows.
    let ran = report(&["y.rebuild", "--as", "csv"]);
    assert_eq!((ran.code, ran.out.lines().count()), (Some(0), 1));
    let none = tempfile::tempdir().unwrap();
    let ran = run(none.path(), &["report", ".", "--as", "csv"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("no log (.rebuild) found"), "{}", ran.err);
}
