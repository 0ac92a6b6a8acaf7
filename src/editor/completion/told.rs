//! What is known of a proposal: limits with their sources, needs with their reasons, what to expect. In markdown; what people wrote is escaped.

use super::facts::{Facts, fold};
use super::{Around, Page};
use crate::judge::open_work::expectations;
use crate::judge::words;
use crate::model::book::Book;
use crate::model::instruments::{Error, instrument};
use crate::model::limit::Limit;
use crate::model::manual::{BoundKind, Feature, Named, Step, Target};
use crate::model::names::{key, named};
use crate::quantity::unit;
use crate::trade::{self, Function};

/// What stands at the end of what can hurt: a notebook is no authority.
const DEFER: &str = "The machine's workshop manual, local codes and licensed practice come first.";

/// What is known of a proposal by its `data`: a word for its kind, and its key.
pub(super) fn told(page: &Page, data: &str) -> Option<String> {
    let (kind, name) = data.split_once(' ')?;
    let book = &page.rules().book;
    let lines = match kind {
        "feature" => feature(page, book, name),
        "step" => step(page, book, name),
        "need" => need(book, name),
        "function" => trade::named(name).map(function),
        "unit" => unit_of(name),
        "tool" => tool(page, name),
        "part" => part(page, name),
        "manual" => manual(name),
        "stage" => Some(vec![stage(name)]),
        _ => None,
    }?;
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    (!lines.is_empty()).then(|| lines.join("\n\n"))
}

/// A text as markdown shows it, sign by sign.
fn plain(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '!'
        ) {
            escaped.push('\\');
        }
        escaped.push(c);
    }
    escaped
}

/// A name in bold.
fn title(name: &str) -> String {
    format!("**{}**", plain(name))
}

/// Lines of a list.
fn items(lines: Vec<String>) -> String {
    let lines: Vec<String> = lines.into_iter().map(|line| format!("- {line}")).collect();
    lines.join("\n")
}

fn limit(limit: &Limit) -> String {
    let stage = if limit.stage.is_empty() {
        "made to"
    } else {
        &limit.stage
    };
    let source = limit
        .source
        .as_deref()
        .map_or("no source is given".to_owned(), |source| format!("source: {source}"));
    format!("{} {}; {}", plain(stage), plain(&limit.words()), plain(&source))
}

fn feature(page: &Page, book: &Book, name: &str) -> Option<Vec<String>> {
    let latest = latest(page, name);
    let Some(own) = book.feature(name).and_then(|id| book.features.get(id)) else {
        return latest.map(|latest| vec![title(name), "no manual knows it".to_owned(), latest]);
    };
    let mut list: Vec<String> = own.limits.iter().chain(&own.nominal).map(limit).collect();
    list.extend(own.aim.iter().map(|aim| format!("aim {}", plain(&aim.words()))));
    if !own.say.is_empty() {
        list.push(format!("a reading must say {}", plain(&own.say.join(" or "))));
    }
    if let Some(calc) = &own.calc {
        list.push(format!(
            "worked out: `{}`",
            calc.expr.span().text(&calc.source.text).replace('`', "'")
        ));
    }
    if list.is_empty() {
        list.push("no limit".to_owned());
    }
    Some(vec![
        title(&own.name.name),
        items(list),
        moved_by(book, own),
        latest.unwrap_or_default(),
    ])
}

/// The steps that disturb a feature.
fn moved_by(book: &Book, feature: &Feature) -> String {
    let disturbs = |step: &&Step| {
        let mut own = step.disturbs.iter();
        own.any(|target| book.feature(&target.feature) == book.feature(&feature.name.key))
    };
    let steps = book.procedures.iter().flat_map(|p| &p.steps).filter(disturbs);
    let names: Vec<String> = steps.map(|step| plain(&step.name.name)).collect();
    if names.is_empty() {
        return String::new();
    }
    format!("to be read again after: {}", words::list(&names))
}

/// The latest readings in a log.
fn latest(page: &Page, name: &str) -> Option<String> {
    let Page::Log(log) = page else { return None };
    let around = Around::default();
    let facts = Facts::new(log, &around, None);
    let mut read: Vec<(usize, String)> = facts
        .instances(name)
        .into_iter()
        .filter_map(|instance| {
            let reading = facts.latest(instance)?;
            let figure = fold(reading.figure_span.text(facts.text()));
            let line = facts.line_of(reading.event);
            Some((
                line,
                format!("{} = {}, line {line}", plain(&facts.named(instance)), plain(&figure)),
            ))
        })
        .collect();
    read.sort();
    let last: Vec<String> = read.into_iter().rev().take(4).map(|(_, line)| line).collect();
    (!last.is_empty()).then(|| format!("last read:\n{}", items(last)))
}

fn step(page: &Page, book: &Book, name: &str) -> Option<Vec<String>> {
    let id = book.step_id(name)?;
    let own = book.step(id)?;
    let mut dangers = Vec::new();
    let mut asked = Vec::new();
    for need in &own.needs {
        match need.key.split(" or ").find_map(|name| book.precaution(name)) {
            Some(precaution) => dangers.push(format!("**{}**: {}", plain(&need.name), plain(&precaution.because))),
            None => asked.push(format!("needs {}", plain(&need.name))),
        }
    }
    for never in book.procedures.iter().flat_map(|p| &p.nevers) {
        if book.step_id(&never.step.key) == Some(id) {
            let with = if never.ticks.is_empty() {
                String::new()
            } else {
                format!(", {}", never.ticks.join(", "))
            };
            dangers.push(format!(
                "never {}{}: {}",
                plain(&never.step.name),
                plain(&with),
                plain(&never.because)
            ));
        }
    }
    for bound in &own.bounds {
        asked.push(match &bound.bound {
            BoundKind::Limit(own) => format!("{} {}", plain(&bound.name), plain(&own.words())),
            BoundKind::RatingOf(tool) => {
                format!("{} up to the rating of the {}", plain(&bound.name), plain(&tool.name))
            }
        });
    }
    let list = |what: &str, names: &[Named]| {
        let names: Vec<String> = names.iter().map(|n| plain(&n.name)).collect();
        (!names.is_empty()).then(|| format!("{what} {}", words::list(&names)))
    };
    asked.extend(list("after", &own.after));
    asked.extend(list("directly after", &own.directly_after));
    asked.extend(list("then", &own.then));
    asked.extend(list("then directly", &own.then_directly));
    asked.extend(list("not with", &own.not_with));
    asked.extend(list("new", &own.renews));
    asked.extend(list("count the", &own.takes_out));
    asked.extend(list("count the", &own.puts_in));
    for wait in &own.waits {
        let least = if wait.is_least { "at least" } else { "within" };
        let time = words::figure(wait.time, Some(wait.unit));
        asked.push(format!("{least} {time} after {}", plain(&wait.after.name)));
    }
    let target = |target: &Target| plain(&named(&target.feature, target.part.as_deref(), target.place.as_deref()));
    let disturbs: Vec<String> = own.disturbs.iter().map(target).collect();
    if !disturbs.is_empty() {
        asked.push(format!("read again after it: {}", words::list(&disturbs)));
    }
    let danger = if dangers.is_empty() {
        String::new()
    } else {
        format!("What keeps people from harm:\n{}\n\n{DEFER}", items(dangers))
    };
    let expected = match page {
        Page::Log(log) => expectations(log, id).iter().map(|line| plain(line)).collect(),
        Page::Manual(_) => Vec::new(),
    };
    let from = book
        .manuals
        .get(own.manual)
        .map_or_else(String::new, |m| format!("from {}", plain(&m.manual.name)));
    let asked = if asked.is_empty() { String::new() } else { items(asked) };
    Some(vec![title(&own.name.name), danger, asked, items(expected), from])
}

fn need(book: &Book, name: &str) -> Option<Vec<String>> {
    let precaution = book.precaution(name)?;
    Some(vec![
        format!("{}: a precaution", title(&precaution.name.name)),
        plain(&precaution.because),
        DEFER.to_owned(),
    ])
}

fn function(own: &Function) -> Vec<String> {
    let parameters = own.parameters.iter().map(|parameter| {
        let usual = match parameter.default {
            Some(trade::function::Default::Figure(figure)) => format!(" ({figure} where nothing is given)"),
            Some(trade::function::Default::Word(word)) => format!(" ({word} where nothing is given)"),
            None => String::new(),
        };
        format!("`{}`: {}{usual}", parameter.name, plain(parameter.says))
    });
    vec![
        title(own.name),
        plain(own.says),
        items(parameters.collect()),
        format!("`{}` is {}", own.example.call, plain(own.example.gives)),
        plain(own.holds),
        format!("source: {}", plain(own.source)),
    ]
}

fn unit_of(symbol: &str) -> Option<Vec<String>> {
    let own = unit::all().find(|unit| unit.symbol == symbol)?;
    let spellings: Vec<String> = own.spellings.iter().take(8).map(|s| plain(s)).collect();
    let spelled = if spellings.is_empty() {
        String::new()
    } else {
        format!("also written {}", spellings.join(", "))
    };
    Some(vec![
        format!("{}: {}", title(own.label()), plain(&own.dimension.name())),
        spelled,
    ])
}

fn tool(page: &Page, name: &str) -> Option<Vec<String>> {
    if let Page::Log(log) = page
        && let Some(own) = log.job.tool(name)
    {
        let text = &log.source.text;
        let lines = &log.source.lines;
        let line = lines.line_span(lines.line_of(own.name.span.start), text);
        return Some(vec![plain(fold(line.text(text)).as_str())]);
    }
    let own = instrument(name)?;
    let usual = match own.usual(None) {
        Error::Of(half) => format!(
            "usually good to {} either way",
            words::figure(half, unit::usual(own.dimension))
        ),
        Error::Share(share) => format!(
            "usually good to {} % of the figure",
            (share * rust_decimal::Decimal::ONE_HUNDRED).normalize()
        ),
    };
    Some(vec![
        title(own.name),
        format!("{usual}; common practice, no source. Its own `good to` comes first"),
    ])
}

/// What the log says of a part.
fn part(page: &Page, name: &str) -> Option<Vec<String>> {
    let Page::Log(log) = page else { return None };
    let around = Around::default();
    let facts = Facts::new(log, &around, None);
    let wanted = key(name);
    let said: Vec<String> = facts
        .events()
        .filter(|(at, _)| key(facts.line(*at)).contains(wanted.as_ref()))
        .map(|(at, _)| format!("line {}: {}", facts.line_of(at), plain(&fold(facts.line(at)))))
        .collect();
    let count = said.len();
    (count > 0).then(|| {
        vec![
            title(name),
            items(said.into_iter().skip(count.saturating_sub(6)).collect()),
        ]
    })
}

fn manual(name: &str) -> Option<Vec<String>> {
    let entry = crate::shelf::all().iter().find(|entry| key(entry.name) == key(name))?;
    Some(vec![
        title(entry.name),
        plain(entry.about()),
        "on the shelf: general, common practice".to_owned(),
    ])
}

fn stage(name: &str) -> String {
    let stage = crate::model::stage::Stage { key: name.to_owned() };
    if stage.is_service() {
        "judged by the `service` limit if there is one, else by the `build` limit".to_owned()
    } else {
        "judged by the `build` limit if there is one, else by the `service` limit".to_owned()
    }
}
