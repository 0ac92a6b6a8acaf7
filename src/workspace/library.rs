//! Manuals by name: from files near a log, and from the shelf. Each is read and compiled once, however many logs name it.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::SystemTime;

use rustc_hash::{FxHashMap, FxHashSet};

use crate::calc::Rulebook;
use crate::judge::Resolved;
use crate::model::Book;
use crate::model::book::BookManual;
use crate::model::lower_manual;
use crate::model::manual::Manual;
use crate::model::names::file_key;
use crate::shelf;
use crate::syntax::ast::{ManualTree, SyntaxError};
use crate::syntax::{FileKind, Source, Span, decode, nearest, parse_manual};
use crate::workspace::rivals::Rivals;
use crate::workspace::{discover, settings};

/// The most manuals that one log or manual rests on, with all that they extend in turn. A machine's own manual, the shop's and the whole shelf are some twenty.
pub const MOST_MANUALS: usize = 64;

/// Names of manuals that an unknown one is held against: who has more of them lists them himself sooner than wait.
const MOST_COMPARED: usize = 2_000;

/// A manual as it was read.
#[derive(Debug)]
pub struct Loaded {
    /// Its text.
    pub source: Arc<Source>,
    /// What it means.
    pub manual: Arc<Manual>,
    /// What could not be read or understood in it.
    pub problems: Vec<SyntaxError>,
    /// Whether it is built in.
    pub on_shelf: bool,
    /// The folder in which the manuals it extends are looked for first.
    pub(super) folder: Option<PathBuf>,
}

/// Manuals already read, shared by all threads.
#[derive(Debug, Default)]
pub struct Library {
    /// Folders already listed: file keys of the manuals in them.
    folders: Mutex<FxHashMap<PathBuf, Arc<FxHashMap<String, PathBuf>>>>,
    /// The folders that are searched for a log in a folder.
    searches: Mutex<FxHashMap<PathBuf, Arc<Vec<PathBuf>>>>,
    /// Files already read.
    files: Mutex<FxHashMap<PathBuf, Arc<Loaded>>>,
    /// Rules already put together: by the folder's search and the names asked for.
    rules: Mutex<FxHashMap<(PathBuf, Vec<String>), Resolved>>,
    /// The settings that hold in a folder.
    settings: Mutex<FxHashMap<PathBuf, settings::Found>>,
    /// Settings given as a text; they come before any file.
    given_settings: Mutex<Option<settings::Found>>,
    /// Manuals given as texts; they come before files and shelf.
    given: Mutex<Vec<Arc<Loaded>>>,
    /// Texts of manuals that are open in an editor: they come instead of the files of those paths.
    open: FxHashMap<PathBuf, Arc<Source>>,
    /// When the files that were read had last been changed.
    stamps: Mutex<FxHashMap<PathBuf, Option<SystemTime>>>,
    /// What never changes.
    shelf: Arc<Shelf>,
}

/// The shelf as it is read, little by little.
#[derive(Debug, Default)]
struct Shelf {
    /// Its manuals, each read when it is first asked for.
    manuals: Mutex<FxHashMap<usize, Arc<Loaded>>>,
    /// The whole shelf as one book, by the order of its manuals.
    whole: Mutex<FxHashMap<Vec<usize>, Arc<Rulebook>>>,
    /// Which of its manuals speak of the same things.
    rivals: OnceLock<Rivals>,
}

/// When a file was last changed; `None` where that is not known, or there is no such file.
fn modified(path: &Path) -> Option<SystemTime> {
    std::fs::metadata(path).and_then(|about| about.modified()).ok()
}

/// Takes a lock; a panic elsewhere while it was held does no harm to a cache.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Reads a manual's text.
pub(super) fn load(
    source: Arc<Source>,
    on_shelf: bool,
    folder: Option<PathBuf>,
    errors: Vec<SyntaxError>,
) -> (Loaded, ManualTree) {
    let mut tree = parse_manual(&source.text);
    let (manual, mut problems) = lower_manual(&tree, &source);
    let mut all = errors;
    all.append(&mut tree.errors);
    all.append(&mut problems);
    let loaded = Loaded {
        source,
        manual: Arc::new(manual),
        problems: all,
        on_shelf,
        folder,
    };
    (loaded, tree)
}

impl Library {
    /// An empty library.
    pub fn new() -> Library {
        Library::default()
    }

    /// A library that knows what this one knows but for what has changed: `open` are the texts of manuals that are open in an editor, by absolute path, and `changed` the
    /// files that are to be read again. Where `folders` is set, files came or went, or settings changed, and every folder is listed anew.
    pub fn renewed(&self, open: FxHashMap<PathBuf, Arc<Source>>, changed: &[PathBuf], folders: bool) -> Library {
        let mut files = lock(&self.files).clone();
        files.retain(|path, loaded| {
            let is_open = |source: &Arc<Source>| Arc::ptr_eq(source, &loaded.source);
            !changed.contains(path) && open.get(path).map(is_open) == self.open.get(path).map(is_open)
        });
        let kept = |keep: bool| keep.then_some(());
        let of = kept(!folders);
        Library {
            folders: Mutex::new(of.map(|()| lock(&self.folders).clone()).unwrap_or_default()),
            searches: Mutex::new(of.map(|()| lock(&self.searches).clone()).unwrap_or_default()),
            files: Mutex::new(files),
            rules: Mutex::default(),
            settings: Mutex::new(of.map(|()| lock(&self.settings).clone()).unwrap_or_default()),
            given_settings: Mutex::new(lock(&self.given_settings).clone()),
            given: Mutex::new(lock(&self.given).clone()),
            open,
            stamps: Mutex::new(lock(&self.stamps).clone()),
            shelf: Arc::clone(&self.shelf),
        }
    }

    /// The manuals whose files were changed since they were read, and whether other manuals lie in the folders that were searched than did then: for whoever is told of no
    /// change. Looks at the disk.
    pub fn outdated(&self) -> (Vec<PathBuf>, bool) {
        let stamps = lock(&self.stamps).clone();
        let mut changed: Vec<PathBuf> = stamps
            .into_iter()
            .filter(|(path, stamp)| modified(path) != *stamp)
            .map(|(path, _)| path)
            .collect();
        changed.sort();
        let listed: Vec<(PathBuf, Arc<FxHashMap<String, PathBuf>>)> = lock(&self.folders)
            .iter()
            .map(|(folder, listed)| (folder.clone(), Arc::clone(listed)))
            .collect();
        let differs = listed.iter().any(|(folder, listed)| self.list(folder) != **listed);
        (changed, differs)
    }

    /// The names by which manuals can be called from a folder: those of files, nearest first, then those of the shelf.
    pub fn names(&self, folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for place in self.search(folder).iter() {
            let listed = self.listed(place);
            let mut here: Vec<String> = listed
                .values()
                .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
                .collect();
            here.sort();
            names.extend(here);
        }
        names.extend(shelf::all().iter().map(|entry| entry.name.to_owned()));
        let mut seen = FxHashSet::default();
        names.retain(|name| seen.insert(file_key(name)));
        names
    }

    /// Gives a manual as a text, shown under a name such as `tarn-250.manual`. It is found before files and shelf, in every folder.
    pub fn give(&self, name: &str, text: &str) {
        let source = Arc::new(Source::new(name, text));
        let loaded = Arc::new(load(source, false, None, Vec::new()).0);
        let mut given = lock(&self.given);
        given.retain(|known| known.source.name != name);
        given.push(loaded);
        lock(&self.rules).clear();
    }

    /// Gives the settings as a text, shown under a name such as `gudgeon.toml`. They hold in every folder, whatever file is there.
    pub fn give_settings(&self, name: &str, text: &str) {
        *lock(&self.given_settings) = Some(settings::read(name, text));
        lock(&self.rules).clear();
    }

    /// How the reports of logs in a folder look.
    pub fn report_settings(&self, folder: &Path) -> settings::ReportSettings {
        self.settings(folder).report
    }

    /// The settings that hold for a log in a folder.
    fn settings(&self, folder: &Path) -> settings::Found {
        if let Some(given) = &*lock(&self.given_settings) {
            return given.clone();
        }
        if let Some(known) = lock(&self.settings).get(folder) {
            return known.clone();
        }
        let start = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
        let found = settings::of_folder(&start);
        lock(&self.settings).insert(folder.to_owned(), found.clone());
        found
    }

    /// What decides whether an inspection of the files in a folder fails.
    pub fn gate(&self, folder: &Path) -> settings::Gate {
        self.settings(folder).gate
    }

    /// The shelf, in its own order.
    pub fn shelf(&self) -> Vec<Arc<Loaded>> {
        (0..shelf::all().len())
            .filter_map(|number| self.on_shelf(number))
            .collect()
    }

    /// One manual of the shelf.
    fn on_shelf(&self, number: usize) -> Option<Arc<Loaded>> {
        if let Some(known) = lock(&self.shelf.manuals).get(&number) {
            return Some(Arc::clone(known));
        }
        let entry = shelf::all().get(number)?;
        let source = Arc::new(Source::new(format!("shelf:{}", entry.name), entry.text));
        let loaded = Arc::new(load(source, true, None, Vec::new()).0);
        lock(&self.shelf.manuals).insert(number, Arc::clone(&loaded));
        Some(loaded)
    }

    /// The whole shelf, for a log that says these names of features and steps.
    fn whole_shelf(&self, names: &FxHashSet<String>) -> Arc<Rulebook> {
        let rivals = self.shelf.rivals.get_or_init(|| {
            let shelf = self.shelf();
            let manuals: Vec<&Manual> = shelf.iter().map(|loaded| &*loaded.manual).collect();
            Rivals::new(&manuals)
        });
        let order = rivals.order(names);
        if let Some(known) = lock(&self.shelf.whole).get(&order) {
            return Arc::clone(known);
        }
        let manuals = order.iter().filter_map(|number| self.on_shelf(*number));
        let manuals = manuals.map(|loaded| book_manual(&loaded, 0)).collect();
        let rules = Arc::new(Rulebook::new(Book::new(manuals)));
        lock(&self.shelf.whole).insert(order, Arc::clone(&rules));
        rules
    }

    /// The rules for a log in `folder` that names these manuals.
    pub fn resolve(&self, folder: &Path, names: &[String]) -> Resolved {
        self.resolve_for(folder, names, &FxHashSet::default())
    }

    /// The same; if it names none, the whole shelf, put in order by what else the log says: names of features and steps.
    pub fn resolve_for(&self, folder: &Path, names: &[String], said: &FxHashSet<String>) -> Resolved {
        if names.is_empty() {
            let found = self.settings(folder);
            return Resolved {
                rules: self.whole_shelf(said),
                missing: Vec::new(),
                faulty: Vec::new(),
                settings: found.settings,
                settings_problem: found.problem,
            };
        }
        let key = (folder.to_owned(), names.iter().map(|n| file_key(n)).collect::<Vec<_>>());
        if let Some(known) = lock(&self.rules).get(&key) {
            return known.clone();
        }
        let resolved = self.put_together(folder, names);
        lock(&self.rules).insert(key, resolved.clone());
        resolved
    }

    fn put_together(&self, folder: &Path, names: &[String]) -> Resolved {
        let mut chain = Chain::default();
        let mut missing = Vec::new();
        for (root, name) in names.iter().enumerate() {
            match self.find(folder, name) {
                Some(loaded) => self.extend(&loaded, folder, root, &mut chain),
                None => missing.push((name.clone(), self.near(folder, name))),
            }
        }
        let manuals: Vec<BookManual> = chain
            .manuals
            .iter()
            .map(|(loaded, root)| book_manual(loaded, *root))
            .collect();
        let rules = Rulebook::new(Book::new(manuals));
        let faulty = chain
            .manuals
            .iter()
            .enumerate()
            .map(|(number, (loaded, _))| {
                let of_sums = rules.problems.iter().filter(|(manual, _)| *manual == number).count();
                let own = loaded
                    .problems
                    .iter()
                    .filter(|p| !matches!(p.code, "manual.duplicate" | "manual.no-reason"))
                    .count();
                let leads_nowhere = chain.unknown.iter().filter(|name| **name == loaded.source.name).count();
                // Told of the first, which rests on all of them.
                let of_chain = usize::from(chain.is_cut && number == 0);
                (loaded.source.name.clone(), own + of_sums + leads_nowhere + of_chain)
            })
            .filter(|(_, count)| *count > 0)
            .collect();
        let found = self.settings(folder);
        Resolved {
            rules: Arc::new(rules),
            missing,
            faulty,
            settings: found.settings,
            settings_problem: found.problem,
        }
    }

    /// Adds a manual and all it extends, each once; a circle is cut where it closes.
    fn extend(&self, loaded: &Arc<Loaded>, folder: &Path, root: usize, chain: &mut Chain) {
        if chain.manuals.iter().any(|(known, _)| Arc::ptr_eq(known, loaded)) {
            return;
        }
        // So the way down is no deeper than that either.
        if chain.manuals.len() == MOST_MANUALS {
            chain.is_cut = true;
            return;
        }
        chain.manuals.push((Arc::clone(loaded), root));
        let near = loaded.folder.as_deref().unwrap_or(folder);
        for name in &loaded.manual.extends {
            // A manual never extends itself: the same name means the one on the shelf.
            match self.find_other(near, &name.name, loaded) {
                Some(next) => self.extend(&next, near, root, chain),
                None => chain.unknown.push(loaded.source.name.clone()),
            }
        }
    }

    /// Rules in which a manual stands first, as for inspecting it; with the problems of its `extends` lines.
    pub(super) fn rules_of(&self, own: &Arc<Loaded>, folder: &Path) -> (Rulebook, Vec<SyntaxError>) {
        let mut chain = Chain::default();
        self.extend(own, folder, 0, &mut chain);
        let manuals = chain
            .manuals
            .iter()
            .map(|(loaded, root)| book_manual(loaded, *root))
            .collect();
        let mut problems = Vec::new();
        for name in &own.manual.extends {
            let problem = |code, message: String, help: String| SyntaxError {
                code,
                span: name.span,
                message,
                help,
                suggestion: None,
            };
            match self.find_other(folder, &name.name, own) {
                None if is_called(own, &name.name) => problems.push(problem(
                    "manual.cycle",
                    format!("`{}` extends itself", name.name),
                    "take the line out; a manual holds all it says already".to_owned(),
                )),
                None => {
                    let near = self.near(folder, &name.name);
                    problems.push(problem(
                        "unknown.manual",
                        format!("no manual is called `{}`", name.name),
                        near.map_or_else(
                            || "`gudgeon shelf` lists the built-in ones".to_owned(),
                            |near| format!("`{near}` is near"),
                        ),
                    ));
                }
                Some(next) if self.leads_to(&next, own, folder, &mut Vec::new()) => problems.push(problem(
                    "manual.cycle",
                    format!(
                        "`{}` extends this manual in turn, so the two go round in a circle",
                        name.name
                    ),
                    "take one of the two `extends` lines out".to_owned(),
                )),
                Some(_) => {}
            }
        }
        if let Some(name) = own.manual.extends.first().filter(|_| chain.is_cut) {
            problems.push(SyntaxError {
                code: "manual.chain",
                span: name.span,
                message: format!("this manual rests on more than {MOST_MANUALS} others; what is beyond is not used"),
                help: "name those that are needed here, and take out what leads to the rest".to_owned(),
                suggestion: None,
            });
        }
        (Rulebook::new(Book::new(manuals)), problems)
    }

    /// Whether a manual extends another, directly or through others.
    fn leads_to(&self, from: &Arc<Loaded>, to: &Arc<Loaded>, folder: &Path, seen: &mut Vec<String>) -> bool {
        if seen.len() == MOST_MANUALS || seen.contains(&from.source.name) {
            return false;
        }
        seen.push(from.source.name.clone());
        let near = from.folder.as_deref().unwrap_or(folder);
        from.manual.extends.iter().any(|name| {
            (is_called(to, &name.name) && !from.on_shelf && !is_called(from, &name.name))
                || self
                    .find_other(near, &name.name, from)
                    .is_some_and(|next| self.leads_to(&next, to, folder, seen))
        })
    }

    /// A manual by its name: beside the log, in `manuals` folders upwards, on the shelf.
    pub fn find(&self, folder: &Path, name: &str) -> Option<Arc<Loaded>> {
        self.candidates(folder, name).next()
    }

    /// A manual by its name that is not `own`.
    fn find_other(&self, folder: &Path, name: &str, own: &Loaded) -> Option<Arc<Loaded>> {
        self.candidates(folder, name)
            .find(|found| found.source.name != own.source.name && found.source.text != own.source.text)
    }

    fn candidates<'l>(&'l self, folder: &Path, name: &str) -> impl Iterator<Item = Arc<Loaded>> + 'l {
        let wanted = file_key(name.trim().trim_end_matches(".manual"));
        let shelf_wanted = wanted.clone();
        let search = self.search(folder);
        let paths: Vec<PathBuf> = search
            .iter()
            .filter_map(|place| self.listed(place).get(&wanted).cloned())
            .collect();
        let given: Vec<Arc<Loaded>> = lock(&self.given)
            .iter()
            .filter(|loaded| is_called(loaded, name))
            .cloned()
            .collect();
        let on_files = paths.into_iter().filter_map(|path| self.read(&path));
        let on_shelf = shelf::all()
            .iter()
            .enumerate()
            .filter(move |(_, entry)| file_key(entry.name) == shelf_wanted)
            .filter_map(|(number, _)| self.on_shelf(number));
        given.into_iter().chain(on_files).chain(on_shelf)
    }

    /// The nearest name of a manual that exists.
    pub fn near(&self, folder: &Path, name: &str) -> Option<String> {
        let search = self.search(folder);
        let listed: Vec<_> = search.iter().map(|place| self.listed(place)).collect();
        if listed.iter().map(|names| names.len()).sum::<usize>() > MOST_COMPARED {
            return None;
        }
        let mut names: Vec<String> = listed
            .iter()
            .flat_map(|names| names.keys().cloned())
            .chain(shelf::all().iter().map(|entry| entry.name.to_owned()))
            .collect();
        names.sort();
        nearest(&file_key(name), names.iter().map(String::as_str)).map(str::to_owned)
    }

    /// The folders in which manuals are looked for, nearest first: the log's own, its `manuals` folder, and those of the folders above it up to
    /// the root of its repository.
    pub(super) fn search(&self, folder: &Path) -> Arc<Vec<PathBuf>> {
        if let Some(known) = lock(&self.searches).get(folder) {
            return Arc::clone(known);
        }
        let start = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
        let root = settings::root(&start);
        let mut places = vec![folder.to_owned(), folder.join("manuals")];
        // Outside a repository two floors up are enough to find a shop's manuals, and few enough not to wander off.
        let floors = if root.is_some() { usize::MAX } else { 2 };
        let above = start
            .ancestors()
            .skip(1)
            .take(floors)
            .take_while(|above| root.is_none_or(|root| above.starts_with(root)));
        places.extend(above.map(|above| above.join("manuals")));
        let places = Arc::new(places);
        lock(&self.searches).insert(folder.to_owned(), Arc::clone(&places));
        places
    }

    /// The manuals in a folder, by file key; of two that fold to one key, the first by name.
    pub(super) fn listed(&self, folder: &Path) -> Arc<FxHashMap<String, PathBuf>> {
        if let Some(known) = lock(&self.folders).get(folder) {
            return Arc::clone(known);
        }
        let listed = Arc::new(self.list(folder));
        lock(&self.folders).insert(folder.to_owned(), Arc::clone(&listed));
        listed
    }

    /// The same, from the disk.
    fn list(&self, folder: &Path) -> FxHashMap<String, PathBuf> {
        let place = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        let mut paths: Vec<PathBuf> = std::fs::read_dir(place)
            .into_iter()
            .flatten()
            .filter_map(Result::ok)
            .map(|entry| folder.join(entry.file_name()))
            .filter(|path| FileKind::of_path(path) == Some(FileKind::Manual) && path.is_file())
            .collect();
        // One that is open and not saved yet lies in its folder too.
        paths.extend(self.open.keys().filter(|path| path.parent() == Some(folder)).cloned());
        paths.sort();
        let mut listed = FxHashMap::default();
        for path in paths {
            let stem = path
                .file_stem()
                .map(|s| s.to_string_lossy().into_owned())
                .unwrap_or_default();
            listed.entry(file_key(&stem)).or_insert(path);
        }
        listed
    }

    /// Whether a manual found by its name lies outside the repository that it was looked for in, by a link, and may not. Outside of repositories there is nothing that
    /// it could lead out of.
    fn leads_out(&self, path: &Path) -> bool {
        let folder = discover::folder_of(path);
        let start = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
        let Some(root) = settings::root(&start).and_then(|root| root.canonicalize().ok()) else {
            return false;
        };
        let real = path.canonicalize();
        real.is_ok_and(|real| !real.starts_with(&root)) && !self.settings(folder).outside
    }

    pub(super) fn read(&self, path: &Path) -> Option<Arc<Loaded>> {
        if let Some(known) = lock(&self.files).get(path) {
            return Some(Arc::clone(known));
        }
        let folder = path.parent().map(Path::to_owned);
        if let Some(open) = self.open.get(path) {
            let loaded = Arc::new(load(Arc::clone(open), false, folder, Vec::new()).0);
            lock(&self.files).insert(path.to_owned(), Arc::clone(&loaded));
            return Some(loaded);
        }
        lock(&self.stamps).insert(path.to_owned(), modified(path));
        // One that is there and cannot be read is not missing: it has a fault, and is judged by as an empty one.
        let read = match self.leads_out(path) {
            true => Err(OUTSIDE.to_owned()),
            false => discover::read(path),
        };
        let (bytes, why) = match read {
            Ok(bytes) => (bytes, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        let mut decoded = decode(bytes);
        decoded.errors.extend(why.map(|why| SyntaxError {
            code: "manual.unreadable",
            span: Span::default(),
            message: format!("this manual cannot be read: {why}"),
            help: String::new(),
            suggestion: None,
        }));
        let source = Arc::new(Source::new(discover::shown_from_here(path), decoded.text));
        let loaded = Arc::new(load(source, false, folder, decoded.errors).0);
        lock(&self.files).insert(path.to_owned(), Arc::clone(&loaded));
        Some(loaded)
    }
}

/// Why a manual is not read that a link leads to.
const OUTSIDE: &str =
    "a link leads out of the repository to it; `outside = true` under `[manuals]` in gudgeon.toml allows that";

/// Manuals in the order of precedence, each with the number of the `manual` line that brought it in.
#[derive(Default)]
struct Chain {
    manuals: Vec<(Arc<Loaded>, usize)>,
    /// For each `extends` that leads nowhere, the name of the manual it stands in.
    unknown: Vec<String>,
    /// Whether there were more than are used.
    is_cut: bool,
}

fn book_manual(loaded: &Arc<Loaded>, root: usize) -> BookManual {
    BookManual {
        source: Arc::clone(&loaded.source),
        manual: Arc::clone(&loaded.manual),
        on_shelf: loaded.on_shelf,
        root,
    }
}

/// Whether a name means this manual: its own name or its file's.
fn is_called(loaded: &Loaded, name: &str) -> bool {
    let wanted = file_key(name);
    let stem = Path::new(&loaded.source.name)
        .file_stem()
        .map(|s| file_key(&s.to_string_lossy()))
        .unwrap_or_default();
    file_key(&loaded.manual.name) == wanted || stem == wanted
}
