//! Outlines and names of the workspace.

use tower_lsp::ls_types::{
    DocumentSymbol, DocumentSymbolResponse, Location, SymbolInformation, SymbolKind as Kind, Uri,
};

use crate::editor::Entity;
use crate::editor::symbols::{Symbol, SymbolKind};
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::syntax::Source;

fn kind(kind: SymbolKind) -> Kind {
    match kind {
        SymbolKind::Job => Kind::MODULE,
        SymbolKind::Day => Kind::NAMESPACE,
        SymbolKind::Reading => Kind::FIELD,
        SymbolKind::Step => Kind::METHOD,
        SymbolKind::Inspection => Kind::EVENT,
        SymbolKind::Part => Kind::OBJECT,
        SymbolKind::Tool => Kind::VARIABLE,
        SymbolKind::Manual => Kind::FILE,
        SymbolKind::Feature => Kind::PROPERTY,
        SymbolKind::Calc => Kind::FUNCTION,
        SymbolKind::Procedure => Kind::CLASS,
        SymbolKind::Precaution => Kind::CONSTANT,
        SymbolKind::Other => Kind::STRING,
    }
}

/// What a name names, as the protocol sorts symbols.
pub fn entity_kind(entity: Entity) -> Kind {
    match entity {
        Entity::Feature => Kind::PROPERTY,
        Entity::Step => Kind::METHOD,
        Entity::Part | Entity::Stock | Entity::Choice => Kind::OBJECT,
        Entity::Place => Kind::FIELD,
        Entity::Tool => Kind::VARIABLE,
        Entity::Manual => Kind::FILE,
        Entity::Procedure => Kind::CLASS,
        Entity::Need => Kind::CONSTANT,
        Entity::Machine | Entity::Job => Kind::MODULE,
    }
}

/// The outline: as a tree where the client draws one, else as a list.
pub fn outline(symbols: &[Symbol], source: &Source, uri: &Uri, facts: &Facts) -> DocumentSymbolResponse {
    if facts.trees {
        let tree = symbols.iter().map(|symbol| branch(symbol, source, facts)).collect();
        return DocumentSymbolResponse::Nested(tree);
    }
    let mut flat = Vec::new();
    flatten(symbols, None, source, uri, facts, &mut flat);
    DocumentSymbolResponse::Flat(flat)
}

#[allow(deprecated)]
fn branch(symbol: &Symbol, source: &Source, facts: &Facts) -> DocumentSymbol {
    let children: Vec<DocumentSymbol> = symbol
        .children
        .iter()
        .map(|child| branch(child, source, facts))
        .collect();
    DocumentSymbol {
        name: symbol.name.clone(),
        detail: (!symbol.detail.is_empty()).then(|| symbol.detail.clone()),
        kind: kind(symbol.kind),
        tags: None,
        deprecated: None,
        range: range(source, symbol.span.to(symbol.name_span), facts.encoding),
        selection_range: range(source, symbol.name_span, facts.encoding),
        children: (!children.is_empty()).then_some(children),
    }
}

#[allow(deprecated)]
fn flatten(
    symbols: &[Symbol],
    within: Option<&str>,
    source: &Source,
    uri: &Uri,
    facts: &Facts,
    list: &mut Vec<SymbolInformation>,
) {
    for symbol in symbols {
        list.push(SymbolInformation {
            name: symbol.name.clone(),
            kind: kind(symbol.kind),
            tags: None,
            deprecated: None,
            location: Location {
                uri: uri.clone(),
                range: range(source, symbol.span, facts.encoding),
            },
            container_name: within.map(str::to_owned),
        });
        flatten(&symbol.children, Some(&symbol.name), source, uri, facts, list);
    }
}
