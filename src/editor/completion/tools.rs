//! Tools: which fits a feature, and what is said of one.

use super::Completion;
use super::CompletionKind::{Keyword, Need, Tool};
use super::draft::Draft;
use super::facts::{Facts, fold};
use super::list::List;
use super::written::Written;
use crate::model::instruments::{finest_first, instrument};
use crate::model::job::{EventKind, Reading, SaidKind};
use crate::model::manual::Feature;
use crate::model::names::key;
use crate::model::tools::{self, plain_names};
use crate::quantity::Dimension;
use crate::syntax::ast::Detail;

/// What a thing is usually read with in a small shop, by a word of its name. Common practice, no source.
const USUAL: &[(&[&str], &str)] = &[
    (&["play", "gap", "clearance"], "feelers"),
    (
        &["run-out", "runout", "float", "backlash", "rock", "lift", "swash"],
        "dial",
    ),
    (&["bore", "hole"], "bore gauge"),
    (&["depth"], "depth micrometer"),
    (&["squish"], "solder"),
];

/// What tools without a usual error of their own measure.
const OTHERS: &[(&str, Dimension)] = &[
    ("feelers", Dimension::LENGTH),
    ("height gauge", Dimension::LENGTH),
    ("scale", Dimension::MASS),
    ("scales", Dimension::MASS),
    ("balance", Dimension::MASS),
    ("spring balance", Dimension::FORCE),
    ("thermometer", Dimension::TEMPERATURE),
    ("protractor", Dimension::ANGLE),
    ("compression gauge", Dimension::PRESSURE),
    ("pressure gauge", Dimension::PRESSURE),
    ("vacuum gauge", Dimension::PRESSURE),
    ("stopwatch", Dimension::TIME),
];

/// What a kind of tool, or a plain name of one, measures.
fn measures(kind: &str) -> Option<Dimension> {
    let known = OTHERS
        .iter()
        .find(|(name, _)| *name == kind)
        .map(|(_, dimension)| *dimension);
    let is_blades = kind.contains("feeler") || kind.contains("blade");
    known
        .or_else(|| instrument(kind).map(|i| i.dimension))
        .or(is_blades.then_some(Dimension::LENGTH))
}

/// Whether it is blades.
pub(super) fn is_blades(facts: &Facts<'_>, tool: &str) -> bool {
    let name = key(tool);
    let kind = facts.job().tool(&name).map_or("", |tool| tool.kind.as_str());
    [&name, kind]
        .iter()
        .any(|name| name.contains("feeler") || name.contains("blade"))
}

/// The plain name of what a feature is usually read with, if its name or its kind tells.
fn usual(name: &str, dimension: Option<Dimension>) -> Option<&'static str> {
    let name = key(name);
    let by_name = USUAL.iter().find(|(words, _)| {
        name.split([' ', '-']).any(|w| words.contains(&w)) || name.split(' ').any(|w| words.contains(&w))
    });
    match (by_name, dimension) {
        (Some((_, tool)), None | Some(Dimension::LENGTH)) => Some(tool),
        (_, Some(Dimension::LENGTH)) => Some("mic"),
        (_, Some(Dimension::MASS)) => Some("scales"),
        (_, Some(dimension)) => finest_first(dimension)
            .first()
            .map(|(own, _)| own.name)
            .or_else(|| OTHERS.iter().find(|(_, own)| *own == dimension).map(|(name, _)| *name)),
        (None, None) => None,
    }
}

/// Tools for a feature, the most fitting first, with why: the one used before, those declared, then kinds that need no declaration.
pub(super) fn fitting(facts: &Facts<'_>, name: &str, feature: Option<&Feature>) -> Vec<(String, String)> {
    let dimension = feature.and_then(Feature::dimension);
    let mut list: Vec<(String, String)> = Vec::new();
    let mut add = |tool: String, why: String| {
        if !list.iter().any(|(known, _)| key(known) == key(&tool)) {
            list.push((tool, why));
        }
    };
    let latest = facts.latest_of(name);
    if let Some((reading, tool)) = latest.and_then(|r| r.tool.as_ref().map(|tool| (r, tool))) {
        add(
            facts.written(tool),
            format!("used on line {}", facts.line_of(reading.event)),
        );
    }
    let usual = usual(name, dimension);
    let same_kind = |kind: &str| {
        usual.is_some_and(|usual| {
            let both_blades = kind.contains("feeler") && usual == "feelers";
            kind == usual
                || both_blades
                || instrument(kind)
                    .zip(instrument(usual))
                    .is_some_and(|(a, b)| std::ptr::eq(a, b))
        })
    };
    let kind_of = |tool: &tools::Tool| {
        if tool.kind.is_empty() {
            tool.name.key.clone()
        } else {
            tool.kind.clone()
        }
    };
    let declared: Vec<&tools::Tool> = facts.tools().collect();
    let is_of = |kind: &str| {
        dimension.is_none_or(|wanted| measures(kind) == Some(wanted.difference()) || measures(kind) == Some(wanted))
    };
    let size = feature
        .and_then(|f| f.nominal.as_ref().or(f.limits.first()))
        .and_then(|limit| limit.band.middle());
    let reaches = |tool: &tools::Tool| match (tool.range, size, dimension) {
        (Some((low, high, own)), Some(size), Some(wanted)) if own == wanted => low <= size && size <= high,
        _ => true,
    };
    for tool in declared.iter().filter(|t| same_kind(&kind_of(t)) && reaches(t)) {
        add(facts.written(&tool.name), format!("declared: {}", kind_of(tool)));
    }
    if let Some(usual) = usual {
        add(usual.to_owned(), "usual, not declared".to_owned());
    }
    for tool in declared.iter().filter(|t| is_of(&kind_of(t))) {
        add(facts.written(&tool.name), format!("declared: {}", kind_of(tool)));
    }
    // An instrument goes by several names; one of them is enough to choose from.
    let kind_named = |name: &'static str| {
        let is_blades = name.contains("feeler") || name.contains("blade");
        instrument(name).map_or(if is_blades { "feelers" } else { name }, |own| own.name)
    };
    let mut kinds: Vec<&str> = usual.into_iter().map(kind_named).collect();
    for name in plain_names().filter(|name| is_of(name)) {
        let own = kind_named(name);
        if !kinds.contains(&own) {
            kinds.push(own);
            add(name.to_owned(), "a kind, not declared".to_owned());
        }
    }
    for tool in &declared {
        add(facts.written(&tool.name), format!("declared: {}", kind_of(tool)));
    }
    list
}

/// Adds the tools for a feature.
pub(super) fn add(list: &mut List<'_>, facts: &Facts<'_>, name: &str, feature: Option<&Feature>) {
    for (tool, why) in fitting(facts, name, feature) {
        list.add(Tool, &tool, why, Draft::of(&tool), format!("tool {}", key(&tool)));
    }
}

/// The tool that an amount of a step is read on: the one last used for it, else one declared under that name or of that kind, else the name.
pub(super) fn for_amount(facts: &Facts<'_>, name: &str, wanted: Option<&str>) -> Option<String> {
    let said = facts.done().rev().flat_map(|(_, done)| &done.said);
    let used = said
        .filter_map(|said| match &said.kind {
            SaidKind::Amount(amount) if amount.name == name => amount.tool.as_ref(),
            _ => None,
        })
        .next();
    if let Some(tool) = used {
        return Some(facts.written(tool));
    }
    let wanted = wanted?;
    let own = facts.tools().find(|tool| {
        tool.name.key == wanted || tool.kind == wanted || tool.name.key.split(' ').any(|word| word == wanted)
    });
    Some(own.map_or_else(|| wanted.to_owned(), |tool| facts.written(&tool.name)))
}

/// Behind `tool`: the name, then the kind, then the facts.
pub(super) fn declared(facts: &Facts<'_>, rest: Written<'_>) -> Vec<Completion> {
    let Some(colon) = rest.said.find(':') else {
        let mut list = List::new(rest.typed());
        for (name, kind) in used_undeclared(facts) {
            let draft = Draft::of(&name).say(": ").stop(&kind);
            list.add(Tool, &name, "used and not declared", draft, String::new());
        }
        return list.done();
    };
    let behind = rest.skip(colon + 1).trimmed();
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(rest));
    if item.base == behind.base {
        kinds(&mut list);
    } else {
        let kind = key(behind.items_before().first().copied().unwrap_or("")).into_owned();
        add_facts(&mut list, &kind, &behind.items_before());
    }
    list.done()
}

/// Tools that readings name and no line declares.
fn used_undeclared(facts: &Facts<'_>) -> Vec<(String, String)> {
    let mut list: Vec<(String, String)> = Vec::new();
    for reading in &facts.job().readings {
        let Reading {
            tool: Some(tool),
            tool_index: None,
            ..
        } = reading
        else {
            continue;
        };
        let name = facts.written(tool);
        let kind = instrument(&tool.key).map_or_else(|| tool.key.clone(), |i| i.name.to_owned());
        if !list.iter().any(|(known, _)| key(known) == tool.key) {
            list.push((name, kind));
        }
    }
    list
}

/// Kinds of tool: those with a usual error first.
pub(super) fn kinds(list: &mut List<'_>) {
    for name in plain_names() {
        let detail = match instrument(name) {
            Some(own) => format!("measures {}", own.dimension.name()),
            None => "a kind of tool".to_owned(),
        };
        list.add(Tool, name, detail, Draft::of(name), format!("tool {name}"));
    }
}

/// More facts of a tool, on a line below it.
pub(super) fn tool_facts(facts: &Facts<'_>, details: &[Detail], written: Written<'_>) -> Vec<Completion> {
    let said: Vec<&str> = details.iter().map(|detail| detail.span.text(facts.text())).collect();
    let item = written.last_item();
    let mut list = List::new(item.typed_behind(written));
    let kind = key(said.first().copied().unwrap_or("")).into_owned();
    add_facts(&mut list, &kind, &said);
    list.done()
}

/// The facts that are not said yet, with the unit of the kind.
fn add_facts(list: &mut List<'_>, kind: &str, said: &[&str]) {
    let dimension = measures(kind);
    let unit = match dimension {
        Some(Dimension::FORCE) => "t",
        Some(dimension) => crate::quantity::unit::usual(dimension).map_or("mm", |unit| unit.label()),
        None => "mm",
    };
    let is_said = |fact: &str| said.iter().any(|said| key(said).starts_with(fact));
    let with_unit = |fact: &str| Draft::of(fact).say(" ").stop("").say(&format!(" {unit}"));
    let all = [
        ("reads to", "the smallest step", with_unit("reads to")),
        ("good to", "the permissible error, either way", with_unit("good to")),
        (
            "repeats to",
            "the standard deviation of one reading",
            with_unit("repeats to"),
        ),
        ("zero", "what it shows at zero, with its sign", with_unit("zero")),
        ("due", "the next calibration", Draft::of("due ").stop("")),
        (
            "rated",
            "what it may be loaded with",
            Draft::of("rated ").stop("").say(" t"),
        ),
        (
            "range",
            "what it measures",
            Draft::of("range ")
                .stop("")
                .say(" to ")
                .stop("")
                .say(&format!(" {unit}")),
        ),
        ("at", "its own temperature", Draft::of("at ").stop("").say(" C")),
        (
            "checked daily",
            "a day without a `checked` line is a doubt",
            Draft::of("checked daily"),
        ),
    ];
    for (fact, detail, draft) in all {
        if !is_said(fact) {
            list.add(Need, fact, detail, draft, format!("word {fact}"));
        }
    }
}

/// Behind `held`: the ways that limits ask for, and those the log has.
pub(super) fn held(facts: &Facts<'_>, rest: Written<'_>) -> Vec<Completion> {
    let item = rest.last_item();
    let mut list = List::new(item.typed_behind(rest));
    if item.base == rest.base {
        ways(&mut list, facts, "");
    } else {
        let length = |name: &str| Draft::of(name).say(" ").stop("").say(" mm");
        list.add(
            Need,
            "supports",
            "how far apart",
            length("supports").say(" apart"),
            String::new(),
        );
        list.add(
            Need,
            "dial",
            "from the middle of the pin",
            length("dial"),
            String::new(),
        );
        list.add(
            Need,
            "dials",
            "inboard of the supports",
            length("dials").say(" inboard"),
            String::new(),
        );
    }
    list.done()
}

/// The ways the work may be held, with a word in front of each.
pub(super) fn ways(list: &mut List<'_>, facts: &Facts<'_>, before: &str) {
    for (_, event) in facts.events().rev() {
        if matches!(event.kind, EventKind::Held(_)) {
            let written = fold(event.span.text(facts.text()));
            let way = written.split_once(' ').map_or("", |(_, way)| way).to_owned();
            let line = format!("{before}{way}");
            list.add(Keyword, &line, "as before", Draft::of(&line), "word held".to_owned());
        }
    }
    for feature in &facts.book().features {
        for way in &feature.say {
            let line = format!("{before}{way}");
            let detail = format!("{} must say it", feature.name.name);
            list.add(Keyword, &line, detail, Draft::of(&line), "word held".to_owned());
        }
    }
}

/// Behind `checked`: the tools that are declared.
pub(super) fn checked(facts: &Facts<'_>, rest: Written<'_>) -> Vec<Completion> {
    let mut list = List::new(rest.typed());
    for tool in facts.tools() {
        let name = facts.written(&tool.name);
        let detail = if tool.checked_daily {
            "checked daily"
        } else {
            "declared"
        };
        list.add(Tool, &name, detail, Draft::of(&name), format!("tool {}", tool.name.key));
    }
    list.done()
}
