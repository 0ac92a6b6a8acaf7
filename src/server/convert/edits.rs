//! Changes of text.

use std::collections::HashMap;

use tower_lsp::ls_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit, Uri, WorkspaceEdit,
};

use crate::judge::Edit;
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::syntax::Source;

/// Changes of one text, in its order.
pub fn text_edits(edits: &[Edit], source: &Source, facts: &Facts) -> Vec<TextEdit> {
    let edits = edits.iter().map(|edit| TextEdit {
        range: range(source, edit.span, facts.encoding),
        new_text: edit.text.clone(),
    });
    edits.collect()
}

/// Changes of several files: address, version where it is open, changes.
pub fn workspace_edit(files: Vec<(Uri, Option<i32>, Vec<TextEdit>)>, facts: &Facts) -> WorkspaceEdit {
    if facts.versioned_edits {
        let edits = files.into_iter().map(|(uri, version, edits)| TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier { uri, version },
            edits: edits.into_iter().map(OneOf::Left).collect(),
        });
        return WorkspaceEdit {
            document_changes: Some(DocumentChanges::Edits(edits.collect())),
            ..WorkspaceEdit::default()
        };
    }
    let changes: HashMap<Uri, Vec<TextEdit>> = files.into_iter().map(|(uri, _, edits)| (uri, edits)).collect();
    WorkspaceEdit {
        changes: Some(changes),
        ..WorkspaceEdit::default()
    }
}
