//! Blades: the other one of a pair, and both in the plain form.

use rust_decimal::Decimal;

use super::lines::entry_at;
use super::same::is_decided_alike;
use super::ticket::Ticket;
use super::{Action, meets};
use crate::editor::Page;
use crate::judge::{Analysis, Edit};
use crate::model::job::{Reading, ReadingKind};
use crate::model::names::key;
use crate::quantity::number;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Figure, Statement, Value};

/// The first word of its data: the other blade.
pub(super) const PARTNER: &str = "partner";
/// The plain form.
pub(super) const PLAIN: &str = "plain-blades";

/// Steps between the blades of a usual set, by the unit they are named in; common practice, no source. A tool that says what it reads to comes first.
const STEPS: &[(&str, (i64, u32))] = &[("mm", (5, 2)), ("hundredths", (5, 0)), ("in", (2, 3)), ("thou", (2, 0))];

/// Offered on a figure of blades.
pub(super) fn offer(page: &Page, log: &Analysis, span: Span, list: &mut Vec<Action>) {
    let Some(figure) = figure_at(log, span) else { return };
    let Value::Blades { go, no_go } = &figure.value else {
        return;
    };
    let finding = page
        .findings()
        .iter()
        .position(|finding| finding.code == "reading.one-blade" && meets(finding.span, span));
    let offers = match (go, no_go) {
        (Some(_), Some(_)) => [(PLAIN, "write the blades as `go …, no-go …`")],
        (Some(_), None) => [(
            PARTNER,
            "write the blade that does not go, marked `?` until it was tried",
        )],
        (None, Some(_)) => [(PARTNER, "write the blade that goes, marked `?` until it was tried")],
        (None, None) => return,
    };
    for (what, title) in offers {
        let ticket = Ticket::new(page, what, figure.span, "");
        if edits(log, &ticket).is_some() {
            let action = Action::rewrite(title, &ticket);
            list.push(match finding.filter(|_| what == PARTNER) {
                Some(finding) => action.about(finding),
                None => action,
            });
        }
    }
}

/// The figure of blades that a place is in.
fn figure_at(log: &Analysis, span: Span) -> Option<&Figure> {
    match &entry_at(log, span.start)?.statement {
        Statement::Reading(written) if meets(written.figure.span, span) => Some(&written.figure),
        _ => None,
    }
}

/// The figure written anew.
pub(super) fn edits(log: &Analysis, ticket: &Ticket) -> Option<Vec<Edit>> {
    let figure = figure_at(log, ticket.span()).filter(|figure| figure.span == ticket.span())?;
    let Value::Blades { go, no_go } = &figure.value else {
        return None;
    };
    let text = &log.source.text;
    let unit = unit_of(figure).map_or_else(String::new, |unit| format!(" {}", unit.text(text)));
    let written = match (go, no_go) {
        (Some(_), Some(_)) => {
            let mark = if figure.unsure { " ?" } else { "" };
            format!("{}{mark}", plain(figure, text)?)
        }
        (Some(go), None) => format!(
            "go {}, no-go {}{unit} ?",
            go.number.text(text),
            next(log, figure, go, true)?
        ),
        (None, Some(no)) => format!(
            "go {}, no-go {}{unit} ?",
            next(log, figure, no, false)?,
            no.number.text(text)
        ),
        (None, None) => return None,
    };
    if written == figure.span.text(text) {
        return None;
    }
    let edits = vec![Edit {
        span: figure.span,
        text: written,
    }];
    // The second blade is there to change the verdict; the plain form is not.
    let is_good = ticket.what == PARTNER || is_decided_alike(log, &edits);
    is_good.then_some(edits)
}

fn unit_of(figure: &Figure) -> Option<Span> {
    let Value::Blades { go, no_go } = &figure.value else {
        return None;
    };
    let own = [no_go, go].into_iter().flatten().find_map(|amount| amount.unit);
    own.or(figure.unit)
}

/// Two blades in the plain form, without a mark of doubt: `go 0.40, no-go 0.45 mm`. `None` for one blade and for anything else.
pub(super) fn plain(figure: &Figure, text: &str) -> Option<String> {
    let Value::Blades {
        go: Some(go),
        no_go: Some(no_go),
    } = &figure.value
    else {
        return None;
    };
    let has_units = go.unit.is_some() && no_go.unit.is_some();
    let low = if has_units { go.span() } else { go.number };
    let unit = unit_of(figure).map_or_else(String::new, |unit| format!(" {}", unit.text(text)));
    Some(format!(
        "go {}, no-go {}{unit}",
        low.text(text),
        no_go.number.text(text)
    ))
}

/// The next blade above or below one, in its own unit and with its decimals.
fn next(log: &Analysis, figure: &Figure, amount: &Amount, above: bool) -> Option<String> {
    let value = number::parse(amount.number.text(&log.source.text)).ok()?;
    let reading = log
        .job
        .readings
        .iter()
        .find(|reading| reading.figure_span == figure.span)?;
    if reading.kind != ReadingKind::OneBlade {
        return None;
    }
    let unit = reading.unit?;
    let step = of_tool(log, reading).or_else(|| {
        let (_, (digits, scale)) = STEPS.iter().find(|(symbol, _)| *symbol == unit.symbol)?;
        Some(Decimal::new(*digits, *scale))
    })?;
    let other = if above {
        value.checked_add(step)?
    } else {
        value.checked_sub(step)?
    };
    if other <= Decimal::ZERO {
        return None;
    }
    Some(number::padded(other.normalize(), value.scale()))
}

/// The step of the set that was used, where its tool says so, in the reading's unit.
fn of_tool(log: &Analysis, reading: &Reading) -> Option<Decimal> {
    let tool = log.job.tool(&key(&reading.tool.as_ref()?.key))?;
    let (step, of) = tool.reads_to?;
    let unit = reading.unit.filter(|unit| unit.dimension == of)?;
    let step = unit.difference_from_base(step)?.normalize();
    (step > Decimal::ZERO && step.scale() <= 4).then_some(step)
}
