//! Derived features as they stood: before the work of the job, whenever the meter was read, and at its end.

use super::{Trace, Tracer, in_service};
use crate::calc::Worked;
use crate::judge::finals::{At, to_work, worked_at};
use crate::model::job::{Instance, Word};
use crate::syntax::Span;
use crate::uncertainty::Estimate;

/// Every derived feature that judges anything.
pub(super) fn traces(tracer: &Tracer<'_, '_>) -> Vec<Trace> {
    let case = tracer.case;
    let cuts = cuts(tracer);
    let is_judged = |at: &At<'_>| {
        let feature = case.rules.book.features.get(at.0);
        feature.is_some_and(|f| !f.is_ahead && !f.is_lent && f.choice.is_none())
    };
    let wanted = to_work(case).into_iter().filter(is_judged);
    wanted.filter_map(|at| trace(tracer, at, &cuts)).collect()
}

/// The events before which derived features are worked out: where the work begins behind a stage of service, and where the meter was read; `None`, the
/// end, stands last.
fn cuts(tracer: &Tracer<'_, '_>) -> Vec<Option<usize>> {
    let case = tracer.case;
    let mut list: Vec<usize> = case.job.hours.iter().map(|meter| meter.event).collect();
    let mut was_service = false;
    for event in 0..case.job.events.len() {
        let is_service = case.stage(event).is_service();
        if was_service && !is_service {
            list.push(event);
        }
        was_service = is_service;
    }
    list.sort_unstable();
    list.dedup();
    list.retain(|event| *event > 0 && *event < case.job.events.len());
    list.into_iter().map(Some).chain([None]).collect()
}

/// What was worked out last.
struct Before {
    inputs: Vec<usize>,
    event: usize,
}

fn trace(tracer: &Tracer<'_, '_>, at: At<'_>, cuts: &[Option<usize>]) -> Option<Trace> {
    let case = tracer.case;
    let feature = case.rules.book.features.get(at.0)?;
    let own = itself(at);
    let mut points = Vec::new();
    let mut last: Option<Before> = None;
    for cut in cuts {
        let Some(Ok(worked)) = worked_at(case, at, *cut) else {
            continue;
        };
        let mut inputs = worked.inputs.clone();
        inputs.sort_unstable();
        inputs.dedup();
        let latest = case.latest_input(&worked);
        let is_known = last.as_ref().is_some_and(|before| before.inputs == inputs);
        let Some(latest) = latest.filter(|_| !is_known && holds(tracer, &worked, at, cut.unwrap_or(usize::MAX))) else {
            continue;
        };
        let Some(estimate) = Estimate::new(worked.best, worked.between, &worked.budget) else {
            continue;
        };
        let begins = match &last {
            Some(before) => since(tracer, before, &inputs, &own, latest.event),
            None => each(tracer, &inputs)
                .find_map(|(instance, event)| tracer.changes.before(instance, event))
                .or_else(|| tracer.changes.touched(&own, 0, latest.event)),
        };
        points.push(tracer.point(latest.event, latest.figure_span.start, estimate, &worked.budget, begins));
        last = Some(Before {
            inputs,
            event: latest.event,
        });
    }
    let last = last?;
    let ends = each(tracer, &last.inputs)
        .find_map(|(instance, event)| tracer.changes.after(instance, event))
        .or_else(|| tracer.changes.after(&own, last.event));
    Some(Trace {
        feature: feature.name.name.clone(),
        part: at.1.map(str::to_owned),
        place: at.2.map(str::to_owned),
        is_derived: true,
        unit: feature.shown_in(),
        limit: feature.limit_at(&in_service()).cloned(),
        points,
        ends,
    })
}

/// The feature at its part and place as if it had been read.
fn itself((id, part, place): At<'_>) -> Instance {
    let word = |key: &str| Word {
        key: key.to_owned(),
        span: Span::default(),
    };
    Instance {
        feature: Some(id),
        name: word(""),
        part: part.map(word),
        place: place.map(word),
        readings: Vec::new(),
    }
}

/// The readings a sum rests on, each with its instance and event.
fn each<'t>(tracer: &'t Tracer<'_, '_>, inputs: &'t [usize]) -> impl Iterator<Item = (&'t Instance, usize)> {
    inputs.iter().filter_map(|index| {
        let reading = tracer.case.job.readings.get(*index)?;
        Some((tracer.case.instance(reading)?, reading.event))
    })
}

/// Whether nothing that it rests on was disturbed before it was worked out.
fn holds(tracer: &Tracer<'_, '_>, worked: &Worked, (id, part, place): At<'_>, cut: usize) -> bool {
    let case = tracer.case;
    let is_fresh = |(instance, event): (&Instance, usize)| {
        let disturbed = |feature| case.first_disturbed(feature, instance, event.saturating_add(1), cut);
        instance.feature.and_then(disturbed).is_none()
    };
    let first = each(tracer, &worked.inputs).map(|(_, event)| event).max();
    let sum = first.and_then(|event| case.disturbed_sum(id, part, place, event));
    each(tracer, &worked.inputs).all(is_fresh) && sum.is_none_or(|event| event >= cut)
}

/// What began it anew since it was worked out before: in any of its inputs, or in itself.
fn since(tracer: &Tracer<'_, '_>, before: &Before, inputs: &[usize], own: &Instance, now: usize) -> Option<String> {
    let of_input = |(instance, event): (&Instance, usize)| {
        let same = each(tracer, &before.inputs).find(|(other, _)| std::ptr::eq(*other, instance));
        match same {
            Some((_, then)) if then == event => None,
            Some((_, then)) => tracer.changes.between(instance, then, event),
            None => tracer.changes.touched(instance, before.event.saturating_add(1), event),
        }
    };
    each(tracer, inputs)
        .find_map(of_input)
        .or_else(|| tracer.changes.between(own, before.event, now))
}
