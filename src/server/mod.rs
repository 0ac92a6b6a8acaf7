//! The language server: messages to the pure functions of `editor` and back. Only this floor knows the protocol.
//!
//! What holds here, and why:
//! - **State is written before a handler's first await**, under one short lock (`session`). Handlers start in the order their messages came, so what a later request sees
//!   is never older than the edits before it. A request takes its snapshot at its start, and computes on another thread.
//! - **No handler waits for the client.** What is asked of the client runs in a task of its own, with a time limit.
//! - **One thread judges** (`judging`): always the newest text of a document, never one that was typed over. Requests and this thread share what was worked out.
//! - **Every byte of standard output is protocol.** Standard input is read by a thread that checks the framing (`stdio`) before the protocol's library sees it, so that
//!   broken input ends the process with a message instead of silently.

mod backend;
mod capabilities;
mod commands;
mod config;
mod convert;
mod document;
mod facts;
mod index;
mod judging;
mod optional;
mod orphan;
mod outgoing;
mod output;
mod positions;
mod progress;
mod requests;
mod session;
mod shelf_files;
mod stdio;
#[cfg(test)]
mod tests;
mod watching;

use std::io::Read;
use std::sync::Arc;
use std::time::Duration;

use tokio::io::AsyncWrite;
use tower_lsp::{Client, LspService, Server};

use backend::Backend;
use optional::Optional;
use outgoing::Outgoing;
use output::Output;
use session::Session;
pub use stdio::Ended;

/// How many requests may run at a time. Many, so that a few slow ones never keep an edit waiting behind them.
const CONCURRENCY: usize = 256;

/// How long running work may go on after `exit` before the process ends regardless.
const GRACE: Duration = Duration::from_millis(20);

/// Serves one client on standard input and output until it says `exit`, goes away, or sends what is no message; then calls `leave`, which ends the process.
///
/// The calling thread judges. It may be in the middle of a long job when serving ends, which is why the process is left from the thread that serves.
pub fn serve(leave: impl FnOnce(Ended) + Send + 'static) -> Result<(), String> {
    serve_on(std::io::stdin(), tokio::io::stdout(), leave)
}

/// The same on any input and output. Where `leave` does not end the process, this returns once what is being judged is done.
pub fn serve_on(
    input: impl Read + Send + 'static,
    output: impl AsyncWrite + Send + 'static,
    leave: impl FnOnce(Ended) + Send + 'static,
) -> Result<(), String> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .thread_stack_size(8 * 1024 * 1024)
        .enable_time()
        .build()
        .map_err(|error| format!("the server cannot start: {error}"))?;
    let session = Arc::new(Session::new(runtime.handle().clone()));
    let (ready, client) = std::sync::mpsc::channel();
    let serving = Arc::clone(&session);
    let thread = std::thread::Builder::new().name("serve".to_owned());
    let started = thread.spawn(move || {
        let ended = runtime.block_on(listen(&serving, input, output, ready));
        serving.end();
        // Work that is still running is of no use to anybody now, and is not waited for.
        runtime.shutdown_background();
        leave(ended);
    });
    let thread = started.map_err(|error| format!("the server cannot start: {error}"))?;
    if let Ok(client) = client.recv() {
        judging::run(&session, &client);
    }
    // A panic there has been told already.
    let _ = thread.join();
    Ok(())
}

/// Reads messages and answers them until the end, and says how it ended. `ready` is given the client once it can be told something.
async fn listen(
    session: &Arc<Session>,
    input: impl Read + Send + 'static,
    output: impl AsyncWrite,
    ready: std::sync::mpsc::Sender<Client>,
) -> Ended {
    let (incoming, ending) = stdio::listen(input, session.runtime.clone());
    let (service, socket) = LspService::new(|client| Backend::new(client, Arc::clone(session), ready));
    let serving = Server::new(incoming, Output::new(output, Arc::clone(session)), Outgoing(socket))
        .concurrency_level(CONCURRENCY)
        .serve(Optional(service));
    let ended = async {
        ending.wait().await;
        tokio::time::sleep(GRACE).await;
    };
    tokio::select! {
        () = serving => {}
        () = ended => {}
        () = session.orphaned() => {}
    }
    ending.how()
}
