//! Runs one grammar rule over one line, for logs and manuals alike.

use pest::iterators::{Pair, Pairs};
use pest::{Parser, RuleType};

use super::said::Said;
use super::unread::{Read, stuck};

/// The pairs inside the rule, or the byte at which it gave up.
pub(super) fn run<G: Parser<R>, R: RuleType>(rule: R, text: &str) -> Result<Pairs<'_, R>, usize> {
    match G::parse(rule, text) {
        Ok(mut pairs) => Ok(match pairs.next() {
            Some(pair) => Pair::into_inner(pair),
            None => pairs,
        }),
        Err(error) => Err(match error.location {
            pest::error::InputLocation::Pos(at) | pest::error::InputLocation::Span((at, _)) => at,
        }),
    }
}

/// The same, with the usual message where the rule gave up.
pub(super) fn read<'a, G: Parser<R>, R: RuleType>(
    rule: R,
    said: Said<'a>,
    what: &str,
    help: &str,
) -> Read<Pairs<'a, R>> {
    run::<G, R>(rule, said.text).map_err(|at| stuck(said, at, what, help))
}
