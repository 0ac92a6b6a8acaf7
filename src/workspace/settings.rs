//! `gudgeon.toml`: what a repository says for all its logs. No repository needs one.

use std::path::Path;

use serde::Deserialize;

use super::discover;
use crate::judge::Settings;
use crate::model::decide::decide;
use crate::syntax::LineIndex;

/// The name of the file, at the root of a repository.
pub const FILE: &str = "gudgeon.toml";

/// What the file may hold.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    decide: Option<toml::Spanned<String>>,
}

/// Settings, and what is wrong with the file they come from.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The settings; the defaults where the file is not there, or says nothing that can be used.
    pub settings: Settings,
    /// What is wrong with the file, in words, with its path and line.
    pub problem: Option<String>,
}

/// Reads the file at a repository's root. One that is not there says nothing.
pub fn read(root: &Path) -> Found {
    let path = root.join(FILE);
    if !path.exists() {
        return Found::default();
    }
    let shown = discover::near(&path);
    let text =
        discover::read(&path).and_then(|bytes| String::from_utf8(bytes).map_err(|_| "it is not UTF-8".to_owned()));
    match text {
        Ok(text) => parse(&text, &shown),
        Err(why) => Found {
            problem: Some(format!("{shown} cannot be read: {why}")),
            ..Found::default()
        },
    }
}

/// Reads the text of such a file; `name` is shown in what is wrong.
fn parse(text: &str, name: &str) -> Found {
    let wrong = |at: Option<usize>, why: String| {
        let line = at.map_or_else(String::new, |at| {
            let at = u32::try_from(at).unwrap_or(u32::MAX);
            format!(", line {}", LineIndex::new(text).line_of(at) + 1)
        });
        Found {
            problem: Some(format!("{name}{line}: {why}")),
            ..Found::default()
        }
    };
    let written: Written = match toml::from_str(text) {
        Ok(written) => written,
        Err(error) => {
            let why = error.message().lines().collect::<Vec<_>>().join("; ");
            return wrong(error.span().map(|span| span.start), why);
        }
    };
    let Some(rule) = written.decide else {
        return Found::default();
    };
    match decide(rule.get_ref()) {
        Ok(decide) => Found {
            settings: Settings { decide },
            problem: None,
        },
        Err(why) => wrong(Some(rule.span().start), why),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::Acceptance;

    #[test]
    fn the_rule_of_acceptance() {
        let rule = |text: &str| parse(text, FILE).settings.decide;
        assert_eq!(rule(""), Acceptance::Plain);
        assert_eq!(rule("decide = \"guarded\"\n"), Acceptance::Guarded);
        assert_eq!(rule("# ours\ndecide = 'guarded at 95 %'\n"), Acceptance::Probable(0.95));
    }

    #[test]
    fn what_is_wrong_has_its_line() {
        for (text, line, part) in [
            ("decide = \"strictly\"\n", 1, "no rule of acceptance"),
            ("\ndecide = 5\n", 2, "string"),
            ("\n\ndecides = \"plain\"\n", 3, "unknown field"),
            ("decide = \"plain\n", 1, ""),
        ] {
            let found = parse(text, FILE);
            let problem = found.problem.unwrap_or_default();
            assert!(
                problem.starts_with(&format!("gudgeon.toml, line {line}: ")),
                "{text}: {problem}"
            );
            assert!(problem.contains(part), "{text}: {problem}");
            assert_eq!(found.settings, Settings::default());
        }
    }
}
