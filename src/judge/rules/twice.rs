//! The same thing read twice, with nothing in between that moves it.

use rust_decimal::Decimal;

use crate::calc::is_claim;
use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::Slip;
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{EventKind, Instance, Reading, ReadingKind, SaidKind};
use crate::model::names::key;
use crate::quantity::Verdict;
use crate::syntax::ast::Statement;

use super::shared::known::known;
use super::shared::room::room;
use super::slips;

/// How many times its room a figure must be away before a slip is claimed.
const STANDS_OUT: i64 = 5;

/// Compares the latest two readings of each thing.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for instance in case.job.instances.iter().filter(|instance| !case.is_left(instance)) {
        compare(case, instance, out);
    }
}

/// The latest two readings of one thing, with nothing between them that moves it, further apart than their uncertainty.
fn compare(case: &Case<'_>, instance: &Instance, out: &mut Vec<Finding>) {
    let mut with_figures = instance
        .readings
        .iter()
        .rev()
        .filter_map(|index| case.job.readings.get(*index).map(|r| (*index, r)))
        .filter(|(_, reading)| !reading.points.is_empty());
    let (Some((later, second)), Some((earlier, first))) = (with_figures.next(), with_figures.next()) else {
        return;
    };
    let derived = instance.feature.is_some_and(|f| case.is_derived(f));
    if (derived && (is_claim(first) || is_claim(second)))
        || !is_same_way(first, second)
        || is_another(case, first, second)
        || moved_between(case, instance, first.event, second.event)
    {
        return;
    }
    let (Some(a), Some(b)) = (case.measured(earlier, Which::Whole), case.measured(later, Which::Whole)) else {
        return;
    };
    let (Some(p), Some(q)) = (first.points.first(), second.points.first()) else {
        return;
    };
    let Some(room) = room(&a, &b, [p.half_step, q.half_step]) else {
        return;
    };
    let Some(apart) = a.bare().gap(b.bare()).filter(|gap| *gap > room) else {
        return;
    };
    if is_spoken_of(case, instance, first.event, second.event) {
        return;
    }
    let name = words::subject(case, instance);
    let line = case.line_of(first.event);
    let near = |to: Decimal| move |figure: Decimal| figure.checked_sub(to).is_some_and(|d| d.abs() <= room);
    let is_figure = |reading: &Reading| reading.kind == ReadingKind::Single;
    let is_fine = |index: usize| case.verdict(index) == Some(Verdict::In);
    // Which of the two is wrong, the limits tell; where they do not, it is the one that came later.
    let first_is_wrong = is_fine(later) && !is_fine(earlier);
    let (wrong, wrong_point, right) = if first_is_wrong {
        (first, p, b.best)
    } else {
        (second, q, a.best)
    };
    // A slip stands out: where the two are nearly within their room, many a slip would fit.
    let stands_out = room
        .checked_mul(Decimal::from(STANDS_OUT))
        .is_some_and(|far| apart > far);
    let mut meant = if is_figure(first) && is_figure(second) {
        slips::meant(case, wrong, instance, wrong_point, near(right))
    } else {
        Vec::new()
    };
    if !stands_out {
        // Twice or half as much, to the digit, is a needle read for an eccentricity, however small.
        meant.retain(|repair| {
            let exact = repair
                .unit
                .map_or(Some(repair.figure), |unit| unit.to_base(repair.figure));
            let off = exact.and_then(|figure| figure.checked_sub(right)).map(|d| d.abs());
            repair.slip == Slip::Indicator && off.is_some_and(|off| off <= wrong_point.half_step)
        });
    }
    if !meant.is_empty() {
        let other = words::figure(right, wrong.unit);
        let why = if first_is_wrong {
            format!(
                "{name} is {other} on line {}, with nothing done to it in between",
                case.line_of(second.event)
            )
        } else {
            format!("{name} was {other} on line {line}, and nothing was done to it since")
        };
        let finding = slips::finding(case, wrong, instance, wrong_point, &meant, &why);
        let beside = if first_is_wrong { second } else { first };
        out.push(finding.see(beside.figure_span, "the other reading"));
        return;
    }
    let message = format!(
        "{name} is {} here and was {} on line {line}, with nothing done to it in between",
        compared(case, later, second),
        compared(case, earlier, first)
    );
    let target = words::fold(second.name_span.text(case.text()));
    out.push(
        Finding::new("reading.differs", Severity::Doubt, second.figure_span, message)
            .label("the two cannot both be right")
            .see(first.figure_span, "the other reading")
            .help(format!(
                "set the tool anew and read it again; if something was done to it, write that `did …` line in between, or behind the figure what is different (`, new shim`); if both stand, add `fix {target}, because …`"
            )),
    );
}

/// A reading as it was compared: as it was written, but where a correction makes another figure of it.
fn compared(case: &Case<'_>, index: usize, reading: &Reading) -> String {
    match case.estimate(index, Which::Whole).filter(|_| case.is_corrected(index)) {
        Some(estimate) => known(case, index, Which::Whole, &estimate),
        None => words::reading(case, reading),
    }
}

/// Whether two readings were taken in the same way and of the same thing: the same remarks, neither of them with a reason or not sure.
fn is_same_way(first: &Reading, second: &Reading) -> bool {
    let remarks = |reading: &Reading| {
        let mut list: Vec<String> = reading
            .said
            .iter()
            .filter(|said| matches!(said.kind, SaidKind::Tick | SaidKind::Amount(_)))
            .map(|said| said.key.clone())
            .collect();
        list.sort();
        list
    };
    let plain = |reading: &Reading| !reading.unsure && reading.reason().is_none() && reading.kind != ReadingKind::Ring;
    first.event != second.event && plain(first) && plain(second) && remarks(first) == remarks(second)
}

/// Whether the stage explains a difference: what came in worn was put right, what is goods in or machined is another part or a changed one, and
/// what has run has settled.
fn is_another(case: &Case<'_>, first: &Reading, second: &Reading) -> bool {
    let (before, now) = (case.stage(first.event), case.stage(second.event));
    before != now
        && (before.is_service() || now.is_service() || matches!(now.key.as_str(), "goods in" | "machining" | "test"))
}

/// Whether something between two events speaks of this very thing: a step with its name, or a note that names it or its part.
fn is_spoken_of(case: &Case<'_>, instance: &Instance, from: usize, to: usize) -> bool {
    let feature = case.key_of(instance);
    let named: Vec<&str> = std::iter::once(feature)
        .chain(instance.part.as_ref().map(|part| part.key.as_str()))
        .collect();
    let words: Vec<&str> = named.iter().flat_map(|name| telling(name)).collect();
    let speaks = |text: &str| text.split(' ').map(bare).any(|word| words.contains(&word));
    let steps = case.job.events.get(from.saturating_add(1)..to).unwrap_or(&[]);
    let by_step = steps.iter().any(|event| match &event.kind {
        EventKind::Did(done) | EventKind::Undid(done) => speaks(&done.name.key),
        _ => false,
    });
    let (start, end) = (case.event_span(from).start, case.event_span(to).start);
    let entries = &case.tree.entries;
    let place = |offset: u32| entries.partition_point(|entry| entry.span.start < offset);
    let between = entries.get(place(start.saturating_add(1))..place(end)).unwrap_or(&[]);
    by_step
        || between.iter().any(|entry| match &entry.statement {
            Statement::Note(text) => speaks(&key(text.text(case.text()))),
            _ => false,
        })
}

/// A word without what stands round it and without the `s` of more than one, so that `swap shims` speaks of a `side shim`.
fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| !c.is_alphanumeric()).trim_end_matches('s')
}

/// The words of a name that tell it from others. Small ones say nothing.
fn telling(name: &str) -> impl Iterator<Item = &str> {
    const SMALL: &[&str] = &[
        "left", "right", "side", "top", "bottom", "middle", "the", "and", "out", "end", "one", "two",
    ];
    name.split(' ')
        .map(bare)
        .filter(|word| word.chars().nth(2).is_some() && !SMALL.contains(word))
}

/// Whether anything between two events may have moved a thing, or put another in its place: a step that disturbs it, one that nobody knows, one
/// that fitted a part, or a part that came.
fn moved_between(case: &Case<'_>, instance: &Instance, from: usize, to: usize) -> bool {
    let foreign = case.moves.foreign(instance.feature.is_some(), from, to);
    foreign
        || instance
            .feature
            .is_some_and(|feature| case.disturbed_between(feature, instance, from, to))
}

const BENCH: &str = "manual m\nsource page 1\nfeature pin length\n  unit mm\nfeature web width\n  unit mm\nprocedure p\n  step press  disturbs web width; optional\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "reading.differs",
    severity: "doubt",
    says: "The same thing was read twice, nothing between the two moves it, and they are further apart than their uncertainty.",
    why: "A step that disturbs the feature, a step that no manual knows, a part that came or was fitted, or a different remark behind the reading would \
              explain it. Nothing of the kind is written, so one of the two is wrong. A quarter more than the uncertainty of the difference (95 %), and two units of \
              the last digit, are allowed.",
    source: "JCGM 100:2008, 5.1 (uncertainty of a difference); the room is common practice, no source",
    fires: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm by mic\nweb width = 52.11 mm by mic\n",
    },
    clean: Example {
        manual: BENCH,
        log: "job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm by mic\ndid press\nweb width = 52.11 mm by mic\n",
    },
}];
