//! Statements that were read before. A shop writes the same lines again and again, in one log and in the next: `did strip gearbox`, `held on centres`. What a line says
//! follows from its words alone, so what was read is kept and moved to where the words stand now. Every third line or so of a repository is met this way. `tests/reparse.rs` holds it against threads that have read nothing before.

use std::cell::RefCell;
use std::num::NonZeroUsize;

use lru::LruCache;
use rustc_hash::FxBuildHasher;

use crate::syntax::ast::Statement;
use crate::syntax::said::Said;
use crate::syntax::spans::{Spans as _, moved};
use crate::syntax::unread::Read;

/// Statements kept, for each thread; some 2 MB.
const MOST: NonZeroUsize = NonZeroUsize::new(4096).expect("not zero");

/// Longest line that is kept, in bytes.
const LONGEST: usize = 120;

thread_local! {
    /// By its words: a statement, and the byte at which it began when it was read.
    static KEPT: RefCell<LruCache<Box<str>, (usize, Statement), FxBuildHasher>> =
        RefCell::new(LruCache::with_hasher(MOST, FxBuildHasher));
}

/// The statement of these words, kept from an earlier line, or read now and kept. What could not be read is not kept.
pub(super) fn kept_or(said: Said<'_>, read: impl FnOnce(Said<'_>) -> Read<Statement>) -> Read<Statement> {
    // At the very start of a file an empty span cannot be told from one that stands for nothing.
    if said.base == 0 || said.text.len() > LONGEST {
        return read(said);
    }
    let known = KEPT.with_borrow_mut(|kept| kept.get(said.text).cloned());
    if let Some((base, mut statement)) = known {
        let by = said.base as i64 - base as i64;
        statement.each_span(&mut |span| *span = moved(*span, by));
        return Ok(statement);
    }
    let statement = read(said)?;
    KEPT.with_borrow_mut(|kept| kept.put(said.text.into(), (said.base, statement.clone())));
    Ok(statement)
}
