//! `gudgeon inspect --as sarif`, held against the schema that OASIS publishes.

use super::*;
use serde_json::Value;

const SCHEMA: &str = include_str!("../data/sarif/sarif-schema-2.1.0.json");

fn value(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

/// What the schema has against a document.
fn errors(document: &Value) -> Vec<String> {
    // Two patterns of languages in the published file have a bracket too many, which no strict reader of patterns takes. No language is written here.
    let slip = "^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$";
    assert_eq!(SCHEMA.matches(slip).count(), 2);
    let schema = value(&SCHEMA.replace(slip, "^[a-zA-Z]{2}(-[a-zA-Z]{2})?$"));
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors = validator.iter_errors(document);
    errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

/// The one run of an inspection, after the schema had nothing against it.
fn run_of(folder: &Path, args: &[&str]) -> (Value, Option<i32>) {
    let mut all = vec!["inspect", "--as", "sarif"];
    all.extend(args);
    let ran = run(folder, &all);
    let document = value(&ran.out);
    assert_eq!(errors(&document), Vec::<String>::new());
    assert_eq!(document["runs"].as_array().map(Vec::len), Some(1));
    (document["runs"][0].clone(), ran.code)
}

fn results(run: &Value) -> Vec<Value> {
    run["results"].as_array().unwrap().clone()
}

fn of_code(run: &Value, code: &str) -> Value {
    let found = results(run).into_iter().find(|result| result["ruleId"] == code);
    found.unwrap_or_else(|| panic!("no {code} in {run}"))
}

const PRINT: &str = "gudgeonFinding/v1";

#[test]
fn a_reading_out_of_limit_has_its_rule_place_limit_and_fingerprint() {
    let folder = folder(&[("logs here/ä 1.rebuild", OUT_OF_LIMIT)]);
    write(folder.path(), "logs here/bench.manual", MANUAL);
    let (run, code) = run_of(folder.path(), &["logs here"]);
    assert_eq!(code, Some(1));
    let out = of_code(&run, "limit.out");
    assert_eq!(out["level"], "error");
    assert_eq!(out["properties"]["severity"], "fault");
    let rule = &run["tool"]["driver"]["rules"][usize::try_from(out["ruleIndex"].as_u64().unwrap()).unwrap()];
    assert_eq!(rule["id"], "limit.out");
    let place = &out["locations"][0]["physicalLocation"];
    // RFC 3986: what is no plain letter is written as the percent signs of its UTF-8 bytes.
    assert_eq!(place["artifactLocation"]["uri"], "logs%20here/%C3%A4%201.rebuild");
    assert_eq!(place["artifactLocation"]["uriBaseId"], "%SRCROOT%");
    assert_eq!(
        place["region"],
        value(r#"{"startLine":5,"startColumn":13,"endLine":5,"endColumn":21}"#)
    );
    let limit = &out["relatedLocations"][0]["physicalLocation"];
    assert_eq!(limit["artifactLocation"]["uri"], "logs%20here/bench.manual");
    assert_eq!(limit["region"]["startLine"], 6);
    assert_eq!(out["partialFingerprints"][PRINT].as_str().map(str::len), Some(32));
    assert_eq!(out.get("baselineState"), None);
    assert_eq!(run["invocations"][0]["executionSuccessful"], true);
    assert_eq!(run["columnKind"], "unicodeCodePoints");
}

#[test]
fn every_rule_is_there_with_its_level_and_its_help() {
    let folder = folder(&[]);
    let (run, _) = run_of(folder.path(), &[]);
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap().clone();
    let codes: Vec<&str> = rules.iter().filter_map(|rule| rule["id"].as_str()).collect();
    let known: Vec<&str> = gudgeon::judge::rules().iter().map(|rule| rule.code).collect();
    assert_eq!(codes, known);
    for rule in &rules {
        for part in ["shortDescription", "fullDescription", "help"] {
            assert!(
                rule[part]["text"].as_str().is_some_and(|text| !text.is_empty()),
                "{rule}"
            );
        }
        assert!(rule["defaultConfiguration"]["level"].is_string(), "{rule}");
    }
    let level =
        |code: &str| rules.iter().find(|rule| rule["id"] == code).unwrap()["defaultConfiguration"]["level"].clone();
    assert_eq!(level("danger.precaution"), "error");
    assert_eq!(level("limit.close"), "warning");
    assert_eq!(level("step.open"), "note");
}

#[test]
fn a_column_counts_code_points_and_a_mark_of_byte_order_is_none() {
    let log = "\u{FEFF}jobb 𝛼é crank\njob a crank\nmanual bench\n2026-03-14 build\nnote 𝛼\nweb width = 53.00 mm # 𝛼\n";
    let folder = folder(&[("a.rebuild", log)]);
    let (run, _) = run_of(folder.path(), &["a.rebuild"]);
    let out = of_code(&run, "limit.out");
    assert_eq!(out["locations"][0]["physicalLocation"]["region"]["startColumn"], 13);
    let first = results(&run)
        .into_iter()
        .find(|result| result["locations"][0]["physicalLocation"]["region"]["startLine"] == 1)
        .unwrap();
    assert_eq!(first["locations"][0]["physicalLocation"]["region"]["startColumn"], 1);
}

/// What a viewer does with a fix: takes the region out and puts the text in, by lines and code points.
fn mended(text: &str, fix: &Value) -> String {
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    let replacements = fix["artifactChanges"][0]["replacements"].as_array().unwrap();
    for replacement in replacements.iter().rev() {
        let region = &replacement["deletedRegion"];
        let number = |key: &str| usize::try_from(region[key].as_u64().unwrap()).unwrap() - 1;
        assert_eq!(number("startLine"), number("endLine"));
        let line: Vec<char> = lines[number("startLine")].chars().collect();
        let mut new: String = line[..number("startColumn")].iter().collect();
        new.push_str(replacement["insertedContent"]["text"].as_str().unwrap());
        new.extend(&line[number("endColumn")..]);
        lines[number("startLine")] = new;
    }
    lines.concat()
}

#[test]
fn a_fix_carried_out_by_its_region_takes_its_finding_away() {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let (run, _) = run_of(&samples, &["as-written"]);
    let mut tried = 0;
    for result in results(&run) {
        let Some(fix) = result["fixes"].get(0) else { continue };
        let uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
            .as_str()
            .unwrap();
        let path = uri.rsplit('/').next().unwrap();
        let text = fs::read_to_string(samples.join("as-written").join(path)).unwrap();
        let new = mended(&text, fix);
        let said = ran(gudgeon(&samples)
            .args(["inspect", "-", "--as", "sarif", "--name"])
            .arg(format!("as-written/{path}"))
            .write_stdin(new));
        let after = value(&said.out);
        let still = results(&after["runs"][0])
            .into_iter()
            .any(|other| other["partialFingerprints"] == result["partialFingerprints"]);
        assert!(!still, "{}", result["message"]["text"]);
        tried += 1;
    }
    assert!(tried >= 4, "{tried}");
}

#[test]
fn a_built_in_manual_is_named_and_is_no_file() {
    let log = "job x\ntool press: press, rated 10 t\n2026-03-14 build\ndid press together, force 6 t on press\n";
    let folder = folder(&[("a.rebuild", log)]);
    let (run, _) = run_of(folder.path(), &["a.rebuild"]);
    let danger = of_code(&run, "danger.precaution");
    assert_eq!(danger["properties"]["severity"], "danger");
    let related = danger["relatedLocations"].as_array().unwrap();
    let shelf = related
        .iter()
        .find(|place| place["logicalLocations"].is_array())
        .unwrap();
    assert_eq!(shelf["logicalLocations"][0]["name"], "pressed crank");
    assert!(shelf.get("physicalLocation").is_none());
    assert!(
        shelf["message"]["text"]
            .as_str()
            .unwrap()
            .contains("built-in manual `pressed crank`, line ")
    );
}

#[test]
fn what_cannot_be_read_is_told_in_the_invocation() {
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    let (run, code) = run_of(folder.path(), &["a.rebuild", "gone.rebuild"]);
    assert_eq!(code, Some(2));
    let invocation = &run["invocations"][0];
    assert_eq!(invocation["executionSuccessful"], false);
    let told = &invocation["toolExecutionNotifications"][0];
    assert_eq!(told["level"], "error");
    assert!(
        told["message"]["text"]
            .as_str()
            .unwrap()
            .contains("there is no such file"),
        "{told}"
    );
    assert_eq!(
        told["locations"][0]["physicalLocation"]["artifactLocation"]["uri"],
        "gone.rebuild"
    );

    let empty = tempfile::tempdir().unwrap();
    let (run, code) = run_of(empty.path(), &[]);
    assert_eq!((code, results(&run).len()), (Some(2), 0));
    assert_eq!(run["invocations"][0]["executionSuccessful"], false);
}

#[test]
fn fingerprints_stay_when_the_log_is_moved_about_in_and_the_repository_lies_elsewhere() {
    let prints = |folder: &Path, from: &str, args: &[&str]| {
        let (run, _) = run_of(&folder.join(from), args);
        let mut prints: Vec<String> = results(&run)
            .iter()
            .map(|result| result["partialFingerprints"][PRINT].as_str().unwrap().to_owned())
            .collect();
        prints.sort();
        prints
    };
    let overtaken = "job x\nmanual pressed crank\n2026-03-14 build\nside play = 0.31 mm\ndid press together, web supported, oiled\n";
    let files = [("gudgeon.toml", ""), ("work/a.rebuild", overtaken)];
    let (one, two) = (folder(&files), folder(&files));
    write(
        two.path(),
        "work/a.rebuild",
        overtaken
            .replace("2026", "note first\n\nnote second\n2026")
            .replace("side play =", "side play  =  "),
    );
    let first = prints(one.path(), "", &[]);
    assert!(!first.is_empty());
    assert_eq!(first, prints(two.path(), "", &[]));
    assert_eq!(first, prints(one.path(), "work", &[".."]));
    let unique: std::collections::BTreeSet<&String> = first.iter().collect();
    assert_eq!(unique.len(), first.len());
}

#[test]
fn the_schema_refuses_what_is_no_sarif() {
    let folder = folder(&[]);
    let ran = run(folder.path(), &["inspect", "--as", "sarif"]);
    let mut document = value(&ran.out);
    document["runs"][0]["columnKind"] = "bytes".into();
    assert_ne!(errors(&document), Vec::<String>::new());
}
