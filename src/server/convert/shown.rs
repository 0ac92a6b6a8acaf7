//! What is shown beside the text: folds, selections, links, hints, lenses, actions.

use serde_json::json;
use tower_lsp::ls_types::{
    CodeAction, CodeActionKind, CodeLens, Command, Diagnostic, DocumentHighlight, DocumentHighlightKind, DocumentLink,
    FoldingRange, FoldingRangeKind, InlayHint, InlayHintKind, InlayHintLabel, InlayHintTooltip, Location,
    MarkupContent, MarkupKind, SelectionRange, Uri,
};

use super::places::uri_of;
use super::plain::plain;
use crate::editor::actions::{Action, ActionKind};
use crate::editor::folding::{Fold, FoldKind};
use crate::editor::inlay::{Hint, HintKind};
use crate::editor::lens::Lens;
use crate::editor::links::{Link, LinkTo};
use crate::server::config::Config;
use crate::server::document::Identity;
use crate::server::facts::Facts;
use crate::server::positions::{position, range};
use crate::syntax::{Source, Span};

/// Marked-up text, or the same without its marks for a client that shows none.
pub fn markup(markdown: String, facts: &Facts) -> MarkupContent {
    if facts.markdown {
        return MarkupContent {
            kind: MarkupKind::Markdown,
            value: markdown,
        };
    }
    MarkupContent {
        kind: MarkupKind::PlainText,
        value: plain(&markdown),
    }
}

/// A fold, by whole lines.
pub fn fold(fold: &Fold) -> FoldingRange {
    let line = |line: usize| u32::try_from(line).unwrap_or(u32::MAX);
    FoldingRange {
        start_line: line(fold.first),
        start_character: None,
        end_line: line(fold.last),
        end_character: None,
        kind: Some(match fold.kind {
            FoldKind::Region => FoldingRangeKind::Region,
            FoldKind::Comment => FoldingRangeKind::Comment,
        }),
        collapsed_text: None,
    }
}

/// Spans around a place, each with the one around it.
pub fn selection(spans: &[Span], source: &Source, facts: &Facts) -> Option<SelectionRange> {
    spans.iter().rev().fold(None, |around, span| {
        Some(SelectionRange {
            range: range(source, *span, facts.encoding),
            parent: around.map(Box::new),
        })
    })
}

/// A name at another place of the page.
pub fn highlight(span: Span, is_declaration: bool, source: &Source, facts: &Facts) -> DocumentHighlight {
    DocumentHighlight {
        range: range(source, span, facts.encoding),
        kind: Some(if is_declaration {
            DocumentHighlightKind::WRITE
        } else {
            DocumentHighlightKind::READ
        }),
    }
}

/// A link; a file is looked for from the page's own folder, and nowhere else.
pub fn link(link: &Link, identity: &Identity, source: &Source, facts: &Facts) -> Option<DocumentLink> {
    let target = match &link.to {
        LinkTo::File(written) => {
            identity.path.as_ref()?;
            Uri::from_file_path(identity.folder.join(written))?
        }
        LinkTo::Manual(name) => uri_of(name)?,
    };
    Some(DocumentLink {
        range: range(source, link.span, facts.encoding),
        target: Some(target),
        tooltip: (!link.tip.is_empty()).then(|| link.tip.clone()),
        data: None,
    })
}

/// A hint, if the user wants its kind.
pub fn hint(hint: Hint, source: &Source, config: &Config, facts: &Facts) -> Option<InlayHint> {
    let is_wanted = match hint.kind {
        HintKind::Worked => config.hints.worked,
        HintKind::Verdict => config.hints.verdicts,
        HintKind::Stale => config.hints.stale,
    };
    is_wanted.0.then(|| InlayHint {
        position: position(source, hint.at, facts.encoding),
        label: InlayHintLabel::String(hint.text),
        kind: (hint.kind == HintKind::Worked).then_some(InlayHintKind::TYPE),
        text_edits: None,
        tooltip: (!hint.tip.is_empty()).then(|| InlayHintTooltip::MarkupContent(markup(hint.tip, facts))),
        padding_left: Some(true),
        padding_right: None,
        data: None,
    })
}

/// A line above a line. With places it shows them where the client can; else it tells what comes next.
pub fn lens(lens: &Lens, uri: &Uri, source: &Source, config: &Config, facts: &Facts) -> CodeLens {
    let above = range(source, lens.span, facts.encoding);
    let command = if config.show_places && !lens.places.is_empty() {
        let places: Vec<Location> = lens
            .places
            .iter()
            .map(|span| Location {
                uri: uri.clone(),
                range: range(source, *span, facts.encoding),
            })
            .collect();
        Command {
            title: lens.title.clone(),
            command: "gudgeon.showPlaces".to_owned(),
            arguments: Some(vec![json!(uri), json!(above.start), json!(places)]),
        }
    } else {
        Command {
            title: lens.title.clone(),
            command: "gudgeon.next".to_owned(),
            arguments: Some(vec![json!(uri)]),
        }
    };
    CodeLens {
        range: above,
        command: Some(command),
        data: None,
    }
}

/// The kind of an action.
pub fn action_kind(kind: ActionKind) -> CodeActionKind {
    match kind {
        ActionKind::Quickfix => CodeActionKind::QUICKFIX,
        ActionKind::Rewrite => CodeActionKind::REFACTOR_REWRITE,
        ActionKind::FixAll => CodeActionKind::SOURCE_FIX_ALL,
    }
}

/// An action, its edits to be asked for.
pub fn action(action: &Action, mends: Option<Diagnostic>, uri: &Uri) -> CodeAction {
    CodeAction {
        title: action.title.clone(),
        kind: Some(action_kind(action.kind)),
        diagnostics: mends.map(|one| vec![one]),
        is_preferred: action.is_preferred.then_some(true),
        data: Some(json!({ "uri": uri.as_str(), "does": action.data })),
        ..CodeAction::default()
    }
}
