//! Sums of derived features: names looked up, dimensions checked, ready to be worked out.

use std::sync::Arc;

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use super::function::Function;
use super::question::Question;
use super::trade::Called;
use crate::model::book::{Book, FeatureId};
use crate::model::names::key;
use crate::model::units::{Meant, kinds_help, read};
use crate::quantity::{Band, Dimension, number};
use crate::syntax::ast::{Amount, Expr, Op, Reference, SyntaxError};
use crate::syntax::{Span, nearest};

/// π to the 28 digits a decimal holds.
pub const PI: Decimal = Decimal::PI;

/// Derived features that rest on derived features, at most this deep; the compiler and the worker stop at the same depth.
pub(super) const DEEPEST: usize = 16;

/// A sum ready to be worked out.
#[derive(Debug)]
pub struct Sum {
    /// Its tree.
    pub node: Node,
    /// The dimension of its result; `None` if a feature in it has none that is known.
    pub dimension: Option<Dimension>,
}

impl Sum {
    /// The features it takes without naming a part, each once.
    pub fn features_without_part(&self) -> Vec<FeatureId> {
        let mut list = Vec::new();
        self.node.visit(&mut |node| {
            if let Node::Read(read) | Node::Ask(_, read) = node
                && read.part.is_none()
                && !list.contains(&read.feature)
            {
                list.push(read.feature);
            }
        });
        list
    }
}

impl Sum {
    /// Every feature it takes as it now stands, each once; readings as found are what they were.
    pub fn features(&self) -> Vec<FeatureId> {
        let mut list = Vec::new();
        self.node.visit(&mut |node| {
            if let Node::Read(read) | Node::Ask(_, read) = node
                && !read.as_found
                && !list.contains(&read.feature)
            {
                list.push(read.feature);
            }
        });
        list
    }
}

impl Node {
    /// Calls a function on this node and all below it.
    pub fn visit(&self, see: &mut impl FnMut(&Node)) {
        see(self);
        match self {
            Node::Number(_) | Node::Read(_) | Node::Between(_) | Node::Ask(..) | Node::Missing(_) => {}
            Node::Negate(a) | Node::Power(a, _) => a.visit(see),
            Node::Binary(_, a, b) => {
                a.visit(see);
                b.visit(see);
            }
            Node::Call(_, arguments) | Node::Trade(_, arguments) => {
                arguments.iter().for_each(|argument| argument.visit(see));
            }
        }
    }
}

/// A node of a sum. Figures are in base units.
#[derive(Debug)]
pub enum Node {
    /// A figure.
    Number(Decimal),
    /// A reading.
    Read(Read),
    /// `-a`
    Negate(Box<Node>),
    /// `a + b` and the like.
    Binary(Op, Box<Node>, Box<Node>),
    /// `a ^ n`
    Power(Box<Node>, i32),
    /// A function.
    Call(Function, Vec<Node>),
    /// A function of the trade.
    Trade(Arc<Called>, Vec<Node>),
    /// Anywhere between two figures.
    Between(Band),
    /// Something a reading says besides its figure.
    Ask(Question, Read),
    /// What no manual says: in words.
    Missing(String),
}

/// A reading that a sum asks for.
#[derive(Debug)]
pub struct Read {
    /// Of which feature.
    pub feature: FeatureId,
    /// Of which part; `None`: of the sum's own part, or of the one without.
    pub part: Option<String>,
    /// At which place; `None` as for the part.
    pub place: Option<String>,
    /// The reading taken as found.
    pub as_found: bool,
}

/// Compiles the sums of a book; one slot a feature. Problems are given with the manual they stand in.
pub fn compile(book: &Book) -> (Vec<Option<Sum>>, Vec<(usize, SyntaxError)>) {
    let mut compiler = Compiler {
        book,
        problems: Vec::new(),
        known: FxHashMap::default(),
        open: Vec::new(),
    };
    let sums = (0..book.features.len()).map(|id| compiler.feature(id)).collect();
    compiler.ties();
    (sums, compiler.problems)
}

pub(super) struct Compiler<'a> {
    pub(super) book: &'a Book,
    pub(super) problems: Vec<(usize, SyntaxError)>,
    /// Dimensions of derived features already worked out.
    known: FxHashMap<FeatureId, Option<Dimension>>,
    /// Derived features being worked out now, outermost first.
    open: Vec<FeatureId>,
}

/// What stops a sum; the problem has been noted.
pub(super) struct Stopped;

/// What to do where a temperature was taken for a difference, or an absolute pressure for one above the air's.
pub(super) fn kinds(a: Dimension, b: Dimension) -> Option<&'static str> {
    if [a, b].contains(&Dimension::TEMPERATURE) {
        Some(
            "a temperature is not a difference: write `T - 20 °C`; a difference by itself is written in K, and the middle of several \
             temperatures is `mean(…)`",
        )
    } else if [a, b].contains(&Dimension::ABSOLUTE_PRESSURE) {
        Some(
            "an absolute pressure counts the air's in: take that off first, `p - 1.013 bar abs`, or write all of them above it, in `bar`",
        )
    } else {
        None
    }
}

impl Compiler<'_> {
    fn feature(&mut self, id: FeatureId) -> Option<Sum> {
        let feature = self.book.features.get(id)?;
        let calc = feature.calc.clone()?;
        let manual = self.manual_of(&calc.source);
        self.open.push(id);
        let text = calc.source.text.as_str();
        let compiled = self.node(&calc.expr, text, manual, false);
        self.open.pop();
        let (node, dimension) = compiled.ok()?;
        if let (Some(unit), Some(got)) = (feature.unit, dimension)
            && unit.dimension != got
            && unit.twin(got).is_none()
        {
            let asked = unit.dimension;
            self.problem(
                manual,
                "calc.dimension",
                calc.expr.span(),
                format!(
                    "this sum gives {}, but the limit of {} is {}",
                    got.name(),
                    feature.name.name,
                    asked.name()
                ),
                kinds_help(asked, got)
                    .or_else(|| kinds(asked, got))
                    .unwrap_or("look at the units, and at what is multiplied or divided by what"),
            );
            return None;
        }
        Some(Sum {
            node,
            dimension: dimension.or(feature.dimension()),
        })
    }

    /// Features that another is tied to must be there.
    fn ties(&mut self) {
        let mut unknown = Vec::new();
        for feature in &self.book.features {
            let ties = feature.limits_of.iter().chain(&feature.agrees_with);
            let ties = ties.map(|tie| (&tie.to, tie.manual));
            // Parts are named by the log; a piece of a stock is a feature.
            let choice = feature.choice.iter().filter(|choice| choice.stock.is_some());
            let choices = choice.map(|choice| (&choice.what, choice.manual));
            unknown.extend(
                ties.chain(choices)
                    .filter(|(name, _)| self.book.feature(&name.key).is_none()),
            );
        }
        let unknown: Vec<_> = unknown
            .into_iter()
            .map(|(name, manual)| (name.clone(), manual))
            .collect();
        for (name, manual) in unknown {
            let help = match nearest(&name.key, self.book.feature_names()) {
                Some(near) => format!("`{near}` is near"),
                None => "define it with a `feature` line".to_owned(),
            };
            let message = format!("no feature is called `{}`", name.name);
            self.problem(manual, "manual.unknown-name", name.span, message, &help);
        }
    }

    /// Which manual of the book a text belongs to.
    fn manual_of(&self, source: &std::sync::Arc<crate::syntax::Source>) -> usize {
        self.book
            .manuals
            .iter()
            .position(|m| std::sync::Arc::ptr_eq(&m.source, source))
            .unwrap_or(0)
    }

    pub(super) fn problem(
        &mut self,
        manual: usize,
        code: &'static str,
        span: Span,
        message: String,
        help: &str,
    ) -> Stopped {
        self.problems.push((
            manual,
            SyntaxError {
                code,
                span,
                message,
                help: help.to_owned(),
                suggestion: None,
            },
        ));
        Stopped
    }

    /// The dimension of a feature that a sum reads.
    pub(super) fn dimension_of(
        &mut self,
        id: FeatureId,
        span: Span,
        manual: usize,
    ) -> Result<Option<Dimension>, Stopped> {
        let Some(feature) = self.book.features.get(id) else {
            return Ok(None);
        };
        if feature.calc.is_none() {
            return Ok(feature.dimension());
        }
        if self.open.contains(&id) {
            let message = format!("{} is worked out from itself", feature.name.name);
            return Err(self.problem(manual, "calc.circle", span, message, "take it out of the sum"));
        }
        if let Some(known) = self.known.get(&id) {
            return Ok(*known);
        }
        // As deep as sums are worked (work.rs); deeper chains would only run the stack out.
        if self.open.len() > DEEPEST {
            let message = format!(
                "{} rests on more than {DEEPEST} other sums, one behind the other",
                feature.name.name
            );
            return Err(self.problem(
                manual,
                "calc.circle",
                span,
                message,
                "shorten the chain of `calc` lines",
            ));
        }
        // Its own problems are noted when its turn comes.
        let before = self.problems.len();
        let dimension = self.feature(id).map_or(feature.dimension(), |sum| sum.dimension);
        let noted = self.problems.split_off(before);
        // A circle shows only from inside, so that one is kept.
        let circle = noted.into_iter().find(|(_, error)| error.code == "calc.circle");
        if let Some(circle) = circle.filter(|circle| !self.problems.contains(circle)) {
            self.problems.push(circle);
        }
        self.known.insert(id, dimension);
        Ok(dimension)
    }

    pub(super) fn node(
        &mut self,
        expr: &Expr,
        text: &str,
        manual: usize,
        gathered: bool,
    ) -> Result<(Node, Option<Dimension>), Stopped> {
        match expr {
            Expr::Number(amount) => self.number(amount, false, text, manual),
            Expr::Reference(reference) => self.reference(reference, text, manual),
            Expr::Negate(inner, span) => {
                // `-18 °C` is a temperature of its own, not one turned round.
                if let Expr::Number(amount) = inner.as_ref() {
                    return self.number(amount, true, text, manual);
                }
                let (node, dimension) = self.node(inner, text, manual, gathered)?;
                self.no_point(dimension, "taken with the other sign", *span, manual)?;
                Ok((Node::Negate(Box::new(node)), dimension))
            }
            Expr::Binary(op, a, b) => {
                let (left, of_left) = self.node(a, text, manual, gathered)?;
                let (right, of_right) = self.node(b, text, manual, gathered)?;
                let dimension = self.combine(*op, of_left, of_right, expr.span(), manual)?;
                Ok((Node::Binary(*op, Box::new(left), Box::new(right)), dimension))
            }
            Expr::Power(base, exponent) => self.power(base, exponent, text, manual, gathered),
            Expr::Call(name, arguments, span) => self.call(*name, arguments, *span, text, manual),
            Expr::Text(span) => {
                let message = format!("`{}` is no figure", span.text(text));
                Err(self.problem(
                    manual,
                    "calc.function",
                    *span,
                    message,
                    "words stand where a function asks for them",
                ))
            }
            Expr::Range(low, high) => self.between(low, high, text, manual),
        }
    }

    /// A figure with its unit; where nothing else is said, °C is a temperature and K a difference.
    fn number(
        &mut self,
        amount: &Amount,
        is_negative: bool,
        text: &str,
        manual: usize,
    ) -> Result<(Node, Option<Dimension>), Stopped> {
        let read = read(amount, text, Meant::default()).and_then(|q| if is_negative { q.negative() } else { Ok(q) });
        let q = read.map_err(|error| {
            self.problems.push((manual, *error));
            Stopped
        })?;
        Ok((Node::Number(q.base), Some(q.dimension())))
    }

    fn combine(
        &mut self,
        op: Op,
        a: Option<Dimension>,
        b: Option<Dimension>,
        span: Span,
        manual: usize,
    ) -> Result<Option<Dimension>, Stopped> {
        let (Some(left), Some(right)) = (a, b) else {
            // A sum has the dimension of the side that is known; of a product nothing can be said.
            return Ok(if matches!(op, Op::Add | Op::Subtract) {
                a.or(b)
            } else {
                None
            });
        };
        let result = match op {
            Op::Add => left.plus(right),
            Op::Subtract => left.minus(right),
            Op::Multiply => left.times(right),
            Op::Divide => left.over(right),
        };
        match result {
            Some(dimension) => Ok(Some(dimension)),
            None => {
                let what = match op {
                    Op::Add => "added to",
                    Op::Subtract => "taken from",
                    Op::Multiply => "multiplied with",
                    Op::Divide => "divided by",
                };
                let (first, second) = if op == Op::Subtract {
                    (right, left)
                } else {
                    (left, right)
                };
                let message = format!("{} cannot be {what} {}", first.name(), second.name());
                let help = kinds(left, right).unwrap_or("look at the units of both sides");
                Err(self.problem(manual, "calc.dimension", span, message, help))
            }
        }
    }

    /// Says so if what can only be told from another such figure is taken for a size by itself.
    pub(super) fn no_point(
        &mut self,
        of: Option<Dimension>,
        what: &str,
        span: Span,
        manual: usize,
    ) -> Result<(), Stopped> {
        let Some(of) = of.filter(|of| of.is_point()) else {
            return Ok(());
        };
        let message = format!("{} cannot be {what}", of.name());
        Err(self.problem(
            manual,
            "calc.dimension",
            span,
            message,
            kinds(of, of).unwrap_or("look at the units"),
        ))
    }

    fn power(
        &mut self,
        base: &Expr,
        exponent: &Expr,
        text: &str,
        manual: usize,
        gathered: bool,
    ) -> Result<(Node, Option<Dimension>), Stopped> {
        let (node, dimension) = self.node(base, text, manual, gathered)?;
        let whole = match exponent {
            Expr::Number(amount) if amount.unit.is_none() => number::parse(amount.number.text(text)).ok(),
            _ => None,
        }
        .and_then(|figure| i32::try_from(figure).ok())
        .filter(|power| (1..=9).contains(power));
        let Some(power) = whole else {
            return Err(self.problem(
                manual,
                "calc.power",
                exponent.span(),
                "a power is a whole number from 1 to 9".to_owned(),
                "write it as a figure: `bore ^ 2`",
            ));
        };
        if dimension == Some(Dimension::TEMPERATURE) {
            self.no_point(dimension, "raised to a power", base.span(), manual)?;
        }
        Ok((
            Node::Power(Box::new(node), power),
            dimension.and_then(|d| d.power(power)),
        ))
    }

    fn reference(
        &mut self,
        reference: &Reference,
        text: &str,
        manual: usize,
    ) -> Result<(Node, Option<Dimension>), Stopped> {
        let folded = key(reference.subject.feature.text(text));
        if folded == "pi" || folded == "π" {
            return Ok((Node::Number(PI), Some(Dimension::NONE)));
        }
        let read = self.read(reference, text, manual)?;
        let dimension = self.dimension_of(read.feature, reference.span, manual)?;
        Ok((Node::Read(read), dimension))
    }

    /// The reading that a name means.
    pub(super) fn read(&mut self, reference: &Reference, text: &str, manual: usize) -> Result<Read, Stopped> {
        let written = reference.subject.feature.text(text);
        let folded = key(written);
        let Some(feature) = self.book.feature(&folded) else {
            let help = match nearest(&folded, self.book.feature_names()) {
                Some(near) => format!("`{near}` is near"),
                None => "define it with a `feature` line; a `-` inside a sum has spaces round it".to_owned(),
            };
            let message = format!("no feature is called `{written}`");
            return Err(self.problem(manual, "manual.unknown-name", reference.subject.feature, message, &help));
        };
        let name = |span: Span| key(span.text(text)).into_owned();
        Ok(Read {
            feature,
            part: reference.subject.part.map(name),
            place: reference.subject.place.map(name),
            as_found: reference.as_found,
        })
    }
}
