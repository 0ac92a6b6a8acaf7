//! Lines with a date or a time: the day, the meter, the end of the job.

use super::grammar::{Rule, of_keyword};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Statement};
use crate::syntax::said::{BLANKS, Said};
use crate::syntax::unread::Read;

/// Whether the line begins with a date.
pub(super) fn starts_with_date(said: Said<'_>) -> bool {
    let bytes = said.text.as_bytes();
    let digits = |from: usize, to: usize| {
        bytes
            .get(from..to)
            .is_some_and(|part| part.iter().all(u8::is_ascii_digit))
    };
    digits(0, 4) && bytes.get(4) == Some(&b'-') && digits(5, 7) && bytes.get(7) == Some(&b'-') && digits(8, 10)
}

/// Leaves out a time of day before the statement.
pub(in crate::syntax) fn without_clock(said: Said<'_>) -> Said<'_> {
    let bytes = said.text.as_bytes();
    if !bytes.first().is_some_and(u8::is_ascii_digit) {
        return said;
    }
    let hour = bytes.iter().take_while(|b| b.is_ascii_digit()).count();
    let colon = bytes.get(hour) == Some(&b':');
    let minutes = bytes
        .get(hour + 1..hour + 3)
        .is_some_and(|part| part.iter().all(u8::is_ascii_digit));
    let blank = matches!(bytes.get(hour + 3), Some(b' ' | b'\t'));
    if hour <= 2 && colon && minutes && blank {
        said.skip(hour + 3).trim_start()
    } else {
        said
    }
}

/// The time of day in front of a statement, given the line and the same without it.
pub(super) fn clock(line: Said<'_>, behind: Said<'_>) -> Option<Span> {
    let length = behind.base.checked_sub(line.base).filter(|length| *length > 0)?;
    let written = line.text.get(..length)?.trim_end_matches(BLANKS);
    Some(Span::new(line.base, line.base + written.len()))
}

/// `2026-03-14 as found`
pub(super) fn day(said: Said<'_>) -> Read<Statement> {
    let mut date = Span::default();
    let mut stage = None;
    for pair in of_keyword(Rule::day, said, "day", "day")? {
        match pair.as_rule() {
            Rule::date => date = said.span_of(&pair),
            Rule::stage => stage = Some(said.span_of(&pair)),
            _ => {}
        }
    }
    Ok(Statement::Day { date, stage })
}

/// What the meter showed.
pub(super) fn hours(said: Said<'_>) -> Read<Statement> {
    let mut pairs = of_keyword(Rule::hours_line, said, "meter reading", "hours")?;
    let whole = Amount {
        number: said.span(),
        unit: None,
    };
    let meter = pairs.next().map_or(whole, |pair| said.amount(&pair));
    Ok(Statement::Hours(meter))
}

/// `closed`, with a date or without.
pub(super) fn closed(said: Said<'_>) -> Read<Statement> {
    let mut pairs = of_keyword(Rule::closed, said, "line", "closed")?;
    let date = pairs.find(|pair| pair.as_rule() == Rule::date);
    Ok(Statement::Closed(date.map(|pair| said.span_of(&pair))))
}
