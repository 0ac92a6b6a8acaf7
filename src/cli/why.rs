//! `gudgeon why`: what a code says, why it matters, and where the rule comes from; or what is known of a figure, and why.

use std::path::Path;

use super::Exit;
use super::args::{WhyArgs, WhyForm};
use super::console::{Console, width};
use super::nearest::{nearest, offer};
use crate::judge::figures::Figure;
use crate::judge::{self, Example, Rule, rules};
use crate::model::names::key;
use crate::report::figures;
use crate::report::rules::page;
use crate::report::visible::wrap;
use crate::workspace::discover::{folder_of, read, shown};
use crate::workspace::{Kind, Library, analyse};

/// Runs the command.
pub fn run(args: &WhyArgs, console: &mut Console) -> Exit {
    if args.schema {
        console.print(&figures::schema());
        return Exit::Clean;
    }
    if args.page {
        console.print(&page(&rules()));
        return Exit::Clean;
    }
    let Some(wanted) = &args.subject else {
        list(rules().iter().copied(), console);
        return Exit::Clean;
    };
    if let Some(place) = Place::of(wanted) {
        return figures_at(&place, args, console);
    }
    let code = wanted.trim().to_lowercase();
    if let Some(rule) = rules().iter().find(|rule| rule.code == code) {
        explain(rule, console);
        return Exit::Clean;
    }
    let family: Vec<&Rule> = rules()
        .iter()
        .copied()
        .filter(|rule| rule.code.split('.').next() == Some(code.as_str()))
        .collect();
    if !family.is_empty() {
        list(family.into_iter(), console);
        return Exit::Clean;
    }
    let near = nearest(&code, rules().iter().map(|rule| rule.code));
    console.tell(&format!(
        "there is no code {wanted}.{} gudgeon why lists them all; a log ends in .rebuild.",
        offer(&near)
    ));
    Exit::Failed
}

/// A log, and perhaps a line of it.
struct Place<'a> {
    path: &'a Path,
    line: Option<usize>,
}

impl<'a> Place<'a> {
    /// `FILE.rebuild`, `FILE.rebuild:23`, `FILE.rebuild:23:7` (the column is passed over); `None` if it is no log.
    fn of(text: &'a str) -> Option<Place<'a>> {
        let is_log = |path: &&str| Kind::of_path(Path::new(path)) == Some(Kind::Log);
        if is_log(&text) {
            return Some(Place {
                path: Path::new(text),
                line: None,
            });
        }
        let mut ends = text.char_indices().filter(|(_, c)| *c == ':').map(|(at, _)| at);
        let (path, rest) = ends.find_map(|at| {
            let path = text.get(..at).filter(is_log)?;
            Some((path, text.get(at + 1..)?))
        })?;
        let line = rest.split(':').next()?.parse().ok()?;
        Some(Place {
            path: Path::new(path),
            line: Some(line),
        })
    }
}

/// Figures of a log: all of it, or those of a line, or of a name.
fn figures_at(place: &Place<'_>, args: &WhyArgs, console: &mut Console) -> Exit {
    let name = shown(place.path);
    let bytes = match read(place.path) {
        Ok(bytes) => bytes,
        Err(reason) => {
            console.tell(&format!("{name}: {reason}"));
            return Exit::Failed;
        }
    };
    let analysis = analyse(&name, folder_of(place.path), bytes, &Library::new());
    let all = judge::figures(&analysis);
    let source = &analysis.source;
    let wanted = args.feature.as_deref().map(key);
    let chosen: Vec<&Figure> = all
        .iter()
        .filter(|figure| {
            let on_line = place
                .line
                .is_none_or(|line| source.lines.line_of(figure.span.start) + 1 == line);
            let named = wanted
                .as_deref()
                .is_none_or(|wanted| key(&figure.feature) == wanted || key(&figure.name) == wanted);
            on_line && named
        })
        .collect();
    if chosen.is_empty() {
        let features = all.iter().map(|figure| figure.feature.as_str());
        let help = match (&wanted, place.line) {
            (Some(wanted), _) => offer(&nearest(wanted, features)),
            (None, Some(_)) => " Give the number of a line that has a reading on it.".to_owned(),
            (None, None) => " It has no reading.".to_owned(),
        };
        console.tell(&format!("{name}: there is no such figure.{help}"));
        return Exit::Failed;
    }
    console.print(&match args.form {
        WhyForm::Text => figures::text(&chosen, source),
        WhyForm::Json => figures::json(&chosen, source),
    });
    Exit::Clean
}

/// Codes with their sentence.
fn list<'a>(rules: impl Iterator<Item = &'a Rule>, console: &mut Console) {
    for rule in rules {
        console.print(&format!(
            "{}  ({})\n{}\n",
            rule.code,
            rule.severity,
            wrap(rule.says, width(), "    ")
        ));
    }
}

/// All there is to say about one code.
fn explain(rule: &Rule, console: &mut Console) {
    let width = width();
    console.print(&format!(
        "{}  ({})\n\n{}\n\n{}\n\n{}\n",
        rule.code,
        rule.severity,
        wrap(rule.says, width, ""),
        wrap(rule.why, width, ""),
        wrap(&format!("Source: {}", rule.source), width, "")
    ));
    example("This gives it:", &rule.fires, console);
    example("This does not:", &rule.clean, console);
}

/// A log, with its manual if it has one of its own.
fn example(title: &str, example: &Example, console: &mut Console) {
    console.print(&format!("\n{title}\n"));
    if !example.manual.trim().is_empty() {
        console.print("\n  in the manual\n");
        console.print(&indented(example.manual));
        console.print("\n  in the log\n");
    } else {
        console.print("\n");
    }
    console.print(&indented(example.log));
}

fn indented(text: &str) -> String {
    let mut out = String::new();
    for line in text.trim_matches(['\n', '\r']).lines() {
        if !line.trim().is_empty() {
            out.push_str("    ");
            out.push_str(line);
        }
        out.push('\n');
    }
    out
}
