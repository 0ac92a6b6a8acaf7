//! Writes a repository of invented rebuild logs, to measure speed by hand: `cargo run --release --example repository -- FOLDER FILES LINES SEED`.
//!
//! The same arguments always give the same bytes. Files are written one after another, so that millions of lines take no memory.

#[path = "../tests/generate/mod.rs"]
mod generate;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize| args.get(at).and_then(|text| text.parse::<u64>().ok());
    let (Some(folder), Some(files), Some(lines), Some(seed)) = (args.first(), number(1), number(2), number(3)) else {
        eprintln!("usage: repository FOLDER FILES LINES SEED");
        return ExitCode::from(2);
    };
    let repository = generate::Repository { files, lines, seed };
    match repository.write(Path::new(folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{folder}: {why}");
            ExitCode::FAILURE
        }
    }
}
