//! Steps that say a force: from where it began to where it ended, against what was expected and what the tool is rated for.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::words;
use crate::model::job::{Done, SaidAmount, SaidKind};
use crate::model::manual::{BoundKind, Step};
use crate::quantity::{Band, Dimension, Unit};

/// A step that says a force.
#[derive(Debug)]
pub struct Pressing {
    /// The step, as written.
    pub step: String,
    /// Its line, from 1.
    pub line: usize,
    /// The force at the beginning, base units; that at the end where only one was said.
    pub from: Decimal,
    /// The force at the end.
    pub to: Decimal,
    /// The unit it was written in.
    pub unit: &'static Unit,
    /// What was to be expected by the parts, base units.
    pub expected: Option<Band>,
    /// What the tool is rated for, base units, with the tool's name.
    pub rating: Option<(Decimal, String)>,
}

/// Every step that says a force.
pub(super) fn pressings(case: &Case<'_>) -> Vec<Pressing> {
    let all = case
        .done
        .iter()
        .filter_map(|(event, done)| pressing(case, *event, done));
    all.collect()
}

fn pressing(case: &Case<'_>, event: usize, done: &Done) -> Option<Pressing> {
    let force = done.said.iter().find_map(|said| match &said.kind {
        SaidKind::Amount(amount) if amount.unit.is_some_and(|unit| unit.dimension == Dimension::FORCE) => Some(amount),
        _ => None,
    })?;
    let unit = force.unit?;
    let step = case.step(done);
    Some(Pressing {
        step: words::fold(done.name.span.text(case.text())),
        line: case.line_of(event),
        from: began(force),
        to: force.last,
        unit,
        expected: step.and_then(|step| expected(case, step)),
        rating: rating(case, step, force),
    })
}

/// The other end of the band than the last figure.
fn began(force: &SaidAmount) -> Decimal {
    let ends = [force.band.lo, force.band.hi].into_iter().flatten();
    ends.into_iter().find(|end| *end != force.last).unwrap_or(force.last)
}

/// What the parts let expect, of the forces that the step is to be looked ahead with.
fn expected(case: &Case<'_>, step: &Step) -> Option<Band> {
    let mut forces = step.expects.iter().filter_map(|target| {
        let id = case.rules.book.feature(&target.feature)?;
        let is_asked = |place: Option<&str>| target.place.as_deref().is_none_or(|wanted| place == Some(wanted));
        let mut finals = case
            .finals
            .iter()
            .filter(|known| known.id == id && is_asked(known.place));
        let own = finals.next()?;
        let unit = own.feature.shown_in()?;
        (unit.dimension == Dimension::FORCE)
            .then(|| own.known()?.estimate.reach())
            .flatten()
    });
    forces.next()
}

/// The rating of the tool that the force was read on, else of the one that the step's bound names.
fn rating(case: &Case<'_>, step: Option<&Step>, force: &SaidAmount) -> Option<(Decimal, String)> {
    let own = force.tool.as_ref().map(|tool| tool.key.as_str());
    let bound = step.and_then(|step| {
        step.bounds.iter().find_map(|bound| match &bound.bound {
            BoundKind::RatingOf(tool) => Some(tool.key.as_str()),
            BoundKind::Limit(_) => None,
        })
    });
    let tool = [own, bound].into_iter().flatten().find_map(|key| case.job.tool(key))?;
    let (rated, unit) = tool.rated?;
    (unit.dimension == Dimension::FORCE).then(|| (rated, words::fold(tool.name.span.text(case.text()))))
}
