//! `gudgeon start`: a new log to fill in.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use super::Exit;
use super::args::StartArgs;
use super::console::Console;
use crate::workspace::discover::{folder_of, shown, why};
use crate::workspace::{Kind, Library, start};

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
    match write_new(out, &text) {
        Ok(()) => {
            console.tell(&format!("{}: begun", shown(out)));
            Exit::Clean
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            console.tell(&format!(
                "{}: exists already, and is not written over; choose another name",
                shown(out)
            ));
            Exit::Failed
        }
        Err(error) => {
            console.tell(&format!("{}: cannot be written: {}", shown(out), why(&error)));
            Exit::Failed
        }
    }
}

/// Writes a file that must not exist yet. Half a file is taken away again.
fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let mut file = fs::File::create_new(path)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    if written.is_err() {
        let _ = fs::remove_file(path);
    }
    written
}
