//! Every span of a statement, for whoever wants to move, check or compare them all.

use super::Span;
use super::ast::*;

/// Something that holds spans into a text.
pub trait Spans {
    /// Calls `visit` with every span, in the order of the fields.
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span));
}

/// An offset, further along by so many bytes.
pub(super) fn offset_moved(offset: u32, by: i64) -> u32 {
    u32::try_from(i64::from(offset) + by).unwrap_or_default()
}

/// A span further along by so many bytes. An empty one at 0 stands for nothing written, wherever it is.
pub(super) fn moved(span: Span, by: i64) -> Span {
    if span == Span::default() {
        return span;
    }
    Span {
        start: offset_moved(span.start, by),
        end: offset_moved(span.end, by),
    }
}

impl Spans for Span {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        visit(self);
    }
}

impl<T: Spans> Spans for Option<T> {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        if let Some(inner) = self {
            inner.each_span(visit);
        }
    }
}

impl<T: Spans> Spans for Vec<T> {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        for inner in self {
            inner.each_span(visit);
        }
    }
}

impl<T: Spans> Spans for Box<T> {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        (**self).each_span(visit);
    }
}

impl Spans for (Op, Amount) {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        self.1.each_span(visit);
    }
}

/// Visits the named fields of a struct one after another.
macro_rules! fields {
    ($($kind:ty: $($field:ident),+;)+) => {
        $(impl Spans for $kind {
            fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
                $(self.$field.each_span(visit);)+
            }
        })+
    };
}

fields! {
    Amount: number, unit;
    Figure: value, span, unit;
    Subject: feature, part, place;
    Detail: span, kind;
    Row: label, cells;
    Table: columns, rows;
    Reading: subject, figure, tool, at, details, table;
    Reference: subject, span;
    Heading: name, parts, places, also;
}

impl Spans for Entry {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        self.span.each_span(visit);
        self.clock.each_span(visit);
        self.statement.each_span(visit);
    }
}

impl Spans for Value {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Value::Empty => {}
            Value::Words(words) => words.each_span(visit),
            Value::Single(amount) | Value::Times(amount, _) => amount.each_span(visit),
            Value::Blades { go, no_go } => {
                go.each_span(visit);
                no_go.each_span(visit);
            }
            Value::Range(a, b) | Value::PlusMinus(a, b) => {
                a.each_span(visit);
                b.each_span(visit);
            }
            Value::Many(amounts) | Value::Stages(amounts) => amounts.each_span(visit),
            Value::Ring(amounts, angles) => {
                amounts.each_span(visit);
                angles.each_span(visit);
            }
            Value::Sum { first, terms, result } => {
                first.each_span(visit);
                terms.each_span(visit);
                result.each_span(visit);
            }
        }
    }
}

impl Spans for DetailKind {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            DetailKind::Tick(text)
            | DetailKind::Because(text)
            | DetailKind::From(text)
            | DetailKind::Number(text)
            | DetailKind::OrderedAs(text) => text.each_span(visit),
            DetailKind::Date { name, date } => {
                name.each_span(visit);
                date.each_span(visit);
            }
            DetailKind::Amount {
                name,
                figure,
                tool,
                trailing,
            } => {
                name.each_span(visit);
                figure.each_span(visit);
                tool.each_span(visit);
                trailing.each_span(visit);
            }
        }
    }
}

impl Spans for Cell {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Cell::Amount(amount) => amount.each_span(visit),
            Cell::Ditto(span) | Cell::Dash(span) => span.each_span(visit),
        }
    }
}

impl Spans for FixTarget {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            FixTarget::Reading(subject) => subject.each_span(visit),
            FixTarget::Step(step, amount) => {
                step.each_span(visit);
                amount.each_span(visit);
            }
        }
    }
}

impl Spans for Statement {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Statement::Head(_, text)
            | Statement::Manual(text)
            | Statement::Procedure(text)
            | Statement::Note(text)
            | Statement::Photo(text) => text.each_span(visit),
            Statement::Units(items) => items.each_span(visit),
            Statement::Hours(meter) => meter.each_span(visit),
            Statement::Day { date, stage } => {
                date.each_span(visit);
                stage.each_span(visit);
            }
            Statement::Reading(reading) => reading.each_span(visit),
            Statement::Tool(name, details)
            | Statement::Did(name, details)
            | Statement::Undid(name, details)
            | Statement::Found(name, details)
            | Statement::Ordered(name, details)
            | Statement::Got(name, details)
            | Statement::Waiting(name, details) => {
                name.each_span(visit);
                details.each_span(visit);
            }
            Statement::Stock(name, pieces) => {
                name.each_span(visit);
                for piece in pieces {
                    piece.size.each_span(visit);
                }
            }
            Statement::Option(name, costs) | Statement::Cost(name, costs) => {
                name.each_span(visit);
                costs.each_span(visit);
            }
            Statement::Chose(chosen, over, details) => {
                chosen.each_span(visit);
                over.each_span(visit);
                details.each_span(visit);
            }
            Statement::Fix {
                target,
                old,
                new,
                reason,
            } => {
                target.each_span(visit);
                old.each_span(visit);
                new.each_span(visit);
                reason.each_span(visit);
            }
            Statement::Amend(name, subject, details) => {
                name.each_span(visit);
                subject.each_span(visit);
                details.each_span(visit);
            }
            Statement::Held(details) => details.each_span(visit),
            Statement::Checked(name, details) => {
                name.each_span(visit);
                details.each_span(visit);
            }
            Statement::Closed(date) => date.each_span(visit),
            Statement::Unread => {}
        }
    }
}

impl Spans for Expr {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Expr::Number(amount) => amount.each_span(visit),
            Expr::Reference(reference) => reference.each_span(visit),
            Expr::Negate(inner, span) => {
                inner.each_span(visit);
                span.each_span(visit);
            }
            Expr::Binary(_, a, b) | Expr::Power(a, b) => {
                a.each_span(visit);
                b.each_span(visit);
            }
            Expr::Call(name, arguments, span) => {
                name.each_span(visit);
                arguments.each_span(visit);
                span.each_span(visit);
            }
            Expr::Text(span) => span.each_span(visit),
            Expr::Range(a, b) => {
                a.each_span(visit);
                b.each_span(visit);
            }
        }
    }
}

impl Spans for Argument {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        self.name.each_span(visit);
        self.value.each_span(visit);
    }
}

impl Spans for Cost {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        self.span.each_span(visit);
        self.name.each_span(visit);
        self.amount.each_span(visit);
        if let CostBy::At(amount, _) | CostBy::Of(amount) | CostBy::Times(amount) = &mut self.by {
            amount.each_span(visit);
        }
    }
}

impl Spans for Bound {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Bound::Amount(amount) => amount.each_span(visit),
            Bound::RatingOf(tool) => tool.each_span(visit),
        }
    }
}

impl Spans for LimitNode {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            LimitNode::UpTo(bound) | LimitNode::AtLeast(bound) => bound.each_span(visit),
            LimitNode::Between(a, b) | LimitNode::PlusMinus(a, b) => {
                a.each_span(visit);
                b.each_span(visit);
            }
            LimitNode::Tolerance(a, b, c) => {
                a.each_span(visit);
                b.each_span(visit);
                c.each_span(visit);
            }
            LimitNode::Exactly(amount) => amount.each_span(visit),
            LimitNode::Coded(code) => code.each_span(visit),
        }
    }
}

impl Spans for MaterialNode {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            MaterialNode::Named(name) => name.each_span(visit),
            MaterialNode::Expansion(figure, spread) => {
                figure.each_span(visit);
                spread.each_span(visit);
            }
        }
    }
}

impl Spans for Clause {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Clause::After(items)
            | Clause::DirectlyAfter(items)
            | Clause::Then { steps: items, .. }
            | Clause::NotWith(items)
            | Clause::TakesOut(items)
            | Clause::PutsIn(items)
            | Clause::Renews(items)
            | Clause::Needs(items)
            | Clause::Also(items) => {
                items.each_span(visit);
            }
            Clause::Disturbs(features)
            | Clause::Reads(features)
            | Clause::Until(features)
            | Clause::Expects(features)
            | Clause::Given(features) => {
                features.each_span(visit);
            }
            Clause::If { condition, .. } => condition.each_span(visit),
            Clause::Wait { time, after, .. } => {
                time.each_span(visit);
                after.each_span(visit);
            }
            Clause::Uses(kind, rated) => {
                kind.each_span(visit);
                rated.each_span(visit);
            }
            Clause::Pattern(rows, each) => {
                rows.each_span(visit);
                each.each_span(visit);
            }
            Clause::Optional | Clause::Once => {}
            Clause::Because(text) => text.each_span(visit),
            Clause::Bound(name, limit) => {
                name.each_span(visit);
                limit.each_span(visit);
            }
        }
    }
}

impl Spans for ConditionNode {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            ConditionNode::Did(name) | ConditionNode::NotDid(name) | ConditionNode::Got(name) => name.each_span(visit),
            ConditionNode::Found(part, decision) => {
                part.each_span(visit);
                decision.each_span(visit);
            }
            ConditionNode::Feature(subject, state) => {
                subject.each_span(visit);
                state.each_span(visit);
            }
        }
    }
}

impl Spans for NeverOrder {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            NeverOrder::Ever => {}
            NeverOrder::Before(step) | NeverOrder::After(step) => step.each_span(visit),
        }
    }
}

impl Spans for Rule {
    fn each_span(&mut self, visit: &mut dyn FnMut(&mut Span)) {
        match self {
            Rule::Manual(text)
            | Rule::Extends(text)
            | Rule::Source(text)
            | Rule::Procedure(text)
            | Rule::Unit(text)
            | Rule::Decide(text)
            | Rule::LimitsOf(text)
            | Rule::AgreesWith(text)
            | Rule::Because(text) => text.each_span(visit),
            Rule::Units(items) | Rule::Say(items) | Rule::Also(items) => items.each_span(visit),
            Rule::Feature(heading) | Rule::Precaution(heading) => heading.each_span(visit),
            Rule::Calc(heading, expr) => {
                heading.each_span(visit);
                expr.each_span(visit);
            }
            Rule::Step(name, clauses) => {
                name.each_span(visit);
                clauses.each_span(visit);
            }
            Rule::Clauses(clauses) => clauses.each_span(visit),
            Rule::Ahead => {}
            Rule::Aim(limit, source) => {
                limit.each_span(visit);
                source.each_span(visit);
            }
            Rule::Choose { what, stock, together } => {
                what.each_span(visit);
                stock.each_span(visit);
                together.each_span(visit);
            }
            Rule::OneOf(steps) => steps.each_span(visit),
            Rule::Never(never) => {
                never.names.each_span(visit);
                never.order.each_span(visit);
                never.conditions.each_span(visit);
                never.because.each_span(visit);
            }
            Rule::Limit(stage, limit, source) => {
                stage.each_span(visit);
                limit.each_span(visit);
                source.each_span(visit);
            }
            Rule::Material(material) => material.each_span(visit),
            Rule::Nominal(limit, source) | Rule::Alike(limit, source) => {
                limit.each_span(visit);
                source.each_span(visit);
            }
            Rule::Required(stage) => stage.each_span(visit),
            Rule::Unread => {}
        }
    }
}
