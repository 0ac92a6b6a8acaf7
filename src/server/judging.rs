//! The thread that judges open documents and tells what it found. One thread, so that what is told of a document never goes back in time.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use tower_lsp::Client;
use tower_lsp::ls_types::MessageType;

use super::convert::findings::diagnostics;
use super::document::Snapshot;
use super::session::Session;

/// Starts the thread.
pub fn start(session: &Arc<Session>, client: Client) {
    let session = Arc::clone(session);
    // Long chains of sums go deep.
    let thread = std::thread::Builder::new().stack_size(8 * 1024 * 1024);
    let started = thread.spawn(move || {
        while let Some(snapshot) = session.next_dirty() {
            let judged = catch_unwind(AssertUnwindSafe(|| judge(&session, &client, &snapshot)));
            if judged.is_err() {
                let message = format!(
                    "gudgeon could not judge {}: a fault of the program; the file is left as it is",
                    snapshot.source.name
                );
                session
                    .runtime
                    .block_on(client.log_message(MessageType::ERROR, message));
            }
        }
    });
    debug_assert!(started.is_ok(), "a thread can be started");
}

/// Judges a text and tells what was found, unless it was typed over meanwhile.
fn judge(session: &Session, client: &Client, snapshot: &Arc<Snapshot>) {
    let facts = Arc::clone(&session.state().facts);
    if facts.pulls {
        return;
    }
    let page = snapshot.page();
    let uri = &snapshot.identity.uri;
    let items = diagnostics(page.findings(), &snapshot.source, uri, &facts);
    let is_current = session.snapshot(uri).is_some_and(|now| Arc::ptr_eq(&now, snapshot));
    if is_current {
        let told = client.publish_diagnostics(uri.clone(), items, Some(snapshot.version));
        session.runtime.block_on(told);
    }
}
