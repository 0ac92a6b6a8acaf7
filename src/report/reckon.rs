//! Sums by themselves and the functions they may call: as text, as JSON, as a page.

use rust_decimal::Decimal;
use schemars::JsonSchema;
use serde::Serialize;

use super::visible::wrap;
use crate::calc::reckon::Reckoned;
use crate::judge::words;
use crate::quantity::number::{self, significant};
use crate::quantity::unit;
use crate::trade::function::Default;
use crate::trade::{Function, Gives, Group, Kind, Parameter, all};

/// Number of the shape; see [`super::json::SCHEMA`] for what it promises.
pub const SCHEMA: u32 = 1;

/// Digits that are printed of a figure for people, and for programs.
const DIGITS: u32 = 6;
const ALL_DIGITS: u32 = 12;

/// What `gudgeon reckon --as json` writes.
#[derive(Serialize, JsonSchema)]
pub struct Sums {
    /// Version of gudgeon.
    pub gudgeon: String,
    /// Number of this shape.
    pub schema: u32,
    /// The sums, in the order they were given.
    pub sums: Vec<Told>,
}

/// One sum.
#[derive(Serialize, JsonSchema)]
pub struct Told {
    /// As it was given.
    pub call: String,
    /// What it comes to, to twelve digits; absent where it cannot be worked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<String>,
    /// The least it may be, where a range stands in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// The greatest it may be, where a range stands in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<String>,
    /// The unit; empty for a plain number.
    pub unit: String,
    /// Why it cannot be worked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problem: Option<String>,
}

/// The schema of [`Sums`], as text.
pub fn schema() -> String {
    super::schema_of::<Sums>()
}

fn in_unit(base: Decimal, reckoned: &Reckoned, digits: u32) -> String {
    let value = reckoned.unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
    number::show(significant(value, digits), 28)
}

/// Sums for programs: a [`Sums`].
pub fn json(sums: &[(String, Result<Reckoned, String>)]) -> String {
    let told = |(call, result): &(String, Result<Reckoned, String>)| match result {
        Ok(reckoned) => {
            let exact = |base: Decimal| in_unit(base, reckoned, ALL_DIGITS);
            Told {
                call: call.clone(),
                value: Some(exact(reckoned.worked.best)),
                low: reckoned.worked.between.and_then(|band| band.lo).map(exact),
                high: reckoned.worked.between.and_then(|band| band.hi).map(exact),
                unit: reckoned.unit.map_or("", |unit| unit.label()).to_owned(),
                problem: None,
            }
        }
        Err(problem) => Told {
            call: call.clone(),
            value: None,
            low: None,
            high: None,
            unit: String::new(),
            problem: Some(problem.clone()),
        },
    };
    let sums = Sums {
        gudgeon: env!("CARGO_PKG_VERSION").to_owned(),
        schema: SCHEMA,
        sums: sums.iter().map(told).collect(),
    };
    let mut text = serde_json::to_string(&sums).unwrap_or_default();
    text.push('\n');
    text
}

/// What a sum comes to, for people: `36.4746 kN`, `32 to 54 kN`.
pub fn result(reckoned: &Reckoned) -> String {
    let figure = |base: Decimal| in_unit(base, reckoned, DIGITS);
    let text = match reckoned.worked.between {
        Some(band) => match (band.lo, band.hi) {
            (Some(lo), Some(hi)) => format!("{} to {}", figure(lo), figure(hi)),
            (Some(lo), None) => format!("at least {}", figure(lo)),
            (None, Some(hi)) => format!("up to {}", figure(hi)),
            (None, None) => "anything".to_owned(),
        },
        None => figure(reckoned.worked.best),
    };
    let label = reckoned.unit.map_or("", |unit| unit.label());
    format!("{text} {label}").trim_end().to_owned()
}

/// Every function by its chapter, with what it takes.
pub fn list() -> String {
    let mut out = String::new();
    let mut last = None;
    for function in all() {
        if last != Some(function.group) {
            out.push_str(&format!(
                "{}{}\n",
                if last.is_some() { "\n" } else { "" },
                function.group.title()
            ));
            last = Some(function.group);
        }
        out.push_str(&format!("  {}\n", signature(function)));
    }
    out
}

/// `press force(interference, diameter, outside, length, [friction], …)`
fn signature(function: &Function) -> String {
    let list = function.parameters.iter().map(|parameter| match parameter.default {
        Some(_) => format!("[{}]", parameter.name),
        None => parameter.name.to_owned(),
    });
    format!("{}({})", function.name, list.collect::<Vec<_>>().join(", "))
}

/// One function in full.
pub fn explain(function: &Function, width: usize) -> String {
    let mut out = format!("{}\n\n{}\n\n", signature(function), wrap(function.says, width, ""));
    for parameter in function.parameters {
        let text = format!("{}: {}", parameter.name, meaning(parameter));
        out.push_str(&format!("{}\n", wrap(&text, width, "  ")));
    }
    let example = &function.example;
    for more in [
        format!("Gives {}.", gives(function)),
        format!("Holds: {}", function.holds),
        format!("Source: {}.", function.source.trim_end_matches('.')),
        format!("Example: {}", example.call),
        format!("is {} ({})", example.gives, example.source),
    ] {
        out.push_str(&format!("\n{}\n", wrap(&more, width, "")));
    }
    out
}

fn meaning(parameter: &Parameter) -> String {
    let kind = match parameter.kind {
        Kind::Figure(dimension, _) => dimension.name(),
        Kind::Like => "a figure of any kind, all of them alike".to_owned(),
        Kind::Word(words) => words.shown().to_owned(),
    };
    let default = match (parameter.default, parameter.kind) {
        (Some(Default::Word(word)), _) => format!("; without it {word}"),
        (Some(Default::Figure(figure)), Kind::Figure(dimension, _)) => {
            let base = figure * crate::calc::trade::scale(dimension);
            let base = crate::uncertainty::estimate::decimal(base).unwrap_or_default();
            format!("; without it {}", words::figure(base, unit::usual(dimension)))
        }
        _ => String::new(),
    };
    format!("{}; {kind}{default}", parameter.says)
}

fn gives(function: &Function) -> String {
    match function.gives {
        Gives::Of(dimension) => dimension.name(),
        Gives::LikeByTime => "what its figures are, by time".to_owned(),
    }
}

/// Every function on one page of Markdown; written anew by `gudgeon reckon --page`.
pub fn page() -> String {
    let mut out = String::from(
        "# The functions of the trade\n\nMade by `gudgeon reckon --page`; `gudgeon reckon 'NAME'` prints one of these, and `gudgeon reckon 'SUM'` works a sum \
         out at the bench. A `calc` line of a manual may call any of them: with its arguments in order, or by name. Each example here is run as a test.\n\n\
         An argument may be a range, as `friction = 0.12 to 0.20`; the result is then one. Figures that no machine can have are refused, and the refusal is \
         told at the figure. Behind a comma stands what is taken where nothing is given.\n",
    );
    let mut last: Option<Group> = None;
    for function in all() {
        if last != Some(function.group) {
            out.push_str(&format!("\n## {}\n", function.group.title()));
            last = Some(function.group);
        }
        out.push_str(&format!(
            "\n### {}\n\n{} Gives {}.\n\n",
            function.name,
            function.says,
            gives(function)
        ));
        out.push_str("| takes | meaning |\n| --- | --- |\n");
        for parameter in function.parameters {
            out.push_str(&format!(
                "| {} | {} |\n",
                parameter.name,
                meaning(parameter).replace('|', "\\|")
            ));
        }
        let example = &function.example;
        out.push_str(&format!(
            "\n**Holds:** {}\n\n**Source:** {}.\n\n`{}` is {} ({}).\n",
            function.holds,
            function.source.trim_end_matches('.'),
            example.call,
            example.gives,
            example.source
        ));
    }
    out
}
