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

/// A proposal. Clients filter by what stands before the cursor: that is the name as far as it has been typed, and the label is what they compare it with. What else is to
/// be compared is only sent where the label does not begin as was typed: some clients take the place of a proposal to be another one then.
pub fn item(one: &Completion, source: &Source, uri: &Uri, facts: &Facts) -> CompletionItem {
    let snippet = one.snippet.as_ref().filter(|_| facts.snippets);
    let typed = one.replaces.text(&source.text).to_lowercase();
    let begins = |text: &str| text.to_lowercase().starts_with(&typed);
    let first_line = one.text.lines().next().unwrap_or(&one.text);
    let filter = (!begins(&one.label) && begins(first_line)).then(|| first_line.to_owned());
    let text = match (snippet, &one.snippet) {
        (Some(snippet), _) => snippet.clone(),
        (None, Some(snippet)) => up_to_the_first_blank(snippet, &one.text),
        (None, None) => one.text.clone(),
    };
    CompletionItem {
        label: one.label.clone(),
        kind: Some(kind(one.kind)),
        detail: (!one.detail.is_empty()).then(|| one.detail.clone()),
        sort_text: Some(format!("{:06}", one.rank)),
        filter_text: filter,
        insert_text_format: Some(if snippet.is_some() {
            InsertTextFormat::SNIPPET
        } else {
            InsertTextFormat::PLAIN_TEXT
        }),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit {
            range: range(source, one.replaces, facts.encoding),
            new_text: text,
        })),
        data: (!one.data.is_empty()).then(|| json!({ "uri": uri.as_str(), "about": one.data })),
        ..CompletionItem::default()
    }
}

/// A proposal for a client that fills no snippets: where something is to be filled in that nothing is known of, it ends there, since the cursor is behind it.
fn up_to_the_first_blank(snippet: &str, text: &str) -> String {
    let blank = (1..=9).filter_map(|number| snippet.find(&format!("${number}"))).min();
    // What stands before it is the same in both but for what a snippet escapes and fills in.
    let before = blank.map(|at| snippet.get(..at).unwrap_or_default());
    match before {
        Some(before) if !before.contains(['\\', '$']) && text.starts_with(before) => before.to_owned(),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_snippets_a_line_ends_where_something_is_to_be_filled_in() {
        let cut = |snippet: &str, text: &str| up_to_the_first_blank(snippet, text);
        assert_eq!(
            cut("side play = go $1, no-go $2 mm", "side play = go , no-go  mm"),
            "side play = go "
        );
        assert_eq!(
            cut("did press, force ${1:7} t", "did press, force 7 t"),
            "did press, force 7 t"
        );
        assert_eq!(cut("note $0", "note "), "note ");
    }
}
