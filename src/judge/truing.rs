//! Truing a built-up crank: from run-out with its angles to where to strike, what to wedge, and what no blow cures.

use crate::calc::sum::Node;
use crate::calc::{Reason, Worked};
use crate::model::book::FeatureId;
use crate::model::job::Reading;
use crate::quantity::Verdict;
use crate::syntax::Span;
use crate::trade::crank::{self, Fault, RunOut, Setup};

use super::case::Case;
use super::finals::Final;

/// What a fault does to the run-out must be more than this share of its expanded uncertainty to be acted on.
const SURE: f64 = 1.0;

/// What is said of the crank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What is to be done first, in one sentence; or what is missing.
    pub what: String,
    /// What the readings say, what else is to be done and what is not to be cured, a sentence each.
    pub lines: Vec<String>,
    /// The line of the log that it rests on.
    pub span: Option<Span>,
}

/// Advice for each crank whose run-out is out of its limit, or not proven in, and was not overtaken by a step.
pub fn advice(case: &Case<'_>) -> Vec<Advice> {
    let twists = case.finals.iter().filter(|figure| is_twist(case, figure.id));
    twists.filter_map(|figure| of_crank(case, figure)).collect()
}

/// Whether a derived feature is the twist of a crank.
fn is_twist(case: &Case<'_>, id: FeatureId) -> bool {
    let sum = case.rules.sums.get(id).and_then(Option::as_ref);
    matches!(sum.map(|sum| &sum.node), Some(Node::Trade(called, _)) if called.function.name == crank::TWIST)
}

/// The latest readings of the run-out at the two ends, in the order of the function's parameters.
fn run_outs<'a>(case: &Case<'a>, figure: &Final<'_>) -> Vec<(usize, &'a Reading)> {
    let sum = case.rules.sums.get(figure.id).and_then(Option::as_ref);
    let Some(Node::Trade(_, arguments)) = sum.map(|sum| &sum.node) else {
        return Vec::new();
    };
    let mut list = Vec::new();
    for argument in [arguments.first(), arguments.get(2)].into_iter().flatten() {
        let Node::Read(read) = argument else { continue };
        let part = read.part.as_deref().or(figure.part);
        let instances = case.instances_at(read.feature, part, read.place.as_deref());
        list.extend(instances.filter_map(|instance| case.latest(instance)));
    }
    list
}

fn of_crank(case: &Case<'_>, figure: &Final<'_>) -> Option<Advice> {
    let readings = run_outs(case, figure);
    let is_stale = readings.iter().any(|(_, reading)| case.is_overtaken(reading.instance));
    let is_off = readings.iter().any(|(index, _)| {
        let decision = case.decisions.get(*index).and_then(Option::as_ref);
        decision.is_some_and(|(_, decision)| decision.verdict != Verdict::In)
    });
    if readings.is_empty() || is_stale || !is_off {
        return None;
    }
    let span = readings.last().map(|(_, reading)| reading.figure_span);
    match &figure.result {
        Ok(worked) => {
            let limits = readings.iter().filter_map(|(_, reading)| case.limit_of(reading)?.band.hi);
            told(case, worked, limits.min().map(crate::calc::formula::float), span)
        }
        Err(Reason::Missing(what)) => Some(Advice {
            what: "where to strike cannot be said yet".to_owned(),
            lines: vec![
                format!("missing: {what}"),
                "without the angle of the high point at both ends, and where supports and dials stand, twist cannot be told from pinch, nor one pinch from \
                 the other"
                    .to_owned(),
            ],
            span,
        }),
        Err(_) => None,
    }
}

/// One thing to put right, with how much of the run-out it makes.
struct Act {
    share: f64,
    words: String,
    why: String,
}

/// The crank as it was read.
struct Crank {
    setup: Setup,
    left: RunOut,
    right: RunOut,
    names: (String, String),
    fault: Fault,
    /// The greatest run-out that is allowed, mm.
    most: Option<f64>,
    /// Expanded uncertainties, in the units of the fault: rad, rad, rad, mm.
    doubt: Fault,
}

fn told(case: &Case<'_>, worked: &Worked, most: Option<f64>, span: Option<Span>) -> Option<Advice> {
    let crank = read(case, worked, most)?;
    let mut acts: Vec<Act> = [crank.twist(), crank.spread()].into_iter().flatten().collect();
    acts.sort_by(|a, b| b.share.total_cmp(&a.share));
    let mut lines = vec![crank.as_read()];
    let what = match acts.first() {
        Some(act) => act.words.clone(),
        None => {
            "the readings do not tell twist from pinch: read again, finer, or with the dials further from the supports"
                .to_owned()
        }
    };
    let mut acts = acts.into_iter();
    if let Some(first) = acts.next() {
        lines.push(first.why);
    }
    if let Some(second) = acts.next() {
        lines.push(format!("then: {}; {}", second.words, second.why));
    }
    lines.extend(crank.left_over());
    lines.push(
        "the crank off its supports, in the hand or on wood; copper or lead, never steel; eye protection. Then hold it as before and read both ends and the \
         width again: each blow moves all of them. The engine's workshop manual comes first"
            .to_owned(),
    );
    Some(Advice { what, lines, span })
}

fn read(case: &Case<'_>, worked: &Worked, most: Option<f64>) -> Option<Crank> {
    let call = worked.call()?;
    let (setup, left, right) = crank::given(&call.figures)?;
    let fault = setup.split(left, right).ok()?;
    let side = |place: usize, plain: &str| {
        let reading = call
            .leaves
            .get(place)
            .copied()
            .flatten()
            .and_then(|leaf| case.job.readings.get(leaf.reading?));
        let place = reading.and_then(|reading| case.instance(reading)?.place.as_ref());
        place.map_or_else(|| plain.to_owned(), |place| place.key.clone())
    };
    let doubt = |name: &str| {
        let estimate = worked
            .also(name)
            .and_then(|worked| worked.known())
            .map(|known| known.estimate);
        let side = estimate.map(|estimate| estimate.below.max(estimate.above));
        side.map_or(0.0, crate::calc::formula::float)
    };
    Some(Crank {
        setup,
        left,
        right,
        names: (side(0, "the left"), side(2, "the right")),
        fault,
        most,
        doubt: Fault {
            twist: doubt(crank::TWIST).to_radians(),
            spread: doubt("web spread").to_radians(),
            kink: doubt("crank kink").to_radians(),
            unequal: doubt("unequal throw"),
        },
    })
}

/// `0.05 ± 0.02 mm`
fn measure(figure: f64, doubt: f64) -> String {
    if doubt > 0.0 {
        format!("{:.3} ± {:.3} mm", figure.abs(), doubt)
    } else {
        format!("{:.3} mm", figure.abs())
    }
}

/// An angle from 0 to 359°.
fn turned(angle: f64) -> String {
    format!("{:.0}°", angle.rem_euclid(360.0))
}

impl Crank {
    fn as_read(&self) -> String {
        let end =
            |run_out: RunOut, name: &str| format!("{:.3} mm high at {} at {name}", run_out.swing, turned(run_out.high));
        format!(
            "read {} and {}; angles from the pin",
            end(self.left, &self.names.0),
            end(self.right, &self.names.1)
        )
    }

    /// The larger of the two swings that one fault alone makes.
    fn swing(&self, fault: Fault) -> f64 {
        let (left, right) = self.setup.run_out(fault);
        left.swing.max(right.swing)
    }

    const NONE: Fault = Fault {
        twist: 0.0,
        spread: 0.0,
        kink: 0.0,
        unequal: 0.0,
    };

    /// Twist: the web that stands ahead is struck back, on its rim, a quarter turn from the pin.
    fn twist(&self) -> Option<Act> {
        let twist = self.fault.twist;
        if twist.abs() <= SURE * self.doubt.twist {
            return None;
        }
        let across = |run_out: RunOut| (run_out.swing * run_out.high.to_radians().sin()).abs();
        // The right web stands off towards the sign of the twist, the left one against it; the one that shows more is struck.
        let is_right = across(self.right) >= across(self.left);
        let (web, other) = if is_right {
            (&self.names.1, &self.names.0)
        } else {
            (&self.names.0, &self.names.1)
        };
        let towards = if (twist > 0.0) == is_right { 90.0 } else { 270.0 };
        let offset = self.setup.throw * twist;
        let swing = self.swing(Fault { twist, ..Self::NONE });
        Some(Act {
            share: swing,
            words: format!("strike the rim of the web at {web} at {}", turned(towards)),
            why: format!(
                "twist: the two ends stand {} apart across the throw, which makes {swing:.3} mm of run-out; the web at {other} struck at {} does the same",
                measure(offset, self.setup.throw * self.doubt.twist),
                turned(towards + 180.0)
            ),
        })
    }

    /// Spread or pinch: opened or closed opposite the pin.
    fn spread(&self) -> Option<Act> {
        let spread = self.fault.spread;
        if spread.abs() <= SURE * self.doubt.spread {
            return None;
        }
        let swing = self.swing(Fault { spread, ..Self::NONE });
        let (words, state) = if spread > 0.0 {
            (
                "squeeze the webs together opposite the pin, at 180°",
                "the webs gape opposite the pin",
            )
        } else {
            (
                "drive a wedge between the webs opposite the pin, at 180°",
                "the webs are pinched opposite the pin",
            )
        };
        Some(Act {
            share: swing,
            words: words.to_owned(),
            why: format!(
                "{state}, by {} on 100 mm of web, which makes {swing:.3} mm of run-out",
                measure(spread * 100.0, self.doubt.spread * 100.0)
            ),
        })
    }

    /// What is left once twist and spread are gone, where it is known at all, and whether the limit lets it pass.
    fn left_over(&self) -> Option<String> {
        let fault = Fault {
            kink: self.fault.kink,
            unequal: self.fault.unequal,
            ..Self::NONE
        };
        let is_sure = fault.kink.abs() > SURE * self.doubt.kink || fault.unequal.abs() > SURE * self.doubt.unequal;
        let (left, right) = self.setup.run_out(fault);
        let swing = left.swing.max(right.swing);
        let most = self.most;
        let beyond = most.is_some_and(|most| swing > most);
        let figures = format!(
            "left over: {:.3} mm at {}, {:.3} mm at {}",
            left.swing, self.names.0, right.swing, self.names.1
        );
        match (is_sure, beyond) {
            (false, false) => None,
            (false, true) => Some(format!(
                "{figures}, but the readings are too coarse to be sure of it: read again before anything else is blamed"
            )),
            (true, false) => Some(format!(
                "{figures}, which no blow cures (webs that are no pair, a pin askew, a bent shaft); the limit lets it pass"
            )),
            (true, true) => Some(format!(
                "{figures}, more than the limit, and no blow cures it: webs that are no pair, a pin askew, or a bent shaft. Do not strike harder: part the crank \
                 and look"
            )),
        }
    }
}
