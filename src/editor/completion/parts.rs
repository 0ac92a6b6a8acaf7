//! Parts: found, ordered, come, chosen; and what is mended by a later line.

use super::Completion;
use super::CompletionKind::{Keyword, Part, Value};
use super::draft::Draft;
use super::facts::{Facts, fold};
use super::list::List;
use super::written::Written;
use crate::model::job::{EventKind, Point, Reading, ReadingKind, Word};
use crate::model::manual::{ConditionKind, Step};
use crate::model::names::{key, names_thing, says};
use crate::quantity::number;

/// Conditions in workshop words, each with the decision that usually goes with it.
const CONDITIONS: &[(&str, &str)] = &[
    ("good", "reuse"),
    ("worn", "replace"),
    ("damaged", "replace"),
    ("worn within limit", "watch"),
    ("dirty", "repair"),
];

/// What may be decided of a part.
const DECISIONS: &[(&str, &str)] = &[
    ("reuse", "it goes in again"),
    ("watch", "it goes in again, and is looked at next time"),
    ("repair", "it is made good"),
    ("machine", "it is machined"),
    (
        "replace",
        "an order, an arrival or a step that fits it is then waited for",
    ),
];

/// The most parts that are looked through for one list.
const MOST: usize = 400;

/// Behind `found`: the part, then its condition, then the decision.
pub(super) fn found(facts: &Facts<'_>, rest: Written<'_>) -> Vec<Completion> {
    if let Some(colon) = rest.said.find(':') {
        return conditions_behind(rest.skip(colon + 1).trimmed(), rest);
    }
    let mut list = List::new(rest.typed());
    let mut add = |name: &str, detail: &str| {
        list.add(
            Part,
            name,
            detail,
            Draft::of(name).say(": ").stop("good, reuse"),
            format!("part {}", key(name)),
        );
    };
    for (name, detail) in known(facts) {
        add(&name, &detail);
    }
    list.done()
}

/// Conditions, below a `found` line.
pub(super) fn conditions(written: Written<'_>) -> Vec<Completion> {
    conditions_behind(written, written)
}

fn conditions_behind(behind: Written<'_>, line: Written<'_>) -> Vec<Completion> {
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(line));
    let is_first = behind.items_before().is_empty();
    for (condition, decision) in CONDITIONS.iter().filter(|_| is_first) {
        let both = format!("{condition}, {decision}");
        list.add(
            Keyword,
            &both,
            "condition and decision",
            Draft::of(&both),
            String::new(),
        );
        list.add(Keyword, condition, "condition", Draft::of(condition), String::new());
    }
    for (decision, detail) in DECISIONS {
        list.add(
            Keyword,
            decision,
            *detail,
            Draft::of(decision),
            format!("word {decision}"),
        );
    }
    list.done()
}

/// Parts that the log and its manuals know, with where from: those of the log first.
fn known(facts: &Facts<'_>) -> Vec<(String, String)> {
    let mut list: Vec<(String, String)> = Vec::new();
    let mut add = |name: String, detail: String| {
        if !name.is_empty() && list.len() < MOST && !list.iter().any(|(known, _)| key(known) == key(&name)) {
            list.push((name, detail));
        }
    };
    for (at, event) in facts.events().rev() {
        let word = match &event.kind {
            EventKind::Found(word, _) => word,
            EventKind::Got(part) | EventKind::Ordered(part) => &part.name,
            _ => continue,
        };
        add(facts.written(word), format!("line {}", facts.line_of(at)));
    }
    for instance in facts.all_instances() {
        if let Some(part) = &instance.part {
            add(facts.written(part), "read in this log".to_owned());
        }
    }
    let book = facts.book();
    for step in book.procedures.iter().flat_map(|p| &p.steps) {
        for condition in step.owed_if.iter().chain(&step.only_if) {
            if let ConditionKind::Found(part, _) = &condition.kind {
                add(part.clone(), format!("`{}` asks for it", step.name.name));
            }
        }
        for part in step.renews.iter().chain(&step.takes_out).chain(&step.puts_in) {
            add(part.name.clone(), format!("of `{}`", step.name.name));
        }
    }
    // What several steps handle is a part: `press out crankpin`, `press in crankpin`.
    let last = |step: &Step| step.name.key.rsplit(' ').next().unwrap_or("").to_owned();
    let steps = book
        .procedures
        .iter()
        .flat_map(|p| &p.steps)
        .filter(|step| step.reads.is_empty());
    let handled: Vec<(&Step, String)> = steps.map(|step| (step, last(step))).collect();
    for (step, part) in &handled {
        let is_several = handled.iter().filter(|(_, other)| other == part).count() > 1;
        if part.len() > 3 && is_several {
            add(part.clone(), format!("of `{}`", step.name.name));
        }
    }
    for part in book.features.iter().flat_map(|f| &f.parts) {
        add(part.name.clone(), "a part of the manual".to_owned());
    }
    list
}

/// Parts that were ordered and have not come, with the event of the order.
fn awaited<'a>(facts: &Facts<'a>) -> Vec<(usize, &'a Word, Option<String>)> {
    let come = |name: &str| {
        let mut events = facts.events();
        events.any(|(_, event)| matches!(&event.kind, EventKind::Got(part) if part.name.key == name))
    };
    let all = facts.events().rev().filter_map(|(at, event)| match &event.kind {
        EventKind::Ordered(part) => Some((at, &part.name, part.number().map(|said| said.as_number().to_owned()))),
        EventKind::Waiting(name, _) => Some((at, name, None)),
        _ => None,
    });
    let mut list: Vec<(usize, &Word, Option<String>)> = Vec::new();
    for one in all {
        if !come(&one.1.key) && !list.iter().any(|known| known.1.key == one.1.key) {
            list.push(one);
        }
    }
    list
}

/// Parts at hand: those that came, then those that readings name.
pub(super) fn on_hand(list: &mut List<'_>, facts: &Facts<'_>) {
    for (at, event) in facts.events().rev() {
        if let EventKind::Got(part) = &event.kind {
            let name = facts.written(&part.name);
            list.add(
                Part,
                &name,
                format!("came on line {}", facts.line_of(at)),
                Draft::of(&name),
                format!("part {}", part.name.key),
            );
        }
    }
    for instance in facts.all_instances() {
        if let Some(part) = &instance.part {
            let name = facts.written(part);
            list.add(
                Part,
                &name,
                "read in this log",
                Draft::of(&name),
                format!("part {}", part.key),
            );
        }
    }
}

/// Parts that are wanted and were neither ordered nor came, with why.
fn wanted(facts: &Facts<'_>) -> Vec<(String, String)> {
    let is_heard_of = |name: &str| {
        facts.events().any(|(_, event)| match &event.kind {
            EventKind::Ordered(part) | EventKind::Got(part) => names_thing(&part.name.key, name),
            EventKind::Waiting(part, _) => names_thing(&part.key, name),
            _ => false,
        })
    };
    let mut list = Vec::new();
    for (at, event) in facts.events() {
        if let EventKind::Found(part, said) = &event.kind
            && said.iter().any(|said| says(&said.key, "replace"))
            && !is_heard_of(&part.key)
        {
            list.push((
                facts.written(part),
                format!("to be replaced, line {}", facts.line_of(at)),
            ));
        }
    }
    for open in &facts.open().steps {
        let Some(step) = facts.book().step(open.id) else {
            continue;
        };
        for part in step.renews.iter().filter(|part| !is_heard_of(&part.key)) {
            list.push((part.name.clone(), format!("`{}` wants it new", step.name.name)));
        }
    }
    list
}

/// Whole lines of what is to be ordered, and of what has not come.
pub(super) fn wanted_lines(list: &mut List<'_>, facts: &Facts<'_>) {
    for (name, why) in wanted(facts) {
        let line = format!("ordered {name}");
        let draft = Draft::of(&line).say(": number ").stop("");
        list.add(Part, &line, why, draft, format!("part {}", key(&name)));
    }
    for (at, part, number) in awaited(facts) {
        let line = format!("got {}", facts.written(part));
        let draft = Draft::of(&line).say(": number ").stop(&number.unwrap_or_default());
        list.add(
            Part,
            &line,
            format!("awaited since line {}", facts.line_of(at)),
            draft,
            format!("part {}", part.key),
        );
    }
}

/// Behind `ordered`, `got`, `waiting`, `chose`, `stock`.
pub(super) fn offers(facts: &Facts<'_>, word: &str, rest: Written<'_>) -> Vec<Completion> {
    if let Some(colon) = rest.said.find(':') {
        return details(word, rest.skip(colon + 1).trimmed(), rest);
    }
    // `chose A over B`
    if let Some((_, _, other)) = rest.behind_last(&["over"]).filter(|_| word == "chose") {
        let mut list = List::new(other.typed());
        on_hand(&mut list, facts);
        return list.done();
    }
    let rest = match rest.said.get(..4) {
        Some(begun) if word == "waiting" && begun.eq_ignore_ascii_case("for ") => rest.skip(4).trimmed(),
        _ => rest,
    };
    let mut list = List::new(rest.typed());
    let data = |name: &str| format!("part {}", key(name));
    match word {
        "got" => {
            for (at, part, number) in awaited(facts) {
                let name = facts.written(part);
                let number = number.unwrap_or_default();
                let draft = Draft::of(&name).say(": number ").stop(&number);
                list.add(
                    Part,
                    &name,
                    format!("awaited since line {}", facts.line_of(at)),
                    draft,
                    data(&name),
                );
            }
            for (name, why) in wanted(facts) {
                list.add(
                    Part,
                    &name,
                    why,
                    Draft::of(&name).say(": number ").stop(""),
                    data(&name),
                );
            }
        }
        "ordered" => {
            for (name, why) in wanted(facts).into_iter().chain(known(facts)) {
                list.add(
                    Part,
                    &name,
                    why,
                    Draft::of(&name).say(": number ").stop(""),
                    data(&name),
                );
            }
        }
        "waiting" => {
            for (at, part, _) in awaited(facts) {
                let name = facts.written(part);
                let line = format!("for {name}");
                list.add(
                    Part,
                    &line,
                    format!("ordered on line {}", facts.line_of(at)),
                    Draft::of(&line),
                    data(&name),
                );
            }
        }
        "chose" => on_hand(&mut list, facts),
        _ => {
            for choice in facts.book().features.iter().filter_map(|f| f.choice.as_ref()) {
                if let Some(stock) = &choice.stock {
                    let draft = Draft::of(&stock.name).say(": ").stop("").say(" mm");
                    list.add(
                        Part,
                        &stock.name,
                        format!("{} is chosen from it", choice.what.name),
                        draft,
                        String::new(),
                    );
                }
            }
        }
    }
    list.done()
}

/// What is said of a part that was ordered or came.
fn details(word: &str, behind: Written<'_>, line: Written<'_>) -> Vec<Completion> {
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(line));
    let said = behind.items_before();
    let all: &[(&str, &str)] = match word {
        "ordered" => &[
            ("number", "the part's number"),
            ("quantity", "how many"),
            ("price", "of one, with its currency"),
            ("total", "of all, with its currency"),
            ("post", "paid once"),
            ("duty", "paid once"),
            ("vat", "a share of the price, or a sum, on top"),
            ("from", "whom"),
        ],
        "got" => &[
            ("number", "the part's number"),
            ("ordered as", "where no `ordered` line is"),
            ("quantity", "how many"),
            ("price", "of one, with its currency"),
            ("total", "of all, with its currency"),
            ("post", "paid once"),
            ("duty", "paid once"),
            ("vat", "a share of the price, or a sum, on top"),
        ],
        _ => &[],
    };
    for (name, detail) in all {
        if !said.iter().any(|said| key(said).starts_with(name)) {
            list.add(Keyword, name, *detail, Draft::of(name).say(" ").stop(""), String::new());
        }
    }
    list.done()
}

/// Behind `fix`: the latest readings with their figure, the last first.
pub(super) fn fixes(facts: &Facts<'_>, rest: Written<'_>) -> Vec<Completion> {
    let mut list = List::new(rest.typed());
    if rest.said.contains("->") {
        return Vec::new();
    }
    let mut latest: Vec<(&Reading, String)> = facts
        .all_instances()
        .filter_map(|instance| {
            let reading = facts.latest(instance)?;
            let named = facts.written(&instance.name);
            let word = |word: &Option<Word>| word.as_ref().map(|word| facts.written(word));
            let (part, place) = (word(&instance.part), word(&instance.place));
            Some((
                reading,
                crate::model::names::named(&named, part.as_deref(), place.as_deref()),
            ))
        })
        .collect();
    latest.sort_by_key(|(reading, _)| std::cmp::Reverse((reading.event, reading.figure_span.start)));
    for (reading, name) in latest {
        let Some(point) = reading.points.first() else { continue };
        let (old, new) = figures(facts, reading, point);
        let label = format!("{name} {old} ->");
        let draft = Draft::of(&label).say(" ").join(&new);
        list.add(
            Value,
            &label,
            format!("read on line {}", facts.line_of(reading.event)),
            draft,
            format!("feature {}", key(&name)),
        );
    }
    for (event, done) in facts.done().rev() {
        let name = facts.written(&done.name);
        let draft = Draft::of(&name).say(", ").stop("");
        list.add(
            super::CompletionKind::Step,
            &name,
            format!("what was not said on line {}", facts.line_of(event)),
            draft,
            format!("step {}", done.name.key),
        );
    }
    list.done()
}

/// A figure as it was written, and what stands in the place of the new one.
fn figures(facts: &Facts<'_>, reading: &Reading, point: &Point) -> (String, Draft) {
    if reading.kind != ReadingKind::Blades {
        return (point.written.to_string(), Draft::default().stop(""));
    }
    let unit = reading.unit.map_or(String::new(), |unit| format!(" {}", unit.label()));
    let new = Draft::of("go ").stop("").say(", no-go ").stop("").say(unit.trim_end());
    let written = fold(reading.figure_span.text(facts.text()));
    if reading.mended.is_none() && written.to_lowercase().starts_with("go ") {
        return (written, new);
    }
    let [go, no_go] = [point.band.lo, point.band.hi].map(|end| {
        let end = end.unwrap_or(point.best);
        let shown = reading.unit.and_then(|unit| unit.from_base(end)).unwrap_or(end);
        number::padded(shown, point.written.scale())
    });
    (format!("go {go}, no-go {no_go}{unit}"), new)
}
