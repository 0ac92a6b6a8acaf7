//! The start of a line: what the head lacks, which step comes next, which reading is owed, and the other words a line may begin with.

use super::CompletionKind::{Feature, Keyword};
use super::draft::Draft;
use super::facts::Facts;
use super::list::List;
use super::written::Written;
use super::{Completion, head, parts, readings, steps, tools};
use crate::judge::next::Kind;
use crate::judge::open_work::OpenReading;
use crate::model::manual;
use crate::model::names::key;
use crate::syntax::ast::Statement;

/// The most features that are offered where nothing has been typed and none is owed.
const MOST_FEATURES: usize = 60;

/// Words a line may begin with, besides those of the head: what they say, and what stands behind them.
const WORDS: &[(&str, &str, &str)] = &[
    ("found", "an inspection: condition and decision", "found "),
    ("got", "a part that came", "got "),
    ("ordered", "a part that was ordered", "ordered "),
    ("waiting for", "a part that is waited for", "waiting for "),
    ("chose", "the part taken, over the other", "chose "),
    ("note", "prose", "note "),
    ("photo", "a picture", "photo "),
    ("fix", "mends a figure above; nothing is overwritten", "fix "),
    ("held", "how the work is held for the readings that follow", "held "),
    ("did", "a step that was done", "did "),
    ("undid", "the last such step does not count any more", "undid "),
    ("checked", "a tool that was checked", "checked "),
    ("stock", "what lies in the drawer", "stock "),
    ("option", "a way to go, with its price", "option "),
    ("cost", "what was paid beside parts", "cost "),
];

/// What may begin a line.
pub(super) fn offers(facts: &Facts<'_>, written: Written<'_>) -> Vec<Completion> {
    let mut list = List::new(written.typed());
    let tree = &facts.log.tree;
    let end = tree.entries.partition_point(|entry| entry.line < written.line);
    let is_day = |statement: &Statement| matches!(statement, Statement::Day { .. });
    let above = tree.entries.get(..end).unwrap_or_default();
    let is_below_day = above.iter().any(|entry| is_day(&entry.statement));
    if !is_below_day {
        head::offers(&mut list, facts);
    }
    let has_day = is_below_day || tree.entries.iter().any(|entry| is_day(&entry.statement));
    work(&mut list, facts, has_day);
    list.done()
}

fn work(list: &mut List<'_>, facts: &Facts<'_>, has_day: bool) {
    let open = facts.open();
    let is_closed = facts.job().closed.is_some();
    if open.is_settled {
        closed(list, facts, "nothing is owed");
    }
    steps::open(list, facts, "did ", |kind| kind == Kind::Do);
    owed(list, facts, |kind| kind != Kind::ReadLater);
    parts::wanted_lines(list, facts);
    steps::open(list, facts, "did ", |kind| kind == Kind::MayDo);
    steps::open(list, facts, "did ", |kind| kind == Kind::DoLater);
    owed(list, facts, |kind| kind == Kind::ReadLater);
    if has_day && !is_closed {
        head::days(list, facts);
    }
    for (word, detail, line) in WORDS {
        list.add(Keyword, word, *detail, Draft::of(line).stop(""), format!("word {word}"));
    }
    if !open.is_settled && !is_closed {
        closed(list, facts, "there is something left to do");
    }
    features(list, facts);
    if !list.is_blank() {
        steps::others(list, facts, "did ");
    }
    if has_day {
        head::offers(list, facts);
    }
}

fn closed(list: &mut List<'_>, facts: &Facts<'_>, why: &str) {
    let line = format!("closed {}", facts.around.today);
    let line = line.trim_end();
    list.add(
        Keyword,
        line,
        format!("the end of the job: {why}"),
        Draft::of(line),
        "word closed".to_owned(),
    );
}

/// Readings that are owed, and before them how the work is held where a reading must say it.
fn owed(list: &mut List<'_>, facts: &Facts<'_>, wanted: impl Fn(Kind) -> bool) {
    let mut is_said = false;
    for open in facts.open().readings.iter().filter(|open| wanted(open.kind)) {
        if list.is_full() {
            return;
        }
        let Some(feature) = facts.book().features.get(open.feature) else {
            continue;
        };
        if !is_said && readings::unsaid(facts, feature).is_some() {
            is_said = true;
            tools::ways(list, facts, "held ");
        }
        // Read nowhere yet, and wanted somewhere: at each place by itself.
        if open.like.is_none() && open.part.is_none() && open.place.is_none() && feature.places.is_empty() {
            for place in facts.places_in_sums(open.feature) {
                let at = OpenReading {
                    place: Some(place),
                    ..open.clone()
                };
                add_owed(list, facts, &at);
            }
        }
        add_owed(list, facts, open);
    }
}

fn add_owed(list: &mut List<'_>, facts: &Facts<'_>, open: &OpenReading) {
    if let Some((name, draft)) = readings::owed(facts, open) {
        let data = facts
            .book()
            .features
            .get(open.feature)
            .map_or("", |f| f.name.key.as_str());
        list.add(Feature, &name, open.why.as_str(), draft, format!("feature {data}"));
    }
}

/// Every other feature that may be read: those of the log first, then those of its first manual, then all.
fn features(list: &mut List<'_>, facts: &Facts<'_>) {
    let book = facts.book();
    for instance in facts.all_instances() {
        let name = facts.named(instance);
        if list.is_full() || !list.fits(&name) {
            continue;
        }
        let own = instance.feature.and_then(|id| book.features.get(id));
        if own.is_some_and(|feature| feature.calc.is_some()) {
            continue;
        }
        let like = facts.latest(instance);
        let detail = like.map_or_else(String::new, |r| format!("read on line {}", facts.line_of(r.event)));
        let draft = Draft::of(&name)
            .say(" = ")
            .join(&readings::behind(facts, &name, own, like));
        let data = own.map_or_else(|| key(&name).into_owned(), |f| f.name.key.clone());
        list.add(Feature, &name, detail, draft, format!("feature {data}"));
    }
    let blank = list.is_blank();
    let is_own = |feature: &&manual::Feature| {
        let is_read = feature.calc.is_none() || !blank;
        is_read && feature.manual == 0 && !facts.job().manuals.is_empty()
    };
    let own = book
        .features
        .iter()
        .filter(is_own)
        .take(if blank { MOST_FEATURES } else { usize::MAX });
    let others = book.features.iter().filter(|f| !is_own(f) && !blank);
    for feature in own.chain(others) {
        let name = &feature.name.name;
        if !(list.fits(name) || feature.also.iter().any(|other| list.fits(other))) {
            continue;
        }
        let draft = Draft::of(name)
            .say(" = ")
            .join(&readings::behind(facts, name, Some(feature), None));
        let others = feature.also.iter().map(String::as_str);
        list.add_named(
            Feature,
            (name, others),
            readings::limits(feature),
            draft,
            format!("feature {}", feature.name.key),
        );
    }
}
