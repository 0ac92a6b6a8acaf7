//! Proposals in a manual: what may stand below what, and the names it may use.

use super::CompletionKind::{Feature, Keyword, Stage, Step, Unit, Value};
use super::draft::Draft;
use super::list::List;
use super::manual_words::{CLAUSES, HEADINGS, OF_CALC, OF_FEATURE, OF_PROCEDURE, drafted, words};
use super::written::{Written, is_blank};
use super::{Around, Completion, clauses, log, readings, sums};
use crate::judge::ManualAnalysis;
use crate::model::book::Book;
use crate::model::manual;
use crate::model::names::key;
use crate::model::stage;
use crate::quantity::unit;
use crate::syntax::ast::{Heading, Rule};

/// What a line stands below.
enum Below<'m> {
    /// Nothing: the head, or the next heading.
    Head,
    /// A feature, or a sum.
    Feature(&'m Heading, bool),
    Precaution,
    Procedure,
    Step,
}

/// What may stand where the cursor is.
pub(super) fn offers(analysis: &ManualAnalysis, around: &Around, written: Written<'_>) -> Vec<Completion> {
    let below = below(analysis, &written);
    let book = &analysis.rules.book;
    let Some((word, rest)) = written.first_word() else {
        return beginnings(analysis, &below, written);
    };
    match word.as_str() {
        "manual" | "source" | "because" | "precaution" | "procedure" | "feature" | "also" => Vec::new(),
        "extends" => {
            let mut list = List::new(rest.typed());
            log::manuals(&mut list, &around.manuals);
            list.done()
        }
        "units" => {
            let item = rest.last_item();
            let mut list = List::new(item.typed_behind(rest));
            log::units(&mut list);
            list.done()
        }
        "unit" => {
            let mut list = List::new(rest.typed());
            log::units(&mut list);
            list.done()
        }
        "calc" => match rest.said.find('=') {
            Some(at) => sums::offers(analysis, rest.skip(at + 1)),
            None => Vec::new(),
        },
        "material" => {
            let mut list = List::new(rest.typed());
            for material in crate::trade::materials::names() {
                list.word(Value, material, "its expansion is known");
            }
            list.done()
        }
        "decide" => {
            let mut list = List::new(rest.typed());
            list.word(Value, "plain", "the best figure decides");
            list.word(Value, "guarded", "the whole uncertainty must lie in the limit");
            let guarded = Draft::of("guarded at ").stop("95").say(" %");
            list.add(
                Value,
                "guarded at 95 %",
                "with that probability",
                guarded,
                String::new(),
            );
            list.done()
        }
        "required" => {
            let mut list = List::new(rest.typed());
            for stage in stage::Stage::all() {
                list.word(Stage, stage, "owed at that stage");
            }
            list.done()
        }
        "say" => ways(book, rest),
        "limits" | "agrees" => {
            let joint = if word == "limits" { "of" } else { "with" };
            match rest.behind_last(&[joint]) {
                Some((_, _, name)) => named_features(book, name),
                None => {
                    let mut list = List::new(rest.typed());
                    list.add(
                        Keyword,
                        joint,
                        "a feature",
                        Draft::of(joint).say(" ").stop(""),
                        String::new(),
                    );
                    list.done()
                }
            }
        }
        "choose" => {
            let mut list = List::new(rest.typed());
            list.add(
                Keyword,
                "from stock",
                "pieces of a stock",
                drafted("… from stock …"),
                String::new(),
            );
            features(&mut list, book);
            list.done()
        }
        "step" => clauses::offers(book, rest, true),
        "never" | "one" => {
            let name = rest
                .behind_last(&["of", "before", "after", "did"])
                .map_or(rest, |(_, _, name)| name);
            let item = name.last_item();
            let mut list = List::new(item.typed_behind(rest));
            steps(&mut list, book);
            list.done()
        }
        _ if matches!(below, Below::Feature(..)) => limit(analysis, &below, written),
        _ if matches!(below, Below::Step) || is_clause(&word) => clauses::offers(book, written, false),
        _ => beginnings(analysis, &below, written),
    }
}

fn is_clause(word: &str) -> bool {
    CLAUSES
        .iter()
        .any(|(clause, ..)| clause.split(' ').next() == Some(word))
}

/// What a line stands below, by the lines above it and their indentation.
fn below<'m>(analysis: &'m ManualAnalysis, written: &Written<'_>) -> Below<'m> {
    if written.indent == 0 {
        return Below::Head;
    }
    let tree = &analysis.tree;
    let end = tree.entries.partition_point(|entry| entry.line < written.line);
    for entry in tree.entries.get(..end).unwrap_or_default().iter().rev() {
        let line = tree.lines.get(entry.line);
        let width = line.map_or(0, |line| line.indent_width(&analysis.source.text));
        if width >= written.indent {
            continue;
        }
        return match &entry.rule {
            Rule::Feature(heading) => Below::Feature(heading, false),
            Rule::Calc(heading, _) => Below::Feature(heading, true),
            Rule::Precaution(_) => Below::Precaution,
            Rule::Procedure(_) => Below::Procedure,
            Rule::Step(..) => Below::Step,
            Rule::Unread => continue,
            _ => Below::Head,
        };
    }
    Below::Head
}

/// The first words that may stand there.
fn beginnings(analysis: &ManualAnalysis, below: &Below<'_>, written: Written<'_>) -> Vec<Completion> {
    let mut list = List::new(written.typed());
    match below {
        Below::Head => {
            let has = |is: &dyn Fn(&Rule) -> bool| analysis.tree.entries.iter().any(|entry| is(&entry.rule));
            if !has(&|rule| matches!(rule, Rule::Manual(_))) {
                words(
                    &mut list,
                    &[("manual", "the head lacks it: its name and edition", "manual …")],
                );
            }
            if !has(&|rule| matches!(rule, Rule::Source(_))) {
                words(
                    &mut list,
                    &[("source", "the head lacks it: where its limits come from", "source …")],
                );
            }
            if !has(&|rule| matches!(rule, Rule::Units(_))) {
                words(&mut list, &[("units", "of limits that have none", "units …")]);
            }
            words(&mut list, HEADINGS);
            words(
                &mut list,
                &[(
                    "extends",
                    "whatever this manual does not say is taken from that one",
                    "extends …",
                )],
            );
            if !has(&|rule| matches!(rule, Rule::Decide(_))) {
                words(&mut list, &[("decide", "how figures are accepted", "decide …")]);
            }
        }
        Below::Feature(_, is_calc) => {
            words(&mut list, OF_FEATURE);
            if *is_calc {
                words(&mut list, OF_CALC);
            }
            for stage in stage::Stage::all() {
                list.add(
                    Stage,
                    stage,
                    "the limit at that stage",
                    Draft::of(stage).say(" ").stop(""),
                    format!("stage {stage}"),
                );
            }
        }
        Below::Precaution => words(
            &mut list,
            &[
                ("because", "what happens without it", "because …"),
                ("also", "another name", "also …"),
            ],
        ),
        Below::Procedure => words(&mut list, OF_PROCEDURE),
        Below::Step => {
            words(&mut list, CLAUSES);
            words(&mut list, OF_PROCEDURE);
        }
    }
    list.done()
}

/// Behind a stage: the shapes of a limit, then the unit, then the source.
fn limit(analysis: &ManualAnalysis, below: &Below<'_>, written: Written<'_>) -> Vec<Completion> {
    let Below::Feature(heading, _) = below else {
        return Vec::new();
    };
    let book = &analysis.rules.book;
    let name = key(heading.name.text(&analysis.source.text));
    let feature = book.feature(&name).and_then(|id| book.features.get(id));
    if !written.items_before().is_empty() {
        let item = written.last_item();
        let mut list = List::new(item.typed_behind(written));
        list.add(
            Keyword,
            "source",
            "where the limit comes from",
            drafted("source …"),
            "word source".to_owned(),
        );
        return list.done();
    }
    let figure = written.said.find(|c: char| c.is_ascii_digit());
    let start = written.said.rfind(is_blank).map_or(0, |at| at + 1);
    let start = if written.said.is_char_boundary(start) {
        start
    } else {
        written.said.len()
    };
    let item = written.skip(start);
    let mut list = List::new(item.typed());
    let unit_behind = readings::unit(feature, None);
    if figure.is_none() {
        let unit = unit_behind.as_str();
        for (label, detail) in [
            ("… to …", "between two figures"),
            ("up to …", "at most"),
            ("at least …", "at least"),
            ("… ± …", "a figure with its tolerance"),
        ] {
            let whole = format!("{label}{unit}");
            list.add(Value, &whole, detail, drafted(&whole), String::new());
        }
        return list.done();
    }
    let is_of = |dimension| {
        feature
            .and_then(manual::Feature::dimension)
            .is_none_or(|own| own == dimension)
    };
    let own = feature.and_then(|feature| feature.unit).into_iter();
    for unit in own
        .chain(unit::all().filter(|unit| is_of(unit.dimension)))
        .filter(|unit| !unit.label().is_empty())
    {
        list.add(
            Unit,
            unit.label(),
            unit.dimension.name(),
            Draft::of(unit.label()),
            format!("unit {}", unit.symbol),
        );
    }
    list.word(Keyword, "to", "the other end");
    list.word(Keyword, "±", "so much either way");
    list.done()
}

/// Every step, those of the first manual first.
pub(super) fn steps(list: &mut List<'_>, book: &Book) {
    for procedure in &book.procedures {
        for step in &procedure.steps {
            let others = step.also.iter().map(String::as_str);
            let name = &step.name.name;
            list.add_named(
                Step,
                (name, others),
                procedure.name.name.as_str(),
                Draft::of(name),
                format!("step {}", step.name.key),
            );
        }
    }
}

/// Every feature.
pub(super) fn features(list: &mut List<'_>, book: &Book) {
    for feature in &book.features {
        let others = feature.also.iter().map(String::as_str);
        let name = &feature.name.name;
        list.add_named(
            Feature,
            (name, others),
            readings::limits(feature),
            Draft::of(name),
            format!("feature {}", feature.name.key),
        );
    }
}

fn named_features(book: &Book, name: Written<'_>) -> Vec<Completion> {
    let mut list = List::new(name.typed());
    features(&mut list, book);
    list.done()
}

/// What readings of other features must say.
fn ways(book: &Book, rest: Written<'_>) -> Vec<Completion> {
    let item = rest.behind_last(&["or"]).map_or(rest, |(_, _, item)| item);
    let mut list = List::new(item.typed());
    for feature in &book.features {
        for way in &feature.say {
            list.word(Value, way, format!("said of {}", feature.name.name));
        }
    }
    list.done()
}
