//! What stands under the cursor in a manual: features and limits, sums and what they call, steps and the words of their clauses.

use super::card::{Card, code};
use super::verdict::limit_line;
use super::{Hover, amount, feature, first_word, function, keyword, step, sum, things, touches};
use crate::judge::ManualAnalysis;
use crate::model::Book;
use crate::model::limit::Limit;
use crate::model::manual::BoundKind;
use crate::model::names::key;
use crate::quantity::unit;
use crate::syntax::ast::{
    Amount, Bound, Clause, ConditionNode, Expr, Heading, LimitNode, MaterialNode, NeverOrder, Rule, RuleEntry, Subject,
};
use crate::syntax::spans::Spans as _;
use crate::syntax::{FileKind, Span};

/// The words of clauses that may stand anywhere on a line.
const CLAUSES: &[&str] = &[
    "after", "needs", "also", "disturbs", "reads", "until", "directly", "then", "not", "given", "if", "only", "takes",
    "puts", "renews", "uses", "expects", "pattern", "optional", "once", "because",
];

struct Ask<'c> {
    manual: &'c ManualAnalysis,
    offset: u32,
}

type Found = Option<(Span, Card)>;

/// What is known of what stands at an offset of a line of a manual.
pub(super) fn at(manual: &ManualAnalysis, line: usize, offset: u32) -> Option<Hover> {
    let entries = &manual.tree.entries;
    let number = entries.partition_point(|entry| entry.line <= line).checked_sub(1)?;
    let entry = entries.get(number)?;
    // What goes on on the lines below belongs to it.
    if entry.line != line && !touches(entry.span, offset) {
        return None;
    }
    let ask = Ask { manual, offset };
    let (span, card) = ask
        .first(entry, line)
        .or_else(|| ask.rule(entry))
        .or_else(|| ask.clause_word(entry))?;
    Some(Hover::new(span, &card))
}

impl Ask<'_> {
    fn text(&self) -> &str {
        &self.manual.source.text
    }

    fn book(&self) -> &Book {
        &self.manual.rules.book
    }

    fn is_in(&self, span: Span) -> bool {
        touches(span, self.offset)
    }

    /// The first word of a line. A limit's is its stage.
    fn first(&self, entry: &RuleEntry, line: usize) -> Found {
        if matches!(entry.rule, Rule::Unread) {
            return None;
        }
        let word = first_word(self.manual.tree.lines.get(line)?, None, self.text());
        if !self.is_in(word) || entry.line != line {
            return None;
        }
        Some((word, keyword::card(FileKind::Manual, word.text(self.text()))?))
    }

    /// A word of a clause in the middle of a line: none of the names under the cursor, so it is the word itself.
    fn clause_word(&self, entry: &RuleEntry) -> Found {
        if !matches!(
            entry.rule,
            Rule::Step(..) | Rule::Clauses(_) | Rule::Feature(_) | Rule::Calc(..) | Rule::Never(_)
        ) {
            return None;
        }
        let text = self.text();
        let at = self.offset as usize;
        let before = text.get(..at)?;
        let is_letter = |c: char| c.is_alphabetic();
        let start = before.len()
            - before
                .chars()
                .rev()
                .take_while(|c| is_letter(*c))
                .map(char::len_utf8)
                .sum::<usize>();
        let end = at
            + text
                .get(at..)?
                .chars()
                .take_while(|c| is_letter(*c))
                .map(char::len_utf8)
                .sum::<usize>();
        let word = text.get(start..end)?;
        let is_clause = CLAUSES.iter().any(|known| known.eq_ignore_ascii_case(word));
        let span = Span::new(start, end);
        is_clause
            .then(|| Some((span, keyword::card(FileKind::Manual, word)?)))
            .flatten()
    }

    fn rule(&self, entry: &RuleEntry) -> Found {
        match &entry.rule {
            Rule::Manual(name) => {
                let short = name
                    .text(self.text())
                    .split(',')
                    .next()
                    .unwrap_or_default()
                    .trim()
                    .to_owned();
                self.of(*name, |_| Some(things::manual(self.book(), &short)))
            }
            Rule::Extends(name) => self.of(*name, |text| Some(things::manual(self.book(), text))),
            Rule::Units(items) => items
                .iter()
                .find_map(|item| self.of(*item, |text| amount::card(text, None, None))),
            Rule::Unit(written) => self.of(*written, |text| amount::card(text, None, None)),
            Rule::Feature(heading) => self.heading(heading),
            Rule::Calc(heading, expr) => self.heading(heading).or_else(|| self.sum(heading, expr)),
            Rule::Precaution(heading) => {
                let names = std::iter::once(&heading.name).chain(&heading.also);
                names
                    .copied()
                    .find_map(|name| self.of(name, |text| Some(things::need(self.book(), text))))
            }
            Rule::Procedure(name) => self.of(*name, |text| Some(things::procedure(self.book(), text, None))),
            Rule::Step(name, clauses) => self.step(*name).or_else(|| self.clauses(clauses)),
            Rule::Clauses(clauses) => self.clauses(clauses),
            Rule::OneOf(steps) => self.steps(steps),
            Rule::Never(never) => {
                let other = match never.order {
                    NeverOrder::Ever => None,
                    NeverOrder::Before(step) | NeverOrder::After(step) => Some(step),
                };
                let first = never.names.first().copied();
                self.steps(&first.into_iter().chain(other).collect::<Vec<_>>())
                    .or_else(|| never.conditions.iter().find_map(|condition| self.condition(condition)))
            }
            Rule::Limit(_, node, source)
            | Rule::Nominal(node, source)
            | Rule::Alike(node, source)
            | Rule::Aim(node, source) => self.limit(entry, node, *source),
            Rule::LimitsOf(name) | Rule::AgreesWith(name) => self.feature(*name),
            Rule::Choose { what, .. } => self.feature(*what),
            Rule::Material(MaterialNode::Named(name)) => self.of(*name, material),
            Rule::Material(MaterialNode::Expansion(figure, spread)) => {
                amount::unit_at(std::iter::once(figure).chain(spread), self.offset, self.text(), None)
            }
            _ => None,
        }
    }

    fn of(&self, span: Span, card: impl FnOnce(&str) -> Option<Card>) -> Found {
        if !self.is_in(span) {
            return None;
        }
        Some((span, card(span.text(self.text()))?))
    }

    fn feature(&self, span: Span) -> Found {
        self.of(span, |text| {
            let id = self.book().feature(&key(text))?;
            feature::card(&self.manual.rules, id)
        })
    }

    fn heading(&self, heading: &Heading) -> Found {
        let names = std::iter::once(heading.name).chain(heading.also.iter().copied());
        let name = names.into_iter().find(|name| self.is_in(*name))?;
        // The heading is its own, whatever an alias further up may be called.
        let id = self.book().feature(&key(heading.name.text(self.text())))?;
        Some((name, feature::card(&self.manual.rules, id)?))
    }

    fn subject(&self, subject: &Subject) -> Found {
        self.feature(subject.feature)
    }

    fn step(&self, span: Span) -> Found {
        self.of(span, |text| {
            let id = self.book().step_id(&key(text))?;
            step::card(self.book(), id, None)
        })
    }

    fn steps(&self, spans: &[Span]) -> Found {
        spans.iter().find_map(|span| self.step(*span))
    }

    fn condition(&self, condition: &ConditionNode) -> Found {
        match condition {
            ConditionNode::Did(step) | ConditionNode::NotDid(step) => self.step(*step),
            ConditionNode::Feature(subject, _) => self.subject(subject),
            ConditionNode::Found(..) | ConditionNode::Got(_) => None,
        }
    }

    fn clauses(&self, clauses: &[Clause]) -> Found {
        clauses.iter().find_map(|clause| match clause {
            Clause::After(steps)
            | Clause::DirectlyAfter(steps)
            | Clause::NotWith(steps)
            | Clause::Then { steps, .. } => self.steps(steps),
            Clause::Wait { time, after, .. } => {
                amount::unit_at([time], self.offset, self.text(), None).or_else(|| self.steps(after))
            }
            Clause::Needs(needs) => needs
                .iter()
                .find_map(|need| self.of(*need, |text| Some(things::need(self.book(), text)))),
            Clause::Disturbs(features)
            | Clause::Reads(features)
            | Clause::Until(features)
            | Clause::Expects(features)
            | Clause::Given(features) => features.iter().find_map(|subject| self.subject(subject)),
            Clause::If { condition, .. } => self.condition(condition),
            Clause::Bound(name, node) => self.bound(*name, node),
            Clause::Uses(_, Some(rated)) => amount::unit_at([rated], self.offset, self.text(), None),
            _ => None,
        })
    }

    /// A bound on an amount of a step, as it was understood.
    fn bound(&self, name: Span, node: &LimitNode) -> Found {
        if let Some(found) = self.limit_units(node) {
            return Some(found);
        }
        // From the name of the amount to the end of what it is bounded by.
        let mut span = name;
        node.clone().each_span(&mut |part| span = span.to(*part));
        if !self.is_in(span) {
            return None;
        }
        let steps = self.book().procedures.iter().flat_map(|p| &p.steps);
        let mut own = steps.flat_map(|step| &step.bounds).filter(|bound| bound.manual == 0);
        let bound = own.find(|bound| bound.span == name)?;
        let mut card = Card::new(format!("**{}**, bounded", code(name.text(self.text()))));
        match &bound.bound {
            BoundKind::Limit(limit) => card.fact(understood(limit)),
            BoundKind::RatingOf(tool) => card.fact(format!("at most what {} is rated for", code(&tool.name))),
        }
        if let Some(precaution) = self.book().precaution(&bound.name) {
            card.fact(format!(
                "a precaution: passing it is a **danger**; {}",
                super::card::plain(&precaution.because)
            ));
            card.fact(step::DEFER);
        }
        Some((span, card))
    }

    fn limit_units(&self, node: &LimitNode) -> Found {
        let amounts: Vec<&Amount> = match node {
            LimitNode::UpTo(Bound::Amount(a)) | LimitNode::AtLeast(Bound::Amount(a)) | LimitNode::Exactly(a) => vec![a],
            LimitNode::Between(a, b) | LimitNode::PlusMinus(a, b) => vec![a, b],
            LimitNode::Tolerance(a, b, c) => vec![a, b, c],
            LimitNode::UpTo(_) | LimitNode::AtLeast(_) | LimitNode::Coded(_) => Vec::new(),
        };
        amount::unit_at(amounts, self.offset, self.text(), None)
    }

    /// A limit as it was understood, in base units, by the tables where it is a class of a standard.
    fn limit(&self, entry: &RuleEntry, node: &LimitNode, source: Option<Span>) -> Found {
        if let Some(found) = self.limit_units(node) {
            return Some(found);
        }
        if !self.is_in(entry.span) {
            return None;
        }
        let features = self.book().features.iter();
        let found = features
            .flat_map(|feature| {
                let own = feature
                    .limits
                    .iter()
                    .chain(&feature.nominal)
                    .chain(&feature.alike)
                    .chain(&feature.aim);
                own.map(move |limit| (feature, limit))
            })
            .find(|(_, limit)| {
                limit.manual == 0 && entry.span.start <= limit.span.start && limit.span.end <= entry.span.end
            });
        let (feature, limit) = found?;
        let span = source.filter(|source| self.is_in(*source)).unwrap_or(limit.span);
        let mut card = Card::new(format!("**{}**", code(&feature.name.name)));
        card.fact(limit_line(limit, self.book()));
        if let LimitNode::Coded(code_span) = node {
            card.fact(format!(
                "{} by the tables: {}",
                code(code_span.text(self.text())),
                limit.words()
            ));
        }
        card.fact(understood(limit));
        if let Some(aimed) = feature.aimed_at().filter(|_| limit.stage == "build") {
            card.fact(format!(
                "aimed at: {}",
                crate::judge::words::figure(aimed, Some(limit.unit))
            ));
        }
        Some((span, card))
    }

    /// A sum: what it calls and names; else what the whole of it comes to be.
    fn sum(&self, heading: &Heading, expr: &Expr) -> Found {
        self.expr(expr).or_else(|| {
            if !self.is_in(expr.span()) {
                return None;
            }
            let id = self.book().feature(&key(heading.name.text(self.text())))?;
            let own = self.book().features.get(id)?;
            let mut card = Card::new(sum::sum_line(self.book(), own));
            match self
                .manual
                .rules
                .sums
                .get(id)
                .and_then(Option::as_ref)
                .and_then(|sum| sum.dimension)
            {
                Some(dimension) => {
                    let shown = own.unit.map_or("", |unit| unit.label());
                    let shown = if shown.is_empty() {
                        String::new()
                    } else {
                        format!(", shown in {shown}")
                    };
                    card.fact(format!("it comes to {}{shown}", dimension.name()));
                }
                None => card.fact("it cannot be worked: see what is said of it"),
            }
            Some((expr.span(), card))
        })
    }

    fn expr(&self, expr: &Expr) -> Found {
        match expr {
            Expr::Number(amount) => amount::unit_at([amount], self.offset, self.text(), None),
            Expr::Range(a, b) => amount::unit_at([a, b], self.offset, self.text(), None),
            Expr::Reference(reference) => self.subject(&reference.subject),
            Expr::Negate(inner, _) => self.expr(inner),
            Expr::Binary(_, a, b) | Expr::Power(a, b) => self.expr(a).or_else(|| self.expr(b)),
            Expr::Call(name, arguments, _) => self
                .of(*name, function::card)
                .or_else(|| arguments.iter().find_map(|argument| self.argument(*name, argument))),
            Expr::Text(_) => None,
        }
    }

    /// An argument of a call; its name tells what is wanted there.
    fn argument(&self, called: Span, argument: &crate::syntax::ast::Argument) -> Found {
        let name = argument.name.filter(|name| self.is_in(*name));
        if let Some(name) = name {
            let function = crate::trade::named(called.text(self.text()))?;
            let place = function.place_of(&key(name.text(self.text())))?;
            let parameter = function.parameters.get(place)?;
            let mut card = Card::new(format!("**{}** of {}", code(parameter.name), code(function.name)));
            card.fact(super::card::plain(parameter.says));
            return Some((name, card));
        }
        self.expr(&argument.value)
    }
}

/// The ends of a limit in base units, where they were written in others.
fn understood(limit: &Limit) -> String {
    let usual = unit::usual(limit.unit.dimension);
    match usual.filter(|usual| usual.symbol != limit.unit.symbol) {
        Some(usual) => {
            let band = crate::judge::words::band(&limit.band, Some(usual));
            // The end of a limit belongs to it.
            let band = band
                .strip_prefix("less than ")
                .map_or(band.clone(), |end| format!("up to {end}"));
            format!("{}, which is {band}", limit.words())
        }
        None => format!("understood as {}", limit.words()),
    }
}

/// What a material grows by heat.
fn material(name: &str) -> Option<Card> {
    let known = crate::trade::materials::material(&key(name))?;
    let mut card = Card::new(format!("**{}**, a material", code(name)));
    card.fact("a length of it that was read warm is brought to 20 °C");
    card.fact(format!(
        "it grows by {:.1} ± {:.1} ppm/K",
        known.expansion * 1e6,
        known.spread * 1e6
    ));
    Some(card)
}
