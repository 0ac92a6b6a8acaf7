//! The threads that files are judged on.

use std::panic::{AssertUnwindSafe, catch_unwind};

use rayon::{ThreadPool, ThreadPoolBuilder};

/// Bytes of stack for each thread: as much as the main thread of a program usually has.
const STACK: usize = 8 * 1024 * 1024;

/// So many threads; 0 for as many as there are processors. Fails only where the system gives none, and says so in words.
pub fn pool(count: usize) -> Result<ThreadPool, String> {
    ThreadPoolBuilder::new()
        .num_threads(count)
        .stack_size(STACK)
        .build()
        .map_err(|error| format!("could not start its threads: {error}"))
}

/// What comes of the work on one file. A fault in the program itself costs that file only.
pub fn guarded<T>(work: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work))
        .unwrap_or_else(|_| Err("not judged: a fault in gudgeon itself; please report it".to_owned()))
}
