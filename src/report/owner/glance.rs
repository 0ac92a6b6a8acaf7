//! What whoever reads no further has to know: how many figures are in and out, and what is to be said of the job.

use maud::{Markup, html};

use super::Given;
use crate::judge::{Finding, Severity};
use crate::report::page::{own, remark as sentence};

/// Remarks of one severity that are shown in full before the rest is only counted.
const MOST: usize = 60;

pub(super) fn glance(given: &Given<'_>) -> Markup {
    let tally = &given.analysis.tally;
    let tiles: Vec<(usize, &str, &str)> = [
        (tally.judged, "figures judged", ""),
        (tally.inside, "in limit", "v-in"),
        (tally.out, "out of limit", "v-out"),
        (tally.not_proven, "not proven", "v-np"),
        (tally.close, "too close to call", ""),
        (tally.stale, "stale at the end", "is-stale"),
        (tally.unjudged, "without a limit", ""),
        (tally.steps_open, "steps still to do", ""),
    ]
    .into_iter()
    .enumerate()
    .filter(|(place, (count, _, _))| *place < 2 || *count > 0)
    .map(|(_, tile)| tile)
    .collect();
    html! {
        ul class="glance" {
            @for (count, what, class) in &tiles { li { b class=(class) { (count) } (what) } }
        }
        @if tally.history > 0 {
            p class="small" { @if tally.history == 1 { "One of the figures that are out or not proven is history: it was read again later, or is of a part that was left for another." }
                @else { (tally.history) " of the figures that are out or not proven are history: they were read again later, or are of a part that was left for another." } }
        }
        @for (severity, heading) in [
            (Severity::Danger, "What can hurt someone"),
            (Severity::Fault, "What is wrong, or out of limit"),
            (Severity::Doubt, "What is in doubt"),
            (Severity::Open, "What is still to do"),
        ] {
            (remarks(given, severity, heading))
        }
        @if given.analysis.findings.is_empty() {
            p { "Nothing is to be said against this record: every figure that has a limit is held against it, and what the manuals ask for is there. What was not measured stands below." }
        }
    }
}

fn remarks(given: &Given<'_>, severity: Severity, heading: &str) -> Markup {
    let own_findings: Vec<&Finding> = given
        .analysis
        .findings
        .iter()
        .filter(|finding| finding.severity == severity)
        .collect();
    if own_findings.is_empty() {
        return html! {};
    }
    let more = own_findings.len().saturating_sub(MOST);
    html! {
        h3 { (heading) }
        ul class="said" {
            @for finding in own_findings.iter().take(MOST) { (remark(given, finding)) }
        }
        @if more > 0 { p class="small" { "and " (more) " more, each at its line below" } }
    }
}

fn remark(given: &Given<'_>, finding: &Finding) -> Markup {
    let line = given.analysis.source.lines.line_of(finding.span.start) + 1;
    html! {
        li class=(finding.severity.word()) {
            span class="word" { (finding.severity.word()) }
            (sentence(&finding.message))
            @if let Some(reason) = &finding.reason { " The log says why: " (own(reason)) "." }
            " " (super::line(line))
            @if let Some(was) = finding.was {
                " " small { "(a " (was.word()) ", which the settings of this repository make a " (finding.severity.word()) ")" }
            }
        }
    }
}
