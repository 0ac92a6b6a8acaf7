//! The command as it is used.

use std::process::Output;

use assert_cmd::Command;

const SAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/samples");

fn run(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gudgeon"));
    command.current_dir(SAMPLES).arg("trend").args(args).output().unwrap()
}

fn out(args: &[&str]) -> String {
    let ran = run(args);
    assert_eq!(ran.status.code(), Some(0), "{}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout).unwrap()
}

#[test]
fn the_history_of_the_samples_for_the_bench() {
    insta::assert_snapshot!(out(&["history", "--machine", "wm-0031"]));
    insta::assert_snapshot!("shop", out(&["history", "--feature", "clearance"]));
}

#[test]
fn json_fits_its_schema() {
    let schema: serde_json::Value = serde_json::from_str(&out(&["--schema"])).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for folder in ["history", "corrected", "as-written"] {
        let told: serde_json::Value = serde_json::from_str(&out(&[folder, "--as", "json"])).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&told).map(|error| error.to_string()).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        assert!(!told["machines"].as_array().unwrap().is_empty());
    }
    assert!(!validator.is_valid(&serde_json::json!({"machines": "none"})));
}

#[test]
fn csv_has_a_row_for_each_reading() {
    let text = out(&[
        "history",
        "--as",
        "csv",
        "--machine",
        "WM-0057",
        "--feature",
        "ring gap",
    ]);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(reader.headers().unwrap().len(), 15);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let cells: Vec<Vec<&str>> = rows.iter().map(|row| row.iter().collect()).collect();
    assert_eq!(
        cells[0],
        [
            "Wethermoor 200 trail, frame WM-0057",
            "ring gap",
            "",
            "",
            "history/wm-0057-2024-05.rebuild",
            "19",
            "2024-05-18",
            "service",
            "12",
            "h",
            "0.27",
            "mm",
            "0.26",
            "0.28",
            "1"
        ]
    );
    assert_eq!(rows.len(), 3);
}

#[test]
fn what_cannot_be_read_is_named_and_the_rest_is_told() {
    let ran = run(&["history", "nowhere.rebuild"]);
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("nowhere.rebuild: there is no such file"));
    assert!(String::from_utf8_lossy(&ran.stdout).contains("WM-0031"));
}

#[test]
fn a_machine_that_is_not_there_is_said() {
    let ran = run(&["history", "--machine", "zebra"]);
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("no reading of such a machine"));
    let ran = run(&["manuals"]);
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("no log"));
}

#[test]
fn the_page_runs_nothing_fetches_nothing_and_has_a_table_beside_each_chart() {
    let page = out(&["history", "--as", "html"]);
    for never in [
        "<script",
        "style=\"",
        "http:",
        "https:",
        "url(",
        "NaN",
        "inf\"",
        "javascript",
    ] {
        assert!(!page.contains(never), "{never}");
    }
    let count = |text: &str| page.matches(text).count();
    assert_eq!(count("<svg class=\"trend\""), count("Readings of "));
    assert_eq!(count("role=\"img\""), count("<desc>"));
    // Three machines with six features each.
    assert_eq!(count("<svg"), 18);
    // In a page a shape that is not closed would swallow all that follows it.
    assert_eq!(count("<rect "), count("</rect>"));
    assert_eq!(count("<circle "), count("</circle>"));
    // The reading from the wrong blade is ringed, the machine that drew dust stands out.
    assert_eq!(count("v-out then"), 1);
    assert!(page.contains("WM-0057") && page.contains("modified z-score"));
    assert!(page.contains("Nothing on this page says that a machine may be used."));
}

/// Names out of a log are text, on the page and in the table.
#[test]
fn a_hostile_name_stays_text() {
    let folder = tempfile::tempdir().unwrap();
    for (name, hours, date, figure) in [("a", 10, "2026-01-02", "0.40"), ("b", 60, "2026-03-02", "0.45")] {
        let log = format!(
            "job x\nmachine <img src=x onerror=alert(1)>, frame \u{202e}7\nhours {hours}\n{date} service\nside play = {figure} mm\n"
        );
        std::fs::write(folder.path().join(format!("{name}.rebuild")), log).unwrap();
    }
    let path = folder.path().to_string_lossy().into_owned();
    let page = out(&[&path, "--as", "html"]);
    assert!(page.contains("&lt;img src=x") && !page.contains("<img"));
    assert!(!page.contains('\u{202e}'));
    let text = out(&[&path]);
    assert!(!text.contains('\u{202e}') && text.contains("frame \u{fffd}7"));
}
