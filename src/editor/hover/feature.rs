//! A feature as its manual has it: its limits, its other names, and what else of the manual uses it.

use super::card::{Card, code};
use super::manual_name;
use super::sum::sum_line;
use super::verdict::limit_line;
use crate::calc::Rulebook;
use crate::judge::words;
use crate::model::book::FeatureId;
use crate::model::manual::{Step, Target};

/// A feature by its place in the book.
pub(super) fn card(rules: &Rulebook, id: FeatureId) -> Option<Card> {
    let book = &rules.book;
    let feature = book.features.get(id)?;
    let mut card = Card::new(format!(
        "**{}** ({})",
        code(&feature.name.name),
        manual_name(book, feature.manual)
    ));
    for limit in &feature.limits {
        card.fact(limit_line(limit, book));
    }
    if let Some(nominal) = &feature.nominal {
        card.fact(format!("made to {}", nominal.words()));
    }
    if feature.limits.is_empty() && feature.nominal.is_none() && feature.calc.is_none() {
        card.fact("no limit: it is only taken down");
    }
    if feature.is_lent
        && let Some(tie) = &feature.limits_of
    {
        card.fact(format!("the limit is that of {}: a forecast", code(&tie.to.name)));
    }
    if let Some(aim) = &feature.aim {
        card.fact(format!("aim {}", aim.words()));
    }
    if feature.calc.is_some() {
        card.fact(sum_line(book, feature));
    }
    if let Some(unit) = feature.unit {
        let label = if unit.label().is_empty() {
            "a plain number".to_owned()
        } else {
            unit.label().to_owned()
        };
        card.fact(format!("in {label}, {}", unit.dimension.name()));
    }
    let also = super::things::others(&feature.name.key, &feature.also);
    if !also.is_empty() {
        card.fact(format!("also {}", also.join(", ")));
    }
    for (word, list) in [("of", &feature.parts), ("at", &feature.places)] {
        if !list.is_empty() {
            card.fact(format!("expected {word} {}", super::step::names(list)));
        }
    }
    if !feature.say.is_empty() {
        let say: Vec<String> = feature.say.iter().map(|word| code(word)).collect();
        card.fact(format!("a reading must say {}", say.join(" or ")));
    }
    if let Some(alike) = &feature.alike {
        card.fact(format!(
            "its parts may differ by {}",
            words::band(&alike.band, Some(alike.unit))
        ));
    }
    card.list("used by:", users(rules, id));
    Some(card)
}

/// Steps and sums that name a feature.
fn users(rules: &Rulebook, id: FeatureId) -> Vec<String> {
    let book = &rules.book;
    let names = |list: &[Target]| list.iter().any(|target| book.feature(&target.feature) == Some(id));
    let mut used = Vec::new();
    type Clause = (&'static str, fn(&Step) -> &[Target]);
    let clauses: [Clause; 5] = [
        ("disturbed by", |step| &step.disturbs),
        ("read by", |step| &step.reads),
        ("repeated for it:", |step| &step.until),
        ("given for", |step| &step.given),
        ("looked at before", |step| &step.expects),
    ];
    for (words, list) in clauses {
        let steps = book
            .procedures
            .iter()
            .flat_map(|p| &p.steps)
            .filter(|step| names(list(step)));
        let steps: Vec<String> = steps.map(|step| code(&step.name.name)).collect();
        if !steps.is_empty() {
            used.push(format!("{words} {}", steps.join(", ")));
        }
    }
    let sums = rules
        .sums
        .iter()
        .zip(&book.features)
        .filter(|(sum, _)| sum.as_ref().is_some_and(|sum| sum.features().contains(&id)));
    let sums: Vec<String> = sums.map(|(_, feature)| code(&feature.name.name)).collect();
    if !sums.is_empty() {
        used.push(format!("in the sum of {}", sums.join(", ")));
    }
    used
}
