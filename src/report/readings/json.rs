//! Rows as JSON of a fixed shape, and the schema of that shape.

use schemars::JsonSchema;
use serde::Serialize;

use super::Row;
use crate::report::Unread;

/// Number of the shape; see [`crate::report::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// What `gudgeon report --as json` writes.
#[derive(JsonSchema)]
pub struct Readings {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// Every figure of the logs: of each those read in their order, then those worked out.
    pub readings: Vec<Row>,
    /// What could not be read at all.
    pub unread: Vec<Unread>,
}

/// The schema of [`Readings`], as text.
pub fn schema() -> String {
    crate::report::schema_of::<Readings>()
}

/// What stands before the first row of a [`Readings`].
pub(super) fn opening() -> String {
    format!(
        "{{\"gudgeon\":{},\"schema\":{SCHEMA},\"readings\":[",
        text(&env!("CARGO_PKG_VERSION"))
    )
}

/// Rows, with a comma before the first if there are some above. Text stands in them as it stands in the log.
pub(super) fn objects(rows: &[Row], is_first: bool) -> String {
    let mut out = String::new();
    for row in rows {
        if !(is_first && out.is_empty()) {
            out.push(',');
        }
        out.push_str(&text(row));
    }
    out
}

/// What stands behind the last row.
pub(super) fn closing(unread: &[Unread]) -> String {
    format!("],\"unread\":{}}}\n", text(&unread))
}

fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::readings::{COLUMNS, Form};

    #[test]
    fn the_columns_of_a_table_are_the_fields_of_a_row() {
        let row = serde_json::to_value(Row::default()).expect("a row");
        let mut fields: Vec<&str> = row.as_object().expect("an object").keys().map(String::as_str).collect();
        let mut columns = COLUMNS.to_vec();
        fields.sort_unstable();
        columns.sort_unstable();
        assert_eq!(fields, columns);
    }

    #[test]
    fn text_comes_back_as_it_went() {
        let text = "=<b>\"x\"</b>\r\n\u{202e}מסב";
        let row = Row {
            machine: Some(text.to_owned()),
            ..Row::default()
        };
        let back: serde_json::Value = serde_json::from_str(&Form::Json.document(&[row], &[])).expect("JSON");
        assert_eq!(back["readings"][0]["machine"], text);
        assert_eq!(back["readings"][0]["part"], serde_json::Value::Null);
    }
}
