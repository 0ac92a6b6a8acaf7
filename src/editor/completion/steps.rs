//! Steps: the one that may be done now with all its line is to say, and what a line that was begun still lacks.

use rust_decimal::Decimal;

use super::CompletionKind::{Keyword, Need, Part};
use super::draft::Draft;
use super::facts::Facts;
use super::list::List;
use super::written::{Written, is_blank};
use super::{Completion, CompletionKind, parts, tools};
use crate::judge::next::Kind;
use crate::model::book::StepId;
use crate::model::job::{EventKind, SaidKind};
use crate::model::manual::{BoundKind, Named, Step, StepBound};
use crate::model::names::{key, names_thing, says};
use crate::quantity::{Dimension, number, unit};

/// What stands where a figure is wanted that only the bench can give: nothing is made up, and a line with it is seen to be unfinished.
const WANTED: &str = "…";

/// Behind `did` or `undid`: the step, then what its line says.
pub(super) fn offers(facts: &Facts<'_>, word: &str, rest: Written<'_>) -> Vec<Completion> {
    let said = rest.items_before();
    if let Some((step, said)) = said.split_first() {
        return details(facts, step, said.to_vec(), rest);
    }
    let mut list = List::new(rest.typed());
    if word == "undid" {
        undone(&mut list, facts);
    } else {
        open(&mut list, facts, "", |kind| kind != Kind::DoLater);
        open(&mut list, facts, "", |kind| kind == Kind::DoLater);
        others(&mut list, facts, "");
    }
    list.done()
}

/// Steps done, the last first, with their reason to fill in.
fn undone(list: &mut List<'_>, facts: &Facts<'_>) {
    for (event, done) in facts.done().rev() {
        let name = facts.written(&done.name);
        let draft = Draft::of(&name).say(", because ").stop("");
        list.add(
            CompletionKind::Step,
            &name,
            format!("done on line {}", facts.line_of(event)),
            draft,
            format!("step {}", done.name.key),
        );
    }
}

/// The open steps of some kinds, each with its whole line.
pub(super) fn open(list: &mut List<'_>, facts: &Facts<'_>, before: &str, wanted: impl Fn(Kind) -> bool) {
    for open in facts.open().steps.iter().filter(|open| wanted(open.kind)) {
        if let Some(step) = facts.book().step(open.id) {
            add(list, facts, before, (open.id, step), &open.why);
        }
    }
}

/// Every other step that is not forbidden.
pub(super) fn others(list: &mut List<'_>, facts: &Facts<'_>, before: &str) {
    let open = facts.open();
    for (procedure, own) in facts.book().procedures.iter().enumerate() {
        for (step, it) in own.steps.iter().enumerate() {
            let id = StepId { procedure, step };
            let is_open = open.steps.iter().any(|open| open.id == id);
            if is_open || open.forbidden.contains(&id) || !it.reads.is_empty() {
                continue;
            }
            let why = match facts.last_done(id) {
                Some(event) => format!("done on line {}", facts.line_of(event)),
                None => own.name.name.clone(),
            };
            add(list, facts, before, (id, it), &why);
        }
    }
}

fn add(list: &mut List<'_>, facts: &Facts<'_>, before: &str, (id, step): (StepId, &Step), why: &str) {
    let name = &step.name.name;
    let others = step.also.iter().map(String::as_str);
    // A draft is work, and most steps of a large book do not fit what has been typed.
    let label = format!("{before}{name}");
    if list.fits(&label) || step.also.iter().any(|other| list.fits(other)) {
        let draft = Draft::of(before).join(&line(facts, id, step));
        list.add_named(
            CompletionKind::Step,
            (&label, others),
            why,
            draft,
            format!("step {}", step.name.key),
        );
    }
}

/// What a step's line says: its name, its needs as ticks, its counts and its amounts.
fn line(facts: &Facts<'_>, id: StepId, step: &Step) -> Draft {
    let mut draft = Draft::of(&step.name.name);
    for need in &step.needs {
        draft = draft.say(", ").join(&tick(need));
    }
    for thing in step.takes_out.iter().chain(&step.puts_in) {
        draft = draft.say(", ").join(&counted(facts, thing));
    }
    for part in &step.renews {
        draft = draft.say(&format!(", new {}", part.name));
    }
    for bound in step.bounds.iter().filter(|bound| !is_needless(step, bound)) {
        draft = draft.say(", ").join(&amount(facts, id, bound));
    }
    draft
}

/// A tick; of alternatives the first, to be changed.
fn tick(need: &Named) -> Draft {
    match need.name.split_once(" or ") {
        Some((first, _)) => Draft::default().stop(first),
        None => Draft::of(&need.name),
    }
}

/// `28 needles`: as many as came out, where that was said.
fn counted(facts: &Facts<'_>, thing: &Named) -> Draft {
    let said = facts.done().rev().flat_map(|(_, done)| &done.said);
    let known = said
        .filter(|said| names_thing(&said.key, &thing.key))
        .find_map(|said| said.key.split(' ').find_map(|word| word.parse::<u32>().ok()));
    let usual = known.map_or_else(|| WANTED.to_owned(), |count| count.to_string());
    Draft::default().stop(&usual).say(&format!(" {}", thing.name))
}

/// An amount that a tick of the same name says already.
fn is_needless(step: &Step, bound: &StepBound) -> bool {
    step.needs.iter().any(|need| need.key == bound.name)
}

/// `force 7 t on press`: the figure last said for it, else the middle of its limit.
fn amount(facts: &Facts<'_>, id: StepId, bound: &StepBound) -> Draft {
    let said = facts.done().rev().filter(|(_, done)| done.step == Some(id));
    let before = said.flat_map(|(_, done)| &done.said).find_map(|said| match &said.kind {
        SaidKind::Amount(amount) if amount.name == bound.name => Some(amount),
        _ => None,
    });
    let limit = match &bound.bound {
        BoundKind::Limit(limit) => Some(limit),
        BoundKind::RatingOf(_) => None,
    };
    let figure = before.map(|amount| amount.written.to_string()).or_else(|| {
        let limit = limit?;
        let band = limit.band.lo.and(limit.band.hi).and_then(|_| limit.band.middle())?;
        let shown = limit.unit.from_base(band)?;
        Some(number::show(shown, limit.unit.decimals()))
    });
    let tool = match &bound.bound {
        BoundKind::RatingOf(tool) => tools::for_amount(facts, &bound.name, Some(&tool.key)),
        BoundKind::Limit(_) => tools::for_amount(facts, &bound.name, None),
    };
    let unit = match (before.and_then(|amount| amount.unit), limit, tool.as_deref()) {
        (Some(unit), ..) => unit.label(),
        (None, Some(limit), _) => limit.unit.label(),
        (None, None, tool) => tool
            .and_then(|tool| facts.job().tool(&key(tool))?.rated)
            .map_or("t", |(_, unit)| unit.label()),
    };
    let figure = figure.unwrap_or_else(|| WANTED.to_owned());
    let draft = match bound.name.as_str() {
        "stages" => {
            let least = limit
                .and_then(|limit| limit.band.lo)
                .map(|lo| lo.max(Decimal::ONE).to_string());
            return Draft::default()
                .stop(&least.unwrap_or_else(|| WANTED.to_owned()))
                .say(" stages");
        }
        "lasts" => Draft::default().stop(&figure),
        name => Draft::of(name).say(" ").stop(&figure),
    };
    let draft = if unit.is_empty() {
        draft
    } else {
        draft.say(&format!(" {unit}"))
    };
    match tool {
        Some(tool) => draft.say(" on ").stop(&tool),
        None => draft,
    }
}

/// What the line of a step still lacks: `said` is what stands behind its name already, `written` the line or the one below it.
pub(super) fn details<'t>(
    facts: &Facts<'_>,
    name: &str,
    mut said: Vec<&'t str>,
    written: Written<'t>,
) -> Vec<Completion> {
    let name = key(name);
    let item = written.last_item();
    said.extend(written.items_before());
    let id = facts.book().step_id(&name);
    if let Some((_, _, part)) = item.behind_last(&["from"]).filter(|(before, ..)| before.is_empty()) {
        let mut list = List::new(part.typed());
        parts::on_hand(&mut list, facts);
        return list.done();
    }
    if item.said.to_lowercase().starts_with("because ") {
        return Vec::new();
    }
    if let Some((before, _, tool)) = item.behind_last(&["on", "with", "by"]) {
        let mut list = List::new(tool.typed());
        let amount = key(before.split(is_blank).next().unwrap_or("")).into_owned();
        if let Some(tool) = tools::for_amount(facts, &amount, None) {
            list.word(CompletionKind::Tool, &tool, "used for it before");
        }
        tools::add(&mut list, facts, &amount, None);
        part_names(&mut list, facts, before.is_empty());
        return list.done();
    }
    if let Some(list) = unit_of_amount(facts, id, item) {
        return list;
    }
    let mut list = List::new(item.typed_behind(written));
    let keys: Vec<String> = said.iter().map(|said| key(said).into_owned()).collect();
    if let Some((id, step)) = id.and_then(|id| Some((id, facts.book().step(id)?))) {
        lacking(&mut list, facts, (id, step), &keys);
    }
    for (word, detail) in [
        ("from", "where a part came from"),
        ("on", "the only part or place it was done on"),
        ("because", "the reason, to the end of the line"),
    ] {
        let draft = Draft::of(word).say(" ").stop("");
        list.add(Keyword, word, detail, draft, format!("word {word}"));
    }
    list.done()
}

/// Behind the figure of an amount: units of what it bounds, or of what its name says; then the tool. `None` where there is no figure, or nothing is known.
fn unit_of_amount(facts: &Facts<'_>, id: Option<StepId>, item: Written<'_>) -> Option<Vec<Completion>> {
    let start = item.said.rfind(is_blank)?;
    let last = item.said.get(..start)?.trim_end_matches(is_blank);
    let figure = last.rsplit(is_blank).next()?;
    if !figure.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let name = key(last.strip_suffix(figure)?);
    let step = id.and_then(|id| facts.book().step(id));
    let bound = step.and_then(|step| step.bounds.iter().find(|bound| bound.name == name));
    let dimension = match (bound.map(|bound| &bound.bound), name.as_ref()) {
        (Some(BoundKind::Limit(limit)), _) => limit.unit.dimension,
        (Some(BoundKind::RatingOf(_)), _) | (None, "force" | "load") => Dimension::FORCE,
        (None, "torque") => Dimension::TORQUE,
        (None, "pressure") => Dimension::PRESSURE,
        (None, "heat" | "temperature") => Dimension::TEMPERATURE,
        _ => return None,
    };
    let typed = item.skip(start).trimmed();
    let mut list = List::new(typed.typed());
    let own = bound.and_then(|bound| match &bound.bound {
        BoundKind::Limit(limit) => Some(limit.unit),
        BoundKind::RatingOf(_) => unit::find("tf", Some(Dimension::FORCE)),
    });
    let all = own
        .into_iter()
        .chain(unit::all().filter(|unit| unit.dimension == dimension));
    for unit in all.filter(|unit| !unit.label().is_empty()) {
        let data = format!("unit {}", unit.symbol);
        list.add(
            CompletionKind::Unit,
            unit.label(),
            unit.dimension.name(),
            Draft::of(unit.label()),
            data,
        );
    }
    list.add(
        Keyword,
        "on",
        "the tool it was read on",
        Draft::of("on ").stop(""),
        "word on".to_owned(),
    );
    Some(list.done())
}

/// Needs, counts, new parts and amounts that are not said.
fn lacking(list: &mut List<'_>, facts: &Facts<'_>, (id, step): (StepId, &Step), said: &[String]) {
    let is_said = |name: &str| said.iter().any(|said| says(said, name));
    for need in &step.needs {
        let mut names: Vec<&str> = need.key.split(" or ").collect();
        let precaution = facts.book().precaution(names.first().copied().unwrap_or(""));
        names.extend(precaution.iter().flat_map(|p| p.also.iter().map(String::as_str)));
        if names.iter().any(|name| is_said(name)) {
            continue;
        }
        let detail = match precaution {
            Some(precaution) => format!("precaution: {}", precaution.because),
            None => format!("`{}` needs it", step.name.name),
        };
        for one in need.name.split(" or ") {
            list.add(Need, one, detail.as_str(), Draft::of(one), format!("need {}", key(one)));
        }
    }
    for thing in step.takes_out.iter().chain(&step.puts_in) {
        if !said.iter().any(|said| names_thing(said, &thing.key)) {
            list.add(
                Need,
                &thing.name,
                "counted: as many in as out",
                counted(facts, thing),
                format!("need {}", thing.key),
            );
        }
    }
    for part in &step.renews {
        if !said.iter().any(|said| names_thing(said, &part.key)) {
            let new = format!("new {}", part.name);
            list.add(
                Part,
                &new,
                "used once, so new each time",
                Draft::of(&new),
                format!("need {}", part.key),
            );
        }
    }
    for bound in &step.bounds {
        if said
            .iter()
            .any(|said| said.split(' ').next() == Some(bound.name.as_str()))
        {
            continue;
        }
        let detail = match &bound.bound {
            BoundKind::Limit(limit) => limit.words(),
            BoundKind::RatingOf(tool) => format!("up to the rating of the {}", tool.name),
        };
        list.add(
            Need,
            &bound.name,
            detail,
            amount(facts, id, bound),
            format!("step {}", step.name.key),
        );
    }
}

/// Parts and places that a step may be done on.
fn part_names(list: &mut List<'_>, facts: &Facts<'_>, is_part: bool) {
    if !is_part {
        return;
    }
    for instance in facts.all_instances() {
        for word in [&instance.part, &instance.place].into_iter().flatten() {
            let name = facts.written(word);
            list.word(Part, &name, "named in this log");
        }
    }
    for (_, event) in facts.events() {
        if let EventKind::Found(part, _) = &event.kind {
            let name = facts.written(part);
            list.word(Part, &name, "found");
        }
    }
}
