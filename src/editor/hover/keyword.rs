//! The first words of lines and the words of clauses: what each says, with a line as an example.

use super::card::Card;
use crate::syntax::FileKind;

/// A word, what it says, and a line with it.
type Entry = (&'static str, &'static str, &'static str);

/// First words of a log line.
const LOG: &[Entry] = &[
    (
        "job",
        "What the job is; one job a file.",
        "job bottom end, side play at the limit",
    ),
    (
        "machine",
        "The machine that the log is of, with its number.",
        "machine Tarn 250 trials single, frame TN-0417",
    ),
    ("owner", "Whose machine it is.", "owner A. Farrow"),
    ("by", "Who did the job.", "by the bench at Oxley Yard"),
    (
        "hours",
        "What the machine's meter shows from here on; it may not run backwards.",
        "hours 312",
    ),
    (
        "manual",
        "The manual that the log is judged by; of several the first that knows a name wins.",
        "manual tarn-250",
    ),
    (
        "procedure",
        "The procedure that is followed, even before its first step is done.",
        "procedure crank rebuild",
    ),
    (
        "units",
        "The unit of a figure that has none, by what it measures.",
        "units mm, N·m, blades hundredths",
    ),
    (
        "tool",
        "A tool: its kind, what it reads to, what it is good to or rated for.",
        "tool mic 50-75: micrometer, reads to 0.01 mm, good to 0.004 mm",
    ),
    (
        "did",
        "A step that was done, with what its line must say.",
        "did press together, web supported, force 6 t on press",
    ),
    (
        "undid",
        "The last such step was undone and counts as not done.",
        "undid fit bearing, because it stood crooked",
    ),
    (
        "found",
        "What a part was like, and what was decided: reuse, watch, repair, machine or replace.",
        "found crankpin: discoloured, replace",
    ),
    (
        "ordered",
        "A part that was ordered; what comes must agree with its number and quantity.",
        "ordered rod kit A: number 4471-02, price 129 EUR",
    ),
    ("got", "A part that came.", "got rod kit A: number 4471-02"),
    (
        "waiting",
        "A part that is awaited.",
        "waiting for rod kit A, since 2026-03-15",
    ),
    (
        "chose",
        "Which of two was taken; the other does not count any more.",
        "chose rod kit A over rod kit B, because the pin keeps the web width",
    ),
    (
        "stock",
        "What lies in the drawer, from which a manual may choose.",
        "stock valve shims: 2.30 2.35 x2 2.40 mm",
    ),
    (
        "option",
        "A way to go, with what it costs.",
        "option send out: parts 128 EUR, work 95 EUR, takes 3 weeks",
    ),
    (
        "cost",
        "What was paid beside parts: work sent out, labour, post, duty, consumables; `less` what comes back.",
        "cost rebore: work 45 EUR, post 2 x 6 EUR",
    ),
    (
        "fix",
        "Mends a line above without overwriting it, or adds what it did not say.",
        "fix web width 52.53 -> 52.03, misread",
    ),
    (
        "held",
        "How the work was held for the readings that follow.",
        "held on centres, dial 35 mm outboard",
    ),
    (
        "checked",
        "A tool that was checked that day.",
        "checked mic 50-75, on its 50 mm standard",
    ),
    ("note", "A remark: nothing follows from it.", "note the sound changed"),
    ("photo", "Where a picture lies.", "photo pictures/pin-flush.jpg"),
    (
        "closed",
        "The end of the job: what is still open is now a fault.",
        "closed 2026-04-09",
    ),
];

/// First words of a manual's lines, and of the clauses of its steps.
const MANUAL: &[Entry] = &[
    ("manual", "The manual's name and edition.", "manual Tarn 250, edition 3"),
    (
        "source",
        "Where its limits come from, unless a limit says otherwise.",
        "source workshop manual, page 41",
    ),
    (
        "extends",
        "What this manual does not say is taken from that one.",
        "extends pressed crank",
    ),
    ("units", "The unit of a limit that has none.", "units mm, N·m"),
    (
        "decide",
        "How figures are accepted: by the best figure, or with all of their uncertainty.",
        "decide guarded at 95 %",
    ),
    (
        "feature",
        "Something that is measured, with its parts, places and other names.",
        "feature side play, also s/play",
    ),
    (
        "calc",
        "Something that is worked out from readings, compared with a figure written for it, and judged.",
        "calc piston clearance = smallest(bore) - largest(piston size)",
    ),
    (
        "precaution",
        "Something that keeps people from harm: a step that needs it and does not say it is a danger.",
        "precaution web supported, also lower web held",
    ),
    ("procedure", "Steps with their order.", "procedure crank rebuild"),
    (
        "step",
        "A step of the procedure above, with its clauses parted by `;`.",
        "step press together after press in crankpin; needs web supported",
    ),
    (
        "never",
        "What is a danger to do: at all, with a tick, or before or after another step.",
        "never hammer shaft end because it mushrooms the thread",
    ),
    (
        "build",
        "What is allowed of new and repaired work.",
        "build 0.35 to 0.50 mm, source page 41",
    ),
    (
        "service",
        "What is allowed of a machine that comes in or runs.",
        "service up to 0.60 mm",
    ),
    (
        "nominal",
        "The figure it is made to; its tolerance stands in where there is no limit for new work.",
        "nominal 52.00 ± 0.02 mm",
    ),
    ("unit", "What it is measured in, where no limit says so.", "unit mm"),
    (
        "say",
        "A reading must say one of these: its datum, its support, its sign.",
        "say on centres or on main journals",
    ),
    (
        "required",
        "A reading is owed before the job is closed, or at that stage.",
        "required as found",
    ),
    (
        "material",
        "What it is made of, or how much that grows by heat.",
        "material steel",
    ),
    (
        "alike",
        "How far its parts may differ from each other.",
        "alike within 1 g",
    ),
    (
        "aim",
        "The figure that is aimed at, where that is not the middle of the limit.",
        "aim 0.45 mm",
    ),
    (
        "limits",
        "The limit for new work of another feature holds for this forecast.",
        "limits of side play",
    ),
    (
        "agrees",
        "It must say the same as that other figure, within the uncertainty of both.",
        "agrees with spread by widths",
    ),
    ("ahead", "Told before something is done, and never judged.", "ahead"),
    (
        "choose",
        "What is chosen so that this comes out well.",
        "choose shim to fit from stock valve shims, up to 2 together",
    ),
    ("also", "Other names of the same.", "also press pin in"),
    (
        "because",
        "Why: what happens otherwise.",
        "because an unsupported web bends the shaft",
    ),
    ("after", "Not before each of these steps.", "after press in crankpin"),
    (
        "directly",
        "The step done just before must be one of these.",
        "directly after heat case",
    ),
    (
        "then",
        "Followed, sooner or later, by each of these; `then directly`: the very next step.",
        "then measure again",
    ),
    (
        "not",
        "None of these steps may be done as well.",
        "not with lock threads",
    ),
    ("once", "Not done twice.", "once"),
    ("optional", "Need not be done.", "optional"),
    ("if", "Need only be done where this holds.", "if found crankpin replace"),
    (
        "only",
        "Must not be done unless this held by then.",
        "only if side play out",
    ),
    (
        "given",
        "These must be read, not disturbed since and not out of limit when it is done.",
        "given fixture room",
    ),
    (
        "needs",
        "Must be said on the step's line; a precaution among these is a danger where it is not.",
        "needs web supported, oiled or dry",
    ),
    ("renews", "Used once, so new each time.", "renews circlips"),
    ("takes", "Counted out: as many must go in again.", "takes out needles"),
    ("puts", "Counted in.", "puts in needles"),
    (
        "uses",
        "Such a tool is declared in the log, or named on the line.",
        "uses press rated at least 10 t",
    ),
    (
        "disturbs",
        "A reading of these taken before the step proves nothing any more.",
        "disturbs web width, side play",
    ),
    (
        "reads",
        "A step of measuring: done when each of these has been read.",
        "reads web width, side play",
    ),
    ("until", "Repeated until that is in its limit.", "until run-out"),
    (
        "expects",
        "Worked out and told before the step is done.",
        "expects press force",
    ),
    ("pattern", "How the bolts stand that it tightens.", "pattern ring of 6"),
    (
        "one",
        "Of these steps one, and only one, is done.",
        "one of press pin dry, press pin oiled",
    ),
];

/// The words that a keyword is known by, with an example of each: for tests and for whoever lists them.
pub(super) fn all(kind: FileKind) -> &'static [Entry] {
    match kind {
        FileKind::Log => LOG,
        FileKind::Manual => MANUAL,
    }
}

/// What a keyword says; `None` if it is none.
pub(super) fn card(kind: FileKind, word: &str) -> Option<Card> {
    let (keyword, says, example) = all(kind).iter().find(|(known, ..)| known.eq_ignore_ascii_case(word))?;
    let mut card = Card::new(format!("**{keyword}**: {says}"));
    card.fact(format!("`{example}`"));
    Some(card)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::{parse_log, parse_manual};

    /// Lines that stand below a feature, and clauses that stand in a step.
    const OF_FEATURE: &[&str] = &[
        "build", "service", "nominal", "unit", "say", "required", "material", "alike", "aim", "limits", "agrees",
        "ahead", "choose", "decide",
    ];
    const OF_HEAD: &[&str] = &[
        "manual",
        "source",
        "extends",
        "units",
        "feature",
        "calc",
        "precaution",
        "procedure",
    ];

    #[test]
    fn every_example_of_a_log_is_read() {
        for (word, _, example) in LOG {
            let tree = parse_log(&format!("{example}\n"));
            assert!(tree.errors.is_empty(), "{word}: {:?}", tree.errors);
            assert!(example.starts_with(word), "{example}");
        }
    }

    #[test]
    fn every_example_of_a_manual_is_read() {
        for (word, _, example) in MANUAL {
            let text = match word {
                word if OF_HEAD.contains(word) => format!("{example}\n"),
                word if OF_FEATURE.contains(word) => format!("manual m\nfeature x\n  {example}\n"),
                _ => format!("manual m\nprocedure p\n  step x\n    {example}\n"),
            };
            let tree = parse_manual(&text);
            assert!(tree.errors.is_empty(), "{word}: {:?}", tree.errors);
            assert!(example.starts_with(word), "{example}");
        }
    }
}
