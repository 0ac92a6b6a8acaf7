//! Readings as evidence: no figure, one blade, blades swapped, not sure, datum not said.

use rust_decimal::Decimal;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{are_exchanged, is_implausible};
use crate::judge::words;
use crate::model::job::{Instance, Reading, ReadingKind};
use crate::model::names::says;
use crate::quantity::{Band, Verdict, number};

/// Checks every reading, and what only the latest must say.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for reading in &case.job.readings {
        let Some(instance) = case.instance(reading) else {
            continue;
        };
        if reading.points.is_empty() && reading.kind == ReadingKind::NoFigure {
            out.push(no_figure(case, reading, instance));
        }
        if reading.kind == ReadingKind::Blades && blades_swapped(reading) {
            out.push(swapped(case, reading, instance));
        }
    }
    for (number, instance) in case.job.instances.iter().enumerate() {
        let Some((_, latest)) = case.latest(instance) else {
            continue;
        };
        if case.is_left(instance) {
            continue;
        }
        let is_stale = case.is_overtaken(number);
        if latest.unsure && !is_stale {
            out.push(unsure(case, latest, instance));
        }
        if !is_stale && leaves_a_side_open(case, latest) {
            out.push(one_blade(case, latest, instance));
        }
        unsaid(case, latest, instance, out);
    }
}

fn no_figure(case: &Case<'_>, reading: &Reading, instance: &Instance) -> Finding {
    let name = words::subject(case, instance);
    let written = words::fold(reading.figure_span.text(case.text()));
    let message = if reading.figure_span == reading.name_span {
        format!("{name}: no figure stands behind the `=`")
    } else {
        format!("{name}: `{written}` is no figure, so nothing was measured")
    };
    Finding::new("reading.no-figure", Severity::Fault, reading.figure_span, message)
        .label("a figure belongs here")
        .help("measure it and write the figure; if it was only felt, write it behind `note`")
}

/// The go blade is written first; the band is kept in order, so they were swapped if the written one is its upper end.
fn blades_swapped(reading: &Reading) -> bool {
    reading.points.first().is_some_and(|point| {
        let go = match reading.unit {
            Some(unit) => unit.to_base(point.written),
            None => Some(point.written),
        };
        reading.mended.is_none() && go.is_some() && go != point.band.lo
            || point.band.width().is_some_and(|w| w.is_zero())
    })
}

fn swapped(case: &Case<'_>, reading: &Reading, instance: &Instance) -> Finding {
    let message = format!(
        "{}: the blade that goes is not thinner than the one that does not ({})",
        words::subject(case, instance),
        words::reading(case, reading)
    );
    let finding = Finding::new("reading.blades-swapped", Severity::Fault, reading.figure_span, message)
        .label("go must be less than no-go")
        .help("the two blades are probably swapped: look at them again, and mend the line with `fix`");
    match exchanged(case, reading) {
        Some(line) => finding.fix(case.add_line_below(reading.name_span, &line)),
        None => finding,
    }
}

/// The line that exchanges two blades, if that makes sense of them.
fn exchanged(case: &Case<'_>, reading: &Reading) -> Option<String> {
    let unit = reading.unit;
    let point = reading.points.first()?;
    let bare = |base: Decimal| {
        let value = unit.map_or(Some(base), |unit| unit.from_base(base))?;
        // As many decimals as were written: 0.40 is not 0.4.
        Some(number::padded(number::rounded(value, 6), point.written.scale()))
    };
    let limit = case.limit_of(reading);
    let plausible = |band: &Band| {
        let is_odd = |end: Decimal| limit.is_some_and(|limit| is_implausible(end, &limit.band));
        !band.lo.is_some_and(is_odd) && !band.hi.is_some_and(is_odd)
    };
    let (lo, hi) = (point.band.lo?, point.band.hi?);
    let (thin, thick) = (bare(lo)?, bare(hi)?);
    are_exchanged(hi, lo, plausible).then(|| {
        format!(
            "fix {} go {thick}, no-go {thin} -> go {thin}, no-go {thick} {}, blades written the wrong way round",
            words::fold(reading.name_span.text(case.text())),
            unit.map_or("", |u| u.label())
        )
    })
}

fn unsure(case: &Case<'_>, reading: &Reading, instance: &Instance) -> Finding {
    let message = format!("{} is marked as not sure", words::subject(case, instance));
    Finding::new("reading.unsure", Severity::Doubt, reading.figure_span, message)
        .label("`?` or `~` stands here")
        .help("read it again and write the figure without the mark")
}

/// One blade alone, where the limit has an end on the other side: `goes 0.9` proves `at least 0.8`.
fn leaves_a_side_open(case: &Case<'_>, reading: &Reading) -> bool {
    let Some(limit) = case.limit_of(reading) else {
        return false;
    };
    match reading.kind {
        ReadingKind::OneBlade => case.verdict_of(reading) != Some(Verdict::In),
        ReadingKind::Single if case.is_by_blades(reading) => {
            let at_least = reading.best().zip(limit.band.lo).is_some_and(|(best, lo)| best >= lo);
            limit.band.hi.is_some() || !at_least
        }
        _ => false,
    }
}

fn one_blade(case: &Case<'_>, reading: &Reading, instance: &Instance) -> Finding {
    let message = format!(
        "{}: one blade alone ({}) says how wide the gap is on one side only",
        words::subject(case, instance),
        words::reading(case, reading)
    );
    Finding::new("reading.one-blade", Severity::Doubt, reading.figure_span, message)
        .label("which is the next blade, and does it go?")
        .help("try the next blade and write both: `go 0.20, no-go 0.25 mm`")
}

/// A reading that must say its datum, its support or its sign, and does not.
fn unsaid(case: &Case<'_>, reading: &Reading, instance: &Instance, out: &mut Vec<Finding>) {
    let Some(feature) = case.feature(instance) else { return };
    let said = |choice: &String| reading.said.iter().any(|said| says(&said.key, choice));
    if feature.say.is_empty() || feature.say.iter().any(said) {
        return;
    }
    let choices: Vec<String> = feature.say.iter().map(|c| format!("`{c}`")).collect();
    let message = format!(
        "{} does not say {}",
        words::subject(case, instance),
        choices.join(" or ")
    );
    let finding = Finding::new("reading.unsaid", Severity::Doubt, reading.name_span, message)
        .label("without it the figure can mean two things")
        .help(format!(
            "add `fix {}, {}` below; on the next one write it behind a comma, or once on a `held` line above",
            words::fold(reading.name_span.text(case.text())),
            feature.say.first().map_or("", String::as_str)
        ))
        .see_in(
            case.rules.book.source(feature.manual),
            feature.name.span,
            "the manual asks for it here",
        );
    out.push(finding);
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "reading.no-figure",
        severity: "fault",
        says: "A reading has words, or nothing, where its figure should be.",
        why: "\"Felt nice\" cannot be compared with a limit, and nobody can tell a year later what it meant.",
        source: "common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside play = felt nice\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.40, no-go 0.45 mm\n",
        },
    },
    Rule {
        code: "reading.blades-swapped",
        severity: "fault",
        says: "The blade that goes is as thick as, or thicker than, the one that does not.",
        why: "A gap takes every blade thinner than itself. If the thicker one goes, the two were swapped, or one was misread.",
        source: "arithmetic",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.45, no-go 0.40 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.40, no-go 0.45 mm\n",
        },
    },
    Rule {
        code: "reading.unsure",
        severity: "doubt",
        says: "The latest reading of a feature is marked `~` or `?`.",
        why: "Whoever wrote it was not sure. A job should not rest on it.",
        source: "common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature squish\n  build 0.9 to 1.1 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nsquish = ~1.0 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature squish\n  build 0.9 to 1.1 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nsquish = ~1.0 mm\nsquish = 1.02 mm\n",
        },
    },
    Rule {
        code: "reading.one-blade",
        severity: "doubt",
        says: "A gap was tried with one blade only.",
        why: "One blade that goes says the gap is at least so wide; only the next blade, which does not, says how wide it is at most.",
        source: "common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature ring gap\n  build 0.17 to 0.30 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nring gap = 0.20 mm by feelers\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature ring gap\n  build at least 0.17 mm\n",
            log: "job x\nmanual m\n2026-03-14 build\nring gap = go 0.20, no-go 0.25 mm\n",
        },
    },
    Rule {
        code: "reading.unsaid",
        severity: "doubt",
        says: "A reading does not say its datum, support or sign, though the manual asks for it.",
        why: "The same figure means different things from the deck or from the piston crown, on centres or on the main journals, thicker or thinner.",
        source: "common practice, no source",
        fires: Example {
            manual: "manual m\nsource page 1\nfeature exhaust port depth\n  build 28.0 to 29.0 mm\n  say from deck or from crown\n",
            log: "job x\nmanual m\n2026-03-14 build\nexhaust port depth = 28.4 mm\n",
        },
        clean: Example {
            manual: "manual m\nsource page 1\nfeature exhaust port depth\n  build 28.0 to 29.0 mm\n  say from deck or from crown\n",
            log: "job x\nmanual m\n2026-03-14 build\nexhaust port depth = 28.4 mm, from deck\n",
        },
    },
];
