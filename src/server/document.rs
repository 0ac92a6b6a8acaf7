//! A text that is open in the editor, and a look at it as it stood at one moment.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use super::positions::{Encoding, span_in};
use crate::editor::Page;
use crate::editor::glance::Judged;
use crate::judge::judge_tree;
use crate::syntax::{FileKind, LineIndex, Source, Span, parse_log, reparse_log};
use crate::workspace::discover::too_much;
use crate::workspace::{Library, analyse_manual_text};

/// Where a document is, and what it is.
#[derive(Clone, Debug)]
pub struct Identity {
    /// Its address, as the client writes it.
    pub uri: Uri,
    /// Its path; `None` for what is not in a file.
    pub path: Option<PathBuf>,
    /// The folder from which its manuals are looked for.
    pub folder: PathBuf,
    /// A log or a manual.
    pub kind: FileKind,
}

/// The last page of a document that was worked out: the next one is made from its tree.
type LastPage = Arc<Mutex<Option<Arc<Page>>>>;

/// An open text.
#[derive(Debug)]
pub struct Document {
    /// Where and what.
    pub identity: Arc<Identity>,
    /// The client's number of this text.
    pub version: i32,
    text: String,
    lines: LineIndex,
    last: LastPage,
    now: Arc<Snapshot>,
    /// As it was last judged wholly, where that takes longer than a key takes to be typed.
    pub judged: Option<Arc<Judged>>,
    /// The latest version of which all that was found has been told.
    pub told: Option<i32>,
    /// When it was last edited.
    edited: Instant,
    /// Since when it has been waiting to be judged.
    pub waits_since: Option<Instant>,
}

/// How long a long log rests after an edit before all of it is judged again, and how long that may be put off by further edits.
const REST: (Duration, Duration) = (Duration::from_millis(20), Duration::from_millis(250));

impl Document {
    /// A text just opened.
    pub fn open(identity: Identity, version: i32, text: String, library: Arc<Library>) -> Document {
        let identity = Arc::new(identity);
        let lines = LineIndex::new(&text);
        let last = LastPage::default();
        let now = Snapshot::new(&identity, version, &text, &lines, library, &last);
        Document {
            identity,
            version,
            text,
            lines,
            last,
            now,
            judged: None,
            told: None,
            edited: Instant::now(),
            waits_since: None,
        }
    }

    /// How much longer it is to rest before it is judged; nothing for one that is judged as fast as it is typed in.
    pub fn rests(&self, now: Instant) -> Duration {
        if self.judged.is_none() {
            return Duration::ZERO;
        }
        let rest = (self.edited + REST.0).saturating_duration_since(now);
        let most = self
            .waits_since
            .map_or(REST.1, |since| (since + REST.1).saturating_duration_since(now));
        rest.min(most)
    }

    /// Carries out edits, one after another: each is meant for the text that the one before it left. An edit without a range is the whole text.
    pub fn change(
        &mut self,
        version: i32,
        changes: Vec<TextDocumentContentChangeEvent>,
        encoding: Encoding,
        library: Arc<Library>,
    ) {
        for change in changes {
            let Some(range) = change.range else {
                self.lines = LineIndex::new(&change.text);
                self.text = change.text;
                continue;
            };
            let span: Span = span_in(&self.text, &self.lines, range, encoding);
            self.text.replace_range(span.range(), &change.text);
            self.lines.edited(&self.text, span, change.text.len());
        }
        self.version = version;
        self.edited = Instant::now();
        self.waits_since.get_or_insert(self.edited);
        self.now = Snapshot::new(&self.identity, version, &self.text, &self.lines, library, &self.last);
    }

    /// The same text by other manuals.
    pub fn judged_by(&mut self, library: Arc<Library>) {
        self.judged = None;
        self.told = None;
        self.now = Arc::new(Snapshot {
            identity: Arc::clone(&self.identity),
            version: self.version,
            source: Arc::clone(&self.now.source),
            library,
            page: Mutex::default(),
            cost: OnceLock::new(),
            last: Arc::clone(&self.last),
        });
    }

    /// Its length in bytes.
    pub fn len(&self) -> usize {
        self.text.len()
    }

    /// Why it is too much to be kept, if it is.
    pub fn too_much(&self) -> Option<String> {
        too_much(self.text.len(), self.lines.count())
    }

    /// Lets go all that was worked out of it; it is worked out again when it is next asked for.
    pub fn let_go(&mut self) {
        self.judged = None;
        // What is just being worked out stays: somebody waits for it.
        if let Ok(mut page) = self.now.page.try_lock() {
            page.take();
        }
        if let Ok(mut last) = self.last.try_lock() {
            last.take();
        }
    }

    /// The text as it stands now.
    pub fn now(&self) -> &Arc<Snapshot> {
        &self.now
    }
}

/// A text as it stood at one moment, with the manuals as they stood then; what is known of it is worked out when it is first asked for, and shared.
#[derive(Debug)]
pub struct Snapshot {
    /// Where and what.
    pub identity: Arc<Identity>,
    /// The client's number of this text.
    pub version: i32,
    /// The text.
    pub source: Arc<Source>,
    /// The manuals.
    pub library: Arc<Library>,
    page: Mutex<Option<Arc<Page>>>,
    cost: OnceLock<Duration>,
    last: LastPage,
}

impl Snapshot {
    fn new(
        identity: &Arc<Identity>,
        version: i32,
        text: &str,
        lines: &LineIndex,
        library: Arc<Library>,
        last: &LastPage,
    ) -> Arc<Snapshot> {
        let name = match &identity.path {
            Some(path) => path.to_string_lossy().into_owned(),
            None => identity.uri.as_str().to_owned(),
        };
        let source = Source {
            name,
            text: text.to_owned(),
            lines: lines.clone(),
        };
        Arc::new(Snapshot {
            identity: Arc::clone(identity),
            version,
            source: Arc::new(source),
            library,
            page: Mutex::default(),
            cost: OnceLock::new(),
            last: Arc::clone(last),
        })
    }

    /// Everything that is known of it. Whoever asks first works it out; others wait for that.
    pub fn page(&self) -> Arc<Page> {
        let mut known: MutexGuard<'_, _> = self.page.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(page) = &*known {
            return Arc::clone(page);
        }
        let begun = Instant::now();
        let page = self.judge();
        let _ = self.cost.set(begun.elapsed());
        *known = Some(Arc::clone(&page));
        page
    }

    /// How long it took to work that out, whoever did; nothing while nobody has.
    pub fn cost(&self) -> Duration {
        self.cost.get().copied().unwrap_or_default()
    }

    /// The folder from which its manuals are looked for.
    pub fn folder(&self) -> &Path {
        &self.identity.folder
    }

    fn judge(&self) -> Arc<Page> {
        let source = Arc::clone(&self.source);
        if self.identity.kind == FileKind::Manual {
            let manual = analyse_manual_text(source, self.folder(), Vec::new(), &self.library);
            return Arc::new(Page::Manual(Box::new(manual)));
        }
        let last = self.last.lock().unwrap_or_else(PoisonError::into_inner).take();
        // Where nobody else looks at the last page any more its tree is taken over; else it is copied.
        let known = match last.map(Arc::try_unwrap) {
            Some(Ok(Page::Log(mut log))) => {
                // The rest is let go here: what is worked out next takes its place in memory.
                Some((std::mem::take(&mut log.tree), Arc::clone(&log.source)))
            }
            Some(Err(page)) => match &*page {
                Page::Log(log) => Some((log.tree.clone(), Arc::clone(&log.source))),
                Page::Manual(_) => None,
            },
            _ => None,
        };
        let tree = match known {
            Some((tree, old)) => reparse_log(tree, &old.text, &source.text),
            None => parse_log(&source.text),
        };
        let analysis = judge_tree(source, tree, Vec::new(), |names, said| {
            self.library.resolve_for(self.folder(), names, said)
        });
        let page = Arc::new(Page::Log(Box::new(analysis)));
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some(Arc::clone(&page));
        page
    }
}
