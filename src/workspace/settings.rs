//! The settings of a repository: `gudgeon.toml` at its root.

use std::path::{Path, PathBuf};

use serde::Deserialize;
use toml::Spanned;

use super::discover;
use crate::judge::Settings;
use crate::model::acceptance;
use crate::syntax::LineIndex;

/// The name of the file.
pub const FILE: &str = "gudgeon.toml";

/// What may stand in it.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Keys {
    /// By which rule figures are accepted.
    decide: Option<Spanned<String>>,
}

/// Settings, and what is wrong with the file they were to come from: file, line, and why.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The settings; the defaults where the file is wrong or there is none.
    pub settings: Settings,
    /// What is wrong.
    pub problem: Option<String>,
}

/// The root of the repository that an absolute folder lies in: the nearest folder upwards that holds `gudgeon.toml` or `.git`.
pub fn root(start: &Path) -> Option<&Path> {
    // A link that leads nowhere marks the root too, and is then said to lead nowhere.
    let has_settings = |folder: &Path| folder.join(FILE).symlink_metadata().is_ok();
    start
        .ancestors()
        .find(|above| above.join(".git").exists() || has_settings(above))
}

/// The settings that hold for a log in an absolute folder.
pub fn of_folder(start: &Path) -> Found {
    let path: Option<PathBuf> = root(start).map(|root| root.join(FILE));
    let Some(path) = path.filter(|path| path.symlink_metadata().is_ok()) else {
        return Found::default();
    };
    let name = discover::shown_from_here(&path);
    let text =
        discover::read(&path).and_then(|bytes| String::from_utf8(bytes).map_err(|_| "not UTF-8 text".to_owned()));
    match text {
        Ok(text) => read(&name, &text),
        Err(why) => wrong(format!("{name} cannot be read: {why}")),
    }
}

/// The settings in a text; `name` is that of its file, for messages.
pub fn read(name: &str, text: &str) -> Found {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let at = |start: Option<usize>| match start.and_then(|start| u32::try_from(start).ok()) {
        Some(start) => format!("{name}, line {}", LineIndex::new(text).place(start, text).line),
        None => name.to_owned(),
    };
    let keys: Keys = match toml::from_str(text) {
        Ok(keys) => keys,
        Err(error) => {
            let start = error.span().map(|span| span.start);
            return wrong(format!("{}: {}", at(start), error.message()));
        }
    };
    let Some(decide) = keys.decide else {
        return Found::default();
    };
    match acceptance::read(decide.get_ref()) {
        Ok(rule) => Found {
            settings: Settings { decide: rule },
            problem: None,
        },
        Err(message) => wrong(format!("{}: {message}", at(Some(decide.span().start)))),
    }
}

fn wrong(problem: String) -> Found {
    Found {
        settings: Settings::default(),
        problem: Some(problem),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::Acceptance;

    fn decided(text: &str) -> Acceptance {
        let found = read(FILE, text);
        assert_eq!(found.problem, None, "{text}");
        found.settings.decide
    }

    fn problem(text: &str) -> String {
        let found = read(FILE, text);
        assert_eq!(found.settings, Settings::default(), "{text}");
        found.problem.unwrap_or_default()
    }

    #[test]
    fn the_rule_of_acceptance_is_read() {
        assert_eq!(decided(""), Acceptance::Plain);
        assert_eq!(decided("# of the shop\ndecide = \"guarded\"\n"), Acceptance::Guarded);
        assert_eq!(
            decided("\u{FEFF}decide = 'guarded at 95 %'"),
            Acceptance::Probable(0.95)
        );
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        assert_eq!(
            problem("# one\n\ndecide = \"strict\"\n"),
            "gudgeon.toml, line 3: `strict` is no rule of acceptance"
        );
        assert_eq!(
            problem("decide = \"plain\"\ndecid = \"plain\"\n"),
            "gudgeon.toml, line 2: unknown field `decid`, expected `decide`"
        );
        assert!(problem("decide = 3\n").starts_with("gudgeon.toml, line 1: invalid type"));
        assert!(problem("decide = \"plain\"\n= \n").starts_with("gudgeon.toml, line 2: "));
        assert!(problem("decide plain\n").starts_with("gudgeon.toml, line 1: "));
    }
}
