//! Costs for a spreadsheet.

use super::json::row;
use crate::judge::Analysis;
use crate::judge::costs::{Costs, Tax};

/// The columns of the CSV.
const COLUMNS: [&str; 13] = [
    "path",
    "line",
    "date",
    "of",
    "what",
    "kind",
    "quantity",
    "quantity unit",
    "each",
    "amount",
    "currency",
    "tax",
    "to come",
];

/// Logs for a spreadsheet: a heading, and a row a line of costs (RFC 4180, decimal points, figures exact).
pub fn csv(logs: &[(Analysis, Costs)]) -> String {
    let mut writer = ::csv::WriterBuilder::new().from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(COLUMNS);
    for (analysis, costs) in logs {
        for line in &costs.lines {
            let row = row(analysis, line);
            let tax = match line.tax {
                Tax::NotSaid => "",
                Tax::Net => "net",
                Tax::Gross => "gross",
            };
            let _ = writer.write_record([
                analysis.source.name.as_str(),
                &row.line.to_string(),
                &row.date.unwrap_or_default(),
                &row.of,
                &row.what,
                line.kind.word(),
                &row.quantity.unwrap_or_default(),
                &row.quantity_unit.unwrap_or_default(),
                &row.each.unwrap_or_default(),
                &row.money.amount,
                &row.money.currency,
                tax,
                if line.is_estimate { "yes" } else { "no" },
            ]);
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}
