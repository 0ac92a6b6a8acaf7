//! A function that a sum calls: what it takes, where it holds, where it comes from.

use super::card::{Card, code, plain};
use crate::trade::function::Default;
use crate::trade::{Kind, named};

/// Functions of sums over readings, and of plain figures, with what each gives.
const OF_SUMS: &[(&str, &str)] = &[
    (
        "smallest",
        "the smallest of all readings of a feature, over its parts, places and rings",
    ),
    (
        "largest",
        "the largest of all readings of a feature, over its parts, places and rings",
    ),
    ("mean", "the mean of all readings of a feature"),
    ("spread", "the largest less the smallest of all readings of a feature"),
    ("total", "all readings of a feature added up"),
    ("count", "how many readings of a feature there are"),
    ("abs", "the size without the sign"),
    ("sqrt", "the square root"),
    ("min", "the smaller of two"),
    ("max", "the larger of two"),
    ("round", "the nearest whole step: `round(bore, 1 mm)`"),
    ("high", "the angle of the high point that a reading says"),
    (
        "support distance",
        "how far from the middle of the pin the work was held",
    ),
    ("dial distance", "how far from the middle of the pin the dial stood"),
    ("at angle", "one figure of a ring: `at angle(web width, 180°)`"),
    ("if said", "a reading's figure if it says these words, else nothing"),
    ("says", "1 if a reading says these words, else 0"),
    ("aim", "what is aimed at by the limit for new work"),
    ("least allowed", "the least that the limit for new work allows"),
    ("most allowed", "the most that the limit for new work allows"),
];

/// A function by its name; `None` if there is none.
pub(super) fn card(name: &str) -> Option<Card> {
    let folded = crate::model::names::key(name).into_owned();
    if let Some((own, says)) = OF_SUMS.iter().find(|(own, _)| *own == folded) {
        let mut card = Card::new(format!("**{own}**: {says}"));
        card.fact("a function of sums");
        return Some(card);
    }
    let function = named(name)?;
    let mut card = Card::new(format!("**{}**: {}", function.name, plain(function.says)));
    card.fact(format!("holds: {}", plain(function.holds)));
    card.fact(format!("source: {}", plain(function.source)));
    card.fact(format!(
        "{} = {}",
        code(function.example.call),
        plain(function.example.gives)
    ));
    let takes = function
        .parameters
        .iter()
        .map(|parameter| {
            let kind = match parameter.kind {
                Kind::Figure(dimension, _) => dimension.name(),
                Kind::Like => "a figure like the others".to_owned(),
                Kind::Word(words) => words.shown().to_owned(),
            };
            let default = match parameter.default {
                Some(Default::Figure(figure)) => format!("; {figure} if it is not given"),
                Some(Default::Word(word)) => format!("; {} if it is not given", code(word)),
                None => String::new(),
            };
            format!(
                "{}: {}, {}{default}",
                code(parameter.name),
                plain(parameter.says),
                plain(&kind)
            )
        })
        .collect();
    card.list("takes:", takes);
    Some(card)
}
