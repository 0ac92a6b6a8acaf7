//! A line without a keyword: a reading if it has a `=`, prose if it has no figure, else it is asked about.

use super::readings;
use super::usage::usage;
use crate::syntax::Span;
use crate::syntax::ast::{Statement, SyntaxError};
use crate::syntax::keywords;
use crate::syntax::near::nearest;
use crate::syntax::said::Said;
use crate::syntax::unread::{Read, shortened, unread};

/// Whether a text carries a figure.
pub(super) fn has_figure(said: Said<'_>) -> bool {
    said.text.bytes().any(|b| b.is_ascii_digit())
}

/// Reads a line that begins with no keyword.
pub(super) fn line(said: Said<'_>) -> Read<Statement> {
    if said.text.contains('=') {
        return readings::reading(said);
    }
    let figure = has_figure(said);
    if figure || said.text.contains([',', ':']) {
        if let Some(error) = misspelt(said) {
            return Err(error);
        }
        if figure {
            return Err(figure_in_prose(said));
        }
    }
    Ok(Statement::Note(said.span()))
}

/// A keyword with one letter wrong.
fn misspelt(said: Said<'_>) -> Option<Box<SyntaxError>> {
    let (word, rest) = said.first_word();
    let near = nearest(word.text, keywords::LOG.iter().copied())?;
    let slip = near.len() > 2 && !rest.text.is_empty() && strsim::osa_distance(near, &word.text.to_lowercase()) == 1;
    if !slip {
        return None;
    }
    let mut error = unread(
        word.span(),
        format!("no line begins with `{}`", word.text),
        format!("`{near}` is near: {}", usage(near)),
    );
    error.suggestion = Some((word.span(), near.to_owned()));
    Some(error)
}

/// A line with a figure that is neither a reading nor a step, and how it may have been meant.
fn figure_in_prose(said: Said<'_>) -> Box<SyntaxError> {
    let mut error = unread(
        said.span(),
        "this line carries a figure, but is neither a reading nor a step",
        "a reading is `web width = 52.03 mm`, a step is `did press together, force 6 t`; prose goes behind `note`",
    );
    let first = said.text.split([' ', '\t', ',']).next().unwrap_or("");
    if is_date(first) {
        error.help = "a date is written 2026-03-14, year first; prose goes behind `note`".to_owned();
        error.suggestion = year_first(first).map(|date| (Span::new(said.base, said.base + first.len()), date));
        return error;
    }
    let before = said.first_figure().unwrap_or(said.text.len());
    let name = said.text.get(..before).unwrap_or("").trim_end();
    if name.is_empty() {
        return error;
    }
    if is_prose(name) {
        error.help = "prose with a figure in it goes behind `note`, so that no reading is lost among it".to_owned();
        error.suggestion = Some((Span::new(said.base, said.base), "note ".to_owned()));
        return error;
    }
    let shown = shortened(name);
    error.help = format!("a reading has a `=`: `{shown} = …`; a step begins with `did`; prose goes behind `note`");
    let with_sign = format!("{name} = {}", said.text.get(name.len()..).unwrap_or("").trim_start());
    let mended = Said {
        text: &with_sign,
        base: 0,
    };
    if let Ok(Statement::Reading(_)) = readings::reading(mended) {
        let place = said.base + name.len();
        error.suggestion = Some((Span::new(place, place), " =".to_owned()));
    }
    error
}

/// Whether a text begins as a sentence does, not as the name of a feature does.
fn is_prose(name: &str) -> bool {
    const OPENERS: &[&str] = &[
        "a", "about", "after", "all", "also", "an", "and", "as", "before", "but", "he", "i", "if", "in", "it", "now",
        "only", "she", "so", "still", "that", "the", "then", "there", "they", "this", "today", "took", "used", "was",
        "we", "when", "will", "with",
    ];
    let words = name.split([' ', '\t']).filter(|word| !word.is_empty());
    let first = name.split([' ', '\t', ',']).next().unwrap_or("");
    words.count() > 6 || OPENERS.iter().any(|opener| opener.eq_ignore_ascii_case(first))
}

/// Whether a word has the looks of a date: figures with two `/`, `.` or `-` between them, or one slash.
fn is_date(word: &str) -> bool {
    let separators = word.matches(['/', '.', '-']).count();
    let figures = word
        .split(['/', '.', '-'])
        .all(|part| (1..=4).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit()));
    figures && (separators == 2 || (separators == 1 && word.contains('/')))
}

/// The date with its year first, where there is no doubt which figure is which.
fn year_first(word: &str) -> Option<String> {
    let parts: Vec<&str> = word.split(['/', '.', '-']).collect();
    let [a, b, c] = parts.as_slice() else {
        return None;
    };
    let number = |part: &str| part.parse::<u32>().ok();
    let (year, month, day) = if a.len() == 4 {
        (a, number(b)?, number(c)?)
    } else if c.len() == 4 && word.contains('.') {
        (c, number(b)?, number(a)?)
    } else {
        return None;
    };
    ((1..=12).contains(&month) && (1..=31).contains(&day)).then(|| format!("{year}-{month:02}-{day:02}"))
}
