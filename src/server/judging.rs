//! The thread that judges open documents and tells what it found. One thread, so that what is told of a document never goes back in time.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, PoisonError};
use std::time::Duration;

use tower_lsp::Client;
use tower_lsp::ls_types::MessageType;

use super::convert::findings::diagnostics;
use super::document::Snapshot;
use super::session::Session;
use super::watching::{publish, wait};
use crate::editor::glance::Judged;
use crate::editor::{self, Page};

/// Judges what is to be judged until serving ends.
pub fn run(session: &Session, client: &Client) {
    while let Some(snapshot) = session.next_dirty() {
        let judged = catch_unwind(AssertUnwindSafe(|| judge(session, client, &snapshot)));
        if judged.is_err() {
            let message = format!(
                "gudgeon could not judge {}: a fault of the program; the file is left as it is",
                snapshot.source.name
            );
            let client = client.clone();
            wait(&session.runtime, async move {
                client.log_message(MessageType::ERROR, message).await;
            });
        }
    }
}

/// How long judging may take before what was just typed is looked at by itself first.
const QUICK: Duration = Duration::from_millis(3);

/// Judges a text and tells what was found, unless it was typed over meanwhile.
fn judge(session: &Session, client: &Client, snapshot: &Arc<Snapshot>) {
    let facts = Arc::clone(&session.state().facts);
    if facts.pulls {
        return;
    }
    let page = snapshot.page();
    let uri = &snapshot.identity.uri;
    let is_current = || session.is_newest(snapshot);
    let items = is_current().then(|| diagnostics(page.findings(), &snapshot.source, uri, &facts));
    let telling = session.telling.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(items) = items.filter(|_| is_current()) {
        publish(session, client, uri.clone(), items, Some(snapshot.version));
        session.told(uri, snapshot.version);
    }
    drop(telling);
    if let Page::Log(log) = &*page {
        let judged = (snapshot.cost() > QUICK).then(|| Arc::new(Judged::of(log)));
        session.judged(uri, judged);
    }
}

/// Tells what is found of a text just typed at a glance, where judging all of it takes its time; that follows.
pub fn glance(session: &Session, client: &Client, snapshot: &Snapshot, judged: &Judged) {
    let facts = Arc::clone(&session.state().facts);
    if facts.pulls {
        return;
    }
    let Some(findings) = editor::glance::glance(judged, &snapshot.source) else {
        return;
    };
    let uri = &snapshot.identity.uri;
    let items = diagnostics(&findings, &snapshot.source, uri, &facts);
    let telling = session.telling.lock().unwrap_or_else(PoisonError::into_inner);
    if session.is_worth_telling(uri, snapshot.version) {
        publish(session, client, uri.clone(), items, Some(snapshot.version));
    }
    drop(telling);
}
