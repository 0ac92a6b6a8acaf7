//! Shows a tree as short text, one statement a line, for the tests of reading.

#![allow(dead_code)]

use gudgeon::syntax::ast::{
    Amount, Bound, Cell, Clause, ConditionNode, Cost, CostBy, Detail, DetailKind, Expr, Figure, FixTarget, HeadKind,
    Heading, LimitNode, MaterialNode, NeverOrder, Reading, Row, Rule, Statement, Subject, SyntaxError, Value,
};
use gudgeon::syntax::{Span, parse_log, parse_manual};

/// A whole log.
pub fn log(text: &str) -> String {
    let tree = parse_log(text);
    let shown: Vec<String> = tree
        .entries
        .iter()
        .map(|entry| Shown(text).statement(&entry.statement))
        .collect();
    shown.join("\n")
}

/// A whole manual.
pub fn manual(text: &str) -> String {
    let tree = parse_manual(text);
    let shown: Vec<String> = tree.entries.iter().map(|entry| Shown(text).rule(&entry.rule)).collect();
    shown.join("\n")
}

/// An error: the place, the message, the help, and the line as it would be with the suggestion.
pub fn errors(error: &SyntaxError, text: &str) -> String {
    let place = error.span.text(text);
    let mut shown = format!("[{place}] {}; {}", error.message, error.help);
    if let Some((span, new)) = &error.suggestion {
        let mut mended = text.to_owned();
        mended.replace_range(span.range(), new);
        let line = mended[..span.start as usize].matches('\n').count();
        shown += &format!("; try: {}", mended.lines().nth(line).unwrap_or(""));
    }
    shown
}

struct Shown<'a>(&'a str);

impl Shown<'_> {
    fn text(&self, span: Span) -> &str {
        let text = span.text(self.0);
        assert!(!text.is_empty() || span.is_empty(), "a span lies outside the text");
        text
    }

    fn list(&self, spans: &[Span]) -> String {
        let shown: Vec<&str> = spans.iter().map(|span| self.text(*span)).collect();
        shown.join(" | ")
    }

    fn amount(&self, amount: &Amount) -> String {
        match amount.unit {
            Some(unit) => format!("{} {}", self.text(amount.number), self.text(unit)),
            None => self.text(amount.number).to_owned(),
        }
    }

    fn amounts(&self, amounts: &[Amount]) -> String {
        let shown: Vec<String> = amounts.iter().map(|amount| self.amount(amount)).collect();
        shown.join(" ")
    }

    fn figure(&self, figure: &Figure, range: [&str; 3]) -> String {
        let mut shown = match &figure.value {
            Value::Empty => "nothing".to_owned(),
            Value::Words(words) => format!("words({})", self.text(*words)),
            Value::Single(amount) => self.amount(amount),
            Value::Blades { go, no_go } => {
                let go = go.map(|amount| format!("go {}", self.amount(&amount)));
                let no_go = no_go.map(|amount| format!("no-go {}", self.amount(&amount)));
                let both: Vec<String> = go.into_iter().chain(no_go).collect();
                format!("blades({})", both.join(", "))
            }
            Value::Range(from, to) => {
                let [before, between, behind] = range;
                format!("{before}{}{between}{}{behind}", self.amount(from), self.amount(to))
            }
            Value::PlusMinus(middle, spread) => {
                format!("plusminus({}, {})", self.amount(middle), self.amount(spread))
            }
            Value::Times(amount, count) => format!("times({}, {count})", self.amount(amount)),
            Value::Many(amounts) => format!("many({})", self.amounts(amounts)),
            Value::Ring(amounts, angles) => {
                let angles: Vec<&str> = angles.iter().map(|angle| self.text(*angle)).collect();
                format!("ring({} at {})", self.amounts(amounts), angles.join(" "))
            }
            Value::Sum { first, terms, result } => {
                let terms: String = terms
                    .iter()
                    .map(|(op, amount)| format!(" {} {}", op.sign(), self.amount(amount)))
                    .collect();
                format!("sum({}{terms} = {})", self.amount(first), self.amount(result))
            }
            Value::Stages(amounts) => format!("stages({})", self.amounts(amounts)),
        };
        if let Some(unit) = figure.unit {
            shown += &format!(" all {}", self.text(unit));
        }
        if figure.unsure {
            shown += " unsure";
        }
        shown
    }

    fn subject(&self, subject: &Subject) -> String {
        let mut shown = self.text(subject.feature).to_owned();
        if let Some(part) = subject.part {
            shown += &format!("|of:{}", self.text(part));
        }
        if let Some(place) = subject.place {
            shown += &format!("|at:{}", self.text(place));
        }
        shown
    }

    fn details(&self, details: &[Detail]) -> String {
        let shown: Vec<String> = details.iter().map(|detail| self.detail(detail)).collect();
        if shown.is_empty() {
            String::new()
        } else {
            format!(": {}", shown.join(" | "))
        }
    }

    fn detail(&self, detail: &Detail) -> String {
        self.text(detail.span);
        match &detail.kind {
            DetailKind::Tick(words) => self.text(*words).to_owned(),
            DetailKind::Because(words) => format!("because({})", self.text(*words)),
            DetailKind::From(part) => format!("from({})", self.text(*part)),
            DetailKind::Number(number) => format!("number({})", self.text(*number)),
            DetailKind::OrderedAs(number) => format!("ordered as({})", self.text(*number)),
            DetailKind::Date { name, date } => {
                let name = name.map(|name| format!("{} ", self.text(name)));
                format!("{}@{}", name.unwrap_or_default(), self.text(*date))
            }
            DetailKind::Amount {
                name,
                figure,
                tool,
                trailing,
            } => {
                let mut shown = name.map_or(String::new(), |name| format!("{} ", self.text(name)));
                shown += &format!("<{}>", self.figure(figure, ["", " to ", ""]));
                if let Some(tool) = tool {
                    shown += &format!(" on {}", self.text(*tool));
                }
                if let Some(words) = trailing {
                    shown += &format!(" {}", self.text(*words));
                }
                shown
            }
        }
    }

    fn row(&self, row: &Row) -> String {
        let cells: Vec<String> = row
            .cells
            .iter()
            .map(|cell| match cell {
                Cell::Amount(amount) => self.amount(amount),
                Cell::Ditto(span) | Cell::Dash(span) => self.text(*span).to_owned(),
            })
            .collect();
        let label = row.label.map_or("", |label| self.text(label));
        format!(" row {label}({})", cells.join(" "))
    }

    fn reading(&self, reading: &Reading) -> String {
        let mut shown = format!(
            "reading[{}] = {}",
            self.subject(&reading.subject),
            self.figure(&reading.figure, ["range(", ", ", ")"])
        );
        if let Some(tool) = reading.tool {
            shown += &format!(" by {}", self.text(tool));
        }
        for at in &reading.at {
            shown += &format!(" at {}", self.amount(at));
        }
        shown += &self.details(&reading.details);
        if !reading.table.columns.is_empty() {
            shown += &format!(" columns({})", self.list(&reading.table.columns));
        }
        for row in &reading.table.rows {
            shown += &self.row(row);
        }
        shown
    }

    fn statement(&self, statement: &Statement) -> String {
        let named = |word: &str, name: Span, details: &[Detail]| {
            format!("{word}({}){}", self.text(name), self.details(details))
        };
        match statement {
            Statement::Head(kind, text) => {
                let word = match kind {
                    HeadKind::Job => "job",
                    HeadKind::Machine => "machine",
                    HeadKind::Owner => "owner",
                    HeadKind::By => "by",
                };
                format!("{word}({})", self.text(*text))
            }
            Statement::Manual(name) => format!("manual({})", self.text(*name)),
            Statement::Procedure(name) => format!("procedure({})", self.text(*name)),
            Statement::Units(items) => format!("units({})", self.list(items)),
            Statement::Hours(meter) => format!("hours({})", self.amount(meter)),
            Statement::Tool(name, facts) if facts.is_empty() => {
                format!("tool({}):", self.text(*name))
            }
            Statement::Tool(name, facts) => named("tool", *name, facts),
            Statement::Day { date, stage } => {
                let stage = stage.map_or(String::new(), |stage| format!(" {}", self.text(stage)));
                format!("day {}{stage}", self.text(*date))
            }
            Statement::Reading(reading) => self.reading(reading),
            Statement::Did(step, details) => named("did", *step, details),
            Statement::Undid(step, details) => named("undid", *step, details),
            Statement::Amend(name, subject, details) => {
                self.text(*name);
                format!("amend[{}]{}", self.subject(subject), self.details(details))
            }
            Statement::Found(part, details) => named("found", *part, details),
            Statement::Ordered(part, details) => named("ordered", *part, details),
            Statement::Got(part, details) => named("got", *part, details),
            Statement::Waiting(part, details) => named("waiting", *part, details),
            Statement::Stock(name, pieces) => {
                let pieces: Vec<String> = pieces
                    .iter()
                    .map(|piece| format!("{} x{}", self.amount(&piece.size), piece.count))
                    .collect();
                format!("stock({}) {}", self.text(*name), pieces.join(" | "))
            }
            Statement::Option(name, costs) => {
                let costs: Vec<String> = costs.iter().map(|cost| self.cost(cost)).collect();
                format!("option({}) {}", self.text(*name), costs.join(" | "))
            }
            Statement::Cost(name, costs) => {
                let costs: Vec<String> = costs.iter().map(|cost| self.cost(cost)).collect();
                format!("cost({}) {}", self.text(*name), costs.join(" | "))
            }
            Statement::Chose(chosen, over, details) => {
                let over = over.map_or(String::new(), |over| format!(" over {}", self.text(over)));
                format!("chose({}{over}){}", self.text(*chosen), self.details(details))
            }
            Statement::Fix {
                target,
                old,
                new,
                reason,
            } => {
                let target = match &**target {
                    FixTarget::Reading(subject) => format!("[{}]", self.subject(subject)),
                    FixTarget::Step(step, amount) => {
                        format!("({}, {})", self.text(*step), self.text(*amount))
                    }
                };
                let reason = reason.map_or(String::new(), |why| format!(" why({})", self.text(why)));
                format!(
                    "fix{target} {} -> {}{reason}",
                    self.figure(old, ["", " to ", ""]),
                    self.figure(new, ["", " to ", ""])
                )
            }
            Statement::Checked(tool, details) => named("checked", *tool, details),
            Statement::Held(details) => format!("held{}", self.details(details)),
            Statement::Note(text) => format!("note({})", self.text(*text)),
            Statement::Photo(path) => format!("photo({})", self.text(*path)),
            Statement::Closed(date) => {
                format!(
                    "closed{}",
                    date.map_or(String::new(), |date| format!(" {}", self.text(date)))
                )
            }
            Statement::Unread => "unread".to_owned(),
        }
    }

    fn heading(&self, heading: &Heading) -> String {
        let mut shown = self.text(heading.name).to_owned();
        for (word, spans) in [("of", &heading.parts), ("at", &heading.places), ("also", &heading.also)] {
            if !spans.is_empty() {
                shown += &format!(" {word}({})", self.list(spans));
            }
        }
        shown
    }

    fn expr(&self, expr: &Expr) -> String {
        self.text(expr.span());
        match expr {
            Expr::Number(amount) => self.amount(amount),
            Expr::Reference(reference) => {
                let as_found = if reference.as_found { "|as found" } else { "" };
                format!("{}{as_found}", self.subject(&reference.subject))
            }
            Expr::Negate(inner, _) => format!("-({})", self.expr(inner)),
            Expr::Binary(op, a, b) => format!("({} {} {})", self.expr(a), op.sign(), self.expr(b)),
            Expr::Power(a, b) => format!("({} ^ {})", self.expr(a), self.expr(b)),
            Expr::Call(name, arguments, _) => {
                let shown: Vec<String> = arguments
                    .iter()
                    .map(|a| match a.name {
                        Some(name) => format!("{} = {}", self.text(name), self.expr(&a.value)),
                        None => self.expr(&a.value),
                    })
                    .collect();
                format!("{}({})", self.text(*name), shown.join(", "))
            }
            Expr::Text(span) => format!("\"{}\"", self.text(*span)),
            Expr::Range(a, b) => format!("{} .. {}", self.amount(a), self.amount(b)),
        }
    }

    fn cost(&self, cost: &Cost) -> String {
        self.text(cost.span);
        let less = if cost.is_less { "less " } else { "" };
        let name = cost.name.map_or(String::new(), |name| self.text(name).to_owned());
        let amount = cost
            .amount
            .map_or(String::new(), |amount| format!(" {}", self.amount(&amount)));
        let by = match &cost.by {
            CostBy::Itself => String::new(),
            CostBy::Over(jobs) => format!(" over {jobs}"),
            CostBy::At(amount, per) => {
                let per = per.map_or(String::new(), |per| format!(" {per:?}"));
                format!(" at {}{per}", self.amount(amount))
            }
            CostBy::Of(amount) => format!(" of {}", self.amount(amount)),
            CostBy::Times(amount) => format!(" x {}", self.amount(amount)),
        };
        format!("{less}{name}{amount}{by}")
    }

    fn bound(&self, bound: &Bound) -> String {
        match bound {
            Bound::Amount(amount) => self.amount(amount),
            Bound::RatingOf(tool) => format!("rating of {}", self.text(*tool)),
        }
    }

    fn limit(&self, limit: &LimitNode) -> String {
        match limit {
            LimitNode::UpTo(bound) => format!("up to {}", self.bound(bound)),
            LimitNode::AtLeast(bound) => format!("at least {}", self.bound(bound)),
            LimitNode::Between(a, b) => format!("{} .. {}", self.amount(a), self.amount(b)),
            LimitNode::PlusMinus(a, b) => format!("{} ± {}", self.amount(a), self.amount(b)),
            LimitNode::Tolerance(a, plus, minus) => {
                format!("{} + {} - {}", self.amount(a), self.amount(plus), self.amount(minus))
            }
            LimitNode::Exactly(amount) => self.amount(amount),
            LimitNode::Coded(code) => format!("code({})", self.text(*code)),
        }
    }

    fn condition(&self, condition: &ConditionNode) -> String {
        match condition {
            ConditionNode::Did(step) => format!("did {}", self.text(*step)),
            ConditionNode::NotDid(step) => format!("not did {}", self.text(*step)),
            ConditionNode::Found(part, decision) => format!("found {}: {}", self.text(*part), self.text(*decision)),
            ConditionNode::Got(part) => format!("got {}", self.text(*part)),
            ConditionNode::Feature(subject, state) => format!("{} {}", self.subject(subject), self.text(*state)),
        }
    }

    fn clauses(&self, clauses: &[Clause]) -> String {
        let subjects = |subjects: &[Subject]| {
            let shown: Vec<String> = subjects.iter().map(|s| self.subject(s)).collect();
            shown.join(" | ")
        };
        clauses
            .iter()
            .map(|clause| match clause {
                Clause::After(items) => format!(" after({})", self.list(items)),
                Clause::Needs(items) => format!(" needs({})", self.list(items)),
                Clause::Also(items) => format!(" also({})", self.list(items)),
                Clause::Disturbs(features) => format!(" disturbs[{}]", subjects(features)),
                Clause::Reads(features) => format!(" reads[{}]", subjects(features)),
                Clause::Until(features) => format!(" until[{}]", subjects(features)),
                Clause::DirectlyAfter(items) => format!(" directly after({})", self.list(items)),
                Clause::Then { steps, directly } => {
                    let directly = if *directly { " directly" } else { "" };
                    format!(" then{directly}({})", self.list(steps))
                }
                Clause::NotWith(items) => format!(" not with({})", self.list(items)),
                Clause::Given(features) => format!(" given[{}]", subjects(features)),
                Clause::If { only, condition } => {
                    let only = if *only { " only" } else { "" };
                    format!("{only} if({})", self.condition(condition))
                }
                Clause::Wait { is_least, time, after } => {
                    let least = if *is_least { "at least" } else { "within" };
                    format!(" {least} {} after({})", self.amount(time), self.list(after))
                }
                Clause::TakesOut(items) => format!(" takes out({})", self.list(items)),
                Clause::PutsIn(items) => format!(" puts in({})", self.list(items)),
                Clause::Renews(items) => format!(" renews({})", self.list(items)),
                Clause::Uses(kind, rated) => {
                    let rated = rated.map_or(String::new(), |rated| format!(" rated {}", self.amount(&rated)));
                    format!(" uses({}){rated}", self.text(*kind))
                }
                Clause::Expects(features) => format!(" expects[{}]", subjects(features)),
                Clause::Pattern(rows, each) => {
                    let rows = rows.map_or("ring".to_owned(), |rows| format!("{} rows", self.text(rows)));
                    format!(" pattern({rows} of {})", self.text(*each))
                }
                Clause::Optional => " optional".to_owned(),
                Clause::Once => " once".to_owned(),
                Clause::Because(text) => format!(" because({})", self.text(*text)),
                Clause::Bound(name, limit) => {
                    format!(" {} {}", self.text(*name), self.limit(limit))
                }
            })
            .collect()
    }

    fn rule(&self, rule: &Rule) -> String {
        let source =
            |source: &Option<Span>| source.map_or(String::new(), |source| format!(" source({})", self.text(source)));
        match rule {
            Rule::Manual(name) => format!("manual({})", self.text(*name)),
            Rule::Extends(name) => format!("extends({})", self.text(*name)),
            Rule::Source(text) => format!("source({})", self.text(*text)),
            Rule::Units(items) => format!("units({})", self.list(items)),
            Rule::Feature(heading) => format!("feature {}", self.heading(heading)),
            Rule::Calc(heading, expr) => {
                format!("calc {} = {}", self.heading(heading), self.expr(expr))
            }
            Rule::Precaution(heading) => format!("precaution {}", self.heading(heading)),
            Rule::Procedure(name) => format!("procedure({})", self.text(*name)),
            Rule::Step(name, clauses) => {
                format!("step {}{}", self.text(*name), self.clauses(clauses))
            }
            Rule::Clauses(clauses) => format!("clauses{}", self.clauses(clauses)),
            Rule::OneOf(steps) => format!("one of({})", self.list(steps)),
            Rule::Never(never) => {
                let reason = never
                    .because
                    .map_or(String::new(), |why| format!(" because({})", self.text(why)));
                let conditions: String = never
                    .conditions
                    .iter()
                    .map(|condition| format!(" if({})", self.condition(condition)))
                    .collect();
                let order = match &never.order {
                    NeverOrder::Ever => String::new(),
                    NeverOrder::Before(step) => format!(" before({})", self.text(*step)),
                    NeverOrder::After(step) => format!(" after({})", self.text(*step)),
                };
                format!("never({}){order}{conditions}{reason}", self.list(&never.names))
            }
            Rule::Limit(stage, limit, from) => {
                format!("limit {} {}{}", self.text(*stage), self.limit(limit), source(from))
            }
            Rule::Nominal(limit, from) => format!("nominal {}{}", self.limit(limit), source(from)),
            Rule::Unit(unit) => format!("unit({})", self.text(*unit)),
            Rule::Decide(rule) => format!("decide({})", self.text(*rule)),
            Rule::Material(MaterialNode::Named(name)) => format!("material({})", self.text(*name)),
            Rule::Material(MaterialNode::Expansion(figure, spread)) => {
                let spread = spread.map_or(String::new(), |spread| format!(" ± {}", self.amount(&spread)));
                format!("material <{}{spread}>", self.amount(figure))
            }
            Rule::Alike(limit, from) => format!("alike {}{}", self.limit(limit), source(from)),
            Rule::Aim(limit, from) => format!("aim {}{}", self.limit(limit), source(from)),
            Rule::Ahead => "ahead".to_owned(),
            Rule::LimitsOf(name) => format!("limits of({})", self.text(*name)),
            Rule::AgreesWith(name) => format!("agrees with({})", self.text(*name)),
            Rule::Choose { what, stock, together } => {
                let stock = stock.map_or(String::new(), |stock| format!(" from({})", self.text(stock)));
                let together = together.map_or(String::new(), |count| format!(" up to {}", self.text(count)));
                format!("choose({}){stock}{together}", self.text(*what))
            }
            Rule::Say(choices) => format!("say({})", self.list(choices)),
            Rule::Required(stage) => {
                format!(
                    "required{}",
                    stage.map_or(String::new(), |stage| format!("({})", self.text(stage)))
                )
            }
            Rule::Also(names) => format!("also({})", self.list(names)),
            Rule::Because(text) => format!("because({})", self.text(*text)),
            Rule::Unread => "unread".to_owned(),
        }
    }
}

/// The examples of the language reference: `rebuild` or `manual`, and the text.
pub fn examples() -> Vec<(&'static str, String)> {
    let page = include_str!("../../grammar/README.md");
    let mut examples = Vec::new();
    let mut open: Option<(&'static str, String)> = None;
    for line in page.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(fence)) => {
                let kinds = ["rebuild", "manual"];
                let kind = kinds.into_iter().find(|kind| fence.starts_with(kind));
                open = Some((kind.unwrap_or(""), String::new()));
            }
            (Some(_), Some(_)) => examples.extend(open.take()),
            (Some((_, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    examples.retain(|(kind, _)| !kind.is_empty());
    examples
}
