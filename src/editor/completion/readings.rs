//! A reading as it is to be written: its name, the shape it was last written in, its unit and its tool.

use super::draft::Draft;
use super::facts::Facts;
use super::tools;
use crate::judge::open_work::OpenReading;
use crate::model::job::{EventKind, Reading, ReadingKind};
use crate::model::manual::Feature;
use crate::model::names::{named, says};

/// The whole line of a reading that is owed.
pub(super) fn owed(facts: &Facts<'_>, open: &OpenReading) -> Option<(String, Draft)> {
    let feature = facts.book().features.get(open.feature)?;
    let like = open.like.and_then(|index| facts.job().readings.get(index));
    // As the log has it, where it was read before.
    let name = like
        .and_then(|reading| facts.job().instances.get(reading.instance))
        .map_or_else(
            || named(&feature.name.name, open.part.as_deref(), open.place.as_deref()),
            |instance| facts.named(instance),
        );
    let draft = Draft::of(&name)
        .say(" = ")
        .join(&behind(facts, &feature.name.name, Some(feature), like));
    Some((name, draft))
}

/// What stands behind the `=`: shape, unit, tool, and how it was held where that must be said.
pub(super) fn behind(facts: &Facts<'_>, name: &str, feature: Option<&Feature>, like: Option<&Reading>) -> Draft {
    let like = like.or_else(|| facts.latest_of(name));
    let used = like
        .and_then(|reading| reading.tool.as_ref())
        .map(|tool| facts.written(tool));
    let tool = match (used, like) {
        (Some(tool), _) => Some(tool),
        (None, Some(_)) => None,
        // What is worked out is read with nothing.
        (None, None) if feature.is_some_and(|feature| feature.calc.is_some()) => None,
        (None, None) => tools::fitting(facts, name, feature)
            .into_iter()
            .next()
            .map(|(tool, _)| tool),
    };
    let is_blades = match like {
        Some(reading) => matches!(reading.kind, ReadingKind::Blades | ReadingKind::OneBlade),
        None => tool.as_deref().is_some_and(|tool| tools::is_blades(facts, tool)),
    };
    let unit = unit(feature, like);
    let mut draft = match like.map(|reading| (&reading.kind, reading.points.len())) {
        _ if is_blades => Draft::of("go ").stop("").say(", no-go ").stop("").say(&unit),
        Some((ReadingKind::Ring, count)) => {
            let mut ring = Draft::default();
            for number in 0..count {
                ring = ring.say(if number == 0 { "" } else { " " }).stop("");
            }
            let angles: Vec<String> = like.map_or_else(Vec::new, |r| r.angles.iter().map(|a| a.to_string()).collect());
            ring.say(&format!(" at {}{unit}", angles.join(" ")))
        }
        _ => Draft::default().stop("").say(&unit),
    };
    if like.is_some_and(|reading| has_high(facts, reading)) {
        draft = draft.say(" high at ").stop("").say("°");
    }
    if let Some(tool) = tool {
        draft = draft.say(" by ").stop(&tool);
    }
    match feature.and_then(|feature| unsaid(facts, feature)) {
        Some(way) => draft.say(", ").stop(way),
        None => draft,
    }
}

/// ` mm`: the unit the feature was last read in, else that of its manual.
pub(super) fn unit(feature: Option<&Feature>, like: Option<&Reading>) -> String {
    let unit = like
        .and_then(|reading| reading.unit)
        .or_else(|| feature.and_then(|f| f.unit));
    unit.map(|unit| unit.label())
        .filter(|label| !label.is_empty())
        .map_or_else(String::new, |label| {
            if label == "°" {
                label.to_owned()
            } else {
                format!(" {label}")
            }
        })
}

fn has_high(facts: &Facts<'_>, reading: &Reading) -> bool {
    let line = facts.line(reading.event);
    matches!(reading.kind, ReadingKind::Single | ReadingKind::PlusMinus) && line.to_lowercase().contains(" high ")
}

/// The first of what a reading must say, where no `held` line says any of it.
pub(super) fn unsaid<'f>(facts: &Facts<'_>, feature: &'f Feature) -> Option<&'f str> {
    let first = feature.say.first()?;
    let held = facts.events().rev().find_map(|(_, event)| match &event.kind {
        EventKind::Held(said) => Some(said),
        _ => None,
    });
    let is_held = held.is_some_and(|said| {
        said.iter()
            .any(|said| feature.say.iter().any(|way| says(&said.key, way)))
    });
    (!is_held).then_some(first.as_str())
}

/// What is known of a feature's limits, in a few words.
pub(super) fn limits(feature: &Feature) -> String {
    let all = feature
        .limits
        .iter()
        .map(|limit| format!("{} {}", limit.stage, limit.words()));
    let made = feature
        .nominal
        .iter()
        .map(|nominal| format!("made to {}", nominal.words()));
    let limits: Vec<String> = all.chain(made).collect();
    match (limits.is_empty(), feature.calc.is_some()) {
        (false, _) => limits.join("; "),
        (true, true) => "worked out".to_owned(),
        (true, false) => "no limit".to_owned(),
    }
}
