//! Lines with a name and details behind it: tools, steps, findings, parts, choices.

use super::details::{detail, more_details};
use super::grammar::{Rule, by_rule, of_keyword};
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Detail, Statement};
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, stuck, unread};

/// `tool NAME: KIND, fact …`
pub(super) fn tool(said: Said<'_>) -> Read<Statement> {
    let missing = "a tool needs a colon behind its name";
    colon(said, missing, "tool")?;
    named(Rule::tool_line, said, "tool", "tool").map(|(name, facts)| Statement::Tool(name, facts))
}

/// `found PART: condition, decision`
pub(super) fn found(said: Said<'_>) -> Read<Statement> {
    let missing = "a finding needs a colon between the part and its condition";
    colon(said, missing, "found")?;
    named(Rule::found, said, "finding", "found").map(|(part, rest)| Statement::Found(part, rest))
}

/// `did STEP, detail …`
pub(super) fn did(said: Said<'_>) -> Read<Statement> {
    named(Rule::did, said, "step", "did").map(|(step, rest)| Statement::Did(step, rest))
}

/// `undid STEP, detail …`
pub(super) fn undid(said: Said<'_>) -> Read<Statement> {
    named(Rule::did, said, "step", "undid").map(|(step, rest)| Statement::Undid(step, rest))
}

/// `ordered PART: …`
pub(super) fn ordered(said: Said<'_>) -> Read<Statement> {
    named(Rule::part, said, "line", "ordered").map(|(part, rest)| Statement::Ordered(part, rest))
}

/// `got PART: …`
pub(super) fn got(said: Said<'_>) -> Read<Statement> {
    named(Rule::part, said, "line", "got").map(|(part, rest)| Statement::Got(part, rest))
}

/// `waiting for PART, …`
pub(super) fn waiting(said: Said<'_>) -> Read<Statement> {
    let (word, rest) = said.first_word();
    let is_for = word.text.eq_ignore_ascii_case("for") && !rest.text.is_empty();
    let said = if is_for { rest } else { said };
    named(Rule::part, said, "line", "waiting").map(|(part, rest)| Statement::Waiting(part, rest))
}

/// `checked TOOL, detail …`
pub(super) fn checked(said: Said<'_>) -> Read<Statement> {
    named(Rule::did, said, "line", "checked").map(|(tool, rest)| Statement::Checked(tool, rest))
}

/// `held …`
pub(super) fn held(said: Said<'_>) -> Read<Statement> {
    let mut details = Vec::new();
    more_details(said, &mut details)?;
    Ok(Statement::Held(details))
}

/// `chose PART over PART, …`
pub(super) fn chose(said: Said<'_>) -> Read<Statement> {
    let mut names = Vec::new();
    let mut details = Vec::new();
    for pair in of_keyword(Rule::chose, said, "choice", "chose")? {
        match pair.as_rule() {
            Rule::chose_name => names.push(said.span_of(&pair)),
            _ => details.extend(detail(pair, said)),
        }
    }
    let chosen = names.first().copied().unwrap_or_default();
    Ok(Statement::Chose(chosen, names.get(1).copied(), details))
}

/// A name and the details behind it.
fn named(rule: Rule, said: Said<'_>, what: &str, keyword: &str) -> Read<(Span, Vec<Detail>)> {
    let pairs = by_rule(rule, said).map_err(|at| stuck(said, at, what, usage(keyword)))?;
    let mut name = Span::default();
    let mut details = Vec::new();
    for pair in pairs {
        match pair.as_rule() {
            Rule::tool_name | Rule::found_name | Rule::phrase => name = said.span_of(&pair),
            _ => details.extend(detail(pair, said)),
        }
    }
    Ok((name, details))
}

/// Asks for the colon that parts a name from what is said of it.
fn colon(said: Said<'_>, missing: &str, keyword: &str) -> Read<()> {
    if said.text.contains(':') {
        Ok(())
    } else {
        Err(unread(said.span(), missing, usage(keyword)))
    }
}
