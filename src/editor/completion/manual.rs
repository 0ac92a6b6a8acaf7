//! Proposals in a manual: what may stand below what, and the names it may use.

use super::CompletionKind::{Feature, Keyword, Need, Part, Stage, Step, Tool, Unit, Value};
use super::draft::Draft;
use super::list::List;
use super::written::{Written, is_blank};
use super::{Around, Completion, log, readings, sums, tools};
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

/// A word, what it says, and what is written for it: `…` are places to fill in.
type Word = (&'static str, &'static str, &'static str);

const HEADINGS: &[Word] = &[
    ("feature", "something that is measured", "feature …"),
    ("calc", "something that is worked out", "calc … = …"),
    ("precaution", "what keeps people from harm", "precaution …"),
    ("procedure", "steps in their order", "procedure …"),
];

const OF_FEATURE: &[Word] = &[
    ("build", "the limit for new work", "build …"),
    ("service", "the limit as it runs", "service …"),
    ("nominal", "the figure it is made to", "nominal …"),
    ("unit", "what it is measured in", "unit …"),
    ("say", "what a reading must say", "say …"),
    ("material", "what it is made of", "material …"),
    ("alike", "how far its parts may differ", "alike within …"),
    ("decide", "how its figures are accepted", "decide …"),
    ("required", "a reading is owed", "required"),
    ("aim", "the figure that is aimed at", "aim …"),
    ("also", "another name", "also …"),
];

const OF_CALC: &[Word] = &[
    (
        "limits of",
        "held against the limit of another feature, ahead",
        "limits of …",
    ),
    ("ahead", "told by `gudgeon next`, never judged", "ahead"),
    ("agrees with", "it must say the same as another", "agrees with …"),
    ("choose", "what is chosen so that it comes out well", "choose …"),
];

const OF_PROCEDURE: &[Word] = &[
    ("step", "a step, with its clauses", "step …"),
    ("one of", "steps of which only one is done", "one of …, …"),
    ("never", "a danger to do", "never … because …"),
];

const CLAUSES: &[Word] = &[
    ("after", "not before each of these", "after …"),
    ("needs", "must be said on its line", "needs …"),
    ("disturbs", "what was read before proves nothing any more", "disturbs …"),
    ("reads", "a step of measuring", "reads …"),
    ("until", "repeated until it is in limit", "until …"),
    ("optional", "need not be done", "optional"),
    ("once", "not done twice", "once"),
    ("then", "followed by", "then …"),
    ("then directly", "the very next step", "then directly …"),
    ("directly after", "the step just before it", "directly after …"),
    ("not with", "none of these is done as well", "not with …"),
    ("given", "read and in limit when it is done", "given …"),
    ("if", "need only be done where this holds", "if …"),
    ("only if", "must not be done unless this holds", "only if …"),
    ("takes out", "counted out", "takes out …"),
    ("puts in", "counted in", "puts in …"),
    ("renews", "new each time", "renews …"),
    ("uses", "a tool that is declared, or named on the line", "uses …"),
    ("expects", "worked out and told with the step", "expects …"),
    ("pattern", "how the bolts stand", "pattern ring of …"),
    ("force", "a bound on the force", "force up to rating of press"),
    ("torque", "a bound on the torque", "torque … to … N·m"),
    ("heat", "a bound on the heat", "heat up to … C"),
    ("pressure", "a bound on the pressure", "pressure up to … bar"),
    ("lasts", "a hold", "lasts at least … min"),
    ("stages", "in so many stages", "stages at least …"),
    ("at least", "time that must pass", "at least … h after …"),
    ("within", "time that must not be passed", "within … min after …"),
    ("also", "another name", "also …"),
    ("because", "the reason", "because …"),
];

/// The words in front of steps, of features, and of others.
const BEFORE_STEPS: &[&str] = &["after", "then", "directly", "with", "before", "did"];
const BEFORE_FEATURES: &[&str] = &["disturbs", "reads", "until", "given", "expects"];
const BEFORE_OTHERS: &[&str] = &[
    "needs", "out", "in", "renews", "uses", "if", "of", "because", "also", "pattern", "found", "got",
];

/// A text whose `…` are places to fill in.
fn drafted(text: &str) -> Draft {
    let mut draft = Draft::default();
    for (number, part) in text.split('…').enumerate() {
        draft = if number == 0 {
            draft.say(part)
        } else {
            draft.stop("").say(part)
        };
    }
    draft
}

fn words(list: &mut List<'_>, words: &[Word]) {
    for (word, detail, text) in words {
        list.add(Keyword, word, *detail, drafted(text), format!("word {word}"));
    }
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
        "step" => clauses(book, rest, true),
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
        _ if matches!(below, Below::Step) || is_clause(&word) => clauses(book, written, false),
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

/// Within the clauses of a step; `rest` is all of them, with the step's name in front where `named`.
fn clauses(book: &Book, rest: Written<'_>, named: bool) -> Vec<Completion> {
    let parted = rest.said.rfind(';').map(|at| rest.skip(at + 1).trimmed());
    let clause = parted.unwrap_or(rest);
    let all: Vec<&str> = [BEFORE_STEPS, BEFORE_FEATURES, BEFORE_OTHERS].concat();
    let Some((before, which, behind)) = clause.behind_last(&all) else {
        // The step's name, or a clause that begins: what has been typed of it is its last word, or all of it behind a `;`.
        let start = clause.said.rfind(is_blank).map_or(0, |at| at + 1);
        let start = if clause.said.is_char_boundary(start) {
            start
        } else {
            clause.said.len()
        };
        let is_name = named && parted.is_none();
        if is_name && start == 0 {
            let mut list = List::new(clause.typed());
            steps(&mut list, book);
            return list.done();
        }
        let item = if is_name { clause.skip(start) } else { clause };
        let mut list = List::new(item.typed_behind(rest));
        words(&mut list, CLAUSES);
        return list.done();
    };
    let word = all.get(which).copied().unwrap_or("");
    let item = behind.last_item();
    let mut list = List::new(item.typed_behind(rest));
    match word {
        "with" if !before.to_lowercase().ends_with("not") => {}
        "out" if !before.to_lowercase().ends_with("takes") => {}
        "in" if !before.to_lowercase().ends_with("puts") => {}
        word if BEFORE_STEPS.contains(&word) => {
            if word == "then" {
                list.add(
                    Keyword,
                    "directly",
                    "as the very next step",
                    drafted("directly …"),
                    String::new(),
                );
            }
            steps(&mut list, book);
        }
        word if BEFORE_FEATURES.contains(&word) => features(&mut list, book),
        "needs" => needs(&mut list, book, item.base),
        "out" | "in" | "renews" | "got" | "found" => {
            let all = book.procedures.iter().flat_map(|p| &p.steps);
            for part in all.flat_map(|s| s.takes_out.iter().chain(&s.puts_in).chain(&s.renews)) {
                list.word(Part, &part.name, "a part of another step");
            }
            for part in book.features.iter().flat_map(|f| &f.parts) {
                list.word(Part, &part.name, "a part of a feature");
            }
            if word == "found" {
                for decision in ["reuse", "watch", "repair", "machine", "replace"] {
                    list.word(Value, decision, "what was decided");
                }
            }
        }
        "uses" => tools::kinds(&mut list),
        "of" if before.to_lowercase().ends_with("rating") => {
            list.word(Tool, "press", "the tool of that name or kind");
            tools::kinds(&mut list);
        }
        "if" => {
            for (word, detail) in [
                ("did", "a step was done"),
                ("not did", "it was not"),
                ("found", "what was decided of a part"),
                ("got", "a part came"),
            ] {
                list.add(Keyword, word, detail, Draft::of(word).say(" ").stop(""), String::new());
            }
            for feature in &book.features {
                let draft = Draft::of(&feature.name.name).say(" ").stop("out");
                list.add(
                    Feature,
                    &feature.name.name,
                    "in, out or read",
                    draft,
                    format!("feature {}", feature.name.key),
                );
            }
        }
        _ => {}
    }
    list.done()
}

/// Every step, those of the first manual first.
fn steps(list: &mut List<'_>, book: &Book) {
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

/// Precautions, then the ticks that other steps need.
fn needs(list: &mut List<'_>, book: &Book, here: usize) {
    for precaution in &book.precautions {
        let others = precaution.also.iter().map(String::as_str);
        let name = &precaution.name.name;
        let detail = format!("precaution: {}", precaution.because);
        list.add_named(
            Need,
            (name, others),
            detail,
            Draft::of(name),
            format!("need {}", precaution.name.key),
        );
    }
    for step in book.procedures.iter().flat_map(|p| &p.steps) {
        // What is being written is no name yet.
        let is_whole = |need: &&manual::Named| step.manual != 0 || need.span.start as usize != here;
        for need in step.needs.iter().filter(is_whole) {
            list.word(Need, &need.name, format!("needed by {}", step.name.name));
        }
    }
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
