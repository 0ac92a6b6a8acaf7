//! The readings of logs as one table: `gudgeon report --as csv`, `--as json`.

use std::path::PathBuf;

use super::Exit;
use super::console::Console;
use crate::report::Unread;
use crate::report::readings::{Form, rows};
use crate::workspace::discover::{discover, read};
use crate::workspace::{Kind, Library, analyse};

/// Writes the figures of all logs that are named or lie in folders that are, one log after the other, as one document.
pub fn run(paths: &[PathBuf], form: Form, console: &mut Console) -> Exit {
    let found = discover(paths);
    for note in &found.notes {
        console.tell(note);
    }
    let refused = found.unreadable.into_iter().map(|file| (file.path, file.reason));
    let mut unread: Vec<Unread> = refused.map(|(path, reason)| Unread { path, reason }).collect();
    let library = Library::new();
    let (mut logs, mut figures) = (0, 0);
    console.print(&form.opening());
    for file in &found.files {
        if file.kind == Kind::Manual {
            // In a folder they lie beside the logs; one that was named was meant to be read.
            if paths.contains(&file.path) {
                unread.push(Unread {
                    path: file.name.clone(),
                    reason: "this is a manual, which has no readings; give a log, FILE.rebuild".to_owned(),
                });
            }
            continue;
        }
        logs += 1;
        match read(&file.path) {
            Ok(bytes) => {
                let rows = rows(&analyse(&file.name, file.folder(), bytes, &library));
                console.print(&form.rows(&rows, figures == 0));
                figures += rows.len();
            }
            Err(reason) => unread.push(Unread {
                path: file.name.clone(),
                reason,
            }),
        }
    }
    unread.sort_by(|a, b| a.path.cmp(&b.path));
    for file in &unread {
        console.tell(&format!("{}: {}", file.path, file.reason));
    }
    if logs == 0 && unread.is_empty() {
        console.tell("no log (.rebuild) found there");
    }
    console.print(&form.closing(&unread));
    if logs == 0 || !unread.is_empty() {
        Exit::Failed
    } else {
        Exit::Clean
    }
}
