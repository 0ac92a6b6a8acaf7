//! The procedures of a manual: its steps with their clauses, and what must never be done.

use super::{At, Lowering};
use crate::model::manual::{
    Condition, ConditionKind, FeatureState, Named, Never, NeverWhen, OneOf, Step, Target, ToolNeed, Wait,
};
use crate::model::names::key;
use crate::model::units::{Meant, read};
use crate::quantity::Dimension;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Clause, ConditionNode, NeverNode, NeverOrder, Subject};
use crate::trade::pattern::{Layout, MOST};

impl Lowering<'_> {
    pub(super) fn step_mut(&mut self) -> Option<&mut Step> {
        if !matches!(self.at, At::Procedure) {
            return None;
        }
        self.manual.procedures.last_mut()?.steps.last_mut()
    }

    pub(super) fn step(&mut self, name: Span, clauses: &[Clause]) {
        let step = Step {
            name: self.named(name),
            ..Step::default()
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => {
                let twice = !self.steps.insert(step.name.key.clone());
                let shown = step.name.name.clone();
                procedure.steps.push(step);
                if twice {
                    let message = format!("step `{shown}` stands twice in this procedure");
                    self.problem("manual.duplicate", name, message, "give one of them another name");
                }
                self.clauses(name, clauses);
            }
            _ => self.problem(
                "manual.stray",
                name,
                "a step stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }

    pub(super) fn clauses(&mut self, span: Span, clauses: &[Clause]) {
        for clause in clauses {
            let names = |spans: &[Span]| -> Vec<Named> { spans.iter().map(|s| self.named(*s)).collect() };
            let targets = |subjects: &[Subject]| -> Vec<Target> { subjects.iter().map(|s| self.target(s)).collect() };
            // Everything that needs `self` is worked out before the step is borrowed.
            type Change = Box<dyn FnOnce(&mut Step)>;
            let steps = |field: fn(&mut Step) -> &mut Vec<Named>, spans: &[Span]| -> Change {
                let list = names(spans);
                Box::new(move |s| field(s).extend(list))
            };
            let features = |field: fn(&mut Step) -> &mut Vec<Target>, subjects: &[Subject]| -> Change {
                let list = targets(subjects);
                Box::new(move |s| field(s).extend(list))
            };
            let change: Change = match clause {
                Clause::After(list) => steps(|s| &mut s.after, list),
                Clause::DirectlyAfter(list) => steps(|s| &mut s.directly_after, list),
                Clause::Then {
                    steps: list,
                    directly: false,
                } => steps(|s| &mut s.then, list),
                Clause::Then {
                    steps: list,
                    directly: true,
                } => steps(|s| &mut s.then_directly, list),
                Clause::NotWith(list) => steps(|s| &mut s.not_with, list),
                Clause::Needs(list) => steps(|s| &mut s.needs, list),
                Clause::TakesOut(list) => steps(|s| &mut s.takes_out, list),
                Clause::PutsIn(list) => steps(|s| &mut s.puts_in, list),
                Clause::Renews(list) => steps(|s| &mut s.renews, list),
                Clause::Disturbs(list) => features(|s| &mut s.disturbs, list),
                Clause::Reads(list) => features(|s| &mut s.reads, list),
                Clause::Until(list) => features(|s| &mut s.until, list),
                Clause::Given(list) => features(|s| &mut s.given, list),
                Clause::Expects(list) => features(|s| &mut s.expects, list),
                Clause::Pattern(rows, each) => match self.layout(*rows, *each) {
                    Some(layout) => Box::new(move |s| s.pattern = Some(layout)),
                    None => Box::new(|_| {}),
                },
                Clause::Also(list) => {
                    let list = self.keys(list);
                    Box::new(move |s| s.also.extend(list))
                }
                Clause::If { only, condition } => {
                    let condition = self.condition(condition);
                    match only {
                        true => Box::new(move |s| s.only_if.push(condition)),
                        false => Box::new(move |s| s.owed_if.push(condition)),
                    }
                }
                Clause::Wait { is_least, time, after } => {
                    let list = self.waits(*is_least, time, after);
                    Box::new(move |s| s.waits.extend(list))
                }
                Clause::Uses(kind, rated) => match self.tool_need(*kind, rated.as_ref()) {
                    Some(need) => Box::new(move |s| s.uses.push(need)),
                    None => Box::new(|_| {}),
                },
                Clause::Optional => Box::new(|s| s.optional = true),
                Clause::Once => Box::new(|s| s.once = true),
                Clause::Because(_) => Box::new(|_| {}),
                Clause::Bound(name, limit) => match self.bound(*name, limit) {
                    Some(bound) => Box::new(move |s| s.bounds.push(bound)),
                    None => Box::new(|_| {}),
                },
            };
            match self.step_mut() {
                Some(step) => change(step),
                None => {
                    self.problem(
                        "manual.stray",
                        span,
                        "this belongs to no step".to_owned(),
                        "put it behind a step's name, or on a line below the step",
                    );
                    return;
                }
            }
        }
    }

    /// What stands behind `if`, names as keys.
    fn condition(&self, node: &ConditionNode) -> Condition {
        let folded = |span: &Span| key(span.text(self.text)).into_owned();
        let (kind, span) = match node {
            ConditionNode::Did(step) => (ConditionKind::Did(folded(step)), *step),
            ConditionNode::NotDid(step) => (ConditionKind::NotDid(folded(step)), *step),
            ConditionNode::Found(part, decision) => {
                (ConditionKind::Found(folded(part), folded(decision)), part.to(*decision))
            }
            ConditionNode::Got(part) => (ConditionKind::Got(folded(part)), *part),
            ConditionNode::Feature(subject, state) => {
                let wanted = match folded(state).as_str() {
                    "in" => FeatureState::In,
                    "out" => FeatureState::Out,
                    _ => FeatureState::Read,
                };
                (
                    ConditionKind::Feature(self.target(subject), wanted),
                    subject.span().to(*state),
                )
            }
        };
        let lead = match node {
            ConditionNode::Did(_) => "did ",
            ConditionNode::NotDid(_) => "not did ",
            ConditionNode::Found(..) => "found ",
            ConditionNode::Got(_) => "got ",
            ConditionNode::Feature(..) => "",
        };
        Condition {
            kind,
            words: format!("{lead}{}", span.text(self.text)),
            span,
            manual: 0,
        }
    }

    /// A time to wait after each of some steps; none, with the problem noted, where it is no time.
    fn waits(&mut self, is_least: bool, time: &Amount, after: &[Span]) -> Vec<Wait> {
        let meant = Meant {
            dimension: Some(Dimension::TIME),
            unit: None,
        };
        let read = read(time, self.text, meant).map(|quantity| (quantity.base, quantity.unit));
        match read {
            Ok((time, Some(unit))) if unit.dimension == Dimension::TIME => after
                .iter()
                .map(|step| Wait {
                    is_least,
                    time,
                    unit,
                    after: self.named(*step),
                })
                .collect(),
            Ok(_) => {
                self.problem(
                    "manual.limit",
                    time.span(),
                    "what must pass between two steps is a time".to_owned(),
                    "write it with its unit: `at least 8 h after first start`",
                );
                Vec::new()
            }
            Err(error) => {
                self.problems.push(*error);
                Vec::new()
            }
        }
    }

    /// How bolts stand; `None`, with the problem noted, where there are too few or too many.
    fn layout(&mut self, rows: Option<Span>, each: Span) -> Option<Layout> {
        let count = |span: Span| span.text(self.text).parse::<usize>().unwrap_or(0);
        let layout = match rows {
            Some(rows) => Layout::Rows(count(rows), count(each)),
            None => Layout::Ring(count(each)),
        };
        if (2..=MOST).contains(&layout.count()) {
            return Some(layout);
        }
        let message = format!("a joint has from 2 to {MOST} bolts");
        self.problem(
            "manual.limit",
            each,
            message,
            "write it like `pattern ring of 6`, `pattern 2 rows of 5`",
        );
        None
    }

    /// A kind of tool, with what it must be rated for; `None`, with the problem noted, where that cannot be read.
    fn tool_need(&mut self, kind: Span, rated: Option<&Amount>) -> Option<ToolNeed> {
        let meant = Meant {
            dimension: Some(Dimension::FORCE),
            unit: None,
        };
        let rated = match rated.map(|amount| (amount, read(amount, self.text, meant))) {
            None => None,
            Some((_, Ok(quantity))) if quantity.unit.is_some() => quantity.unit.map(|unit| (quantity.base, unit)),
            Some((amount, Ok(_))) => {
                self.problem(
                    "manual.limit",
                    amount.span(),
                    "a rating has a unit".to_owned(),
                    "write it: `uses press rated at least 10 t`",
                );
                return None;
            }
            Some((_, Err(error))) => {
                self.problems.push(*error);
                return None;
            }
        };
        Some(ToolNeed {
            kind: self.named(kind),
            rated,
        })
    }

    /// Steps of which one is done.
    pub(super) fn one_of(&mut self, span: Span, steps: &[Span]) {
        let one_of = OneOf {
            steps: steps.iter().map(|step| self.named(*step)).collect(),
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => procedure.one_of.push(one_of),
            _ => self.problem(
                "manual.stray",
                span,
                "`one of` stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }

    pub(super) fn never(&mut self, node: &NeverNode) {
        let Some((step, ticks)) = node.names.split_first() else {
            return;
        };
        let never = Never {
            step: self.named(*step),
            ticks: self.keys(ticks),
            when: match node.order {
                NeverOrder::Ever => NeverWhen::Ever,
                NeverOrder::Before(step) => NeverWhen::Before(self.named(step)),
                NeverOrder::After(step) => NeverWhen::After(self.named(step)),
            },
            only_if: node
                .conditions
                .iter()
                .map(|condition| self.condition(condition))
                .collect(),
            because: node.because.map_or_else(String::new, |r| r.text(self.text).to_owned()),
            manual: 0,
        };
        match self.manual.procedures.last_mut() {
            Some(procedure) if matches!(self.at, At::Procedure) => procedure.nevers.push(never),
            _ => self.problem(
                "manual.stray",
                *step,
                "`never` stands outside any procedure".to_owned(),
                "put a `procedure NAME` line above it",
            ),
        }
    }
}
