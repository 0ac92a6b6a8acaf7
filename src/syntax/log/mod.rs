//! Reads a log: the first word of a line chooses the grammar rule, pest reads that one line, and what it cannot read becomes an
//! error with a place and a suggestion.

mod days;
mod details;
mod figures;
mod fix;
mod free;
mod grammar;
mod memo;
mod named;
mod offers;
mod readings;
mod table;
mod usage;

use super::ast::{Entry, HeadKind, LogTree, Statement, SyntaxError};
use super::lines::{Line, split};
use super::said::Said;
use super::unread::{Read, unread, unreadable};
use super::{Span, keywords};
pub(super) use days::without_clock;
use details::more_details;
use usage::usage;

/// Reads a whole log. Never fails; what could not be read is in `errors`.
pub fn parse_log(text: &str) -> LogTree {
    let lines = split(text);
    let (entries, errors, _) = read_on(text, &lines, Vec::with_capacity(lines.len()), 0, &mut |_| false);
    LogTree { entries, errors, lines }
}

/// Reads lines from a zero-based number on, below entries that are read already, until `stop` says of a line that the rest is known. Gives all entries, the
/// errors of the lines that were read, and the number of the line that was not read any more.
pub(super) fn read_on(
    text: &str,
    lines: &[Line],
    entries: Vec<Entry>,
    from: usize,
    stop: &mut dyn FnMut(usize) -> bool,
) -> (Vec<Entry>, Vec<SyntaxError>, usize) {
    let mut reader = Reader {
        text,
        lines,
        entries,
        errors: Vec::new(),
    };
    let mut until = lines.len();
    for (number, line) in lines.iter().enumerate().skip(from) {
        if stop(number) {
            until = number;
            break;
        }
        if !line.is_empty() {
            reader.line(number, line);
        }
    }
    (reader.entries, reader.errors, until)
}

struct Reader<'a> {
    text: &'a str,
    lines: &'a [Line],
    entries: Vec<Entry>,
    errors: Vec<SyntaxError>,
}

impl Reader<'_> {
    fn line(&mut self, number: usize, line: &Line) {
        let said = Said::new(line.content, self.text);
        let problem = unreadable(line, self.text);
        if line.is_indented(self.text) && self.belongs_above(number, said, problem.as_deref()) {
            return;
        }
        let behind = days::without_clock(said);
        let read = match problem {
            Some(problem) => Err(problem),
            None => statement(behind),
        };
        let statement = read.unwrap_or_else(|error| {
            self.errors.push(*error);
            Statement::Unread
        });
        self.entries.push(Entry {
            line: number,
            lines: 1,
            span: line.content,
            clock: days::clock(said, behind),
            statement,
        });
    }

    /// Tries an indented line as part of the entry above; false if it is a statement of its own.
    fn belongs_above(&mut self, number: usize, said: Said<'_>, problem: Option<&SyntaxError>) -> bool {
        let width = |number: usize| {
            let line = self.lines.get(number);
            line.map_or(0, |line| line.indent_width(self.text))
        };
        let Some(last) = self.entries.last_mut() else {
            return false;
        };
        // Where a whole day is indented, a line as deep as the one above stands beside it, not under it.
        let deeper = width(number) > width(last.line);
        let read = match problem {
            Some(problem) => {
                if !deeper || !takes_lines(&last.statement) {
                    return false;
                }
                Err(Box::new(problem.clone()))
            }
            None => match continued(last, said, deeper, self.text) {
                Some(read) => read,
                None => return false,
            },
        };
        last.lines = number - last.line + 1;
        if let Err(error) = read {
            self.errors.push(*error);
        }
        true
    }
}

/// Whether lines may stand below such a statement and belong to it.
pub(super) fn takes_lines(statement: &Statement) -> bool {
    matches!(
        statement,
        Statement::Reading(_)
            | Statement::Did(..)
            | Statement::Undid(..)
            | Statement::Amend(..)
            | Statement::Tool(..)
            | Statement::Found(..)
            | Statement::Ordered(..)
            | Statement::Got(..)
            | Statement::Waiting(..)
            | Statement::Chose(..)
            | Statement::Option(..)
            | Statement::Cost(..)
            | Statement::Stock(..)
            | Statement::Held(_)
            | Statement::Checked(..)
            | Statement::Note(_)
            | Statement::Unread
    )
}

/// Reads an indented line as part of the entry above it; `None` if it does not belong there.
fn continued(above: &mut Entry, said: Said<'_>, deeper: bool, text: &str) -> Option<Read<()>> {
    if let Statement::Reading(reading) = &mut above.statement
        && table::is_taken_by(reading)
        && let Some(read) = table::line(said, deeper, text, &mut reading.table)
    {
        return Some(read);
    }
    if !deeper {
        return None;
    }
    if let Statement::Note(prose) = &above.statement {
        // Behind the word `note` all is prose; under a line that is prose by its looks, only what looks like it too.
        let keyword = Span {
            end: prose.start,
            ..above.span
        };
        let noted = keyword.text(text).contains(|c: char| c.is_alphabetic());
        return (noted || !(starts_statement(said) || free::has_figure(said))).then_some(Ok(()));
    }
    if starts_statement(said) {
        return None;
    }
    match &mut above.statement {
        Statement::Reading(reading) => Some(more_details(said, &mut reading.details)),
        Statement::Did(_, details)
        | Statement::Undid(_, details)
        | Statement::Amend(_, _, details)
        | Statement::Tool(_, details)
        | Statement::Found(_, details)
        | Statement::Ordered(_, details)
        | Statement::Got(_, details)
        | Statement::Chose(_, _, details)
        | Statement::Waiting(_, details)
        | Statement::Checked(_, details)
        | Statement::Held(details) => Some(more_details(said, details)),
        Statement::Option(_, costs) => Some(offers::more_costs(said, costs, "option")),
        Statement::Cost(_, costs) => Some(offers::more_costs(said, costs, "cost")),
        Statement::Stock(_, pieces) => Some(offers::more_pieces(said, pieces)),
        // Below a line that could not be read nothing is reported again.
        Statement::Unread => Some(Ok(())),
        _ => None,
    }
}

/// Whether an indented line is by its looks a statement of its own.
fn starts_statement(said: Said<'_>) -> bool {
    let said = days::without_clock(said);
    let (word, _) = said.first_word();
    keywords::log(word.text).is_some() || said.text.contains('=') || days::starts_with_date(said)
}

/// Whether a line that begins with a keyword is a reading all the same: it has a `=` that the keyword's own line would not have.
fn looks_like_reading(keyword: &str, rest: &str) -> bool {
    match keyword {
        "fix" | "job" | "machine" | "owner" | "hours" | "units" => false,
        "did" | "undid" | "note" | "found" | "tool" => rest.starts_with('='),
        _ => rest.contains('=') && !rest.contains(':'),
    }
}

/// Reads one statement by its first word.
fn statement(said: Said<'_>) -> Read<Statement> {
    if days::starts_with_date(said) {
        return memo::kept_or(said, None, days::day);
    }
    let (word, _) = said.first_word();
    let keyword = keywords::log(word.text);
    // Prose is read in no time and hardly ever written twice.
    let is_prose = match keyword {
        Some(keyword) => matches!(keyword, "note" | "photo"),
        None => !said.text.contains('='),
    };
    if is_prose {
        by_first_word(said, keyword)
    } else {
        memo::kept_or(said, keyword, |said| by_first_word(said, keyword))
    }
}

fn by_first_word(said: Said<'_>, keyword: Option<&'static str>) -> Read<Statement> {
    let (_, rest) = said.first_word();
    let Some(keyword) = keyword else {
        return free::line(said);
    };
    // A feature may begin with a keyword: `photo window height = 4 mm`.
    if looks_like_reading(keyword, rest.text) {
        return readings::reading(said);
    }
    if rest.text.is_empty() && keyword != "closed" && keyword != "note" {
        return Err(unread(
            said.span(),
            format!("`{keyword}` says nothing here"),
            usage(keyword),
        ));
    }
    match keyword {
        "job" => Ok(Statement::Head(HeadKind::Job, rest.span())),
        "machine" => Ok(Statement::Head(HeadKind::Machine, rest.span())),
        "owner" => Ok(Statement::Head(HeadKind::Owner, rest.span())),
        "by" => Ok(Statement::Head(HeadKind::By, rest.span())),
        "manual" => Ok(Statement::Manual(rest.span())),
        "procedure" => Ok(Statement::Procedure(rest.span())),
        "units" => Ok(Statement::Units(rest.comma_items())),
        "note" => Ok(Statement::Note(rest.span())),
        "photo" => Ok(Statement::Photo(rest.span())),
        "hours" => days::hours(rest),
        "tool" => named::tool(rest),
        "did" => named::did(rest),
        "undid" => named::undid(rest),
        "found" => named::found(rest),
        "ordered" => named::ordered(rest),
        "got" => named::got(rest),
        "waiting" => named::waiting(rest),
        "chose" => named::chose(rest),
        "stock" => offers::stock(rest),
        "option" => offers::option(rest),
        "cost" => offers::paid(rest),
        "held" => named::held(rest),
        "checked" => named::checked(rest),
        "fix" => fix::fix(rest),
        _ => days::closed(rest),
    }
}
