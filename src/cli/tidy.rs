//! `gudgeon tidy`: lays files out neatly. A file is replaced whole or not at all, and only if it is still the very text that was read.

use std::fmt::Write as _;
use std::panic::catch_unwind;
use std::path::Path;
use std::{fs, io};

use rayon::prelude::*;

use super::Exit;
use super::args::TidyArgs;
use super::console::Console;
use super::inspect::{input, searched};
use crate::report::visible::one_line;
use crate::syntax::layout::tidy;
use crate::workspace::Kind;
use crate::workspace::discover::{Found, discover, read, read_stream};
use crate::workspace::write::instead;

/// Files worked on before their names are printed.
const CHUNK: usize = 128;

/// Longest line that is shown, in characters.
const MOST_SHOWN: usize = 160;

/// What came of a file.
enum Outcome {
    /// Nothing to do.
    Tidy,
    /// It was changed, or would be: what to print about it.
    Changed(String),
    /// It could not be read or written: why.
    Failed(String),
}

/// Runs the command.
pub fn run(args: &TidyArgs, console: &mut Console) -> Exit {
    let stdin = args.paths.iter().any(|path| path == Path::new("-"));
    let Some(input) = input(stdin, args.name.as_deref(), console) else {
        return Exit::Failed;
    };
    if input.is_some() && args.paths.len() > 1 {
        console.tell("- stands alone: its result is printed, and nothing else may be printed with it");
        return Exit::Failed;
    }
    if let Some(input) = input {
        return stream(&input.name, input.kind, args.dry, console);
    }

    let found = discover(&searched(&args.paths));
    for note in &found.notes {
        console.tell(note);
    }
    let mut exit = Exit::Clean;
    for unreadable in &found.unreadable {
        console.tell(&format!("{}: {}", unreadable.path, unreadable.reason));
        exit = Exit::Failed;
    }
    if found.files.is_empty() {
        if exit == Exit::Clean {
            console.tell("no log (.rebuild) and no manual (.manual) found there");
        }
        return Exit::Failed;
    }
    let files = once(found.files);
    let (mut changed, mut same, mut failed) = (0, 0, 0);
    for chunk in files.chunks(CHUNK) {
        let outcomes: Vec<Outcome> = chunk
            .par_iter()
            .map(|file| {
                // A fault in the program itself costs that file only, and leaves it as it is.
                catch_unwind(|| one(file, args.dry))
                    .unwrap_or_else(|_| Outcome::Failed("a fault in gudgeon itself; please report it".to_owned()))
            })
            .collect();
        for (file, outcome) in chunk.iter().zip(outcomes) {
            match outcome {
                Outcome::Tidy => same += 1,
                Outcome::Changed(said) => {
                    changed += 1;
                    console.print(&said);
                }
                Outcome::Failed(reason) => {
                    failed += 1;
                    console.tell(&format!("{}: {reason}", file.name));
                }
            }
        }
        console.flush();
    }
    let verb = if args.dry { "would change" } else { "tidied" };
    let mut sum = format!("{} {verb}, {same} tidy already", files_of(changed));
    if failed > 0 {
        let _ = write!(sum, ", {failed} left alone");
        exit = Exit::Failed;
    }
    console.print(&format!("{sum}.\n"));
    if args.dry && changed > 0 {
        exit = exit.max(Exit::Found);
    }
    exit
}

/// Tidies standard input to standard output.
fn stream(name: &str, kind: Kind, dry: bool, console: &mut Console) -> Exit {
    let read = read_stream(io::stdin().lock()).and_then(text);
    let old = match read {
        Ok(text) => text,
        Err(reason) => {
            console.tell(&format!("{name}: {reason}"));
            return Exit::Failed;
        }
    };
    let new = tidy(&old, kind);
    if !dry {
        console.print(&new);
        return Exit::Clean;
    }
    if new == old {
        return Exit::Clean;
    }
    console.print(&differences(name, &old, &new));
    Exit::Found
}

/// Each file once, even if links lead to it under several names: two threads must not write the same file.
fn once(mut files: Vec<Found>) -> Vec<Found> {
    let mut seen = rustc_hash::FxHashSet::default();
    files.retain(|file| match fs::canonicalize(&file.path) {
        Ok(real) => seen.insert(real),
        Err(_) => true,
    });
    files
}

/// Tidies one file.
fn one(file: &Found, dry: bool) -> Outcome {
    let result = read(&file.path).and_then(|bytes| {
        let old = text(bytes)?;
        let new = tidy(&old, file.kind);
        if new == old {
            return Ok(Outcome::Tidy);
        }
        if dry {
            return Ok(Outcome::Changed(differences(&file.name, &old, &new)));
        }
        instead(&file.path, old.as_bytes(), new.as_bytes())?;
        let name = one_line(&file.name, 400);
        Ok(Outcome::Changed(format!("tidied {name}\n")))
    });
    result.unwrap_or_else(Outcome::Failed)
}

/// Bytes as text. What is not UTF-8 is left alone, since laying it out would lose bytes.
fn text(bytes: Vec<u8>) -> Result<String, String> {
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = error.as_bytes().get(..good).unwrap_or(&[]);
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        format!("not UTF-8 text: the first bad byte is in line {line}; left as it is")
    })
}

/// The lines that differ, old and new. Tidying keeps lines one to one; if it ever does not, all lines between the first
/// and the last difference are shown.
fn differences(name: &str, old: &str, new: &str) -> String {
    let before: Vec<&str> = old.split_inclusive('\n').collect();
    let after: Vec<&str> = new.split_inclusive('\n').collect();
    let mut body = String::new();
    let mut lines = 0;
    if before.len() == after.len() {
        for (number, (a, b)) in before.iter().zip(&after).enumerate() {
            if a != b {
                lines += 1;
                line(&mut body, number, '-', a);
                line(&mut body, number, '+', b);
            }
        }
    } else {
        let head = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
        let tail = before
            .iter()
            .skip(head)
            .rev()
            .zip(after.iter().skip(head).rev())
            .take_while(|(a, b)| a == b)
            .count();
        let old_end = before.len() - tail;
        let new_end = after.len() - tail;
        for (number, a) in before.iter().enumerate().take(old_end).skip(head) {
            line(&mut body, number, '-', a);
        }
        for (number, b) in after.iter().enumerate().take(new_end).skip(head) {
            line(&mut body, number, '+', b);
        }
        lines = (old_end - head).max(new_end - head);
    }
    let noun = if lines == 1 { "line" } else { "lines" };
    let name = one_line(name, 400);
    format!("{name}: {lines} {noun} would change\n{body}")
}

/// One line of a difference. Blanks at its end and a missing line end are made visible, since they may be all there is.
fn line(out: &mut String, number: usize, sign: char, text: &str) {
    let (body, end) = match text.strip_suffix('\n') {
        Some(body) => (body, ""),
        None => (text, "  (no line end)"),
    };
    let kept = body.trim_end_matches([' ', '\t']);
    let blanks = "·".repeat(body.len() - kept.len());
    let shown = one_line(&format!("{kept}{blanks}"), MOST_SHOWN);
    let _ = writeln!(out, "{:>6} {sign} {shown}{end}", number + 1);
}

fn files_of(number: usize) -> String {
    format!("{number} {}", if number == 1 { "file" } else { "files" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_may_be_in_the_blanks_or_the_line_ends_alone() {
        let shown = differences("a.rebuild", "job x \t\nb\r\nc", "job x\nb\nc\n");
        assert_eq!(
            shown,
            "a.rebuild: 3 lines would change\n     1 - job x··\n     1 + job x\n     2 - b␍\n     2 + b\n     \
             3 - c  (no line end)\n     3 + c\n"
        );
    }

    #[test]
    fn lines_that_were_added_or_taken_away_are_shown_together() {
        let shown = differences("a.rebuild", "a\nb\n\n\nc\n", "a\nb\n\nc\n");
        assert_eq!(shown, "a.rebuild: 1 line would change\n     4 - \n");
    }
}
