//! Instruments: too coarse for their limit, figures finer than they can show, and parts read warm.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rustc_hash::FxHashSet;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::digits_too_fine;
use crate::judge::words;
use crate::metrology::better::better;
use crate::metrology::measured::{REFERENCE, WARM};
use crate::metrology::sources::{Taken, step_of};
use crate::metrology::{Correction, Which};
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::model::limit::Limit;
use crate::quantity::number::significant;
use crate::quantity::{Dimension, Verdict};
use crate::uncertainty::Cause;

use super::derived;

/// The least fineness: what an instrument is good for, in parts of its limit's width. Common practice, no source.
const LEAST: i64 = 4;

/// Checks the tool and the temperature of every latest reading.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    // Once for all the cells of a table.
    let mut warm_lines: FxHashSet<usize> = FxHashSet::default();
    for (number, instance) in case.job.instances.iter().enumerate() {
        let Some((index, latest)) = case.latest(instance) else {
            continue;
        };
        if !case.is_left(instance)
            && let Some(finding) = too_fine(case, latest, instance)
        {
            out.push(finding);
        }
        let is_stale = case.is_overtaken(number);
        if latest.temperature.is_some()
            && !case.is_left(instance)
            && !is_stale
            && !warm_lines.contains(&latest.event)
            && let Some(finding) = warm(case, index, latest, instance)
        {
            warm_lines.insert(latest.event);
            out.push(finding);
        }
        if case.coarse.contains(&index)
            && let Some(finding) = too_coarse(case, index, latest, instance)
        {
            out.push(finding);
        }
    }
}

/// The latest readings whose tool is to be complained of: of each feature the first that was read with something too coarse.
pub fn coarse(case: &Case<'_>) -> BTreeSet<usize> {
    let mut said: FxHashSet<usize> = FxHashSet::default();
    let mut list = BTreeSet::new();
    for instance in &case.job.instances {
        let Some((index, latest)) = case.latest(instance) else {
            continue;
        };
        if let Some(feature) = instance.feature
            && !said.contains(&feature)
            && !case.is_left(instance)
            && is_too_coarse(case, index, latest, instance).is_some()
        {
            said.insert(feature);
            list.insert(index);
        }
    }
    list
}

/// The width of a limit; of one that only ends above, from 0.
fn room(limit: &Limit) -> Option<Decimal> {
    match (limit.band.lo, limit.band.hi) {
        (Some(lo), Some(hi)) => hi.checked_sub(lo),
        (None, Some(hi)) => Some(hi),
        _ => None,
    }
    .filter(|room| *room > Decimal::ZERO)
}

/// What the instrument alone leaves open either way, base units: half the step of blades, else what it is good for.
fn doubt_of_tool(case: &Case<'_>, index: usize, reading: &Reading) -> Option<Decimal> {
    let point = reading.points.first()?;
    match reading.kind {
        ReadingKind::Blades => point.band.width()?.checked_div(Decimal::TWO),
        ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring => {
            Some(Taken::new(case.job, index, reading, Which::Whole).tolerance(point))
        }
        _ => None,
    }
}

/// What an instrument, or a pair of blades, leaves open either way, where that is more than a quarter of the limit.
fn is_too_coarse(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance) -> Option<Decimal> {
    let limit = case.limit_of(reading)?;
    // What is out is out, however coarse the tool; and a sum in the head has none.
    // What blades have proven is proven.
    let verdict = case.verdict(index)?;
    let is_settled = match reading.kind {
        ReadingKind::Blades => verdict == Verdict::In,
        _ => verdict == Verdict::Out,
    };
    if is_settled || derived::judges_instead(case, instance, reading) {
        return None;
    }
    let doubt = doubt_of_tool(case, index, reading)?;
    let room = room(limit)?;
    (doubt.checked_mul(Decimal::from(LEAST))? > room).then_some(doubt)
}

fn too_coarse(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance) -> Option<Finding> {
    let limit = case.limit_of(reading)?;
    let (which, decision) = case.decisions.get(index).copied().flatten()?;
    let doubt = is_too_coarse(case, index, reading, instance)?;
    let name = words::subject(case, instance);
    let blades = reading.kind == ReadingKind::Blades;
    let message = if blades {
        let step = doubt.checked_mul(Decimal::TWO)?;
        format!(
            "{name}: the step between the blades, {}, is too wide for a limit of {}",
            words::difference(step, reading.unit),
            limit.words()
        )
    } else {
        let tool = match &reading.tool {
            Some(tool) => format!("by {}", words::fold(tool.span.text(case.text()))),
            None => "with no more digits than this".to_owned(),
        };
        format!(
            "{name}: a reading {tool} is good to ± {}, too coarse for a limit of {}: four times as fine is the least",
            words::difference(significant(doubt, 2), reading.unit),
            limit.words()
        )
    };
    let close = if decision.is_close && decision.verdict == Verdict::In {
        let known = case.estimate(index, which)?;
        let likely = words::likely(", ", &decision);
        format!(
            "; {} is in, but too close to call{likely}",
            words::known(&known, reading.unit)
        )
    } else {
        String::new()
    };
    let message = message + &close;
    let help = match (advice(case, reading, instance, limit), blades) {
        (Some(tool), true) => {
            format!("use blades with steps of half the limit's width or less, or {tool}")
        }
        (Some(tool), false) => format!(
            "measure it with {tool}; if this tool is better than that, say so: `tool NAME: KIND, reads to …, good to …`"
        ),
        (None, true) => "use blades with a finer step, or another tool".to_owned(),
        (None, false) if reading.tool.is_none() => {
            "write the figure with all its digits, and what it was read with: `by mic`".to_owned()
        }
        (None, false) => {
            "use a finer tool; if this one is better than that, say so: `tool NAME: KIND, reads to …, good to …`"
                .to_owned()
        }
    };
    let finding = Finding::new("tool.coarse", Severity::Doubt, reading.figure_span, message)
        .label("such a tool can hardly prove it")
        .help(help);
    Some(case.with_limit(finding, limit))
}

/// An instrument that would be fine enough for a limit, or at least finer, in words: `an outside micrometer (± 0.005 mm)`.
pub(super) fn advice(case: &Case<'_>, reading: &Reading, instance: &Instance, limit: &Limit) -> Option<String> {
    let dimension = limit.unit.dimension;
    let wanted = room(limit)
        .and_then(|room| room.checked_div(Decimal::from(LEAST)))
        .unwrap_or(Decimal::ZERO);
    let used = doubt_of_tool(case, case.index_of(reading)?, reading).unwrap_or(Decimal::MAX);
    let feature = case.key_of(instance);
    let own = taken_with(case, reading);
    let (tool, error) = better(feature, dimension, wanted, used).filter(|(tool, _)| Some(tool.name) != own)?;
    let article = if tool.name.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    Some(format!(
        "{article} {} (± {})",
        tool.name,
        words::difference(error, reading.unit)
    ))
}

/// A figure with more digits than its tool has: finer than half a division of it.
fn too_fine(case: &Case<'_>, reading: &Reading, instance: &Instance) -> Option<Finding> {
    let is_read_off = matches!(
        reading.kind,
        ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring
    );
    if !is_read_off || reading.mended.is_some() {
        return None;
    }
    let tool = reading.tool.as_ref()?;
    let step = step_of(case.job, reading)?;
    let point = reading
        .points
        .iter()
        .find(|point| digits_too_fine(point.written, reading.unit, step))?;
    let name = words::fold(tool.span.text(case.text()));
    let message = format!(
        "{}: {} has more digits than `{name}` can show, which reads to {}",
        words::subject(case, instance),
        words::fold(point.span.text(case.text())),
        words::difference(step, reading.unit)
    );
    Some(
        Finding::new("tool.digits", Severity::Doubt, point.span, message)
            .label("finer than the tool")
            .help("was it read with another tool, or worked out? Write which; if this tool reads finer, say so: `tool NAME: KIND, reads to …`"),
    )
}

/// The kind of instrument a reading was taken with.
fn taken_with(case: &Case<'_>, reading: &Reading) -> Option<&'static str> {
    Taken::new(case.job, 0, reading, Which::Whole)
        .instrument
        .map(|kind| kind.name)
}

/// A length read far from 20 °C that cannot be brought there, since nothing says what the part is made of.
pub(super) fn warm(case: &Case<'_>, index: usize, reading: &Reading, instance: &Instance) -> Option<Finding> {
    let dimension = reading.unit?.dimension;
    let temperature = reading.temperature?;
    let off = rust_decimal::prelude::ToPrimitive::to_f64(&temperature)? - REFERENCE;
    if dimension != Dimension::LENGTH || off.abs() <= WARM {
        return None;
    }
    let measured = case.measured(index, Which::Whole)?;
    let matters = measured
        .budget
        .shares
        .iter()
        .any(|share| share.source.origin.cause == Cause::Expansion);
    let was_corrected = measured
        .corrections
        .iter()
        .any(|c| matches!(c, Correction::PartTemperature(..)));
    if was_corrected || !matters {
        return None;
    }
    let message = format!(
        "{} was read at {}, and nothing says what it is made of: it cannot be brought to 20 °C, and is only known to {}",
        words::subject(case, instance),
        words::celsius(temperature),
        words::known(&measured.estimate()?, reading.unit)
    );
    Some(
        Finding::new("reading.warm", Severity::Doubt, reading.figure_span, message)
            .label("too warm or too cold to be compared")
            .help("let it come to 20 °C and read it again; or say the material: `… at 50 C, aluminium`, or `material aluminium` below the feature in the manual"),
    )
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "tool.coarse",
        severity: "doubt",
        says: "What a reading was taken with leaves open more than a quarter of its limit.",
        why: "What the tool is good for, either way, is held against the width of the limit (of one that only ends above, from 0); for blades it is half of \
              what they leave open. Ten times as fine is good, four times the least. What a tool is good for is taken from its line; where that says nothing, \
              from a table of what such tools are honestly good for in a small shop.",
        source: "common practice, no source (4:1)",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.00 to 24.06 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.03 mm by calliper\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.00 to 24.06 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.03 mm by mic\n",
        },
    },
    Rule {
        code: "tool.digits",
        severity: "doubt",
        says: "A figure has more digits than the tool it was read with.",
        why: "Half a division may be read by eye; a thousandth off a scale of hundredths cannot be. The figure was read with something else, worked out, or its last \
              digit is invented. Where the tool does not say what it reads to, the finest of its kind is taken.",
        source: "arithmetic; the finest of a kind is common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.00 to 24.60 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.034 mm by calliper\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature pin diameter\n  build 24.00 to 24.60 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\npin diameter = 24.034 mm by mic\n",
        },
    },
    Rule {
        code: "reading.warm",
        severity: "doubt",
        says: "A length was read more than 5 °C from 20 °C, and nothing says what the part is made of.",
        why: "All lengths are meant at 20 °C. A 54 mm bore in aluminium is 0.037 mm larger at 50 °C, which is as much as its whole clearance. With the material \
              known the reading is brought to 20 °C; without it, it proves nothing as fine as that.",
        source: "ISO 1 (reference temperature 20 °C); the 5 °C are common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature bore\n  build 54.00 to 54.06 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nbore = 54.050 mm by bore gauge at 50 C\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature bore\n  build 54.00 to 54.06 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nbore = 54.050 mm by bore gauge at 50 C, aluminium\n",
        },
    },
];
