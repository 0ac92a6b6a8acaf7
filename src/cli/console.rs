//! Standard output and standard error, in such a way that a closed pipe ends the printing and not the program.

use std::ffi::OsString;
use std::io::{self, BufWriter, IsTerminal, Stdout, Write};

use super::Exit;
use super::args::Colour;
use crate::report::visible::one_line;

/// Columns to write for where there is no terminal.
const WIDTH: usize = 100;

/// Where everything is printed.
pub struct Console {
    out: BufWriter<Stdout>,
    state: State,
    /// Whether anything was printed that may not have appeared yet.
    is_waiting: bool,
}

enum State {
    Open,
    /// Nobody reads any more. That is their right, and no failure.
    Closed,
    Failed,
}

impl Console {
    /// The console of this process.
    pub fn new() -> Self {
        Self {
            out: BufWriter::with_capacity(64 * 1024, io::stdout()),
            state: State::Open,
            is_waiting: false,
        }
    }

    /// Prints a text as it is.
    pub fn print(&mut self, text: &str) {
        self.print_bytes(text.as_bytes());
    }

    /// Prints bytes as they are.
    pub fn print_bytes(&mut self, bytes: &[u8]) {
        if matches!(self.state, State::Open) {
            self.is_waiting = true;
            let done = self.out.write_all(bytes);
            self.note(done);
        }
    }

    /// Makes what was printed so far appear. Where nothing was, standard output is not touched: while the server ends, somebody else may hold it and wait in vain.
    pub fn flush(&mut self) {
        if matches!(self.state, State::Open) && std::mem::take(&mut self.is_waiting) {
            let done = self.out.flush();
            self.note(done);
        }
    }

    /// Whether printing still reaches somebody.
    pub fn is_open(&self) -> bool {
        matches!(self.state, State::Open)
    }

    /// Says something beside the result, on standard error, on one line.
    pub fn tell(&mut self, message: &str) {
        self.flush();
        // If even this cannot be written there is nobody left to tell.
        let _ = writeln!(io::stderr(), "gudgeon: {}", one_line(message, 2_000));
    }

    /// Flushes, and says whether everything could be printed.
    pub fn finish(mut self) -> Exit {
        self.flush();
        match self.state {
            State::Open | State::Closed => Exit::Clean,
            State::Failed => Exit::Failed,
        }
    }

    fn note(&mut self, done: io::Result<()>) {
        let Err(error) = done else {
            return;
        };
        if error.kind() == io::ErrorKind::BrokenPipe {
            self.state = State::Closed;
        } else {
            self.state = State::Failed;
            let why = crate::workspace::discover::why(&error);
            let _ = writeln!(io::stderr(), "gudgeon: could not print: {why}");
        }
    }
}

/// Columns to write for: those of the terminal, within reason, or a hundred.
pub fn width() -> usize {
    match terminal_size::terminal_size() {
        Some((terminal_size::Width(columns), _)) => usize::from(columns).clamp(40, 160),
        None => WIDTH,
    }
}

/// Whether to colour what goes to standard output.
pub fn colours(when: Colour) -> bool {
    match when {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => wanted(io::stdout().is_terminal(), |name| std::env::var_os(name)),
    }
}

/// Whether colour is wanted if nobody said so: on a terminal that has colours, unless `NO_COLOR` is set to anything.
fn wanted(terminal: bool, variable: impl Fn(&str) -> Option<OsString>) -> bool {
    let refused = variable("NO_COLOR").is_some_and(|value| !value.is_empty());
    let dumb = variable("TERM").is_some_and(|value| value == "dumb");
    terminal && !refused && !dumb
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_only_where_it_is_wanted() {
        let with =
            |name: &'static str, value: &'static str| move |asked: &str| (asked == name).then(|| OsString::from(value));
        assert!(wanted(true, |_| None));
        assert!(!wanted(false, |_| None));
        assert!(!wanted(true, with("NO_COLOR", "1")));
        assert!(wanted(true, with("NO_COLOR", "")));
        assert!(!wanted(true, with("TERM", "dumb")));
        assert!(wanted(true, with("TERM", "xterm")));
    }
}
