//! The layout of a manual.

use rustc_hash::FxHashSet;

use super::fold::{fold, fold_blanks};
use super::line::{Group, Laid, What};
use super::{as_written, fold_before, unsaid};
use crate::syntax::Span;
use crate::syntax::ast::{Clause, ManualTree, Rule as Statement};
use crate::syntax::keywords;
use crate::syntax::said::{BLANKS, Said};

/// Indentation of what belongs to a feature, a precaution or a procedure.
const LINES: usize = 2;

/// Indentation of what belongs to a step.
const CLAUSES: usize = 4;

/// Lays out every line of a manual; the statements whose numbers are in `kept` stay as they were written.
pub(super) fn lay<'a>(tree: &ManualTree, text: &'a str, kept: &FxHashSet<usize>) -> Vec<Laid<'a>> {
    let mut laid = Vec::with_capacity(tree.lines.len());
    let mut entries = tree.entries.iter().enumerate().peekable();
    let mut below_step = false;
    let mut at_head = true;
    for (number, line) in tree.lines.iter().enumerate() {
        let Some((index, entry)) = entries.next_if(|(_, entry)| entry.line == number) else {
            laid.push(unsaid(line, text));
            continue;
        };
        match entry.rule {
            Statement::Step(..) | Statement::Never(..) | Statement::OneOf(_) => below_step = true,
            Statement::Procedure(_) | Statement::Feature(_) | Statement::Calc(..) | Statement::Precaution(_) => {
                below_step = false;
                at_head = false;
            }
            _ => {}
        }
        if kept.contains(&index) || entry.rule == Statement::Unread {
            laid.push(as_written(line, text, false));
            continue;
        }
        let said = Said::new(line.content, text);
        laid.push(Laid {
            what: statement(&entry.rule, said, text, below_step, at_head),
            comment: line.comment.text(text).trim_end_matches(BLANKS),
        });
    }
    laid
}

/// One line.
fn statement<'a>(rule: &Statement, said: Said<'_>, text: &str, below_step: bool, at_head: bool) -> What<'a> {
    let (word, rest) = said.first_word();
    let keyword = word.text.to_lowercase();
    let plain = |indent: usize, left: String| What::Said {
        indent,
        left,
        right: None,
    };
    // Below a step a line is one of its clauses; else it is a line of a feature, aligned with the others.
    let limit = |key: String, value: String| {
        if below_step {
            plain(CLAUSES, format!("{key} {value}"))
        } else {
            What::Said {
                indent: LINES,
                left: key,
                right: (!value.is_empty()).then_some((Group::Limit, value)),
            }
        }
    };
    let head = |value: String| What::Said {
        indent: 0,
        left: keyword.clone(),
        right: Some((Group::Head, value)),
    };
    match rule {
        Statement::Manual(_) | Statement::Units(_) => head(fold(rest.text)),
        // For the whole manual at its head, else for the feature it stands under.
        Statement::Decide(_) if at_head => head(fold_blanks(rest.text)),
        Statement::Decide(_)
        | Statement::Material(_)
        | Statement::LimitsOf(_)
        | Statement::AgreesWith(_)
        | Statement::Choose { .. } => limit(keyword, fold_blanks(rest.text)),
        Statement::Extends(_) => head(fold_blanks(rest.text)),
        Statement::Source(_) => head(rest.text.to_owned()),
        Statement::Feature(_) | Statement::Precaution(_) | Statement::Procedure(_) => {
            plain(0, format!("{keyword} {}", fold(rest.text)))
        }
        Statement::Calc(..) => {
            let (name, sum) = rest.text.split_once('=').unwrap_or((rest.text, ""));
            plain(0, format!("{keyword} {} = {}", fold(name), fold(sum)))
        }
        Statement::Limit(stage, _, source) => {
            let behind = said.skip((stage.end as usize).saturating_sub(said.base));
            limit(stage_name(stage.text(text)), fold_before(behind, *source))
        }
        Statement::Nominal(_, source) | Statement::Alike(_, source) | Statement::Aim(_, source) => {
            limit(keyword, fold_before(rest, *source))
        }
        Statement::Because(_) | Statement::Unit(_) => limit(keyword, rest.text.to_owned()),
        Statement::Ahead | Statement::Say(_) | Statement::Required(_) | Statement::Also(_) => {
            limit(keyword, fold(rest.text))
        }
        Statement::Step(name, clauses) => {
            let behind = said.skip((name.end as usize).saturating_sub(said.base)).trim_start();
            // A bound stands behind a semicolon, which is then part of the left side.
            let (mark, behind) = match behind.text.strip_prefix(';') {
                Some(_) => (";", behind.skip(1).trim_start()),
                None => ("", behind),
            };
            let right = fold_before(behind, reason(clauses));
            step(format!("{keyword} {}{mark}", fold_blanks(name.text(text))), right)
        }
        Statement::Never(never) => {
            let Some(because) = &never.because else {
                return step(format!("{keyword} {}", fold(rest.text)), String::new());
            };
            let before = rest.text.get(..(because.start as usize).saturating_sub(rest.base));
            let before = before.unwrap_or("").trim_end_matches(BLANKS);
            let names = before.get(..before.len().saturating_sub("because".len())).unwrap_or("");
            let right = format!("because {}", because.text(text));
            step(format!("{keyword} {}", fold(names)), right)
        }
        Statement::OneOf(_) => plain(LINES, fold(said.text)),
        Statement::Clauses(clauses) => {
            let indent = if below_step { CLAUSES } else { LINES };
            plain(indent, fold_before(said, reason(clauses)))
        }
        Statement::Unread => plain(0, said.text.to_owned()),
    }
}

/// A step or a ban: its name, and what is aligned behind it.
fn step<'a>(left: String, right: String) -> What<'a> {
    What::Said {
        indent: LINES,
        left,
        right: (!right.is_empty()).then_some((Group::Step, right)),
    }
}

/// The name of a stage; a keyword is written small.
fn stage_name(stage: &str) -> String {
    let folded = fold_blanks(stage);
    keywords::manual(&folded).map_or(folded.clone(), str::to_owned)
}

/// Where the reason stands among clauses: prose to the line's end.
fn reason(clauses: &[Clause]) -> Option<Span> {
    clauses.iter().find_map(|clause| match clause {
        Clause::Because(text) => Some(*text),
        _ => None,
    })
}
