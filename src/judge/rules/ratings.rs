//! Loads against what presses, frames and tooling are rated for: the weakest counts.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::procedure::in_play;
use crate::judge::words;
use crate::model::book::StepId;
use crate::model::job::{Done, SaidAmount, SaidKind};
use crate::model::manual::{BoundKind, Named, Step, StepBound};
use crate::model::names::says;
use crate::model::tools::Tool;
use crate::quantity::{Band, Dimension, Unit, unit};

use super::needs::PRESS;
use super::shared::danger::DEFER;
use super::shared::walk::each_done;
use super::tools::too_weak;

/// The share of a rating that is worked with. Common practice, no source.
const SHARE: Decimal = Decimal::from_parts(8, 0, 0, false, 1);

/// Checks what each tool was loaded with, and what it has still to take.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    each_done(case, out, |_, done, found| overloaded(case, done, found));
    to_come(case, out);
}

/// Loads that procedures in play have still to put on a tool that is not rated for them: said before it is used.
fn to_come(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (number, procedure) in in_play(case) {
        for (index, step) in procedure.steps.iter().enumerate() {
            let id = StepId {
                procedure: number,
                step: index,
            };
            if case.course.first(id).is_some() {
                continue;
            }
            for need in &step.uses {
                let tool = tool_of(case, &need.kind.key);
                let weak = tool.and_then(|tool| too_weak(case, tool.name.span, step, need, tool));
                match weak {
                    Some(finding) => out.push(finding),
                    None => expected(case, step, &need.kind, out),
                }
            }
        }
    }
}

/// A tool by a name or a kind; of several of a kind the strongest, which would be taken.
pub(super) fn tool_of<'c>(case: &'c Case<'_>, key: &str) -> Option<&'c Tool> {
    case.job.tool(key).or_else(|| {
        let of_kind = case.job.tools.iter().filter(|tool| tool.kind == key);
        of_kind.max_by_key(|tool| tool.rated.map(|(rating, _)| rating))
    })
}

/// What the manual expects a tool to be loaded with, where that is more than it is rated for.
fn expected(case: &Case<'_>, step: &Step, kind: &Named, out: &mut Vec<Finding>) {
    let Some((tool, (rating, unit))) = tool_of(case, &kind.key).and_then(|tool| Some((tool, tool.rated?))) else {
        return;
    };
    for bound in &step.bounds {
        let BoundKind::Limit(limit) = &bound.bound else {
            continue;
        };
        let Some(most) = limit
            .band
            .hi
            .filter(|most| *most > rating && limit.unit.dimension == unit.dimension)
        else {
            continue;
        };
        let name = words::fold(tool.name.span.text(case.text()));
        let message = format!(
            "`{}` may need a {} of {}, and the {name} is rated for {}",
            step.name.name,
            bound.name,
            words::figure(most, Some(limit.unit)),
            words::figure(rating, Some(unit))
        );
        out.push(
            Finding::new("tool.weak", Severity::Doubt, tool.name.span, message)
                .label("too weak for what is to come")
                .help("find a stronger one before the day it is needed, or have it pressed elsewhere")
                .see_in(
                    case.rules.book.source(bound.manual),
                    bound.span,
                    "the manual expects it here",
                ),
        );
    }
}

/// Everything declared that a load goes through: the tool it was read on, and what the step says it was done `with`, `through` or `under`.
fn loaded<'c>(case: &'c Case<'_>, done: &Done, first: Option<&'c Tool>) -> Vec<&'c Tool> {
    let named = done
        .said
        .iter()
        .filter(|said| matches!(said.kind, SaidKind::Tick))
        .filter_map(|said| {
            let name = ["with ", "through ", "under "]
                .iter()
                .find_map(|lead| said.key.strip_prefix(lead))
                .unwrap_or(&said.key);
            case.job.tool(name.strip_prefix("the ").unwrap_or(name))
        });
    let mut list: Vec<&Tool> = first.into_iter().chain(named).collect();
    list.dedup_by(|a, b| std::ptr::eq(*a, *b));
    list
}

/// The weakest of some tools, among those that are rated.
fn weakest<'c>(tools: &[&'c Tool]) -> Option<(&'c Tool, Decimal, &'static Unit)> {
    let rated = tools.iter().filter_map(|tool| {
        let (rating, unit) = tool.rated?;
        Some((*tool, rating, unit))
    });
    rated.min_by_key(|(_, rating, _)| *rating)
}

/// An amount read on a tool that is rated for less, whether or not the manual bounds it.
fn overloaded(case: &Case<'_>, done: &Done, out: &mut Vec<Finding>) {
    let bounds = case.step(done).map_or(&[][..], |step| step.bounds.as_slice());
    let has_rating_bound = |amount: &SaidAmount| {
        bounds
            .iter()
            .any(|b| matches!(b.bound, BoundKind::RatingOf(_)) && says(&amount.name, &b.name))
    };
    for said in &done.said {
        let SaidKind::Amount(amount) = &said.kind else { continue };
        if has_rating_bound(amount) {
            continue;
        }
        let own = amount.tool.as_ref().and_then(|t| case.job.tool(&t.key));
        let is_load = own.is_some() || matches!(amount.name.as_str(), "force" | "load");
        let Some((tool, rating, unit)) = weakest(&loaded(case, done, own)).filter(|_| is_load) else {
            continue;
        };
        let name = words::fold(tool.name.span.text(case.text()));
        let is_bare = amount.unit.is_none() && matches!(amount.name.as_str(), "force" | "load");
        if is_bare {
            let message = format!(
                "{} on the {name}, which is rated for {}, has no unit: it cannot be compared",
                amount.name,
                words::figure(rating, Some(unit))
            );
            out.push(
                Finding::new("reading.wrong-dimension", Severity::Fault, amount.span, message)
                    .help(format!(
                        "write the unit behind it: `{} … {}`",
                        amount.name,
                        unit.label()
                    ))
                    .see(tool.name.span, "the rating is declared here"),
            );
            continue;
        }
        let amount = &as_force(amount, unit.dimension);
        let what = if amount.name.is_empty() {
            "load"
        } else {
            amount.name.as_str()
        };
        if amount.unit.is_some_and(|u| u.dimension == unit.dimension) {
            out.extend(against(case, amount, what, tool, (rating, unit)));
        }
    }
}

/// `8 t on press`: on something rated for a force, tonnes and kilograms are forces.
fn as_force(amount: &SaidAmount, rated: Dimension) -> SaidAmount {
    let mut force = amount.clone();
    let Some(unit) = amount
        .unit
        .filter(|u| u.dimension == Dimension::MASS && rated == Dimension::FORCE)
    else {
        return force;
    };
    let Some(twin) = unit::find(unit.symbol, Some(Dimension::FORCE)).filter(|t| t.dimension == Dimension::FORCE) else {
        return force;
    };
    let again = |base: Decimal| twin.to_base(unit.from_base(base)?);
    let (last, hi) = (again(amount.last), amount.band.hi.and_then(again));
    if let Some(last) = last {
        force.last = last;
        force.band = Band::between(last, hi.unwrap_or(last));
        force.unit = Some(twin);
    }
    force
}

/// A load over a rating, or near it.
fn against(
    case: &Case<'_>,
    amount: &SaidAmount,
    what: &str,
    tool: &Tool,
    (rating, unit): (Decimal, &'static Unit),
) -> Option<Finding> {
    let most = amount.band.hi.unwrap_or(amount.last);
    let name = words::fold(tool.name.span.text(case.text()));
    let load = words::figure(most, amount.unit);
    let rated = words::figure(rating, Some(unit));
    let declared = |finding: Finding| finding.see(tool.name.span, "the rating is declared here");
    if most > rating {
        let message = format!("{what} {load} is over the rating of the {name}, {rated}");
        return Some(declared(
            Finding::new("danger.over-rating", Severity::Danger, amount.span, message)
                .label("over the rating")
                .help(format!(
                    "A frame or a ram that gives way throws its load. Stop, release slowly, and find a stronger one. {DEFER}"
                )),
        ));
    }
    let usual = rating.checked_mul(SHARE)?;
    (most > usual).then(|| {
        let message = format!(
            "{what} {load} is within the rating of the {name}, {rated}, but over four fifths of it, {}",
            words::figure(usual, Some(unit))
        );
        declared(
            Finding::new("tool.near-rating", Severity::Doubt, amount.span, message)
                .label("near its rating")
                .help(
                    "common practice keeps a fifth in hand: a gauge is good to a tenth, and a part lets go with a bang",
                ),
        )
    })
}

/// An amount that the manual bounds by the rating of a tool.
pub(super) fn bounded(
    case: &Case<'_>,
    done: &Done,
    bound: &StepBound,
    amount: &SaidAmount,
    tool: &Named,
) -> Option<Finding> {
    let own = amount
        .tool
        .as_ref()
        .and_then(|t| case.job.tool(&t.key))
        .or_else(|| tool_of(case, &tool.key));
    let source = case.rules.book.source(bound.manual);
    let Some((named, rating, unit)) = weakest(&loaded(case, done, own)) else {
        let message = format!(
            "nothing says what the {} is rated for, so {} {} cannot be compared",
            tool.name,
            bound.name,
            words::figure(amount.last, amount.unit)
        );
        return Some(
            Finding::new("tool.no-rating", Severity::Doubt, amount.span, message)
                .label("is it rated for this?")
                .help(format!(
                    "declare it: `tool {}: {}, rated 10 t`; the weakest of ram, frame and tooling counts",
                    tool.name, tool.name
                ))
                .see_in(source, bound.span, "the manual asks for it here"),
        );
    };
    let kind = amount.unit.map_or(Dimension::NONE, |u| u.dimension);
    if kind != unit.dimension {
        let what = if amount.unit.is_none() {
            "a figure without a unit".to_owned()
        } else {
            kind.name()
        };
        let message = format!(
            "{} is bounded by the rating of the {}, {}, but this is {what}: it cannot be compared",
            bound.name,
            tool.name,
            words::figure(rating, Some(unit))
        );
        return Some(
            Finding::new("reading.wrong-dimension", Severity::Fault, amount.span, message)
                .help(format!("write the unit behind it: `{} … {}`", bound.name, unit.label()))
                .see_in(source, bound.span, "the manual bounds it here"),
        );
    }
    let finding = against(case, amount, &bound.name, named, (rating, unit))?;
    Some(finding.see_in(source, bound.span, "the manual bounds it here"))
}

const EXPECTED: &str = "manual m\nsource page 1\nprocedure crank\n  step clean webs\n  step press together  optional; force 3 to 8 t; uses press rated at least 8 t\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "danger.over-rating",
        severity: "danger",
        says: "A force is over what the press, or the weakest part of it, is rated for.",
        why: "Of ram, frame and tooling the weakest counts. The machine's workshop manual, local codes and licensed practice come first.",
        source: "the tool's own rating; common practice, no source",
        fires: Example {
            manual: PRESS,
            log: "job x\nmanual m\ntool press: press, rated 12 t jack, rated 10 t frame\n2026-03-14 build\ndid press together, oiled, web held, force 11 t on press\n",
        },
        clean: Example {
            manual: PRESS,
            log: "job x\nmanual m\ntool press: press, rated 12 t jack, rated 10 t frame\n2026-03-14 build\ndid press together, oiled, web held, force 7 t on press\n",
        },
    },
    Rule {
        code: "tool.no-rating",
        severity: "doubt",
        says: "A force is bound by the rating of a tool, and no rating is written.",
        why: "Without the rating nobody can say whether the press was up to it.",
        source: "common practice, no source",
        fires: Example {
            manual: PRESS,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together, oiled, web held, force 7 t on press\n",
        },
        clean: Example {
            manual: PRESS,
            log: "job x\nmanual m\ntool press: press, rated 10 t\n2026-03-14 build\ndid press together, oiled, web held, force 7 t on press\n",
        },
    },
    Rule {
        code: "tool.near-rating",
        severity: "doubt",
        says: "A force is within what a tool is rated for, but over four fifths of it.",
        why: "A press gauge is good to a tenth, and what lets go with a bang takes a frame that is loaded to its last tonne with it.",
        source: "common practice, no source",
        fires: Example {
            manual: PRESS,
            log: "job x\nmanual m\ntool press: press, rated 10 t\n2026-03-14 build\ndid press together, oiled, web held, force 9 t on press\n",
        },
        clean: Example {
            manual: PRESS,
            log: "job x\nmanual m\ntool press: press, rated 20 t\n2026-03-14 build\ndid press together, oiled, web held, force 7 t on press\n",
        },
    },
    Rule {
        code: "tool.weak",
        severity: "doubt",
        says: "A step that is still to be done may need more force than the tool for it is rated for.",
        why: "It is better found out before the part is on the press than when it will not move.",
        source: "the manual's bound and the tool's own rating",
        fires: Example {
            manual: EXPECTED,
            log: "job x\nmanual m\ntool press: press, rated 6 t\n2026-03-14 build\ndid clean webs\n",
        },
        clean: Example {
            manual: EXPECTED,
            log: "job x\nmanual m\ntool press: press, rated 20 t\n2026-03-14 build\ndid clean webs\n",
        },
    },
];
