//! The layout of a log.

use rustc_hash::FxHashSet;

use super::fold::{fold, fold_blanks};
use super::line::{Group, Laid, What};
use super::table::{self, TableLine};
use super::{as_written, bad_lines, fold_before, unsaid};
use crate::syntax::Span;
use crate::syntax::ast::{Detail, DetailKind, Entry, LogTree, Statement};
use crate::syntax::lines::Line;
use crate::syntax::log::{takes_lines, without_clock};
use crate::syntax::said::{BLANKS, Said};

/// Indentation of details below their line.
const DETAILS: usize = 2;

/// Indentation of the rows of a table.
const ROWS: usize = 3;

/// Lays out every line of a log; the statements whose numbers are in `kept` stay as they were written.
pub(super) fn lay<'a>(tree: &LogTree, text: &'a str, kept: &FxHashSet<usize>) -> Vec<Laid<'a>> {
    let bad = bad_lines(&tree.lines, tree.errors.iter().map(|error| error.span.start));
    let mut laid = Vec::with_capacity(tree.lines.len());
    let mut entries = tree.entries.iter().enumerate().peekable();
    let mut current: Option<Block<'_>> = None;
    let mut above_takes = false;
    for (number, line) in tree.lines.iter().enumerate() {
        let mut first = false;
        if let Some((index, entry)) = entries.next_if(|(_, entry)| entry.line == number) {
            above_takes = current
                .as_ref()
                .is_some_and(|block| takes_lines(&block.entry.statement));
            let raw = kept.contains(&index) || entry.statement == Statement::Unread;
            current = Some(Block::new(entry, tree, text, raw, &bad));
            first = true;
        }
        if line.is_empty() {
            laid.push(unsaid(line, text));
            continue;
        }
        laid.push(match &current {
            // A statement below one that takes lines would be taken in by it, were it left indented while the other is not.
            Some(block) if block.raw && first => as_written(line, text, above_takes),
            Some(block) if !block.raw && !bad.contains(&number) => Laid {
                what: block.line(line, text, first),
                comment: line.comment.text(text).trim_end_matches(BLANKS),
            },
            _ => as_written(line, text, false),
        });
    }
    laid
}

/// A statement with the lines below it.
struct Block<'a> {
    entry: &'a Entry,
    raw: bool,
    /// The lines of its table, laid out.
    table: Vec<TableLine>,
    /// The least indentation among the lines of a note.
    least: usize,
}

impl<'a> Block<'a> {
    fn new(entry: &'a Entry, tree: &LogTree, text: &str, raw: bool, bad: &FxHashSet<usize>) -> Self {
        let table = match &entry.statement {
            Statement::Reading(reading) if !raw => table::lay(&reading.table, text),
            _ => Vec::new(),
        };
        let below = entry.line + 1..entry.line + entry.lines;
        let least = below
            .filter(|number| !bad.contains(number))
            .filter_map(|number| tree.lines.get(number))
            .filter(|line| !line.is_empty())
            .map(|line| line.indent_width(text))
            .min()
            .unwrap_or(0);
        Self {
            entry,
            raw,
            table,
            least,
        }
    }

    fn line<'t>(&self, line: &Line, text: &'t str, first: bool) -> What<'t> {
        let said = Said::new(line.content, text);
        if first {
            return statement(&self.entry.statement, said, text);
        }
        // The rows stand in the order of their lines.
        let next = self.table.partition_point(|row| row.start < line.content.start);
        let row = self.table.get(next).filter(|row| row.start < line.content.end);
        let (indent, left) = match (&self.entry.statement, row) {
            (_, Some(row)) => (ROWS, row.text.clone()),
            (Statement::Note(_), _) => {
                let deeper = line.indent_width(text).saturating_sub(self.least);
                (DETAILS + deeper, said.text.to_owned())
            }
            (statement, _) => {
                let prose = reason(details(statement), line.content);
                (DETAILS, fold_before(said, prose))
            }
        };
        What::Said {
            indent,
            left,
            right: None,
        }
    }
}

/// The first line of a statement.
fn statement<'a>(statement: &Statement, said: Said<'_>, text: &str) -> What<'a> {
    let whole = said;
    let said = without_clock(said);
    let clock = whole.text.get(..said.base - whole.base).unwrap_or("").trim_end();
    let before = |left: String| {
        if clock.is_empty() {
            left
        } else {
            format!("{clock} {left}")
        }
    };
    let (word, rest) = said.first_word();
    let keyword = word.text.to_lowercase();
    let prose = reason(details(statement), whole.span());
    let aligned = |group: Group, left: String, right: String| What::Said {
        indent: 0,
        left: before(left),
        right: (!right.is_empty()).then_some((group, right)),
    };
    let plain = |left: String| What::Said {
        indent: 0,
        left: before(left),
        right: None,
    };
    match statement {
        Statement::Head(..) => aligned(Group::Head, keyword, rest.text.to_owned()),
        Statement::Manual(_) | Statement::Procedure(_) | Statement::Hours(_) => {
            aligned(Group::Head, keyword, fold_blanks(rest.text))
        }
        Statement::Units(_) => aligned(Group::Head, keyword, fold(rest.text)),
        Statement::Tool(name, _) => {
            let facts = behind_colon(said, *name);
            let left = format!("{keyword} {}:", fold_blanks(name.text(text)));
            aligned(
                Group::Tool,
                left,
                facts.map_or(String::new(), |facts| fold_before(facts, prose)),
            )
        }
        Statement::Day { date, stage } => {
            // Behind the stage anything may be said, and is prose.
            let end = stage.map_or(whole.span().end, |stage| stage.end);
            let behind = said.skip(date.len());
            let (stage, remark) = behind
                .text
                .split_at_checked((end as usize).saturating_sub(behind.base))
                .unwrap_or((behind.text, ""));
            let stage = fold(stage);
            let parted = if stage.is_empty() || stage.starts_with([':', ',']) {
                ""
            } else {
                "  "
            };
            let remark = remark.trim_start_matches(BLANKS);
            plain(format!("{}{parted}{stage}{remark}", date.text(text)))
        }
        Statement::Reading(_) => {
            let at = said.text.find('=').unwrap_or(said.text.len());
            let left = fold(said.text.get(..at).unwrap_or(""));
            let value = fold_before(said.skip(at + 1), prose);
            let gap = if value.is_empty() { "" } else { " " };
            aligned(Group::Reading, left, format!("={gap}{value}"))
        }
        Statement::Note(prose) if prose.start as usize == said.base => plain(said.text.to_owned()),
        Statement::Note(_) | Statement::Photo(_) => plain(format!("{keyword} {}", rest.text)),
        Statement::Closed(date) => {
            let behind = date.map_or(rest, |date| rest.skip(date.len()));
            let date = date.map_or(String::new(), |date| format!(" {}", date.text(text)));
            let prose = behind.trim_start().text;
            let parted = if prose.is_empty() || prose.starts_with([',', '#']) {
                ""
            } else {
                " "
            };
            plain(format!("{keyword}{date}{parted}{prose}"))
        }
        Statement::Fix { reason, .. } => plain(format!("{keyword} {}", fold_before(rest, *reason))),
        Statement::Found(name, _)
        | Statement::Ordered(name, _)
        | Statement::Got(name, _)
        | Statement::Stock(name, _)
        | Statement::Option(name, _)
        | Statement::Cost(name, _)
        | Statement::Waiting(name, _) => match behind_colon(said, *name) {
            Some(behind) => {
                let before = rest.text.get(..(name.end as usize).saturating_sub(rest.base));
                let name = fold(before.unwrap_or(""));
                plain(format!("{keyword} {name}: {}", fold_before(behind, prose)))
            }
            None => plain(format!("{keyword} {}", fold_before(rest, prose))),
        },
        _ => plain(format!("{keyword} {}", fold_before(rest, prose))),
    }
}

/// What stands behind the colon that follows a name; `None` if none follows.
fn behind_colon(said: Said<'_>, name: Span) -> Option<Said<'_>> {
    let behind = said.skip((name.end as usize).saturating_sub(said.base)).trim_start();
    behind.text.starts_with(':').then(|| behind.skip(1))
}

/// The details of a statement.
fn details(statement: &Statement) -> &[Detail] {
    match statement {
        Statement::Tool(_, details)
        | Statement::Did(_, details)
        | Statement::Undid(_, details)
        | Statement::Amend(_, _, details)
        | Statement::Found(_, details)
        | Statement::Ordered(_, details)
        | Statement::Got(_, details)
        | Statement::Waiting(_, details)
        | Statement::Chose(_, _, details)
        | Statement::Checked(_, details)
        | Statement::Held(details) => details,
        Statement::Reading(reading) => &reading.details,
        _ => &[],
    }
}

/// Where a reason stands among the details on a line: prose to the line's end.
fn reason(details: &[Detail], line: Span) -> Option<Span> {
    // Details stand in the order they were written.
    let first = details.partition_point(|detail| detail.span.start < line.start);
    let on_line = details.get(first..).unwrap_or_default().iter();
    on_line
        .take_while(|detail| detail.span.start < line.end)
        .find_map(|detail| match detail.kind {
            DetailKind::Because(text) => Some(text),
            _ => None,
        })
}
