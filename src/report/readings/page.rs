//! The columns on one page of Markdown, with what each says: the descriptions of the schema.

use schemars::schema_for;

use super::{COLUMNS, Row};

const HEAD: &str = "# The readings as a table\n\n\
    Made by `gudgeon report --page`. `gudgeon report PATH… --as csv` writes one row a figure and one column a fact, of all logs together; `--as json` writes the same \
    fields as objects, in a document whose JSON Schema `gudgeon report --schema` prints. The rows are the figures that `gudgeon why FILE` shows: each reading, each \
    figure of a ring and each cell of a table by itself, repeats as their mean, and what the sums of the manual were worked out to. A figure written by hand for \
    such a sum is no row of its own, since that of the sum stands for it.\n\n\
    - **CSV** is that of RFC 4180: UTF-8, a header always, `.` for decimals, `true` and `false`, an empty cell for what is not known. A text that begins with \
    `=`, `+`, `-`, `@`, a tab, a line end, one of the wide forms of these signs or an apostrophe has one apostrophe before it, so that no spreadsheet takes it for a formula; \
    taking one apostrophe off such a cell gives back what the log says. Columns of figures are never touched. In JSON no text is.\n\
    - Figures are in `unit`. To compare logs that were written in different units, take `base_value`.\n\
    - What is judged now is where `counts` is true; all else is how it was.\n\n\
    | column | kind | says |\n| --- | --- | --- |\n";

/// The page of all columns; written anew by `gudgeon report --page`.
pub fn page() -> String {
    let schema = schema_for!(Row);
    let mut out = String::from(HEAD);
    for name in COLUMNS {
        let field = schema.as_value().pointer(&format!("/properties/{name}"));
        let says = field.and_then(|field| field.get("description")?.as_str()).unwrap_or("");
        let kind = field.map_or("text", kind);
        out.push_str(&format!("| `{name}` | {kind} | {says} |\n"));
    }
    out
}

/// What a column holds, in a word.
fn kind(field: &serde_json::Value) -> &'static str {
    let is = |kind: &str| match field.get("type") {
        Some(serde_json::Value::String(one)) => one == kind,
        Some(serde_json::Value::Array(several)) => several.iter().any(|one| one == kind),
        _ => false,
    };
    match () {
        () if is("integer") => "whole number",
        () if is("number") => "figure",
        () if is("boolean") => "true or false",
        () if field.get("format").is_some_and(|format| format == "date") => "date",
        () => "text",
    }
}

#[cfg(test)]
mod tests {
    use super::page;

    #[test]
    fn every_column_says_what_it_is() {
        for line in page().lines().filter(|line| line.starts_with("| `")) {
            assert!(!line.ends_with("|  |"), "{line}");
        }
    }
}
