//! Figures for people.

use super::{by, difference, float, rule};
use crate::judge::figures::Figure;
use crate::judge::words;
use crate::metrology::Correction;
use crate::model::limit::Limit;
use crate::quantity::Unit;
use crate::quantity::number::significant;
use crate::syntax::Source;
use crate::uncertainty::Method;

/// Degrees of freedom from which on they are not printed.
const MANY: f64 = 30.0;

/// Figures for people, each with its budget.
pub fn text(figures: &[&Figure], source: &Source) -> String {
    let mut out = String::new();
    for figure in figures {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&one(figure, source));
    }
    out
}

fn one(figure: &Figure, source: &Source) -> String {
    let unit = figure.unit;
    let line = source.lines.line_of(figure.span.start) + 1;
    let mut out = if figure.is_derived {
        format!("{}, worked out\n", figure.name)
    } else {
        let angle = figure
            .angle
            .map_or_else(String::new, |angle| format!(" at {}°", angle.normalize()));
        format!("{}{angle}, line {line}: written as {}\n", figure.name, figure.written)
    };
    out.push_str(&format!("  known to be {}\n", words::known(&figure.estimate, unit)));
    out.push_str(&verdict(figure));
    for correction in &figure.corrections {
        out.push_str(&format!("  {}\n", corrected(correction, unit)));
    }
    out.push_str(&sum(figure));
    out
}

fn corrected(correction: &Correction, unit: Option<&'static Unit>) -> String {
    let (_, amount) = by(correction);
    let size = words::difference(amount.abs(), unit);
    let direction = if amount.is_sign_negative() {
        "taken off"
    } else {
        "added"
    };
    match correction {
        Correction::Zero(_) => format!("{size} {direction}: what the tool shows at zero"),
        Correction::PartTemperature(at, _) => {
            format!(
                "{size} {direction}: the part was at {}, brought to 20 °C",
                words::celsius(*at)
            )
        }
        Correction::ToolTemperature(at, _) => {
            format!("{size} {direction}: the tool was at {}", words::celsius(*at))
        }
    }
}

/// The budget as a table, and what it comes to.
fn sum(figure: &Figure) -> String {
    let estimate = &figure.estimate;
    if figure.budget.is_empty() {
        return match estimate.between {
            Some(_) => "  blades and ranges leave a band open, in which every value is alike\n".to_owned(),
            None => "  nothing is said that makes it uncertain\n".to_owned(),
        };
    }
    let symbol = figure.unit.map_or("", |u| u.label());
    let digits = |base: f64| {
        let value = difference(base, figure.unit);
        crate::uncertainty::estimate::decimal(value)
            .map_or_else(|| format!("{value}"), |d| significant(d, 2).normalize().to_string())
    };
    let mut rows: Vec<[String; 4]> = vec![[
        "from".to_owned(),
        "spread".to_owned(),
        format!("adds {symbol}").trim_end().to_owned(),
        "share".to_owned(),
    ]];
    // What adds less than half a hundredth of the whole buries the rest.
    let (told, small): (Vec<_>, Vec<_>) = figure.budget.iter().partition(|entry| entry.part >= 0.005);
    for entry in told {
        let source = &entry.share.source;
        let of = if entry.of.is_empty() {
            String::new()
        } else {
            format!(": {}", entry.of)
        };
        rows.push([
            format!("{}{of}", source.origin.cause.words()),
            source.shape.word().to_owned(),
            digits(entry.share.effect().abs()),
            format!("{:.0} %", entry.part * 100.0),
        ]);
    }
    let mut out = crate::report::visible::table(&rows, "    ");
    if !small.is_empty() {
        out.push_str(&format!("    and {} that add next to nothing\n", small.len()));
    }
    let combined = &estimate.combined;
    // Where they are many they no longer matter.
    let dof = if combined.dof < MANY {
        format!(" with {:.1} degrees of freedom", combined.dof)
    } else {
        String::new()
    };
    out.push_str(&match estimate.method {
        Method::FirstOrder => {
            let expanded = combined.expanded();
            let k = combined.k();
            let how = if expanded < k * combined.u {
                ", the most it can be off at all".to_owned()
            } else {
                format!(", times {k:.2} for about 95 %")
            };
            format!(
                "  together {} {symbol}{dof} (standard uncertainty){how}: ± {} {symbol}\n",
                digits(combined.u),
                digits(expanded)
            )
        }
        Method::Drawn => format!(
            "  the sum is bent here, so it was drawn, and the shares hold near the best value only: {} {symbol} (standard uncertainty), about 95 % from −{} to +{} {symbol}\n",
            digits(combined.u),
            digits(float(estimate.below)),
            digits(float(estimate.above))
        ),
    });
    out
}

fn verdict(figure: &Figure) -> String {
    let (Some(limit), Some(decision)) = (&figure.limit, &figure.decision) else {
        return "  no limit is known for it\n".to_owned();
    };
    let likely = words::likely(", ", decision);
    let close = if decision.is_close { ", too close to call" } else { "" };
    let stale = if figure.counts {
        ""
    } else {
        " (history: it does not count any more)"
    };
    format!(
        "  {} {}{}, decided {}: {}{close}{likely}{stale}\n",
        limit.name(),
        limit.words(),
        source_of(limit),
        rule(figure.rule),
        decision.verdict.word()
    )
}

fn source_of(limit: &Limit) -> String {
    match &limit.source {
        Some(source) => format!(" ({source})"),
        None => " (no source is given)".to_owned(),
    }
}
