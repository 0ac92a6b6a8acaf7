//! A sum by itself, with no log behind it: `press force(0.06 mm, …) in t`.

use std::sync::Arc;

use super::sum::Node;
use super::work::{Reason, Scope};
use super::{Rulebook, Sum, Worked, work};
use crate::model::book::BookManual;
use crate::model::{Book, Job, lower_manual};
use crate::quantity::{Unit, unit};
use crate::syntax::{Source, parse_manual};

/// What a sum came to, with the unit it is wanted in.
#[derive(Clone, Debug)]
pub struct Reckoned {
    /// The sum, worked.
    pub worked: Worked,
    /// The unit that was asked for, or the usual one; `None` for a plain number.
    pub unit: Option<&'static Unit>,
}

/// The feature a sum is worked for, a name nobody writes.
const HEAD: &str = "calc what is reckoned = ";

/// Works a sum out. What is wrong with it is said in words.
pub fn reckon(text: &str) -> Result<Reckoned, String> {
    let line = text.trim();
    if line.is_empty() || line.contains(['\n', '\r', '#']) {
        return Err("write one sum, as `port duration(27 mm, stroke = 54 mm, rod = 105 mm)`".to_owned());
    }
    let asked = line.rsplit_once(" in ").map(|(sum, unit)| (sum.trim(), unit.trim()));
    match asked {
        Some((sum, wanted)) if !unit::meanings(wanted).is_empty() => within(sum, Some(wanted)),
        _ => within(line, None),
    }
}

fn within(sum: &str, wanted: Option<&str>) -> Result<Reckoned, String> {
    let source = Arc::new(Source::new("", format!("{HEAD}{sum}\n")));
    let tree = parse_manual(&source.text);
    if let Some(error) = tree.errors.first() {
        return Err(told(&error.message, &error.help));
    }
    let (manual, problems) = lower_manual(&tree, &source);
    if let Some(error) = problems.first() {
        return Err(told(&error.message, &error.help));
    }
    let book = Book::new(vec![BookManual {
        source,
        manual: Arc::new(manual),
        on_shelf: false,
        root: 0,
    }]);
    let rules = Rulebook::new(book);
    if let Some((_, error)) = rules.problems.first() {
        let help = if error.code == "calc.impossible" {
            ""
        } else {
            error.help.as_str()
        };
        return Err(told(&error.message, help));
    }
    let scope = Scope {
        before: None,
        part: None,
        place: None,
        left: &[],
        supposed: None,
    };
    let worked = match work(&rules, &Job::default(), &[], 0, scope) {
        Some(Ok(worked)) => worked,
        Some(Err(reason)) => return Err(refusal(&reason)),
        None => return Err("this is no sum".to_owned()),
    };
    let compiled = rules.sums.first().and_then(Option::as_ref);
    let dimension = compiled.and_then(|sum| sum.dimension);
    let unit = match (wanted, dimension) {
        (Some(name), of) => Some(
            unit::find(name, of)
                .filter(|unit| of.is_none_or(|of| unit.dimension == of))
                .ok_or_else(|| {
                    let kind = of.map_or_else(String::new, |of| format!(": it is {}", of.name()));
                    format!("this does not come out in {name}{kind}")
                })?,
        ),
        (None, Some(of)) => own_unit(compiled)
            .filter(|unit| unit.dimension == of)
            .or_else(|| unit::usual(of)),
        (None, None) => None,
    };
    Ok(Reckoned { worked, unit })
}

/// The unit a function's example is given in: hours of wear, not seconds.
fn own_unit(sum: Option<&Sum>) -> Option<&'static Unit> {
    let Node::Trade(called, _) = &sum?.node else {
        return None;
    };
    let (_, name) = called.function.example.gives.split_once(' ')?;
    unit::find(name, sum?.dimension)
}

fn told(message: &str, help: &str) -> String {
    if help.is_empty() {
        message.to_owned()
    } else {
        format!("{message}: {help}")
    }
}

fn refusal(reason: &Reason) -> String {
    match reason {
        Reason::Refused(impossible) => format!("{}: {}", impossible.function, impossible.why),
        Reason::Arithmetic(error) => error.to_string(),
        Reason::Missing(what) => format!("{what} is missing"),
        Reason::Several(what, count) => format!("{what} has {count} figures where one is wanted"),
        Reason::Alone => "it holds a figure against itself".to_owned(),
        Reason::TooDeep => "it is too deep to be worked".to_owned(),
    }
}
