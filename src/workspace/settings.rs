//! The settings of a repository: `gudgeon.toml` at its root.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::Deserialize;
use toml::Spanned;

use super::discover;
use crate::judge::{Settings, Severity, Weights, rules};
use crate::model::acceptance;
use crate::syntax::{LineIndex, nearest};

/// The longest settings that are read, in bytes: 1 MiB.
const MOST_BYTES: usize = 1024 * 1024;

/// The name of the file.
pub const FILE: &str = "gudgeon.toml";

/// What may stand in it.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Keys {
    /// By which rule figures are accepted.
    decide: Option<Spanned<String>>,
    /// The least severity that makes an inspection fail.
    #[serde(rename = "fail-on")]
    fail_on: Option<Spanned<String>>,
    /// The file of findings that are known, from the folder of this one.
    baseline: Option<Spanned<String>>,
    /// What findings weigh: codes, or their first words.
    #[serde(default)]
    weigh: BTreeMap<Spanned<String>, Spanned<String>>,
    /// How reports for people look.
    #[serde(default)]
    report: ReportKeys,
    /// Which manuals are read.
    #[serde(default)]
    manuals: ManualKeys,
}

/// What may stand under `[manuals]`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct ManualKeys {
    /// Whether links may lead out of the repository.
    #[serde(default)]
    outside: bool,
}

/// What may stand under `[report]`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReportKeys {
    /// Name and address of the shop.
    shop: Option<String>,
    /// `written`, `metric`, `inch`.
    units: Option<Spanned<String>>,
    /// `point`, `comma`.
    decimal: Option<Spanned<String>>,
    /// `embed`, `link`, `none`.
    photos: Option<Spanned<String>>,
}

/// How the reports of a repository look, unless the command line says otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReportSettings {
    /// Name and address of the shop, for the head of the report; empty if nothing is to stand there.
    pub shop: String,
    /// `written`, `metric` or `inch`.
    pub units: Option<String>,
    /// `point` or `comma`.
    pub decimal: Option<String>,
    /// `embed`, `link` or `none`.
    pub photos: Option<String>,
}

/// What decides whether an inspection fails. The command line comes before it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gate {
    /// The least severity that makes it fail, where that is said.
    pub fail_on: Option<Severity>,
    /// The file of findings that are known, where that is said; from the folder of the settings, or absolute.
    pub baseline: Option<PathBuf>,
}

/// Settings, and what is wrong with the file they were to come from: file, line, and why.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The settings; the defaults where the file is wrong or there is none.
    pub settings: Settings,
    /// How reports look.
    pub report: ReportSettings,
    /// What decides whether an inspection fails.
    pub gate: Gate,
    /// Whether a manual that lies outside the repository is read where a link leads to it.
    pub outside: bool,
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
    let text = discover::read(&path).and_then(|bytes| match String::from_utf8(bytes) {
        Ok(text) if text.len() > MOST_BYTES => Err("larger than 1 MiB, which no settings are".to_owned()),
        Ok(text) => Ok(text),
        Err(_) => Err("not UTF-8 text".to_owned()),
    });
    match text {
        Ok(text) => {
            let mut found = read(&name, &text);
            let near = discover::folder_of(&path);
            found.gate.baseline = found.gate.baseline.map(|baseline| near.join(baseline));
            found
        }
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
    let mut settings = Settings::default();
    if let Some(decide) = &keys.decide {
        match acceptance::read(decide.get_ref()) {
            Ok(rule) => settings.decide = rule,
            Err(message) => return wrong(format!("{}: {message}", at(Some(decide.span().start)))),
        }
    }
    let mut weights = Vec::new();
    for (code, wanted) in &keys.weigh {
        match weight(code.get_ref(), wanted.get_ref()) {
            Ok(severity) => weights.push((code.get_ref().clone(), severity)),
            Err(message) => return wrong(format!("{}: {message}", at(Some(code.span().start)))),
        }
    }
    settings.weights = Arc::new(Weights::new(weights));
    let mut gate = Gate::default();
    if let Some(least) = &keys.fail_on {
        match severity(least.get_ref()) {
            Ok(severity) => gate.fail_on = Some(severity),
            Err(message) => return wrong(format!("{}: {message}", at(Some(least.span().start)))),
        }
    }
    if let Some(baseline) = &keys.baseline {
        if baseline.get_ref().trim().is_empty() {
            let place = at(Some(baseline.span().start));
            return wrong(format!("{place}: `baseline` is the path of a file, and none is named"));
        }
        gate.baseline = Some(PathBuf::from(baseline.get_ref()));
    }
    let of = |wanted: &Option<Spanned<String>>, known: &[&str]| match wanted {
        Some(said) if !known.contains(&said.get_ref().as_str()) => Err(format!(
            "{}: `{}` is none of {}",
            at(Some(said.span().start)),
            said.get_ref(),
            known.join(", ")
        )),
        said => Ok(said.as_ref().map(|said| said.get_ref().clone())),
    };
    let report = || {
        Ok(ReportSettings {
            shop: keys.report.shop.clone().unwrap_or_default(),
            units: of(&keys.report.units, &["written", "metric", "inch"])?,
            decimal: of(&keys.report.decimal, &["point", "comma"])?,
            photos: of(&keys.report.photos, &["embed", "link", "none"])?,
        })
    };
    match report() {
        Ok(report) => Found {
            settings,
            report,
            gate,
            outside: keys.manuals.outside,
            problem: None,
        },
        Err(problem) => wrong(problem),
    }
}

/// What a code, or all codes that begin with a word, are to weigh.
fn weight(code: &str, wanted: &str) -> Result<Severity, String> {
    let is_code = |known: &str| known == code || known.split('.').next() == Some(code);
    if !rules().iter().any(|rule| is_code(rule.code)) {
        let near = nearest(code, rules().iter().map(|rule| rule.code));
        let offer = near.map_or_else(String::new, |near| format!("; `{near}` is near"));
        return Err(format!("no finding has the code `{code}`{offer}"));
    }
    match wanted {
        "fault" => Ok(Severity::Fault),
        "doubt" => Ok(Severity::Doubt),
        "open" => Ok(Severity::Open),
        other => Err(format!(
            "a finding can be made to weigh `fault`, `doubt` or `open`, not `{other}`"
        )),
    }
}

/// A severity by its word.
fn severity(word: &str) -> Result<Severity, String> {
    match word {
        "danger" => Ok(Severity::Danger),
        "fault" => Ok(Severity::Fault),
        "doubt" => Ok(Severity::Doubt),
        "open" => Ok(Severity::Open),
        other => Err(format!(
            "an inspection can fail on `danger`, `fault`, `doubt` or `open`, not on `{other}`"
        )),
    }
}

fn wrong(problem: String) -> Found {
    Found {
        problem: Some(problem),
        ..Found::default()
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
    fn what_findings_weigh_is_read() {
        let found = read(FILE, "[weigh]\n\"tool.coarse\" = \"open\"\ndanger = \"doubt\"\n");
        assert_eq!(found.problem, None);
        assert_ne!(found.settings, Settings::default());
        assert_eq!(
            problem("[weigh]\n\"tool.coars\" = \"open\"\n"),
            "gudgeon.toml, line 2: no finding has the code `tool.coars`; `tool.coarse` is near"
        );
        assert_eq!(
            problem("[weigh]\ndanger = \"nothing\"\n"),
            "gudgeon.toml, line 2: a finding can be made to weigh `fault`, `doubt` or `open`, not `nothing`"
        );
    }

    #[test]
    fn how_reports_look_is_read() {
        let found = read(FILE, "[report]\nshop = \"Fennick Engine Works\"\ndecimal = \"comma\"\n");
        assert_eq!(found.problem, None);
        assert_eq!(found.report.shop, "Fennick Engine Works");
        assert_eq!(found.report.decimal.as_deref(), Some("comma"));
        assert_eq!(
            problem("[report]\nunits = \"inches\"\n"),
            "gudgeon.toml, line 2: `inches` is none of written, metric, inch"
        );
    }

    #[test]
    fn what_makes_an_inspection_fail_is_read() {
        assert_eq!(read(FILE, "").gate, Gate::default());
        let found = read(FILE, "fail-on = \"doubt\"\nbaseline = \"ci/known.jsonl\"\n");
        assert_eq!(found.problem, None);
        assert_eq!(found.gate.fail_on, Some(Severity::Doubt));
        assert_eq!(found.gate.baseline, Some(PathBuf::from("ci/known.jsonl")));
        assert_eq!(
            problem("\nfail-on = \"nothing\"\n"),
            "gudgeon.toml, line 2: an inspection can fail on `danger`, `fault`, `doubt` or `open`, not on `nothing`"
        );
        assert_eq!(
            problem("baseline = \" \"\n"),
            "gudgeon.toml, line 1: `baseline` is the path of a file, and none is named"
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
            "gudgeon.toml, line 2: unknown field `decid`, expected one of `decide`, `fail-on`, `baseline`, `weigh`, `report`, `manuals`"
        );
        assert!(problem("decide = 3\n").starts_with("gudgeon.toml, line 1: invalid type"));
        assert!(problem("decide = \"plain\"\n= \n").starts_with("gudgeon.toml, line 2: "));
        assert!(problem("decide plain\n").starts_with("gudgeon.toml, line 1: "));
    }
}
