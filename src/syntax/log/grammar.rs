//! The grammar of a log, made from `grammar/common.pest` and `grammar/log.pest`.

use pest::iterators::Pairs;
use pest_derive::Parser;

use super::usage::usage;
use crate::syntax::run::{read, run};
use crate::syntax::said::Said;
use crate::syntax::unread::Read;

#[derive(Parser)]
#[grammar = "../grammar/common.pest"]
#[grammar = "../grammar/log.pest"]
struct LogGrammar;

/// The pairs inside the rule, or the byte at which it gave up.
pub(super) fn by_rule(rule: Rule, said: Said<'_>) -> Result<Pairs<'_, Rule>, usize> {
    run::<LogGrammar, Rule>(rule, said.text)
}

/// The pairs of the line of a keyword; where the rule gives up, `what` names the line and the keyword's usage is the help.
pub(super) fn of_keyword<'a>(rule: Rule, said: Said<'a>, what: &str, keyword: &str) -> Read<Pairs<'a, Rule>> {
    read::<LogGrammar, Rule>(rule, said, what, usage(keyword))
}
