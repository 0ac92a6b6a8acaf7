//! What the server can do, as it says in its answer to `initialize`.

use tower_lsp::ls_types::*;

use super::commands;
use super::convert::tokens::legend;
use super::facts::Facts;

/// What is offered to a client that can do so much.
pub fn capabilities(facts: &Facts) -> ServerCapabilities {
    let no_progress = WorkDoneProgressOptions::default;
    ServerCapabilities {
        position_encoding: Some(facts.encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(TextDocumentSyncOptions {
            open_close: Some(true),
            change: Some(TextDocumentSyncKind::INCREMENTAL),
            will_save: None,
            will_save_wait_until: None,
            save: Some(TextDocumentSyncSaveOptions::Supported(true)),
        })),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(CompletionOptions {
            resolve_provider: Some(true),
            // Behind these something new may be named; letters ask by themselves.
            trigger_characters: Some([" ", ",", "=", ":"].map(str::to_owned).to_vec()),
            ..CompletionOptions::default()
        }),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        document_highlight_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        code_action_provider: Some(if facts.actions {
            CodeActionProviderCapability::Options(CodeActionOptions {
                code_action_kinds: Some(vec![
                    CodeActionKind::QUICKFIX,
                    CodeActionKind::REFACTOR_REWRITE,
                    CodeActionKind::SOURCE_FIX_ALL,
                ]),
                work_done_progress_options: no_progress(),
                resolve_provider: Some(true),
            })
        } else {
            CodeActionProviderCapability::Simple(true)
        }),
        code_lens_provider: Some(CodeLensOptions {
            resolve_provider: Some(false),
        }),
        document_formatting_provider: Some(OneOf::Left(true)),
        document_range_formatting_provider: Some(OneOf::Left(true)),
        document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
            first_trigger_character: "\n".to_owned(),
            more_trigger_character: None,
        }),
        rename_provider: Some(if facts.default_rename {
            OneOf::Right(RenameOptions {
                prepare_provider: Some(true),
                work_done_progress_options: no_progress(),
            })
        } else {
            OneOf::Left(true)
        }),
        document_link_provider: Some(DocumentLinkOptions {
            resolve_provider: Some(false),
            work_done_progress_options: no_progress(),
        }),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
        execute_command_provider: Some(ExecuteCommandOptions {
            commands: commands::ALL.map(str::to_owned).to_vec(),
            work_done_progress_options: no_progress(),
        }),
        semantic_tokens_provider: Some(SemanticTokensServerCapabilities::SemanticTokensOptions(
            SemanticTokensOptions {
                work_done_progress_options: no_progress(),
                legend: legend(),
                range: Some(true),
                full: Some(SemanticTokensFullOptions::Delta { delta: Some(true) }),
            },
        )),
        inlay_hint_provider: Some(OneOf::Left(true)),
        diagnostic_provider: facts.pulls.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("gudgeon".to_owned()),
                inter_file_dependencies: true,
                workspace_diagnostics: true,
                work_done_progress_options: no_progress(),
            })
        }),
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: None,
        }),
        ..ServerCapabilities::default()
    }
}
