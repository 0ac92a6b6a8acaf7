//! What the client can do, as it said in `initialize`.

use tower_lsp::ls_types::{ClientCapabilities, InitializeParams, MarkupKind};

use super::positions::Encoding;

/// What the client can do. Nothing is used that it did not offer.
#[derive(Clone, Debug, Default)]
#[allow(clippy::struct_excessive_bools)]
pub struct Facts {
    /// What positions count.
    pub encoding: Encoding,
    /// It asks for findings itself; they are then never pushed. Only where it can also be told to ask again: an edited manual changes what is found in a log that
    /// was not touched.
    pub pulls: bool,
    /// Files can be watched for us.
    pub watches: bool,
    /// It can be asked for its settings.
    pub has_configuration: bool,
    /// It tells of settings only to those who ask to be told.
    pub registers_configuration: bool,
    /// It shows progress.
    pub shows_progress: bool,
    /// It can be told to ask again for findings.
    pub refreshes_findings: bool,
    /// It can be told to ask again for hints.
    pub refreshes_hints: bool,
    /// It can be told to ask again for lenses.
    pub refreshes_lenses: bool,
    /// It can be told to ask again for tokens.
    pub refreshes_tokens: bool,
    /// It takes edits with the version they are for.
    pub versioned_edits: bool,
    /// It can be asked to carry out an edit.
    pub applies_edits: bool,
    /// It draws outlines as trees.
    pub trees: bool,
    /// It fills in snippets.
    pub snippets: bool,
    /// It takes actions with a kind, not only commands.
    pub actions: bool,
    /// It asks for the edits of an action when it is chosen.
    pub resolves_edits: bool,
    /// It shows the places that a finding rests on.
    pub related: bool,
    /// It goes to a place with the span it was asked of.
    pub links: bool,
    /// It renders markdown.
    pub markdown: bool,
    /// It prepares renaming.
    pub default_rename: bool,
    /// The process that started this one.
    pub process: Option<u32>,
}

impl Facts {
    /// Reads what a client says of itself.
    #[allow(clippy::too_many_lines)]
    pub fn of(params: &InitializeParams) -> Facts {
        let capabilities: &ClientCapabilities = &params.capabilities;
        let document = capabilities.text_document.clone().unwrap_or_default();
        let workspace = capabilities.workspace.clone().unwrap_or_default();
        let window = capabilities.window.clone().unwrap_or_default();
        let general = capabilities.general.clone().unwrap_or_default();
        let edits = workspace.workspace_edit.clone().unwrap_or_default();
        let completion = document.completion.clone().unwrap_or_default();
        let action = document.code_action.clone().unwrap_or_default();
        let said = |flag: Option<bool>| flag.unwrap_or(false);
        let hover = document.hover.clone().unwrap_or_default().content_format;
        let refreshes_findings = said(workspace.diagnostics.and_then(|d| d.refresh_support));
        Facts {
            encoding: Encoding::choose(general.position_encodings.as_deref()),
            pulls: document.diagnostic.is_some() && refreshes_findings,
            watches: said(workspace.did_change_watched_files.and_then(|w| w.dynamic_registration)),
            has_configuration: said(workspace.configuration),
            registers_configuration: said(workspace.did_change_configuration.and_then(|c| c.dynamic_registration)),
            shows_progress: said(window.work_done_progress),
            refreshes_findings,
            refreshes_hints: said(workspace.inlay_hint.and_then(|h| h.refresh_support)),
            refreshes_lenses: said(workspace.code_lens.and_then(|l| l.refresh_support)),
            refreshes_tokens: said(workspace.semantic_tokens.and_then(|t| t.refresh_support)),
            versioned_edits: said(edits.document_changes),
            applies_edits: said(workspace.apply_edit),
            trees: said(
                document
                    .document_symbol
                    .and_then(|s| s.hierarchical_document_symbol_support),
            ),
            snippets: said(completion.completion_item.and_then(|item| item.snippet_support)),
            actions: action.code_action_literal_support.is_some(),
            resolves_edits: action
                .resolve_support
                .is_some_and(|support| support.properties.iter().any(|p| p == "edit")),
            related: said(document.publish_diagnostics.and_then(|p| p.related_information)),
            links: said(document.definition.and_then(|d| d.link_support)),
            markdown: hover.is_none_or(|formats| formats.contains(&MarkupKind::Markdown)),
            default_rename: said(document.rename.and_then(|r| r.prepare_support)),
            process: params.process_id,
        }
    }
}
