//! The words of a manual.

use super::filler::Gaps;
use super::words::Words;
use super::{Marks, Painted, Painter, TokenKind};
use crate::judge::ManualAnalysis;
use crate::syntax::Span;
use crate::syntax::ast::{
    Bound, Clause, ConditionNode, Expr, Heading, LimitNode, MaterialNode, NeverOrder, Rule, RuleEntry,
};

/// A manual to be painted.
pub(super) struct Manual<'a> {
    analysis: &'a ManualAnalysis,
}

/// A name that is introduced here.
const DECLARED: Marks = Marks {
    declaration: true,
    deprecated: false,
    default_library: false,
    readonly: false,
};

impl<'a> Manual<'a> {
    pub fn new(analysis: &'a ManualAnalysis) -> Manual<'a> {
        Manual { analysis }
    }

    fn rule(&self, number: usize, entry: &RuleEntry, words: &mut Words<'_>) -> Gaps {
        match &entry.rule {
            Rule::Manual(name) => {
                words.mark(*name, TokenKind::Namespace, DECLARED);
                return Gaps::ProseFrom(name.end);
            }
            Rule::Extends(name) => words.manual(*name, Some(&self.analysis.source.name)),
            Rule::Source(text) | Rule::Because(text) => words.put(*text, TokenKind::String),
            Rule::Units(items) => words.all(items, TokenKind::Type),
            Rule::Unit(unit) => words.put(*unit, TokenKind::Type),
            Rule::Feature(heading) | Rule::Precaution(heading) => words.heading(heading, DECLARED),
            Rule::Calc(heading, sum) => {
                let worked = Marks {
                    readonly: true,
                    ..DECLARED
                };
                words.heading(heading, worked);
                words.sum(sum);
            }
            Rule::Procedure(name) => words.mark(*name, TokenKind::Function, DECLARED),
            Rule::Step(name, clauses) => {
                words.mark(*name, TokenKind::Function, DECLARED);
                words.clauses(clauses);
            }
            Rule::Clauses(clauses) => words.clauses(clauses),
            Rule::OneOf(steps) => words.steps(steps),
            Rule::Never(never) => {
                let (step, ticks) = never.names.split_at(never.names.len().min(1));
                words.steps(step);
                words.all(ticks, TokenKind::String);
                if let NeverOrder::Before(other) | NeverOrder::After(other) = &never.order {
                    words.step(*other);
                }
                for condition in &never.conditions {
                    words.condition(condition);
                }
                if let Some(because) = never.because {
                    words.put(because, TokenKind::String);
                }
            }
            Rule::Limit(stage, limit, source) => {
                // Below a step it is a bound on one of its amounts, and no stage.
                let kind = if self.is_of_step(number) {
                    TokenKind::Property
                } else {
                    TokenKind::Namespace
                };
                words.put(*stage, kind);
                words.limit(limit, *source);
            }
            Rule::Nominal(limit, source) | Rule::Alike(limit, source) | Rule::Aim(limit, source) => {
                words.limit(limit, *source);
            }
            Rule::Say(choices) => words.all(choices, TokenKind::String),
            // `guarded at 95 %`: words of the grammar.
            Rule::Decide(_) | Rule::Ahead => {}
            Rule::Material(MaterialNode::Named(name)) => words.put(*name, TokenKind::String),
            Rule::Material(MaterialNode::Expansion(figure, spread)) => {
                words.amounts(std::iter::once(figure).chain(spread))
            }
            Rule::LimitsOf(name) | Rule::AgreesWith(name) => words.feature(*name),
            Rule::Choose { what, stock, together } => {
                words.feature(*what);
                if let Some(stock) = stock {
                    words.put(*stock, TokenKind::Class);
                }
                if let Some(together) = together {
                    words.put(*together, TokenKind::Number);
                }
            }
            Rule::Required(stage) => {
                if let Some(stage) = stage {
                    words.put(*stage, TokenKind::Namespace);
                }
            }
            Rule::Also(names) => {
                let kind = if self.is_of_step(number) {
                    TokenKind::Function
                } else {
                    TokenKind::Property
                };
                for name in names {
                    words.mark(*name, kind, DECLARED);
                }
            }
            Rule::Unread => return Gaps::Unread,
        }
        Gaps::Grammar
    }

    /// Whether the last thing that was begun above an entry is a step.
    fn is_of_step(&self, number: usize) -> bool {
        let above = self.analysis.tree.entries.get(..number).unwrap_or_default();
        let mut begun = above
            .iter()
            .rev()
            .filter(|entry| super::super::shape::depth(&entry.rule).is_some());
        begun.next().is_some_and(|entry| matches!(entry.rule, Rule::Step(..)))
    }
}

impl Painter for Manual<'_> {
    fn entry_at(&self, line: usize) -> Option<(usize, std::ops::Range<usize>)> {
        let entries = &self.analysis.tree.entries;
        let number = entries.partition_point(|entry| entry.line <= line).checked_sub(1)?;
        let entry = entries.get(number)?;
        Some((number, entry.line..entry.line + 1))
    }

    fn paint(&self, number: usize) -> Painted {
        let mut words = Words::new(&self.analysis.source.text, &self.analysis.rules);
        let Some(entry) = self.analysis.tree.entries.get(number) else {
            return Painted::default();
        };
        let gaps = self.rule(number, entry, &mut words);
        Painted {
            words: words.list,
            gaps,
        }
    }
}

impl Words<'_> {
    fn heading(&mut self, heading: &Heading, marks: Marks) {
        for name in std::iter::once(&heading.name).chain(&heading.also) {
            self.mark(*name, TokenKind::Property, marks);
        }
        self.all(&heading.parts, TokenKind::Class);
        self.all(&heading.places, TokenKind::Parameter);
    }

    fn limit(&mut self, limit: &LimitNode, source: Option<Span>) {
        match limit {
            LimitNode::UpTo(bound) | LimitNode::AtLeast(bound) => match bound {
                Bound::Amount(amount) => self.amount(amount),
                Bound::RatingOf(tool) => self.put(*tool, TokenKind::Variable),
            },
            LimitNode::Between(a, b) | LimitNode::PlusMinus(a, b) => self.amounts([a, b]),
            LimitNode::Tolerance(a, b, c) => self.amounts([a, b, c]),
            LimitNode::Exactly(amount) => self.amount(amount),
            LimitNode::Coded(code) => self.put(*code, TokenKind::Number),
        }
        if let Some(source) = source {
            self.put(source, TokenKind::String);
        }
    }

    fn sum(&mut self, sum: &Expr) {
        match sum {
            Expr::Number(amount) => self.amount(amount),
            Expr::Reference(reference) => self.subject(&reference.subject),
            Expr::Negate(inner, _) => self.sum(inner),
            Expr::Binary(_, a, b) | Expr::Power(a, b) => {
                self.sum(a);
                self.sum(b);
            }
            Expr::Call(name, arguments, _) => {
                let built_in = Marks {
                    default_library: true,
                    ..Marks::default()
                };
                self.mark(*name, TokenKind::Function, built_in);
                for argument in arguments {
                    if let Some(name) = argument.name {
                        self.put(name, TokenKind::Parameter);
                    }
                    self.sum(&argument.value);
                }
            }
            Expr::Text(words) => self.put(*words, TokenKind::String),
            Expr::Range(a, b) => self.amounts([a, b]),
        }
    }

    fn condition(&mut self, condition: &ConditionNode) {
        match condition {
            ConditionNode::Did(step) | ConditionNode::NotDid(step) => self.step(*step),
            ConditionNode::Found(part, decision) => {
                self.put(*part, TokenKind::Class);
                self.put(*decision, TokenKind::Keyword);
            }
            ConditionNode::Got(part) => self.put(*part, TokenKind::Class),
            ConditionNode::Feature(subject, state) => {
                self.subject(subject);
                self.put(*state, TokenKind::Keyword);
            }
        }
    }

    fn clauses(&mut self, clauses: &[Clause]) {
        for clause in clauses {
            match clause {
                Clause::After(steps)
                | Clause::DirectlyAfter(steps)
                | Clause::Then { steps, .. }
                | Clause::NotWith(steps) => self.steps(steps),
                Clause::Needs(needs) => self.all(needs, TokenKind::Property),
                Clause::Also(names) => {
                    for name in names {
                        self.mark(*name, TokenKind::Function, DECLARED);
                    }
                }
                Clause::Disturbs(features)
                | Clause::Reads(features)
                | Clause::Until(features)
                | Clause::Given(features)
                | Clause::Expects(features) => self.subjects(features),
                Clause::If { condition, .. } => self.condition(condition),
                Clause::Wait { time, after, .. } => {
                    self.amount(time);
                    self.steps(after);
                }
                Clause::TakesOut(parts) | Clause::PutsIn(parts) | Clause::Renews(parts) => {
                    self.all(parts, TokenKind::Class);
                }
                Clause::Pattern(rows, each) => {
                    for count in rows.iter().chain([each]) {
                        self.put(*count, TokenKind::Number);
                    }
                }
                Clause::Uses(tool, rated) => {
                    self.put(*tool, TokenKind::Variable);
                    self.amounts(rated);
                }
                Clause::Optional | Clause::Once => {}
                Clause::Because(text) => self.put(*text, TokenKind::String),
                Clause::Bound(name, limit) => {
                    self.put(*name, TokenKind::Property);
                    self.limit(limit, None);
                }
            }
        }
    }
}
