//! Why a name cannot be changed, or not to this.

use std::path::Path;

use super::Change;
use super::reach::Reach;
use crate::editor::Page;
use crate::editor::definition::manual_of_book;
use crate::editor::index::{Index, Summary};
use crate::editor::mentions::{Entity, Mention, mentions, mentions_of_manual, names_of};
use crate::model::book::BookManual;
use crate::model::tools::is_plain;
use crate::syntax::{FileKind, Span, parse_manual};

/// Says why a name is not the page's to change, if so.
pub(super) fn fixed(page: &Page, mention: &Mention) -> Result<(), String> {
    let name = mention.span.text(page.text());
    match (mention.entity, page.kind()) {
        (Entity::Tool, FileKind::Manual) => Err(format!("`{name}` is a kind of tool, which is no name that you give")),
        (Entity::Part | Entity::Place, FileKind::Manual) => Err(format!(
            "each log writes `{name}` for itself; change it here and in the logs by hand"
        )),
        (Entity::Part | Entity::Place, FileKind::Log) => {
            of_manuals(page, mention, |_| true).map_or(Ok(()), |(manual, line)| {
                Err(format!(
                    "`{name}` is what {} calls this {} (line {line}), so a log must call it the same",
                    shown(manual),
                    mention.entity.word()
                ))
            })
        }
        (Entity::Tool, FileKind::Log) => plain_tool(page, mention, name),
        (Entity::Manual, _) => match manual_of_book(page, mention) {
            Some(manual) if manual.on_shelf => Err(format!("`{name}` is a manual of the shelf, whose name is fixed")),
            _ => Ok(()),
        },
        (Entity::Machine | Entity::Choice | Entity::Job, _) => Ok(()),
        (Entity::Feature | Entity::Step | Entity::Procedure | Entity::Need | Entity::Stock, _) => {
            of_manuals(page, mention, |manual| manual.on_shelf).map_or(Ok(()), |(manual, _)| {
                let help = match mention.entity {
                    Entity::Procedure => "a procedure of your own has a name of its own",
                    Entity::Stock => "its manual chooses from a stock of that name",
                    _ => "give it another name in your own manual with `also`",
                };
                Err(format!("`{name}` is the shelf's name ({}); {help}", shown(manual)))
            })
        }
    }
}

/// A tool that is not declared says by its name what it is.
fn plain_tool(page: &Page, mention: &Mention, name: &str) -> Result<(), String> {
    let wanted = names_of(page, mention);
    let is_declared = mentions(page).iter().any(|m| wanted.is(m) && m.is_declaration);
    if is_declared || !is_plain(&mention.key) {
        return Ok(());
    }
    Err(format!(
        "`{name}` is the plain name of a kind of tool; to call yours otherwise declare it: `tool NAME: {}`",
        mention.key
    ))
}

/// The first manual of the page's book, of those asked for, that has this name, and the number of the line.
fn of_manuals<'p>(
    page: &'p Page,
    mention: &Mention,
    asked: impl Fn(&BookManual) -> bool,
) -> Option<(&'p BookManual, usize)> {
    let manuals = page.rules().book.manuals.iter().filter(|manual| asked(manual));
    for manual in manuals {
        let text = &manual.source.text;
        let list = mentions_of_manual(&parse_manual(text), text);
        if let Some(found) = list.iter().find(|m| m.entity == mention.entity && m.key == mention.key) {
            return Some((manual, manual.source.lines.line_of(found.span.start) + 1));
        }
    }
    None
}

/// A manual as it is called in messages: a file by its path, one of the shelf by its name.
fn shown(manual: &BookManual) -> &str {
    manual.source.name.strip_prefix("shelf:").unwrap_or(&manual.source.name)
}

/// Says why these letters are no name, if so; what else the grammar would read otherwise is found by reading.
pub(super) fn of_letters(entity: Entity, to: &str) -> Result<(), String> {
    if to.is_empty() {
        return Err("a name has at least one letter".to_owned());
    }
    if to.contains(|c: char| c.is_control() || c == '\u{2028}' || c == '\u{2029}') {
        return Err("a name stands on one line, without tabs".to_owned());
    }
    // What stands behind `machine` is free text, its numbers behind commas.
    let ends_names: &[char] = match entity {
        Entity::Machine => &['#'],
        // A manual is found by the name of its file.
        Entity::Manual => &['=', ':', ',', ';', '#', '/', '\\'],
        _ => &['=', ':', ',', ';', '#'],
    };
    match to.chars().find(|c| ends_names.contains(c)) {
        Some(c) => Err(format!("a name cannot hold `{c}`, which means something of its own")),
        None => Ok(()),
    }
}

/// Says so if something of the same kind bears the new name already.
pub(super) fn taken(page: &Page, path: &Path, change: &Change, reach: &Reach, index: &Index) -> Result<(), String> {
    let said = |file: &str, line: usize| {
        let what = change.entity.word();
        Err(format!(
            "`{}` is the name of a {what} already: {file}, line {line}",
            change.to
        ))
    };
    if change.entity == Entity::Manual {
        let other = index.manual_of(path, &change.to);
        return other.map_or(Ok(()), |other| {
            Err(format!(
                "a manual is called `{}` already: {}",
                change.to,
                other.display()
            ))
        });
    }
    // A machine may be given the name that its other logs have.
    if change.entity == Entity::Machine {
        return Ok(());
    }
    let wanted = change.named(&change.key);
    if let Some(own) = mentions(page).iter().find(|m| wanted.is(m)) {
        let source = page.source();
        return said(&source.name, source.lines.line_of(own.span.start) + 1);
    }
    let mention = Mention {
        entity: change.entity,
        key: change.key.clone(),
        span: Span::default(),
        is_declaration: false,
    };
    let is_common = !matches!(
        change.entity,
        Entity::Tool | Entity::Part | Entity::Place | Entity::Choice
    );
    if is_common && let Some((manual, line)) = of_manuals(page, &mention, |_| true) {
        return said(shown(manual), line);
    }
    for file in &reach.files {
        let Some(summary) = index.files.get(file) else { continue };
        if let Some(place) = summary.named(&wanted).next() {
            return said(&file.display().to_string(), place.line as usize);
        }
        said_already(file, summary, change, reach)?;
    }
    Ok(())
}

/// A tick that happens to have the words of the new name would say the need all at once, which nobody has written.
fn said_already(file: &Path, summary: &Summary, change: &Change, reach: &Reach) -> Result<(), String> {
    let (was, is) = (change.named(&change.from), change.named(&change.key));
    let of_old: Vec<Span> = summary
        .said_needs(&reach.steps, &was.keys)
        .map(|said| said.tick)
        .collect();
    let mut of_new = summary.said_needs(&reach.steps, &is.keys);
    match of_new.find(|said| !of_old.contains(&said.tick)) {
        Some(said) => Err(format!(
            "{}, line {}, says `{}` already, and would then say what it does not",
            file.display(),
            said.place.line,
            change.to
        )),
        None => Ok(()),
    }
}
