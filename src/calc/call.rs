//! Calls in sums, compiled: the few functions of every sum, what a reading says besides its figure, limits of features, and the functions of the trade.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::function::Function;
use super::question::Question;
use super::sum::{Compiler, Node, Stopped, kinds};
use super::trade::Called;
use crate::model::manual::Feature;
use crate::model::names::key;
use crate::model::units::{Meant, kinds_help, read};
use crate::quantity::{Band, Dimension, number};
use crate::syntax::ast::{Amount, Argument, Expr};
use crate::syntax::{Span, nearest};
use crate::trade::{self, Gives, Kind, Word};

type Compiled = Result<(Node, Option<Dimension>), Stopped>;

/// What is asked of a feature's limit for new work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Edge {
    Least,
    Most,
    Aim,
}

impl Edge {
    fn named(name: &str) -> Option<Edge> {
        match key(name).as_ref() {
            "least allowed" => Some(Edge::Least),
            "most allowed" => Some(Edge::Most),
            "aim" => Some(Edge::Aim),
            _ => None,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Edge::Least => "a lower limit",
            Edge::Most => "an upper limit",
            Edge::Aim => "a limit with two ends, or an `aim`,",
        }
    }

    fn of(self, feature: &Feature) -> Option<Decimal> {
        match self {
            Edge::Least => feature.new_limit()?.band.lo,
            Edge::Most => feature.new_limit()?.band.hi,
            Edge::Aim => feature.aimed_at(),
        }
    }
}

/// Names of what is no arithmetic: questions to readings and limits.
const ASKING: [&str; 9] = [
    "aim",
    "least allowed",
    "most allowed",
    "high",
    "support distance",
    "dial distance",
    "at angle",
    "says",
    "if said",
];

impl Compiler<'_> {
    pub(super) fn call(
        &mut self,
        name: Span,
        arguments: &[Argument],
        span: Span,
        text: &str,
        manual: usize,
    ) -> Compiled {
        let written = name.text(text);
        if let Some(edge) = Edge::named(written) {
            return self.limit_edge(edge, arguments, span, text, manual);
        }
        if ASKING.contains(&key(written).as_ref()) {
            return self.question(written, arguments, span, text, manual);
        }
        if let Some(function) = trade::named(written) {
            return self.trade(function, arguments, span, text, manual);
        }
        match Function::named(written) {
            Some(function) => self.plain(function, written, arguments, span, text, manual),
            None => {
                let own = Function::ALL.iter().filter_map(|(_, names)| names.first().copied());
                let names = own.chain(ASKING).chain(trade::names());
                let help = match nearest(&key(written), names) {
                    Some(near) => format!("`{near}` is near"),
                    None => "`gudgeon reckon` lists the functions".to_owned(),
                };
                let message = format!("there is no function `{written}`");
                Err(self.problem(manual, "calc.function", name, message, &help))
            }
        }
    }

    /// `0.12 to 0.20`
    pub(super) fn between(&mut self, low: &Amount, high: &Amount, text: &str, manual: usize) -> Compiled {
        let span = low.span().to(high.span());
        // A unit behind the second holds for both.
        let both = |amount: &Amount| Amount {
            number: amount.number,
            unit: amount.unit.or(high.unit),
        };
        let ends = read(&both(low), text, Meant::default())
            .and_then(|low| read(&both(high), text, Meant::default()).map(|high| (low, high)));
        let (low, high) = match ends {
            Ok(ends) => ends,
            Err(error) => {
                self.problems.push((manual, *error));
                return Err(Stopped);
            }
        };
        if low.dimension() != high.dimension() || low.base > high.base {
            let message = format!("{} to {} is no range", low.written, high.written);
            let help = "write the smaller figure first, and both in units of one kind";
            return Err(self.problem(manual, "calc.function", span, message, help));
        }
        Ok((Node::Between(Band::between(low.base, high.base)), Some(low.dimension())))
    }

    /// The functions of every sum.
    fn plain(
        &mut self,
        function: Function,
        written: &str,
        arguments: &[Argument],
        span: Span,
        text: &str,
        manual: usize,
    ) -> Compiled {
        let wanted = match function {
            Function::Min | Function::Max => arguments.len() >= 2,
            Function::Round => arguments.len() == 2,
            _ => arguments.len() == 1,
        };
        if !wanted {
            let message = format!("`{written}` has {} arguments here", arguments.len());
            let help = match function {
                Function::Min | Function::Max => {
                    "it takes two or more; for all readings of a feature write smallest(…) or largest(…)"
                }
                Function::Round => "it takes two: what is rounded, and the step",
                _ => "it takes one",
            };
            return Err(self.problem(manual, "calc.function", span, message, help));
        }
        if let Some(name) = arguments.iter().find_map(|argument| argument.name) {
            let message = format!("`{written}` has no argument of a name");
            return Err(self.problem(manual, "calc.function", name, message, "leave the name out"));
        }
        let mut nodes = Vec::new();
        let mut dimension = None;
        for argument in arguments {
            let (node, of) = self.node(&argument.value, text, manual, function.gathers())?;
            if let (Some(first), Some(second)) = (dimension, of)
                && first != second
            {
                let first: Dimension = first;
                let message = format!("{} cannot be compared with {}", second.name(), first.name());
                let help = kinds(first, second).unwrap_or("look at the units");
                return Err(self.problem(manual, "calc.dimension", argument.value.span(), message, help));
            }
            dimension = dimension.or(of);
            nodes.push(node);
        }
        if function == Function::Round && !matches!(nodes.get(1), Some(Node::Number(step)) if *step > Decimal::ZERO) {
            let message = "the step of `round` is a figure above nothing".to_owned();
            return Err(self.problem(
                manual,
                "calc.function",
                span,
                message,
                "write it like `round(bore, 1 mm)`",
            ));
        }
        let refused = match function {
            Function::Total => Some("added up"),
            Function::Abs => Some("taken without its sign"),
            Function::Sqrt => Some("put under a root"),
            Function::Round => Some("rounded"),
            _ => None,
        };
        if let Some(what) = refused {
            self.no_point(dimension, what, span, manual)?;
        }
        let dimension = match (function, dimension) {
            (Function::Count, _) => Some(Dimension::NONE),
            (Function::Spread, of) => of.map(Dimension::difference),
            (Function::Sqrt, Some(of)) => match of.root() {
                Some(root) => Some(root),
                None => {
                    let message = format!("{} has no square root", of.name());
                    return Err(self.problem(
                        manual,
                        "calc.dimension",
                        span,
                        message,
                        "look at what stands under the root",
                    ));
                }
            },
            (_, of) => of,
        };
        Ok((Node::Call(function, nodes), dimension))
    }

    /// The one argument of a call, as the name of a feature.
    fn sole_name<'e>(
        &mut self,
        arguments: &'e [Argument],
        span: Span,
        manual: usize,
    ) -> Result<&'e crate::syntax::ast::Reference, Stopped> {
        match arguments.first().map(|argument| &argument.value) {
            Some(Expr::Reference(reference)) => Ok(reference),
            _ => {
                let message = "this function asks for the name of a feature".to_owned();
                Err(self.problem(manual, "calc.function", span, message, "write it like `aim(side play)`"))
            }
        }
    }

    /// `aim(side play)`: an edge of its limit for new work. No manual may have said one yet: the sum is then not worked.
    fn limit_edge(&mut self, edge: Edge, arguments: &[Argument], span: Span, text: &str, manual: usize) -> Compiled {
        let reference = *self.sole_name(arguments, span, manual)?;
        if arguments.len() != 1 {
            let message = "one feature stands here".to_owned();
            return Err(self.problem(manual, "calc.function", span, message, "write it like `aim(side play)`"));
        }
        let read = self.read(&reference, text, manual)?;
        let Some(feature) = self.book.features.get(read.feature) else {
            return Err(Stopped);
        };
        let (figure, name) = (edge.of(feature), feature.name.name.clone());
        let dimension = self.dimension_of(read.feature, span, manual)?;
        Ok(match figure {
            Some(figure) => (Node::Number(figure), dimension),
            None => (Node::Missing(format!("{} for {name}", edge.words())), dimension),
        })
    }

    /// What a reading says besides its figure.
    fn question(&mut self, written: &str, arguments: &[Argument], span: Span, text: &str, manual: usize) -> Compiled {
        let reference = *self.sole_name(arguments, span, manual)?;
        let read = self.read(&reference, text, manual)?;
        let second = arguments.get(1).map(|argument| &argument.value);
        let angle = Some(Dimension::ANGLE);
        let (question, dimension) = match (key(written).as_ref(), second) {
            ("high", None) => (Question::High, angle),
            ("support distance", None) => (Question::Support, Some(Dimension::LENGTH)),
            ("dial distance", None) => (Question::Dial, Some(Dimension::LENGTH)),
            ("at angle", Some(Expr::Number(amount))) => {
                let at = read_angle(amount, text).ok_or(Stopped);
                let Ok(at) = at else {
                    let message = "this is no angle".to_owned();
                    return Err(self.problem(manual, "calc.function", amount.span(), message, "write it like `180°`"));
                };
                (Question::At(at), self.dimension_of(read.feature, span, manual)?)
            }
            ("if said", Some(words)) => {
                let words = key(words.span().text(text)).into_owned();
                (Question::IfSaid(words), self.dimension_of(read.feature, span, manual)?)
            }
            ("says", Some(words)) => {
                let words = key(words.span().text(text)).into_owned();
                (Question::Says(words), Some(Dimension::NONE))
            }
            _ => {
                let message = format!("`{written}` does not take what stands here");
                let help = "`high(run-out at left)`, `support distance(run-out at left)`, `dial distance(run-out at left)`, \
                            `at angle(web width, 180°)`, `says(pinion mark, plus is thinner)`, `if said(port height, from crown)`";
                return Err(self.problem(manual, "calc.function", span, message, help));
            }
        };
        Ok((Node::Ask(question, read), dimension))
    }

    /// A function of the trade, with what it is given in the order of its parameters.
    fn trade(
        &mut self,
        function: &'static trade::Function,
        arguments: &[Argument],
        span: Span,
        text: &str,
        manual: usize,
    ) -> Compiled {
        let placed = self.placed(function, arguments, span, text, manual)?;
        let spans: Vec<Option<Span>> = placed.iter().map(|given| given.map(Expr::span)).collect();
        let mut nodes = Vec::with_capacity(placed.len());
        let mut words: Vec<Option<Word>> = Vec::with_capacity(placed.len());
        let mut dimensions = Vec::with_capacity(placed.len());
        let mut like: Option<Dimension> = None;
        for (parameter, given) in function.parameters.iter().zip(placed) {
            let mut word = None;
            let mut dimension = Dimension::NONE;
            let node = match (parameter.kind, given) {
                (Kind::Word(kind), given) => {
                    let said = match (given, parameter.default) {
                        (Some(value), _) => value.span().text(text),
                        (None, Some(trade::function::Default::Word(word))) => word,
                        (None, _) => "",
                    };
                    match kind.read(said) {
                        Ok(read) => word = Some(read),
                        Err(why) => {
                            let at = given.map_or(span, Expr::span);
                            let help = format!("`{}` asks for {}", function.name, kind.shown());
                            return Err(self.problem(manual, "calc.function", at, why, &help));
                        }
                    }
                    Node::Number(Decimal::ZERO)
                }
                (Kind::Figure(wanted, _), Some(value)) => {
                    dimension = wanted;
                    let (node, of) = self.node(value, text, manual, false)?;
                    if let Some(other) = of.filter(|of| *of != wanted) {
                        return Err(self.wrong_kind(function, parameter.name, (wanted, other), value.span(), manual));
                    }
                    node
                }
                (Kind::Like, Some(value)) => {
                    let (node, of) = self.node(value, text, manual, false)?;
                    if let (Some(first), Some(second)) = (like, of)
                        && first != second
                    {
                        return Err(self.wrong_kind(function, parameter.name, (first, second), value.span(), manual));
                    }
                    like = like.or(of);
                    dimension = of.or(like).unwrap_or(Dimension::NONE);
                    node
                }
                (_, None) => {
                    // What nobody gave: in the function's own units, which is what the figures are scaled to.
                    if let Kind::Figure(wanted, _) = parameter.kind {
                        dimension = wanted;
                    }
                    let figure = match parameter.default {
                        Some(trade::function::Default::Figure(figure)) => figure,
                        _ => 0.0,
                    };
                    let base = figure * super::trade::scale(dimension);
                    Node::Number(crate::uncertainty::estimate::decimal(base).unwrap_or_default())
                }
            };
            nodes.push(node);
            words.push(word);
            dimensions.push(dimension);
        }
        let gives = match function.gives {
            Gives::Of(dimension) => Some(dimension),
            Gives::LikeByTime => like.and_then(|like| like.over(Dimension::TIME)),
        };
        let called = Called::new(function, words, &dimensions, gives.unwrap_or(Dimension::NONE));
        self.refuse_constants(&called, &nodes, &spans, span, manual)?;
        Ok((Node::Trade(Arc::new(called), nodes), gives))
    }

    /// The arguments of a call by the places of the function's parameters.
    fn placed<'e>(
        &mut self,
        function: &'static trade::Function,
        arguments: &'e [Argument],
        span: Span,
        text: &str,
        manual: usize,
    ) -> Result<Vec<Option<&'e Expr>>, Stopped> {
        let takes = || {
            let list = function.parameters.iter().map(|p| match p.default {
                Some(_) => format!("[{}]", p.name),
                None => p.name.to_owned(),
            });
            format!("it takes {}", list.collect::<Vec<_>>().join(", "))
        };
        let mut placed: Vec<Option<&Expr>> = vec![None; function.parameters.len()];
        for (number, argument) in arguments.iter().enumerate() {
            let place = match argument.name {
                Some(name) => function.place_of(&key(name.text(text))),
                None => (number < placed.len()).then_some(number),
            };
            let at = argument.name.unwrap_or(argument.value.span());
            let Some(slot) = place.and_then(|place| placed.get_mut(place)) else {
                let message = match argument.name {
                    Some(name) => format!("`{}` takes no `{}`", function.name, name.text(text)),
                    None => format!("`{}` does not take so much", function.name),
                };
                return Err(self.problem(manual, "calc.function", at, message, &takes()));
            };
            if slot.is_some() {
                let message = format!("`{}` is given this twice", function.name);
                return Err(self.problem(manual, "calc.function", at, message, &takes()));
            }
            *slot = Some(&argument.value);
        }
        let lacks = function.parameters.iter().zip(&placed);
        let lacks = lacks.filter(|(parameter, given)| given.is_none() && parameter.default.is_none());
        let lacks: Vec<&str> = lacks.map(|(parameter, _)| parameter.name).collect();
        if lacks.is_empty() {
            return Ok(placed);
        }
        let message = format!("`{}` is not given its {}", function.name, lacks.join(", "));
        Err(self.problem(manual, "calc.function", span, message, &takes()))
    }

    fn wrong_kind(
        &mut self,
        function: &'static trade::Function,
        parameter: &str,
        kinds: (Dimension, Dimension),
        span: Span,
        manual: usize,
    ) -> Stopped {
        let (wanted, other) = kinds;
        let message = format!(
            "the {parameter} of `{}` is {}, not {}",
            function.name,
            wanted.name(),
            other.name()
        );
        let help = kinds_help(wanted, other).unwrap_or("look at the units, and at the order of what is given");
        self.problem(manual, "calc.dimension", span, message, help)
    }

    /// Where all that decides stands in the manual itself, what cannot be is said there.
    fn refuse_constants(
        &mut self,
        called: &Called,
        nodes: &[Node],
        spans: &[Option<Span>],
        span: Span,
        manual: usize,
    ) -> Result<(), Stopped> {
        let figures: Option<Vec<f64>> = nodes.iter().map(constant).collect();
        let Some(Err(refused)) = figures.map(|figures| called.work(&figures)) else {
            return Ok(());
        };
        let at = spans.get(refused.parameter).copied().flatten().unwrap_or(span);
        let message = format!("{}: {}", called.function.name, refused.why);
        Err(self.problem(manual, "calc.impossible", at, message, called.function.holds))
    }
}

/// A node that is a figure of the manual.
fn constant(node: &Node) -> Option<f64> {
    match node {
        Node::Number(figure) => Some(super::formula::float(*figure)),
        Node::Negate(inner) => constant(inner).map(|figure| -figure),
        _ => None,
    }
}

fn read_angle(amount: &Amount, text: &str) -> Option<Decimal> {
    if amount.unit.is_none() {
        return number::parse(amount.number.text(text)).ok();
    }
    let quantity = read(amount, text, Meant::default()).ok()?;
    (quantity.dimension() == Dimension::ANGLE).then_some(quantity.base)
}
