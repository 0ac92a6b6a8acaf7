//! Proposals.

use serde_json::json;
use tower_lsp::ls_types::{CompletionItem, CompletionItemKind, CompletionTextEdit, InsertTextFormat, TextEdit, Uri};

use crate::editor::completion::{Completion, CompletionKind};
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::syntax::Source;

fn kind(kind: CompletionKind) -> CompletionItemKind {
    match kind {
        CompletionKind::Keyword => CompletionItemKind::KEYWORD,
        CompletionKind::Feature => CompletionItemKind::PROPERTY,
        CompletionKind::Step => CompletionItemKind::METHOD,
        CompletionKind::Part => CompletionItemKind::CLASS,
        CompletionKind::Place => CompletionItemKind::FIELD,
        CompletionKind::Tool => CompletionItemKind::VARIABLE,
        CompletionKind::Unit => CompletionItemKind::UNIT,
        CompletionKind::Manual => CompletionItemKind::MODULE,
        CompletionKind::Stage => CompletionItemKind::ENUM_MEMBER,
        CompletionKind::Need => CompletionItemKind::CONSTANT,
        CompletionKind::Value => CompletionItemKind::VALUE,
        CompletionKind::File => CompletionItemKind::FILE,
    }
}

/// A proposal. Clients filter by what stands before the cursor: that is the name as far as it has been typed, so the label is what they compare with.
pub fn item(one: &Completion, source: &Source, uri: &Uri, facts: &Facts) -> CompletionItem {
    let snippet = one.snippet.as_ref().filter(|_| facts.snippets);
    let typed = one.replaces.text(&source.text);
    // Several words may have been typed already; what is compared must begin as they do where the proposal does.
    let filter = if one.text.to_lowercase().starts_with(&typed.to_lowercase()) {
        one.text.lines().next().unwrap_or(&one.text).to_owned()
    } else {
        one.label.clone()
    };
    CompletionItem {
        label: one.label.clone(),
        kind: Some(kind(one.kind)),
        detail: (!one.detail.is_empty()).then(|| one.detail.clone()),
        sort_text: Some(format!("{:06}", one.rank)),
        filter_text: (filter != one.label).then_some(filter),
        insert_text_format: Some(if snippet.is_some() {
            InsertTextFormat::SNIPPET
        } else {
            InsertTextFormat::PLAIN_TEXT
        }),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit {
            range: range(source, one.replaces, facts.encoding),
            new_text: snippet.unwrap_or(&one.text).clone(),
        })),
        data: (!one.data.is_empty()).then(|| json!({ "uri": uri.as_str(), "about": one.data })),
        ..CompletionItem::default()
    }
}
