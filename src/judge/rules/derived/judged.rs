//! A derived feature as it stands at the end, against its limit.

use std::collections::BTreeSet;

use rustc_hash::FxHashSet;

use crate::calc::{Reason, Worked};
use crate::judge::case::Case;
use crate::judge::choices::{chosen, parts_to_choose};
use crate::judge::finals::Final;
use crate::judge::finding::{Finding, Severity};
use crate::judge::rules::evidence::stale_sum;
use crate::judge::rules::limits::how_far;
use crate::judge::rules::shared::weight;
use crate::judge::slip::is_implausible;
use crate::judge::words;
use crate::model::job::Reading;
use crate::model::limit::Limit;
use crate::model::names::named;
use crate::quantity::Verdict;

use super::traced::{By, either, traced};
use super::unworked::{refused, unworkable};
use super::{rests_on, suspect_input};

/// Judges a derived feature as it stands at the end.
pub fn judge(case: &Case<'_>, figure: &Final<'_>, suspects: &mut FxHashSet<usize>, out: &mut Vec<Finding>) {
    let worked = match &figure.result {
        Ok(worked) => worked,
        Err(Reason::Refused(impossible)) => {
            let finding = refused(case, figure, impossible, suspects);
            // Several sums may rest on the one bad figure: it is told once.
            let is_told = |finding: &Finding| {
                let mut told = out.iter().filter(|other| other.code == finding.code);
                told.any(|other| other.span == finding.span && other.message.ends_with(&impossible.why))
            };
            out.extend(finding.filter(|finding| !is_told(finding)));
            return;
        }
        Err(reason) => {
            if let Some(finding) = unworkable(case, figure, reason) {
                out.push(finding);
            }
            return;
        }
    };
    let Some(limit) = figure.limit else { return };
    // What is only one of several to choose from is no fault yet.
    if is_on_offer(case, figure) || figure.feature.is_ahead {
        return;
    }
    // What rests on a stale reading proves nothing, and what rests on a slip only repeats it.
    // A ring has one input a point; each reading is asked once.
    let readings: BTreeSet<usize> = worked.inputs.iter().copied().collect();
    let is_stale = |index: &usize| {
        let reading = case.job.readings.get(*index);
        reading.is_some_and(|r| case.is_overtaken(r.instance))
    };
    if readings.iter().any(is_stale) || suspect_input(case, worked, suspects).is_some() {
        return;
    }
    let (Some(latest), Some(decision)) = (case.latest_input(worked), figure.decision) else {
        return;
    };
    if let Some(event) = case.disturbed_sum(figure.id, figure.part, figure.place, latest.event) {
        out.push(stale_sum(case, figure, worked, event));
        return;
    }
    if weight::needs_no_word(&decision, limit) {
        return;
    }
    if figure.feature.is_lent {
        out.extend(foreseen(case, figure, worked, limit, latest));
        return;
    }
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let span = latest.figure_span;
    let unit = figure.feature.shown_in();
    let traced = if decision.verdict == Verdict::Out
        && is_implausible(worked.best, &limit.band)
        && !case.came_in_worn(latest.event)
    {
        traced(case, worked, &limit.band, By::Limit)
    } else {
        Vec::new()
    };
    if let [traced] = traced.as_slice() {
        suspects.insert(traced.index);
        let why = format!(
            "{name} comes to {}, far out of its limit of {}",
            words::band(&worked.bare(), unit),
            limit.words()
        );
        out.push(case.with_limit(traced.finding(case, &why), limit));
        return;
    }
    let Some(known) = figure.known() else { return };
    let shown = words::known(&known.estimate, unit);
    let likely = words::likely("; ", &decision);
    let limits = format!("{}, {}", limit.name(), limit.words());
    let label = format!("{name}: {shown}");
    let finding = match decision.verdict {
        Verdict::Out => {
            let severity = weight::of_out(case, latest.event, limit, false);
            let mut message = format!(
                "{name} comes to {}, {} ({} {})",
                words::band(&worked.bare(), unit),
                how_far(&worked.bare(), &limit.band, unit.unwrap_or(limit.unit)),
                limit.name(),
                limit.words()
            );
            if decision.is_close {
                message.push_str(&format!("; but the limit lies inside its uncertainty, {shown}{likely}"));
            }
            Finding::new("limit.out", severity, span, message).help(format!(
                "{}it is worked out from the readings shown with it: check them, then change a part or machine one",
                either(case, &traced)
            ))
        }
        Verdict::NotProven => {
            let severity = weight::of_unproven(case, latest.event, limit, figure.acceptance(case), false);
            let message = format!(
                "{name} is not proven: it comes to {shown}, which does not lie wholly within the {limits}{likely}"
            );
            Finding::new("limit.not-proven", severity, span, message)
                .help("measure the parts it rests on again with a finer tool")
        }
        Verdict::In => {
            let message = format!(
                "{name} is in, but too close to call: it comes to {shown}, which reaches over the {limits}{likely}"
            );
            Finding::new("limit.close", Severity::Doubt, span, message)
                .help("measure the parts it rests on again with a finer tool")
        }
    }
    .label(label);
    out.push(case.with_limit(rests_on(case, finding, worked), limit));
}

/// What will come out of its limit by the parts at hand, before it can be measured: a doubt, and no more said once it was measured.
fn foreseen(case: &Case<'_>, figure: &Final<'_>, worked: &Worked, limit: &Limit, latest: &Reading) -> Option<Finding> {
    let tie = figure.feature.limits_of.as_ref()?;
    let tied = case.rules.book.feature(&tie.to.key)?;
    let mut measured = case
        .instances_at(tied, None, None)
        .filter_map(|instance| case.latest(instance));
    let is_measured = measured.any(|(_, reading)| reading.event > latest.event && !case.is_overtaken(reading.instance));
    if is_measured || figure.decision?.verdict != Verdict::Out {
        return None;
    }
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    let shown = words::known(&figure.known()?.estimate, figure.feature.shown_in());
    let message = format!(
        "{name} will come to {shown}, outside the {} of {} for {}",
        limit.name(),
        limit.words(),
        tie.to.name
    );
    let finding = Finding::new("ahead.out", Severity::Doubt, latest.figure_span, message)
        .label(format!("{name}: {shown}"))
        .help("look at the parts before they go together: another kit, another shim, or one of the readings is wrong; `gudgeon next` shows what there is to choose");
    Some(case.with_limit(rests_on(case, finding, worked), limit))
}

/// Whether a figure is that of one part among several, none of which was taken yet, or of one that another was taken for.
fn is_on_offer(case: &Case<'_>, figure: &Final<'_>) -> bool {
    let choice = figure.feature.choice.as_ref().filter(|choice| choice.stock.is_none());
    let Some((choice, part)) = choice.zip(figure.part) else {
        return false;
    };
    match chosen(case, choice) {
        Some(taken) => taken != part,
        None => parts_to_choose(case, choice).len() > 1,
    }
}
