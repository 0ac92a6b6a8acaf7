//! The parts of SARIF 2.1.0 that are written, under the names of the standard; numbers of its sections stand beside them.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::judge::{self, Severity};

/// A text for people (3.11). What the standard reads as a sign is escaped.
#[derive(Serialize)]
pub struct Message {
    text: String,
}

impl Message {
    /// A message of a plain text. Braces are doubled (3.11.5), and brackets that would make a link are escaped (3.11.6).
    pub fn new(text: &str) -> Message {
        let mut text = text.replace('{', "{{").replace('}', "}}");
        if text.contains("](") {
            text = text.replace('\\', "\\\\").replace('[', "\\[").replace(']', "\\]");
        }
        Message { text }
    }
}

/// A text that is a message string of the tool and no message (3.12).
#[derive(Serialize)]
pub struct Words {
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    markdown: Option<String>,
}

/// The tool (3.18).
#[derive(Serialize)]
pub struct Tool {
    /// What did the work.
    pub driver: Driver,
}

/// The tool's own part (3.19).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Driver {
    /// Its name.
    pub name: &'static str,
    /// Its name with its version.
    pub full_name: &'static str,
    /// Its version.
    pub semantic_version: &'static str,
    /// What it does.
    pub short_description: Message,
    /// Every code there is.
    pub rules: Vec<Rule>,
}

/// A rule (3.49).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Rule {
    id: &'static str,
    short_description: Words,
    full_description: Words,
    help: Words,
    default_configuration: Configuration,
    properties: RuleProperties,
}

/// How a rule weighs where nothing else is said (3.50).
#[derive(Serialize)]
struct Configuration {
    level: Level,
}

/// What else is known of a rule (3.8).
#[derive(Serialize)]
struct RuleProperties {
    severity: &'static str,
    source: &'static str,
}

impl Rule {
    /// A rule of the judge, as `gudgeon why CODE` explains it.
    pub fn of(rule: &judge::Rule) -> Rule {
        let plain = |text: &str| Words {
            text: text.to_owned(),
            markdown: None,
        };
        let (fires, clean) = (rule.fires.log.trim(), rule.clean.log.trim());
        Rule {
            id: rule.code,
            short_description: plain(rule.says),
            full_description: plain(&format!("{} {}", rule.says, rule.why)),
            help: Words {
                text: format!(
                    "{}\n\nSource: {}\n\nThis gives it:\n\n{fires}\n\nThis does not:\n\n{clean}",
                    rule.why, rule.source
                ),
                markdown: Some(format!(
                    "{}\n\nSource: {}\n\nThis gives it:\n\n```\n{fires}\n```\n\nThis does not:\n\n```\n{clean}\n```",
                    rule.why, rule.source
                )),
            },
            default_configuration: Configuration {
                level: Level::of_words(rule.severity),
            },
            properties: RuleProperties {
                severity: rule.severity,
                source: rule.source,
            },
        }
    }
}

/// How much a result weighs (3.27.10).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Danger and fault.
    Error,
    /// Doubt.
    Warning,
    /// Still to do.
    Note,
}

impl Level {
    /// The level of a severity. The standard knows nothing above an error; the severity itself stands in the properties.
    pub fn of(severity: Severity) -> Level {
        match severity {
            Severity::Danger | Severity::Fault => Level::Error,
            Severity::Doubt => Level::Warning,
            Severity::Open => Level::Note,
        }
    }

    /// The level of a rule by the words that say its usual severity: the first of them counts.
    fn of_words(words: &str) -> Level {
        let first = words.split(|c: char| !c.is_alphabetic()).next();
        let all = [Severity::Danger, Severity::Fault, Severity::Doubt, Severity::Open];
        let named = all.into_iter().find(|severity| Some(severity.word()) == first);
        Level::of(named.unwrap_or(Severity::Doubt))
    }
}

/// A finding (3.27).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Result<'a> {
    /// Its code.
    pub rule_id: &'static str,
    /// The number of its rule.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_index: Option<usize>,
    /// How much it weighs.
    pub level: Level,
    /// What is wrong, and what to do.
    pub message: Message,
    /// Where it stands.
    pub locations: Vec<Location>,
    /// What it rests on.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related_locations: Vec<Location>,
    /// What it is known by in another run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub partial_fingerprints: Option<BTreeMap<&'static str, &'a str>>,
    /// How it stands to the baseline.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub baseline_state: Option<&'static str>,
    /// How to mend it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<Repair>,
    /// What the standard has no place for.
    pub properties: Properties,
}

/// What the standard has no place for (3.8).
#[derive(Serialize)]
pub struct Properties {
    /// The severity itself.
    pub severity: &'static str,
    /// What it was before settings changed it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was: Option<&'static str>,
}

/// A place (3.28).
#[derive(Default, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Location {
    /// In a file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub physical_location: Option<Physical>,
    /// In what is no file.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub logical_locations: Vec<Logical>,
    /// What is there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<Message>,
}

/// A place in what is no file (3.33).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Logical {
    /// Its name.
    pub name: String,
    /// Its name among all.
    pub fully_qualified_name: String,
    /// What it is.
    pub kind: &'static str,
}

/// A place in a file (3.29).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Physical {
    /// Which file.
    pub artifact_location: Artifact,
    /// Where in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub region: Option<Region>,
}

/// A file (3.4).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Artifact {
    /// Its path from the base, or the whole of it.
    pub uri: String,
    /// What the path is relative to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uri_base_id: Option<&'static str>,
}

/// What paths are relative to (3.14.14): said in words, since where it lies is nobody else's business.
#[derive(Serialize)]
pub struct Root {
    /// What it is.
    pub description: Message,
}

/// From where to where (3.30): lines and columns from 1, columns in code points, the end behind the last character.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Region {
    /// Line of the first character.
    pub start_line: usize,
    /// Column of the first character.
    pub start_column: usize,
    /// Line of the end.
    pub end_line: usize,
    /// Column of the end.
    pub end_column: usize,
}

/// A way to mend a finding (3.55).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Repair {
    /// What it does.
    pub description: Message,
    /// What it changes.
    pub artifact_changes: Vec<ArtifactChange>,
}

/// The changes of one file (3.56).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct ArtifactChange {
    /// The file.
    pub artifact_location: Artifact,
    /// What is replaced by what.
    pub replacements: Vec<Replacement>,
}

/// One change (3.57).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Replacement {
    /// What is taken away; empty for an insertion.
    pub deleted_region: Region,
    /// What comes instead.
    pub inserted_content: Content,
}

/// A text that is taken as it is (3.3).
#[derive(Serialize)]
pub struct Content {
    /// The text.
    pub text: String,
}

/// The run itself (3.20).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Invocation {
    /// Whether everything could be done.
    pub execution_successful: bool,
    /// What could not.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tool_execution_notifications: Vec<Notification>,
}

/// What is to be said of the run (3.58).
#[derive(Serialize)]
pub struct Notification {
    /// How much it weighs.
    pub level: &'static str,
    /// What it says.
    pub message: Message,
    /// The file it speaks of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub locations: Vec<Location>,
}

#[cfg(test)]
mod tests {
    use super::{Level, Message};

    #[test]
    fn what_the_standard_reads_as_a_sign_is_escaped() {
        assert_eq!(Message::new("{0} [a] b").text, "{{0}} [a] b");
        assert_eq!(Message::new("[a](1)").text, "\\[a\\](1)");
    }

    #[test]
    fn a_rule_weighs_what_it_usually_does() {
        assert_eq!(Level::of_words("open, fault once the job is closed"), Level::Note);
        assert_eq!(Level::of_words("danger"), Level::Error);
    }
}
