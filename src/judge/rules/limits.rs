//! Readings against their limits.

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::slip::{Slip, is_far_out, is_implausible};
use crate::judge::words;
use crate::metrology::Which;
use crate::model::job::{Instance, Point, Reading, ReadingKind};
use crate::model::limit::Limit;
use crate::quantity::{Band, Unit, Verdict, verdict};
use crate::uncertainty::{Decision, Estimate};

use super::shared::known::{corrected, known};
use super::shared::walk::latest_readings;
use super::shared::weight;
use super::{derived, instruments, slips};

/// Judges the latest reading of every feature at every part and place. A reading that was overtaken proves nothing either way, so it is left to
/// the evidence rules.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for (index, latest, instance) in latest_readings(case) {
        let Some(limit) = case.limit_of(latest) else { continue };
        if derived::judges_instead(case, instance, latest) {
            continue;
        }
        let Some((which, decision)) = case.decisions.get(index).copied().flatten() else {
            continue;
        };
        if weight::needs_no_word(&decision, limit) {
            continue;
        }
        // What was read warm cannot tell on which side of the limit it lies, and that is said instead.
        if decision.is_close && instruments::warm(case, index, latest, instance).is_some() {
            continue;
        }
        let judged = Judged {
            case,
            reading: latest,
            instance,
            limit,
            decision,
            which,
            estimate: case.estimate(index, which),
            index,
        };
        match decision.verdict {
            Verdict::Out => out.push(judged.outside()),
            Verdict::NotProven => out.push(judged.not_proven()),
            // A tool that is too coarse for the limit is said instead, with the figure.
            Verdict::In if decision.is_close && !case.coarse.contains(&index) => out.push(judged.close()),
            Verdict::In => {}
        }
    }
}

/// A reading with its limit and what was decided.
struct Judged<'c, 'a> {
    case: &'c Case<'a>,
    reading: &'c Reading,
    instance: &'c Instance,
    limit: &'c Limit,
    decision: Decision,
    which: Which,
    estimate: Option<Estimate>,
    index: usize,
}

impl Judged<'_, '_> {
    /// The figure that was judged: of a ring the worst, else the first.
    fn point(&self) -> Option<&Point> {
        match self.which {
            Which::Point(number) => self.reading.points.get(number),
            Which::Whole | Which::Swing => self
                .reading
                .points
                .iter()
                .find(|p| verdict(&p.band, &self.case.allowed(self.reading, self.limit)) == Verdict::Out)
                .or_else(|| self.reading.points.first()),
        }
    }

    fn name(&self) -> String {
        words::subject(self.case, self.instance)
    }

    /// What is known of the figure: `52.045 ± 0.012 mm`, and whether it was corrected.
    fn known(&self) -> String {
        match &self.estimate {
            Some(estimate) => known(self.case, self.index, self.which, estimate),
            None => words::reading(self.case, self.reading),
        }
    }

    fn bare(&self) -> Band {
        self.estimate
            .as_ref()
            .map(Estimate::bare)
            .or_else(|| self.reading.band())
            .unwrap_or(Band::at_least(rust_decimal::Decimal::ZERO))
    }

    fn likely(&self) -> String {
        words::likely("; ", &self.decision)
    }

    /// What is held against the limit: of a run-out its size, to whichever side it is.
    fn size(&self) -> Band {
        let bare = self.bare();
        if self.case.allowed(self.reading, self.limit) == self.limit.band {
            bare
        } else {
            bare.abs().unwrap_or(bare)
        }
    }

    /// The figure that a slip explains, where it lies far out.
    fn slip(&self) -> Option<Finding> {
        let point = self.point()?;
        let is_figure = matches!(
            self.reading.kind,
            ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring | ReadingKind::PlusMinus
        );
        // A machine may well come in worn by more than its limit is wide.
        let came_in = self.case.stage(self.reading.event).is_service();
        let is_odd = if came_in {
            is_far_out(point.best, &self.limit.band)
        } else {
            is_implausible(point.best, &self.limit.band)
        };
        if !is_figure || !is_odd {
            return None;
        }
        let mut meant = slips::meant(self.case, self.reading, self.instance, point, |figure| {
            self.limit.band.contains(figure)
        });
        // One digit can be made into another almost anywhere: by a limit alone that is only claimed of what lies very far out.
        if !is_far_out(point.best, &self.limit.band) {
            meant.retain(|repair| repair.slip != Slip::Digit);
        }
        if meant.is_empty() {
            return None;
        }
        let why = format!("{} is far out of its limit of {}", self.name(), self.limit.words());
        Some(slips::finding(
            self.case,
            self.reading,
            self.instance,
            point,
            &meant,
            &why,
        ))
    }

    /// The slip that the siblings show.
    fn stands_apart(&self) -> Option<Finding> {
        let slipped = self.case.slipped.get(&self.index)?;
        let finding = slips::apart_finding(self.case, self.reading, self.instance, slipped);
        Some(self.case.with_limit(finding, self.limit))
    }

    fn outside(&self) -> Finding {
        let (case, reading, limit) = (self.case, self.reading, self.limit);
        if let Some(finding) = self.stands_apart() {
            return finding;
        }
        if let Some(finding) = self.slip() {
            return case.with_limit(finding, limit);
        }
        let severity = weight::of_out(case, reading.event, limit, reading.reason().is_some());
        let reason = reading.reason();
        let what = if limit.is_advisory() && reason.is_none() {
            format!("rule of thumb, {}:", limit.name())
        } else {
            limit.name()
        };
        let mut message = format!(
            "{} is {}{}, {} ({what} {})",
            self.name(),
            if self.which == Which::Swing {
                format!(
                    "{}, a swing of {}",
                    words::reading(case, reading),
                    words::band(&self.bare(), reading.unit)
                )
            } else if corrected(self.case, self.index, self.which).is_empty() {
                words::reading(case, reading)
            } else {
                words::band(&self.bare(), reading.unit)
            },
            corrected(self.case, self.index, self.which),
            how_far(&self.size(), &limit.band, reading.unit.unwrap_or(limit.unit)),
            limit.words()
        );
        if self.decision.is_close {
            message.push_str(&format!(
                "; but the limit lies inside its uncertainty, {}{}",
                self.known(),
                self.likely()
            ));
        }
        if let Some(reason) = reason {
            message.push_str(&format!("; accepted {}", words::fold(reason.span.text(case.text()))));
        }
        let help = if reason.is_some() {
            "it stays in the record as out of limit, with the reason; whoever signs for the machine must know of it"
        } else if severity == Severity::Open {
            "decide what to do about it, and read it again when it is done; this reading cannot close the job"
        } else if limit.is_advisory() {
            "this limit is a rule of thumb: look for the machine's own figure, and put it in the workshop's manual"
        } else {
            "read it again to be sure; if it stands, put it right and write the new reading on a new line; if it is accepted as it is, add `fix …, because …`"
        };
        let label = if reading.points.len() > 1 {
            self.point().map(|p| p.span)
        } else {
            None
        };
        let finding = Finding::new("limit.out", severity, label.unwrap_or(reading.figure_span), message)
            .label("out of limit")
            .help(help);
        case.with_limit(finding, limit)
    }

    fn not_proven(&self) -> Finding {
        let (case, reading, limit) = (self.case, self.reading, self.limit);
        if let Some(finding) = self.stands_apart() {
            return finding;
        }
        let help = match reading.kind {
            ReadingKind::Blades => "use blades with a finer step, so that both lie on one side of the limit".to_owned(),
            ReadingKind::OneBlade => "try the next blade too, and write both".to_owned(),
            ReadingKind::Range => "measure it closer, and write what was read".to_owned(),
            _ => self.finer(),
        };
        let is_uncertain = self.estimate.as_ref().is_some_and(|estimate| estimate.combined.u > 0.0);
        let figure = if is_uncertain {
            self.known()
        } else {
            words::reading(case, reading)
        };
        let message = format!(
            "{} is not proven: {figure} does not lie wholly within the {}, {}{}",
            self.name(),
            limit.name(),
            limit.words(),
            self.likely()
        );
        let rule = case.acceptance(self.instance);
        let severity = weight::of_unproven(case, reading.event, limit, rule, reading.reason().is_some());
        let finding = Finding::new("limit.not-proven", severity, reading.figure_span, message)
            .label("the limit lies inside this")
            .help(help);
        case.with_limit(finding, limit)
    }

    /// In by plain acceptance, but the limit lies inside the uncertainty.
    fn close(&self) -> Finding {
        if let Some(finding) = self.stands_apart() {
            return finding;
        }
        let message = format!(
            "{} is in, but too close to call: {} reaches over the {}, {}{}",
            self.name(),
            self.known(),
            self.limit.name(),
            self.limit.words(),
            self.likely()
        );
        let span = match self.which {
            Which::Point(_) => self.point().map_or(self.reading.figure_span, |p| p.span),
            Which::Whole | Which::Swing => self.reading.figure_span,
        };
        let finding = Finding::new("limit.close", Severity::Doubt, span, message)
            .label("the limit lies inside its uncertainty")
            .help(self.finer());
        self.case.with_limit(finding, self.limit)
    }

    /// What to measure with instead.
    fn finer(&self) -> String {
        match instruments::advice(self.case, self.reading, self.instance, self.limit) {
            Some(tool) => format!("measure it again with something finer, such as {tool}"),
            None => {
                "measure it again with a finer tool; this one cannot tell on which side of the limit it lies".to_owned()
            }
        }
    }
}

/// `0.15 mm over`, `at least 0.02 mm under`.
pub(super) fn how_far(band: &Band, allowed: &Band, unit: &'static Unit) -> String {
    let unit = Some(unit);
    let exact = band.is_exact();
    let over = allowed
        .hi
        .zip(band.lo)
        .and_then(|(limit, lo)| lo.checked_sub(limit))
        .filter(|d| d.is_sign_positive() && !d.is_zero());
    let under = allowed
        .lo
        .zip(band.hi)
        .and_then(|(limit, hi)| limit.checked_sub(hi))
        .filter(|d| !d.is_sign_negative());
    match (over, under) {
        (Some(far), _) if exact => format!("{} over", words::difference(far, unit)),
        (Some(far), _) => format!("at least {} over", words::difference(far, unit)),
        (None, Some(far)) if far.is_zero() => "under".to_owned(),
        (None, Some(far)) if exact => format!("{} under", words::difference(far, unit)),
        (None, Some(far)) => format!("at least {} under", words::difference(far, unit)),
        _ => "partly out".to_owned(),
    }
}

const MANUAL: &str = "manual m\nsource page 1\nfeature side play\n  build 0.35 to 0.50 mm\n  service up to 0.60 mm\nprocedure p\n  step ease washers  disturbs side play; optional\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "limit.out",
        severity: "fault; open for a machine that came in worn; doubt for a rule of thumb, or accepted with a reason",
        says: "The latest reading of a feature lies wholly outside its limit.",
        why: "The limit of the stage is used: build limits for new work, service limits for what came in. An earlier reading that was out and has been \
              read again is history and is not reported.",
        source: "the manual's own limit; it is named with the finding",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.55, no-go 0.60 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.55, no-go 0.60 mm\ndid ease washers\nside play = go 0.40, no-go 0.45 mm\n",
        },
    },
    Rule {
        code: "limit.not-proven",
        severity: "doubt; where a manual with `decide guarded` wants it proven, as much as one that is out",
        says: "The limit lies inside what the reading leaves open, so the reading proves neither in nor out.",
        why: "A blade that goes at 0.70 and one that does not at 0.80 leave everything between them open. With a limit of 0.70 the gap is at best exactly at it. \
              Measure again with something finer.",
        source: "ISO 14253-1: a measurement whose uncertainty holds the limit proves neither conformity nor nonconformity",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.48, no-go 0.53 mm\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\n2026-03-14 build\nside play = go 0.45, no-go 0.48 mm\n",
        },
    },
    Rule {
        code: "limit.close",
        severity: "doubt",
        says: "A reading is in by plain acceptance, but its uncertainty reaches over the limit: it is too close to call.",
        why: "The best value decides whether a figure is accepted, unless the manual or the repository says `decide guarded`. Where the expanded uncertainty \
              (95 %) reaches over the limit, the true value may well lie outside. The probability that it lies in is given where there is a distribution. \
              `gudgeon why FILE:LINE` shows where the uncertainty comes from.",
        source: "JCGM 106:2012, 8.2 (simple acceptance); ISO 14253-1 (zone of uncertainty)",
        fires: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool dial: dial indicator, good to 0.01 mm\n2026-03-14 build\nside play = 0.495 mm by dial\n",
        },
        clean: Example {
            manual: MANUAL,
            log: "job x\nmanual m\ntool dial: dial indicator, good to 0.01 mm\n2026-03-14 build\nside play = 0.480 mm by dial\n",
        },
    },
];
