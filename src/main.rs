//! The `gudgeon` program. Everything is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    gudgeon::cli::main()
}
