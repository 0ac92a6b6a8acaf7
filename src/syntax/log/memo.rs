//! Statements that were read before. A shop writes the same lines again and again, in one log and in the next: `did strip gearbox`, `held on centres`, and readings that differ
//! in their figures alone. What a line says follows from its words and from where its figures stand, hardly ever from which figures they are; so what was read is kept under the
//! line's shape, its figures all made 0, and moved to where the words stand now. Four lines in five of a repository, prose and rows of tables left aside, are met this way. `tests/reparse.rs` holds it against
//! threads that have read nothing before, and against the same lines with other figures.

use std::cell::RefCell;
use std::num::NonZeroUsize;

use lru::LruCache;
use rustc_hash::FxBuildHasher;

use crate::syntax::ast::Statement;
use crate::syntax::said::{BLANKS, Said};
use crate::syntax::spans::{Spans as _, moved};
use crate::syntax::unread::Read;

/// Statements kept, for each thread; some 2 MB.
const MOST: NonZeroUsize = NonZeroUsize::new(4096).expect("not zero");

/// Longest line that is kept, in bytes.
const LONGEST: usize = 120;

/// What one thread keeps.
struct Memo {
    /// By its shape: a statement, and the byte at which it began when it was read.
    kept: LruCache<Box<str>, (usize, Statement), FxBuildHasher>,
    /// Room for the shape of the line at hand.
    shape: String,
}

thread_local! {
    static MEMO: RefCell<Memo> = RefCell::new(Memo {
        kept: LruCache::with_hasher(MOST, FxBuildHasher),
        shape: String::new(),
    });
}

/// The statement of a line of this keyword, kept from an earlier line of its shape, or read now and kept. What could not be read is not kept.
pub(super) fn kept_or(
    said: Said<'_>,
    keyword: Option<&str>,
    read: impl FnOnce(Said<'_>) -> Read<Statement>,
) -> Read<Statement> {
    // At the very start of a file an empty span cannot be told from one that stands for nothing.
    if said.base == 0 || said.text.len() > LONGEST {
        return read(said);
    }
    let known = MEMO.with_borrow_mut(|memo| {
        memo.shape.clear();
        push_shape(said.text, keyword, &mut memo.shape);
        memo.kept.get(memo.shape.as_str()).cloned()
    });
    if let Some((base, mut statement)) = known {
        let by = said.base as i64 - base as i64;
        statement.each_span(&mut |span| *span = moved(*span, by));
        return Ok(statement);
    }
    let statement = read(said)?;
    MEMO.with_borrow_mut(|memo| {
        memo.kept
            .put(memo.shape.as_str().into(), (said.base, statement.clone()))
    });
    Ok(statement)
}

/// Adds the shape of a line: every figure 0, but where a line's meaning hangs on which figures they are. Those are counts (`18.2 x3`, `over 8 jobs`), ratios (`50:1`) and
/// fractions of an inch (`3/8 in`).
fn push_shape(text: &str, keyword: Option<&str>, shape: &mut String) {
    if matches!(keyword, Some("option" | "cost")) || counts(text) {
        shape.push_str(text);
    } else {
        shape.extend(text.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }));
    }
}

/// Whether an `x`, a colon or a stroke stands beside a figure, blanks left aside.
fn counts(text: &str) -> bool {
    let mut last = ' ';
    for c in text.chars().filter(|c| !BLANKS.contains(c)) {
        let is_mark = |c: char| matches!(c, ':' | '/' | 'x' | 'X' | '×');
        if (c.is_ascii_digit() && is_mark(last)) || (last.is_ascii_digit() && matches!(c, ':' | '/')) {
            return true;
        }
        last = c;
    }
    false
}
