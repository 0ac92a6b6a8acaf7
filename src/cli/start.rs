//! `gudgeon start`: a new log to fill in.

use std::path::Path;

use super::Exit;
use super::args::StartArgs;
use super::console::Console;
use crate::workspace::discover::{folder_of, shown};
use crate::workspace::{Kind, Library, start, write};

/// Runs the command.
pub fn run(args: &StartArgs, console: &mut Console) -> Exit {
    let folder = args.out.as_deref().map_or(Path::new("."), folder_of);
    if let Some(out) = &args.out
        && Kind::of_path(out) != Some(Kind::Log)
    {
        console.tell(&format!("{}: the name of a log must end in .rebuild", shown(out)));
        return Exit::Failed;
    }
    let text = match start(&args.manual, folder, &Library::new()) {
        Ok(text) => text,
        Err(message) => {
            console.tell(&message);
            return Exit::Failed;
        }
    };
    let Some(out) = &args.out else {
        console.print(&text);
        return Exit::Clean;
    };
    match write::new(out, text.as_bytes()) {
        Ok(()) => {
            console.tell(&format!("{}: begun", shown(out)));
            Exit::Clean
        }
        Err(why) => {
            console.tell(&format!("{}: {why}", shown(out)));
            Exit::Failed
        }
    }
}
