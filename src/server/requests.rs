//! Requests answered: each takes a look at a document as it stood when the request came, asks `editor`, and converts the answer.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::Value;
use tower_lsp::ls_types::*;

use super::config::Config;
use super::convert::{completion, edits, findings, places, shown, symbols, tokens};
use super::document::Snapshot;
use super::facts::Facts;
use super::index::{read_wholly, with_open};
use super::positions::{offset, range, span};
use super::session::Session;
use crate::editor::completion::Around;
use crate::editor::{self, Page};
use crate::judge::{Analysis, Edit};
use crate::model::names::key;
use crate::syntax::Source;
use crate::workspace::{analyse, discover};

/// The most other jobs of a machine that are looked at for its history.
const MOST_EARLIER: usize = 12;

/// The most names that a search gives.
const MOST_FOUND: usize = 256;

/// What a request may ask: the document as it stood when the request came.
pub struct Ask {
    /// The document.
    pub snapshot: Arc<Snapshot>,
    /// What is known of it.
    pub page: Arc<Page>,
    /// What the client can do.
    pub facts: Arc<Facts>,
    /// What the user has set.
    pub config: Arc<Config>,
    /// For what lies beyond the page.
    pub session: Arc<Session>,
}

impl Ask {
    fn source(&self) -> &Source {
        &self.snapshot.source
    }

    fn uri(&self) -> &Uri {
        &self.snapshot.identity.uri
    }

    fn path(&self) -> PathBuf {
        let identity = &self.snapshot.identity;
        identity
            .path
            .clone()
            .unwrap_or_else(|| PathBuf::from(identity.uri.as_str()))
    }

    fn at(&self, position: Position) -> u32 {
        offset(self.source(), position, self.facts.encoding)
    }

    fn edits(&self, list: &[Edit]) -> Vec<TextEdit> {
        edits::text_edits(list, self.source(), &self.facts)
    }

    /// Findings, as a client that asks for them gets them.
    pub fn diagnostics(&self) -> Vec<Diagnostic> {
        findings::diagnostics(self.page.findings(), self.source(), self.uri(), &self.facts)
    }

    /// What is known of what stands at a position.
    pub fn hover(&self, position: Position) -> Option<Hover> {
        let hover = editor::hover::hover(&self.page, self.at(position), &self.earlier())?;
        Some(Hover {
            contents: HoverContents::Markup(shown::markup(hover.markdown, &self.facts)),
            range: Some(range(self.source(), hover.span, self.facts.encoding)),
        })
    }

    /// Other jobs of the machine, as their files stand; earliest first.
    fn earlier(&self) -> Vec<Arc<Analysis>> {
        let Page::Log(log) = &*self.page else { return Vec::new() };
        let Some(machine) = machine_of(log) else {
            return Vec::new();
        };
        let (index, generation, library) = {
            let state = self.session.state();
            (Arc::clone(&state.index), state.generation, Arc::clone(&state.library))
        };
        let paths = index.of_machine(&machine, &self.path());
        let skipped = paths.len().saturating_sub(MOST_EARLIER);
        let mut list = Vec::new();
        for path in paths.into_iter().skip(skipped) {
            let known = self.session.state().earlier.get(&path).cloned();
            if let Some((_, analysis)) = known.filter(|(known, _)| *known == generation) {
                list.push(analysis);
                continue;
            }
            let Ok(bytes) = discover::read(&path) else { continue };
            let name = path.to_string_lossy().into_owned();
            let analysis = Arc::new(analyse(&name, discover::folder_of(&path), bytes, &library));
            self.session.keep_earlier(path, generation, Arc::clone(&analysis));
            list.push(analysis);
        }
        list
    }

    /// What may be written at a position.
    pub fn completion(&self, position: Position) -> CompletionResponse {
        let list = editor::completion::completions(&self.page, self.at(position), &self.around());
        let items = list
            .iter()
            .map(|one| completion::item(one, self.source(), self.uri(), &self.facts))
            .collect();
        CompletionResponse::List(CompletionList {
            // What is offered depends on all that was typed.
            is_incomplete: true,
            items,
        })
    }

    /// What a proposal is about, in full.
    pub fn completion_documentation(&self, about: &str) -> Option<Documentation> {
        let markdown = editor::completion::documentation(&self.page, about)?;
        Some(Documentation::MarkupContent(shown::markup(markdown, &self.facts)))
    }

    fn around(&self) -> Around {
        let index = Arc::clone(&self.session.state().index);
        let mut machines: Vec<String> = index
            .files
            .values()
            .filter_map(|summary| summary.machine.as_deref().map(str::to_owned))
            .collect();
        machines.sort();
        machines.dedup();
        Around {
            manuals: self.snapshot.library.names(self.snapshot.folder()),
            machines,
            photos: match &self.snapshot.identity.path {
                Some(_) => discover::pictures(self.snapshot.folder()),
                None => Vec::new(),
            },
            today: jiff::ZonedDateTime::now().date().to_string(),
        }
    }

    /// Where a name comes from.
    pub fn definition(&self, position: Position) -> Option<GotoDefinitionResponse> {
        // The page itself and its book know where names come from; what other files say of them may be as old as the index.
        let index = Arc::clone(&self.session.state().index);
        let (from, list) = editor::definition::definition(&self.page, self.at(position), &index)?;
        places::destinations(from, self.source(), &list, &self.facts)
    }

    /// Everywhere a name stands.
    pub fn references(&self, position: Position, declarations: bool) -> Vec<Location> {
        // What can be found is better than nothing.
        let index = read_wholly(&self.session).unwrap_or_else(|_| with_open(&self.session));
        let path = self.path();
        let list = editor::references::references(&self.page, &path, self.at(position), &index, declarations);
        let mut texts = Texts::new(self);
        let places = list.into_iter().filter_map(|(path, span)| {
            let (uri, _, source) = texts.of(&path)?;
            Some(Location {
                uri,
                range: range(&source, span, self.facts.encoding),
            })
        });
        places.collect()
    }

    /// Everywhere on the page.
    pub fn highlights(&self, position: Position) -> Vec<DocumentHighlight> {
        let list = editor::references::highlights(&self.page, self.at(position)).into_iter();
        list.map(|(span, is_declaration)| shown::highlight(span, is_declaration, self.source(), &self.facts))
            .collect()
    }

    /// Whether a name can be changed.
    pub fn prepare_rename(&self, position: Position) -> Result<PrepareRenameResponse, String> {
        let (span, placeholder) = editor::rename::prepare(&self.page, self.at(position))?;
        Ok(PrepareRenameResponse::RangeWithPlaceholder {
            range: range(self.source(), span, self.facts.encoding),
            placeholder,
        })
    }

    /// A name changed everywhere.
    pub fn rename(&self, position: Position, to: &str) -> Result<WorkspaceEdit, String> {
        let index = read_wholly(&self.session)?;
        let path = self.path();
        let list = editor::rename::rename(&self.page, &path, self.at(position), to, &index)?;
        let mut texts = Texts::new(self);
        let mut files = Vec::new();
        for (path, changes) in list {
            let Some((uri, version, source)) = texts.of(&path) else {
                return Err(format!("{} cannot be read, so nothing was renamed", path.display()));
            };
            files.push((uri, version, edits::text_edits(&changes, &source, &self.facts)));
        }
        Ok(edits::workspace_edit(files, &self.facts))
    }

    /// The outline.
    pub fn outline(&self) -> DocumentSymbolResponse {
        let list = editor::symbols::outline(&self.page);
        symbols::outline(&list, self.source(), self.uri(), &self.facts)
    }

    /// What may be done about a range. A client that does not ask for the edits of an action later gets them at once.
    pub fn actions(&self, params: &CodeActionParams) -> Vec<CodeActionOrCommand> {
        if !self.facts.actions {
            return Vec::new();
        }
        let asked = span(self.source(), params.range, self.facts.encoding);
        let only = params.context.only.as_deref();
        let diagnostics = if params.context.diagnostics.is_empty() {
            Vec::new()
        } else {
            self.diagnostics()
        };
        let list = editor::actions::actions(&self.page, asked);
        let wanted = list.iter().filter(|action| {
            let kind = shown::action_kind(action.kind);
            match only {
                Some(only) => only.iter().any(|wanted| is_within(&kind, wanted)),
                // What concerns the whole page is only done where it was asked for.
                None => action.kind != editor::actions::ActionKind::FixAll,
            }
        });
        let mut all = Vec::new();
        for action in wanted {
            // What is told to be mended is the client's own finding, word for word, as the client knows it.
            let mends = action
                .finding
                .and_then(|number| diagnostics.get(number))
                .and_then(|own| params.context.diagnostics.iter().find(|theirs| is_same(own, theirs)))
                .cloned();
            let mut answer = shown::action(action, mends, self.uri());
            if !self.facts.resolves_edits {
                let Some(edit) = self.action_edit(&action.data) else {
                    continue;
                };
                answer.edit = Some(edit);
                answer.data = None;
            }
            all.push(CodeActionOrCommand::CodeAction(answer));
        }
        all
    }

    /// The edits of an action.
    pub fn action_edit(&self, does: &str) -> Option<WorkspaceEdit> {
        let list = editor::actions::resolve(&self.page, does)?;
        let files = vec![(self.uri().clone(), Some(self.snapshot.version), self.edits(&list))];
        Some(edits::workspace_edit(files, &self.facts))
    }

    /// The page laid out.
    pub fn formatting(&self) -> Vec<TextEdit> {
        self.edits(&editor::formatting::format(&self.page))
    }

    /// A range laid out.
    pub fn range_formatting(&self, asked: Range) -> Vec<TextEdit> {
        let asked = span(self.source(), asked, self.facts.encoding);
        self.edits(&editor::formatting::format_range(&self.page, asked))
    }

    /// The line just ended laid out, and the next one begun.
    pub fn on_newline(&self, position: Position) -> Vec<TextEdit> {
        self.edits(&editor::formatting::on_newline(&self.page, self.at(position)))
    }

    /// What folds.
    pub fn folds(&self) -> Vec<FoldingRange> {
        editor::folding::folds(&self.page).iter().map(shown::fold).collect()
    }

    /// What is selected next, for each position.
    pub fn selections(&self, positions: &[Position]) -> Vec<SelectionRange> {
        let all = positions.iter().map(|position| {
            let spans = editor::selection::selections(&self.page, self.at(*position));
            shown::selection(&spans, self.source(), &self.facts).unwrap_or_else(|| SelectionRange {
                range: Range::new(*position, *position),
                parent: None,
            })
        });
        all.collect()
    }

    /// The tokens within a range, or of the page.
    pub fn tokens(&self, within: Option<Range>) -> Vec<SemanticToken> {
        let whole = crate::syntax::Span::new(0, self.source().text.len());
        let within = within.map_or(whole, |asked| span(self.source(), asked, self.facts.encoding));
        let list = editor::tokens::tokens(&self.page, within);
        tokens::relative(&list, self.source(), self.facts.encoding)
    }

    /// Files that the page names.
    pub fn links(&self) -> Vec<DocumentLink> {
        let list = editor::links::links(&self.page);
        list.iter()
            .filter_map(|link| shown::link(link, &self.snapshot.identity, self.source(), &self.facts))
            .collect()
    }

    /// What is shown between the words of a range.
    pub fn hints(&self, within: Range) -> Vec<InlayHint> {
        let within = span(self.source(), within, self.facts.encoding);
        editor::inlay::hints(&self.page, within)
            .into_iter()
            .filter_map(|hint| shown::hint(hint, self.source(), &self.config, &self.facts))
            .collect()
    }

    /// What stands above the lines.
    pub fn lenses(&self) -> Vec<CodeLens> {
        if !self.config.lens.0 {
            return Vec::new();
        }
        editor::lens::lenses(&self.page)
            .iter()
            .map(|lens| shown::lens(lens, self.uri(), self.source(), &self.config, &self.facts))
            .collect()
    }
}

/// Names of the workspace by some of their letters.
pub fn workspace_symbols(session: &Arc<Session>, query: &str) -> Vec<SymbolInformation> {
    let facts = Arc::clone(&session.state().facts);
    let index = with_open(session);
    let mut texts = Texts {
        session,
        known: Vec::new(),
    };
    let found = editor::search::search(&index, query, MOST_FOUND).into_iter();
    #[allow(deprecated)]
    let found = found.filter_map(|one| {
        let (uri, _, source) = texts.of(&one.path)?;
        Some(SymbolInformation {
            name: one.name,
            kind: symbols::entity_kind(one.entity),
            tags: None,
            deprecated: None,
            location: Location {
                uri,
                range: range(&source, one.span, facts.encoding),
            },
            container_name: (!one.within.is_empty()).then_some(one.within),
        })
    });
    found.collect()
}

/// The `data` of something that is to be worked out in full: the document, and what the editor's function needs to know.
pub fn about(data: Option<&Value>, field: &str) -> Option<(Uri, String)> {
    let data = data?;
    let uri = data.get("uri")?.as_str()?.parse().ok()?;
    Some((uri, data.get(field)?.as_str()?.to_owned()))
}

fn machine_of(log: &Analysis) -> Option<String> {
    use crate::syntax::ast::{HeadKind, Statement};
    log.tree.entries.iter().find_map(|entry| match &entry.statement {
        Statement::Head(HeadKind::Machine, text) => Some(key(text.text(&log.source.text)).into_owned()),
        _ => None,
    })
}

/// `quickfix.x` is within `quickfix`.
fn is_within(kind: &CodeActionKind, wanted: &CodeActionKind) -> bool {
    let (kind, wanted) = (kind.as_str(), wanted.as_str());
    wanted.is_empty() || kind == wanted || kind.strip_prefix(wanted).is_some_and(|rest| rest.starts_with('.'))
}

fn is_same(own: &Diagnostic, theirs: &Diagnostic) -> bool {
    own.range == theirs.range && own.code == theirs.code && own.message == theirs.message
}

/// Texts of files: of those that are open as they stand in the editor, of others as they stand on the disk.
struct Texts<'s> {
    session: &'s Arc<Session>,
    known: Vec<(PathBuf, Uri, Option<i32>, Arc<Source>)>,
}

impl<'s> Texts<'s> {
    fn new(ask: &'s Ask) -> Texts<'s> {
        let own = (
            ask.path(),
            ask.uri().clone(),
            Some(ask.snapshot.version),
            Arc::clone(&ask.snapshot.source),
        );
        Texts {
            session: &ask.session,
            known: vec![own],
        }
    }

    fn of(&mut self, path: &Path) -> Option<(Uri, Option<i32>, Arc<Source>)> {
        if let Some((_, uri, version, source)) = self.known.iter().find(|(known, ..)| known == path) {
            return Some((uri.clone(), *version, Arc::clone(source)));
        }
        let open = {
            let state = self.session.state();
            let mut documents = state.documents.values();
            let found = documents.find(|document| document.identity.path.as_deref() == Some(path));
            found.map(|document| {
                let now = document.now();
                (
                    document.identity.uri.clone(),
                    Some(now.version),
                    Arc::clone(&now.source),
                )
            })
        };
        let (uri, version, source) = match open {
            Some(open) => open,
            None => {
                let text = crate::syntax::decode(discover::read(path).ok()?).text;
                let source = Source::new(path.to_string_lossy(), text);
                (Uri::from_file_path(path)?, None, Arc::new(source))
            }
        };
        self.known
            .push((path.to_owned(), uri.clone(), version, Arc::clone(&source)));
        Some((uri, version, source))
    }
}
