//! What the server knows: open documents, manuals, the index. One lock, held for as long as it takes to read or write it, and never over an await.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use rustc_hash::{FxHashMap, FxHashSet};
use tokio::runtime::Handle;
use tokio::sync::Notify;
use tower_lsp::ls_types::{Diagnostic, SemanticToken, TextDocumentContentChangeEvent, Uri};

use super::config::Config;
use super::convert::places::path_of;
use super::document::{Document, Identity, Snapshot};
use super::facts::Facts;
use super::index::Task;
use crate::editor::Index;
use crate::editor::glance::Judged;
use crate::judge::Analysis;
use crate::syntax::{FileKind, Source};
use crate::workspace::Library;
use crate::workspace::discover::folder_of;

/// What is known of a file of the workspace that is not open: its findings, and a name for them by which a client asks whether they changed.
#[derive(Clone, Debug)]
pub struct Stored {
    /// Changes when the findings do.
    pub result_id: String,
    /// The findings.
    pub items: Arc<Vec<Diagnostic>>,
}

/// The most that the texts of open documents may come to, in bytes. Each is kept twice: as it is edited, and as it stood when it was last asked about.
const MOST_OPEN: usize = 256 * 1024 * 1024;

/// What is known of open documents is kept of those that were used last, as long as their texts come to no more than so many bytes; it takes some seventy times as
/// much. Of the others it is worked out again when they are used.
const KEPT: usize = 16 * 1024 * 1024;

/// The most other logs that are kept as they were judged, for what earlier jobs say.
const MOST_EARLIER: usize = 64;

/// What an edit asks for.
#[derive(Debug)]
pub struct Changed {
    /// What is to be looked at first, and what it is compared with.
    pub glance: Option<(Arc<Snapshot>, Arc<Judged>)>,
}

/// Everything that changes while serving.
#[derive(Default)]
pub struct State {
    /// What the client can do.
    pub facts: Arc<Facts>,
    /// What the user has set.
    pub config: Arc<Config>,
    /// The folders of the workspace.
    pub folders: Vec<PathBuf>,
    /// Open documents.
    pub documents: FxHashMap<Uri, Document>,
    /// The manuals.
    pub library: Arc<Library>,
    /// Counts the changes of the manuals.
    pub generation: u64,
    /// Names of every file.
    pub index: Arc<Index>,
    /// Roots that are indexed, or are being indexed.
    pub roots: Vec<PathBuf>,
    /// How many of them are still to be read to their end.
    pub to_scan: usize,
    /// Findings of files that are not open.
    pub stored: FxHashMap<PathBuf, Stored>,
    /// The tokens last sent for a document, and the name they were sent under.
    pub tokens: FxHashMap<Uri, (String, Arc<Vec<SemanticToken>>)>,
    /// Other logs as they were last judged, for what earlier jobs say.
    pub earlier: FxHashMap<PathBuf, (u64, Arc<Analysis>)>,
    /// Documents to judge, the most pressing last.
    dirty: Vec<Uri>,
    /// Documents of which all that is known is kept, the last used last.
    used: Vec<Uri>,
}

/// The state, and what wakes those who wait for it.
pub struct Session {
    state: Mutex<State>,
    judge_wanted: Condvar,
    /// Work for the background.
    pub tasks: Mutex<Option<std::sync::mpsc::Sender<Task>>>,
    /// Where asynchronous work is started from plain threads.
    pub runtime: Handle,
    /// Held while findings are told, so that what is told of a document comes in the order of what it says.
    pub telling: Mutex<()>,
    orphan: Notify,
    is_over: AtomicBool,
}

impl Session {
    /// A session without a client yet.
    pub fn new(runtime: Handle) -> Session {
        Session {
            state: Mutex::default(),
            judge_wanted: Condvar::new(),
            tasks: Mutex::default(),
            runtime,
            telling: Mutex::default(),
            orphan: Notify::new(),
            is_over: AtomicBool::new(false),
        }
    }

    /// The state. A panic elsewhere leaves it whole: what is written in it is written in single steps.
    pub fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits until the process that started this one is gone.
    pub async fn orphaned(&self) {
        self.orphan.notified().await;
    }

    /// Says that it is gone.
    pub fn orphan(&self) {
        self.orphan.notify_one();
    }

    /// Nothing more is to be done.
    pub fn end(&self) {
        self.is_over.store(true, Ordering::Release);
        self.judge_wanted.notify_all();
        // With nobody left who could ask for anything, the background ends.
        self.tasks.lock().unwrap_or_else(PoisonError::into_inner).take();
    }

    /// Whether nothing more is to be done.
    pub fn is_over(&self) -> bool {
        self.is_over.load(Ordering::Acquire)
    }

    /// Gives the background something to do.
    pub fn task(&self, task: Task) {
        let sender = self.tasks.lock().unwrap_or_else(PoisonError::into_inner);
        // Without a background there is nobody left to serve.
        let _ = sender.as_ref().map(|sender| sender.send(task));
    }

    /// Opens a document. The error says in words why it is too much.
    pub fn open(&self, uri: Uri, kind: FileKind, version: i32, text: String) -> Result<(), String> {
        let mut state = self.state();
        let identity = state.identity(uri.clone(), kind);
        let is_manual_file = kind == FileKind::Manual && identity.path.is_some();
        let library = Arc::clone(&state.library);
        state
            .documents
            .insert(uri.clone(), Document::open(identity, version, text, library));
        state.tokens.remove(&uri);
        if let Some(why) = state.too_much(&uri) {
            state.forget(&uri);
            return Err(why);
        }
        if is_manual_file {
            state.manuals_changed(&[], false);
        }
        state.press(&uri);
        drop(state);
        self.judge_wanted.notify_all();
        Ok(())
    }

    /// Edits a document; gives what is to be looked at first, where judging all of it takes long. `None` if it is not open. The error says in words why it has
    /// become too much; then it is kept no longer.
    pub fn change(
        &self,
        uri: &Uri,
        version: i32,
        changes: Vec<TextDocumentContentChangeEvent>,
    ) -> Result<Option<Changed>, String> {
        let mut state = self.state();
        let encoding = state.facts.encoding;
        let library = Arc::clone(&state.library);
        let Some(document) = state.documents.get_mut(uri) else {
            return Ok(None);
        };
        document.change(version, changes, encoding, library);
        let glance = document
            .judged
            .clone()
            .map(|judged| (Arc::clone(document.now()), judged));
        let is_manual = document.identity.kind == FileKind::Manual;
        if let Some(why) = state.too_much(uri) {
            state.forget(uri);
            return Err(why);
        }
        if is_manual {
            state.manuals_changed(&[], false);
        }
        state.press(uri);
        drop(state);
        self.judge_wanted.notify_all();
        Ok(Some(Changed { glance }))
    }

    /// All that was found of a version has been told.
    pub fn told(&self, uri: &Uri, version: i32) {
        if let Some(document) = self.state().documents.get_mut(uri) {
            document.told = Some(version);
        }
    }

    /// Keeps a document as it was last judged wholly.
    pub fn judged(&self, uri: &Uri, judged: Option<Arc<Judged>>) {
        let old = match self.state().documents.get_mut(uri) {
            Some(document) => std::mem::replace(&mut document.judged, judged),
            None => None,
        };
        // Many findings take a while to let go, and the lock is not held for that.
        drop(old);
    }

    /// Whether a glance at a version is still worth telling: it is the newest, and not all of it has been told.
    pub fn is_worth_telling(&self, uri: &Uri, version: i32) -> bool {
        let state = self.state();
        state
            .documents
            .get(uri)
            .is_some_and(|document| document.version == version && document.told != Some(version))
    }

    /// Closes a document; what is said of its file from now on is what the file says.
    pub fn close(&self, uri: &Uri) -> Option<Arc<Identity>> {
        let mut state = self.state();
        let identity = state.forget(uri)?;
        drop(state);
        self.judge_wanted.notify_all();
        Some(identity)
    }

    /// Keeps another log as it was judged by the manuals of a generation.
    pub fn keep_earlier(&self, path: PathBuf, generation: u64, analysis: Arc<Analysis>) {
        let mut state = self.state();
        if state.earlier.len() >= MOST_EARLIER {
            state.earlier.clear();
        }
        state.earlier.insert(path, (generation, analysis));
    }

    /// Manuals or settings changed on the disk.
    pub fn files_changed(&self, changed: &[PathBuf], folders: bool) {
        self.state().manuals_changed(changed, folders);
        self.judge_wanted.notify_all();
    }

    /// Waits for a document that is to be judged; `None` at the end. A long one that is being typed in has to rest for a moment: what was typed has been looked at by
    /// itself, and judging all of it at every key would keep the processors from that.
    pub fn next_dirty(&self) -> Option<Arc<Snapshot>> {
        let mut state = self.state();
        loop {
            if self.is_over() {
                return None;
            }
            let now = Instant::now();
            let (ready, wait) = state.most_pressing(now);
            if let Some(uri) = ready {
                state.dirty.retain(|dirty| *dirty != uri);
                if let Some(document) = state.documents.get_mut(&uri) {
                    document.waits_since = None;
                    let now = Arc::clone(document.now());
                    state.use_of(&uri);
                    return Some(now);
                }
                continue;
            }
            state = match wait {
                Some(wait) => {
                    let waited = self.judge_wanted.wait_timeout(state, wait);
                    waited.unwrap_or_else(PoisonError::into_inner).0
                }
                None => self.judge_wanted.wait(state).unwrap_or_else(PoisonError::into_inner),
            };
        }
    }

    /// Whether a file is open.
    pub fn is_open(&self, path: &Path) -> bool {
        let state = self.state();
        state
            .documents
            .values()
            .any(|d| d.identity.path.as_deref() == Some(path))
    }

    /// Keeps the tokens that are sent for a document; gives the name they are sent under.
    pub fn keep_tokens(&self, uri: &Uri, data: &[SemanticToken]) -> String {
        let mut state = self.state();
        let before = state.tokens.get(uri).and_then(|(id, _)| id.parse::<u64>().ok());
        let id = (before.unwrap_or_default() + 1).to_string();
        if state.documents.contains_key(uri) {
            state.tokens.insert(uri.clone(), (id.clone(), Arc::new(data.to_vec())));
        }
        id
    }

    /// A document as it stands now.
    pub fn snapshot(&self, uri: &Uri) -> Option<Arc<Snapshot>> {
        let mut state = self.state();
        let now = state.documents.get(uri).map(|document| Arc::clone(document.now()))?;
        state.use_of(uri);
        Some(now)
    }

    /// Whether a look at a document is still the newest.
    pub fn is_newest(&self, snapshot: &Arc<Snapshot>) -> bool {
        let state = self.state();
        let document = state.documents.get(&snapshot.identity.uri);
        document.is_some_and(|document| Arc::ptr_eq(document.now(), snapshot))
    }
}

impl State {
    fn identity(&self, uri: Uri, kind: FileKind) -> Identity {
        let path = path_of(&uri);
        let folder = match &path {
            Some(path) => folder_of(path).to_owned(),
            None => self.folders.first().cloned().unwrap_or_else(|| PathBuf::from(".")),
        };
        Identity {
            uri,
            path,
            folder,
            kind,
        }
    }

    /// The most pressing document that need not wait any more, or else how long the first of them has to.
    fn most_pressing(&self, now: Instant) -> (Option<Uri>, Option<Duration>) {
        let mut wait: Option<Duration> = None;
        for uri in self.dirty.iter().rev() {
            let left = self
                .documents
                .get(uri)
                .map_or(Duration::ZERO, |document| document.rests(now));
            if left.is_zero() {
                return (Some(uri.clone()), None);
            }
            wait = Some(wait.map_or(left, |known| known.min(left)));
        }
        (None, wait)
    }

    /// Why an open document is too much to be kept: it alone, or with all others.
    fn too_much(&self, uri: &Uri) -> Option<String> {
        let document = self.documents.get(uri)?;
        document.too_much().or_else(|| {
            let all: usize = self.documents.values().map(Document::len).sum();
            (all > MOST_OPEN).then(|| {
                let most = MOST_OPEN / 1024 / 1024;
                format!("what is open comes to more than {most} MiB; close what you do not need")
            })
        })
    }

    /// Lets a document go, and what was kept of it.
    fn forget(&mut self, uri: &Uri) -> Option<Arc<Identity>> {
        let document = self.documents.remove(uri)?;
        self.tokens.remove(uri);
        self.dirty.retain(|dirty| dirty != uri);
        self.used.retain(|used| used != uri);
        if document.identity.kind == FileKind::Manual {
            self.manuals_changed(&[], false);
        }
        Some(document.identity)
    }

    /// A document is used, so what is known of it is kept before that of others.
    fn use_of(&mut self, uri: &Uri) {
        if self.used.last() == Some(uri) {
            return;
        }
        self.used.retain(|used| used != uri);
        self.used.push(uri.clone());
        let mut room = KEPT;
        let mut kept = 0;
        for uri in self.used.iter().rev() {
            let len = self.documents.get(uri).map_or(0, Document::len);
            if len > room && kept > 0 {
                break;
            }
            room = room.saturating_sub(len);
            kept += 1;
        }
        let beyond: Vec<Uri> = self.used.drain(..self.used.len() - kept).collect();
        for uri in beyond {
            self.tokens.remove(&uri);
            if let Some(document) = self.documents.get_mut(&uri) {
                document.let_go();
            }
        }
    }

    /// Has a document judged before all others.
    fn press(&mut self, uri: &Uri) {
        self.dirty.retain(|dirty| dirty != uri);
        self.dirty.push(uri.clone());
    }

    /// Puts the manuals together anew, and has every open document judged by them.
    fn manuals_changed(&mut self, changed: &[PathBuf], folders: bool) {
        let open: FxHashMap<PathBuf, Arc<Source>> = self
            .documents
            .values()
            .filter(|document| document.identity.kind == FileKind::Manual)
            .filter_map(|document| Some((document.identity.path.clone()?, Arc::clone(&document.now().source))))
            .collect();
        self.library = Arc::new(self.library.renewed(open, changed, folders));
        self.generation += 1;
        self.earlier.clear();
        let mut all: Vec<Uri> = Vec::with_capacity(self.documents.len());
        for (uri, document) in &mut self.documents {
            document.judged_by(Arc::clone(&self.library));
            all.push(uri.clone());
        }
        all.sort();
        all.retain(|uri| !self.dirty.contains(uri));
        // Those that were waiting before are still the most pressing.
        self.dirty.splice(0..0, all);
    }

    /// The paths of open documents.
    pub fn open_paths(&self) -> FxHashSet<PathBuf> {
        let open = self.documents.values();
        open.filter_map(|document| document.identity.path.clone()).collect()
    }
}
