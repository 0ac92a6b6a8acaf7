//! Parts that are to be alike: two pistons, two cylinders.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::metrology::{Measured, Which};
use crate::model::job::{Instance, Reading};
use crate::model::limit::Limit;
use crate::quantity::{Band, Verdict};
use crate::uncertainty::{Acceptance, Estimate, decide};

use super::shared::weight;

/// Compares parts that are to be alike: of each place the least and the greatest.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (id, feature) in case.rules.book.features.iter().enumerate() {
        let Some(limit) = &feature.alike else { continue };
        let rule = case.rules.book.acceptance(feature).unwrap_or(case.settings.decide);
        let mut places: Vec<(Option<&str>, Vec<Twin<'_>>)> = Vec::new();
        for number in case.by_feature.get(id).into_iter().flatten() {
            let Some(instance) = case.job.instances.get(*number) else {
                continue;
            };
            let is_stale = case.is_overtaken(*number);
            if instance.part.is_none() || case.is_left(instance) || is_stale {
                continue;
            }
            let Some((index, reading)) = case.latest(instance) else {
                continue;
            };
            let Some(measured) = case.measured(index, Which::Whole) else {
                continue;
            };
            let twin = Twin {
                instance,
                reading,
                measured,
            };
            let place = instance.place.as_ref().map(|p| p.key.as_str());
            match places.iter_mut().find(|(known, _)| *known == place) {
                Some((_, list)) => list.push(twin),
                None => places.push((place, vec![twin])),
            }
        }
        for (_, twins) in places {
            let least = twins.iter().min_by_key(|twin| twin.measured.best);
            let most = twins.iter().max_by_key(|twin| twin.measured.best);
            if let (Some(least), Some(most)) = (least, most)
                && twins.len() > 1
                && let Some(finding) = apart(case, least, most, limit, rule)
            {
                out.push(case.with_limit(finding, limit));
            }
        }
    }
}

/// A reading of one of several parts that are to be alike.
struct Twin<'a> {
    instance: &'a Instance,
    reading: &'a Reading,
    measured: Measured,
}

fn apart(case: &Case<'_>, least: &Twin<'_>, most: &Twin<'_>, limit: &Limit, rule: Acceptance) -> Option<Finding> {
    let difference = most.measured.bare().sub(least.measured.bare()).ok()?;
    let between = (!difference.is_exact()).then_some(difference);
    let best = most.measured.best.checked_sub(least.measured.best)?;
    let budget = most.measured.budget.clone().less(least.measured.budget.clone());
    let estimate = Estimate::new(best, between, &budget)?;
    // Twins differ by less than nothing as well as by more: only the size counts.
    let decision = decide(&estimate, &Band { lo: None, ..limit.band }, rule);
    let text = format!(
        "{} ({}) and {} ({})",
        words::subject(case, most.instance),
        words::figure(most.measured.best, most.reading.unit),
        part_of(case, least),
        words::figure(least.measured.best, least.reading.unit)
    );
    let unit = most.reading.unit;
    let later = if most.reading.event >= least.reading.event {
        most
    } else {
        least
    };
    let is_accepted = later.reading.reason().is_some();
    let within = words::difference(limit.band.hi?, Some(limit.unit));
    let (severity, message) = match decision.verdict {
        Verdict::Out => {
            let severity = weight::of_out(case, later.reading.event, limit, is_accepted);
            let message = format!(
                "{text} differ by {}; they are to be alike within {within}",
                words::difference(best, unit)
            );
            (severity, message)
        }
        _ if weight::needs_no_word(&decision, limit) => return None,
        verdict => {
            let severity = match verdict {
                Verdict::NotProven => weight::of_unproven(case, later.reading.event, limit, rule, is_accepted),
                _ => Severity::Doubt,
            };
            let known = words::known(&estimate, unit);
            (
                severity,
                format!("{text} differ by {known}, too close to call; they are to be alike within {within}"),
            )
        }
    };
    let other = if std::ptr::eq(later, most) { least } else { most };
    Some(
        Finding::new("pair.apart", severity, later.reading.figure_span, message)
            .label("not alike")
            .see(other.reading.figure_span, "the other one")
            .help("measure both again with the same tool; if it stands, pick, swap or machine the parts until they are alike"),
    )
}

/// The part's name alone.
fn part_of(case: &Case<'_>, twin: &Twin<'_>) -> String {
    twin.instance
        .part
        .as_ref()
        .map_or_else(String::new, |part| words::fold(part.span.text(case.text())))
}

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "pair.apart",
    severity: "fault; open for a machine that came in so; doubt for a rule of thumb, or where it is too close to call",
    says: "Parts that are to be alike differ by more than the manual allows.",
    why: "Two pistons of unequal weight shake a twin, two heads of unequal volume make it run unevenly. `alike within 1 g` below a feature compares its parts at \
              each place, the least with the greatest.",
    source: "the manual's own limit; it is named with the finding",
    fires: Example {
        manual: "manual m\nsource page 1\nfeature piston mass\n  unit g\n  alike within 1 g\n",
        log: "job x\nmanual m\n2026-03-14 goods in\npiston mass of cylinder 1 = 71.4 g\npiston mass of cylinder 2 = 74.6 g\n",
    },
    clean: Example {
        manual: "manual m\nsource page 1\nfeature piston mass\n  unit g\n  alike within 1 g\n",
        log: "job x\nmanual m\n2026-03-14 goods in\npiston mass of cylinder 1 = 71.4 g\npiston mass of cylinder 2 = 71.9 g\n",
    },
}];
