//! Tools: whether the one a step wants is there, calibrated, checked that day, and used within its range.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rustc_hash::{FxHashMap, FxHashSet};

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::job::{EventKind, SaidAmount, SaidKind};
use crate::model::manual::{Step, ToolNeed};
use crate::model::names::says;
use crate::model::tools::Tool;
use crate::quantity::{Dimension, Unit};
use crate::syntax::Span;

use super::ratings::tool_of;

/// A click wrench is trusted from this share of its full scale on. Common practice, no source.
const LEAST_OF_SCALE: Decimal = Decimal::from_parts(2, 0, 0, false, 1);

/// Readings to this step or finer want their tool checked, mm. Common practice, no source.
const FINE: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

/// For each tool that was checked, by the name it was called by, on which dates.
type Checks<'a> = FxHashMap<&'a str, BTreeSet<Date>>;

/// Checks every use of a tool.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    needed(case, out);
    let mut checks = Checks::default();
    for (at, event) in case.job.events.iter().enumerate() {
        if let (EventKind::Checked(tool), Some(date)) = (&event.kind, case.job.date(at)) {
            checks.entry(&tool.key).or_default().insert(date);
        }
    }
    let mut overdue: FxHashSet<&str> = FxHashSet::default();
    let mut unchecked: FxHashSet<(&str, usize)> = FxHashSet::default();
    for used in uses(case) {
        if !overdue.contains(used.tool.name.key.as_str())
            && let Some(finding) = past_due(case, &used)
        {
            overdue.insert(&used.tool.name.key);
            out.push(finding);
        }
        out.extend(out_of_range(case, &used));
        let day = case.job.events.get(used.event).map_or(0, |event| event.day);
        if !unchecked.contains(&(used.tool.name.key.as_str(), day))
            && let Some(finding) = not_checked(case, &used, &checks)
        {
            unchecked.insert((&used.tool.name.key, day));
            out.push(finding);
        }
    }
}

/// One figure that was taken with a declared tool, or set on it.
struct Used<'c> {
    tool: &'c Tool,
    event: usize,
    /// Where the figure stands.
    span: Span,
    /// The figures in base units, as written.
    figures: Vec<Decimal>,
    unit: Option<&'static Unit>,
    /// The finest step that was written.
    step: Option<Decimal>,
    /// Whether it was set, not read: a torque.
    is_set: bool,
}

/// Every figure with its tool: readings, and amounts of steps.
fn uses<'c>(case: &'c Case<'_>) -> Vec<Used<'c>> {
    if case.job.tools.is_empty() {
        return Vec::new();
    }
    let readings = case.job.readings.iter().filter_map(|reading| {
        Some(Used {
            tool: reading.tool_index.and_then(|index| case.job.tools.get(index))?,
            event: reading.event,
            span: reading.figure_span,
            figures: reading.points.iter().map(|point| point.best).collect(),
            unit: reading.unit,
            step: reading
                .points
                .iter()
                .map(|point| point.half_step)
                .min()
                .and_then(|half| half.checked_mul(Decimal::TWO)),
            is_set: false,
        })
    });
    let amounts = case.done.iter().flat_map(|(event, done)| {
        done.said.iter().filter_map(|said| match &said.kind {
            SaidKind::Amount(amount) => Some(Used {
                tool: amount.tool.as_ref().and_then(|tool| case.job.tool(&tool.key))?,
                event: *event,
                span: amount.span,
                figures: ends(amount),
                unit: amount.unit,
                step: None,
                is_set: true,
            }),
            _ => None,
        })
    });
    readings.chain(amounts).collect()
}

/// What a tool must reach for an amount: of stages the last, of a range its far end.
fn ends(amount: &SaidAmount) -> Vec<Decimal> {
    if amount.is_staged {
        vec![amount.last]
    } else {
        amount.band.lo.into_iter().chain(amount.band.hi).collect()
    }
}

/// Tools that a step is done with, and that the log does not declare.
fn needed(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut told: FxHashSet<&str> = FxHashSet::default();
    for (_, done) in case.done.iter().filter(|(_, done)| !done.is_undone()) {
        let Some(step) = case.step(done) else { continue };
        for need in &step.uses {
            if told.contains(need.kind.key.as_str()) {
                continue;
            }
            let named = done.said.iter().any(|said| match &said.kind {
                SaidKind::Amount(amount) => amount.tool.as_ref().is_some_and(|tool| says(&tool.key, &need.kind.key)),
                SaidKind::Tick => says(&said.key, &need.kind.key),
                _ => false,
            });
            let finding = match tool_of(case, &need.kind.key) {
                None if named => None,
                None => Some(absent(case, done.name.span, need)),
                Some(tool) => too_weak(case, done.name.span, step, need, tool),
            };
            if let Some(finding) = finding.filter(|_| told.insert(&need.kind.key)) {
                out.push(finding);
            }
        }
    }
}

fn absent(case: &Case<'_>, span: Span, need: &ToolNeed) -> Finding {
    let name = words::fold(span.text(case.text()));
    let rated = need.rated.map_or(String::new(), |(rating, unit)| {
        format!(", rated {}", words::figure(rating, Some(unit)))
    });
    Finding::new(
        "tool.absent",
        Severity::Doubt,
        span,
        format!("`{name}` is done with a {}, and the log has none", need.kind.name),
    )
    .label("with what was it done?")
    .help(format!(
        "declare it: `tool NAME: {}{rated}`; if it was done another way, write why: `fix {name}, because …`",
        need.kind.name
    ))
    .see_in(
        case.rules.book.source(need.kind.manual),
        need.kind.span,
        "the manual asks for it here",
    )
}

/// A tool that is rated for less than a step wants.
pub(super) fn too_weak(case: &Case<'_>, span: Span, step: &Step, need: &ToolNeed, tool: &Tool) -> Option<Finding> {
    let (wanted, _) = need.rated?;
    let (rating, unit) = tool.rated?;
    if rating >= wanted {
        return None;
    }
    let name = &step.name.name;
    let own = words::fold(tool.name.span.text(case.text()));
    Some(
        Finding::new(
            "tool.weak",
            Severity::Doubt,
            span,
            format!(
                "`{name}` wants a {} rated for at least {}, and the {own} is rated for {}",
                need.kind.name,
                words::figure(wanted, Some(unit)),
                words::figure(rating, Some(unit))
            ),
        )
        .label("weaker than the manual asks")
        .help("find a stronger one, or have it done elsewhere")
        .see(tool.name.span, "the rating is declared here")
        .see_in(
            case.rules.book.source(need.kind.manual),
            need.kind.span,
            "the manual asks for it here",
        ),
    )
}

/// A tool used past the day of its next calibration. Dates are written year first, so they are in the order of their letters.
fn past_due(case: &Case<'_>, used: &Used<'_>) -> Option<Finding> {
    let due = used.tool.due.as_ref()?;
    let date = case.job.date(used.event)?;
    let limit: jiff::civil::Date = due.key.parse().ok()?;
    if date <= limit {
        return None;
    }
    let name = words::fold(used.tool.name.span.text(case.text()));
    Some(
        Finding::new(
            "tool.overdue",
            Severity::Doubt,
            used.span,
            format!("the {name} was due for calibration on {}, and was used on {date}", due.key),
        )
        .label("by a tool that was due")
        .help("have it calibrated, or check it against a standard and write `checked NAME, …`; what it read since is not proven")
        .see(due.span, "due"),
    )
}

/// A figure that the tool cannot show, or not well.
fn out_of_range(case: &Case<'_>, used: &Used<'_>) -> Option<Finding> {
    let (least, most, dimension) = used.tool.range?;
    let same = used.unit.is_some_and(|unit| unit.dimension == dimension);
    let name = words::fold(used.tool.name.span.text(case.text()));
    let far = used
        .figures
        .iter()
        .copied()
        .find(|figure| *figure < least || *figure > most)
        .filter(|_| same);
    let from = words::figure(least, used.unit);
    let to = words::figure(most, used.unit);
    if let Some(far) = far {
        let shown = words::figure(far, used.unit);
        let help = if used.is_set {
            "take a wrench whose range holds it, loosen and do it again; or look at the figure and its unit"
        } else {
            "look which tool it was read with, and at the figure"
        };
        return Some(
            Finding::new(
                "tool.range",
                Severity::Doubt,
                used.span,
                format!("{shown} lies outside the range of the {name}, {from} to {to}"),
            )
            .label("it cannot show this")
            .help(help)
            .see(used.tool.name.span, "the range is declared here"),
        );
    }
    // A click wrench is good in the upper four fifths of its scale.
    let is_wrench = dimension == Dimension::TORQUE && used.is_set && same;
    let low = most.checked_mul(LEAST_OF_SCALE)?;
    let figure = used
        .figures
        .iter()
        .copied()
        .max()
        .filter(|figure| is_wrench && *figure < low)?;
    Some(
        Finding::new(
            "tool.range",
            Severity::Doubt,
            used.span,
            format!(
                "{} is less than a fifth of what the {name} goes to, {to}: a wrench is not good down there",
                words::figure(figure, used.unit)
            ),
        )
        .label("at the bottom of its scale")
        .help("take a smaller wrench")
        .see(used.tool.name.span, "the range is declared here"),
    )
}

/// A fine reading by a tool that is to be checked on each day it is used, or was on another day of this job.
fn not_checked(case: &Case<'_>, used: &Used<'_>, checks: &Checks<'_>) -> Option<Finding> {
    let date = case.job.date(used.event)?;
    let is_length = used.unit.is_some_and(|unit| unit.dimension == Dimension::LENGTH);
    if !is_length || used.is_set || used.step.is_none_or(|step| step > FINE) {
        return None;
    }
    let own = || {
        let is_own = |key: &str| key == used.tool.name.key || key == used.tool.kind;
        checks
            .iter()
            .filter(move |(key, _)| is_own(key))
            .map(|(_, dates)| dates)
    };
    let is_due = used.tool.checked_daily || own().next().is_some();
    if !is_due || own().any(|dates| dates.contains(&date)) {
        return None;
    }
    let name = words::fold(used.tool.name.span.text(case.text()));
    let why = if used.tool.checked_daily {
        "it is to be checked on each day it is used"
    } else {
        "on another day of this job it was"
    };
    Some(
        Finding::new(
            "tool.unchecked",
            Severity::Doubt,
            used.span,
            format!("nothing says that the {name} was checked on {date}; {why}"),
        )
        .label("was its zero right?")
        .help(format!(
            "check it against its standard and write `checked {name}, …` under that day; if it was not, read again"
        ))
        .see(used.tool.name.span, "the tool"),
    )
}

const MANUAL: &str = "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\nprocedure crank\n  step press together  uses press\n  step torque cases  optional\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "tool.absent",
        severity: "doubt",
        says: "A step is to be done with a kind of tool that the log neither declares nor names.",
        why: "Whether the tool is there is found out before the day it is needed.",
        source: "the manual's `uses`",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\ndid press together\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool big press: press, rated 20 t\n2026-03-14 build\ndid press together, force 7 t on big press\n",
        },
    },
    Rule {
        code: "tool.overdue",
        severity: "doubt",
        says: "A tool was used after the day its next calibration was due.",
        why: "What it reads is not known to be right any more; what was read with it since is not proven.",
        source: "common practice, no source",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, due 2026-01-31\n2026-03-14 build\nweb width = 51.98 mm by mic\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, due 2027-01-31\n2026-03-14 build\nweb width = 51.98 mm by mic\n",
        },
    },
    Rule {
        code: "tool.range",
        severity: "doubt",
        says: "A figure lies outside what its tool measures, or a torque in the lowest fifth of a wrench's scale.",
        why: "A micrometer cannot show it, so the tool or the figure is wrong; a click wrench is good from about a fifth of its scale on.",
        source: "the tool's own range; common practice, no source",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool wrench: torque wrench, range 20 to 110 N·m\n2026-03-14 build\ndid press together, on press\ndid torque cases, torque 10 N·m on wrench\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool wrench: torque wrench, range 5 to 25 N·m\n2026-03-14 build\ndid press together, on press\ndid torque cases, torque 10 N·m on wrench\n",
        },
    },
    Rule {
        code: "tool.unchecked",
        severity: "doubt",
        says: "A fine reading was taken with a tool that is to be checked daily, or is in this job, and that day says nothing of it.",
        why: "A micrometer that was dropped yesterday reads wrong all day. A log that never speaks of checking is left alone, unless the tool's line says `checked daily`.",
        source: "common practice, no source",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, checked daily\n2026-03-14 build\nweb width = 51.98 mm by mic\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, checked daily\n2026-03-14 build\nchecked mic, on its 50 mm standard\nweb width = 51.98 mm by mic\n",
        },
    },
];
