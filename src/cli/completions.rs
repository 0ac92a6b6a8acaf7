//! `gudgeon completions`: what makes a shell complete the words of this program, written from the command line's own definition.

use super::Exit;
use super::args::CompletionsArgs;
use super::console::Console;

/// Runs the command.
pub fn run(args: &CompletionsArgs, console: &mut Console) -> Exit {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut super::command(), "gudgeon", &mut script);
    console.print_bytes(&script);
    Exit::Clean
}
