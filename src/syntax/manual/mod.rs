//! Reads a manual: limits, sums, precautions and procedures, line by line.

mod grammar;
mod headings;
mod limits;
mod steps;
mod sums;
mod usage;

use super::ast::{ManualTree, Rule as Statement, RuleEntry, SyntaxError};
use super::lines::split;
use super::near::nearest;
use super::said::Said;
use super::unread::{Read, shortened, unread, unreadable};
use super::{Span, keywords};
use usage::usage;

/// Reads a whole manual. Never fails; what could not be read is in `errors`.
pub fn parse_manual(text: &str) -> ManualTree {
    let lines = split(text);
    let mut tree = ManualTree::default();
    for (number, line) in lines.iter().enumerate() {
        if line.is_empty() {
            continue;
        }
        let rule = match unreadable(line, text) {
            Some(problem) => Err(problem),
            None => statement(Said::new(line.content, text)),
        };
        let rule = rule.unwrap_or_else(|error| {
            tree.errors.push(*error);
            Statement::Unread
        });
        tree.entries.push(RuleEntry {
            line: number,
            span: line.content,
            rule,
        });
    }
    tree.lines = lines;
    tree
}

/// Reads one line by its first word.
fn statement(said: Said<'_>) -> Read<Statement> {
    let (word, rest) = said.first_word();
    let Some(keyword) = keywords::manual(word.text) else {
        return without_keyword(said, word);
    };
    let alone = matches!(keyword, "required" | "optional" | "once" | "ahead");
    if rest.text.is_empty() && !alone {
        return Err(unread(
            said.span(),
            format!("`{keyword}` says nothing here"),
            usage(keyword),
        ));
    }
    match keyword {
        "manual" => Ok(Statement::Manual(name(rest))),
        "extends" => Ok(Statement::Extends(rest.span())),
        "source" => Ok(Statement::Source(rest.span())),
        "procedure" => Ok(Statement::Procedure(name(rest))),
        "units" => Ok(Statement::Units(rest.comma_items())),
        "unit" => Ok(Statement::Unit(rest.span())),
        "also" => Ok(Statement::Also(rest.comma_items())),
        "because" => Ok(Statement::Because(rest.span())),
        "required" => Ok(Statement::Required((!rest.text.is_empty()).then(|| rest.span()))),
        "feature" => headings::heading(rest, keyword).map(Statement::Feature),
        "precaution" => headings::heading(rest, keyword).map(Statement::Precaution),
        "calc" => sums::calc(rest),
        "say" => headings::say(rest),
        "decide" => Ok(Statement::Decide(rest.span())),
        "material" => limits::material(rest),
        "alike" => limits::of_keyword_line(said, "alike").map(|(_, limit, source)| Statement::Alike(limit, source)),
        "aim" => limits::of_keyword_line(said, "aim").map(|(_, limit, source)| Statement::Aim(limit, source)),
        "ahead" => Ok(Statement::Ahead),
        "limits" => headings::named_behind(rest, headings::Behind::Limits),
        "agrees" => headings::named_behind(rest, headings::Behind::Agrees),
        "choose" => headings::choose(rest),
        "step" => steps::step(rest),
        "never" => steps::never(rest),
        "one" => steps::one_of(rest),
        "after" | "needs" | "disturbs" | "reads" | "until" | "optional" | "once" | "directly" | "then" | "not"
        | "given" | "if" | "only" | "takes" | "puts" | "renews" | "uses" | "expects" | "pattern" => {
            steps::clauses(said)
        }
        "nominal" => limits::of_stage(said).map(|(_, limit, source)| Statement::Nominal(limit, source)),
        _ => without_keyword(said, word),
    }
}

/// The name behind the keyword, up to a comma.
fn name(rest: Said<'_>) -> Span {
    rest.comma_items().first().copied().unwrap_or_default()
}

/// A line without a keyword of its own: a limit for a stage, or a bound on a step's amount.
fn without_keyword(said: Said<'_>, word: Said<'_>) -> Read<Statement> {
    // A `;` parts clauses, unless it stands in the words behind a comma: a limit's source.
    let before_source = said.text.split(", ").next().unwrap_or("");
    let folded = said.text.to_lowercase();
    // `at least 8 h after first start`: a wait, and no limit of a stage.
    let is_wait = ["at least ", "within ", "at most ", "not under ", "not over "]
        .iter()
        .any(|lead| folded.starts_with(lead));
    if before_source.contains(';') || is_wait {
        return steps::clauses(said);
    }
    let has_figure = said.text.bytes().any(|b| b.is_ascii_digit());
    let bounds = ["up to", "at least", "at most", "rating of"];
    if has_figure || bounds.iter().any(|bound| folded.contains(bound)) || keywords::manual(word.text).is_some() {
        return limits::of_stage(said).map(|(stage, limit, source)| Statement::Limit(stage, limit, source));
    }
    Err(no_such_line(said, word))
}

/// No line begins so; perhaps a keyword with a slip of the pen.
fn no_such_line(said: Said<'_>, word: Said<'_>) -> Box<SyntaxError> {
    let mut error = unread(
        said.span(),
        format!("no line of a manual begins with `{}`", shortened(word.text)),
        "a manual has features, limits, calcs, precautions and procedures; put `#` before a remark",
    );
    // `the` is no slip for `then`.
    let is_slip = |near: &&str| word.text.len() > 3 || near.len() <= 3;
    if let Some(near) = nearest(word.text, keywords::MANUAL.iter().copied()).filter(is_slip) {
        error.help = format!("`{near}` is near: {}", usage(near));
        error.suggestion = Some((word.span(), near.to_owned()));
    }
    error
}
