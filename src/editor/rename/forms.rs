//! Lines as they are written, to see whether a new name is read in them as the old one was. They stand for files whose text is not at hand.

use super::Change;
use crate::editor::mentions::{Entity, mentions_of_log, mentions_of_manual};
use crate::model::names::key;
use crate::syntax::ast::Statement;
use crate::syntax::{FileKind, parse_log, parse_manual};

/// Where the name stands in a form.
const NAME: char = '¤';

/// A name that is read everywhere.
const PLAIN: &str = "xq";

/// Says which line would be read otherwise with the new name, if one would.
pub(super) fn check(change: &Change, kind: FileKind) -> Result<(), String> {
    for form in forms(change.entity, kind) {
        let (was, is) = (form.replace(NAME, PLAIN), form.replace(NAME, &change.to));
        if read(&was, kind, change.entity, PLAIN) != read(&is, kind, change.entity, &change.key) {
            let line = is.lines().last().unwrap_or("").trim();
            return Err(format!(
                "`{}` would be read otherwise in a line such as `{line}`",
                change.to
            ));
        }
    }
    Ok(())
}

/// What is read: for each name what it names and whether it is the one in question, and how many errors there are.
fn read(text: &str, kind: FileKind, entity: Entity, name: &str) -> (Vec<(Entity, bool)>, usize) {
    let (list, errors) = match kind {
        FileKind::Log => {
            let tree = parse_log(text);
            let mut list = mentions_of_log(&tree, text);
            if entity == Entity::Need {
                list.clear();
            }
            let ticks = tree.entries.iter().filter_map(|entry| match &entry.statement {
                Statement::Did(_, details) if entity == Entity::Need => Some(details),
                _ => None,
            });
            let whole = ticks
                .flatten()
                .filter(|tick| key(tick.span.text(text)) == *name)
                .count();
            (
                list,
                tree.errors.len() + usize::from(entity == Entity::Need && whole != 1),
            )
        }
        FileKind::Manual => {
            let tree = parse_manual(text);
            (mentions_of_manual(&tree, text), tree.errors.len())
        }
    };
    let names = list
        .iter()
        .map(|m| (m.entity, m.entity == entity && m.key == name))
        .collect();
    (names, errors)
}

/// The lines in which such a name stands.
fn forms(entity: Entity, kind: FileKind) -> &'static [&'static str] {
    match (entity, kind) {
        (Entity::Feature, FileKind::Log) => &[
            "¤ = 1.5 mm",
            "¤ of part one at place one = 1.5 mm by mic",
            "fix ¤ 1.5 -> 1.6 mm, misread",
            "fix ¤, because it is so",
        ],
        (Entity::Feature, FileKind::Manual) => &[
            "feature ¤",
            "feature ¤ of part one at place one, also other",
            "feature other, also ¤",
            "calc other = ¤ + largest(¤ of part one)",
            "procedure p\n  step one  reads ¤; disturbs ¤ at place one; given ¤",
            "procedure p\n  step one  if ¤ out",
            "calc a = b + c\n  limits of ¤",
            "calc a = b + c\n  choose ¤ from stock s",
        ],
        (Entity::Step, FileKind::Log) => &[
            "did ¤",
            "did ¤, oiled",
            "undid ¤, because it slipped",
            "did ¤\nfix ¤, oiled",
        ],
        (Entity::Step, FileKind::Manual) => &[
            "procedure p\n  step ¤",
            "procedure p\n  step ¤  after one, two; needs oiled",
            "procedure p\n  step one  after ¤, ¤; then ¤; not with ¤",
            "procedure p\n  step one  at least 8 h after ¤",
            "procedure p\n  step one  if did ¤",
            "procedure p\n  one of ¤, two",
            "procedure p\n  never ¤ because it hurts",
            "procedure p\n  never ¤ before ¤ if did ¤ because it hurts",
        ],
        (Entity::Part, FileKind::Log) => &[
            "found ¤: good, reuse",
            "got ¤: number 4",
            "width of ¤ at place one = 1 mm",
            "did step one, from ¤",
            "chose ¤ over other",
        ],
        (Entity::Place, FileKind::Log) => &["width at ¤ = 1 mm"],
        (Entity::Tool, FileKind::Log) => &[
            "tool ¤: press",
            "width = 1 mm by ¤",
            "did step one, force 6 t on ¤",
            "checked ¤, on its standard",
        ],
        (Entity::Manual, FileKind::Log) => &["manual ¤"],
        (Entity::Manual, FileKind::Manual) => &["manual ¤, edition 3", "extends ¤"],
        (Entity::Procedure, _) => &["procedure ¤"],
        (Entity::Need, FileKind::Log) => &["did step one, ¤"],
        (Entity::Need, FileKind::Manual) => &[
            "precaution ¤, also other",
            "precaution other, also ¤",
            "procedure p\n  step one  needs ¤, other; after two",
        ],
        (Entity::Machine, FileKind::Log) => &["machine ¤"],
        (Entity::Stock, FileKind::Log) => &["stock ¤: 2.30 mm"],
        (Entity::Stock, FileKind::Manual) => &["calc a = b + c\n  choose a from stock ¤, up to 2 together"],
        (Entity::Choice, FileKind::Log) => &["option ¤: parts 10 EUR", "option ¤: parts 10 EUR\nchose ¤ over other"],
        (Entity::Part | Entity::Place | Entity::Tool | Entity::Machine | Entity::Choice, FileKind::Manual)
        | (Entity::Job, _) => &[],
    }
}
