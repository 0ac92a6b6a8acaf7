//! What a user may set in the editor, under `gudgeon`.

use serde::Deserialize;
use serde_json::Value;

/// The name of the section.
pub const SECTION: &str = "gudgeon";

/// The settings; what is not set is as the default has it, and what is unknown is left alone.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default, rename_all = "camelCase")]
pub struct Config {
    /// What is judged.
    pub findings: Findings,
    /// What is shown between the words.
    pub hints: Hints,
    /// Whether a line stands above each job.
    pub lens: Switch,
    /// Whether the client can show a list of places on a click (`gudgeon.showPlaces`). Only in `initializationOptions`.
    pub show_places: bool,
    /// Whether the client itself shows what `gudgeon.next` gives. Only in `initializationOptions`.
    pub show_next: bool,
}

/// What is judged.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct Findings {
    /// Whether logs and manuals of the workspace are judged that are not open.
    pub workspace: Switch,
}

/// What is shown between the words.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct Hints {
    /// Sums worked again.
    pub worked: Switch,
    /// Verdicts.
    pub verdicts: Switch,
    /// What went stale.
    pub stale: Switch,
}

/// Something that is on unless it is switched off.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(transparent)]
pub struct Switch(pub bool);

impl Default for Switch {
    fn default() -> Self {
        Switch(true)
    }
}

impl Config {
    /// Reads settings as a client sends them, with or without the name of the section around them; else what is wrong with them.
    pub fn read(value: &Value) -> Result<Config, String> {
        let own = value.get(SECTION).unwrap_or(value);
        if own.is_null() {
            return Ok(Config::default());
        }
        Config::deserialize(own).map_err(|error| format!("the settings under `{SECTION}` cannot be read: {error}"))
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_not_set_is_on() {
        let config = Config::read(&json!({"gudgeon": {"hints": {"stale": false}, "other": 3}})).expect("it is read");
        assert!(!config.hints.stale.0);
        assert!(config.hints.worked.0 && config.findings.workspace.0 && config.lens.0);
        assert_eq!(Config::read(&Value::Null), Ok(Config::default()));
        assert_eq!(Config::read(&json!({})), Ok(Config::default()));
        let wrong = Config::read(&json!({"lens": "yes"})).expect_err("it is wrong");
        assert!(
            wrong.starts_with("the settings under `gudgeon` cannot be read"),
            "{wrong}"
        );
    }
}
