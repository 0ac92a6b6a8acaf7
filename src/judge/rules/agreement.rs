//! Two ways to the same figure must agree: the gape of the webs by their widths and by the run-out.

use crate::calc::Worked;
use crate::judge::case::Case;
use crate::judge::finals::Final;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::names::named;
use crate::uncertainty::estimate::decimal;

/// Compares each derived feature with the one its manual says it agrees with.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for figure in &case.finals {
        let tie = figure.feature.agrees_with.as_ref();
        let other = tie.and_then(|tie| case.rules.book.feature(&tie.to.key));
        let other = other.and_then(|id| {
            let mut finals = case.finals.iter();
            finals.find(|other| other.id == id && other.part == figure.part && other.place == figure.place)
        });
        if let Some(other) = other {
            out.extend(compare(case, figure, other));
        }
    }
}

fn compare(case: &Case<'_>, figure: &Final<'_>, other: &Final<'_>) -> Option<Finding> {
    let (Ok(one), Ok(two)) = (&figure.result, &other.result) else {
        return None;
    };
    let is_stale = |worked: &Worked| {
        let readings = worked.inputs.iter().filter_map(|index| case.job.readings.get(*index));
        readings.into_iter().any(|reading| case.is_overtaken(reading.instance))
    };
    if is_stale(one) || is_stale(two) {
        return None;
    }
    let room = decimal(one.budget.clone().less(two.budget.clone()).combined().expanded())?;
    let wide = one.bare().widen(room)?;
    if !wide.is_apart_from(two.bare()) {
        return None;
    }
    let unit = figure.feature.shown_in();
    let shown = |figure: &Final<'_>| {
        let name = named(&figure.feature.name.name, figure.part, figure.place);
        figure
            .known()
            .map(|known| format!("{name} {}", words::known(&known.estimate, unit)))
    };
    let latest = case.latest_input(one)?;
    let message = format!("{} and {} contradict each other", shown(figure)?, shown(other)?);
    let mut finding = Finding::new("calc.contradicts", Severity::Doubt, latest.figure_span, message)
        .label("these readings tell one story")
        .help("one of the readings is wrong, or an angle is counted the other way round: read both again before anything is struck or wedged");
    if let Some(reading) = case
        .latest_input(two)
        .filter(|reading| reading.figure_span != latest.figure_span)
    {
        finding = finding.see(reading.figure_span, "and these another");
    }
    Some(finding.see_in(
        case.rules.book.source(figure.feature.manual),
        figure.feature.name.span,
        "the two must agree",
    ))
}

const MANUAL: &str = "manual m\nsource page 1\nunits mm\nfeature web width\n  unit mm\nfeature run-out at left, right\n  unit mm\nfeature crank throw\n  unit mm\n\
    feature web diameter\n  unit mm\n\
    calc gape by run-out = arc length(web spread(run-out at left, high(run-out at left), run-out at right, high(run-out at right), \
    throw = crank throw, left support = support distance(run-out at left), right support = support distance(run-out at right), \
    left dial = dial distance(run-out at left), right dial = dial distance(run-out at right)), radius = web diameter)\n  agrees with gape by widths\n\
    calc gape by widths = at angle(web width, 180°) - at angle(web width, 0°)\n";

/// What these findings mean.
pub const RULES: &[Rule] = &[Rule {
    code: "calc.contradicts",
    severity: "doubt",
    says: "Two derived figures that must agree contradict each other.",
    why: "A crank whose webs gape opposite the pin is wider there, and its ends read high on the pin's line. Where the ring of widths says that the webs are \
          parallel and the run-out says that they gape, one of them was misread, and the wrong correction would be made. The uncertainty of both is allowed.",
    source: "geometry",
    fires: Example {
        manual: MANUAL,
        log: "job x\nmanual m\n2026-03-14 truing\ncrank throw = 27 mm\nweb diameter = 100 mm\nheld on centres, supports 150 mm apart, dials 40 mm inboard\n\
              web width = 54.00 54.00 54.01 54.00 at 0 90 180 270 mm\nrun-out at left = 0.07 mm high at 0°\nrun-out at right = 0.07 mm high at 0°\n",
    },
    clean: Example {
        manual: MANUAL,
        log: "job x\nmanual m\n2026-03-14 truing\ncrank throw = 27 mm\nweb diameter = 100 mm\nheld on centres, supports 150 mm apart, dials 40 mm inboard\n\
              web width = 54.16 54.08 53.99 54.07 at 0 90 180 270 mm\nrun-out at left = 0.07 mm high at 0°\nrun-out at right = 0.07 mm high at 0°\n",
    },
}];
