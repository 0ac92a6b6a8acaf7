//! The `gudgeon` program. Everything is in the library.

use std::process::ExitCode;

/// Judging makes and drops many small things; this allocator does that faster than the system's, the more so on several threads.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    gudgeon::cli::main()
}
