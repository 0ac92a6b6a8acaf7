//! What is looked at before it is done: choices, ways to go, where to strike a crank, and the figures that a step is to be expected with.

use rust_decimal::Decimal;

use super::case::Case;
use super::choices::{Candidate, Choice, choices};
use super::finals::Final;
use super::next::{Kind, Offered, Todo};
use super::offers::{Way, taken, ways};
use super::truing::advice;
use super::words;
use crate::calc::Reason;
use crate::model::job::Instance;
use crate::model::limit::Limit;
use crate::model::manual::{BoundKind, Step, Target};
use crate::model::names::{named, place_within};
use crate::quantity::{Dimension, Unit, Verdict, number};
use crate::trade::pattern::{Layout, stages};
use crate::uncertainty::Estimate;

/// Candidates that are told besides the best.
const OTHERS: usize = 3;

/// Choices, ways to go and truing, as things to do.
pub fn todos(case: &Case<'_>) -> Vec<Todo> {
    let mut list: Vec<Todo> = choices(case).iter().map(chosen).collect();
    list.extend(way(case));
    list.extend(others(case));
    list.extend(advice(case).into_iter().map(|advice| Todo {
        more: advice.lines,
        span: advice.span,
        ..Todo::new(Kind::TrueUp, advice.what)
    }));
    list
}

/// `0.42 ± 0.02 mm, in`
fn outcome(choice: &Choice<'_>, candidate: &Candidate) -> String {
    let shown = words::known(&candidate.known.estimate, choice.unit);
    let Some(decision) = candidate.decision else {
        return shown;
    };
    let verdict = match (decision.verdict, decision.is_close) {
        (Verdict::In, false) => "in",
        (Verdict::In, true) => "in, but close",
        (Verdict::Out, _) => "out",
        _ => "not proven",
    };
    // How likely it is matters where it is not plain.
    let likely = if decision.is_close || decision.verdict == Verdict::NotProven {
        words::likely(", ", &decision)
    } else {
        String::new()
    };
    format!("{shown}, {verdict}{likely}")
}

fn chosen(choice: &Choice<'_>) -> Todo {
    let best = choice.best();
    let is_good = best.is_some_and(Candidate::is_in);
    let limit = choice.limit.map_or_else(String::new, |limit| aimed(choice, limit));
    let wanted = choice.wanted.map(|wanted| size(wanted, choice.unit));
    let mut more = Vec::new();
    let (kind, what, why) = match best {
        Some(best) if is_good => {
            let hit = match &wanted {
                Some(wanted) => format!("; {wanted} would hit the aim"),
                None => String::new(),
            };
            (
                Kind::Choose,
                format!("{}: {}", choice.what, best.name),
                format!("{} comes to {}{limit}{hit}", choice.result, outcome(choice, best)),
            )
        }
        Some(best) => {
            let wanted = wanted.map_or_else(String::new, |wanted| format!(": {wanted} is wanted"));
            (
                Kind::Order,
                format!("{}{wanted}", choice.what),
                format!(
                    "nothing at hand brings {} into its limit{limit}; the nearest, {}, gives {}",
                    choice.result,
                    best.name,
                    outcome(choice, best)
                ),
            )
        }
        None if choice.candidates.is_empty() => (
            Kind::Choose,
            format!("{}: {} would do", choice.what, wanted.unwrap_or_default()),
            format!(
                "{} then hits its aim{limit}; what lies in the drawer is written `stock …: sizes`, and the nearest is chosen",
                choice.result
            ),
        ),
        None => {
            let wanted = wanted.map_or_else(String::new, |wanted| format!(": {wanted} is wanted"));
            (
                Kind::Order,
                format!("{}{wanted}", choice.what),
                "the stock has too few pieces: they are wanted more elsewhere".to_owned(),
            )
        }
    };
    let effects = choice.effects.iter().filter(|_| is_good);
    more.extend(effects.map(|effect| {
        format!(
            "with it, {} comes to {}",
            effect.name,
            words::known(&effect.known.estimate, effect.unit)
        )
    }));
    let others = choice
        .candidates
        .iter()
        .enumerate()
        .filter(|(place, _)| Some(*place) != choice.taken);
    for (_, other) in others.take(OTHERS) {
        more.push(format!("{} would give {}", other.name, outcome(choice, other)));
    }
    if choice.taken.is_some_and(|taken| taken != 0) && is_good {
        more.insert(0, "the better piece is wanted more elsewhere".to_owned());
    }
    Todo {
        why,
        more,
        options: choice
            .candidates
            .iter()
            .enumerate()
            .map(|(place, candidate)| offered(choice, candidate, Some(place) == choice.taken))
            .collect(),
        ..Todo::new(kind, what)
    }
}

/// ` (build limit 0.35 to 0.55 mm, aim 0.45 mm)`
fn aimed(choice: &Choice<'_>, limit: &Limit) -> String {
    let aim = match choice.aim {
        Some(aim) => format!(", aim {}", size(aim, choice.unit)),
        None => String::new(),
    };
    format!(" ({} {}{aim})", limit.name(), limit.words())
}

fn offered(choice: &Choice<'_>, candidate: &Candidate, is_taken: bool) -> Offered {
    let reach = candidate.known.estimate.reach();
    let in_unit = |base: Decimal| {
        choice
            .unit
            .and_then(|unit| unit.from_base(base))
            .unwrap_or(base)
            .normalize()
    };
    Offered {
        name: candidate.name.clone(),
        comes_to: Some(in_unit(candidate.known.estimate.best)),
        low: reach.and_then(|reach| reach.lo).map(in_unit),
        high: reach.and_then(|reach| reach.hi).map(in_unit),
        unit: choice.unit.map_or("", |unit| unit.label()).to_owned(),
        verdict: candidate.decision.map(|decision| decision.verdict),
        is_taken,
    }
}

/// The ways to go, where none was taken yet.
fn way(case: &Case<'_>) -> Option<Todo> {
    let ways = ways(case);
    // Where an item could not be read, a sum is none to compare: that is said of the item.
    let is_whole = ways.iter().all(|way| way.is_whole);
    if ways.len() < 2 || !is_whole || taken(case, &ways).is_some() || case.is_closed() {
        return None;
    }
    let by_hour = ways.iter().all(|way| way.an_hour().is_some());
    let currency = |way: &Way<'_>| way.cost().map(|(_, unit)| unit.dimension);
    let is_alike = ways.windows(2).all(|pair| match pair {
        [a, b] => currency(a).is_some() && currency(a) == currency(b),
        _ => true,
    });
    let best = ways.first()?;
    let (what, why) = if is_alike {
        let by = if by_hour { " by the hour it lasts" } else { "" };
        (
            format!("which way to go: {} is the cheapest{by}", best.name),
            format!("{}: {}", best.name, price(best)),
        )
    } else {
        (
            "which way to go: the options are not in one currency".to_owned(),
            format!(
                "{}: {}; money of two currencies is never added or compared here",
                best.name,
                price(best)
            ),
        )
    };
    Some(Todo {
        why,
        more: ways
            .iter()
            .skip(1)
            .map(|way| format!("{}: {}", way.name, price(way)))
            .collect(),
        with: format!("`chose {} over …, because …`", best.name),
        span: Some(best.span),
        options: ways
            .iter()
            .map(|way| {
                let cost = way.cost();
                Offered {
                    name: way.name.to_owned(),
                    comes_to: cost.map(|(cost, _)| cost.normalize()),
                    low: None,
                    high: None,
                    unit: cost.map_or("", |(_, unit)| unit.label()).to_owned(),
                    verdict: None,
                    is_taken: false,
                }
            })
            .collect(),
        ..Todo::new(Kind::Choose, what)
    })
}

/// `186.50 EUR, of it 28.50 EUR for the risk; 0.62 EUR an hour; 5 days`
fn price(way: &Way<'_>) -> String {
    let money = words::money;
    let total: Vec<String> = way.total.iter().map(|(sum, unit)| money(*sum, unit)).collect();
    let mut text = if total.is_empty() {
        "no price".to_owned()
    } else {
        total.join(" and ")
    };
    if let Some((_, unit)) = way.cost().filter(|_| !way.risk.is_zero()) {
        text.push_str(&format!(", of it {} for what may go wrong", money(way.risk, unit)));
    }
    if let Some((price, unit)) = way.an_hour() {
        text.push_str(&format!("; {} an hour", money(price, unit)));
    }
    let day = crate::quantity::unit::find("day", Some(Dimension::TIME));
    if let Some(days) = way.takes {
        let plural = if days == Decimal::from(86_400) { "" } else { "s" };
        text.push_str(&format!("; takes {}{plural}", words::figure(days, day)));
    }
    text
}

/// What a step is to be expected with: each derived feature that its manual names, worked out or not.
pub fn expected(case: &Case<'_>, step: &Step) -> Vec<String> {
    let mut list: Vec<String> = step.expects.iter().flat_map(|target| figures(case, target)).collect();
    list.extend(step.pattern.map(|layout| tightening(step, layout)));
    list
}

fn figures(case: &Case<'_>, target: &Target) -> Vec<String> {
    let Some(id) = case.rules.book.feature(&target.feature) else {
        return Vec::new();
    };
    let fits = |part: Option<&str>, place: Option<&str>| {
        target.part.as_deref().is_none_or(|wanted| part == Some(wanted))
            && target
                .place
                .as_deref()
                .is_none_or(|wanted| place.is_some_and(|place| place_within(place, wanted)))
    };
    let finals = || {
        case.finals
            .iter()
            .filter(|figure| figure.id == id && fits(figure.part, figure.place))
    };
    let mut list: Vec<String> = finals()
        .filter_map(|figure| worked_out(case, figure))
        .map(|told| format!("expect {told}"))
        .collect();
    // Where nothing can be told of it, what is missing is: of the first place at which anything was read.
    if list.is_empty() {
        list.extend(finals().filter_map(|figure| missing(case, figure)).take(1));
    }
    list
}

/// Derived features of the manuals' `ahead` lines that no step expects, as they can be told now.
fn others(case: &Case<'_>) -> Option<Todo> {
    let steps = || case.rules.book.procedures.iter().flat_map(|procedure| &procedure.steps);
    let is_expected = |id: usize| {
        steps()
            .flat_map(|step| &step.expects)
            .any(|target| case.rules.book.feature(&target.feature) == Some(id))
    };
    let figures = case
        .finals
        .iter()
        .filter(|figure| figure.feature.is_ahead && !is_expected(figure.id));
    let mut told: Vec<String> = figures.filter_map(|figure| worked_out(case, figure)).collect();
    if told.is_empty() {
        return None;
    }
    let first = told.remove(0);
    Some(Todo {
        more: told,
        ..Todo::new(Kind::Know, first)
    })
}

/// `press force at drive side 30.1 to 50.2 kN`; `None` where it cannot be worked out, or rests on what was overtaken.
fn worked_out(case: &Case<'_>, figure: &Final<'_>) -> Option<String> {
    let worked = figure.result.as_ref().ok()?;
    let mut readings = worked.inputs.iter().filter_map(|index| case.job.readings.get(*index));
    if readings.any(|reading| case.is_overtaken(reading.instance)) {
        return None;
    }
    let part = figure.part.map(|part| as_written(case, part));
    let name = named(&figure.feature.name.name, part.as_deref(), figure.place);
    let shown = told(&figure.known()?.estimate, figure.feature.shown_in());
    let beyond = match (figure.decision, figure.limit) {
        (Some(decision), Some(limit)) if decision.verdict == Verdict::Out => {
            format!(", outside its {} of {}", limit.name(), limit.words())
        }
        _ => String::new(),
    };
    Some(format!("{name} {shown}{beyond}"))
}

/// What is known of a figure; one that is known better than it is shown stands by itself.
fn told(estimate: &Estimate, unit: Option<&'static Unit>) -> String {
    let last = Decimal::new(5, unit.map_or(4, |unit| unit.decimals()) + 2);
    let is_fine = |base: Decimal| {
        unit.and_then(|unit| unit.difference_from_base(base))
            .unwrap_or(base)
            .abs()
            < last
    };
    if estimate.between.is_none() && is_fine(estimate.below) && is_fine(estimate.above) {
        return words::figure(estimate.best, unit);
    }
    // Of hours left nobody wants the minutes.
    let large = Decimal::from(100);
    let whole = |base: Decimal| {
        let value = unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
        (value > large).then(|| value.round_dp(0).normalize())
    };
    if let Some(band) = estimate
        .between
        .filter(|_| is_fine(estimate.below) && is_fine(estimate.above))
    {
        let label = unit.map_or("", |unit| unit.label());
        match (band.lo.and_then(whole), band.hi.map(whole)) {
            (Some(lo), Some(Some(hi))) => return format!("{lo} to {hi} {label}").trim_end().to_owned(),
            (Some(lo), None) => return format!("at least {lo} {label}").trim_end().to_owned(),
            _ => {}
        }
    }
    words::known(estimate, unit)
}

/// A size with two decimals at least: 0.50 mm.
fn size(base: Decimal, unit: Option<&'static Unit>) -> String {
    let value = unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
    let text = number::padded(value.round_dp(3).normalize(), 2);
    format!("{text} {}", unit.map_or("", |unit| unit.label()))
        .trim_end()
        .to_owned()
}

/// What must be read before a figure can be told, where some of it was read.
fn missing(case: &Case<'_>, figure: &Final<'_>) -> Option<String> {
    let Err(Reason::Missing(what)) = &figure.result else {
        return None;
    };
    let name = named(&figure.feature.name.name, figure.part, figure.place);
    is_begun(case, figure).then(|| format!("{name} cannot be told yet: {what} is missing"))
}

/// A part as the log writes it first.
pub fn as_written(case: &Case<'_>, part: &str) -> String {
    let mut parts = case.job.instances.iter().filter_map(|instance| instance.part.as_ref());
    let word = parts.find(|word| word.key == part);
    word.map_or_else(|| part.to_owned(), |word| words::fold(word.span.text(case.text())))
}

/// Whether any of the readings that a sum takes was taken, of its own place where it has one.
fn is_begun(case: &Case<'_>, figure: &Final<'_>) -> bool {
    let is_there = |instance: &Instance| {
        figure
            .place
            .is_none_or(|place| instance.place.as_ref().is_some_and(|own| place_within(&own.key, place)))
    };
    let is_read = |instance: &Instance| is_there(instance) && case.latest(instance).is_some();
    case.rules.rests_on(figure.id).into_iter().any(|input| {
        let mut instances = case.by_feature.get(input).into_iter().flatten();
        instances.any(|index| case.job.instances.get(*index).is_some_and(is_read))
    })
}

/// In which stages and which order the bolts are tightened. Common practice; the machine's manual comes first.
fn tightening(step: &Step, layout: Layout) -> String {
    let order: Vec<String> = layout.order().iter().map(ToString::to_string).collect();
    let counted = match layout {
        Layout::Ring(_) => "counted round",
        Layout::Rows(..) => "counted row by row",
    };
    let limit = |name: &str| {
        step.bounds
            .iter()
            .find(|bound| bound.name == name)
            .and_then(|bound| match &bound.bound {
                BoundKind::Limit(limit) => Some(limit),
                BoundKind::RatingOf(_) => None,
            })
    };
    let asked = limit("stages")
        .and_then(|limit| limit.band.lo)
        .and_then(|least| u8::try_from(least).ok());
    let torque =
        limit("torque").and_then(|limit| Some((limit.band.middle().or(limit.band.hi).or(limit.band.lo)?, limit.unit)));
    let figures = torque.map(|(last, unit)| {
        let last = unit.from_base(last).unwrap_or(last);
        let shares = stages(usize::from(asked.unwrap_or(3)));
        let shown = shares
            .into_iter()
            .filter_map(|share| Decimal::from_f64_retain(share)?.checked_mul(last));
        let shown: Vec<String> = shown.map(|figure| number::show(figure, 0)).collect();
        // The last is the whole, however it is rounded.
        let earlier = shown.len().saturating_sub(1);
        let mut shown: Vec<String> = shown.into_iter().take(earlier).collect();
        shown.push(number::show(last, 1));
        format!("in stages of {} {}, ", shown.join("/"), unit.label())
    });
    format!(
        "tighten {}bolts {} ({counted}); the machine's own pattern comes first",
        figures.unwrap_or_default(),
        order.join(" ")
    )
}
