//! Semantic tokens: the legend, and the differences from token to token that the protocol wants.

use tower_lsp::ls_types::{
    SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokensEdit, SemanticTokensLegend,
};

use crate::editor::tokens::{Marks, Token, TokenKind};
use crate::server::positions::{Encoding, position};
use crate::syntax::Source;

/// The kinds, in the order of their numbers. Prose and ticks are not among them: many an editor draws strings in red, and on a log red means out of limit.
const KINDS: [(TokenKind, SemanticTokenType); 11] = [
    (TokenKind::Keyword, SemanticTokenType::KEYWORD),
    (TokenKind::Property, SemanticTokenType::PROPERTY),
    (TokenKind::Function, SemanticTokenType::FUNCTION),
    (TokenKind::Class, SemanticTokenType::CLASS),
    (TokenKind::Parameter, SemanticTokenType::PARAMETER),
    (TokenKind::Variable, SemanticTokenType::VARIABLE),
    (TokenKind::Number, SemanticTokenType::NUMBER),
    (TokenKind::Type, SemanticTokenType::TYPE),
    (TokenKind::Comment, SemanticTokenType::COMMENT),
    (TokenKind::Operator, SemanticTokenType::OPERATOR),
    (TokenKind::Namespace, SemanticTokenType::NAMESPACE),
];

/// What the numbers mean.
pub fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: KINDS.iter().map(|(_, kind)| kind.clone()).collect(),
        token_modifiers: vec![
            SemanticTokenModifier::DECLARATION,
            SemanticTokenModifier::DEPRECATED,
            SemanticTokenModifier::DEFAULT_LIBRARY,
            SemanticTokenModifier::READONLY,
        ],
    }
}

fn bits(marks: Marks) -> u32 {
    [
        marks.declaration,
        marks.deprecated,
        marks.default_library,
        marks.readonly,
    ]
    .iter()
    .enumerate()
    .map(|(bit, is_set)| u32::from(*is_set) << bit)
    .sum()
}

/// Tokens as differences, each from the one before.
pub fn relative(tokens: &[Token], source: &Source, encoding: Encoding) -> Vec<SemanticToken> {
    let mut before = (0, 0);
    let mut list = Vec::with_capacity(tokens.len());
    for token in tokens {
        let start = position(source, token.span.start, encoding);
        let Some(kind) = KINDS.iter().position(|(kind, _)| *kind == token.kind) else {
            continue;
        };
        let delta_line = start.line - before.0;
        let from = if delta_line == 0 { before.1 } else { 0 };
        list.push(SemanticToken {
            delta_line,
            delta_start: start.character.saturating_sub(from),
            length: encoding.count(token.span.text(&source.text)),
            token_type: u32::try_from(kind).unwrap_or_default(),
            token_modifiers_bitset: bits(token.marks),
        });
        before = (start.line, start.character);
    }
    list
}

/// The one edit that makes `new` of `old`: what lies between what they have in common at both ends. Counted in the numbers of the wire, five a token.
pub fn difference(old: &[SemanticToken], new: &[SemanticToken]) -> Vec<SemanticTokensEdit> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let most = old.len().min(new.len()) - head;
    let tail = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(most)
        .take_while(|(a, b)| a == b)
        .count();
    if old.len() == new.len() && head == new.len() {
        return Vec::new();
    }
    let number = |count: usize| u32::try_from(count * 5).unwrap_or(u32::MAX);
    let data: Vec<SemanticToken> = new.get(head..new.len() - tail).unwrap_or_default().to_vec();
    vec![SemanticTokensEdit {
        start: number(head),
        delete_count: number(old.len() - tail - head),
        data: (!data.is_empty()).then_some(data),
    }]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn token(number: u32) -> SemanticToken {
        SemanticToken {
            delta_line: number,
            ..SemanticToken::default()
        }
    }

    #[test]
    fn one_edit_leads_from_the_old_tokens_to_the_new() {
        let lists = [vec![], vec![1, 2, 3], vec![1, 3], vec![3, 3, 3, 3], vec![1, 2, 2, 3]];
        for old in &lists {
            for new in &lists {
                let old: Vec<SemanticToken> = old.iter().map(|n| token(*n)).collect();
                let new: Vec<SemanticToken> = new.iter().map(|n| token(*n)).collect();
                let mut made = old.clone();
                for edit in difference(&old, &new) {
                    let start = edit.start as usize / 5;
                    let end = start + edit.delete_count as usize / 5;
                    made.splice(start..end, edit.data.unwrap_or_default());
                }
                assert_eq!(made, new);
            }
        }
    }
}
