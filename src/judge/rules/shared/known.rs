//! A figure in words, corrected where it was.

use crate::judge::case::Case;
use crate::judge::words;
use crate::metrology::{Correction, Which};
use crate::uncertainty::Estimate;

/// What is known of a reading, which `estimate` says: `52.045 ± 0.012 mm`, and behind it whether that was corrected: ` (brought to 20 °C)`.
pub fn known(case: &Case<'_>, index: usize, which: Which, estimate: &Estimate) -> String {
    let unit = case.job.readings.get(index).and_then(|reading| reading.unit);
    format!("{}{}", words::known(estimate, unit), corrected(case, index, which))
}

/// ` (corrected for the tool's zero)`, where the figure is not as it was read.
pub fn corrected(case: &Case<'_>, index: usize, which: Which) -> &'static str {
    if !case.is_corrected(index) {
        return "";
    }
    let corrections = case
        .measured(index, which)
        .map_or_else(Vec::new, |measured| measured.corrections);
    let zero = corrections.iter().any(|c| matches!(c, Correction::Zero(_)));
    match (zero, corrections.len() > usize::from(zero)) {
        (true, true) => " (corrected for the tool's zero, and brought to 20 °C)",
        (true, false) => " (corrected for the tool's zero)",
        _ => " (brought to 20 °C)",
    }
}
