//! Whether what is renamed is still read and judged as before: the changed texts are read again, and the page is judged again.

use std::path::Path;
use std::sync::Arc;

use super::reach::Reach;
use super::{Change, forms};
use crate::calc::Rulebook;
use crate::editor::Page;
use crate::editor::index::{Index, stem_key};
use crate::editor::mentions::{Mention, of_log_and_ticks, of_manual_and_ticks};
use crate::judge::{Analysis, Finding, ManualAnalysis, Resolved, judge_log, judge_manual};
use crate::model::book::BookManual;
use crate::model::{Book, lower_manual};
use crate::syntax::{FileKind, Source, Span, parse_log, parse_manual};

/// Says what would be read or judged otherwise with the new name, if anything would.
pub(super) fn all(page: &Page, path: &Path, change: &Change, reach: &Reach, index: &Index) -> Result<(), String> {
    let mut texts: Vec<(Arc<Source>, Arc<Source>)> = Vec::new();
    for (file, spans) in &reach.places {
        let kind = index.files.get(file).map_or(page.kind(), |summary| summary.kind);
        let Some(source) = text_of(page, path, file, change, spans) else {
            forms::check(change, kind)?;
            continue;
        };
        let changed = Arc::new(Source::new(source.name.clone(), applied(&source.text, change, spans)));
        reads_alike(kind, &source, &changed, change, spans)?;
        texts.push((source, changed));
    }
    match page {
        Page::Log(log) => judges_log_alike(log, &texts),
        Page::Manual(manual) => judges_manual_alike(manual, &texts),
    }
}

/// The text of a file that is to be changed, if it is at hand: the page's own, or a manual that it is judged by.
fn text_of(page: &Page, path: &Path, file: &Path, change: &Change, spans: &[Span]) -> Option<Arc<Source>> {
    if file == path {
        return Some(Arc::clone(page.source()));
    }
    let is_it = |manual: &&BookManual| {
        let text = &manual.source.text;
        let says_it = |span: &Span| change.entity.key(span.text(text)) == change.from;
        !manual.on_shelf && stem_key(Path::new(&manual.source.name)) == stem_key(file) && spans.iter().all(says_it)
    };
    let manual = page.rules().book.manuals.iter().find(is_it)?;
    Some(Arc::clone(&manual.source))
}

/// The text with the new name at these places, which are in order.
fn applied(text: &str, change: &Change, spans: &[Span]) -> String {
    let mut changed = String::with_capacity(text.len() + spans.len() * change.to.len());
    let mut at = 0;
    for span in spans {
        changed.push_str(text.get(at..span.start as usize).unwrap_or(""));
        changed.push_str(&change.to);
        at = span.end as usize;
    }
    changed.push_str(text.get(at..).unwrap_or(""));
    changed
}

/// What a text is read as: the kind of each line with its number, its names, how much is said on steps' lines, and what could not be read.
struct Read {
    lines: Vec<(usize, String)>,
    names: Vec<Mention>,
    ticks: usize,
    errors: usize,
}

fn read(kind: FileKind, text: &str) -> Read {
    match kind {
        FileKind::Log => {
            let tree = parse_log(text);
            let (names, ticks) = of_log_and_ticks(&tree, text);
            let lines = tree.entries.iter().map(|entry| {
                let kind = std::mem::discriminant(&entry.statement);
                (entry.line + 1, format!("{kind:?} {}", entry.lines))
            });
            Read {
                lines: lines.collect(),
                names,
                ticks: ticks.len(),
                errors: tree.errors.len(),
            }
        }
        FileKind::Manual => {
            let tree = parse_manual(text);
            let (names, ticks) = of_manual_and_ticks(&tree, text);
            let lines = tree.entries.iter().map(|entry| {
                let kind = std::mem::discriminant(&entry.rule);
                (entry.line + 1, format!("{kind:?}"))
            });
            Read {
                lines: lines.collect(),
                names,
                ticks: ticks.len(),
                errors: tree.errors.len(),
            }
        }
    }
}

/// The same kinds of line, the same names but for the one that is renamed, and no new errors.
fn reads_alike(
    kind: FileKind,
    source: &Source,
    changed: &Source,
    change: &Change,
    spans: &[Span],
) -> Result<(), String> {
    let (was, is) = (read(kind, &source.text), read(kind, &changed.text));
    let refused = |line: usize| {
        let written = changed
            .lines
            .line_span(line.saturating_sub(1), &changed.text)
            .text(&changed.text)
            .trim();
        Err(format!(
            "`{}` would be read otherwise on line {line} of {}: `{written}`",
            change.to, source.name
        ))
    };
    let differs = was.lines.iter().zip(&is.lines).find(|(a, b)| a != b);
    if let Some(((line, _), _)) = differs {
        return refused(*line);
    }
    for (old, new) in was.names.iter().zip(&is.names) {
        let is_renamed = old.entity == change.entity && spans.contains(&old.span);
        let wanted = if is_renamed { &change.key } else { &old.key };
        if old.entity != new.entity || new.key != *wanted || old.is_declaration != new.is_declaration {
            return refused(source.lines.line_of(old.span.start) + 1);
        }
    }
    let counts = |read: &Read| (read.lines.len(), read.names.len(), read.ticks, read.errors);
    if counts(&was) != counts(&is) {
        let first = spans.first().map_or(0, |span| source.lines.line_of(span.start));
        return refused(first + 1);
    }
    Ok(())
}

/// A book with changed texts in the place of some of its manuals; `None` if none of them is its.
fn book_of(rules: &Arc<Rulebook>, texts: &[(Arc<Source>, Arc<Source>)]) -> Option<Arc<Rulebook>> {
    let changed = |manual: &BookManual| {
        texts
            .iter()
            .find(|(was, _)| Arc::ptr_eq(was, &manual.source))
            .map(|(_, is)| is)
    };
    rules.book.manuals.iter().find_map(changed)?;
    let manuals = rules.book.manuals.iter().map(|manual| {
        let (source, lowered) = match changed(manual) {
            Some(source) => (source, Arc::new(lower_manual(&parse_manual(&source.text), source).0)),
            None => (&manual.source, Arc::clone(&manual.manual)),
        };
        BookManual {
            source: Arc::clone(source),
            manual: lowered,
            on_shelf: manual.on_shelf,
            root: manual.root,
        }
    });
    Some(Arc::new(Rulebook::new(Book::new(manuals.collect()))))
}

fn judges_log_alike(log: &Analysis, texts: &[(Arc<Source>, Arc<Source>)]) -> Result<(), String> {
    let own = texts.iter().find(|(was, _)| Arc::ptr_eq(was, &log.source));
    let source = own.map_or(&log.source, |(_, is)| is);
    // What is said of manuals that were not found is the same both times, so it is left out both times.
    let judged = |source: &Arc<Source>, rules: Arc<Rulebook>| {
        let resolved = Resolved {
            rules,
            missing: Vec::new(),
            faulty: Vec::new(),
            settings: log.settings.clone(),
            settings_problem: None,
        };
        judge_log(Arc::clone(source), Vec::new(), |_, _| resolved).findings
    };
    let rules = book_of(&log.rules, texts).unwrap_or_else(|| Arc::clone(&log.rules));
    let was = judged(&log.source, Arc::clone(&log.rules));
    same((&log.source, &was), (source, &judged(source, rules)))
}

fn judges_manual_alike(page: &ManualAnalysis, texts: &[(Arc<Source>, Arc<Source>)]) -> Result<(), String> {
    let own = texts.iter().find(|(was, _)| Arc::ptr_eq(was, &page.source));
    let source = own.map_or(&page.source, |(_, is)| is);
    let judged = |source: &Arc<Source>, rules: &Rulebook| {
        let tree = parse_manual(&source.text);
        let (manual, problems) = lower_manual(&tree, source);
        judge_manual(&manual, &tree, problems, rules, Vec::new())
    };
    let rules = book_of(&page.rules, texts).unwrap_or_else(|| Arc::clone(&page.rules));
    let was = judged(&page.source, &page.rules);
    same((&page.source, &was), (source, &judged(source, &rules)))
}

/// The same findings on the same lines, whatever their words. No line is moved by a name.
fn same(was: (&Source, &[Finding]), is: (&Source, &[Finding])) -> Result<(), String> {
    let told = |source: &Source, finding: &Finding| {
        let line = source.lines.line_of(finding.span.start) + 1;
        (line, finding.code, finding.severity)
    };
    let mut left: Vec<_> = was.1.iter().map(|finding| (told(was.0, finding), finding)).collect();
    for finding in is.1 {
        let here = told(is.0, finding);
        match left.iter().position(|(known, _)| *known == here) {
            Some(known) => {
                left.swap_remove(known);
            }
            None => {
                return Err(format!(
                    "with this name line {} would be judged otherwise: {}",
                    here.0, finding.message
                ));
            }
        }
    }
    match left.first() {
        Some(((line, ..), finding)) => Err(format!(
            "with this name line {line} would be judged otherwise, and this no longer found: {}",
            finding.message
        )),
        None => Ok(()),
    }
}
