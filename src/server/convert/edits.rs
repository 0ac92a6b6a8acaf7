//! Changes of text.

use std::collections::HashMap;

use tower_lsp::ls_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit, Uri, WorkspaceEdit,
};

use crate::judge::Edit;
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::syntax::{Source, Span};

/// Changes of one text, in its order.
pub fn text_edits(edits: &[Edit], source: &Source, facts: &Facts) -> Vec<TextEdit> {
    let edits = edits.iter().map(|edit| {
        let (span, new_text) = outside_line_ends(edit, &source.text);
        TextEdit {
            range: range(source, span, facts.encoding),
            new_text,
        }
    });
    edits.collect()
}

/// A change that neither begins nor ends between `\r` and `\n`: the protocol has no position there.
fn outside_line_ends(edit: &Edit, text: &str) -> (Span, String) {
    let is_between = |at: u32| {
        let before = text.get(..at as usize).is_some_and(|before| before.ends_with('\r'));
        before && text.get(at as usize..).is_some_and(|rest| rest.starts_with('\n'))
    };
    let (mut span, mut new) = (edit.span, edit.text.clone());
    if is_between(span.start) {
        span.start -= 1;
        new.insert(0, '\r');
    }
    if is_between(span.end) {
        span.end += 1;
        new.push('\n');
    }
    (span, new)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_change_begins_or_ends_inside_a_line_end() {
        let text = "job\r\nx\r\n";
        let made = |start, end, new: &str| {
            let edit = Edit {
                span: Span::new(start, end),
                text: new.to_owned(),
            };
            let (span, new) = outside_line_ends(&edit, text);
            (span.start, span.end, new)
        };
        assert_eq!(made(3, 4, ""), (3, 5, "\n".to_owned()));
        assert_eq!(made(4, 5, "y"), (3, 5, "\ry".to_owned()));
        assert_eq!(made(4, 4, "y"), (3, 5, "\ry\n".to_owned()));
        assert_eq!(made(5, 6, "z"), (5, 6, "z".to_owned()));
    }
}
