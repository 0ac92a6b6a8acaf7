//! What a client may have carried out by name.

use std::sync::Arc;

use serde_json::Value;
use tower_lsp::Client;
use tower_lsp::ls_types::{MessageType, Range, TextEdit, Uri};

use super::convert::edits::workspace_edit;
use super::document::Snapshot;
use super::session::Session;
use super::watching::ask;
use crate::editor::Page;
use crate::judge::next::next;
use crate::report;
use crate::workspace::start;

/// Tells what is to be done next in a job; gives it as plain text.
pub const NEXT: &str = "gudgeon.next";
/// Fills an empty log with the head, the steps and the readings that a manual asks for.
pub const START: &str = "gudgeon.start";
/// Gives the text of a document as the server holds it.
pub const TEXT: &str = "gudgeon.text";

/// Every command.
pub const ALL: [&str; 3] = [NEXT, START, TEXT];

/// How many lines of what comes next are shown at once.
const SHOWN: usize = 12;

/// The address that a command is about.
pub fn about(arguments: &[Value]) -> Option<Uri> {
    arguments.first()?.as_str()?.parse().ok()
}

/// What is to be done next, as text.
pub fn what_next(snapshot: &Snapshot) -> Result<String, String> {
    let page = snapshot.page();
    match &*page {
        Page::Log(analysis) => {
            let text = report::next::text(analysis, &next(analysis), 80);
            // Whoever reads it has the file before them: its own name is enough.
            let name = &analysis.source.name;
            let file = snapshot.identity.path.as_deref().and_then(|path| path.file_name());
            let rest = text.strip_prefix(name.as_str()).zip(file);
            Ok(rest.map_or(text.clone(), |(rest, file)| format!("{}{rest}", file.to_string_lossy())))
        }
        Page::Manual(_) => Err("a manual has nothing to be done; ask it of a log".to_owned()),
    }
}

/// Shows the beginning of a text, for a client that does nothing with what a command gives.
pub fn show(session: &Arc<Session>, client: &Client, text: &str) {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty());
    let mut shown: Vec<&str> = lines.by_ref().take(SHOWN).collect();
    if lines.next().is_some() {
        shown.push("…");
    }
    let message = shown.join("\n");
    let client = client.clone();
    ask(&session.runtime, async move {
        client.show_message(MessageType::INFO, message).await;
    });
}

/// Has the client write a new log into a document that is still empty.
pub fn new_log(session: &Arc<Session>, client: &Client, snapshot: &Snapshot, manual: &str) -> Result<(), String> {
    if !snapshot.source.text.trim().is_empty() {
        return Err("this log is not empty; a new one is only written into an empty file".to_owned());
    }
    let text = start(manual, snapshot.folder(), &snapshot.library)?;
    let facts = Arc::clone(&session.state().facts);
    if !facts.applies_edits {
        return Err("this editor takes no edits from a server; `gudgeon start` prints the same".to_owned());
    }
    let edit = TextEdit {
        range: Range::default(),
        new_text: text,
    };
    let files = vec![(snapshot.identity.uri.clone(), Some(snapshot.version), vec![edit])];
    let edit = workspace_edit(files, &facts);
    let client = client.clone();
    ask(&session.runtime, async move { client.apply_edit(edit).await });
    Ok(())
}
