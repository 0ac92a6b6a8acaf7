//! What the head of a log lacks, in the order one writes it.

use super::CompletionKind::{Keyword, Stage, Tool};
use super::draft::Draft;
use super::facts::Facts;
use super::list::List;
use crate::model::manual::BoundKind;
use crate::model::names::{key, says};
use crate::syntax::ast::{HeadKind, Statement};

/// Where the head is not written yet.
const LACKING: &str = "the head lacks it";

/// What the head lacks; then what may stand in it besides.
pub(super) fn offers(list: &mut List<'_>, facts: &Facts<'_>) {
    let has = |is: &dyn Fn(&Statement) -> bool| facts.log.tree.entries.iter().any(|entry| is(&entry.statement));
    let head = |kind: HeadKind| has(&|s| matches!(s, Statement::Head(own, _) if *own == kind));
    let blank = |word: &str| Draft::of(word).say(" ").stop("");
    let data = |word: &str| format!("word {word}");
    if !head(HeadKind::Job) {
        list.add(
            Keyword,
            "job",
            format!("{LACKING}: what is to be done"),
            blank("job"),
            data("job"),
        );
    }
    if !head(HeadKind::Machine) {
        let detail = format!("{LACKING}: on what, with its number");
        list.add(Keyword, "machine", detail, blank("machine"), data("machine"));
    }
    if !has(&|s| matches!(s, Statement::Hours(_))) {
        let detail = format!("{LACKING}: what the meter shows");
        list.add(Keyword, "hours", detail, blank("hours"), data("hours"));
    }
    if !has(&|s| matches!(s, Statement::Manual(_))) {
        let detail = format!("{LACKING}: judged by the whole shelf without it");
        list.add(Keyword, "manual", detail, blank("manual"), data("manual"));
    }
    procedures(list, facts);
    tools(list, facts);
    days(list, facts);
    if !head(HeadKind::Owner) {
        list.add(Keyword, "owner", "whose it is", blank("owner"), data("owner"));
    }
    if !head(HeadKind::By) {
        list.add(Keyword, "by", "who did it", blank("by"), data("by"));
    }
    if !has(&|s| matches!(s, Statement::Units(_))) {
        list.add(
            Keyword,
            "units",
            "of figures that have none",
            blank("units"),
            data("units"),
        );
    }
}

/// A `procedure` line where one of the log's own manuals has one that has not begun.
fn procedures(list: &mut List<'_>, facts: &Facts<'_>) {
    let book = facts.book();
    if facts.job().manuals.is_empty() {
        return;
    }
    for procedure in &book.procedures {
        // Of what one `manual` line brings in, the first is the one it names.
        let is_named = procedure.steps.first().is_some_and(|step| {
            let root = book.manuals.get(step.manual).map(|m| m.root);
            root.is_some() && book.manuals.iter().position(|m| Some(m.root) == root) == Some(step.manual)
        });
        let is_known = facts.job().procedures.iter().any(|p| p.key == procedure.name.key);
        if is_named && !is_known {
            let line = format!("procedure {}", procedure.name.name);
            list.add(
                Keyword,
                &line,
                "to be followed from the first step on",
                Draft::of(&line),
                "word procedure".to_owned(),
            );
        }
    }
}

/// `tool` lines: those that the steps ask for, then any.
fn tools(list: &mut List<'_>, facts: &Facts<'_>) {
    let book = facts.book();
    let is_there = |kind: &str| {
        let mut tools = facts.tools();
        tools.any(|tool| says(&tool.kind, kind) || says(&tool.name.key, kind))
    };
    let playing = &facts.open().in_play;
    let is_asked = |name: &str| playing.is_empty() || playing.iter().any(|own| own == name);
    let has_manual = !facts.job().manuals.is_empty();
    let procedures = book.procedures.iter().filter(|p| has_manual && is_asked(&p.name.name));
    for step in procedures.flat_map(|p| &p.steps) {
        let rating_of = step.bounds.iter().filter_map(|bound| match &bound.bound {
            BoundKind::RatingOf(tool) => Some(tool),
            BoundKind::Limit(_) => None,
        });
        for tool in rating_of.chain(step.uses.iter().map(|need| &need.kind)) {
            if is_there(&tool.key) {
                continue;
            }
            let name = &tool.name;
            let draft = Draft::of(&format!("tool {name}: {name}, rated ")).stop("").say(" t");
            let detail = format!("`{}` asks for its rating", step.name.name);
            list.add(Tool, &format!("tool {name}"), detail, draft, "word tool".to_owned());
        }
    }
    let draft = Draft::of("tool ")
        .stop("mic")
        .say(": ")
        .stop("micrometer")
        .say(", reads to ")
        .stop("…")
        .say(" mm");
    list.add(
        Keyword,
        "tool",
        "an instrument or a machine, with what it is good for",
        draft,
        "word tool".to_owned(),
    );
}

/// The next day, with each stage that may come.
pub(super) fn days(list: &mut List<'_>, facts: &Facts<'_>) {
    let today = facts.around.today.as_str();
    let is_last = facts
        .job()
        .dates
        .iter()
        .rev()
        .flatten()
        .next()
        .is_some_and(|last| last.to_string() == today);
    for (stage, why) in facts.stages() {
        // The same day with the same stage goes on by itself.
        if is_last && stage == facts.stage() {
            continue;
        }
        let (label, draft) = if today.is_empty() {
            (
                format!("DATE  {stage}"),
                Draft::default().stop("").say(&format!("  {stage}")),
            )
        } else {
            let line = format!("{today}  {stage}");
            (line.clone(), Draft::of(&line))
        };
        list.add(
            Stage,
            &label,
            format!("a day; {why}"),
            draft,
            format!("stage {}", key(&stage)),
        );
    }
}
