//! Limits by the tables of a standard: `build 25 k5`, `build 25 H7/p6`, `nominal 52 bearing outside`, `build 25 bearing C3`.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::Lowering;
use super::limits::{Wanted, manual_error};
use crate::model::limit::Limit;
use crate::quantity::{Band, Dimension, unit};
use crate::syntax::Span;
use crate::trade::bearings::Clearance;
use crate::trade::codes;
use crate::uncertainty::estimate::decimal;

/// What a code stands for: least and greatest, mm, and the table it was found in.
struct Coded {
    limits: (f64, f64),
    source: String,
}

/// Reads a code. A size with a class is a size; two classes are the first less the second.
fn read(text: &str) -> Result<Coded, String> {
    let folded = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some((bore, class)) = clearance(&folded) {
        let class = Clearance::read(class)?;
        let (low, high) = class.on(bore).ok_or_else(|| {
            format!("no table here has the clearance of a bearing of {bore} mm: they go from 2.5 to 65 mm")
        })?;
        return Ok(Coded {
            limits: (low / 1000.0, high / 1000.0),
            source: format!("ISO 5753-1:2009, {folded}, not mounted"),
        });
    }
    if folded.contains('/') {
        let fit = codes::fit(&folded)?;
        return Ok(Coded {
            limits: fit.limits()?,
            source: format!("{}, {}", sources(fit.first, fit.second), fit.name()),
        });
    }
    let zone = codes::zone(&folded)?;
    Ok(Coded {
        limits: zone.limits()?,
        source: format!("{}, {}", zone.class.source(), zone.name()),
    })
}

/// `25 bearing C3`: the bore and the class.
fn clearance(text: &str) -> Option<(f64, &str)> {
    let (size, class) = text.split_once(" bearing C").map(|(size, _)| size).and_then(|size| {
        let class = text.rsplit_once(' ')?.1;
        Some((size, class))
    })?;
    let bore = size.trim_end_matches("mm").trim().replace(',', ".").parse().ok()?;
    Some((bore, class))
}

fn sources(first: codes::Class, second: codes::Class) -> String {
    let (a, b) = (first.source(), second.source());
    if a == b { a.to_owned() } else { format!("{a} and {b}") }
}

impl Lowering<'_> {
    /// A limit that is written as a code. Its source is the standard, unless the line names another.
    pub(super) fn coded(
        &mut self,
        span: Span,
        stage: String,
        code: Span,
        source: Option<Span>,
        wanted: Wanted,
    ) -> Option<Limit> {
        const HELP: &str =
            "write it like `25 k5`, `25 H7/p6`, `25 bearing/k5`, `52 bearing outside` or `25 bearing C3`";
        let read = match read(code.text(self.text)) {
            Ok(read) => read,
            Err(why) => {
                self.problems.push(*manual_error(code, &why, HELP));
                return None;
            }
        };
        let own = wanted.unit.filter(|unit| unit.dimension == Dimension::LENGTH);
        if wanted.unit.is_some() && own.is_none() {
            let message = "a class is a limit of a length";
            self.problems
                .push(*manual_error(code, message, "look at the feature's `unit` line"));
            return None;
        }
        let unit = own.or_else(|| unit::usual(Dimension::LENGTH))?;
        // The tables are of tenths of a µm: whatever is smaller is the noise of floating point.
        let end = |end: f64| decimal(end).map(|end| end.round_dp(5).normalize());
        let (low, high): (Decimal, Decimal) = end(read.limits.0).zip(end(read.limits.1))?;
        let said = source.map(|source| Arc::from(source.text(self.text)));
        Some(Limit {
            stage,
            band: Band::between(low, high),
            unit,
            span,
            manual: 0,
            source: said.or_else(|| Some(Arc::from(read.source))),
        })
    }
}
