//! What is asked of the client: never awaited in a handler, always with a limit of time.

use std::future::Future;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use serde_json::json;
use tokio::runtime::Handle;
use tower_lsp::Client;
use tower_lsp::ls_types::{ConfigurationItem, Diagnostic, FileChangeType, FileEvent, MessageType, Registration, Uri};

use super::config::{Config, SECTION};
use super::convert::places::path_of;
use super::index::Task;
use super::session::Session;
use crate::syntax::FileKind;

/// How long a client may take to answer.
const PATIENCE: Duration = Duration::from_secs(10);

/// Asks the client something, in a task of its own; a client that does not answer is not waited for longer than it is patient to.
pub fn ask<T>(runtime: &Handle, question: impl Future<Output = T> + Send + 'static) {
    runtime.spawn(async move {
        let _ = tokio::time::timeout(PATIENCE, question).await;
    });
}

/// Has the client told or asked something from a plain thread, and waits until that is done, so that what is told later comes later. `None` once serving has ended: nothing
/// is told any more then.
pub fn wait<T: Send + 'static>(runtime: &Handle, message: impl Future<Output = T> + Send + 'static) -> Option<T> {
    let (done, told) = std::sync::mpsc::channel();
    // The task is dropped with its sender when serving ends, and the wait is over.
    runtime.spawn(async move {
        let _ = done.send(message.await);
    });
    told.recv().ok()
}

/// Tells findings.
pub fn publish(session: &Session, client: &Client, uri: Uri, items: Vec<Diagnostic>, version: Option<i32>) {
    let client = client.clone();
    let told = async move { client.publish_diagnostics(uri, items, version).await };
    wait(&session.runtime, told);
}

/// Tells that a document is not kept since it is too much, and takes back what was told of it.
pub fn tell_too_much(session: &Session, client: &Client, uri: Uri, why: &str) {
    let message = format!("gudgeon does not judge {}: {why}", uri.as_str());
    let client = client.clone();
    ask(&session.runtime, async move {
        client.publish_diagnostics(uri, Vec::new(), None).await;
        client.show_message(MessageType::WARNING, message).await;
    });
}

/// Asks for files to be watched and for news of settings, as far as the client offers that.
pub fn register(session: &Arc<Session>, client: &Client) {
    let facts = Arc::clone(&session.state().facts);
    let mut registrations = Vec::new();
    if facts.watches {
        let patterns = ["**/*.rebuild", "**/*.manual", "**/gudgeon.toml"];
        registrations.push(Registration {
            id: "gudgeon/files".to_owned(),
            method: "workspace/didChangeWatchedFiles".to_owned(),
            register_options: Some(json!({
                "watchers": patterns.map(|pattern| json!({ "globPattern": pattern }))
            })),
        });
    }
    if facts.registers_configuration {
        registrations.push(Registration {
            id: "gudgeon/settings".to_owned(),
            method: "workspace/didChangeConfiguration".to_owned(),
            register_options: Some(json!({ "section": SECTION })),
        });
    }
    if registrations.is_empty() {
        return;
    }
    let client = client.clone();
    ask(&session.runtime, async move {
        client.register_capability(registrations).await
    });
}

/// Asks for the settings, and takes them over when they come.
pub fn ask_settings(session: &Arc<Session>, client: &Client) {
    if !session.state().facts.has_configuration {
        return;
    }
    let (session, client) = (Arc::clone(session), client.clone());
    let runtime = session.runtime.clone();
    ask(&runtime, async move {
        let item = ConfigurationItem {
            scope_uri: None,
            section: Some(SECTION.to_owned()),
        };
        let Ok(values) = client.configuration(vec![item]).await else {
            return;
        };
        if let Some(value) = values.first() {
            take_settings(&session, &client, value).await;
        }
    });
}

/// Takes over settings; what cannot be read leaves those that hold, and is said.
pub async fn take_settings(session: &Arc<Session>, client: &Client, value: &serde_json::Value) {
    match Config::read(value) {
        Ok(config) => {
            let is_changed = {
                let mut state = session.state();
                let config = Config {
                    show_places: state.config.show_places,
                    show_next: state.config.show_next,
                    ..config
                };
                let is_changed = *state.config != config;
                state.config = Arc::new(config);
                is_changed
            };
            if is_changed {
                refresh_shown(session, client);
                session.task(Task::Judge);
            }
        }
        Err(why) => {
            client
                .show_message(tower_lsp::ls_types::MessageType::WARNING, why)
                .await;
        }
    }
}

/// Has the client ask again for what is shown between the lines.
pub fn refresh_shown(session: &Arc<Session>, client: &Client) {
    let facts = Arc::clone(&session.state().facts);
    if facts.refreshes_hints {
        let client = client.clone();
        ask(&session.runtime, async move { client.inlay_hint_refresh().await });
    }
    if facts.refreshes_lenses {
        let client = client.clone();
        ask(&session.runtime, async move { client.code_lens_refresh().await });
    }
    if facts.refreshes_tokens {
        let client = client.clone();
        ask(&session.runtime, async move { client.semantic_tokens_refresh().await });
    }
}

/// Has the client ask again for findings, where it asks for them.
pub fn refresh_findings(session: &Arc<Session>, client: &Client) {
    let facts = Arc::clone(&session.state().facts);
    if facts.pulls && facts.refreshes_findings {
        let client = client.clone();
        ask(
            &session.runtime,
            async move { client.workspace_diagnostic_refresh().await },
        );
    }
}

/// What files the client saw change.
pub fn watched(session: &Arc<Session>, client: &Client, events: Vec<FileEvent>) {
    let mut manuals: Vec<PathBuf> = Vec::new();
    let mut files: Vec<PathBuf> = Vec::new();
    let mut folders = false;
    for event in events {
        let Some(path) = path_of(&event.uri) else {
            continue;
        };
        let came_or_went = event.typ != FileChangeType::CHANGED;
        match FileKind::of_path(&path) {
            Some(FileKind::Manual) => {
                folders |= came_or_went;
                manuals.push(path.clone());
            }
            Some(FileKind::Log) => {}
            // The settings of the repository.
            None => {
                folders = true;
                continue;
            }
        }
        files.push(path);
    }
    if folders || !manuals.is_empty() {
        session.files_changed(&manuals, folders);
        refresh_shown(session, client);
        refresh_findings(session, client);
    }
    session.task(Task::Files(files));
}

/// Where nobody watches files for us: what was read from the disk and has changed there since is read again.
pub fn look_again(session: &Arc<Session>, client: &Client) {
    let (watches, library) = {
        let state = session.state();
        (state.facts.watches, Arc::clone(&state.library))
    };
    if watches {
        return;
    }
    let (changed, folders) = library.outdated();
    if folders || !changed.is_empty() {
        session.files_changed(&changed, folders);
        refresh_shown(session, client);
        refresh_findings(session, client);
        session.task(Task::Files(changed));
    }
}
