//! The grammar of a manual, made from `grammar/common.pest` and `grammar/manual.pest`.

use pest::iterators::Pairs;
use pest_derive::Parser;

use super::usage::usage;
use crate::syntax::run::read;
use crate::syntax::said::Said;
use crate::syntax::unread::Read;

#[derive(Parser)]
#[grammar = "../grammar/common.pest"]
#[grammar = "../grammar/manual.pest"]
struct ManualGrammar;

/// The pairs of the line of a keyword; where the rule gives up, `what` names the line and the keyword's usage is the help.
pub(super) fn of_keyword<'a>(rule: Rule, said: Said<'a>, what: &str, keyword: &str) -> Read<Pairs<'a, Rule>> {
    read::<ManualGrammar, Rule>(rule, said, what, usage(keyword))
}
