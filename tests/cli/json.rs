//! `gudgeon inspect --as json` and its schema.

use super::*;
use serde_json::Value;

fn value(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

fn assert_valid(folder: &Path, args: &[&str]) -> Value {
    let schema = value(&run(folder, &["inspect", "--schema"]).out);
    let validator = jsonschema::validator_for(&schema).unwrap();
    let mut all = vec!["inspect", "--as", "json"];
    all.extend(args);
    let output = value(&run(folder, &all).out);
    let errors: Vec<String> = validator
        .iter_errors(&output)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    output
}

#[test]
fn what_is_written_fits_the_schema() {
    let folder = folder(&[("a.rebuild", OUT_OF_LIMIT), ("b.rebuild", IN_LIMIT)]);
    let output = assert_valid(folder.path(), &["a.rebuild", "b.rebuild", "gone.rebuild"]);
    let files = output["files"].as_array().unwrap();
    assert_eq!(files.len(), 2);
    assert_eq!(files[0]["path"], "a.rebuild");
    assert_eq!(files[0]["kind"], "log");
    let found = files[0]["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|finding| finding["code"] == "limit.out")
        .unwrap();
    assert_eq!(found["severity"], "fault");
    assert_eq!(found["place"]["line"], 5);
    let bytes = |key: &str| usize::try_from(found["place"][key].as_u64().unwrap()).unwrap();
    let under = &OUT_OF_LIMIT[bytes("start_byte")..bytes("end_byte")];
    assert!(under.contains("53.00"), "{under}");
    assert!(
        found["related"].as_array().unwrap().iter().any(|related| {
            related["path"]
                .as_str()
                .is_some_and(|path| path.ends_with("bench.manual"))
                && related["place"]["line"] == 6
        }),
        "{found}"
    );
    assert_eq!(output["tally"]["judged"], 2);
    assert_eq!(output["tally"]["in"], 1);
    assert_eq!(output["tally"]["out"], 1);
    assert_eq!(output["counts"]["fault"], 1);
    assert_eq!(output["unread"][0]["path"], "gone.rebuild");
}

#[test]
fn an_empty_folder_gives_an_empty_answer_of_the_same_shape() {
    let empty = tempfile::tempdir().unwrap();
    let output = assert_valid(empty.path(), &[]);
    assert_eq!(output["files"].as_array().map(Vec::len), Some(0));
}

#[test]
fn the_schema_refuses_what_is_not_of_its_shape() {
    let folder = folder(&[]);
    let schema = value(&run(folder.path(), &["inspect", "--schema"]).out);
    let validator = jsonschema::validator_for(&schema).unwrap();
    let mut output = assert_valid(folder.path(), &[]);
    output["files"][0]["kind"] = "poem".into();
    assert!(!validator.is_valid(&output));
    assert!(!validator.is_valid(&value("{}")));
}
