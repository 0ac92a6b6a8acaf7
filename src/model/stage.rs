//! The stages of a job, and which kind of limit each is judged by.

/// Stages that machines come in with, or run at: judged by the `service` limit.
const SERVICE: &[&str] = &[
    "as found",
    "intake",
    "strip",
    "cleaning",
    "inspection",
    "run in",
    "service",
];
/// Stages at which parts are new or made right: judged by the `build` limit.
const BUILD: &[&str] = &[
    "goods in",
    "machining",
    "build",
    "assembly",
    "reassembly",
    "truing",
    "trued",
    "test",
];

/// A stage by its key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// Its key; empty before the first stage is named.
    pub key: String,
}

impl Stage {
    /// Whether it is judged by the `service` limit first.
    pub fn is_service(&self) -> bool {
        SERVICE.contains(&self.key.as_str())
    }

    /// Whether the word is a stage that every log may use.
    pub fn is_known(key: &str) -> bool {
        SERVICE.contains(&key) || BUILD.contains(&key)
    }

    /// All stages that every log may use.
    pub fn all() -> impl Iterator<Item = &'static str> {
        SERVICE.iter().chain(BUILD).copied()
    }
}
