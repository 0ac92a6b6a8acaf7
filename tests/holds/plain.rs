//! No figure that is none: neither `NaN` nor infinity reaches a reader.

use serde_json::Value;

/// Words that Rust writes for what is no figure.
const NO_FIGURES: [&str; 2] = ["NaN", "inf"];

/// Fails where a text says `NaN` or `inf`, unless the input itself has such a word.
#[track_caller]
pub fn assert_figures(what: &str, text: &str, input: &str) {
    let own = input.to_lowercase();
    for word in NO_FIGURES {
        if own.contains(&word.to_lowercase()) {
            continue;
        }
        let told = text.match_indices(word).find(|(at, _)| {
            let before = text[..*at].chars().next_back();
            let after = text[at + word.len()..].chars().next();
            !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
        });
        if let Some((at, _)) = told {
            let begin = text[..at].char_indices().rev().nth(80).map_or(0, |(at, _)| at);
            panic!(
                "{what} tells no figure: …{}",
                text[begin..].chars().take(200).collect::<String>()
            );
        }
    }
}

/// Fails where a shown value has `NaN` for a figure. `dof` may be endless, and strings are left out.
#[track_caller]
pub fn assert_no_nan(what: &str, value: &dyn std::fmt::Debug) {
    let shown = format!("{value:?}");
    let is_string = |(number, _): &(usize, &str)| number % 2 == 1;
    let plain = shown.replace("\\\\", "").replace("\\\"", "");
    let quoted = plain.split('"').enumerate().filter(|part| !is_string(part));
    for (_, part) in quoted {
        assert!(!part.contains("NaN"), "{what} holds no figure: {shown}");
    }
}

/// Fails where a document lacks a figure that its schema promises: serde writes `null` for what is none.
#[track_caller]
pub fn assert_promised(what: &str, document: &str, schema: &str) -> Value {
    let document: Value = serde_json::from_str(document).unwrap_or_else(|error| panic!("{what} is no JSON: {error}"));
    let schema: Value = serde_json::from_str(schema).expect("the schema is JSON");
    let (mut always, mut sometimes) = (Vec::new(), Vec::new());
    promised(&schema, &mut always, &mut sometimes);
    always.retain(|name| !sometimes.contains(name));
    if let Some(name) = broken(&document, &always) {
        panic!("{what}: `{name}` is null: {document}");
    }
    document
}

/// The names of numbers in a schema: those that are always there, and those that may be null.
fn promised<'a>(schema: &'a Value, always: &mut Vec<&'a str>, sometimes: &mut Vec<&'a str>) {
    if let Some(properties) = schema.get("properties").and_then(Value::as_object) {
        for (name, shape) in properties {
            let is_number = shape.get("type").is_some_and(|kind| kind == "number");
            if is_number { &mut *always } else { &mut *sometimes }.push(name);
        }
    }
    match schema {
        Value::Object(map) => map.values().for_each(|inner| promised(inner, always, sometimes)),
        Value::Array(list) => list.iter().for_each(|inner| promised(inner, always, sometimes)),
        _ => {}
    }
}

/// The first number of these names that is null.
fn broken<'a>(document: &'a Value, names: &[&str]) -> Option<&'a str> {
    match document {
        Value::Object(map) => map.iter().find_map(|(name, inner)| {
            let is_broken = inner.is_null() && names.contains(&name.as_str());
            if is_broken {
                Some(name.as_str())
            } else {
                broken(inner, names)
            }
        }),
        Value::Array(list) => list.iter().find_map(|inner| broken(inner, names)),
        _ => None,
    }
}
