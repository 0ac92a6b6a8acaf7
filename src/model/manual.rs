//! What a manual asks for: features with their limits, derived features, precautions and procedures, names not yet looked up.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::limit::Limit;
use crate::quantity::{Dimension, Unit};
use crate::syntax::ast::Expr;
use crate::syntax::{Source, Span};
use crate::trade::materials::Material;
use crate::trade::pattern::Layout;
use crate::uncertainty::Acceptance;

/// A name with its place in a manual.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Named {
    /// Its key.
    pub key: String,
    /// As written.
    pub name: String,
    /// Where.
    pub span: Span,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// A feature, part and place named in a manual.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// Key of the feature.
    pub feature: String,
    /// Key of the part.
    pub part: Option<String>,
    /// Key of the place.
    pub place: Option<String>,
    /// Where.
    pub span: Span,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// Something that is measured or worked out.
#[derive(Clone, Debug)]
pub struct Feature {
    /// Its name with its place.
    pub name: Named,
    /// Keys of its other names.
    pub also: Vec<String>,
    /// Parts a reading is expected for.
    pub parts: Vec<Named>,
    /// Places a reading is expected at.
    pub places: Vec<Named>,
    /// Its limits, the first of a stage wins.
    pub limits: Vec<Limit>,
    /// The figure it is made to.
    pub nominal: Option<Limit>,
    /// The unit its readings are in unless they say otherwise.
    pub unit: Option<&'static Unit>,
    /// Choices one of which a reading must say; keys.
    pub say: Vec<String>,
    /// Stages a reading is owed at; an empty key means any stage.
    pub required: Vec<String>,
    /// The sum it is worked out by.
    pub calc: Option<Arc<Calc>>,
    /// By which rule it is accepted; `None`: as the manual, or the repository's settings, say for all.
    pub decide: Option<Acceptance>,
    /// What it is made of.
    pub material: Option<Material>,
    /// The figure that is aimed at, where that is not the middle of its limit; base units.
    pub aim: Option<Limit>,
    /// The feature whose limits it is held against, as new work: key.
    pub limits_of: Option<Tie>,
    /// Whether it is only told before something is done, and never judged.
    pub is_ahead: bool,
    /// Another derived feature, or one that is read, that must say the same: key.
    pub agrees_with: Option<Tie>,
    /// Whether its limit is lent by that feature, since no manual gives it one of its own: it is then a forecast.
    pub is_lent: bool,
    /// What is chosen for it: a piece of a stock, or one of several parts.
    pub choice: Option<Choice>,
    /// How far its parts (two cylinders, two pistons) may differ from each other at one place: a band from 0, of differences (without offset) in base units.
    pub alike: Option<Limit>,
    /// Which of the book's manuals it was first named in.
    pub manual: usize,
}

impl Feature {
    /// The dimension its readings must have, if that is known.
    pub fn dimension(&self) -> Option<Dimension> {
        self.unit.map(|unit| unit.dimension)
    }

    /// Takes its unit and its limits for another kind of the same quantity: those of a rise, written in °C, for a difference.
    pub fn read_as(&mut self, kind: Dimension) {
        if let Some(twin) = self.unit.and_then(|unit| unit.twin(kind)) {
            self.unit = Some(twin);
        }
        for limit in self.limits.iter_mut().chain(self.nominal.as_mut()) {
            limit.read_as(kind);
        }
    }

    /// The unit its figures are shown in.
    pub fn shown_in(&self) -> Option<&'static Unit> {
        self.unit
    }

    /// The limit for new work.
    pub fn new_limit(&self) -> Option<&Limit> {
        self.limit_at(&super::stage::Stage {
            key: "build".to_owned(),
        })
    }

    /// The figure that is aimed at: its own where that lies in the limit for new work, else the middle of that, else what it is made to.
    pub fn aimed_at(&self) -> Option<Decimal> {
        let limit = self.new_limit();
        let own = self.aim.as_ref().and_then(|aim| aim.band.lo);
        let fits = |figure: &Decimal| limit.is_none_or(|limit| limit.band.contains(*figure));
        let middle = || {
            let band = limit?.band;
            band.lo.and(band.hi).and_then(|_| band.middle())
        };
        let nominal = || self.nominal.as_ref().and_then(|nominal| nominal.band.middle());
        own.filter(fits).or_else(middle).or_else(nominal)
    }

    /// The limit for a stage: one of that very name, else by the kind of stage, else the tolerance of a new part, else none.
    pub fn limit_at(&self, stage: &super::stage::Stage) -> Option<&Limit> {
        let named = |wanted: &str| self.limits.iter().find(|limit| limit.stage == wanted);
        let (first, second) = if stage.is_service() {
            ("service", "build")
        } else {
            ("build", "service")
        };
        // A new part is judged by its own tolerance where nothing else is said.
        let tolerance = || {
            let nominal = self.nominal.as_ref()?;
            let is_new = !stage.is_service();
            (is_new && !nominal.band.is_exact()).then_some(nominal)
        };
        named(&stage.key)
            .or_else(|| named(first))
            .or_else(|| named(second))
            .or_else(tolerance)
    }
}

/// What is chosen so that a derived feature comes out well.
#[derive(Clone, Debug)]
pub struct Choice {
    /// What is chosen: a feature of which the log lists a stock, or the first words of the parts' names.
    pub what: Named,
    /// The stock it is taken from; `None` for parts.
    pub stock: Option<Named>,
    /// How many pieces may lie together.
    pub together: usize,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// Another feature that a feature is tied to.
#[derive(Clone, Debug)]
pub struct Tie {
    /// Its name.
    pub to: Named,
    /// Which of the book's manuals says so.
    pub manual: usize,
}

/// The sum of a derived feature.
#[derive(Debug)]
pub struct Calc {
    /// The sum as written.
    pub expr: Expr,
    /// The text its spans point into.
    pub source: Arc<Source>,
}

/// Something that keeps people from harm.
#[derive(Clone, Debug)]
pub struct Precaution {
    /// Its name.
    pub name: Named,
    /// Keys of its other names.
    pub also: Vec<String>,
    /// What happens without it.
    pub because: String,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// A bound on an amount of a step.
#[derive(Clone, Debug)]
pub struct StepBound {
    /// Key of the amount: `force`.
    pub name: String,
    /// What it is bound by.
    pub bound: BoundKind,
    /// Where.
    pub span: Span,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// A figure, or the rating of a tool.
#[derive(Clone, Debug)]
pub enum BoundKind {
    /// A figure of its own.
    Limit(Limit),
    /// At most what the tool of this key is rated for.
    RatingOf(Named),
}

/// What a log must say for a step to be owed, or allowed.
#[derive(Clone, Debug)]
pub struct Condition {
    /// What.
    pub kind: ConditionKind,
    /// As written.
    pub words: String,
    /// Where.
    pub span: Span,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// The kinds of condition.
#[derive(Clone, Debug)]
pub enum ConditionKind {
    /// The step of this key was done.
    Did(String),
    /// It was not.
    NotDid(String),
    /// A part was found so that this was decided: keys of both.
    Found(String, String),
    /// A part came: key.
    Got(String),
    /// A feature's latest reading is in its limit, out of it, or there at all.
    Feature(Target, FeatureState),
}

/// What a condition asks of a feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum FeatureState {
    In,
    Out,
    Read,
}

/// Time that must pass, or must not, between two steps.
#[derive(Clone, Debug)]
pub struct Wait {
    /// Whether it is the least.
    pub is_least: bool,
    /// How long, seconds.
    pub time: Decimal,
    /// The unit it was written in.
    pub unit: &'static Unit,
    /// After which step.
    pub after: Named,
}

/// A tool that a step is done with.
#[derive(Clone, Debug)]
pub struct ToolNeed {
    /// Its kind.
    pub kind: Named,
    /// What it must be rated for at least: base units, with the unit it was written in.
    pub rated: Option<(Decimal, &'static Unit)>,
}

/// One step of a procedure.
#[derive(Clone, Debug, Default)]
pub struct Step {
    /// Its name.
    pub name: Named,
    /// Keys of its other names.
    pub also: Vec<String>,
    /// Steps that come before it.
    pub after: Vec<Named>,
    /// Steps one of which must be the very step before it.
    pub directly_after: Vec<Named>,
    /// Steps that follow it, sooner or later.
    pub then: Vec<Named>,
    /// Steps one of which must be the very next.
    pub then_directly: Vec<Named>,
    /// Steps that must not be done as well.
    pub not_with: Vec<Named>,
    /// Features that must be read and in limit when it is done.
    pub given: Vec<Target>,
    /// What must hold for it to be owed.
    pub owed_if: Vec<Condition>,
    /// What must hold for it to be allowed.
    pub only_if: Vec<Condition>,
    /// Time to pass after other steps.
    pub waits: Vec<Wait>,
    /// What is counted out by it.
    pub takes_out: Vec<Named>,
    /// What is counted in by it.
    pub puts_in: Vec<Named>,
    /// Parts that are used once and renewed by it.
    pub renews: Vec<Named>,
    /// Tools it is done with.
    pub uses: Vec<ToolNeed>,
    /// What must be said on its line.
    pub needs: Vec<Named>,
    /// What it overtakes.
    pub disturbs: Vec<Target>,
    /// What is read by it: a measuring step.
    pub reads: Vec<Target>,
    /// What it is repeated for.
    pub until: Vec<Target>,
    /// What is looked at before it is done.
    pub expects: Vec<Target>,
    /// How the bolts stand that it tightens.
    pub pattern: Option<Layout>,
    /// Bounds on its amounts.
    pub bounds: Vec<StepBound>,
    /// Whether it may be left out.
    pub optional: bool,
    /// Whether it must not be done twice.
    pub once: bool,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

impl Step {
    /// Notes in which of the book's manuals it stands, with all it says: where two manuals know a step, each clause keeps its own.
    pub fn stand_in(&mut self, manual: usize) {
        self.manual = manual;
        let steps = [
            &mut self.after,
            &mut self.directly_after,
            &mut self.then,
            &mut self.then_directly,
            &mut self.not_with,
            &mut self.takes_out,
            &mut self.puts_in,
            &mut self.renews,
            &mut self.needs,
        ];
        let named = steps.into_iter().flatten();
        let of_tools = self.uses.iter_mut().map(|need| &mut need.kind);
        let of_waits = self.waits.iter_mut().map(|wait| &mut wait.after);
        for name in named.chain(of_tools).chain(of_waits).chain([&mut self.name]) {
            name.manual = manual;
        }
        let targets = [
            &mut self.given,
            &mut self.disturbs,
            &mut self.reads,
            &mut self.until,
            &mut self.expects,
        ];
        for target in targets.into_iter().flatten() {
            target.manual = manual;
        }
        for condition in self.owed_if.iter_mut().chain(&mut self.only_if) {
            condition.manual = manual;
        }
        for bound in &mut self.bounds {
            bound.manual = manual;
            if let BoundKind::Limit(limit) = &mut bound.bound {
                limit.manual = manual;
            }
        }
    }
}

/// Steps of which one, and only one, is done.
#[derive(Clone, Debug)]
pub struct OneOf {
    /// The steps.
    pub steps: Vec<Named>,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// When a step must never be done.
#[derive(Clone, Debug)]
pub enum NeverWhen {
    /// At any time.
    Ever,
    /// Before another.
    Before(Named),
    /// After another.
    After(Named),
}

/// A step that must not be done, or not with some tick, or not before or after another.
#[derive(Clone, Debug)]
pub struct Never {
    /// The step.
    pub step: Named,
    /// Keys of the ticks that make it forbidden; none means always.
    pub ticks: Vec<String>,
    /// When.
    pub when: NeverWhen,
    /// What the log must say for it to hold.
    pub only_if: Vec<Condition>,
    /// Why.
    pub because: String,
    /// Which of the book's manuals it stands in.
    pub manual: usize,
}

/// A procedure: its steps in the order written.
#[derive(Clone, Debug)]
pub struct Procedure {
    /// Its name.
    pub name: Named,
    /// Its steps.
    pub steps: Vec<Step>,
    /// Its alternatives.
    pub one_of: Vec<OneOf>,
    /// What must not be done.
    pub nevers: Vec<Never>,
}

/// A manual, lowered from its tree. `manual` numbers inside it are all 0; the book renumbers them.
#[derive(Clone, Debug, Default)]
pub struct Manual {
    /// Its name as written, or the file's.
    pub name: String,
    /// What it builds on.
    pub extends: Vec<Named>,
    /// Its features in order.
    pub features: Vec<Feature>,
    /// Its precautions.
    pub precautions: Vec<Precaution>,
    /// Its procedures.
    pub procedures: Vec<Procedure>,
    /// By which rule figures are accepted, where a feature does not say.
    pub decide: Option<Acceptance>,
}
