//! The first words of lines.

/// First words of a log line.
pub(super) const LOG: &[&str] = &[
    "job",
    "machine",
    "owner",
    "by",
    "hours",
    "manual",
    "procedure",
    "units",
    "tool",
    "did",
    "undid",
    "found",
    "ordered",
    "got",
    "chose",
    "stock",
    "option",
    "cost",
    "waiting",
    "fix",
    "held",
    "checked",
    "note",
    "photo",
    "closed",
];

/// First words of a manual line.
pub(super) const MANUAL: &[&str] = &[
    "manual",
    "source",
    "extends",
    "units",
    "feature",
    "calc",
    "precaution",
    "procedure",
    "step",
    "never",
    "build",
    "service",
    "nominal",
    "unit",
    "say",
    "required",
    "decide",
    "material",
    "alike",
    "aim",
    "limits",
    "agrees",
    "ahead",
    "choose",
    "also",
    "because",
    "after",
    "needs",
    "disturbs",
    "reads",
    "until",
    "optional",
    "once",
    "directly",
    "then",
    "not",
    "given",
    "if",
    "only",
    "takes",
    "puts",
    "renews",
    "uses",
    "expects",
    "pattern",
    "one",
];

/// The keyword of a log that a word stands for, whatever its case.
pub(super) fn log(word: &str) -> Option<&'static str> {
    known(LOG, word)
}

/// The keyword of a manual that a word stands for, whatever its case.
pub(super) fn manual(word: &str) -> Option<&'static str> {
    known(MANUAL, word)
}

/// Whether a line of such a file may begin with a word, whatever its case.
pub fn begins_line(kind: super::FileKind, word: &str) -> bool {
    match kind {
        super::FileKind::Log => log(word).is_some(),
        super::FileKind::Manual => manual(word).is_some(),
    }
}

fn known(keywords: &[&'static str], word: &str) -> Option<&'static str> {
    keywords.iter().copied().find(|known| known.eq_ignore_ascii_case(word))
}
