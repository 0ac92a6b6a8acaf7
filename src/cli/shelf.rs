//! `gudgeon shelf`: the manuals that are built in.

use unicode_width::UnicodeWidthStr;

use super::Exit;
use super::args::ShelfArgs;
use super::console::Console;
use super::nearest::{nearest, offer};
use crate::shelf::all;

/// Runs the command.
pub fn run(args: &ShelfArgs, console: &mut Console) -> Exit {
    let Some(wanted) = &args.name else {
        let widest = all().iter().map(|entry| entry.name.width()).max();
        for entry in all() {
            let gap = widest.unwrap_or(0) - entry.name.width() + 2;
            console.print(&format!("{}{:gap$}{}\n", entry.name, "", entry.about()));
        }
        return Exit::Clean;
    };
    let name = plain(wanted);
    let entry = all()
        .iter()
        .find(|entry| plain(entry.name) == name || plain(entry.file.trim_end_matches(".manual")) == name);
    match entry {
        Some(entry) => {
            console.print(entry.text);
            Exit::Clean
        }
        None => {
            let near = nearest(&name, all().iter().map(|entry| entry.name));
            console.tell(&format!(
                "there is no manual {wanted} on the shelf.{} gudgeon shelf lists them all.",
                offer(&near)
            ));
            Exit::Failed
        }
    }
}

/// A name without regard to case and spacing.
fn plain(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
