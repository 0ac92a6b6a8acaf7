//! Work in the background, on a thread of its own: the names of a workspace's files, and the findings of those that are not open. It never holds the lock for longer than it
//! takes to put a result in.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use rayon::prelude::*;
use tower_lsp::Client;
use tower_lsp::ls_types::{Diagnostic, MessageType, Uri};

use super::convert::findings::diagnostics;
use super::document::Identity;
use super::progress::Progress;
use super::session::{Session, Stored};
use super::watching::{ask, publish, wait};
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
#[derive(Clone, Debug)]
pub enum Task {
    /// Index everything below a folder.
    Scan(PathBuf),
    /// Files came, went or changed.
    Files(Vec<PathBuf>),
    /// A document was closed.
    Closed(Arc<Identity>),
    /// A folder does not belong to the workspace any more.
    Forget(PathBuf),
    /// Judge the files that are not open.
    Judge,
}

/// Starts the thread.
pub fn start(session: &Arc<Session>, client: Client) {
    let (sender, receiver) = channel();
    *session.tasks.lock().unwrap_or_else(PoisonError::into_inner) = Some(sender);
    let session = Arc::clone(session);
    std::thread::spawn(move || {
        // Threads of its own, as many as there are processors: those that judge open logs are never busy here.
        let work = move || work(&session, &client, &receiver);
        match rayon::ThreadPoolBuilder::new().build() {
            Ok(pool) => pool.install(work),
            Err(_) => work(),
        }
    });
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
        // A fault in one file must not end the work on all others.
        if matches!(task, Err(RecvTimeoutError::Disconnected)) {
            return;
        }
        let done = catch_unwind(AssertUnwindSafe(|| match task {
            Ok(task) => carry_out(session, client, task) || is_judging_wanted,
            Err(_) => !judge(session, client),
        }));
        is_judging_wanted = done.unwrap_or_else(|_| {
            let client = client.clone();
            wait(&session.runtime, async move {
                let message = "gudgeon could not read or judge a file of the workspace: a fault of the program";
                client.log_message(MessageType::ERROR, message).await;
            });
            false
        });
    }
}

/// Does one thing; whether files that are not open are to be judged after it.
fn carry_out(session: &Session, client: &Client, task: Task) -> bool {
    match task {
        Task::Scan(root) => scan(session, client, &root),
        Task::Files(paths) => changed(session, client, &paths),
        Task::Forget(folder) => forget(session, client, &folder),
        Task::Judge => {}
        Task::Closed(identity) => {
            closed(session, client, &identity);
            return false;
        }
    }
    true
}

/// Reads every file below a folder for its names.
fn scan(session: &Session, client: &Client, root: &Path) {
    let scanned = Scanned(session);
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
        progress.report(session, client, ((number + 1) * BATCH).min(count), count);
    }
    drop(scanned);
    progress.end(session, client);
}

/// Counts a folder as read when it is dropped, also where a fault ended the reading: whoever waits for it must not wait for ever.
struct Scanned<'s>(&'s Session);

impl Drop for Scanned<'_> {
    fn drop(&mut self) {
        let mut state = self.0.state();
        state.to_scan = state.to_scan.saturating_sub(1);
    }
}

fn summary(file: &Found) -> Option<(PathBuf, Arc<Summary>)> {
    let text = decode(read(&file.path).ok()?).text;
    Some((file.path.clone(), Arc::new(Summary::read(file.kind, &text))))
}

/// Takes over what became of single files.
fn changed(session: &Session, client: &Client, paths: &[PathBuf]) {
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
                let had_findings = state.stored.remove(path).is_some_and(|known| !known.items.is_empty());
                let is_pushed = !state.facts.pulls;
                drop(state);
                if let Some(uri) = Uri::from_file_path(path).filter(|_| had_findings && is_pushed) {
                    tell_closed(session, client, uri, path, Vec::new());
                }
            }
        }
    }
}

/// Judges every file that is not open, and tells what changed. `false` if something more pressing came between.
fn judge(session: &Session, client: &Client) -> bool {
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
        take_back(session, client, |_| true);
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
fn store(session: &Session, client: &Client, path: PathBuf, items: Vec<Diagnostic>, pulls: bool) {
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
    state.stored.insert(path.clone(), stored);
    drop(state);
    if !pulls && !is_same {
        tell_closed(session, client, uri, &path, items.to_vec());
    }
}

/// Drops what is known of a folder, and takes back what was told of its files.
fn forget(session: &Session, client: &Client, folder: &Path) {
    let mut state = session.state();
    let index: &mut Index = Arc::make_mut(&mut state.index);
    index.files.retain(|path, _| !path.starts_with(folder));
    drop(state);
    take_back(session, client, |path| path.starts_with(folder));
}

/// Takes back what was told of files that are not open.
fn take_back(session: &Session, client: &Client, of: impl Fn(&Path) -> bool) {
    let (mut told, pulls) = {
        let mut state = session.state();
        let told: Vec<PathBuf> = state.stored.keys().filter(|path| of(path)).cloned().collect();
        state.stored.retain(|path, _| !of(path));
        (told, state.facts.pulls)
    };
    told.sort();
    for path in told.iter().filter(|_| !pulls) {
        if let Some(uri) = Uri::from_file_path(path) {
            tell_closed(session, client, uri, path, Vec::new());
        }
    }
}

/// Tells the findings of a file, unless it has been opened meanwhile: then only what is open counts.
fn tell_closed(session: &Session, client: &Client, uri: Uri, path: &Path, items: Vec<Diagnostic>) {
    let telling = session.telling.lock().unwrap_or_else(PoisonError::into_inner);
    if !session.is_open(path) {
        publish(session, client, uri, items, None);
    }
    drop(telling);
}

/// Tells the findings of a document just closed as its file stands; none where there is no file, or closed files are not judged.
fn closed(session: &Session, client: &Client, identity: &Identity) {
    let (facts, library, config) = {
        let state = session.state();
        (
            Arc::clone(&state.facts),
            Arc::clone(&state.library),
            Arc::clone(&state.config),
        )
    };
    let uri = identity.uri.clone();
    let Some(path) = &identity.path else {
        if !facts.pulls {
            publish(session, client, uri, Vec::new(), None);
        }
        return;
    };
    let bytes = read(path).ok().filter(|_| config.findings.workspace.0);
    let items = bytes.map_or_else(Vec::new, |bytes| {
        let inspected = inspect(&path.to_string_lossy(), folder_of(path), identity.kind, bytes, &library);
        diagnostics(&inspected.findings, &inspected.source, &uri, &facts)
    });
    let items = Arc::new(items);
    let mut state = session.state();
    let before = state
        .stored
        .get(path)
        .and_then(|known| known.result_id.parse::<u64>().ok());
    let stored = Stored {
        result_id: (before.unwrap_or_default() + 1).to_string(),
        items: Arc::clone(&items),
    };
    state.stored.insert(path.clone(), stored);
    drop(state);
    if !facts.pulls {
        tell_closed(session, client, uri, path, items.to_vec());
    }
}

/// How long a request waits for the files of the workspace to be read.
const PATIENCE: Duration = Duration::from_secs(5);

/// The index once every file has been read; else why that has to be waited for. A name must never be changed in some files and not in others.
pub fn read_wholly(session: &Session) -> Result<Arc<Index>, String> {
    let end = Instant::now() + PATIENCE;
    while session.state().to_scan > 0 {
        if Instant::now() > end || session.is_over() {
            return Err("the logs and manuals of the workspace are still being read; ask again in a moment".to_owned());
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    Ok(with_open(session))
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
