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
