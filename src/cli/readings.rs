//! The readings of logs as one table: `gudgeon report --as csv`, `--as json`.

use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::Exit;
use super::console::Console;
use super::threads::{guarded, pool};
use crate::report::Unread;
use crate::report::readings::{Form, Row, rows};
use crate::workspace::discover::{Found, discover, read, shown};
use crate::workspace::write::whole;
use crate::workspace::{Kind, Library, analyse};

/// Logs read before their rows are written.
const CHUNK: usize = 128;

/// Writes the figures of all logs that are named or lie in folders that are, one log after the other, as one document.
pub fn run(paths: &[PathBuf], form: Form, out: Option<&Path>, console: &mut Console) -> Exit {
    let found = discover(paths);
    for note in &found.notes {
        console.tell(note);
    }
    let refused = found.unreadable.into_iter().map(|file| (file.path, file.reason));
    let mut unread: Vec<Unread> = refused.map(|(path, reason)| Unread { path, reason }).collect();
    let pool = match pool(0) {
        Ok(pool) => pool,
        Err(why) => {
            console.tell(&why);
            return Exit::Failed;
        }
    };
    let library = Library::new();
    let mut document = Document {
        form,
        whole: out.map(|_| String::new()),
        has_rows: false,
    };
    let mut logs = 0;
    document.add(&form.opening(), console);
    for chunk in found.files.chunks(CHUNK) {
        let read: Vec<Read> = pool.install(|| {
            let files = chunk.par_iter();
            files.map(|file| readings_of(file, paths, &library)).collect()
        });
        for (file, read) in chunk.iter().zip(read) {
            logs += usize::from(file.kind == Kind::Log);
            match read {
                Ok(rows) => document.rows(&rows, console),
                Err(Some(reason)) => unread.push(Unread {
                    path: file.name.clone(),
                    reason,
                }),
                Err(None) => {}
            }
        }
    }
    unread.sort_by(|a, b| a.path.cmp(&b.path));
    for file in &unread {
        console.tell(&format!("{}: {}", file.path, file.reason));
    }
    if logs == 0 && unread.is_empty() {
        console.tell("no log (.rebuild) found there");
    }
    document.add(&form.closing(&unread), console);
    if let (Some(out), Some(text)) = (out, &document.whole)
        && let Err(why) = write_to(out, text)
    {
        console.tell(&format!("{}: {why}", shown(out)));
        return Exit::Failed;
    }
    if logs == 0 || !unread.is_empty() {
        Exit::Failed
    } else {
        Exit::Clean
    }
}

/// The rows of a log; or why there are none, where that is to be told.
type Read = Result<Vec<Row>, Option<String>>;

fn readings_of(file: &Found, paths: &[PathBuf], library: &Library) -> Read {
    if file.kind == Kind::Manual {
        // In a folder they lie beside the logs; one that was named was meant to be read.
        let was_named = paths.contains(&file.path);
        return Err(was_named.then(|| "this is a manual, which has no readings; give a log, FILE.rebuild".to_owned()));
    }
    let rows = || Ok(rows(&analyse(&file.name, file.folder(), read(&file.path)?, library)));
    guarded(rows).map_err(Some)
}

/// What is written so far.
struct Document {
    form: Form,
    /// All of it, where it goes into a file; `None` where it is printed as it comes.
    whole: Option<String>,
    has_rows: bool,
}

impl Document {
    fn rows(&mut self, rows: &[Row], console: &mut Console) {
        let text = self.form.rows(rows, !self.has_rows);
        self.has_rows |= !rows.is_empty();
        self.add(&text, console);
    }

    fn add(&mut self, text: &str, console: &mut Console) {
        match &mut self.whole {
            Some(whole) => whole.push_str(text),
            None => console.print(text),
        }
    }
}

/// Writes the document to a file; what stands there and is no earlier one is left alone.
fn write_to(out: &Path, text: &str) -> Result<(), String> {
    if Kind::of_path(out).is_some() {
        return Err("that is the name of a log or a manual; nothing was written".to_owned());
    }
    let is_earlier = |head: &[u8]| head.starts_with(b"path,line,column,") || head.starts_with(b"{\"gudgeon\":");
    whole(out, text.as_bytes(), is_earlier)
}
