//! The names of a manual, in one walk over its tree.

use super::{Entity, Mention, Names, Tick};
use crate::model::Book;
use crate::model::names::key;
use crate::syntax::Span;
use crate::syntax::ast::{
    Bound, Clause, ConditionNode, Expr, Heading, LimitNode, ManualTree, NeverNode, NeverOrder, Rule, Subject,
};

/// Functions whose second argument is words that a reading says, and no name.
const ASKING: &[&str] = &["says", "if said"];

/// The names of a manual, and for each of its steps what it needs.
pub(super) fn names(tree: &ManualTree, text: &str, book: Option<&Book>) -> (Vec<Mention>, Vec<Tick>) {
    let mut walk = Walk {
        text,
        book,
        names: Names::new(text),
        ticks: Vec::new(),
        above: Entity::Feature,
        step: String::new(),
    };
    for entry in &tree.entries {
        walk.rule(&entry.rule);
    }
    (walk.names.finish(), walk.ticks)
}

struct Walk<'a> {
    text: &'a str,
    book: Option<&'a Book>,
    names: Names<'a>,
    ticks: Vec<Tick>,
    /// What an `also` line gives another name to.
    above: Entity,
    /// Key of the step above.
    step: String,
}

impl Walk<'_> {
    fn rule(&mut self, rule: &Rule) {
        match rule {
            Rule::Manual(name) => self.names.add(Entity::Manual, *name, true),
            Rule::Extends(name) => self.names.manual(*name),
            Rule::Feature(heading) => self.heading(Entity::Feature, heading),
            Rule::Calc(heading, sum) => {
                self.heading(Entity::Feature, heading);
                self.sum(sum, false);
            }
            Rule::Precaution(heading) => self.heading(Entity::Need, heading),
            Rule::Procedure(name) => {
                self.names.add(Entity::Procedure, *name, true);
                self.above = Entity::Step;
            }
            Rule::Step(name, clauses) => {
                self.names.add(Entity::Step, *name, true);
                self.above = Entity::Step;
                self.step = self.names.key(*name);
                self.clauses(clauses);
            }
            Rule::Clauses(clauses) => self.clauses(clauses),
            Rule::OneOf(steps) => self.each(Entity::Step, steps),
            Rule::Never(never) => self.never(never),
            Rule::Limit(_, limit, _) | Rule::Nominal(limit, _) | Rule::Alike(limit, _) | Rule::Aim(limit, _) => {
                self.limit(limit)
            }
            Rule::LimitsOf(name) | Rule::AgreesWith(name) => self.names.named(Entity::Feature, *name),
            Rule::Choose { what, stock, .. } => {
                // Of a stock a feature is chosen; else parts whose names hold these words.
                let entity = if stock.is_some() { Entity::Feature } else { Entity::Part };
                self.names.named(entity, *what);
                if let Some(stock) = stock {
                    self.names.named(Entity::Stock, *stock);
                }
            }
            Rule::Also(names) => {
                for name in names {
                    self.names.add(self.above, *name, true);
                }
            }
            Rule::Source(_)
            | Rule::Units(_)
            | Rule::Unit(_)
            | Rule::Say(_)
            | Rule::Decide(_)
            | Rule::Material(_)
            | Rule::Ahead
            | Rule::Required(_)
            | Rule::Because(_)
            | Rule::Unread => {}
        }
    }

    fn each(&mut self, entity: Entity, names: &[Span]) {
        for name in names {
            self.names.named(entity, *name);
        }
    }

    fn heading(&mut self, entity: Entity, heading: &Heading) {
        self.above = entity;
        self.names.add(entity, heading.name, true);
        self.each(Entity::Part, &heading.parts);
        self.each(Entity::Place, &heading.places);
        for name in &heading.also {
            self.names.add(entity, *name, true);
        }
    }

    fn subject(&mut self, subject: &Subject) {
        self.names.named(Entity::Feature, subject.feature);
        for (entity, span) in [(Entity::Part, subject.part), (Entity::Place, subject.place)] {
            if let Some(span) = span {
                self.names.named(entity, span);
            }
        }
    }

    fn limit(&mut self, limit: &LimitNode) {
        if let LimitNode::UpTo(Bound::RatingOf(tool)) | LimitNode::AtLeast(Bound::RatingOf(tool)) = limit {
            self.names.named(Entity::Tool, *tool);
        }
    }

    fn clauses(&mut self, clauses: &[Clause]) {
        for clause in clauses {
            match clause {
                Clause::After(steps)
                | Clause::DirectlyAfter(steps)
                | Clause::Then { steps, .. }
                | Clause::NotWith(steps)
                | Clause::Wait { after: steps, .. } => self.each(Entity::Step, steps),
                Clause::Needs(needs) => {
                    for need in needs {
                        self.need(*need);
                    }
                }
                Clause::Also(names) => {
                    for name in names {
                        self.names.add(Entity::Step, *name, true);
                    }
                }
                Clause::Disturbs(subjects)
                | Clause::Reads(subjects)
                | Clause::Until(subjects)
                | Clause::Given(subjects)
                | Clause::Expects(subjects) => {
                    for subject in subjects {
                        self.subject(subject);
                    }
                }
                Clause::If { condition, .. } => self.condition(condition),
                Clause::TakesOut(parts) | Clause::PutsIn(parts) | Clause::Renews(parts) => {
                    self.each(Entity::Part, parts);
                }
                Clause::Uses(kind, _) => self.names.named(Entity::Tool, *kind),
                Clause::Bound(_, limit) => self.limit(limit),
                Clause::Pattern(..) | Clause::Optional | Clause::Once | Clause::Because(_) => {}
            }
        }
    }

    /// `oiled or dry` are two.
    fn need(&mut self, need: Span) {
        let written = need.text(self.text);
        let mut start = 0;
        let mut words = 0;
        for word in written.split_inclusive([' ', '\t', '\u{A0}']) {
            let begins = words;
            words += word.len();
            if word.trim().eq_ignore_ascii_case("or") {
                self.one_need(need, start, begins);
                start = words;
            }
        }
        self.one_need(need, start, written.len());
    }

    fn one_need(&mut self, whole: Span, from: usize, to: usize) {
        let base = whole.start as usize;
        let span = super::trimmed(Span::new(base + from, base + to), self.text);
        self.names.named(Entity::Need, span);
        self.ticks.push(Tick {
            step: self.step.clone(),
            span,
        });
    }

    fn condition(&mut self, condition: &ConditionNode) {
        match condition {
            ConditionNode::Did(step) | ConditionNode::NotDid(step) => self.names.named(Entity::Step, *step),
            ConditionNode::Found(part, _) | ConditionNode::Got(part) => self.names.named(Entity::Part, *part),
            ConditionNode::Feature(subject, _) => self.subject(subject),
        }
    }

    fn never(&mut self, never: &NeverNode) {
        if let Some(step) = never.names.first() {
            self.names.named(Entity::Step, *step);
        }
        if let NeverOrder::Before(step) | NeverOrder::After(step) = never.order {
            self.names.named(Entity::Step, step);
        }
        for condition in &never.conditions {
            self.condition(condition);
        }
    }

    /// The features of a sum. Among what a function takes are words too (`aluminium`, `C3`), which only the book can tell from features.
    fn sum(&mut self, sum: &Expr, is_argument: bool) {
        match sum {
            Expr::Number(_) | Expr::Text(_) | Expr::Range(..) => {}
            Expr::Reference(reference) => {
                let subject = &reference.subject;
                let name = self.names.key(subject.feature);
                let knows = |book: &Book| book.feature(&name).is_some();
                let is_word = is_argument && subject.part.is_none() && subject.place.is_none();
                let is_pi = (name == "pi" || name == "π") && !self.book.is_some_and(knows);
                if is_pi || (is_word && !self.book.is_none_or(knows)) {
                    return;
                }
                self.subject(subject);
            }
            Expr::Negate(inner, _) => self.sum(inner, false),
            Expr::Binary(_, a, b) | Expr::Power(a, b) => {
                self.sum(a, false);
                self.sum(b, false);
            }
            Expr::Call(function, arguments, _) => {
                let asks = ASKING.contains(&&*key(function.text(self.text)));
                let count = if asks { 1 } else { arguments.len() };
                for argument in arguments.iter().take(count) {
                    self.sum(&argument.value, true);
                }
            }
        }
    }
}
