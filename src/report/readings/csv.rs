//! Rows as CSV by RFC 4180, with a header, in UTF-8 without a mark at its beginning.

use ::csv::{Terminator, WriterBuilder};
use serde_json::Value;

use super::{COLUMNS, Row};

/// The header.
pub(super) fn header() -> String {
    written([COLUMNS.map(str::to_owned)])
}

/// Rows without the header: `.` for decimals, `true` and `false`, an empty cell for what is not known. Text that a spreadsheet would take for a formula
/// has an apostrophe before it; see [`guarded`].
pub(super) fn lines(rows: &[Row]) -> String {
    written(rows.iter().map(|row| {
        let fields = serde_json::to_value(row).unwrap_or_default();
        COLUMNS.map(|name| cell(&fields[name]))
    }))
}

fn written(records: impl IntoIterator<Item = [String; COLUMNS.len()]>) -> String {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    for record in records {
        // Writing to memory cannot fail, and each record has as many cells as the others.
        let _ = writer.write_record(record);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn cell(value: &Value) -> String {
    match value {
        Value::String(text) => guarded(text),
        // Never with an exponent, which Display of a float does not write.
        Value::Number(number) if number.is_f64() => {
            number.as_f64().map_or_else(String::new, |figure| figure.to_string())
        }
        Value::Number(_) | Value::Bool(_) => value.to_string(),
        Value::Null | Value::Array(_) | Value::Object(_) => String::new(),
    }
}

/// A text that no spreadsheet takes for a formula: one that begins with a sign that may begin one gets an apostrophe before it, the spreadsheets' own mark
/// of a text. So does one that begins with an apostrophe itself, so that taking one apostrophe off the beginning of a cell always gives back what
/// the log says. Figures are in columns of their own and stay figures. (OWASP, CSV Injection, which also names the wide forms.)
fn guarded(text: &str) -> String {
    const BEGINS: [char; 12] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠', '\''];
    if text.starts_with(BEGINS) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::report::readings::Form;

    fn csv(rows: &[Row]) -> String {
        Form::Csv.document(rows, &[])
    }

    fn read(table: &str) -> Vec<Vec<String>> {
        let mut reader = ::csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(table.as_bytes());
        let records = reader.records().map(|record| record.expect("a record"));
        records
            .map(|record| record.iter().map(str::to_owned).collect())
            .collect()
    }

    fn column(name: &str) -> usize {
        COLUMNS.iter().position(|known| *known == name).expect("a column")
    }

    fn written_as(text: &str) -> String {
        let row = Row {
            part: Some(text.to_owned()),
            value: 52.03,
            ..Row::default()
        };
        let table = read(&csv(&[row]));
        assert_eq!(table.len(), 2, "{text:?}");
        assert_eq!(table[1][column("value")], "52.03");
        table[1][column("part")].clone()
    }

    #[test]
    fn a_table_without_rows_has_its_header() {
        assert_eq!(csv(&[]), format!("{}\r\n", COLUMNS.join(",")));
    }

    #[test]
    fn markup_quotes_line_ends_and_right_to_left_text_come_back_as_they_went() {
        for text in [
            "<b onclick=\"x\">&amp;</b>",
            "a, \"quoted\", b",
            "one\r\ntwo\nthree",
            "מסב ראשי, \u{202e}abc",
            "e\u{301}\u{327} 𐐀 汉",
            " blanks kept ",
            "\"",
        ] {
            assert_eq!(written_as(text), text);
        }
    }

    #[test]
    fn text_is_no_formula_and_figures_stay_figures() {
        assert_eq!(written_as("=1+2"), "'=1+2");
        assert_eq!(written_as("-0.02 mm"), "'-0.02 mm");
        assert_eq!(written_as("＝1"), "'＝1");
        assert_eq!(written_as("'tis"), "''tis");
        assert_eq!(written_as("drive side = left"), "drive side = left");
        let row = Row {
            value: -0.000_02,
            temperature: Some(-4.0),
            ..Row::default()
        };
        let table = read(&csv(&[row]));
        assert_eq!(table[1][column("value")], "-0.00002");
        assert_eq!(table[1][column("temperature")], "-4");
        assert_eq!(table[1][column("angle")], "");
        assert_eq!(table[1][column("counts")], "false");
    }

    proptest! {
        /// Any text comes back when one apostrophe is taken off, and no cell begins a formula.
        #[test]
        fn any_text_comes_back(text in "\\PC*|[=+@'\t\r\n,\"-]{1,4}\\PC*") {
            let cell = written_as(&text);
            prop_assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']));
            prop_assert_eq!(cell.strip_prefix('\'').unwrap_or(&cell), text);
        }
    }
}
