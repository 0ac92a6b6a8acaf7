//! The words a line of a manual may begin with, by what it stands below.

use super::CompletionKind::Keyword;
use super::draft::Draft;
use super::list::List;

/// A word, what it says, and what is written for it: `…` are places to fill in.
pub(super) type Word = (&'static str, &'static str, &'static str);

pub(super) const HEADINGS: &[Word] = &[
    ("feature", "something that is measured", "feature …"),
    ("calc", "something that is worked out", "calc … = …"),
    ("precaution", "what keeps people from harm", "precaution …"),
    ("procedure", "steps in their order", "procedure …"),
];

pub(super) const OF_FEATURE: &[Word] = &[
    ("build", "the limit for new work", "build …"),
    ("service", "the limit as it runs", "service …"),
    ("nominal", "the figure it is made to", "nominal …"),
    ("unit", "what it is measured in", "unit …"),
    ("say", "what a reading must say", "say …"),
    ("material", "what it is made of", "material …"),
    ("alike", "how far its parts may differ", "alike within …"),
    ("decide", "how its figures are accepted", "decide …"),
    ("required", "a reading is owed", "required"),
    ("aim", "the figure that is aimed at", "aim …"),
    ("also", "another name", "also …"),
];

pub(super) const OF_CALC: &[Word] = &[
    (
        "limits of",
        "held against the limit of another feature, ahead",
        "limits of …",
    ),
    ("ahead", "told by `gudgeon next`, never judged", "ahead"),
    ("agrees with", "it must say the same as another", "agrees with …"),
    ("choose", "what is chosen so that it comes out well", "choose …"),
];

pub(super) const OF_PROCEDURE: &[Word] = &[
    ("step", "a step, with its clauses", "step …"),
    ("one of", "steps of which only one is done", "one of …, …"),
    ("never", "a danger to do", "never … because …"),
];

pub(super) const CLAUSES: &[Word] = &[
    ("after", "not before each of these", "after …"),
    ("needs", "must be said on its line", "needs …"),
    ("disturbs", "what was read before proves nothing any more", "disturbs …"),
    ("reads", "a step of measuring", "reads …"),
    ("until", "repeated until it is in limit", "until …"),
    ("optional", "need not be done", "optional"),
    ("once", "not done twice", "once"),
    ("then", "followed by", "then …"),
    ("then directly", "the very next step", "then directly …"),
    ("directly after", "the step just before it", "directly after …"),
    ("not with", "none of these is done as well", "not with …"),
    ("given", "read and in limit when it is done", "given …"),
    ("if", "need only be done where this holds", "if …"),
    ("only if", "must not be done unless this holds", "only if …"),
    ("takes out", "counted out", "takes out …"),
    ("puts in", "counted in", "puts in …"),
    ("renews", "new each time", "renews …"),
    ("uses", "a tool that is declared, or named on the line", "uses …"),
    ("expects", "worked out and told with the step", "expects …"),
    ("pattern", "how the bolts stand", "pattern ring of …"),
    ("force", "a bound on the force", "force up to rating of press"),
    ("torque", "a bound on the torque", "torque … to … N·m"),
    ("heat", "a bound on the heat", "heat up to … C"),
    ("pressure", "a bound on the pressure", "pressure up to … bar"),
    ("lasts", "a hold", "lasts at least … min"),
    ("stages", "in so many stages", "stages at least …"),
    ("at least", "time that must pass", "at least … h after …"),
    ("within", "time that must not be passed", "within … min after …"),
    ("also", "another name", "also …"),
    ("because", "the reason", "because …"),
];

/// A text whose `…` are places to fill in.
pub(super) fn drafted(text: &str) -> Draft {
    let mut draft = Draft::default();
    for (number, part) in text.split('…').enumerate() {
        draft = if number == 0 {
            draft.say(part)
        } else {
            draft.stop("").say(part)
        };
    }
    draft
}

pub(super) fn words(list: &mut List<'_>, words: &[Word]) {
    for (word, detail, text) in words {
        list.add(Keyword, word, *detail, drafted(text), format!("word {word}"));
    }
}
