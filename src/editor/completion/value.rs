//! A reading that is being written: its part and place, its shape, its unit, its tool.

use super::CompletionKind::{Keyword, Part, Place, Unit, Value};
use super::draft::Draft;
use super::facts::Facts;
use super::list::List;
use super::written::{Written, is_blank};
use super::{Completion, bench, readings, tools};
use crate::model::manual::Feature;
use crate::model::names::{key, place_within};
use crate::quantity::{Dimension, unit};

/// The name of a feature, parted from its part and place.
struct Named<'t> {
    feature: &'t str,
    part: Option<&'t str>,
    place: Option<&'t str>,
}

fn named<'t>(left: Written<'t>) -> Named<'t> {
    let mut own = Named {
        feature: left.said.trim_end_matches(is_blank),
        part: None,
        place: None,
    };
    let mut rest = left;
    while let Some((before, which, behind)) = rest.behind_last(&["of", "at"]) {
        // `out of round`
        if before.to_lowercase().ends_with("out") && which == 0 {
            break;
        }
        let word = Some(behind.said.trim_end_matches(is_blank));
        if which == 0 {
            own.part = word;
        } else {
            own.place = word;
        }
        own.feature = before;
        rest = Written { said: before, ..rest };
    }
    own
}

/// In front of the `=`: the part or the place of a feature, or still its name.
pub(super) fn before(facts: &Facts<'_>, written: Written<'_>) -> Vec<Completion> {
    if let Some((front, which, behind)) = written.behind_last(&["of", "at"]) {
        let front = named(Written { said: front, ..written });
        let is_known = facts.feature(front.feature).is_some() || !facts.instances(front.feature).is_empty();
        if is_known {
            let mut list = List::new(behind.typed());
            if which == 0 {
                parts(&mut list, facts, front.feature);
            } else {
                places(&mut list, facts, &front);
            }
            return list.done();
        }
    }
    let mut list = bench::offers(facts, written);
    let name = named(written);
    let is_whole = written.said.ends_with(is_blank) && facts.feature(name.feature).is_some();
    if is_whole && name.place.is_none() {
        // Behind a whole name it may go on at once.
        let here = written.skip(written.said.len());
        let mut more = List::new(here.typed());
        let draft = shape(facts, &name);
        more.add(Value, "=", "the figure", Draft::of("= ").join(&draft), String::new());
        if name.part.is_none() {
            more.add(Keyword, "of", "which part", Draft::of("of ").stop(""), String::new());
        }
        more.add(Keyword, "at", "which place", Draft::of("at ").stop(""), String::new());
        let mut first = more.done();
        first.append(&mut list);
        for (rank, one) in first.iter_mut().enumerate() {
            one.rank = u32::try_from(rank).unwrap_or(u32::MAX);
        }
        return first;
    }
    list
}

fn shape(facts: &Facts<'_>, name: &Named<'_>) -> Draft {
    let feature = facts.feature(name.feature).map(|(_, feature)| feature);
    readings::behind(facts, name.feature, feature, None)
}

/// Parts that a feature is expected for, or was read for; then those of other readings.
fn parts(list: &mut List<'_>, facts: &Facts<'_>, name: &str) {
    let feature = facts.feature(name).map(|(_, feature)| feature);
    for part in feature.map_or(&[][..], |f| f.parts.as_slice()) {
        let is_read = facts
            .instances(name)
            .iter()
            .any(|i| i.part.as_ref().is_some_and(|p| p.key == part.key));
        let detail = if is_read { "read before" } else { "not read yet" };
        list.add(
            Part,
            &part.name,
            detail,
            Draft::of(&part.name),
            format!("part {}", part.key),
        );
    }
    for instance in facts.instances(name).into_iter().chain(facts.all_instances()) {
        if let Some(part) = &instance.part {
            let part_name = facts.written(part);
            list.add(
                Part,
                &part_name,
                "named in this log",
                Draft::of(&part_name),
                format!("part {}", part.key),
            );
        }
    }
    super::parts::on_hand(list, facts);
}

/// Places of a feature, those still unread first; then those that sums ask for, and those of other readings.
fn places(list: &mut List<'_>, facts: &Facts<'_>, name: &Named<'_>) {
    let found = facts.feature(name.feature);
    let instances = facts.instances(name.feature);
    let part = name.part.map(key);
    let read = |place: &str| {
        instances.iter().any(|instance| {
            let same_part = part.is_none() || instance.part.as_ref().map(|p| p.key.as_str()) == part.as_deref();
            same_part && instance.place.as_ref().is_some_and(|own| place_within(&own.key, place))
        })
    };
    let mut known: Vec<(String, &str)> = Vec::new();
    if let Some((id, feature)) = found {
        known.extend(
            feature
                .places
                .iter()
                .map(|place| (place.name.clone(), "a place of the manual")),
        );
        known.extend(
            facts
                .places_in_sums(id)
                .into_iter()
                .map(|place| (place, "a sum asks for it")),
        );
    }
    for is_read in [false, true] {
        for (place, detail) in known.iter().filter(|(place, _)| read(&key(place)) == is_read) {
            let detail = if is_read { "read before" } else { detail };
            list.add(Place, place, detail, Draft::of(place), String::new());
        }
    }
    for instance in instances.iter().copied().chain(facts.all_instances()) {
        if let Some(place) = &instance.place {
            list.word(Place, &facts.written(place), "named in this log");
        }
    }
    let of_manual = facts
        .book()
        .features
        .iter()
        .filter(|f| f.manual == 0)
        .flat_map(|f| &f.places);
    for place in of_manual {
        list.word(Place, &place.name, "a place of the manual");
    }
}

/// On a line with a `=`.
pub(super) fn offers(facts: &Facts<'_>, written: Written<'_>) -> Vec<Completion> {
    // The `=` of a sum by hand is the last.
    let Some(at) = written.said.find('=') else {
        return before(facts, written);
    };
    let name = named(Written {
        said: written.said.get(..at).unwrap_or(""),
        ..written
    });
    let behind = written.skip(at + 1).trimmed();
    let is_blades = behind.said.to_lowercase().starts_with("go ") || behind.said.to_lowercase().starts_with("no-go ");
    let items = behind.items_before();
    // The comma between two blades parts no detail.
    let is_second_blade = is_blades && items.len() == 1 && !items.iter().any(|item| item.contains(" by "));
    let is_no_go = behind.last_item().said.to_lowercase().starts_with("no-go");
    if !(items.is_empty() || is_second_blade || is_no_go) {
        return details_of(facts, name.feature, behind.last_item(), written, &items);
    }
    let item = behind.last_item();
    if let Some((_, which, rest)) = item.behind_last(&["by", "on", "at", "high at", "high"]) {
        let mut list = List::new(rest.typed());
        match which {
            0 | 1 => {
                let feature = facts.feature(name.feature).map(|(_, feature)| feature);
                tools::add(&mut list, facts, name.feature, feature);
            }
            2 if rest.said.is_empty() || !rest.said.starts_with(|c: char| c.is_ascii_digit()) => {
                if name.place.is_none() {
                    places(&mut list, facts, &name);
                }
                let draft = Draft::default().stop("").say(" C");
                list.add(Value, "… C", "the temperature of the part", draft, String::new());
                list.add(
                    Value,
                    "0 90 180 270",
                    "a ring: a figure at each angle",
                    Draft::of("0 90 180 270"),
                    String::new(),
                );
            }
            _ => {}
        }
        return list.done();
    }
    if is_second_blade && "no-go".starts_with(item.said.to_lowercase().as_str()) {
        let mut list = List::new(item.typed_behind(written));
        let feature = facts.feature(name.feature).map(|(_, feature)| feature);
        let unit = readings::unit(feature, facts.latest_of(name.feature));
        let draft = Draft::of("no-go ").stop("").say(&unit);
        list.add(
            Keyword,
            "no-go",
            "the blade that does not go",
            draft,
            "word no-go".to_owned(),
        );
        return list.done();
    }
    if behind.said.is_empty() {
        return shapes(facts, &name, behind.typed_behind(written));
    }
    figure(facts, &name, item)
}

/// The usual shapes of a figure, with the unit.
fn shapes(facts: &Facts<'_>, name: &Named<'_>, typed: super::list::Typed<'_>) -> Vec<Completion> {
    let mut list = List::new(typed);
    let feature = facts.feature(name.feature).map(|(_, feature)| feature);
    let unit = readings::unit(feature, facts.latest_of(name.feature));
    let detail = feature.map_or_else(String::new, readings::limits);
    let data = || format!("feature {}", key(name.feature));
    let mut add = |label: String, draft: Draft| list.add(Value, label.trim_end(), detail.as_str(), draft, data());
    let usual = readings::behind(facts, name.feature, feature, None);
    let (shown, _) = usual.clone().done();
    add(format!("…{shown}").replace("go ,", "go …,"), usual);
    add(format!("…{unit}"), Draft::default().stop("").say(&unit));
    add(
        format!("go …, no-go …{unit}"),
        Draft::of("go ").stop("").say(", no-go ").stop("").say(&unit),
    );
    add(
        format!("… to …{unit}"),
        Draft::default().stop("").say(" to ").stop("").say(&unit),
    );
    add(
        format!("… ± …{unit}"),
        Draft::default().stop("").say(" ± ").stop("").say(&unit),
    );
    let ring = Draft::default()
        .stop("")
        .say(" ")
        .stop("")
        .say(" ")
        .stop("")
        .say(" ")
        .stop("");
    add(
        format!("… … … … at 0 90 180 270{unit}"),
        ring.say(&format!(" at 0 90 180 270{unit}")),
    );
    let bare = unit.trim_start();
    let table = if bare.is_empty() {
        Draft::of("by ").stop("")
    } else {
        Draft::of(bare).say(" by ").stop("mic")
    };
    add(format!("{bare} by …: a table below"), table);
    list.done()
}

/// Behind a figure: its unit, or what else follows.
fn figure(facts: &Facts<'_>, name: &Named<'_>, item: Written<'_>) -> Vec<Completion> {
    let text = item.said;
    let is_figure = |word: &str| {
        let bare = word.trim_start_matches(['+', '-', '~', '±', '.', ',']);
        bare.starts_with(|c: char| c.is_ascii_digit())
            && bare
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ':'))
    };
    let start = text.rfind(is_blank).map_or(0, |at| {
        at + text.get(at..).and_then(|t| t.chars().next()).map_or(1, char::len_utf8)
    });
    let word = text.get(start..).unwrap_or("");
    let before = text.get(..start).unwrap_or("").trim_end_matches(is_blank);
    let last = before.rsplit(is_blank).next().unwrap_or("");
    let feature = facts.feature(name.feature).map(|(_, feature)| feature);
    // `52.03m`: the unit touches its figure.
    let digits = word
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '~')))
        .unwrap_or(word.len());
    if digits > 0 && digits < word.len() && word.bytes().any(|b| b.is_ascii_digit()) {
        let mut list = List::new(item.skip(start + digits).typed());
        units(&mut list, facts, name, feature);
        return list.done();
    }
    if digits == word.len() && !word.is_empty() {
        return Vec::new();
    }
    let mut list = List::new(item.skip(start).typed());
    if is_figure(last) {
        units(&mut list, facts, name, feature);
    }
    let tools = tools::fitting(facts, name.feature, feature);
    if let Some((tool, why)) = tools.first() {
        let line = format!("by {tool}");
        list.add(
            Keyword,
            &line,
            why.as_str(),
            Draft::of("by ").stop(tool),
            format!("tool {}", key(tool)),
        );
    }
    for (word, detail) in [
        ("by", "the tool"),
        ("at", "the temperature of the part, the place, the angles of a ring"),
        ("high at", "the angle of the high point"),
        ("go", "it goes at this figure"),
        ("to", "a range"),
        ("±", "so much either way"),
    ] {
        list.add(
            Keyword,
            word,
            detail,
            Draft::of(word).say(" ").stop(""),
            format!("word {word}"),
        );
    }
    list.done()
}

/// Units of the feature's dimension, its own first; all where nothing is known.
fn units(list: &mut List<'_>, facts: &Facts<'_>, name: &Named<'_>, feature: Option<&Feature>) {
    let like = facts.latest_of(name.feature).and_then(|reading| reading.unit);
    let own = feature.and_then(|f| f.unit).or(like);
    let wanted = own.map(|unit| unit.dimension);
    let fits = |dimension: Dimension| wanted.is_none_or(|wanted| wanted == dimension);
    let all = like
        .into_iter()
        .chain(own)
        .chain(unit::all().filter(|unit| fits(unit.dimension)));
    for unit in all.filter(|unit| !unit.label().is_empty()) {
        list.add(
            Unit,
            unit.label(),
            unit.dimension.name(),
            Draft::of(unit.label()),
            format!("unit {}", unit.symbol),
        );
    }
}

/// Details of a reading, on a line below it.
pub(super) fn details(facts: &Facts<'_>, feature: &str, written: Written<'_>) -> Vec<Completion> {
    // The rows of a table are figures, and nothing is known of them.
    let item = written.last_item();
    if item.said.starts_with(|c: char| c.is_ascii_digit()) || item.said.is_empty() {
        return Vec::new();
    }
    details_of(facts, feature, item, written, &written.items_before())
}

/// What may stand behind the commas.
fn details_of(
    facts: &Facts<'_>,
    feature: &str,
    item: Written<'_>,
    line: Written<'_>,
    said: &[&str],
) -> Vec<Completion> {
    if item.said.to_lowercase().starts_with("because ") {
        return Vec::new();
    }
    let mut list = List::new(item.typed_behind(line));
    let feature = facts.feature(feature).map(|(_, feature)| feature);
    let is_said = |word: &str| said.iter().any(|said| key(said) == word);
    for way in feature.map_or(&[][..], |f| f.say.as_slice()) {
        if !is_said(way) {
            list.word(Keyword, way, "the manual wants one of these said");
        }
    }
    list.add(
        Keyword,
        "because",
        "why it is accepted as it is",
        Draft::of("because ").stop(""),
        "word because".to_owned(),
    );
    list.add(
        Keyword,
        "k",
        "the doubt behind ± is so many standard uncertainties",
        Draft::of("k ").stop("2"),
        String::new(),
    );
    for material in crate::trade::materials::names() {
        list.word(Keyword, material, "what the part is made of");
    }
    list.done()
}
