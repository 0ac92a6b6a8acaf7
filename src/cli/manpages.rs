//! `gudgeon manpages`: a manual page for the program and one for each command, written from the command line's own definition.

use std::fs;
use std::io;

use clap_mangen::Man;
use clap_mangen::roff::{Roff, roman};

use super::Exit;
use super::args::ManpagesArgs;
use super::console::Console;
use crate::workspace::discover::{shown, why};
use crate::workspace::write::whole;

/// Runs the command. All pages are made before the first is written.
pub fn run(args: &ManpagesArgs, console: &mut Console) -> Exit {
    let folder = &args.folder;
    let pages = match pages() {
        Ok(pages) => pages,
        Err(error) => {
            console.tell(&format!("the pages cannot be made: {}", why(&error)));
            return Exit::Failed;
        }
    };
    if let Err(error) = fs::create_dir_all(folder) {
        console.tell(&format!(
            "{}: the folder cannot be made: {}",
            shown(folder),
            why(&error)
        ));
        return Exit::Failed;
    }
    let mut exit = Exit::Clean;
    for (name, page) in pages {
        let path = folder.join(&name);
        // A page of this name in a folder of pages is an earlier one, whoever wrote it.
        match whole(&path, &page, |_| true) {
            Ok(()) => console.print(&format!("{}\n", shown(&path))),
            Err(why) => {
                console.tell(&format!("{}: {why}", shown(&path)));
                exit = Exit::Failed;
            }
        }
    }
    exit
}

/// Each page by the name of its file.
fn pages() -> io::Result<Vec<(String, Vec<u8>)>> {
    let mut command = super::command().disable_help_subcommand(true);
    command.build();
    let mut all = vec![command.clone()];
    all.extend(command.get_subcommands().cloned());
    let names: Vec<String> = all.iter().map(name_of).collect();
    all.into_iter()
        .map(|command| {
            let name = name_of(&command);
            Ok((format!("{name}.1"), page(command, &name, &names)?))
        })
        .collect()
}

/// `gudgeon-inspect`
fn name_of(command: &clap::Command) -> String {
    command.get_display_name().unwrap_or(command.get_name()).to_owned()
}

/// One page. What stands behind the options in `--help` becomes sections of its own, as readers of manual pages look for them.
fn page(command: clap::Command, name: &str, names: &[String]) -> io::Result<Vec<u8>> {
    let behind = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let has_commands = command.has_subcommands();
    let man = Man::new(command).source(concat!("gudgeon ", env!("CARGO_PKG_VERSION")));
    let mut out = Vec::new();
    man.render_title(&mut out)?;
    man.render_name_section(&mut out)?;
    man.render_synopsis_section(&mut out)?;
    man.render_description_section(&mut out)?;
    man.render_options_section(&mut out)?;
    if has_commands {
        man.render_subcommands_section(&mut out)?;
    }
    let (examples, lines): (Vec<&str>, Vec<&str>) = behind.lines().partition(|line| line.starts_with(EXAMPLE));
    let (exits, notes): (Vec<&str>, Vec<&str>) = lines.into_iter().partition(|line| line.starts_with(EXITS));
    let mut roff = Roff::new();
    section(&mut roff, "NOTES", notes);
    section(
        &mut roff,
        "EXIT STATUS",
        exits.iter().map(|line| line.trim_start_matches(EXITS)).collect(),
    );
    section(
        &mut roff,
        "EXAMPLES",
        examples.iter().map(|line| line.trim_start_matches(EXAMPLE)).collect(),
    );
    let others = names
        .iter()
        .filter(|other| *other != name)
        .map(|other| format!("{other}(1)"));
    let others: Vec<String> = others.collect();
    section(&mut roff, "SEE ALSO", vec![&others.join(", ")]);
    roff.to_writer(&mut out)?;
    Ok(out)
}

/// What an example in `--help` begins with.
const EXAMPLE: &str = "Example: ";
/// What the exit codes in `--help` begin with.
const EXITS: &str = "Exit codes: ";

/// A section of lines, none if it would be empty.
fn section(roff: &mut Roff, heading: &str, lines: Vec<&str>) {
    if lines.is_empty() {
        return;
    }
    roff.control("SH", [heading]);
    for line in lines {
        roff.text([roman(line)]);
        roff.control("br", []);
    }
}
