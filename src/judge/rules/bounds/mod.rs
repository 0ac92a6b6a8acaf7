//! Amounts of steps against what bounds them: a figure of the manual, or the rating of a tool. Stages and times are counted in `holds`.

mod holds;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{Flags, is_implausible, repairs};
use crate::judge::words;
use crate::model::job::{Done, SaidAmount, SaidKind};
use crate::model::limit::Limit;
use crate::model::manual::{BoundKind, Step, StepBound};
use crate::model::names::says;
use crate::model::units::kinds_help;
use crate::quantity::{Dimension, number};

use super::ratings;
use super::shared::danger::{DEFER, sentence};
use super::shared::walk::each_done;

/// Checks every bound of each step that was done.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    each_done(case, out, |event, done, found| {
        let Some(step) = case.step(done) else { return };
        for bound in &step.bounds {
            bounded(case, event, done, step, bound, found);
        }
    });
}

/// The amounts a bound means: those of its name, or with its name in theirs (`water pressure`, `heat to`); else those of its kind whose name is no
/// other bound's.
fn amounts_for<'d>(done: &'d Done, step: &Step, bound: &StepBound) -> Vec<&'d SaidAmount> {
    let amounts = || {
        done.said.iter().filter_map(|said| match &said.kind {
            SaidKind::Amount(amount) => Some(amount),
            _ => None,
        })
    };
    let named: Vec<&SaidAmount> = amounts().filter(|a| says(&a.name, &bound.name)).collect();
    if !named.is_empty() {
        return named;
    }
    let BoundKind::Limit(limit) = &bound.bound else {
        return Vec::new();
    };
    let is_others = |amount: &SaidAmount| {
        step.bounds
            .iter()
            .any(|b| b.name != bound.name && says(&amount.name, &b.name))
    };
    amounts()
        .filter(|a| a.unit.is_some_and(|u| u.dimension == limit.unit.dimension) && !is_others(a))
        .collect()
}

/// Checks one bound of a step against the amounts that were said.
fn bounded(case: &Case<'_>, event: usize, done: &Done, step: &Step, bound: &StepBound, out: &mut Vec<Finding>) {
    if let BoundKind::Limit(limit) = &bound.bound {
        match bound.name.as_str() {
            "stages" => return holds::stages(case, done, bound, limit, out),
            "lasts" if holds::by_the_clock(case, event, bound, limit, out) => return,
            _ => {}
        }
    }
    let amounts = amounts_for(done, step, bound);
    if amounts.is_empty()
        && let BoundKind::Limit(limit) = &bound.bound
        && limit.band.lo.is_some()
    {
        out.push(amount_missing(case, done, bound, limit));
    }
    for amount in amounts {
        match &bound.bound {
            BoundKind::Limit(limit) => out.extend(out_of_bounds(case, done, bound, amount, limit)),
            BoundKind::RatingOf(tool) => out.extend(ratings::bounded(case, done, bound, amount, tool)),
        }
    }
}

fn amount_missing(case: &Case<'_>, done: &Done, bound: &StepBound, limit: &Limit) -> Finding {
    let name = words::fold(done.name.span.text(case.text()));
    // `torque 20 N·m then 60 deg`: it is there, but more than one amount between two commas is not understood.
    let begun = format!("{} ", bound.name);
    let unread = done.said.iter().find(|said| {
        let has_figure = said.key.bytes().any(|b| b.is_ascii_digit());
        matches!(said.kind, SaidKind::Tick) && has_figure && said.key.starts_with(&begun)
    });
    if let Some(said) = unread {
        let written = words::fold(said.span.text(case.text()));
        return Finding::new(
            "step.amount-missing",
            Severity::Fault,
            said.span,
            format!(
                "`{written}` is not understood as a {}, which is to be {}",
                bound.name,
                limit.words()
            ),
        )
        .label("one amount between two commas")
        .help(format!(
            "write each amount by itself: `{} 20 N·m, angle 60°`; stages are `10/20 N·m`",
            bound.name
        ))
        .see_in(
            case.rules.book.source(bound.manual),
            bound.span,
            "the manual asks for it here",
        );
    }
    let (what, shown) = match bound.name.as_str() {
        "lasts" => ("how long it lasted".to_owned(), "10 min".to_owned()),
        other => (format!("its {other}"), format!("{other} …")),
    };
    Finding::new(
        "step.amount-missing",
        Severity::Fault,
        done.name.span,
        format!("`{name}` does not say {what}, which is to be {}", limit.words()),
    )
    .label(format!("{what} is not written").replace("its ", "the "))
    .help(format!(
        "add it: `fix {name}, {shown}`; if it was not taken, do the step again as the manual says"
    ))
    .see_in(
        case.rules.book.source(bound.manual),
        bound.span,
        "the manual asks for it here",
    )
}

/// Whose bound it is.
fn note(limit: &Limit) -> String {
    match &limit.source {
        Some(source) => format!("the bound; source: {source}"),
        None => "the bound; no source is given".to_owned(),
    }
}

/// What to do at once about an amount that can hurt somebody.
fn stop(kind: Dimension) -> &'static str {
    match kind {
        Dimension::PRESSURE | Dimension::FORCE => "Stop and let it down slowly.",
        Dimension::TEMPERATURE => "Stop, and let it come back to the warmth of the shop.",
        _ => "Stop.",
    }
}

fn out_of_bounds(
    case: &Case<'_>,
    done: &Done,
    bound: &StepBound,
    amount: &SaidAmount,
    limit: &Limit,
) -> Option<Finding> {
    let source = case.rules.book.source(bound.manual);
    let kind = amount.unit.map(|u| u.dimension);
    if kind.unwrap_or(Dimension::NONE) != limit.unit.dimension {
        let message = format!(
            "{} is to be {}, but this is {}",
            bound.name,
            limit.words(),
            kind.map_or_else(|| "a figure without a unit".to_owned(), |d| d.name())
        );
        return Some(
            Finding::new("reading.wrong-dimension", Severity::Fault, amount.span, message)
                .help(
                    kind.and_then(|kind| kinds_help(limit.unit.dimension, kind))
                        .unwrap_or("look at the unit"),
                )
                .see_in(source, bound.span, "the bound"),
        );
    }
    let over = limit
        .band
        .hi
        .is_some_and(|hi| amount.band.hi.is_some_and(|most| most > hi));
    // Of stages only the last counts; of a range both ends do.
    let least = if amount.is_staged {
        Some(amount.last)
    } else {
        amount.band.lo
    };
    let under = limit.band.lo.zip(least).is_some_and(|(lo, least)| least < lo);
    if !over && !under {
        return None;
    }
    let name = words::fold(done.name.span.text(case.text()));
    let figure = words::figure(
        if over {
            amount.band.hi.unwrap_or(amount.last)
        } else {
            amount.last
        },
        amount.unit,
    );
    let also = words::also_in(amount.last, amount.unit, limit.unit);
    let precaution = case.rules.book.precaution(&bound.name);
    let (code, severity) = match precaution {
        Some(_) => ("danger.bound", Severity::Danger),
        None => ("step.bound", Severity::Fault),
    };
    let message = format!(
        "`{name}`: {} {figure}{also} is {} the limit of {}",
        bound.name,
        if over { "over" } else { "under" },
        limit.words()
    );
    let mut finding = Finding::new(code, severity, amount.span, message)
        .label(if over { "too much" } else { "too little" })
        .help(match precaution {
            Some(precaution) => format!(
                "{} {} {DEFER}",
                sentence(&precaution.because),
                stop(limit.unit.dimension)
            )
            .trim()
            .to_owned(),
            None => "look at the figure and the unit again; if it was really so, do the step again as the manual says"
                .to_owned(),
        })
        .see_in(source, bound.span, note(limit));
    let flags = Flags {
        meant_in: Some(limit.unit),
        ..Flags::default()
    };
    let meant_all = if is_implausible(amount.last, &limit.band) {
        repairs(amount.written, amount.unit, flags, |f| limit.band.contains(f))
    } else {
        Vec::new()
    };
    if let Some(slip) = meant_all.first() {
        let meant = format!(
            "{} {}",
            number::show(slip.figure, 4),
            slip.unit.map_or("", |u| u.label())
        );
        let line = format!(
            "fix {name}, {} {} -> {meant}, {}",
            bound.name,
            amount.span.text(case.text()).trim(),
            slip.what
        );
        finding
            .message
            .push_str(&format!("; {meant} was probably meant ({})", slip.what));
        if let Some(second) = meant_all.get(1) {
            finding.message.push_str(&format!(
                ", or {} {} ({})",
                number::show(second.figure, 4),
                second.unit.map_or("", |u| u.label()),
                second.what
            ));
        }
        if precaution.is_none() {
            finding.help =
                format!("if it was only written wrongly, add `{line}`; if the tool was set so, loosen and do it again");
        }
        finding.fix = case.add_line_below(done.name.span, &line);
    }
    Some(finding)
}

const TORQUE: &str = "manual m\nprocedure head\n  step torque head; torque 26 to 30 N·m\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "danger.bound",
        severity: "danger",
        says: "An amount of a step is over a bound that keeps people from harm.",
        why: "A bound whose name is also a precaution's is one of these: a leak test over its pressure, a bearing over its heat. \
              The machine's workshop manual, local codes and licensed practice come first.",
        source: "the manual's bound; common practice, no source",
        fires: Example {
            manual: "manual m\nprecaution pressure\n  because seals pop and plugs fly\nprocedure test\n  step leak test; pressure up to 0.6 bar\n",
            log: "job x\nmanual m\n2026-03-14 build\ndid leak test, pressure 1.2 bar\n",
        },
        clean: Example {
            manual: "manual m\nprecaution pressure\n  because seals pop and plugs fly\nprocedure test\n  step leak test; pressure up to 0.6 bar\n",
            log: "job x\nmanual m\n2026-03-14 build\ndid leak test, pressure 0.5 bar\n",
        },
    },
    Rule {
        code: "step.bound",
        severity: "fault",
        says: "An amount of a step is outside what the manual asks for.",
        why: "The final figure is compared; where a usual slip explains it (foot-pounds for newton metres), the figure that was probably meant is named.",
        source: "the manual's bound",
        fires: Example {
            manual: TORQUE,
            log: "job x\nmanual m\n2026-03-14 build\ndid torque head, torque 12/20/28 ft-lb\n",
        },
        clean: Example {
            manual: TORQUE,
            log: "job x\nmanual m\n2026-03-14 build\ndid torque head, torque 12/20/28 N·m\n",
        },
    },
    Rule {
        code: "step.amount-missing",
        severity: "fault",
        says: "A step does not say an amount that the manual gives a least value for.",
        why: "A torque that is not written is a bolt that nobody can prove was tightened.",
        source: "the manual's bound",
        fires: Example {
            manual: TORQUE,
            log: "job x\nmanual m\n2026-03-14 build\ndid torque head, oiled\n",
        },
        clean: Example {
            manual: TORQUE,
            log: "job x\nmanual m\n2026-03-14 build\ndid torque head, oiled, torque 28 N·m\n",
        },
    },
];
