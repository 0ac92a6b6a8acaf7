//! A sum in a manual: functions of sums and of the trade, what they take, and features.

use super::CompletionKind::{Keyword, Unit, Value};
use super::draft::Draft;
use super::list::List;
use super::written::{Written, is_blank};
use super::{Completion, manual};
use crate::calc::function::Function as Gathering;
use crate::judge::ManualAnalysis;
use crate::quantity::unit;
use crate::trade::function::{Default as Usual, Kind};
use crate::trade::{self, Function};

/// Functions of what a reading or a limit says, with what they take.
const ASKED: &[(&str, &str, &str)] = &[
    ("high", "the angle of the high point", "run-out at left"),
    ("support distance", "from the middle of the pin", "run-out at left"),
    ("dial distance", "from the middle of the pin", "run-out at left"),
    ("at angle", "one figure of a ring", "web width, 180°"),
    (
        "if said",
        "its figure where it says these words",
        "port height, from crown",
    ),
    ("says", "1 or 0", "pinion mark, plus is thicker"),
    ("aim", "of the limit for new work", "side play"),
    ("least allowed", "of the limit for new work", "side play"),
    ("most allowed", "of the limit for new work", "side play"),
];

/// Behind the `=` of a sum.
pub(super) fn offers(analysis: &ManualAnalysis, sum: Written<'_>) -> Vec<Completion> {
    let text = sum.said;
    let ends = |(at, c): (usize, char)| match c {
        '(' | ',' | '+' | '*' | '/' | '^' | '×' | '÷' | '·' | '=' => Some(at + c.len_utf8()),
        '-' | '\u{2212}' => {
            // A `-` between words is part of a name.
            let before = text.get(..at).is_none_or(|b| b.ends_with(is_blank) || b.is_empty());
            before.then_some(at + c.len_utf8())
        }
        _ => None,
    };
    let start = text.char_indices().filter_map(ends).next_back().unwrap_or(0);
    let item = sum.skip(start).trimmed();
    let begins_with_digit = item.said.starts_with(|c: char| c.is_ascii_digit());
    if begins_with_digit {
        return units(item);
    }
    if item.said.ends_with(')') {
        return Vec::new();
    }
    let mut list = List::new(item.typed_behind(sum));
    if let Some(function) = enclosing(text) {
        for parameter in function.parameters {
            let given = format!("{} =", parameter.name);
            if text.contains(&given) {
                continue;
            }
            let usual = match parameter.default {
                Some(Usual::Figure(figure)) => format!("; {figure} where nothing is given"),
                Some(Usual::Word(word)) => format!("; {word} where nothing is given"),
                None => String::new(),
            };
            let label = format!("{} =", parameter.name);
            let draft = Draft::of(&label).say(" ").stop("");
            list.add(
                Keyword,
                &label,
                format!("{}{usual}", parameter.says),
                draft,
                format!("function {}", function.name),
            );
        }
    }
    manual::features(&mut list, &analysis.rules.book);
    for (function, names) in Gathering::ALL {
        let Some(name) = names.first() else { continue };
        let detail = if function.gathers() {
            "of all readings of a feature, over its parts, places and rings"
        } else {
            "of plain values"
        };
        let draft = match function {
            Gathering::Min | Gathering::Max => Draft::of(name).say("(").stop("a").say(", ").stop("b").say(")"),
            Gathering::Round => Draft::of(name).say("(").stop("a").say(", ").stop("1 mm").say(")"),
            _ => Draft::of(name).say("(").stop("a").say(")"),
        };
        list.add(Value, name, detail, draft, String::new());
    }
    for function in trade::all() {
        list.add(
            Value,
            function.name,
            function.says,
            call(function),
            format!("function {}", function.name),
        );
    }
    for (name, says, takes) in ASKED {
        list.add(
            Value,
            name,
            *says,
            Draft::of(name).say("(").stop(takes).say(")"),
            String::new(),
        );
    }
    list.word(Value, "pi", "3.1416");
    list.done()
}

/// A call with what must be given.
fn call(function: &Function) -> Draft {
    let mut draft = Draft::of(function.name).say("(");
    for (number, parameter) in function.parameters.iter().filter(|p| p.default.is_none()).enumerate() {
        if number > 0 {
            draft = draft.say(", ");
        }
        let usual = match parameter.kind {
            Kind::Word(_) => format!("\"{}\"", parameter.name),
            Kind::Figure(..) | Kind::Like => parameter.name.to_owned(),
        };
        draft = draft.stop(&usual);
    }
    draft.say(")")
}

/// The function of the trade in whose brackets the end of a text stands.
fn enclosing(text: &str) -> Option<&'static Function> {
    let mut depth = 0usize;
    for (at, c) in text.char_indices().rev() {
        match c {
            ')' => depth += 1,
            '(' if depth > 0 => depth -= 1,
            '(' => {
                let before = text.get(..at)?.trim_end_matches(is_blank);
                let name = before.rsplit(['(', ',', '+', '*', '/', '^', '=']).next()?;
                let name = name.rsplit(" - ").next()?.trim();
                if let Some(function) = trade::named(name) {
                    return Some(function);
                }
            }
            _ => {}
        }
    }
    None
}

/// Behind a figure: every unit.
fn units(item: Written<'_>) -> Vec<Completion> {
    let figure = item
        .said
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(item.said.len());
    if figure == item.said.len() {
        return Vec::new();
    }
    let mut list = List::new(item.skip(figure).trimmed().typed());
    for unit in unit::all().filter(|unit| !unit.label().is_empty()) {
        list.add(
            Unit,
            unit.label(),
            unit.dimension.name(),
            Draft::of(unit.label()),
            format!("unit {}", unit.symbol),
        );
    }
    list.done()
}
