//! The outline of a manual: its features and sums with their limits, its precautions, its procedures with their steps.

use super::super::shape::{Block, blocks};
use super::{Symbol, SymbolKind};
use crate::judge::ManualAnalysis;
use crate::judge::words::fold;
use crate::syntax::Span;
use crate::syntax::ast::{Clause, LimitNode, Rule, RuleEntry};
use crate::syntax::spans::Spans;

/// A detail longer than this is cut: an outline is narrow.
const LONGEST_DETAIL: usize = 72;

/// The manual with all that stands below it; nothing of an empty page.
pub(super) fn outline(analysis: &ManualAnalysis) -> Vec<Symbol> {
    let text = &analysis.source.text;
    let entries = &analysis.tree.entries;
    let Some(first) = entries.first() else {
        return Vec::new();
    };
    let title = entries.iter().find_map(|entry| match &entry.rule {
        Rule::Manual(name) if !name.is_empty() => Some(*name),
        _ => None,
    });
    let mut children: Vec<Symbol> = Vec::new();
    for block in blocks(&analysis.tree) {
        let Some(symbol) = of_block(&block, analysis) else {
            continue;
        };
        match children.last_mut() {
            // A step without a procedure stands by itself.
            Some(last) if block.depth > 0 && last.span.end >= symbol.span.end => last.children.push(symbol),
            _ => children.push(symbol),
        }
    }
    vec![Symbol {
        name: match title {
            Some(name) => fold(name.text(text)),
            None => "manual without a name".to_owned(),
        },
        detail: said(entries, text, |rule| match rule {
            Rule::Source(words) => Some(*words),
            _ => None,
        }),
        kind: SymbolKind::Manual,
        span: Span::new(0, text.len()),
        name_span: title.unwrap_or(first.span),
        children,
    }]
}

fn of_block(block: &Block<'_>, analysis: &ManualAnalysis) -> Option<Symbol> {
    let text = &analysis.source.text;
    let entry = block.entries.first()?;
    let words = |span: Span| fold(span.text(text));
    let because = || {
        said(block.entries, text, |rule| match rule {
            Rule::Because(words) => Some(*words),
            _ => None,
        })
    };
    let (name, name_span, detail, kind) = match &entry.rule {
        Rule::Feature(heading) => (
            words(heading.name),
            heading.name,
            limits(block.entries, text),
            SymbolKind::Feature,
        ),
        Rule::Calc(heading, sum) => {
            let mut detail = vec![format!("= {}", words(sum.span()))];
            detail.extend(Some(limits(block.entries, text)).filter(|limits| !limits.is_empty()));
            (words(heading.name), heading.name, detail.join("; "), SymbolKind::Calc)
        }
        Rule::Precaution(heading) => (words(heading.name), heading.name, because(), SymbolKind::Precaution),
        Rule::Procedure(name) => {
            let steps = block
                .entries
                .iter()
                .filter(|e| matches!(e.rule, Rule::Step(..)))
                .count();
            let plural = if steps == 1 { "" } else { "s" };
            (
                words(*name),
                *name,
                format!("{steps} step{plural}"),
                SymbolKind::Procedure,
            )
        }
        Rule::Step(name, _) => (words(*name), *name, place_of(block.entries, text), SymbolKind::Step),
        Rule::Never(never) => {
            let names = never.names.iter().copied().reduce(Span::to).unwrap_or(entry.span);
            let because = never.because.map_or_else(String::new, words);
            (format!("never {}", words(names)), names, because, SymbolKind::Other)
        }
        Rule::OneOf(steps) => {
            let names = steps.iter().copied().reduce(Span::to).unwrap_or(entry.span);
            (
                format!("one of {}", words(names)),
                names,
                String::new(),
                SymbolKind::Other,
            )
        }
        _ => return None,
    };
    // What has no name is not written yet.
    (!name.is_empty()).then(|| Symbol {
        name,
        detail: shortened(detail),
        kind,
        span: block.lines.span(&analysis.tree.lines),
        name_span,
        children: Vec::new(),
    })
}

/// The first words that some line says.
fn said(entries: &[RuleEntry], text: &str, which: impl Fn(&Rule) -> Option<Span>) -> String {
    let found = entries.iter().find_map(|entry| which(&entry.rule));
    found.map_or_else(String::new, |span| shortened(fold(span.text(text))))
}

/// The limits below a feature, as written, without their sources: `build 0.35 to 0.50 mm, service up to 0.60 mm`.
fn limits(entries: &[RuleEntry], text: &str) -> String {
    let lines = entries.iter().filter_map(|entry| match &entry.rule {
        Rule::Limit(_, limit, _) | Rule::Nominal(limit, _) | Rule::Alike(limit, _) | Rule::Aim(limit, _) => {
            // From the stage to the last figure: `up to` has no place of its own.
            let whole = Span {
                end: end_of(limit).unwrap_or(entry.span.end),
                ..entry.span
            };
            Some(fold(whole.text(text)))
        }
        _ => None,
    });
    lines.collect::<Vec<_>>().join(", ")
}

fn end_of(limit: &LimitNode) -> Option<u32> {
    let mut end = None;
    limit.clone().each_span(&mut |span| end = end.max(Some(span.end)));
    end
}

/// Where a step stands among the others: whether it is optional, and what comes before it.
fn place_of(entries: &[RuleEntry], text: &str) -> String {
    let clauses = entries.iter().flat_map(|entry| match &entry.rule {
        Rule::Step(_, clauses) | Rule::Clauses(clauses) => clauses.as_slice(),
        _ => &[],
    });
    let mut words: Vec<String> = Vec::new();
    for clause in clauses {
        match clause {
            Clause::Optional => words.push("optional".to_owned()),
            Clause::Once => words.push("once".to_owned()),
            Clause::After(steps) | Clause::DirectlyAfter(steps) => {
                let steps: Vec<String> = steps.iter().map(|step| fold(step.text(text))).collect();
                words.push(format!("after {}", steps.join(", ")));
            }
            _ => {}
        }
    }
    words.join("; ")
}

/// A text cut to what an outline has room for.
fn shortened(text: String) -> String {
    match text.char_indices().nth(LONGEST_DETAIL) {
        Some((at, _)) => format!("{}…", text.get(..at).unwrap_or_default().trim_end()),
        None => text,
    }
}
