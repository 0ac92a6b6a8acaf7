//! The messages of the protocol, each handed on. The handlers of edits do all their work before they could await anything; the handlers of requests take their
//! snapshot first and compute on a thread of their own.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;

use serde_json::Value;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::ls_types::*;
use tower_lsp::{Client, LanguageServer};

use super::capabilities::capabilities;
use super::config::Config;
use super::convert::places::path_of;
use super::convert::tokens::difference;
use super::facts::Facts;
use super::index::Task;
use super::requests::{self, Ask};
use super::session::{Session, Stored};
use super::{commands, index, judging, orphan, watching};
use crate::syntax::FileKind;
use crate::workspace::discover::root_of;

/// The error of a request that is understood and cannot be met.
const REQUEST_FAILED: i64 = -32803;

/// The server as the protocol's library sees it.
pub struct Backend {
    client: Client,
    session: Arc<Session>,
    ready: Sender<Client>,
}

impl Backend {
    /// A server for a client, which it hands to `ready` once it can be told something.
    pub fn new(client: Client, session: Arc<Session>, ready: Sender<Client>) -> Backend {
        Backend { client, session, ready }
    }

    /// Asks a document as it stands now. `None` if it is not open. The document is looked up before the first await.
    async fn ask<T: Send + 'static>(
        &self,
        uri: &Uri,
        question: impl FnOnce(&Ask) -> T + Send + 'static,
    ) -> Result<Option<T>> {
        let Some(snapshot) = self.session.snapshot(uri) else {
            return Ok(None);
        };
        let session = Arc::clone(&self.session);
        self.work(move || {
            let (facts, config) = {
                let state = session.state();
                (Arc::clone(&state.facts), Arc::clone(&state.config))
            };
            let page = snapshot.page();
            question(&Ask {
                snapshot,
                page,
                facts,
                config,
                session,
            })
        })
        .await
        .map(Some)
    }

    /// Works on a thread of its own. Work that nobody wants any more is not begun; a panic is answered as an error, and the server lives.
    async fn work<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T> {
        let given_up = GivenUp::default();
        let is_given_up = Arc::clone(&given_up.0);
        let task = tokio::task::spawn_blocking(move || (!is_given_up.load(Ordering::Acquire)).then(work));
        let answer = task.await;
        given_up.0.store(true, Ordering::Release);
        match answer {
            Ok(Some(answer)) => Ok(answer),
            Ok(None) => Err(Error::request_cancelled()),
            Err(_) => Err(Error {
                message: "a fault of gudgeon: this question could not be answered; the file is left as it is".into(),
                ..Error::internal_error()
            }),
        }
    }

    /// Has a folder indexed, once.
    fn index(&self, root: PathBuf) {
        let is_new = {
            let mut state = self.session.state();
            let is_new = !state.roots.iter().any(|known| root.starts_with(known));
            if is_new {
                state.roots.push(root.clone());
                state.to_scan += 1;
            }
            is_new
        };
        if is_new {
            self.session.task(Task::Scan(root));
        }
    }
}

/// Says that an answer is not wanted any more when the future that waits for it is dropped.
#[derive(Default)]
struct GivenUp(Arc<AtomicBool>);

impl Drop for GivenUp {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Release);
    }
}

fn failed(why: String) -> Error {
    Error {
        code: ErrorCode::ServerError(REQUEST_FAILED),
        message: why.into(),
        data: None,
    }
}

/// A log or a manual: by the path's ending, else by what the client calls it.
fn kind_of(uri: &Uri, language: &str) -> FileKind {
    let by_path = path_of(uri).and_then(|path| FileKind::of_path(&path));
    by_path.unwrap_or(if language == "rebuild-manual" {
        FileKind::Manual
    } else {
        FileKind::Log
    })
}

#[allow(deprecated)]
fn folders_of(params: &InitializeParams) -> Vec<PathBuf> {
    match &params.workspace_folders {
        Some(folders) => folders.iter().filter_map(|folder| path_of(&folder.uri)).collect(),
        None => params.root_uri.iter().filter_map(path_of).collect(),
    }
}

impl LanguageServer for Backend {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let facts = Facts::of(&params);
        let answer = InitializeResult {
            capabilities: capabilities(&facts),
            server_info: Some(ServerInfo {
                name: "gudgeon".to_owned(),
                version: Some(crate::VERSION.to_owned()),
            }),
            ..InitializeResult::default()
        };
        orphan::watch(&self.session, facts.process);
        let mut state = self.session.state();
        state.facts = Arc::new(facts);
        if let Some(config) = params
            .initialization_options
            .as_ref()
            .and_then(|o| Config::read(o).ok())
        {
            state.config = Arc::new(config);
        }
        state.folders = folders_of(&params);
        Ok(answer)
    }

    async fn initialized(&self, _: InitializedParams) {
        // Without a thread that judges nobody would be there to be told.
        let _ = self.ready.send(self.client.clone());
        index::start(&self.session, self.client.clone());
        watching::register(&self.session, &self.client);
        watching::ask_settings(&self.session, &self.client);
        let folders = self.session.state().folders.clone();
        for folder in folders {
            self.index(folder);
        }
    }

    async fn shutdown(&self) -> Result<()> {
        self.session.end();
        Ok(())
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        let document = params.text_document;
        let kind = kind_of(&document.uri, &document.language_id);
        let opened = self
            .session
            .open(document.uri.clone(), kind, document.version, document.text);
        if let Err(why) = opened {
            watching::tell_too_much(&self.session, &self.client, document.uri, &why);
            return;
        }
        watching::look_again(&self.session, &self.client);
        if let Some(path) = path_of(&document.uri) {
            self.index(root_of(&path));
        }
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        let document = params.text_document;
        let changed = self
            .session
            .change(&document.uri, document.version, params.content_changes);
        let changed = match changed {
            Ok(Some(changed)) => changed,
            Ok(None) => return,
            Err(why) => {
                watching::tell_too_much(&self.session, &self.client, document.uri, &why);
                return;
            }
        };
        if kind_of(&document.uri, "") == FileKind::Manual {
            watching::refresh_shown(&self.session, &self.client);
            watching::refresh_findings(&self.session, &self.client);
            self.session.task(Task::Judge);
        }
        if let Some((snapshot, judged)) = changed.glance {
            let (session, client) = (Arc::clone(&self.session), self.client.clone());
            // What goes wrong at a glance is told when all is judged.
            let _ = self
                .work(move || judging::glance(&session, &client, &snapshot, &judged))
                .await;
        }
    }

    async fn did_save(&self, params: DidSaveTextDocumentParams) {
        watching::look_again(&self.session, &self.client);
        if let Some(path) = path_of(&params.text_document.uri) {
            self.session.task(Task::Files(vec![path]));
        }
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        let Some(identity) = self.session.close(&params.text_document.uri) else {
            return;
        };
        self.session.task(Task::Closed(identity));
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        watching::watched(&self.session, &self.client, params.changes);
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        let asks = self.session.state().facts.has_configuration;
        if asks {
            watching::ask_settings(&self.session, &self.client);
        } else {
            watching::take_settings(&self.session, &self.client, &params.settings).await;
        }
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        let path = |folder: &WorkspaceFolder| path_of(&folder.uri);
        let gone: Vec<PathBuf> = params.event.removed.iter().filter_map(path).collect();
        let came: Vec<PathBuf> = params.event.added.iter().filter_map(path).collect();
        {
            let mut state = self.session.state();
            state.folders.retain(|folder| !gone.contains(folder));
            state.folders.extend(came.iter().cloned());
            state.roots.retain(|root| !gone.contains(root));
        }
        for folder in gone {
            self.session.task(Task::Forget(folder));
        }
        for folder in came {
            self.index(folder);
        }
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        let answer = self.ask(&at.text_document.uri, move |ask| ask.hover(at.position));
        Ok(answer.await?.flatten())
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let at = params.text_document_position;
        self.ask(&at.text_document.uri, move |ask| ask.completion(at.position))
            .await
    }

    async fn completion_resolve(&self, mut item: CompletionItem) -> Result<CompletionItem> {
        if let Some((uri, about)) = requests::about(item.data.as_ref(), "about") {
            let answer = self.ask(&uri, move |ask| ask.completion_documentation(&about));
            item.documentation = answer.await?.flatten();
        }
        Ok(item)
    }

    async fn goto_definition(&self, params: GotoDefinitionParams) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        let answer = self.ask(&at.text_document.uri, move |ask| ask.definition(at.position));
        Ok(answer.await?.flatten())
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let declarations = params.context.include_declaration;
        let question = move |ask: &Ask| ask.references(at.position, declarations);
        self.ask(&at.text_document.uri, question).await
    }

    async fn document_highlight(&self, params: DocumentHighlightParams) -> Result<Option<Vec<DocumentHighlight>>> {
        let at = params.text_document_position_params;
        self.ask(&at.text_document.uri, move |ask| ask.highlights(at.position))
            .await
    }

    async fn prepare_rename(&self, params: TextDocumentPositionParams) -> Result<Option<PrepareRenameResponse>> {
        let position = params.position;
        let answer = self.ask(&params.text_document.uri, move |ask| ask.prepare_rename(position));
        answer.await?.transpose().map_err(failed)
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let at = params.text_document_position;
        let answer = self.ask(&at.text_document.uri, move |ask| {
            ask.rename(at.position, &params.new_name)
        });
        answer.await?.transpose().map_err(failed)
    }

    async fn document_symbol(&self, params: DocumentSymbolParams) -> Result<Option<DocumentSymbolResponse>> {
        self.ask(&params.text_document.uri, Ask::outline).await
    }

    async fn symbol(&self, params: WorkspaceSymbolParams) -> Result<Option<WorkspaceSymbolResponse>> {
        let session = Arc::clone(&self.session);
        let found = self.work(move || requests::workspace_symbols(&session, &params.query));
        Ok(Some(WorkspaceSymbolResponse::Flat(found.await?)))
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |ask| ask.actions(&params)).await
    }

    async fn code_action_resolve(&self, mut action: CodeAction) -> Result<CodeAction> {
        if let Some((uri, does)) = requests::about(action.data.as_ref(), "does") {
            let answer = self.ask(&uri, move |ask| ask.action_edit(&does)).await?;
            action.edit = answer.flatten();
            if action.edit.is_none() {
                return Err(Error {
                    code: ErrorCode::ContentModified,
                    message: "the text has changed since this was offered; ask again".into(),
                    data: None,
                });
            }
        }
        Ok(action)
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.ask(&params.text_document.uri, Ask::lenses).await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.ask(&params.text_document.uri, Ask::links).await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.ask(&params.text_document.uri, Ask::folds).await
    }

    async fn selection_range(&self, params: SelectionRangeParams) -> Result<Option<Vec<SelectionRange>>> {
        let positions = params.positions;
        let question = move |ask: &Ask| ask.selections(&positions);
        self.ask(&params.text_document.uri, question).await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        let range = params.range;
        self.ask(&params.text_document.uri, move |ask| ask.hints(range)).await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.ask(&params.text_document.uri, Ask::formatting).await
    }

    async fn range_formatting(&self, params: DocumentRangeFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let range = params.range;
        self.ask(&params.text_document.uri, move |ask| ask.range_formatting(range))
            .await
    }

    async fn on_type_formatting(&self, params: DocumentOnTypeFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let at = params.text_document_position;
        self.ask(&at.text_document.uri, move |ask| ask.on_newline(at.position))
            .await
    }

    async fn semantic_tokens_full(&self, params: SemanticTokensParams) -> Result<Option<SemanticTokensResult>> {
        let uri = params.text_document.uri.clone();
        let Some(data) = self.ask(&uri, |ask| ask.tokens(None)).await? else {
            return Ok(None);
        };
        let result_id = self.session.keep_tokens(&uri, &data);
        Ok(Some(SemanticTokensResult::Tokens(SemanticTokens {
            result_id: Some(result_id),
            data,
        })))
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let uri = params.text_document.uri.clone();
        let known = self.session.state().tokens.get(&uri).cloned();
        let Some(data) = self.ask(&uri, |ask| ask.tokens(None)).await? else {
            return Ok(None);
        };
        let result_id = Some(self.session.keep_tokens(&uri, &data));
        let known = known.filter(|(id, _)| *id == params.previous_result_id);
        Ok(Some(match known {
            Some((_, old)) => SemanticTokensFullDeltaResult::TokensDelta(SemanticTokensDelta {
                result_id,
                edits: difference(&old, &data),
            }),
            None => SemanticTokensFullDeltaResult::Tokens(SemanticTokens { result_id, data }),
        }))
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        let range = params.range;
        let data = self
            .ask(&params.text_document.uri, move |ask| ask.tokens(Some(range)))
            .await?;
        Ok(data.map(|data| SemanticTokensRangeResult::Tokens(SemanticTokens { result_id: None, data })))
    }

    async fn diagnostic(&self, params: DocumentDiagnosticParams) -> Result<DocumentDiagnosticReportResult> {
        if !self.session.state().facts.pulls {
            return Err(Error::method_not_found());
        }
        let uri = params.text_document.uri;
        // The same text by the same manuals has the same findings.
        let result_id = {
            let state = self.session.state();
            let version = state.documents.get(&uri).map(|document| document.version);
            version.map(|version| format!("{version}/{}", state.generation))
        };
        if result_id.is_some() && result_id == params.previous_result_id {
            let unchanged = UnchangedDocumentDiagnosticReport {
                result_id: result_id.unwrap_or_default(),
            };
            return Ok(DocumentDiagnosticReportResult::Report(
                DocumentDiagnosticReport::Unchanged(RelatedUnchangedDocumentDiagnosticReport {
                    related_documents: None,
                    unchanged_document_diagnostic_report: unchanged,
                }),
            ));
        }
        let items = self.ask(&uri, Ask::diagnostics).await?.unwrap_or_default();
        Ok(DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Full(
            RelatedFullDocumentDiagnosticReport {
                related_documents: None,
                full_document_diagnostic_report: FullDocumentDiagnosticReport { result_id, items },
            },
        )))
    }

    async fn workspace_diagnostic(&self, params: WorkspaceDiagnosticParams) -> Result<WorkspaceDiagnosticReportResult> {
        let state = self.session.state();
        if !state.facts.pulls {
            return Err(Error::method_not_found());
        }
        let mut stored: Vec<(&PathBuf, &Stored)> = state.stored.iter().collect();
        stored.sort_by(|a, b| a.0.cmp(b.0));
        let mut items = Vec::new();
        for (path, stored) in stored {
            let Some(uri) = Uri::from_file_path(path) else { continue };
            let is_known = params
                .previous_result_ids
                .iter()
                .any(|known| known.uri == uri && known.value == stored.result_id);
            items.push(if is_known {
                WorkspaceDocumentDiagnosticReport::Unchanged(WorkspaceUnchangedDocumentDiagnosticReport {
                    uri,
                    version: None,
                    unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                        result_id: stored.result_id.clone(),
                    },
                })
            } else {
                WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
                    uri,
                    version: None,
                    full_document_diagnostic_report: FullDocumentDiagnosticReport {
                        result_id: Some(stored.result_id.clone()),
                        items: stored.items.to_vec(),
                    },
                })
            });
        }
        Ok(WorkspaceDiagnosticReportResult::Report(WorkspaceDiagnosticReport {
            items,
        }))
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<LSPAny>> {
        let Some(uri) = commands::about(&params.arguments) else {
            return Err(Error::invalid_params("the address of a document is wanted first"));
        };
        let Some(snapshot) = self.session.snapshot(&uri) else {
            return Err(failed(format!("{} is not open", uri.as_str())));
        };
        match params.command.as_str() {
            commands::TEXT => Ok(Some(Value::String(snapshot.source.text.clone()))),
            commands::NEXT => {
                let text = self
                    .work(move || commands::what_next(&snapshot))
                    .await?
                    .map_err(failed)?;
                if !self.session.state().config.show_next {
                    commands::show(&self.session, &self.client, &text);
                }
                Ok(Some(Value::String(text)))
            }
            commands::START => {
                let manual = params.arguments.get(1).and_then(Value::as_str).map(str::to_owned);
                let manual = manual.ok_or_else(|| Error::invalid_params("the name of a manual is wanted second"))?;
                let (session, client) = (Arc::clone(&self.session), self.client.clone());
                let done = self.work(move || commands::new_log(&session, &client, &snapshot, &manual));
                done.await?.map_err(failed)?;
                Ok(None)
            }
            _ => Err(Error::method_not_found()),
        }
    }
}

#[cfg(test)]
mod tests {
    use tower_lsp::LspService;

    use super::*;

    fn service() -> LspService<Backend> {
        let session = Arc::new(Session::new(tokio::runtime::Handle::current()));
        let (ready, _) = std::sync::mpsc::channel();
        LspService::new(|client| Backend::new(client, session, ready)).0
    }

    #[tokio::test]
    async fn a_panic_is_answered_as_an_error_and_the_next_question_is_answered() {
        let service = service();
        let answer: Result<u8> = service.inner().work(|| panic!("a fault, on purpose")).await;
        let error = answer.expect_err("it failed");
        assert_eq!(error.code, ErrorCode::InternalError);
        assert!(error.message.contains("a fault of gudgeon"), "{}", error.message);
        assert_eq!(service.inner().work(|| 3).await, Ok(3));
    }

    #[tokio::test]
    async fn work_that_was_given_up_before_it_began_is_not_begun() {
        let service = service();
        // All threads that work may run on are kept busy; what is given up meanwhile must not run when they are free.
        let begun = Arc::new(AtomicBool::new(false));
        let (go, wait) = std::sync::mpsc::channel::<()>();
        let wait = Arc::new(std::sync::Mutex::new(wait));
        let busy: Vec<_> = (0..512)
            .map(|_| {
                let wait = Arc::clone(&wait);
                tokio::task::spawn_blocking(move || {
                    let _ = wait.lock().map(|wait| wait.recv());
                })
            })
            .collect();
        let marks = Arc::clone(&begun);
        let waiting = service.inner().work(move || marks.store(true, Ordering::Release));
        let gave_up = tokio::time::timeout(std::time::Duration::from_millis(50), waiting).await;
        assert!(gave_up.is_err(), "it was waiting");
        drop(go);
        for task in busy {
            let _ = task.await;
        }
        tokio::task::spawn_blocking(|| ()).await.expect("it runs");
        assert!(!begun.load(Ordering::Acquire));
    }
}
