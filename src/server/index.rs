//! Work in the background, on a thread of its own: the names of a workspace's files, and the findings of those that are not open. It never holds the lock for longer than it
//! takes to put a result in.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use rayon::prelude::*;
use tower_lsp::Client;
use tower_lsp::ls_types::{ProgressToken, Uri};

use super::convert::findings::diagnostics;
use super::session::{Session, Stored};
use super::watching::ask;
use crate::editor::Index;
use crate::editor::index::Summary;
use crate::syntax::{FileKind, Source, decode};
use crate::workspace::discover::{Found, discover, folder_of, read};
use crate::workspace::inspect;

/// How long manuals must have rested before every file that is not open is judged by them.
const IDLE: Duration = Duration::from_millis(200);

/// How many files are read before the others are told how far it is.
const BATCH: usize = 64;

/// What the background is to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Task {
    /// Index everything below a folder.
    Scan(PathBuf),
    /// Files came, went or changed.
    Files(Vec<PathBuf>),
    /// A document was closed.
    Closed(PathBuf, FileKind),
    /// A folder does not belong to the workspace any more.
    Forget(PathBuf),
    /// Judge the files that are not open.
    Judge,
}

/// Starts the thread.
pub fn start(session: &Arc<Session>, client: Client) {
    let (sender, receiver) = channel();
    *session.tasks.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = Some(sender);
    let session = Arc::clone(session);
    std::thread::spawn(move || work(&session, &client, &receiver));
}

fn work(session: &Session, client: &Client, receiver: &Receiver<Task>) {
    let mut is_judging_wanted = false;
    loop {
        let task = if is_judging_wanted {
            receiver.recv_timeout(IDLE)
        } else {
            receiver.recv().map_err(|_| RecvTimeoutError::Disconnected)
        };
        if session.is_over() {
            return;
        }
        match task {
            Ok(Task::Scan(root)) => {
                scan(session, client, &root);
                is_judging_wanted = true;
            }
            Ok(Task::Files(paths)) => {
                changed(session, &paths);
                is_judging_wanted = true;
            }
            Ok(Task::Closed(path, kind)) => closed(session, client, &path, kind),
            Ok(Task::Forget(folder)) => forget(session, client, &folder),
            Ok(Task::Judge) => is_judging_wanted = true,
            Err(RecvTimeoutError::Timeout) => is_judging_wanted = !judge(session, client, receiver),
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
}

/// Reads every file below a folder for its names.
fn scan(session: &Session, client: &Client, root: &Path) {
    let progress = Progress::begin(session, client, root);
    let files = discover(std::slice::from_ref(&root.to_owned())).files;
    let count = files.len();
    for (number, batch) in files.chunks(BATCH).enumerate() {
        if session.is_over() {
            break;
        }
        let summaries: Vec<(PathBuf, Arc<Summary>)> = batch.par_iter().filter_map(summary).collect();
        let mut state = session.state();
        let index = Arc::make_mut(&mut state.index);
        index.files.extend(summaries);
        drop(state);
        progress.report(session, client, (number + 1) * BATCH.min(count), count);
    }
    progress.end(session, client);
}

fn summary(file: &Found) -> Option<(PathBuf, Arc<Summary>)> {
    let text = decode(read(&file.path).ok()?).text;
    Some((file.path.clone(), Arc::new(Summary::read(file.kind, &text))))
}

/// Takes over what became of single files.
fn changed(session: &Session, paths: &[PathBuf]) {
    for path in paths {
        let Some(kind) = FileKind::of_path(path) else { continue };
        let text = read(path).ok().map(|bytes| decode(bytes).text);
        let summary = text.map(|text| Arc::new(Summary::read(kind, &text)));
        let mut state = session.state();
        state.earlier.remove(path);
        let index: &mut Index = Arc::make_mut(&mut state.index);
        match summary {
            Some(summary) => {
                index.files.insert(path.clone(), summary);
            }
            None => {
                index.files.remove(path);
                state.stored.remove(path);
            }
        }
    }
}

/// Judges every file that is not open, and tells what changed. `false` if something more pressing came between.
fn judge(session: &Session, client: &Client, receiver: &Receiver<Task>) -> bool {
    let _ = receiver;
    let (config, facts, library, generation, index, open) = {
        let state = session.state();
        (
            Arc::clone(&state.config),
            Arc::clone(&state.facts),
            Arc::clone(&state.library),
            state.generation,
            Arc::clone(&state.index),
            state.open_paths(),
        )
    };
    if !config.findings.workspace.0 {
        return true;
    }
    let files: Vec<(&PathBuf, FileKind)> = index
        .files
        .iter()
        .filter(|(path, _)| !open.contains(*path))
        .map(|(path, summary)| (path, summary.kind))
        .collect();
    for batch in files.chunks(BATCH) {
        if session.is_over() {
            return true;
        }
        if session.state().generation != generation {
            return false;
        }
        let judged: Vec<(PathBuf, Vec<_>)> = batch
            .par_iter()
            .filter_map(|(path, kind)| {
                let bytes = read(path).ok()?;
                let inspected = inspect(&path.to_string_lossy(), folder_of(path), *kind, bytes, &library);
                let uri = Uri::from_file_path(path)?;
                let items = diagnostics(&inspected.findings, &inspected.source, &uri, &facts);
                Some(((*path).clone(), items))
            })
            .collect();
        for (path, items) in judged {
            store(session, client, path, items, facts.pulls);
        }
    }
    if facts.pulls && facts.refreshes_findings {
        let client = client.clone();
        ask(
            &session.runtime,
            async move { client.workspace_diagnostic_refresh().await },
        );
    }
    true
}

/// Keeps the findings of a file that is not open, and tells them where they are pushed and have changed.
fn store(session: &Session, client: &Client, path: PathBuf, items: Vec<tower_lsp::ls_types::Diagnostic>, pulls: bool) {
    let Some(uri) = Uri::from_file_path(&path) else { return };
    let mut state = session.state();
    // It may have been opened meanwhile; then its own text is what counts.
    if state
        .documents
        .values()
        .any(|d| d.identity.path.as_deref() == Some(&path))
    {
        return;
    }
    let known = state.stored.get(&path);
    let is_same = known.map_or(items.is_empty(), |known| *known.items == items);
    let number = known
        .and_then(|known| known.result_id.parse::<u64>().ok())
        .unwrap_or_default();
    if known.is_some() && is_same {
        return;
    }
    let items = Arc::new(items);
    let stored = Stored {
        result_id: (number + 1).to_string(),
        items: Arc::clone(&items),
    };
    state.stored.insert(path, stored);
    drop(state);
    if !pulls && !is_same {
        session
            .runtime
            .block_on(client.publish_diagnostics(uri, items.to_vec(), None));
    }
}

/// Drops what is known of a folder, and takes back what was told of its files.
fn forget(session: &Session, client: &Client, folder: &Path) {
    let told: Vec<PathBuf> = {
        let mut state = session.state();
        Arc::make_mut(&mut state.index)
            .files
            .retain(|path, _| !path.starts_with(folder));
        let gone: Vec<PathBuf> = state
            .stored
            .keys()
            .filter(|path| path.starts_with(folder))
            .cloned()
            .collect();
        for path in &gone {
            state.stored.remove(path);
        }
        gone
    };
    for uri in told.iter().filter_map(Uri::from_file_path) {
        session
            .runtime
            .block_on(client.publish_diagnostics(uri, Vec::new(), None));
    }
}

/// The findings of a file just closed, as the file stands.
fn closed(session: &Session, client: &Client, path: &Path, kind: FileKind) {
    let (facts, library, is_wanted) = {
        let state = session.state();
        (
            Arc::clone(&state.facts),
            Arc::clone(&state.library),
            state.config.findings.workspace.0 && state.index.files.contains_key(path),
        )
    };
    let items = read(path)
        .ok()
        .filter(|_| is_wanted)
        .map(|bytes| {
            let inspected = inspect(&path.to_string_lossy(), folder_of(path), kind, bytes, &library);
            Uri::from_file_path(path)
                .map(|uri| diagnostics(&inspected.findings, &inspected.source, &uri, &facts))
                .unwrap_or_default()
        })
        .unwrap_or_default();
    session.state().stored.remove(path);
    if facts.pulls {
        store(session, client, path.to_owned(), items, true);
        return;
    }
    if let Some(uri) = Uri::from_file_path(path) {
        session
            .runtime
            .block_on(client.publish_diagnostics(uri, items.clone(), None));
    }
    let stored = Stored {
        result_id: "1".to_owned(),
        items: Arc::new(items),
    };
    session.state().stored.insert(path.to_owned(), stored);
}

/// The index with every open document as it stands now.
pub fn with_open(session: &Session) -> Arc<Index> {
    let (index, open) = {
        let state = session.state();
        let open: Vec<(PathBuf, FileKind, Arc<Source>)> = state
            .documents
            .values()
            .filter_map(|document| {
                let path = document.identity.path.clone()?;
                Some((path, document.identity.kind, Arc::clone(&document.now().source)))
            })
            .collect();
        (Arc::clone(&state.index), open)
    };
    let mut index = (*index).clone();
    for (path, kind, source) in open {
        index.files.insert(path, Arc::new(Summary::read(kind, &source.text)));
    }
    Arc::new(index)
}

/// Progress shown by the client while a folder is indexed.
struct Progress {
    token: Option<ProgressToken>,
}

impl Progress {
    fn begin(session: &Session, client: &Client, root: &Path) -> Progress {
        if !session.state().facts.shows_progress {
            return Progress { token: None };
        }
        let token = ProgressToken::String(format!("gudgeon/index/{}", root.to_string_lossy()));
        let asked = session.runtime.block_on(async {
            let create = client.create_work_done_progress(token.clone());
            tokio::time::timeout(Duration::from_secs(2), create).await
        });
        let token = matches!(asked, Ok(Ok(()))).then_some(token);
        let progress = Progress { token };
        progress.send(
            session,
            client,
            tower_lsp::ls_types::WorkDoneProgress::Begin(tower_lsp::ls_types::WorkDoneProgressBegin {
                title: "reading logs and manuals".to_owned(),
                cancellable: Some(false),
                message: None,
                percentage: Some(0),
            }),
        );
        progress
    }

    fn report(&self, session: &Session, client: &Client, done: usize, count: usize) {
        let done = done.min(count);
        let percentage = u32::try_from(done * 100 / count.max(1)).unwrap_or(100);
        self.send(
            session,
            client,
            tower_lsp::ls_types::WorkDoneProgress::Report(tower_lsp::ls_types::WorkDoneProgressReport {
                cancellable: Some(false),
                message: Some(format!("{done} of {count}")),
                percentage: Some(percentage),
            }),
        );
    }

    fn end(&self, session: &Session, client: &Client) {
        self.send(
            session,
            client,
            tower_lsp::ls_types::WorkDoneProgress::End(tower_lsp::ls_types::WorkDoneProgressEnd { message: None }),
        );
    }

    fn send(&self, session: &Session, client: &Client, value: tower_lsp::ls_types::WorkDoneProgress) {
        use tower_lsp::ls_types::notification::Progress as Notification;
        use tower_lsp::ls_types::{ProgressParams, ProgressParamsValue};
        let Some(token) = &self.token else { return };
        let params = ProgressParams {
            token: token.clone(),
            value: ProgressParamsValue::WorkDone(value),
        };
        session
            .runtime
            .block_on(client.send_notification::<Notification>(params));
    }
}
